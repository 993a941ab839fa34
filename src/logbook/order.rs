//! One order for the entries of a visit that several laptops wrote, the same on each of them; and which of them count.
//!
//! An entry stands behind all that its writer had. A visit belongs to the chain that opened it, or took it over since:
//! only that one adds to it until it is closed. Then any may amend it who has the closing.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use uuid::Uuid;

use super::lines::{Lines, Place};
use crate::clinical::reasons;
use crate::words::id;

/// One entry of a visit, as far as its place hangs on it.
#[derive(Debug, Clone)]
pub(super) struct Item {
    pub(super) place: Place,
    pub(super) n: u64,
    /// The kind of its act.
    pub(super) kind: String,
}

/// What an entry's place comes to.
#[derive(Debug, Clone, Default)]
pub(super) struct Placed {
    /// Which of the items it is.
    pub(super) item: usize,
    /// Why it does not count.
    pub(super) aside: Option<&'static str>,
}

/// A visit's entries in order, and whose the visit is.
#[derive(Debug)]
pub(super) struct Ordered {
    pub(super) placed: Vec<Placed>,
    /// The line that may add to it.
    pub(super) owner: Option<Uuid>,
}

/// A visit goes from one line to another.
struct Claim {
    line: Uuid,
    root: usize,
}

/// Acts that may follow closing, by any laptop that has the closing.
fn may_follow(kind: &str) -> bool {
    matches!(
        kind,
        "amendment"
            | "attempt-withdrawn"
            | "note"
            | "guidance-shown"
            | "countersigned"
            | "next-test"
            | "undone"
    )
}

/// Puts a visit's entries in order and judges each.
pub(super) fn order(items: &[Item], lines: &Lines) -> Ordered {
    let order = sorted(items, lines);
    let opening = order.iter().copied().find(|i| items[*i].kind == "visit-opened");
    let Some(opening) = opening else {
        let placed = order.into_iter().map(|item| Placed { item, aside: None }).collect();
        return Ordered { placed, owner: None };
    };
    let judge = Judge { items, lines, order: &order, opening };
    let claims = judge.claims();
    let closing = order
        .iter()
        .copied()
        .find(|i| items[*i].kind == "visit-closed" && judge.is_owners(*i, &claims));
    let rest = order.iter().copied().filter(|i| *i != opening);
    let mut placed = vec![Placed { item: opening, aside: None }];
    placed.extend(rest.map(|item| Placed { item, aside: judge.aside(item, &claims, closing) }));
    Ordered { placed, owner: claims.last().map(|claim| claim.line) }
}

/// By number and line, but never before what its writer had.
fn sorted(items: &[Item], lines: &Lines) -> Vec<usize> {
    let mut queues: BTreeMap<Uuid, VecDeque<usize>> = BTreeMap::new();
    let mut all: Vec<usize> = (0..items.len()).collect();
    all.sort_by_key(|i| items[*i].place);
    all.into_iter().for_each(|i| queues.entry(items[i].place.0).or_default().push_back(i));
    let mut order = Vec::with_capacity(items.len());
    while !queues.is_empty() {
        // Who has an entry of a line has all before it, so the first of each line tells.
        let mut heads: Vec<usize> = queues.values().filter_map(|q| q.front().copied()).collect();
        heads.sort_by_key(|i| (items[*i].n, items[*i].place));
        let free = heads.iter().copied().find(|i| {
            let knows = |j: &usize| j != i && lines.knows(items[*i].place, items[*j].place);
            !heads.iter().any(knows)
        });
        // None is free only where texts that claim to have met contradict each other.
        let Some(next) = free.or(heads.first().copied()) else { break };
        order.push(next);
        let line = items[next].place.0;
        if let Some(queue) = queues.get_mut(&line) {
            queue.pop_front();
            if queue.is_empty() {
                queues.remove(&line);
            }
        }
    }
    order
}

struct Judge<'a> {
    items: &'a [Item],
    lines: &'a Lines,
    order: &'a [usize],
    opening: usize,
}

impl Judge<'_> {
    fn line(&self, i: usize) -> Uuid {
        self.items[i].place.0
    }

    fn knows(&self, i: usize, other: usize) -> bool {
        self.lines.knows(self.items[i].place, self.items[other].place)
    }

    fn same(&self, one: Uuid, other: Uuid) -> bool {
        self.lines.laptop(one) == self.lines.laptop(other)
    }

    /// From the opening on: who has the visit.
    fn claims(&self) -> Vec<Claim> {
        let mut claims = vec![Claim { line: self.line(self.opening), root: self.opening }];
        for i in self.order.iter().copied().filter(|i| *i != self.opening) {
            let (owner, root) = claims.last().map_or((self.line(i), i), |c| (c.line, c.root));
            let by_old_move =
                || !may_follow(&self.items[i].kind) && self.lines.went_on(owner, self.line(i));
            let takes = self.items[i].kind == "taken-over" || by_old_move();
            if takes && !self.same(owner, self.line(i)) && self.is_free(i, owner, root) {
                claims.push(Claim { line: self.line(i), root: i });
            }
        }
        claims
    }

    /// Whether an entry can take the visit from its owner: it has what made that one the owner, and the owner did
    /// not close the visit without having this entry.
    fn is_free(&self, i: usize, owner: Uuid, root: usize) -> bool {
        let closes = |c: usize| {
            self.items[c].kind == "visit-closed"
                && self.same(self.line(c), owner)
                && (c == root || self.knows(c, root))
                && !self.knows(c, i)
        };
        self.knows(i, root) && !self.order.iter().any(|c| closes(*c))
    }

    /// Whether an entry is of the one who had the visit then.
    fn is_owners(&self, i: usize, claims: &[Claim]) -> bool {
        let mine = |claim: &Claim| {
            self.same(claim.line, self.line(i)) && (i == claim.root || self.knows(i, claim.root))
        };
        match claims.iter().rposition(mine) {
            Some(at) => claims.get(at + 1).is_none_or(|next| self.knows(next.root, i)),
            None => false,
        }
    }

    fn aside(&self, i: usize, claims: &[Claim], closing: Option<usize>) -> Option<&'static str> {
        let kind = self.items[i].kind.as_str();
        if kind == "visit-opened" {
            return Some(reasons::kept(id!("clinical-aside-opened-elsewhere")));
        }
        if !self.knows(i, self.opening) {
            return Some(reasons::kept(id!("clinical-aside-without-visit")));
        }
        if self.is_owners(i, claims) {
            return None;
        }
        if may_follow(kind) {
            let has_closing = closing.is_some_and(|closing| self.knows(i, closing));
            let had = has_closing || self.lines.is_old(self.line(i));
            return (!had).then_some("it was added on another laptop while the visit was open");
        }
        if kind == "taken-over" {
            return Some(reasons::kept(id!("clinical-aside-closed-elsewhere")));
        }
        let had = claims.iter().any(|claim| self.same(claim.line, self.line(i)));
        Some(if had {
            "another laptop had taken the visit over"
        } else {
            "the visit belongs to another laptop, and was not taken over"
        })
    }
}

/// The lines of these entries.
pub(super) fn lines_of(items: &[Item]) -> BTreeSet<Uuid> {
    items.iter().map(|item| item.place.0).collect()
}
