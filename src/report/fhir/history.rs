//! What a visit was after each event since its closing, so that every resource says whether it still stands.
//!
//! A resource that changed is `amended`; one that a correction took away, or that stood under another record's code,
//! is `entered-in-error`; one that never changed keeps its first words and its first time.

use serde_json::{Value, json};

use super::codes;
use super::observations::{Observations, State};
use super::resource::{Parcel, Resource, named, operator};
use super::words::clean;
use crate::clinical::event::{Act, Event};
use crate::clinical::moment::Moment;
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out;

/// What one part of the visit was, from its first state on.
struct Part {
    resource: Resource,
    /// It changed after it had first stood.
    changed: bool,
    /// It stands in the last state.
    stands: bool,
    issued: Moment,
}

impl Part {
    fn entered_in_error(&mut self, at: Moment) {
        (self.stands, self.changed, self.issued) = (false, true, at);
    }
}

/// Everything of the visit as it is to stand on a server, in an order in which each refers only to those before it.
pub(super) fn resources(parcel: &Parcel<'_>) -> Vec<Resource> {
    let mut parts: Vec<Part> = Vec::new();
    let mut origins = Vec::new();
    let mut records: Vec<String> = Vec::new();
    for event in steps(parcel.events) {
        let upto = parcel.events.iter().take_while(|e| e.n <= event.n).cloned();
        let upto: Vec<Event> = upto.collect();
        let last = upto.len() == parcel.events.len();
        let worked;
        let (visit, result) = if last {
            (parcel.visit, parcel.result)
        } else {
            let Ok(visit) = Visit::read(&upto) else { continue };
            let result = work_out(&visit, parcel.sets, Assumed::default());
            worked = (visit, result);
            (&worked.0, &worked.1)
        };
        let turn = turn(&mut records, &result.record);
        let made = Observations::of(State { parcel, visit, result, turn });
        let touched = take(&mut parts, made, event.at);
        if result.closed && !touched.is_empty() {
            origins.push(origin(parcel, event, touched));
        }
    }
    let mut all: Vec<Resource> = parts.into_iter().map(finished).collect();
    // Devices, then the rest as it was made: what appeared later may be referred to by what was there before.
    all.sort_by_key(rank);
    all.extend(origins);
    all
}

/// References go from later ranks to earlier ones.
fn rank(one: &Resource) -> u8 {
    let part = one.key.rsplit('.').next().unwrap_or_default();
    match one.kind {
        "Device" => 0,
        "Observation" if part.starts_with("attempt-") => 1,
        "Observation" if part.starts_with("site-") => 2,
        "Observation" if part == "examination" => 4,
        "Observation" => 3,
        "DiagnosticReport" => 5,
        _ => 6,
    }
}

/// The events after each of which the visit is looked at: its closing and all that followed; the last one where it is open.
fn steps(events: &[Event]) -> Vec<&Event> {
    let closed = events.iter().position(|event| matches!(event.act, Act::VisitClosed));
    match closed {
        Some(closed) => events[closed..].iter().collect(),
        None => events.last().into_iter().collect(),
    }
}

/// The how-manieth record's code this is: one that comes back is the one that it was.
fn turn(records: &mut Vec<String>, record: &str) -> usize {
    let at = records.iter().position(|known| known == record);
    at.unwrap_or_else(|| {
        records.push(record.to_owned());
        records.len() - 1
    }) + 1
}

/// Takes a state in, and gives what it touched.
fn take(parts: &mut Vec<Part>, made: Vec<Resource>, at: Moment) -> Vec<String> {
    let mut touched = Vec::new();
    let gone = |part: &Part| {
        part.stands
            && part.resource.kind != "Device"
            && !made.iter().any(|one| one.key == part.resource.key)
    };
    for part in parts.iter_mut().filter(|part| gone(part)) {
        part.entered_in_error(at);
        touched.push(part.resource.url.clone());
    }
    let mut report = None;
    for one in made {
        if one.kind == "DiagnosticReport" {
            report = Some(one);
            continue;
        }
        let url = one.url.clone();
        if stood(parts, one, at) {
            touched.push(url);
        }
    }
    // The report gathers the others: it is another one where any of them is.
    if let Some(one) = report {
        let url = one.url.clone();
        let new = stood(parts, one, at);
        let part = parts.iter_mut().find(|part| part.resource.url == url);
        if let Some(part) = part.filter(|_| !new && !touched.is_empty()) {
            (part.changed, part.issued) = (true, at);
        }
        if new || !touched.is_empty() {
            touched.push(url);
        }
    }
    touched
}

/// Whether a resource is new, or another one than before.
fn stood(parts: &mut Vec<Part>, one: Resource, at: Moment) -> bool {
    match parts.iter_mut().find(|part| part.resource.key == one.key) {
        Some(part) if part.stands && part.resource == one => false,
        Some(part) => {
            let device = one.kind == "Device";
            *part = Part { resource: one, changed: true, stands: true, issued: at };
            !device
        }
        None => {
            let device = one.kind == "Device";
            parts.push(Part { resource: one, changed: false, stands: true, issued: at });
            !device
        }
    }
}

/// With its status as it is now, the time since when it is so, and a sentence for readers.
fn finished(part: Part) -> Resource {
    let mut one = part.resource;
    if one.kind == "Device" {
        return one;
    }
    let status = one.body.get("status").and_then(Value::as_str).unwrap_or_default();
    let status = match (part.stands, status) {
        (false, _) => "entered-in-error",
        (true, "final") if part.changed => "amended",
        (true, other) => other,
    };
    let status = status.to_owned();
    one.set("status", status.into());
    one.set("issued", format!("{:.3}", part.issued).into());
    if let Some(words) = sentence(&one.body) {
        let escaped = words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
        let div = format!("<div xmlns=\"http://www.w3.org/1999/xhtml\">{escaped}</div>");
        one.set("text", json!({"status": "generated", "div": div}));
    }
    one
}

/// A resource in one sentence.
fn sentence(body: &serde_json::Map<String, Value>) -> Option<String> {
    let code = body.get("code")?.get("text")?.as_str()?;
    let site = body.get("bodySite").and_then(|site| site["text"].as_str());
    let value = match (body.get("valueQuantity"), body.get("dataAbsentReason")) {
        (Some(value), _) => {
            let number = value["value"].as_str().unwrap_or_default().replace('\u{1}', "");
            let above = value["comparator"].as_str().unwrap_or_default();
            let unit = value["unit"].as_str().filter(|unit| *unit != "ratio").unwrap_or_default();
            format!(": {above} {number} {unit}")
        }
        (None, Some(why)) => format!(": {}", why["text"].as_str()?),
        (None, None) => body
            .get("conclusion")
            .and_then(Value::as_str)
            .map_or(String::new(), |c| format!(": {c}")),
    };
    let site =
        site.filter(|site| !code.contains(site)).map_or(String::new(), |site| format!(", {site}"));
    let wrong = if body.get("status")? == "entered-in-error" { "Entered in error. " } else { "" };
    let all = format!("{wrong}{code}{site}{value}");
    clean(&all.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// Who made the visit what it is, when and why.
fn origin(parcel: &Parcel<'_>, event: &Event, touched: Vec<String>) -> Resource {
    let told = serde_json::to_vec(&(&event.at, &event.act)).unwrap_or_default();
    let part = format!("origin-{}", named(&told).simple());
    let mut one = Resource::of_visit(parcel, "Provenance", &part, 1);
    let (code, who, why) = cause(parcel, &event.act);
    let targets: Vec<Value> = touched.iter().map(|url| json!({ "reference": url })).collect();
    one.set("target", targets.into());
    one.set("recorded", format!("{:.3}", event.at).into());
    one.set("activity", codes::own_plain(code));
    if let Some(why) = clean(&why) {
        one.set("reason", json!([{ "text": why }]));
    }
    let context = parcel.context;
    let who = operator(context, &who).unwrap_or_else(|| json!({"display": "not recorded"}));
    let mut agent = json!({ "who": who });
    if let Some(service) = super::resource::organization(context) {
        agent["onBehalfOf"] = service;
    }
    one.set("agent", json!([agent]));
    one
}

/// Which act it was, whose, and why.
fn cause(parcel: &Parcel<'_>, act: &Act) -> (&'static str, String, String) {
    match act {
        Act::VisitClosed => {
            ("closed", parcel.visit.operators.last().cloned().unwrap_or_default(), String::new())
        }
        Act::Amendment { who, why, .. } => ("amended", who.clone(), why.clone()),
        Act::AttemptWithdrawn { who, why, .. } => ("withdrawn", who.clone(), why.clone()),
        Act::Undone { who, .. } => ("undone", who.clone(), String::new()),
        Act::Note { who, .. } | Act::Plan { who, .. } => ("noted", who.clone(), String::new()),
        Act::Countersigned { who } | Act::NextTest { who, .. } => {
            ("other", who.clone(), String::new())
        }
        _ => ("other", String::new(), String::new()),
    }
}
