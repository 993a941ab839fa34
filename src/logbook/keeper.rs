//! The book's own thread: takes acts in order, never lets anyone wait, and loses none of them.
//!
//! What waits is committed together, so a slow disk makes larger steps, not a longer queue. What cannot be
//! committed stays in its place and is tried again.

use std::collections::VecDeque;
use std::fmt;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender, TryRecvError};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use super::fault::{BookFault, file};
use super::forget::Forget;
use super::note::BookNote;
use super::schema;
use super::sounds::{self, Sound};
use super::visits::VisitId;
use super::writer::Writer;
use crate::clinical::event::Act;
use crate::clinical::moment::Moment;

/// From one try to the next while the disk refuses.
const AGAIN: Duration = Duration::from_millis(250);
/// How long [`Keeper::finish`] goes on trying while the disk refuses.
const LAST_TRIES: Duration = Duration::from_secs(5);
/// From one look whether the book is still there to the next.
const LOOK: Duration = Duration::from_secs(1);
/// At most so many acts in one step.
const STEP: usize = 1_000;

/// A place in the keeper's queue. A later act has a higher one. Nothing is shown as kept before its ticket was
/// waited for.
#[must_use = "an act is kept once its ticket was waited for: see `Keeper::wait`"]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Ticket(pub u64);

/// Why an act is not on the disk after the wait for it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotKept {
    /// The disk refuses. What was done is held and tried again; the sentence says so.
    #[error("{0}")]
    Refused(String),
    /// The disk says nothing. What was done is held.
    #[error(
        "not kept within {} s, and the disk gives no answer; what you did is held: do not close the program yet",
        .0.as_secs_f32()
    )]
    Late(Duration),
    /// The book's thread has ended; this can no longer be kept.
    #[error("not kept: the record book is closed")]
    Ended,
}

/// What cannot be kept, and why. It is held and tried again.
#[derive(Debug, Clone)]
pub enum NotKeptYet {
    /// Acts.
    Acts(Arc<BookFault>),
    /// A recording is not registered; its file lies in the visit's folder.
    Recording(Arc<BookFault>),
    /// Nothing waits; the book is not in its place.
    Book(Arc<BookFault>),
}

impl fmt::Display for NotKeptYet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NotKeptYet::Acts(fault) => write!(
                f,
                "not kept yet: {fault}; what you did is held and tried again: do not close the program yet"
            ),
            NotKeptYet::Recording(fault) => {
                write!(f, "a recording could not be registered: {fault}")
            }
            NotKeptYet::Book(fault) => fault.fmt(f),
        }
    }
}

/// What a keeper had to leave unwritten when it ended.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{acts} acts could not be kept: {why}")]
pub struct Unwritten {
    /// Acts and recordings that are lost.
    pub acts: u64,
    /// What the disk said last.
    pub why: String,
}

/// Keeps what happens in visits, on a thread of its own.
#[derive(Debug)]
pub struct Keeper {
    folder: PathBuf,
    notes: Vec<BookNote>,
    queue: Mutex<Queue>,
    shared: Arc<Shared>,
    thread: Option<JoinHandle<()>>,
}

/// Longest name of a recording, bytes: with a counter and an ending it stays under the 255 of common file systems.
const NAME_MAX: usize = 200;

/// The entrance: tickets are given in the order in which acts are sent.
#[derive(Debug)]
struct Queue {
    given: u64,
    jobs: Option<Sender<Job>>,
    hashing: Vec<JoinHandle<()>>,
}

#[derive(Debug, Default)]
struct Shared {
    kept: AtomicU64,
    trouble: Mutex<Option<NotKeptYet>>,
    /// Told, with `trouble`, when something was kept or refused, or the thread ended.
    moved: Condvar,
    ended: AtomicBool,
    /// What was not kept when the keeper ended.
    left: AtomicU64,
}

#[derive(Debug)]
enum Job {
    Act { ticket: u64, visit: VisitId, at: Moment, act: Box<Act> },
    Sound { visit: VisitId, sound: Sound },
    Forget { ticket: u64, visit: VisitId, what: Forget, who: String, why: String },
}

impl Keeper {
    /// Opens the book in this folder for writing, and begins its thread.
    ///
    /// # Errors
    /// Another program writes in it, a newer program made it, or the disk refuses.
    pub fn start(folder: &Path) -> Result<Self, BookFault> {
        let writer = Writer::open(folder)?;
        let mut notes = writer.notes().to_vec();
        notes.extend(schema::open_to_others(folder));
        let (jobs, taken) = mpsc::channel();
        let shared = Arc::new(Shared::default());
        let told = shared.clone();
        let thread = std::thread::Builder::new()
            .name("book".into())
            .spawn(move || {
                Thread { writer, shared: told, waiting: VecDeque::new(), was_gone: false }
                    .run(&taken)
            })
            .map_err(|e| file(folder, e))?;
        let queue = Queue { given: 0, jobs: Some(jobs), hashing: Vec::new() };
        Ok(Self {
            folder: folder.to_owned(),
            notes,
            queue: Mutex::new(queue),
            shared,
            thread: Some(thread),
        })
    }

    /// What there is to say of the book's opening.
    pub fn notes(&self) -> &[BookNote] {
        &self.notes
    }

    /// The book's folder.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// A new visit's id. Nothing is on the disk before its first act.
    pub fn begin(&self) -> VisitId {
        VisitId::new()
    }

    /// Takes an act to be kept as the next event of its visit; returns at once. A visit from the book goes on
    /// with its next number.
    pub fn keep(&self, visit: VisitId, at: Moment, act: Act) -> Ticket {
        self.send(|ticket| Job::Act { ticket, visit, at, act: Box::new(act) })
    }

    /// Deletes a visit, or its recordings alone, for good, after everything that was kept before; see
    /// [`Writer::forget`]. A visit that is not in the book is passed over.
    pub fn forget(&self, visit: VisitId, what: Forget, who: &str, why: &str) -> Ticket {
        let (who, why) = (who.to_owned(), why.to_owned());
        self.send(|ticket| Job::Forget { ticket, visit, what, who, why })
    }

    fn send(&self, job: impl FnOnce(u64) -> Job) -> Ticket {
        let mut queue = self.queue.lock().unwrap_or_else(PoisonError::into_inner);
        queue.given += 1;
        let ticket = queue.given;
        if let Some(jobs) = &queue.jobs {
            // The receiver lives as long as the thread, which ends only after the sender is gone.
            let _ = jobs.send(job(ticket));
        }
        Ticket(ticket)
    }

    /// The highest ticket whose act, with all before it, is on the disk.
    pub fn kept(&self) -> Ticket {
        Ticket(self.shared.kept.load(Ordering::Acquire))
    }

    /// One sentence while something cannot be kept. It is tried again, in order; nothing that waits is lost
    /// while the program runs.
    pub fn trouble(&self) -> Option<String> {
        self.troubled().map(|trouble| trouble.to_string())
    }

    /// The same for whoever says it in another language.
    pub fn troubled(&self) -> Option<NotKeptYet> {
        self.shared.trouble().clone()
    }

    /// Waits until this ticket's act, with all before it, is on the disk; at most as long as `limit`. A refusal of the
    /// disk is tried again until then.
    ///
    /// # Errors
    /// It is not on the disk; see [`NotKept`] for what became of it.
    pub fn wait(&self, ticket: Ticket, limit: Duration) -> Result<(), NotKept> {
        let begun = Instant::now();
        let mut trouble = self.shared.trouble();
        loop {
            if self.kept() >= ticket {
                return Ok(());
            }
            if self.shared.ended.load(Ordering::Acquire) {
                return Err(NotKept::Ended);
            }
            let Some(left) = limit.checked_sub(begun.elapsed()) else {
                let refused = trouble.as_ref().map(|trouble| NotKept::Refused(trouble.to_string()));
                return Err(refused.unwrap_or(NotKept::Late(limit)));
            };
            let woken = self.shared.moved.wait_timeout(trouble, left);
            trouble = woken.unwrap_or_else(PoisonError::into_inner).0;
        }
    }

    /// Where a recording of this visit goes; the folder is made, for the owner alone. `name` is a file's
    /// name such as `right-dp.wav`; what would lead out of the folder is left out of it.
    ///
    /// # Errors
    /// The folder cannot be made.
    pub fn recording_file(&self, visit: VisitId, name: &str) -> Result<PathBuf, BookFault> {
        let folder = sounds::folder(&self.folder, visit);
        schema::private_folder(&folder)?;
        let plain = |c: char| c.is_alphanumeric() || "-_.".contains(c);
        let name: String = name.chars().filter(|c| plain(*c)).collect();
        // A longer name cannot be made on common file systems; the end of it is what tells recordings apart.
        let from = (name.len().saturating_sub(NAME_MAX)..).find(|at| name.is_char_boundary(*at));
        let name = name[from.unwrap_or(0)..].trim_start_matches('.');
        Ok(folder.join(if name.is_empty() { "sound.wav" } else { name }))
    }

    /// Registers a finished recording, by its path from [`Keeper::recording_file`]: length and hash are taken
    /// on a thread of their own, then kept. `epoch` is its stream; `attempt` where it is one attempt's alone.
    pub fn recorded(&self, visit: VisitId, file: PathBuf, epoch: u32, attempt: Option<u32>) {
        let mut queue = self.queue.lock().unwrap_or_else(PoisonError::into_inner);
        let Some(jobs) = queue.jobs.clone() else { return };
        let shared = self.shared.clone();
        let work = move || match sounds::measured(&file, Some(epoch), attempt) {
            Ok(sound) => {
                let _ = jobs.send(Job::Sound { visit, sound });
            }
            // The file itself still lies in the visit's folder and is listed from there.
            Err(fault) => shared.say(Some(NotKeptYet::Recording(Arc::new(fault)))),
        };
        queue.hashing.retain(|thread| !thread.is_finished());
        if let Ok(thread) = std::thread::Builder::new().name("hash".into()).spawn(work) {
            queue.hashing.push(thread);
        }
    }

    /// Keeps what waits and ends the thread.
    ///
    /// # Errors
    /// The disk still refused after some seconds.
    pub fn finish(mut self) -> Result<(), Unwritten> {
        self.end();
        match (self.shared.left.load(Ordering::Acquire), self.trouble()) {
            (0, _) => Ok(()),
            (acts, trouble) => {
                let why = trouble.unwrap_or_else(|| "the book's thread ended".into());
                Err(Unwritten { acts, why })
            }
        }
    }

    fn end(&mut self) {
        let mut queue = self.queue.lock().unwrap_or_else(PoisonError::into_inner);
        for thread in queue.hashing.drain(..) {
            let _ = thread.join();
        }
        queue.jobs = None;
        drop(queue);
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

impl Drop for Keeper {
    fn drop(&mut self) {
        self.end();
    }
}

impl Shared {
    fn trouble(&self) -> MutexGuard<'_, Option<NotKeptYet>> {
        self.trouble.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Says what is amiss, or that nothing is, and wakes whoever waits.
    fn say(&self, trouble: Option<NotKeptYet>) {
        *self.trouble() = trouble;
        self.moved.notify_all();
    }
}

/// Commits these acts and recordings together.
fn keep<'a>(writer: &mut Writer, jobs: impl Iterator<Item = &'a Job>) -> Result<(), BookFault> {
    writer.commit(|page| {
        for job in jobs {
            match job {
                Job::Act { visit, at, act, .. } => page.event(*visit, *at, act)?,
                Job::Sound { visit, sound } => page.sound(*visit, sound)?,
                Job::Forget { .. } => {}
            }
        }
        Ok(())
    })
}

/// The thread's own half.
struct Thread {
    writer: Writer,
    shared: Arc<Shared>,
    waiting: VecDeque<Job>,
    /// Whether the book was not in its place at the last look.
    was_gone: bool,
}

impl Drop for Thread {
    /// Whoever still waits waits in vain; also where the thread broke down.
    fn drop(&mut self) {
        let _trouble = self.shared.trouble();
        self.shared.ended.store(true, Ordering::Release);
        self.shared.moved.notify_all();
    }
}

impl Thread {
    fn run(mut self, jobs: &Receiver<Job>) {
        let mut ending: Option<Instant> = None;
        loop {
            if self.waiting.is_empty() && ending.is_none() {
                match jobs.recv_timeout(LOOK) {
                    Ok(job) => self.waiting.push_back(job),
                    Err(RecvTimeoutError::Timeout) => {
                        self.look();
                        continue;
                    }
                    Err(RecvTimeoutError::Disconnected) => return,
                }
            }
            if self.take(jobs) {
                ending.get_or_insert_with(Instant::now);
            }
            let done = self.step();
            if let Some(since) = ending
                && (self.waiting.is_empty() || (!done && since.elapsed() >= LAST_TRIES))
            {
                self.shared.left.store(self.waiting.len() as u64, Ordering::Release);
                return;
            }
            if !done {
                self.rest(jobs);
            }
        }
    }

    /// Looks whether the book is still there while nothing is to be kept.
    fn look(&mut self) {
        let gone = self.writer.is_there().err();
        if gone.is_some() || self.was_gone {
            self.was_gone = gone.is_some();
            self.shared.say(gone.map(|fault| NotKeptYet::Book(Arc::new(fault))));
        }
    }

    /// Takes what came meanwhile; tells whether no more can come.
    fn take(&mut self, jobs: &Receiver<Job>) -> bool {
        loop {
            match jobs.try_recv() {
                Ok(job) => self.waiting.push_back(job),
                Err(TryRecvError::Empty) => return false,
                Err(TryRecvError::Disconnected) => return true,
            }
        }
    }

    /// Waits before the next try, taking what comes.
    fn rest(&mut self, jobs: &Receiver<Job>) {
        let until = Instant::now() + AGAIN;
        while let Some(left) = until.checked_duration_since(Instant::now()) {
            match jobs.recv_timeout(left) {
                Ok(job) => self.waiting.push_back(job),
                Err(RecvTimeoutError::Timeout) => return,
                Err(RecvTimeoutError::Disconnected) => std::thread::sleep(left),
            }
        }
    }

    /// Commits the next acts together; on a refusal all of them stay where they are.
    fn step(&mut self) -> bool {
        let until = |job: &Job| matches!(job, Job::Forget { .. });
        let count = self.waiting.iter().position(until).unwrap_or(self.waiting.len()).min(STEP);
        let (count, done) = match self.waiting.front() {
            Some(Job::Forget { visit, what, who, why, .. }) => {
                match self.writer.forget(*visit, *what, who, why) {
                    Err(BookFault::NoVisit(_)) => (1, Ok(())),
                    // Nobody or no reason was named: that does not change by trying again.
                    Err(BookFault::Refused(_))
                        if who.trim().is_empty() || why.trim().is_empty() =>
                    {
                        (1, Ok(()))
                    }
                    done => (1, done),
                }
            }
            _ => (count, keep(&mut self.writer, self.waiting.iter().take(count))),
        };
        match done {
            Ok(()) => {
                let tickets = self.waiting.drain(..count).filter_map(|job| match job {
                    Job::Act { ticket, .. } | Job::Forget { ticket, .. } => Some(ticket),
                    Job::Sound { .. } => None,
                });
                if let Some(ticket) = tickets.max() {
                    self.shared.kept.store(ticket, Ordering::Release);
                }
                if count > 0 {
                    self.shared.say(None);
                }
                true
            }
            Err(fault) => {
                self.shared.say(Some(NotKeptYet::Acts(Arc::new(fault))));
                false
            }
        }
    }
}
