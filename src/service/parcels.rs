//! Resources cut into bundles that a server takes: what is known there by its id, what is looked for by its identifier.

use std::collections::HashMap;

use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};

use super::outbox::Part;
use crate::report::fhir::{Resource, plain_decimals};

/// The most entries of a bundle in which something is looked for: a known server allows eight.
pub(super) const LOOKED_FOR: usize = 8;
/// The most entries of a bundle in which all is known by its id.
const KNOWN: usize = 40;

/// A resource that is to be sent.
#[derive(Debug, Clone)]
pub(super) struct Change {
    pub(super) resource: Resource,
    pub(super) hash: String,
    /// Where it lies on the server, if that is known.
    pub(super) there: Option<Part>,
}

impl Change {
    fn is_in_error(&self) -> bool {
        self.resource.body.get("status").is_some_and(|status| status == "entered-in-error")
    }
}

/// What of a resource is compared: all but the bytes of documents, which say the same in other bytes each time.
pub(super) fn hash(resource: &Resource) -> String {
    let mut body = Value::Object(resource.body.clone());
    if let Some(forms) = body.get_mut("presentedForm").and_then(Value::as_array_mut) {
        forms.iter_mut().filter_map(Value::as_object_mut).for_each(|form| {
            form.remove("data");
        });
    }
    digest(&body.to_string())
}

/// A text's SHA-256, hexadecimal.
pub(super) fn digest(text: &str) -> String {
    Sha256::digest(text).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// In which order and which bundles changes go. What no longer counts goes first: where the sending is cut off, no
/// wrong result is left beside a right one.
pub(super) fn cut(changes: Vec<Change>, most: usize) -> Vec<Vec<Change>> {
    let (wrong, right): (Vec<Change>, Vec<Change>) =
        changes.into_iter().partition(|change| change.is_in_error() && change.there.is_some());
    let mut bundles = pack(wrong, most);
    bundles.extend(pack(right, most));
    bundles
}

fn pack(changes: Vec<Change>, most: usize) -> Vec<Vec<Change>> {
    let mut bundles: Vec<Vec<Change>> = Vec::new();
    let mut open: Vec<Change> = Vec::new();
    for change in changes {
        let looks = change.there.is_none() || open.iter().any(|other| other.there.is_none());
        if open.len() >= if looks { most } else { KNOWN } {
            bundles.push(std::mem::take(&mut open));
        }
        open.push(change);
    }
    bundles.extend((!open.is_empty()).then_some(open));
    bundles
}

/// What a bundle is made with.
pub(super) struct Making<'a> {
    /// Where resources lie that are referred to, by their `fullUrl`.
    pub(super) known: &'a HashMap<String, String>,
    /// The patient on the server, where it was looked up.
    pub(super) patient: Option<&'a str>,
    /// Only where the server still has the version that was sent last.
    pub(super) guarded: bool,
}

/// The bytes of a transaction.
pub(super) fn bundle(changes: &[Change], making: &Making<'_>) -> Vec<u8> {
    let entries: Vec<Value> = changes.iter().map(|change| entry(change, making)).collect();
    let bundle = json!({"resourceType": "Bundle", "type": "transaction", "entry": entries});
    plain_decimals(&bundle.to_string()).into_bytes()
}

fn entry(change: &Change, making: &Making<'_>) -> Value {
    let one = &change.resource;
    let mut body = Value::Object(one.body.clone());
    place(&mut body, making);
    match &change.there {
        Some(there) => {
            body["id"] = there.remote.rsplit('/').next().unwrap_or_default().into();
            let mut request = Map::new();
            request.insert("method".into(), "PUT".into());
            request.insert("url".into(), there.remote.as_str().into());
            if making.guarded && !there.version.is_empty() {
                request.insert("ifMatch".into(), format!("W/\"{}\"", there.version).into());
            }
            json!({"fullUrl": one.url, "resource": body, "request": request})
        }
        None => {
            let url = format!("{}?{}", one.kind, one.condition());
            json!({"fullUrl": one.url, "resource": body, "request": {"method": "PUT", "url": url}})
        }
    }
}

/// Puts the server's own ids where others refer to what lies there.
fn place(value: &mut Value, making: &Making<'_>) {
    match value {
        Value::Object(fields) => {
            let there = fields
                .get("reference")
                .and_then(Value::as_str)
                .and_then(|url| making.known.get(url));
            if let Some(there) = there {
                fields.insert("reference".into(), there.as_str().into());
            }
            if let (Some(patient), Some(Value::Object(subject))) =
                (making.patient, fields.get_mut("subject"))
            {
                subject.insert("reference".into(), patient.into());
            }
            fields.values_mut().for_each(|inside| place(inside, making));
        }
        Value::Array(all) => all.iter_mut().for_each(|inside| place(inside, making)),
        _ => {}
    }
}

/// Where each entry of a bundle lies now, in their order; none where the answer does not say so of each.
pub(super) fn placed(changes: &[Change], answer: &Value) -> Option<Vec<(String, Part)>> {
    let entries = answer["entry"].as_array().filter(|entries| entries.len() == changes.len())?;
    let one = |(change, entry): (&Change, &Value)| {
        let response = &entry["response"];
        let status = response["status"].as_str()?;
        if !status.starts_with('2') {
            return None;
        }
        let kind = change.resource.kind;
        let (id, version) = located(response["location"].as_str(), kind)
            .or_else(|| {
                let id = entry["resource"]["id"].as_str()?.to_owned();
                Some((id, entry["resource"]["meta"]["versionId"].as_str().map(str::to_owned)))
            })
            .or_else(|| {
                let there = change.there.as_ref()?;
                Some((there.remote.rsplit('/').next()?.to_owned(), None))
            })?;
        let etag = response["etag"]
            .as_str()
            .map(|tag| tag.trim().trim_start_matches("W/").trim_matches('"').to_owned());
        let held = entry["resource"]["meta"]["versionId"].as_str().map(str::to_owned);
        let version = etag.or(version).or(held).unwrap_or_default();
        let part = Part { remote: format!("{kind}/{id}"), version, hash: change.hash.clone() };
        Some((change.resource.key.clone(), part))
    };
    changes.iter().zip(entries).map(one).collect()
}

/// The id and version that a location names: `.../Observation/17/_history/2`.
fn located(location: Option<&str>, kind: &str) -> Option<(String, Option<String>)> {
    let parts: Vec<&str> = location?.split('/').collect();
    let at = parts.iter().rposition(|part| *part == kind)?;
    let is_id = |id: &&str| {
        !id.is_empty()
            && id.len() <= 64
            && id.bytes().all(|b| b.is_ascii_alphanumeric() || b"-.".contains(&b))
    };
    let id = parts.get(at + 1).filter(|id| is_id(id))?;
    let version =
        parts.get(at + 2).filter(|word| **word == "_history").and_then(|_| parts.get(at + 3));
    Some(((*id).to_owned(), version.map(|version| (*version).to_owned())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_location_names_id_and_version_and_nothing_that_is_no_id() {
        let told = |text| located(Some(text), "Observation");
        let whole = ("17".to_owned(), Some("2".to_owned()));
        assert_eq!(told("https://x.example/r4/Observation/17/_history/2"), Some(whole));
        assert_eq!(told("Observation/a-1"), Some(("a-1".into(), None)));
        assert_eq!(told("Observation/..?x=/1"), None);
        assert_eq!(told("Device/1"), None);
    }
}
