//! Amendments applied in any order that laptops can bring them in: the later stands, disagreement is marked, and
//! what cannot be applied is set aside.

use std::collections::BTreeSet;

use super::dispute::{self, Aside, Disagreement, DisputedValue};
use super::event::{Act, Event};
use super::moment::Moment;
use super::reasons;
use crate::words::{Words, id};

/// One amendment.
#[derive(Debug, Clone, PartialEq)]
pub struct Amended {
    /// The event that was replaced.
    pub of: u64,
    /// When.
    pub at: Moment,
    /// What stood there.
    pub old: Act,
    /// What stands there now.
    pub new: Act,
    /// Whose decision.
    pub who: String,
    /// Why.
    pub why: String,
    /// True where it was made without knowledge of another amendment of the same event, on another laptop.
    /// The later of the two stands.
    pub apart: bool,
    /// The chain that it stands in, where that is not the one which opened the visit.
    pub chain: Option<String>,
}

/// What amendments make of events.
pub(super) struct Amending {
    /// The acts as they stand, in the events' order.
    pub(super) acts: Vec<Act>,
    /// The amendments that were applied.
    pub(super) amended: Vec<Amended>,
    /// Facts with two values that nobody settled.
    pub(super) disagreements: Vec<Disagreement>,
    /// What was set aside: by the book, and amendments that cannot be applied.
    pub(super) aside: Vec<Aside>,
    /// The numbers of the events that were undone.
    pub(super) undone: BTreeSet<u64>,
}

/// One fact that is amended: every value that ever stood, and those that nobody who knew them replaced.
struct Fact {
    of: u64,
    values: Vec<Act>,
    heads: Vec<Head>,
}

/// A value that nobody who knew it replaced.
struct Head {
    act: Act,
    said: DisputedValue,
}

/// Applies every amendment, in the events' order.
pub(super) fn amend(events: &[Event]) -> Amending {
    let mut done = Amending {
        acts: events.iter().map(|e| e.act.clone()).collect(),
        amended: Vec::new(),
        disagreements: Vec::new(),
        aside: Vec::new(),
        undone: BTreeSet::new(),
    };
    done.undo(events);
    let mut facts: Vec<Fact> = Vec::new();
    for (place, event) in events.iter().enumerate() {
        if let Some(why) = &event.apart.aside {
            done.aside.push(Aside::of(event, why));
        } else if matches!(event.act, Act::Amendment { .. }) && !done.undone.contains(&event.n) {
            match one(events, place, &mut facts) {
                Ok((target, amended)) => {
                    done.acts[target] = amended.new.clone();
                    done.amended.push(amended);
                }
                Err(why) => done.aside.push(Aside::of(event, why)),
            }
        }
    }
    done.disagreements = facts.iter().filter_map(Fact::disagreement).collect();
    done.disagreements.extend(next_tests(events, &done.undone));
    done
}

/// The first event whose act is wanted, by its number, with the act that stands there now. What was undone or set aside
/// is passed over: an amendment that was undone changes nothing.
pub fn standing(events: &[Event], wanted: impl Fn(&Act) -> bool) -> Option<(u64, Act)> {
    let done = amend(events);
    let counts = |event: &Event| event.apart.aside.is_none() && !done.undone.contains(&event.n);
    let mut all = events.iter().zip(&done.acts);
    let (event, act) = all.find(|(event, _)| counts(event) && wanted(&event.act))?;
    Some((event.n, act.clone()))
}

impl Amending {
    /// Finds what was undone.
    fn undo(&mut self, events: &[Event]) {
        for event in events.iter().filter(|event| event.apart.aside.is_none()) {
            let Act::Undone { of, .. } = &event.act else { continue };
            let target = events.iter().find(|e| e.n == *of && e.n < event.n);
            let target = target.filter(|e| e.apart.aside.is_none() && may_be_undone(&e.act));
            if target.is_some() {
                self.undone.insert(*of);
            } else {
                let why = reasons::kept(id!("clinical-aside-undo"));
                self.aside.push(Aside::of(event, why));
            }
        }
    }
}

/// The opening and the closing stand, and what was undone is done again, not un-undone.
fn may_be_undone(act: &Act) -> bool {
    !matches!(
        act,
        Act::VisitOpened(_) | Act::VisitClosed | Act::Undone { .. } | Act::TakenOver { .. }
    )
}

/// Applies the amendment at this place to its fact; gives the place of the event that it replaces.
fn one(
    events: &[Event],
    place: usize,
    facts: &mut Vec<Fact>,
) -> Result<(usize, Amended), &'static str> {
    let event = &events[place];
    let Act::Amendment { of, old, new, who, why } = &event.act else {
        return Err(reasons::kept(id!("clinical-aside-no-amendment")));
    };
    let target = usize::try_from(*of).ok().and_then(|of| of.checked_sub(1));
    let target = target
        .filter(|t| *t < place)
        .ok_or_else(|| reasons::kept(id!("clinical-aside-not-before")))?;
    if events[target].apart.aside.is_some() {
        return Err(reasons::kept(id!("clinical-aside-of-aside")));
    }
    let at = facts.iter().position(|fact| fact.of == *of).unwrap_or_else(|| {
        facts.push(Fact { of: *of, values: vec![events[target].act.clone()], heads: Vec::new() });
        facts.len() - 1
    });
    let fact = &mut facts[at];
    if !fact.values.contains(old) {
        return Err(reasons::kept(id!("clinical-aside-old-value")));
    }
    if !same_kind(old, new) {
        return Err(reasons::kept(id!("clinical-aside-other-kind")));
    }
    let apart = fact.replace(event, old, new, who);
    let amended = Amended {
        of: *of,
        at: event.at,
        old: (**old).clone(),
        new: (**new).clone(),
        who: who.clone(),
        why: why.clone(),
        apart,
        chain: event.apart.chain.clone(),
    };
    Ok((target, amended))
}

impl Fact {
    /// Puts a new value over those that its writer knew. True where another one stood that the writer did not know.
    fn replace(&mut self, event: &Event, old: &Act, new: &Act, who: &str) -> bool {
        let told = !event.apart.unseen.is_empty();
        let stood = self.values.last() == Some(old);
        let apart =
            !stood || self.heads.iter().any(|head| event.apart.unseen.contains(&head.said.n));
        // Where nothing tells what the writer knew, the old value does.
        self.heads.retain(|head| match told {
            true => event.apart.unseen.contains(&head.said.n),
            false => !stood && head.act != *old,
        });
        let said = DisputedValue {
            n: event.n,
            who: who.to_owned(),
            at: event.at,
            chain: event.apart.chain.clone(),
            words: dispute::value(Words::english(), new),
            act: new.clone(),
        };
        self.heads.push(Head { act: new.clone(), said });
        self.values.push(new.clone());
        apart
    }

    fn disagreement(&self) -> Option<Disagreement> {
        let last = self.heads.last()?;
        if self.heads.iter().all(|head| head.act == last.act) {
            return None;
        }
        let attempt = dispute::attempt(&last.act);
        let what = dispute::about(Words::english(), &last.act);
        let act = last.act.clone();
        let said = self.heads.iter().map(|head| head.said.clone()).collect();
        Some(Disagreement { of: self.of, attempt, what, said, act })
    }
}

/// Days of the next test that two laptops named apart.
fn next_tests(events: &[Event], undone: &BTreeSet<u64>) -> Option<Disagreement> {
    let mut heads: Vec<DisputedValue> = Vec::new();
    let counts = |event: &&Event| event.apart.aside.is_none() && !undone.contains(&event.n);
    for event in events.iter().filter(counts) {
        let Act::NextTest { who, .. } = &event.act else { continue };
        heads.retain(|said| event.apart.unseen.contains(&said.n));
        heads.push(DisputedValue {
            n: event.n,
            who: who.clone(),
            at: event.at,
            chain: event.apart.chain.clone(),
            words: dispute::value(Words::english(), &event.act),
            act: event.act.clone(),
        });
    }
    let last = heads.last()?;
    let differ = heads.iter().any(|said| said.words != last.words);
    let (of, act) = (last.n, last.act.clone());
    let what = dispute::about(Words::english(), &act);
    differ.then_some(Disagreement { of, attempt: None, what, said: heads, act })
}

fn same_kind(old: &Act, new: &Act) -> bool {
    use Act::{Amendment, GuidanceShown, Outcome, SiteChosen, TakenOver, Undone, VisitClosed};
    match (old, new) {
        (
            Amendment { .. } | GuidanceShown(_) | Undone { .. } | TakenOver { .. } | VisitClosed,
            _,
        ) => false,
        (Outcome { attempt: a, .. }, Outcome { attempt: b, .. })
        | (SiteChosen { attempt: a, .. }, SiteChosen { attempt: b, .. }) => a == b,
        _ => std::mem::discriminant(old) == std::mem::discriminant(new),
    }
}
