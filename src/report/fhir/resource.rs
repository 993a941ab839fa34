//! One resource of a bundle: its identity, its texts and numbers, and whose record it is.

use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};
use uuid::Uuid;

use crate::clinical::result::VisitResult;
use crate::clinical::visit::Visit;

/// What a bundle is made from.
#[derive(Debug, Clone, Copy)]
pub struct Parcel<'a> {
    /// The visit.
    pub visit: &'a Visit,
    /// The same visit, worked out.
    pub result: &'a VisitResult,
    /// The visit's identity: see [`identity`].
    pub id: Uuid,
    /// The service that measured; empty where it has no name.
    pub service: &'a str,
    /// Report and sounds that travel along.
    pub documents: &'a [Document<'a>],
}

/// A file that travels inside the bundle.
#[derive(Debug, Clone, Copy)]
pub struct Document<'a> {
    /// What it is, in words.
    pub title: &'a str,
    /// Its media type, such as `application/pdf`.
    pub content_type: &'a str,
    /// Its bytes.
    pub bytes: &'a [u8],
}

/// A UUID of version 8 from bytes.
pub(super) fn named(bytes: &[u8]) -> Uuid {
    let digest = Sha256::digest(bytes);
    let mut half = [0; 16];
    half.copy_from_slice(&digest[..16]);
    uuid::Builder::from_custom_bytes(half).into_uuid()
}

/// Stands before a decimal number while it is carried as text; cleaned text cannot hold it.
const DECIMAL: char = '\u{1}';

/// A number that keeps its decimals: FHIR counts them, JSON writers drop them.
pub(super) fn decimal(number: impl std::fmt::Display) -> Value {
    Value::String(format!("{DECIMAL}{number}"))
}

/// Turns the texts of [`decimal`] into numbers.
pub(super) fn plain_decimals(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    let mut rest = json;
    while let Some((before, after)) = rest.split_once("\"\\u0001") {
        out.push_str(before);
        let (number, after) = after.split_once('"').unwrap_or((after, ""));
        out.push_str(number);
        rest = after;
    }
    out + rest
}

/// One resource of the bundle and the reference to it.
pub(super) struct Resource {
    pub(super) reference: String,
    body: Map<String, Value>,
}

impl Resource {
    /// A resource with its kind and the identifier that `part` gives it within the visit.
    pub(super) fn new(parcel: &Parcel<'_>, kind: &str, part: &str) -> Self {
        let mut name = parcel.id.as_bytes().to_vec();
        name.extend_from_slice(part.as_bytes());
        let reference = named(&name).urn().to_string();
        let mut body = Map::new();
        body.insert("resourceType".into(), kind.into());
        body.insert(
            "identifier".into(),
            json!([{"system": "urn:ietf:rfc:3986", "value": reference}]),
        );
        Self { reference, body }
    }

    pub(super) fn set(&mut self, name: &str, value: Value) {
        self.body.insert(name.into(), value);
    }

    /// Sets a text where there is one; FHIR has no empty texts.
    pub(super) fn note(&mut self, sentences: &[String]) {
        let words = clean(&sentences.join(" "));
        if let Some(words) = words {
            self.set("note", json!([{ "text": words }]));
        }
    }

    pub(super) fn entry(self) -> Value {
        let kind = self.body.get("resourceType").cloned().unwrap_or_default();
        let condition = format!("identifier=urn:ietf:rfc:3986|{}", self.reference);
        json!({
            "fullUrl": self.reference,
            "resource": self.body,
            "request": {"method": "POST", "url": kind, "ifNoneExist": condition},
        })
    }
}

/// Typed text as FHIR wants it: no controls, trimmed, none where nothing is left.
pub(super) fn clean(text: &str) -> Option<String> {
    let kept: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let kept = kept.trim();
    (!kept.is_empty()).then(|| kept.to_owned())
}

/// Whose record it is: by the service's own code, nothing more.
pub(super) fn subject(parcel: &Parcel<'_>) -> Option<Value> {
    let code = clean(&parcel.result.record)?;
    let mut identifier =
        json!({"value": code, "type": {"text": "record code of the measuring service"}});
    if let Some(service) = clean(parcel.service) {
        identifier["assigner"] = json!({ "display": service });
    }
    Some(json!({"type": "Patient", "identifier": identifier, "display": format!("Record {code}")}))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_keep_their_zeros_and_typed_text_cannot_become_one() {
        let value = json!({"value": decimal("0.70"), "text": clean("\u{1}0.70\"x")});
        let text = plain_decimals(&serde_json::to_string(&value).unwrap());
        assert_eq!(text, r#"{"text":"0.70\"x","value":0.70}"#);
    }

    #[test]
    fn the_same_bytes_give_the_same_uuid_of_version_8() {
        let id = named(b"one");
        assert_eq!(id, named(b"one"));
        assert_ne!(id, named(b"two"));
        assert_eq!(id.get_version_num(), 8);
    }
}
