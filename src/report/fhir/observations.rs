//! The Observations of a visit, in an order in which each refers only to those before it.

use serde_json::{Value, json};

use super::codes;
use super::resource::{Parcel, Resource, clean, decimal, subject};
use crate::clinical::event::{Outcome, Phase, Posture};
use crate::clinical::result::{AttemptResult, LegResult, SiteResult};
use crate::clinical::site::{Artery, Side, Site};
use crate::clinical::visit::Attempt;

const UCUM: &str = "http://unitsofmeasure.org";

/// The resources of one visit as they are made.
pub(super) struct Observations<'a> {
    parcel: &'a Parcel<'a>,
    made: Vec<Resource>,
    gauges: Vec<(String, String)>,
    program: String,
    /// What each site's pressure is referred to by.
    sites: Vec<((Site, Phase), String)>,
    /// What the panel holds.
    members: Vec<String>,
}

impl<'a> Observations<'a> {
    pub(super) fn of(parcel: &'a Parcel<'a>) -> Self {
        let mut all = Self {
            parcel,
            made: Vec::new(),
            gauges: Vec::new(),
            program: String::new(),
            sites: Vec::new(),
            members: Vec::new(),
        };
        all.devices();
        for site in &parcel.result.sites {
            all.site(site);
        }
        for side in Side::BOTH {
            all.leg(parcel.result.leg(side));
        }
        all.panel();
        all
    }

    pub(super) fn all(self) -> Vec<Resource> {
        self.made
    }

    fn push(&mut self, resource: Resource) -> String {
        let reference = resource.reference.clone();
        self.made.push(resource);
        reference
    }

    /// The gauges by their code, and this program with its version.
    fn devices(&mut self) {
        let opened = &self.parcel.visit.opened;
        for gauge in std::iter::once(&opened.gauge).chain(&opened.other_gauges) {
            if self.gauges.iter().any(|(code, _)| *code == gauge.code) {
                continue;
            }
            let mut device = Resource::new(self.parcel, "Device", &format!("gauge-{}", gauge.code));
            device.set("status", "active".into());
            device.set("type", codes::gauge());
            if let Some(code) = clean(&gauge.code) {
                device.set("deviceName", json!([{"name": code, "type": "user-friendly-name"}]));
            }
            device.note(&[format!("Lines {} mmHg apart.", gauge.graduation_mmhg)]);
            let reference = self.push(device);
            self.gauges.push((gauge.code.clone(), reference));
        }
        let versions = &self.parcel.result.versions;
        let mut device = Resource::new(self.parcel, "Device", "program");
        device.set("status", "active".into());
        device.set("deviceName", json!([{"name": "cuffnote", "type": "model-name"}]));
        let mut version = vec![json!({"type": {"text": "program"}, "value": versions.program})];
        if let Some(listener) = versions.listener.as_deref().and_then(clean) {
            version.push(json!({"type": {"text": "listener"}, "value": listener}));
        }
        device.set("version", version.into());
        device.set("type", codes::words("Program that records an examination"));
        self.program = self.push(device);
    }

    /// What every Observation of this visit has.
    fn begin(&self, part: &str, code: Value) -> Resource {
        let (visit, result) = (self.parcel.visit, self.parcel.result);
        let mut one = Resource::new(self.parcel, "Observation", part);
        let status = match (result.closed, visit.amended.is_empty()) {
            (false, _) => "preliminary",
            (true, false) => "amended",
            (true, true) => "final",
        };
        one.set("status", status.into());
        one.set("category", json!([codes::category()]));
        one.set("code", code);
        if let Some(subject) = subject(self.parcel) {
            one.set("subject", subject);
        }
        one.set("effectiveDateTime", visit.when().into());
        if let Some(operator) = clean(&result.operator) {
            one.set("performer", json!([{ "display": format!("Operator {operator}") }]));
        }
        one.set("extension", json!([posture(visit.opened.posture)]));
        one
    }

    fn attempts(&self, numbers: &[u32]) -> Vec<&'a Attempt> {
        numbers.iter().filter_map(|number| self.parcel.visit.attempt(*number)).collect()
    }

    /// Sets place, method and gauge of a pressure.
    fn place(&self, one: &mut Resource, site: &SiteResult, attempts: &[&Attempt]) {
        one.set("bodySite", codes::body_site(site.site));
        if attempts.iter().all(|attempt| !attempt.entered()) {
            one.set("method", codes::method());
            let own = &self.parcel.visit.opened.gauge.code;
            let code = attempts.first().and_then(|a| a.gauge.as_ref()).unwrap_or(own);
            let device = self.gauges.iter().find(|(gauge, _)| gauge == code);
            if let Some((_, reference)) = device {
                one.set("device", json!({ "reference": reference }));
            }
        }
    }

    /// A site's pressure; where it was tried more than once, each attempt too.
    fn site(&mut self, site: &SiteResult) {
        let numbers: Vec<u32> = site.attempts.iter().map(|a| a.number).collect();
        let attempts = self.attempts(&numbers);
        let mut behind = Vec::new();
        if site.attempts.len() > 1 {
            for (told, attempt) in site.attempts.iter().zip(&attempts) {
                let reference = self.attempt(site, told, attempt);
                if told.counts {
                    behind.push(reference);
                }
            }
        }
        let part = format!("site-{}-{:?}", site.site.code(), site.phase);
        let mut one = self.begin(&part, codes::pressure(site.site));
        let counted: Vec<u32> =
            site.attempts.iter().filter(|a| a.counts).map(|a| a.number).collect();
        let counted = if counted.is_empty() { attempts.clone() } else { self.attempts(&counted) };
        self.place(&mut one, site, &counted);
        match site.mmhg {
            Some(mmhg) => one.set("valueQuantity", millimetres(mmhg)),
            None => one.set("dataAbsentReason", absent(attempts.last(), &site.outcome)),
        }
        let mut notes = notes(site);
        if behind.len() > 1 {
            notes.push(format!("Mean of {} readings.", behind.len()));
        }
        one.note(&notes);
        if !behind.is_empty() {
            one.set("derivedFrom", references(&behind));
        }
        let reference = self.push(one);
        self.members.push(reference.clone());
        self.sites.push(((site.site, site.phase), reference));
    }

    /// One of several attempts at a site.
    fn attempt(&mut self, site: &SiteResult, told: &AttemptResult, attempt: &Attempt) -> String {
        let part = format!("attempt-{}", told.number);
        let mut one = self.begin(&part, codes::pressure(site.site));
        self.place(&mut one, site, &[attempt]);
        match told.mmhg {
            Some(mmhg) => one.set("valueQuantity", millimetres(mmhg)),
            None => one.set("dataAbsentReason", absent(Some(&attempt), &told.outcome)),
        }
        let mut notes = vec![format!("Attempt {}.", told.number)];
        notes.extend(phase(site));
        if let Some(why) = &told.left_out {
            notes.push(format!("Does not count: {why}."));
        }
        if attempt.withdrawn.is_some() {
            one.set("status", "entered-in-error".into());
        }
        one.note(&notes);
        self.push(one)
    }

    /// The index of a leg, and the toe's where it was measured.
    fn leg(&mut self, leg: &LegResult) {
        let method = self.parcel.result.method.code;
        let part = format!("index-{}", leg.side.code());
        let mut one = self.begin(&part, codes::index(method, leg.side));
        one.set("bodySite", codes::leg(leg.side));
        one.set("method", codes::words(method.words()));
        one.set("device", json!({ "reference": self.program }));
        match (leg.index, leg.more_than) {
            (Some(index), _) => one.set("valueQuantity", ratio(index)),
            (None, Some(least)) => {
                let words = format!("above {least}, by how much is not known");
                one.set("dataAbsentReason", codes::absent("unknown", &words));
            }
            (None, None) => {
                let words = "no index: a pressure that it needs was not obtained";
                one.set("dataAbsentReason", codes::absent("unknown", words));
            }
        }
        if leg.provisional {
            one.set("status", "preliminary".into());
        }
        if let Some((low, high)) = leg.low.zip(leg.high) {
            one.set("component", ends(low, high));
        }
        let sets = leg.bands.iter().map(|band| codes::words(&band.shown()));
        let sets: Vec<Value> = sets.collect();
        if !sets.is_empty() {
            one.set("interpretation", sets.into());
        }
        one.note(&leg.words);
        self.derived(&mut one, [&leg.ankle_site, &leg.arm_site].into_iter().flatten());
        let reference = self.push(one);
        self.members.push(reference);
        self.toe(leg);
    }

    fn toe(&mut self, leg: &LegResult) {
        let Some(index) = leg.toe.as_ref().and_then(|toe| toe.index) else { return };
        let part = format!("toe-index-{}", leg.side.code());
        let mut one = self.begin(&part, codes::toe_index(leg.side));
        one.set("bodySite", codes::leg(leg.side));
        one.set("device", json!({ "reference": self.program }));
        one.set("valueQuantity", ratio(index));
        if let Some((low, high)) = leg.toe.as_ref().and_then(|toe| toe.low.zip(toe.high)) {
            one.set("component", ends(low, high));
        }
        if leg.provisional {
            one.set("status", "preliminary".into());
        }
        let toe = Site::new(leg.side, Artery::GreatToe).code();
        self.derived(&mut one, [Some(&toe), leg.arm_site.as_ref()].into_iter().flatten());
        let reference = self.push(one);
        self.members.push(reference);
    }

    /// What a ratio is made of.
    fn derived<'c>(&self, one: &mut Resource, codes: impl Iterator<Item = &'c String>) {
        let wanted: Vec<Site> =
            codes.flat_map(|codes| codes.split('+')).filter_map(|c| c.parse().ok()).collect();
        let from = self
            .sites
            .iter()
            .filter(|((site, phase), _)| *phase == Phase::Rest && wanted.contains(site));
        let from: Vec<String> = from.map(|(_, reference)| reference.clone()).collect();
        if !from.is_empty() {
            one.set("derivedFrom", references(&from));
        }
    }

    /// The whole examination, without a value of its own.
    fn panel(&mut self) {
        let mut one = self.begin("panel", codes::words("Ankle-brachial index, both legs"));
        one.set("device", json!({ "reference": self.program }));
        one.set("method", codes::words(self.parcel.result.method.words.as_str()));
        let flags = self.parcel.result.flags.iter().map(|flag| format!("{}.", flag.words));
        let mut notes: Vec<String> = flags.collect();
        notes.extend(self.parcel.result.notes.iter().cloned());
        let sets = self.parcel.result.guidance.iter();
        notes.extend(
            sets.map(|set| {
                format!("Guidance: {}, copy {}: {}.", set.name, set.version, set.source)
            }),
        );
        one.note(&notes);
        if !self.members.is_empty() {
            one.set("hasMember", references(&self.members));
        }
        self.push(one);
    }
}

fn references(all: &[String]) -> Value {
    all.iter().map(|reference| json!({ "reference": reference })).collect::<Vec<_>>().into()
}

/// How the patient lay; a code only where one was seen.
fn posture(posture: Posture) -> Value {
    let position = match posture {
        Posture::Sitting => json!({
            "coding": [{"system": "http://snomed.info/sct", "code": "33586001"}],
            "text": posture.words(),
        }),
        _ => codes::words(posture.words()),
    };
    json!({
        "url": "http://hl7.org/fhir/StructureDefinition/observation-bodyPosition",
        "valueCodeableConcept": position,
    })
}

fn millimetres(mmhg: f64) -> Value {
    let shown = if mmhg.fract() == 0.0 { format!("{mmhg:.0}") } else { format!("{mmhg:.1}") };
    json!({"value": decimal(shown), "unit": "mmHg", "system": UCUM, "code": "mm[Hg]"})
}

fn ratio(value: impl std::fmt::Display) -> Value {
    json!({"value": decimal(value), "unit": "ratio", "system": UCUM, "code": "{ratio}"})
}

/// The interval: its two ends make no sense alone, so they are components.
fn ends(low: impl std::fmt::Display, high: impl std::fmt::Display) -> Value {
    json!([
        {"code": codes::words("Lower end of the 95 % interval of the measurement"), "valueQuantity": ratio(low)},
        {"code": codes::words("Upper end of the 95 % interval of the measurement"), "valueQuantity": ratio(high)},
    ])
}

/// Why there is no pressure.
fn absent(last: Option<&&Attempt>, words: &str) -> Value {
    let code = match last.and_then(|attempt| attempt.outcome.as_ref()) {
        Some(Outcome::NotMeasured { .. }) | None => "not-performed",
        // Looked for without success, or above what the cuff may reach: a value exists and is not known.
        Some(_) => "unknown",
    };
    codes::absent(code, &clean(words).unwrap_or_else(|| "no pressure".into()))
}

fn phase(site: &SiteResult) -> Option<String> {
    (site.phase == Phase::AfterExercise).then(|| "After exercise.".to_owned())
}

fn notes(site: &SiteResult) -> Vec<String> {
    let mut notes: Vec<String> = phase(site).into_iter().collect();
    if let Some(word) = site.waveform {
        notes.push(format!("Waveform, the clinician's word: {}.", word.words()));
    }
    if site.attempts.iter().any(|a| a.entered && a.counts) {
        notes.push("Entered from another instrument.".into());
    }
    notes
}
