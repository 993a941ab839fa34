//! Whoever waits for long work on a book: hears how far it is, and may end it between two steps.

use std::fmt;
use std::sync::Arc;

use rusqlite::Connection;

use super::fault::BookFault;

/// So many steps go by before the waiter hears of it again.
const STEPS: u64 = 256;
/// How often the waiter is asked while SQLite works by itself.
const ASKED: std::time::Duration = std::time::Duration::from_millis(100);

/// The progress: so much is done of so much. False ends the work.
type Told = dyn Fn(u64, u64) -> bool + Send + Sync;

/// Someone who waits, or nobody.
#[derive(Clone, Default)]
pub struct Waiting(Option<Arc<Told>>);

impl fmt::Debug for Waiting {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(if self.0.is_some() { "Watch(someone)" } else { "Watch(nobody)" })
    }
}

impl Waiting {
    /// Someone who hears how much is done of how much, and gives false to end the work.
    pub fn new(told: impl Fn(u64, u64) -> bool + Send + Sync + 'static) -> Self {
        Self(Some(Arc::new(told)))
    }

    /// One step of many: told now and then, and at the end.
    ///
    /// # Errors
    /// Whoever waits wants no more.
    pub(super) fn step(&self, done: u64, of: u64) -> Result<(), BookFault> {
        if done.is_multiple_of(STEPS) || done >= of { self.at(done, of) } else { Ok(()) }
    }

    /// A large step: always told.
    ///
    /// # Errors
    /// As [`Waiting::step`].
    pub(super) fn at(&self, done: u64, of: u64) -> Result<(), BookFault> {
        match &self.0 {
            Some(told) if !told(done, of.max(done)) => Err(BookFault::Stopped { done, of }),
            _ => Ok(()),
        }
    }

    /// Work that SQLite does by itself, which is ended when whoever waits wants no more.
    ///
    /// # Errors
    /// As [`Waiting::step`]; what the work itself gives stands within.
    pub(super) fn during<T>(
        &self,
        connection: &Connection,
        (done, of): (u64, u64),
        work: impl FnOnce() -> T,
    ) -> Result<T, BookFault> {
        if self.0.is_none() {
            return Ok(work());
        }
        let handle = connection.get_interrupt_handle();
        let (over, ended) = std::sync::mpsc::channel::<()>();
        let worked = std::thread::scope(|scope| {
            scope.spawn(|| {
                let ended = ended;
                // The sender goes when the work is over.
                while let Err(std::sync::mpsc::RecvTimeoutError::Timeout) =
                    ended.recv_timeout(ASKED)
                {
                    if self.at(done, of).is_err() {
                        handle.interrupt();
                    }
                }
            });
            let worked = work();
            drop(over);
            worked
        });
        self.at(done, of).map(|()| worked)
    }
}

/// Steps of one piece of work, counted for whoever waits.
#[derive(Debug, Clone, Default)]
pub(super) struct Walk {
    watch: Waiting,
    done: u64,
    of: u64,
}

impl Walk {
    /// Of so many steps.
    pub(super) fn of(watch: &Waiting, of: u64) -> Self {
        Self { watch: watch.clone(), done: 0, of }
    }

    /// One step on.
    ///
    /// # Errors
    /// Whoever waits wants no more.
    pub(super) fn on(&mut self) -> Result<(), BookFault> {
        self.by(1)
    }

    /// So many steps on.
    ///
    /// # Errors
    /// As [`Walk::on`].
    pub(super) fn by(&mut self, steps: u64) -> Result<(), BookFault> {
        self.done += steps;
        if steps == 1 {
            self.watch.step(self.done, self.of)
        } else {
            self.watch.at(self.done, self.of)
        }
    }

    /// So many steps are left, as it turned out.
    pub(super) fn left(&mut self, steps: usize) {
        self.of = self.done + steps as u64;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn who_waits_ends_steps_and_what_sqlite_does_alone() {
        let nobody = Waiting::default();
        assert!(nobody.at(1, 2).is_ok() && nobody.step(256, 300).is_ok());
        let no = Waiting::new(|_, _| false);
        assert!(no.step(255, 300).is_ok(), "asked only now and then");
        assert!(matches!(no.step(256, 300), Err(BookFault::Stopped { done: 256, of: 300 })));
        assert!(no.step(300, 300).is_err());
        let connection = Connection::open_in_memory().unwrap();
        let endless = "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT count(*) FROM n";
        let count = || connection.query_row(endless, [], |row| row.get::<_, i64>(0));
        assert!(matches!(no.during(&connection, (0, 1), count), Err(BookFault::Stopped { .. })));
        let yes = Waiting::new(|_, _| true);
        assert_eq!(yes.during(&connection, (0, 1), || 7).unwrap(), 7);
    }
}
