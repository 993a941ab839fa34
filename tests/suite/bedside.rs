//! Visits for the clinical tests, from short words such as `right-arm 148, right-dp nc`.

use cuffnote::clinical::event::{Act, Event, Opened, Posture};
use cuffnote::clinical::guidance::{self, GuidanceSet};
use cuffnote::clinical::method::Method;
use cuffnote::clinical::moment::Moment;
use cuffnote::clinical::result::VisitResult;
use cuffnote::clinical::site::Site;
use cuffnote::clinical::typed::{self, Given};
use cuffnote::clinical::uncertainty::Assumed;
use cuffnote::clinical::visit::Visit;
use cuffnote::clinical::working::work_out;
use cuffnote::units::Mmhg;

pub fn at() -> Moment {
    Moment::parse("2026-11-03T10:15:02+01:00").unwrap()
}

pub fn mmhg(whole: i32) -> Mmhg {
    Mmhg::whole(whole).unwrap()
}

pub fn opened(method: Method) -> Opened {
    Opened { record: "C-014".into(), ..typed::opening(method, mmhg(2), Posture::Supine) }
}

pub fn given(words: &str) -> Vec<(Site, Given)> {
    let pairs = words.split(',').map(str::trim).filter(|p| !p.is_empty());
    let pair = |p: &str| {
        let (site, value) = p.split_once(' ').unwrap();
        (site.parse().unwrap(), value.parse().unwrap())
    };
    pairs.map(pair).collect()
}

/// The events of a visit with these readings, and further acts after them.
pub fn events(opened: Opened, words: &str, more: Vec<Act>) -> Vec<Event> {
    let mut events = typed::events(opened, at(), &given(words));
    let next = events.len() as u64 + 1;
    events.extend((next..).zip(more).map(|(n, act)| Event::new(n, at(), act)));
    events
}

pub fn all_sets() -> Vec<GuidanceSet> {
    guidance::ids().map(set).collect()
}

pub fn set(id: &str) -> GuidanceSet {
    guidance::shipped(id).unwrap().unwrap()
}

pub fn result_of(events: &[Event], sets: &[GuidanceSet]) -> VisitResult {
    work_out(&Visit::from_events(events).unwrap(), sets, Assumed::default())
}

/// A plain visit by a method, under the default guidance.
pub fn by(method: Method, words: &str) -> VisitResult {
    result_of(&events(opened(method), words, Vec::new()), &[set(guidance::DEFAULT)])
}

/// A plain visit by the standard method, under the default guidance.
pub fn visit(words: &str) -> VisitResult {
    by(Method::Higher, words)
}

/// The right and the left index as printed, `-` where there is none.
pub fn indexes(result: &VisitResult) -> [String; 2] {
    [&result.right, &result.left].map(|leg| leg.index.map_or("-".into(), |i| i.to_string()))
}

/// Every sentence of a result.
pub fn sentences(result: &VisitResult) -> Vec<String> {
    let legs = [&result.right, &result.left].map(|leg| leg.words.clone()).concat();
    let flags = result.flags.iter().map(|flag| flag.words.clone());
    legs.into_iter().chain(result.notes.clone()).chain(flags).collect()
}
