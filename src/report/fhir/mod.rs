//! A visit as an HL7 FHIR R4 Bundle: pressures, indexes, a panel over them, gauges, and documents.
//!
//! One Observation a site with its pressure, one an attempt where a site had several, one index a leg with
//! `derivedFrom`, and a panel with `hasMember`. What was not obtained is there with its reason. The record's
//! code is a logical reference: no patient is created on anyone's server.
//!
//! Identity: every resource has a UUID made from the visit's events, so the same visit gives the same bundle,
//! and each entry is created only where no resource with its identifier exists.

use serde_json::{Value, json};
use uuid::Uuid;

use crate::clinical::event::Event;

pub mod codes;
mod observations;
mod resource;

pub use resource::{Document, Parcel};

use observations::Observations;
use resource::{Resource, named, plain_decimals, subject};

/// The identity of a visit: a UUID of version 8 (RFC 9562) from the SHA-256 of its events. An amended visit is
/// another one, so that a server that has the old one takes the new one too.
///
/// # Errors
/// A number that JSON cannot hold; no event has one.
pub fn identity(events: &[Event]) -> Result<Uuid, serde_json::Error> {
    Ok(named(&serde_json::to_vec(events)?))
}

/// The bytes of the bundle, a `transaction`.
///
/// # Errors
/// A number that JSON cannot hold; no visit has one.
pub fn bundle(parcel: &Parcel<'_>) -> Result<Vec<u8>, serde_json::Error> {
    let mut resources = Observations::of(parcel).all();
    let panel = resources.last().map(|r| r.reference.clone());
    let documents = parcel.documents.iter();
    resources.extend(documents.map(|d| document_reference(parcel, d, panel.as_deref())));
    let entries: Vec<Value> = resources.into_iter().map(Resource::entry).collect();
    let bundle = json!({
        "resourceType": "Bundle",
        "type": "transaction",
        "identifier": {"system": "urn:ietf:rfc:3986", "value": parcel.id.urn().to_string()},
        "timestamp": parcel.visit.opened_at.to_string(),
        "entry": entries,
    });
    let mut text = plain_decimals(&serde_json::to_string_pretty(&bundle)?);
    text.push('\n');
    Ok(text.into_bytes())
}

fn document_reference(
    parcel: &Parcel<'_>,
    document: &Document<'_>,
    panel: Option<&str>,
) -> Resource {
    use base64::Engine;
    // The report of one visit is one document, though the book's head in it moves on; a sound is its bytes.
    let part = match document.content_type {
        "application/pdf" => document.title.to_owned(),
        _ => named(document.bytes).to_string(),
    };
    let mut resource = Resource::new(parcel, "DocumentReference", &format!("document-{part}"));
    resource.set("status", "current".into());
    resource.set("type", codes::words(document.title));
    if let Some(subject) = subject(parcel) {
        resource.set("subject", subject);
    }
    if let Some(panel) = panel {
        resource.set("context", json!({"related": [{ "reference": panel }]}));
    }
    let data = base64::engine::general_purpose::STANDARD.encode(document.bytes);
    resource.set(
        "content",
        json!([{"attachment": {
            "contentType": document.content_type,
            "language": "en",
            "title": document.title,
            "data": data,
        }}]),
    );
    resource
}
