//! Several laptops in one visit: where two of them disagree, what is set aside because it cannot be worked out, and
//! whose events there are.

use serde::Serialize;

use super::event::{Act, Event, Outcome};
use super::moment::Moment;
use super::reasons;
use crate::words::{Words, id, say};

/// An event that is kept and does not count.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Aside {
    /// Its number.
    pub n: u64,
    /// What kind of act it is.
    pub kind: String,
    /// When it was made.
    pub at: Moment,
    /// The chain that it stands in, where that is another one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chain: Option<String>,
    /// Why it does not count.
    pub why: String,
    /// True where the record book said so, false where the act does not fit the visit.
    #[serde(skip)]
    pub by_book: bool,
}

impl Aside {
    /// An event set aside for this reason.
    pub(super) fn of(event: &Event, why: &str) -> Self {
        Self {
            n: event.n,
            kind: kind(&event.act),
            at: event.at,
            chain: event.apart.chain.clone(),
            why: why.to_owned(),
            by_book: event.apart.aside.is_some(),
        }
    }

    /// As a sentence.
    pub fn words(&self, words: Words) -> String {
        let whose = whose(words, self.chain.as_deref());
        say!(
            words,
            "clinical-aside",
            n = self.n,
            kind = self.kind,
            whose = whose,
            why = reasons::said(words, &self.why)
        )
    }
}

/// Words that say whose something is; none where it is the visit's own laptop.
pub fn whose(words: Words, chain: Option<&str>) -> String {
    chain.map_or(String::new(), |chain| say!(words, "clinical-of-chain", chain = chain))
}

/// The kind of an act, as it is written in the event.
pub fn kind(act: &Act) -> String {
    let written = serde_json::to_value(act).unwrap_or_default();
    written["kind"].as_str().unwrap_or_default().to_owned()
}

/// Two laptops gave one fact two values, and nobody who knew both has settled it.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Disagreement {
    /// The event that both amended; for the day of the next test, the later event that names it.
    pub of: u64,
    /// The attempt that it is about, where it is about one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub attempt: Option<u32>,
    /// What it is about, in words.
    pub what: String,
    /// What was said, in order; the last one stands.
    pub said: Vec<DisputedValue>,
    /// What it is about, for other languages.
    #[serde(skip)]
    pub(super) act: Act,
}

/// One of the values that stand against each other.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct DisputedValue {
    /// The number of the event that says so.
    pub n: u64,
    /// Whose decision.
    pub who: String,
    /// When it was made.
    pub at: Moment,
    /// The chain that it stands in, where that is not the visit's first one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chain: Option<String>,
    /// The value in words.
    pub words: String,
    /// The value, for other languages.
    #[serde(skip)]
    pub(super) act: Act,
}

impl Disagreement {
    /// As a sentence, with the way to settle it.
    pub fn words(&self, words: Words) -> String {
        let said = self.said.iter().map(|said| {
            let (at, whose) = (said.at.to_string(), whose(words, said.chain.as_deref()));
            let (value, who) = (value(words, &said.act), &said.who);
            say!(words, "clinical-disagree-said", value = value, who = who, at = at, whose = whose)
        });
        let said = said.collect::<Vec<_>>().join("; ");
        let stands = self.said.last().map_or(String::new(), |said| value(words, &said.act));
        let what = about(words, &self.act);
        say!(words, "clinical-disagree", what = what, said = said, stands = stands)
    }
}

/// Events of one chain that is not the visit's first one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct OtherChain {
    /// The chain.
    pub chain: String,
    /// How many events it has in this visit.
    pub events: u64,
}

impl OtherChain {
    /// All other chains of a visit, in the order of their first events.
    pub(super) fn all(events: &[Event]) -> Vec<Self> {
        let mut others: Vec<Self> = Vec::new();
        for chain in events.iter().filter_map(|event| event.apart.chain.as_ref()) {
            match others.iter_mut().find(|other| other.chain == *chain) {
                Some(other) => other.events += 1,
                None => others.push(Self { chain: chain.clone(), events: 1 }),
            }
        }
        others
    }
}

/// The attempt that an amendment is about, where it is about one.
pub(super) fn attempt(act: &Act) -> Option<u32> {
    match act {
        Act::Outcome { attempt, .. } | Act::Mark { attempt, .. } => Some(*attempt),
        Act::SiteChosen { attempt, .. } => Some(*attempt),
        _ => None,
    }
}

/// What an amendment is about, in the words of a language.
pub(super) fn about(words: Words, act: &Act) -> String {
    match act {
        Act::Outcome { attempt, .. } => say!(words, "clinical-about-outcome", n = *attempt),
        Act::Mark { attempt, .. } => say!(words, "clinical-about-mark", n = *attempt),
        Act::SiteChosen { attempt, .. } => say!(words, "clinical-about-site", n = *attempt),
        Act::VisitOpened(_) => words.plain(id!("clinical-about-opening")).into(),
        Act::NextTest { .. } => words.plain(id!("clinical-about-next-test")).into(),
        other => say!(words, "clinical-about-other", kind = kind(other)),
    }
}

/// A value in the words of a language.
pub(super) fn value(words: Words, act: &Act) -> String {
    match act {
        Act::Outcome { outcome: Outcome::Reading { cuff_mmhg, .. }, .. } => {
            say!(words, "clinical-mmhg", n = words.number(cuff_mmhg))
        }
        Act::Outcome { outcome: Outcome::NotCompressible { limit_mmhg }, .. } => {
            say!(words, "clinical-not-compressible-at", limit = words.number(limit_mmhg))
        }
        Act::Outcome { outcome: Outcome::NoSignal, .. } => {
            words.plain(id!("clinical-no-signal")).into()
        }
        Act::Outcome { outcome: Outcome::NotMeasured { reason }, .. } => {
            say!(words, "clinical-not-measured", reason = reasons::said(words, reason))
        }
        Act::Mark { at, .. } => {
            say!(words, "clinical-value-mark", seconds = words.decimal(at.seconds(), 2))
        }
        Act::SiteChosen { site, .. } => site.said(words),
        Act::VisitOpened(opened) => say!(words, "clinical-value-record", record = opened.record),
        Act::NextTest { on, .. } => words.short_day(on.0),
        Act::Note { words, .. } => words.clone(),
        other => kind(other),
    }
}
