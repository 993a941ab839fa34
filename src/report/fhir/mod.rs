//! A visit as an HL7 FHIR R4 Bundle: pressures, indexes, the examination over them, gauges, a report that gathers
//! them, who made it so and why, and recordings.
//!
//! One Observation a site with its pressure, one an attempt where a site had several, one index a leg with
//! `derivedFrom`, and the examination with `hasMember`. What was not obtained is there with its reason. The record's
//! code is a logical reference: no patient is created on anyone's server.
//!
//! Identity: each part of a visit has one identifier for good, made from the visit's opening. Every entry brings the
//! resource with its identifier up to date, or makes it, so a server has one of each whatever is sent how often; what
//! a correction took away, or what stood under another record's code, becomes `entered-in-error`.

use serde_json::{Value, json};
use uuid::Uuid;

use crate::clinical::event::Event;

pub mod bands;
pub mod codes;
mod history;
mod observations;
mod resource;
mod words;

pub use resource::{
    Document, Parcel, Resource, ServiceContext, Token, full_url, is_uri, plain_decimals,
};

use resource::{named, operator, subject};

/// The identity of a visit: a UUID of version 8 (RFC 9562) from the SHA-256 of its first event, which nothing changes.
///
/// # Errors
/// A number that JSON cannot hold; no event has one.
pub fn identity(events: &[Event]) -> Result<Uuid, serde_json::Error> {
    let first = events.first().map(|event| (&event.at, &event.act));
    Ok(named(&serde_json::to_vec(&first)?))
}

/// Everything of the visit as it is to stand on a server, in an order in which each refers only to those before it.
pub fn resources(parcel: &Parcel<'_>) -> Vec<Resource> {
    let mut all = history::resources(parcel);
    let last = |all: &[Resource]| {
        let standing = |one: &&Resource| {
            one.kind == "DiagnosticReport"
                && one.body.get("status") != Some(&"entered-in-error".into())
        };
        all.iter().filter(standing).map(|one| one.url.clone()).next_back()
    };
    let report = last(&all);
    for document in parcel.documents {
        if document.content_type == "application/pdf" {
            let one = all.iter_mut().find(|one| Some(&one.url) == report.as_ref());
            if let Some(one) = one {
                one.add("presentedForm", vec![attachment(document)]);
            }
        } else {
            all.push(document_reference(parcel, document, report.as_deref()));
        }
    }
    all
}

/// The bytes of the bundle, a `transaction`.
///
/// # Errors
/// A number that JSON cannot hold; no visit has one.
pub fn bundle(parcel: &Parcel<'_>) -> Result<Vec<u8>, serde_json::Error> {
    let entries: Vec<Value> = resources(parcel).into_iter().map(Resource::entry).collect();
    let bundle = json!({
        "resourceType": "Bundle",
        "type": "transaction",
        "identifier": {"system": codes::RESULTS, "value": parcel.id.to_string()},
        "entry": entries,
    });
    let mut text = plain_decimals(&serde_json::to_string_pretty(&bundle)?);
    text.push('\n');
    Ok(text.into_bytes())
}

fn attachment(document: &Document<'_>) -> Value {
    use base64::Engine;
    json!({
        "contentType": document.content_type,
        "language": document.language,
        "title": document.title,
        "data": base64::engine::general_purpose::STANDARD.encode(document.bytes),
    })
}

/// A recording; it is told by its bytes.
fn document_reference(
    parcel: &Parcel<'_>,
    document: &Document<'_>,
    report: Option<&str>,
) -> Resource {
    let part = format!("document-{}", named(document.bytes).simple());
    let mut one = Resource::of_visit(parcel, "DocumentReference", &part, 1);
    one.set("status", "current".into());
    one.set("type", codes::own("recording", document.title));
    if let Some(subject) = subject(parcel.context, &parcel.result.record) {
        one.set("subject", subject);
    }
    one.set("date", format!("{:.3}", parcel.visit.opened_at).into());
    let who = parcel.visit.operators.iter().filter_map(|code| operator(parcel.context, code));
    one.add("author", who.collect());
    if let Some(report) = report {
        one.set("context", json!({"related": [{ "reference": report }]}));
    }
    one.set("content", json!([{ "attachment": attachment(document) }]));
    one
}
