//! The visit as JSON with everything in it: the events that it is, and what was worked out from them.

use serde::{Deserialize, Serialize};

use crate::clinical::event::Event;
use crate::clinical::result::VisitResult;

/// The version of the form that this program writes.
pub const VERSION: u32 = 1;
/// The name of the form.
pub const FORMAT: &str = "cuffnote-visit";

/// What stands in a `visit.json` behind its `format` and `version`.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct WholeVisit {
    /// The service that measured, as printed in the report's head.
    pub service: String,
    /// Where the visit is kept; left out where it is in no book.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub book: Option<Kept>,
    /// What was worked out from the events, by the version that wrote the file. Never read again.
    pub result: VisitResult,
    /// What was done, in order. The visit is its events.
    pub events: Vec<Event>,
}

/// Where a visit is kept. A file can be edited by anyone and is no record; with this the book can confirm it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Kept {
    /// The visit's id in the record book.
    pub visit: String,
    /// The book's own chain.
    pub chain: String,
    /// How many entries it had.
    pub entries: u64,
    /// The hash of the last one.
    pub head: String,
}

#[derive(Serialize)]
struct Written<'a> {
    format: &'a str,
    version: u32,
    service: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    book: Option<&'a Kept>,
    result: &'a VisitResult,
    events: &'a [Event],
}

/// The bytes of `visit.json`: `{"format","version","service","book":{..},"result":{..},"events":[..]}`; `book` says
/// where the visit is kept, and is left out where it is in no book.
///
/// # Errors
/// A number that JSON cannot hold; no visit has one.
pub fn visit(
    service: &str,
    book: Option<&Kept>,
    result: &VisitResult,
    events: &[Event],
) -> Result<Vec<u8>, serde_json::Error> {
    let written = Written { format: FORMAT, version: VERSION, service, book, result, events };
    let mut bytes = serde_json::to_vec_pretty(&written)?;
    bytes.push(b'\n');
    Ok(bytes)
}

/// Why bytes are no visit.
#[derive(Debug, thiserror::Error)]
pub enum JsonFault {
    /// Written by a newer program.
    #[error(
        "this visit has version {0} of its form, and this program knows versions up to {VERSION}: open it with the newer program"
    )]
    Newer(u64),
    /// Not a visit in this form.
    #[error("this is no visit in the form {FORMAT}: {0}")]
    NotAVisit(String),
}

/// A whole `visit.json`, as it stands there.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Whole {
    /// The service that measured; empty where none is named.
    #[serde(default)]
    pub service: String,
    /// The events.
    pub events: Vec<Event>,
    /// What it says was worked out.
    #[serde(default)]
    pub result: serde_json::Value,
    /// Where it says that the visit is kept.
    #[serde(default)]
    pub book: Option<Kept>,
}

/// The events of a `visit.json`. What was worked out is worked out again, never read.
///
/// # Errors
/// A newer version is refused before anything else is looked at.
pub fn events(bytes: &[u8]) -> Result<Vec<Event>, JsonFault> {
    read(bytes).map(|whole| whole.events)
}

/// All of a `visit.json`, for whoever holds it against the record.
///
/// # Errors
/// As for [`events`].
pub fn read(bytes: &[u8]) -> Result<Whole, JsonFault> {
    let not = |e: serde_json::Error| JsonFault::NotAVisit(e.to_string());
    let value: serde_json::Value = serde_json::from_slice(bytes).map_err(not)?;
    if value.get("format").and_then(|f| f.as_str()) != Some(FORMAT) {
        return Err(JsonFault::NotAVisit("its `format` says otherwise".into()));
    }
    match value.get("version").and_then(serde_json::Value::as_u64) {
        Some(found) if found > u64::from(VERSION) => Err(JsonFault::Newer(found)),
        Some(_) => serde_json::from_value(value).map_err(not),
        None => Err(JsonFault::NotAVisit("its `version` is missing".into())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_visit_is_refused_with_a_sentence() {
        let newer = br#"{"format":"cuffnote-visit","version":9}"#;
        assert!(events(newer).unwrap_err().to_string().contains("version 9"));
        for bytes in ["", "[]", "{}", r#"{"format":"cuffnote-visit","version":1,"events":3}"#] {
            assert!(matches!(events(bytes.as_bytes()), Err(JsonFault::NotAVisit(_))), "{bytes}");
        }
    }
}
