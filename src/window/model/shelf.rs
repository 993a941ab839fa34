//! The visits there are: looked through, one looked at, a record from visit to visit, readings heard again.

use std::time::Duration;

use super::action::{Screen, ShelfAct};
use super::replay::{Replay, Speaker};
use crate::clinical::event::{Act, Event, Phase};
use crate::clinical::guidance::GuidanceSet;
use crate::clinical::reasons;
use crate::clinical::repeats::Pressures;
use crate::clinical::result::VisitResult;
use crate::clinical::site::Site;
use crate::clinical::visit::{Visit, VisitFault};
use crate::conduct::{At, Command, Conduct, Output, Refusal, Rules};
use crate::logbook::{
    Book, BookFault, Head, History, Keeper, NotKept, Search, Ticket, VisitId, VisitRow, Whose,
};
use crate::units::Mmhg;
use crate::window::now::Now;
use crate::words::{Words, id};

/// Visits in a list.
const LISTED: u32 = 200;
/// In the record, in place of an operator that no code was typed for.
const UNNAMED: &str = "not named";
/// How long the disk is waited for.
const LONGEST: Duration = Duration::from_secs(1);

/// Why something of the book is not shown.
#[derive(Debug)]
pub enum NotShown {
    /// See to the book.
    SeeToTheBook(BookFault),
    /// The visit's file is not whole: look at another.
    LookAtAnother(VisitFault),
    /// Look at a visit first.
    LookAtOneFirst,
    /// It cannot be done in this visit.
    DoOtherwise(Refusal),
    /// Wait: the disk has not taken it yet.
    Wait(NotKept),
    /// Finish it on the laptop that has it.
    FinishItThere,
    /// Look at it instead, or put a value right.
    ClosedBefore,
}

macro_rules! from {
    ($($fault:ty => $variant:ident),*) => { $(impl From<$fault> for NotShown {
        fn from(fault: $fault) -> Self {
            Self::$variant(fault)
        }
    })* };
}
from!(BookFault => SeeToTheBook, VisitFault => LookAtAnother, Refusal => DoOtherwise, NotKept => Wait);

/// What follows in the rest of the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leads {
    /// Nothing.
    Stay,
    /// To this screen.
    To(Screen),
    /// The message of this id.
    Say(&'static str),
}

/// What the shelf is lent.
pub struct Lent<'a> {
    /// Where acts are kept.
    pub keeper: &'a Keeper,
    /// The guidance in use.
    pub sets: &'a [GuidanceSet],
    /// Where sound is played.
    pub speaker: Speaker,
    /// The time.
    pub now: Now,
    /// The language of what is shown.
    pub words: Words,
}

/// A visit that is looked at.
#[derive(Debug, Clone)]
pub struct LookedAt {
    /// Its row in the book.
    pub row: VisitRow,
    /// What it holds.
    pub visit: Visit,
}

/// A record that is looked at from visit to visit.
#[derive(Debug, Clone)]
pub struct LookedBack {
    /// What the book holds of it.
    pub record: History,
    /// The two visits, at most, that are held against each other.
    pub marked: Vec<VisitId>,
}

impl LookedBack {
    /// Marks a visit to be held against another, or takes the mark away; of three the oldest mark goes.
    fn mark(&mut self, id: VisitId) {
        match self.marked.iter().position(|m| *m == id) {
            Some(at) => drop(self.marked.remove(at)),
            None => self.marked.push(id),
        }
        if self.marked.len() > 2 {
            self.marked.remove(0);
        }
    }

    /// The two marked visits, the older one first.
    pub fn pair(&self) -> Option<[&VisitResult; 2]> {
        let marked = self.record.visits.iter().filter(|(row, _)| self.marked.contains(&row.id));
        let both: Vec<&VisitResult> = marked.map(|(_, result)| result).collect();
        both.try_into().ok()
    }
}

/// The visits there are, and what of them is looked at.
pub struct Shelf {
    /// The visits that were found.
    pub found: Vec<VisitRow>,
    /// What they were looked through for.
    pub search: String,
    /// A visit that is looked at.
    pub looked_at: Option<LookedAt>,
    /// A record that is looked at from visit to visit.
    pub looked_back: Option<LookedBack>,
    /// The readings of the visit that is looked at, heard again.
    pub replay: Option<Replay>,
    book: Book,
}

impl Shelf {
    /// The visits of this book; none is looked for yet.
    pub fn new(book: Book) -> Self {
        Self {
            found: Vec::new(),
            search: String::new(),
            looked_at: None,
            looked_back: None,
            replay: None,
            book,
        }
    }

    /// The book.
    pub fn book(&self) -> &Book {
        &self.book
    }

    /// The events of a visit.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn events(&self, id: VisitId) -> Result<Vec<Event>, NotShown> {
        Ok(self.book.events(id)?)
    }

    /// The pressures of a record's last visit at rest, to the nearest mmHg; none where there is none to be read.
    pub fn last_pressures(&self, record: &str) -> Vec<(Site, Mmhg)> {
        let last = self.book.last_visit_of(record).ok().flatten();
        let events = last.and_then(|row| self.book.events(row.id).ok());
        let Some(visit) = events.and_then(|events| Visit::from_events(&events).ok()) else {
            return Vec::new();
        };
        let pressures = Pressures::of(&visit, Phase::Rest);
        let values = Site::all().filter_map(|site| Some((site, pressures.value(site)?)));
        values
            .filter_map(|(site, mean)| {
                Some((site, Mmhg::whole(mean.as_f64().round() as i32).ok()?))
            })
            .collect()
    }

    /// A command on the visit that is looked at; it is on the disk before it is shown.
    ///
    /// # Errors
    /// It cannot be done, or the disk has not taken it.
    pub fn record(
        &mut self,
        command: Command,
        rules: Rules,
        keeper: &Keeper,
        now: Now,
    ) -> Result<(), NotShown> {
        let id = self.looked_at.as_ref().ok_or(NotShown::LookAtOneFirst)?.row.id;
        let mut conduct = Conduct::resume(self.book.events(id)?, rules)?;
        conduct.act(command, At { s: 0.0, wall: now.wall, sound: None })?;
        while let Some(output) = conduct.poll() {
            if let Output::Keep(event) = output {
                wait(keeper, keeper.keep(id, event.at, event.act))?;
            }
        }
        self.look_at(id).map(drop)
    }

    /// The head of the book's chain.
    pub fn head(&self) -> Option<Head> {
        self.book.head().ok()
    }

    /// Nothing is looked at any more.
    pub fn put_back(&mut self) {
        (self.looked_at, self.looked_back, self.replay) = (None, None, None);
    }

    /// Looks the visits through.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn look_through(&mut self) -> Result<(), NotShown> {
        let text = Some(self.search.trim().to_owned()).filter(|text| !text.is_empty());
        let search = Search { text, limit: Some(LISTED), ..Search::default() };
        self.found = self.book.visits(&search)?;
        Ok(())
    }

    /// Recordings of a visit that were finished just now are registered.
    pub fn register_recordings(&self, id: VisitId, epoch: u32, keeper: &Keeper) {
        // A book that cannot be read now lists them from the visit's folder later.
        let recordings = self.book.recordings(id).unwrap_or_default();
        let open = recordings.into_iter().filter(|r| r.sha256.is_none());
        open.for_each(|r| keeper.recorded(id, r.file, r.epoch.unwrap_or(epoch), None));
    }

    /// Lets time pass.
    pub fn tick(&mut self, now: Now) {
        self.replay.iter_mut().for_each(|replay| replay.tick(now));
    }

    /// Applies an act.
    ///
    /// # Errors
    /// What of the book cannot be shown.
    pub fn apply(&mut self, act: ShelfAct, lent: &Lent<'_>) -> Result<Leads, NotShown> {
        match act {
            ShelfAct::Search(text) => {
                self.search = text;
                self.look_through()?;
                Ok(Leads::Stay)
            }
            ShelfAct::LookAt(id) => self.look_at(id),
            ShelfAct::LookBack(record) => {
                let record = History::read_in(lent.words, &self.book, &record, lent.sets)?;
                self.looked_back = Some(LookedBack { record, marked: Vec::new() });
                Ok(Leads::To(Screen::History))
            }
            ShelfAct::Compare(id) => {
                self.looked_back.iter_mut().for_each(|back| back.mark(id));
                Ok(Leads::Stay)
            }
            ShelfAct::CloseUnfinished(id) => self.close_unfinished(id, lent),
            ShelfAct::HearAgain => self.hear_again(),
            ShelfAct::Replay(act) => {
                let (Some(replay), Some(at)) = (&mut self.replay, &self.looked_at) else {
                    return Ok(Leads::Stay);
                };
                match replay.apply(act, &at.visit, lent.speaker.clone(), lent.now) {
                    Some(moved) => self.move_mark(moved, lent),
                    None => Ok(Leads::Stay),
                }
            }
        }
    }

    fn look_at(&mut self, id: VisitId) -> Result<Leads, NotShown> {
        let row = self.book.visit(id)?;
        let visit = Visit::read(&self.book.events(id)?)?;
        self.looked_at = Some(LookedAt { row, visit });
        Ok(Leads::To(Screen::Result))
    }

    fn hear_again(&mut self) -> Result<Leads, NotShown> {
        let LookedAt { row, visit } = self.looked_at.as_ref().ok_or(NotShown::LookAtOneFirst)?;
        let events = self.book.events(row.id)?;
        let recordings = self.book.recordings(row.id)?;
        self.replay = Some(Replay::of(row.id, visit, &events, &recordings));
        Ok(Leads::To(Screen::Again))
    }

    /// Has an open visit, to go on with it or to close it: one from before the book was moved or restored is taken over
    /// first. True where it was.
    ///
    /// # Errors
    /// Another laptop has it, or the disk refuses.
    pub fn have(&self, id: VisitId, keeper: &Keeper, now: Now) -> Result<bool, NotShown> {
        if self.book.visit(id)?.closed {
            return Err(NotShown::ClosedBefore);
        }
        match self.book.whose(id)? {
            Some(Whose::Elsewhere(_)) => Err(NotShown::FinishItThere),
            Some(Whose::Before) => {
                let operator = self.book.visit(id)?.operator;
                let named = !operator.trim().is_empty();
                let who = if named { operator } else { UNNAMED.into() };
                let why = reasons::kept(reasons::TAKEN_OVER).into();
                wait(keeper, keeper.keep(id, now.wall, Act::TakenOver { who, why }))?;
                Ok(true)
            }
            _ => Ok(false),
        }
    }

    fn close_unfinished(&mut self, id: VisitId, lent: &Lent<'_>) -> Result<Leads, NotShown> {
        self.have(id, lent.keeper, lent.now)?;
        let ticket = lent.keeper.keep(id, lent.now.wall, Act::VisitClosed);
        let kept = wait(lent.keeper, ticket);
        self.look_through()?;
        kept?;
        Ok(Leads::Stay)
    }

    /// The mark's move goes to the book, and what the book holds then is shown.
    fn move_mark(&mut self, moved: Act, lent: &Lent<'_>) -> Result<Leads, NotShown> {
        let Some(replay) = &self.replay else { return Ok(Leads::Stay) };
        let (id, chosen) = (replay.visit, replay.chosen);
        let ticket = lent.keeper.keep(id, lent.now.wall, moved);
        wait(lent.keeper, ticket)?;
        self.look_at(id)?;
        self.hear_again()?;
        self.replay.iter_mut().for_each(|replay| replay.choose(chosen));
        Ok(Leads::Say(id!("replay-moved")))
    }
}

/// Waits until the book has taken this, at most a second: only where what it holds is read right after.
///
/// # Errors
/// It has not; what was done is held and tried again.
pub fn wait(keeper: &Keeper, ticket: Ticket) -> Result<(), NotKept> {
    keeper.wait(ticket, LONGEST)
}
