//! The events of a visit under way: what has happened, what that makes, and what still has to be written down.

use std::collections::VecDeque;

use super::time::At;
use crate::clinical::event::{Act, Event, Opened};
use crate::clinical::visit::{Visit, VisitFault};

/// The events of a visit, and the visit that they make.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    events: Vec<Event>,
    visit: Visit,
    to_keep: VecDeque<Event>,
    committed: u64,
    done: Vec<u64>,
}

impl Record {
    /// A visit that begins.
    ///
    /// # Errors
    /// What it opens with makes no visit.
    pub fn open(opened: Opened, at: At) -> Result<Self, VisitFault> {
        let first = Event::new(1, at.wall, Act::VisitOpened(opened));
        let mut record = Self::resume(vec![first.clone()])?;
        record.committed = 0;
        record.to_keep.push_back(first);
        Ok(record)
    }

    /// A visit that goes on; these events are on the disk already.
    ///
    /// # Errors
    /// The events make no visit.
    pub fn resume(events: Vec<Event>) -> Result<Self, VisitFault> {
        let visit = Visit::from_events(&events)?;
        let committed = events.len() as u64;
        Ok(Self { events, visit, to_keep: VecDeque::new(), committed, done: Vec::new() })
    }

    /// Adds an act to the visit and to what must be written down; gives its event's number.
    ///
    /// # Errors
    /// The act does not fit; nothing was changed.
    pub fn add(&mut self, at: At, act: Act) -> Result<u64, VisitFault> {
        let n = self.events.len() as u64 + 1;
        let event = match self.visit.closed {
            true => Event::after_closing(n, at.wall, act),
            false => Event::new(n, at.wall, act),
        };
        self.events.push(event.clone());
        match Visit::from_events(&self.events) {
            Ok(visit) => self.visit = visit,
            Err(fault) => {
                self.events.pop();
                return Err(fault);
            }
        }
        self.to_keep.push_back(event);
        Ok(n)
    }

    /// Adds an act of the clinician, which the clinician can undo.
    ///
    /// # Errors
    /// As [`Record::add`].
    pub fn does(&mut self, at: At, act: Act) -> Result<u64, VisitFault> {
        let n = self.add(at, act)?;
        self.done.push(n);
        Ok(n)
    }

    /// The clinician's last act that can be undone, and that act no longer on the list.
    pub fn last_done(&mut self) -> Option<u64> {
        self.done.pop()
    }

    /// What has happened.
    pub fn events(&self) -> &[Event] {
        &self.events
    }

    /// What that makes.
    pub fn visit(&self) -> &Visit {
        &self.visit
    }

    /// The act at this place (from 0) after every amendment.
    pub fn standing(&self, place: usize) -> Option<Act> {
        let mut act = self.events.get(place)?.act.clone();
        for amended in self.visit.amended.iter().filter(|a| a.of == place as u64 + 1) {
            act = amended.new.clone();
        }
        Some(act)
    }

    /// The next event to be written down, in order; each comes out once.
    pub fn poll(&mut self) -> Option<Event> {
        self.to_keep.pop_front()
    }

    /// Every event up to this number is on the disk.
    pub fn set_committed(&mut self, up_to: u64) {
        self.committed = self.committed.max(up_to);
    }

    /// Whether this event is on the disk.
    pub fn is_committed(&self, n: u64) -> bool {
        n <= self.committed
    }

    /// Whether everything done so far is on the disk.
    pub fn all_committed(&self) -> bool {
        self.is_committed(self.events.len() as u64)
    }

    /// The number of the next attempt: one more than the highest ever used, withdrawn ones included.
    pub fn next_attempt(&self) -> u32 {
        self.visit.attempts.iter().map(|a| a.number).max().unwrap_or(0) + 1
    }
}
