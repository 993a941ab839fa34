//! One resource of a bundle: its identity, its texts and numbers, and whose record it is.

use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};
use uuid::Uuid;

use super::codes::{self, DEVICES, RESULTS};
use super::words::clean;
use crate::clinical::event::Event;
use crate::clinical::guidance::GuidanceSet;
use crate::clinical::result::VisitResult;
use crate::clinical::visit::Visit;

/// What a bundle is made from.
#[derive(Debug, Clone, Copy)]
pub struct Parcel<'a> {
    /// The visit's events: what it was before it was corrected is told from them.
    pub events: &'a [Event],
    /// The visit.
    pub visit: &'a Visit,
    /// The same visit, worked out.
    pub result: &'a VisitResult,
    /// The guidance that it was worked out with.
    pub sets: &'a [GuidanceSet],
    /// The visit's identity: see `identity`.
    pub id: Uuid,
    /// The visit's id in its record book; empty where it is in none.
    pub kept_as: &'a str,
    /// What the service says of itself and of its patients.
    pub context: &'a ServiceContext,
    /// Report and sounds that travel along.
    pub documents: &'a [Document<'a>],
}

/// What a service says of itself, of its patients and of an order; all may be empty.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ServiceContext {
    /// The service that measured, by name.
    pub service: String,
    /// The system that a record's code is an identifier of.
    pub patient_system: Option<String>,
    /// The system that an operator's code is an identifier of.
    pub operator_system: Option<String>,
    /// The organisation's own identifier.
    pub organization: Option<Token>,
    /// The encounter that the visit belongs to.
    pub encounter: Option<Token>,
    /// The order that the visit answers.
    pub order: Option<Token>,
    /// Say which of our profiles each resource keeps to.
    pub profiles: bool,
    /// Both indexes in one resource more, as a published national profile has them.
    pub national: bool,
}

/// An identifier with its system.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Token {
    /// The system, a URI.
    pub system: String,
    /// The value.
    pub value: String,
}

impl Token {
    /// Reads `SYSTEM|VALUE`.
    pub fn parse(text: &str) -> Option<Self> {
        let (system, value) = text.trim().rsplit_once('|')?;
        let whole = !value.trim().is_empty() && is_uri(system);
        whole.then(|| Self { system: system.into(), value: value.trim().into() })
    }

    fn value(&self) -> Value {
        json!({"system": self.system, "value": self.value})
    }

    /// A reference by this identifier to a resource of a kind.
    pub(super) fn to(&self, kind: &str) -> Value {
        json!({"type": kind, "identifier": self.value()})
    }
}

/// Whether a text can be the system of an identifier: a scheme, and no blanks or signs that a search would take apart.
pub fn is_uri(text: &str) -> bool {
    let scheme = text.split_once(':').is_some_and(|(scheme, rest)| {
        !rest.is_empty()
            && scheme.starts_with(|c: char| c.is_ascii_alphabetic())
            && scheme.chars().all(|c| c.is_ascii_alphanumeric() || "+-.".contains(c))
    });
    scheme
        && !text.contains(|c: char| c.is_whitespace() || c.is_control() || "|,$\\\"<>".contains(c))
}

/// A file that travels inside the bundle.
#[derive(Debug, Clone, Copy)]
pub struct Document<'a> {
    /// What it is, in words.
    pub title: &'a str,
    /// The language of its text, and of its title.
    pub language: &'a str,
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

/// The system of units.
pub(super) const UCUM: &str = "http://unitsofmeasure.org";

/// A ratio, which has no unit.
pub(super) fn ratio(value: impl std::fmt::Display) -> Value {
    json!({"value": decimal(value), "unit": "ratio", "system": UCUM, "code": "{ratio}"})
}

/// Turns the texts that stand for decimal numbers into numbers.
pub fn plain_decimals(json: &str) -> String {
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

/// One resource, its identity on every server, and the reference to it within a bundle.
#[derive(Debug, Clone, PartialEq)]
pub struct Resource {
    /// Such as `Observation`.
    pub kind: &'static str,
    /// The system of its identifier.
    pub system: &'static str,
    /// Its identifier: the same for the same part of the same visit, however often it is corrected.
    pub key: String,
    /// The `fullUrl` that others refer to it by. Never its identifier: some servers rewrite every text that equals it.
    pub url: String,
    /// The resource itself; decimal numbers stand in it as [`plain_decimals`] reads them.
    pub body: Map<String, Value>,
}

impl Resource {
    /// A part of the visit's `turn`-th record: 1, or more where the record's code was corrected.
    pub(super) fn of_visit(
        parcel: &Parcel<'_>,
        kind: &'static str,
        part: &str,
        turn: usize,
    ) -> Self {
        let turn = if turn > 1 { format!("{turn}.") } else { String::new() };
        let mut one = Self::new(kind, RESULTS, format!("{}.{turn}{part}", parcel.id));
        if !parcel.kept_as.is_empty() && kind == "DiagnosticReport" {
            let kept =
                json!({"value": parcel.kept_as, "type": {"text": "visit of the record book"}});
            if let Some(all) = one.body.get_mut("identifier").and_then(Value::as_array_mut) {
                all.push(kept);
            }
        }
        one
    }

    /// A gauge or a program: the same one in every visit.
    pub(super) fn device(name: &str) -> Self {
        Self::new("Device", DEVICES, named(name.as_bytes()).to_string())
    }

    fn new(kind: &'static str, system: &'static str, key: String) -> Self {
        let mut body = Map::new();
        body.insert("resourceType".into(), kind.into());
        let identifier = json!({"system": system, "value": key});
        // A Provenance has no identifier in R4: its identity is its first label.
        match kind {
            "Provenance" => {
                body.insert("meta".into(), json!({"tag": [{"system": system, "code": key}]}))
            }
            _ => body.insert("identifier".into(), json!([identifier])),
        };
        let url = full_url(system, &key);
        Self { kind, system, key, url, body }
    }

    pub(super) fn set(&mut self, name: &str, value: Value) {
        self.body.insert(name.into(), value);
    }

    pub(super) fn profile(&mut self, context: &ServiceContext, name: &str) {
        let url = profile_url(name);
        if let (true, Some(url)) = (context.profiles, url) {
            self.set("meta", json!({ "profile": [url] }));
        }
    }

    /// Sets a text where there is one; FHIR has no empty texts.
    pub(super) fn note(&mut self, sentences: &[String]) {
        if let Some(words) = clean(&sentences.join(" ")) {
            self.set("note", json!([{ "text": words }]));
        }
    }

    /// Adds to a list of the resource's.
    pub(super) fn add(&mut self, name: &str, more: Vec<Value>) {
        if more.is_empty() {
            return;
        }
        match self.body.get_mut(name).and_then(Value::as_array_mut) {
            Some(all) => all.extend(more),
            None => self.set(name, more.into()),
        }
    }

    /// What a search for this resource asks: its identity.
    pub fn condition(&self) -> String {
        let by = if self.kind == "Provenance" { "_tag" } else { "identifier" };
        format!("{by}={}|{}", self.system, self.key)
    }

    /// As an entry that makes the resource, or brings the one with its identity up to date.
    pub(super) fn entry(self) -> Value {
        let url = format!("{}?{}", self.kind, self.condition());
        json!({
            "fullUrl": self.url,
            "resource": self.body,
            "request": {"method": "PUT", "url": url},
        })
    }
}

fn profile_url(name: &str) -> Option<&'static str> {
    codes::PROFILES.iter().find(|(own, _)| *own == name).map(|(_, url)| *url)
}

/// What a resource with this identity is referred to by within a bundle.
pub fn full_url(system: &str, key: &str) -> String {
    named(format!("full url of {system}|{key}").as_bytes()).urn().to_string()
}

/// Whose record it is: by the service's own code, and by its system where the service named one.
pub(super) fn subject(context: &ServiceContext, record: &str) -> Option<Value> {
    let code = clean(record)?;
    let mut identifier =
        json!({"value": code, "type": {"text": "record code of the measuring service"}});
    if let Some(system) = &context.patient_system {
        identifier["system"] = system.as_str().into();
    }
    if let Some(service) = clean(&context.service) {
        identifier["assigner"] = json!({ "display": service });
    }
    Some(json!({"type": "Patient", "identifier": identifier, "display": format!("Record {code}")}))
}

/// Who measured or decided: the operator's code, with its system where the service named one.
pub(super) fn operator(context: &ServiceContext, code: &str) -> Option<Value> {
    let code = clean(code)?;
    let mut who = json!({ "display": format!("Operator {code}") });
    if let Some(system) = &context.operator_system {
        who["type"] = "Practitioner".into();
        who["identifier"] = json!({"system": system, "value": code});
    }
    Some(who)
}

/// The service as an organisation.
pub(super) fn organization(context: &ServiceContext) -> Option<Value> {
    let name = clean(&context.service);
    let mut who = match &context.organization {
        Some(token) => token.to("Organization"),
        None => return None,
    };
    if let Some(name) = name {
        who["display"] = name.into();
    }
    Some(who)
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

    #[test]
    fn a_token_has_a_system_that_is_a_uri() {
        let token = Token::parse("https://clinic.example/mrn|A 12").unwrap();
        assert_eq!(
            (token.system.as_str(), token.value.as_str()),
            ("https://clinic.example/mrn", "A 12")
        );
        for bad in ["A12", "|A12", "mrn|A12", "https://x|", "urn:a b|1", "urn:,|1"] {
            assert!(Token::parse(bad).is_none(), "{bad}");
        }
    }
}
