//! The Observations of a visit, in an order in which each refers only to those before it.

use serde_json::{Value, json};

use super::resource::{Parcel, Resource, UCUM, decimal, operator, organization, ratio, subject};
use super::words::clean;
use super::{bands, codes};
use crate::clinical::event::{Outcome, Phase, Posture};
use crate::clinical::moment::{Day, ONLY_THE_DAY};
use crate::clinical::result::{AttemptResult, LegResult, SiteResult, VisitResult};
use crate::clinical::site::{Artery, Side, Site};
use crate::clinical::visit::{Attempt, Visit};

/// The sides of both indexes in one, by HL7 Lithuania.
const NATIONAL_SIDES: &str = "https://tx.hl7.lt/fhir/CodeSystem/abi-component";

/// One state of a visit: what it was after one of its events.
#[derive(Clone, Copy)]
pub(super) struct State<'a> {
    pub(super) parcel: &'a Parcel<'a>,
    pub(super) visit: &'a Visit,
    pub(super) result: &'a VisitResult,
    /// The how-manieth record's code it bears.
    pub(super) turn: usize,
}

/// The resources of one state as they are made.
pub(super) struct Observations<'a> {
    state: State<'a>,
    made: Vec<Resource>,
    gauges: Vec<(String, String)>,
    program: String,
    /// What each site's pressure is referred to by.
    sites: Vec<((Site, Phase), String)>,
    /// What the panel holds.
    members: Vec<String>,
}

impl<'a> Observations<'a> {
    pub(super) fn of(state: State<'a>) -> Vec<Resource> {
        let mut all = Self {
            state,
            made: Vec::new(),
            gauges: Vec::new(),
            program: String::new(),
            sites: Vec::new(),
            members: Vec::new(),
        };
        all.devices();
        for site in &state.result.sites {
            all.site(site);
        }
        for side in Side::BOTH {
            all.leg(state.result.leg(side));
        }
        all.panel();
        if state.parcel.context.national {
            all.national();
        }
        all.report();
        all.made
    }

    fn push(&mut self, resource: Resource) -> String {
        let reference = resource.url.clone();
        self.made.push(resource);
        reference
    }

    /// The gauges by their code, and this program with its version: the same ones in every visit.
    fn devices(&mut self) {
        let opened = &self.state.visit.opened;
        let service = &self.state.parcel.context.service;
        for gauge in std::iter::once(&opened.gauge).chain(&opened.other_gauges) {
            if self.gauges.iter().any(|(code, _)| *code == gauge.code) {
                continue;
            }
            let mut device = Resource::device(&format!("gauge {service}|{}", gauge.code));
            device.set("status", "active".into());
            device.set("type", codes::gauge());
            if let Some(code) = clean(&gauge.code) {
                device.set("deviceName", json!([{"name": code, "type": "user-friendly-name"}]));
            }
            device.note(&[format!("Lines {} mmHg apart.", gauge.graduation_mmhg)]);
            let reference = self.push(device);
            self.gauges.push((gauge.code.clone(), reference));
        }
        let versions = &self.state.result.versions;
        let listener = versions.listener.as_deref().and_then(clean);
        let name = format!("program {}|{}", versions.program, listener.as_deref().unwrap_or(""));
        let mut device = Resource::device(&name);
        device.set("status", "active".into());
        device.set("deviceName", json!([{"name": "cuffnote", "type": "model-name"}]));
        let mut version = vec![json!({"type": {"text": "program"}, "value": versions.program})];
        if let Some(listener) = listener {
            version.push(json!({"type": {"text": "listener"}, "value": listener}));
        }
        device.set("version", version.into());
        device.set("type", codes::own_plain("program"));
        self.program = self.push(device);
    }

    /// What every Observation and the report of this visit have. The status is that of one that never changed.
    fn begin(&self, kind: &'static str, part: &str, code: Value) -> Resource {
        let (visit, result) = (self.state.visit, self.state.result);
        let context = self.state.parcel.context;
        let mut one = Resource::of_visit(self.state.parcel, kind, part, self.state.turn);
        one.set("status", if result.closed { "final" } else { "preliminary" }.into());
        one.set("code", code);
        if let Some(order) = &context.order {
            one.set("basedOn", json!([order.to("ServiceRequest")]));
        }
        if let Some(subject) = subject(context, &result.record) {
            one.set("subject", subject);
        }
        if let Some(encounter) = &context.encounter {
            one.set("encounter", encounter.to("Encounter"));
        }
        one.set("effectiveDateTime", when(visit, None).into());
        let operators = visit.operators.iter().filter_map(|code| operator(context, code));
        let who: Vec<Value> = operators.chain(organization(context)).collect();
        if !who.is_empty() {
            one.set("performer", who.into());
        }
        if kind == "Observation" {
            one.set("category", json!([codes::category("exam")]));
            one.set("extension", json!([posture(visit.opened.posture)]));
        }
        one
    }

    fn attempts(&self, numbers: &[u32]) -> Vec<&'a Attempt> {
        numbers.iter().filter_map(|number| self.state.visit.attempt(*number)).collect()
    }

    /// Sets place, method and gauge of a pressure.
    fn place(&self, one: &mut Resource, site: &SiteResult, attempts: &[&Attempt]) {
        one.set("bodySite", codes::body_site(site.site));
        if attempts.iter().all(|attempt| !attempt.entered()) {
            one.set("method", codes::method());
            let own = &self.state.visit.opened.gauge.code;
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
        let part = format!(
            "site-{}{}",
            site.site.code(),
            if site.phase == Phase::Rest { "" } else { "-after" }
        );
        let mut one = self.begin("Observation", &part, codes::pressure(site.site));
        one.profile(self.state.parcel.context, "pressure");
        let counted: Vec<u32> =
            site.attempts.iter().filter(|a| a.counts).map(|a| a.number).collect();
        let counted = if counted.is_empty() { attempts.clone() } else { self.attempts(&counted) };
        self.place(&mut one, site, &counted);
        one.set("effectiveDateTime", when(self.state.visit, counted.last().copied()).into());
        if let Some(who) = counted.last().and_then(|last| self.measured_by(last)) {
            one.set("performer", who);
        }
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
        let mut one = self.begin("Observation", &part, codes::pressure(site.site));
        one.profile(self.state.parcel.context, "pressure");
        self.place(&mut one, site, &[attempt]);
        one.set("effectiveDateTime", when(self.state.visit, Some(attempt)).into());
        if let Some(who) = self.measured_by(attempt) {
            one.set("performer", who);
        }
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
        let method = self.state.result.method.code;
        let part = format!("index-{}", leg.side.code());
        let mut one = self.begin("Observation", &part, codes::index(method, leg.side));
        one.profile(self.state.parcel.context, "index");
        one.set("bodySite", codes::leg(leg.side));
        one.set("method", codes::words(method.words()));
        one.set("device", json!({ "reference": self.program }));
        match (leg.index, leg.more_than) {
            (Some(index), _) => one.set("valueQuantity", ratio(index)),
            // A comparator changes what a value means, and every reader of FHIR has to heed it.
            (None, Some(least)) => {
                let mut above = ratio(least);
                above["comparator"] = ">".into();
                one.set("valueQuantity", above);
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
        let sets = self.state.parcel.sets;
        one.add("interpretation", bands::of_leg(leg, sets));
        if let Some(range) = bands::range(leg, sets) {
            one.set("referenceRange", range);
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
        let mut one = self.begin("Observation", &part, codes::toe_index(leg.side));
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
        let (visit, result) = (self.state.visit, self.state.result);
        let mut one = self.begin("Observation", "examination", codes::own_plain("examination"));
        one.profile(self.state.parcel.context, "examination");
        one.set("device", json!({ "reference": self.program }));
        one.set("method", codes::words(result.method.words.as_str()));
        let flags = result.flags.iter().map(|flag| format!("{}.", flag.words));
        let mut notes: Vec<String> = flags.collect();
        notes.extend(result.notes.iter().cloned());
        notes.extend(
            result.guidance.iter().map(|set| {
                format!("Guidance: {}, copy {}: {}.", set.name, set.version, set.source)
            }),
        );
        one.note(&notes);
        let by = |(who, words): (&String, &String)| {
            let mut note = json!({ "text": clean(words)? });
            if let Some(who) = clean(who) {
                note["authorString"] = format!("Operator {who}").into();
            }
            Some(note)
        };
        let notes = visit.notes.iter().map(|(who, words)| (who, words));
        let plan = visit.plan.iter().map(|(words, who)| (who, words));
        one.add("note", notes.chain(plan).filter_map(by).collect());
        if !self.members.is_empty() {
            one.set("hasMember", references(&self.members));
        }
        let reference = self.push(one);
        self.members.push(reference);
    }

    /// Both indexes in one, by the rules of the profile ankle-brachial-index-lt-cvd (HL7 Lithuania). It is a profile of
    /// FHIR R5, so this R4 resource does not claim it; every element here is the same in both (docs/exchange.md).
    fn national(&mut self) {
        let legs = Side::BOTH.map(|side| (side, self.state.result.leg(side)));
        let sides = legs.iter().filter_map(|(side, leg)| {
            let value = leg.index.filter(|_| !leg.provisional)?;
            let (code, display) = match side {
                Side::Left => ("left-abi", "Left ankle-brachial index"),
                Side::Right => ("right-abi", "Right ankle-brachial index"),
            };
            let code =
                json!({"coding": [{"system": NATIONAL_SIDES, "code": code, "display": display}]});
            Some(json!({"code": code, "valueQuantity": ratio(value)}))
        });
        let sides: Vec<Value> = sides.collect();
        if sides.is_empty() {
            return;
        }
        let display = "Ankle brachial pressure index (observable entity)";
        let coding = json!([{"system": codes::SNOMED, "code": "446841001", "display": display}]);
        let mut one = self.begin("Observation", "index-both", json!({ "coding": coding }));
        let mut category = codes::category("procedure");
        category["coding"][0]["display"] = "Procedure".into();
        one.set("category", json!([category]));
        one.set("component", sides.into());
        one.set("device", json!({ "reference": self.program }));
        self.push(one);
    }

    /// The report that gathers the results.
    fn report(&mut self) {
        let mut one = self.begin("DiagnosticReport", "report", codes::own_plain("report"));
        one.profile(self.state.parcel.context, "report");
        one.set("result", references(&self.members));
        let short = Side::BOTH.map(|side| self.state.result.in_short(side));
        if let Some(words) = clean(&short.join(" ")) {
            one.set("conclusion", words.into());
        }
        self.push(one);
    }

    /// Who took an attempt, and for which service.
    fn measured_by(&self, attempt: &Attempt) -> Option<Value> {
        let context = self.state.parcel.context;
        let who: Vec<Value> =
            operator(context, &attempt.operator).into_iter().chain(organization(context)).collect();
        (!who.is_empty()).then(|| who.into())
    }
}

/// When an attempt ended, or the visit opened; the day alone where no more is known.
fn when(visit: &Visit, attempt: Option<&Attempt>) -> String {
    if let Some(day) = visit.measured_on().or_else(|| only_a_day(visit)) {
        return day.to_string();
    }
    let ended = attempt.and_then(|attempt| attempt.ended_at);
    format!("{:.3}", ended.unwrap_or(visit.opened_at))
}

/// The day of a visit from a table that gave no time: it was opened at midnight, as its note says.
fn only_a_day(visit: &Visit) -> Option<Day> {
    let said = visit.notes.iter().any(|(_, words)| words.contains(ONLY_THE_DAY));
    said.then(|| visit.opened_at.day())
}

fn references(all: &[String]) -> Value {
    all.iter().map(|reference| json!({ "reference": reference })).collect::<Vec<_>>().into()
}

/// How the patient lay.
fn posture(posture: Posture) -> Value {
    json!({
        "url": "http://hl7.org/fhir/StructureDefinition/observation-bodyPosition",
        "valueCodeableConcept": codes::posture(posture),
    })
}

fn millimetres(mmhg: f64) -> Value {
    let shown = if mmhg.fract() == 0.0 { format!("{mmhg:.0}") } else { format!("{mmhg:.1}") };
    json!({"value": decimal(shown), "unit": "mmHg", "system": UCUM, "code": "mm[Hg]"})
}

/// The interval: its two ends make no sense alone, so they are components.
fn ends(low: impl std::fmt::Display, high: impl std::fmt::Display) -> Value {
    json!([
        {"code": codes::own_plain("low"), "valueQuantity": ratio(low)},
        {"code": codes::own_plain("high"), "valueQuantity": ratio(high)},
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
