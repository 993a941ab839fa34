//! What must not be lost: the record book.
//!
//! A shell. A book is a folder with one SQLite file, and the recordings beside it. A visit *is* its events:
//! they are appended as entries of a hash chain and never changed. [`Keeper`] keeps them on a thread of its
//! own, so that no window waits for a disk; [`Book`] reads. One program writes in a book at a time.
//!
//! It never decides what a measurement means: rows are for lists, everything else is worked out by
//! `clinical` from the events, a record's [`History`] too. What the book promises, and its form, stand in `docs/book.md`.

mod backup;
mod book;
mod chain;
mod check;
mod copies;
mod disk;
mod entry;
mod fault;
mod forget;
mod history;
mod keeper;
mod lines;
mod merge;
mod note;
mod order;
mod page;
mod rebuild;
mod schema;
mod shelf;
mod since;
mod sounds;
mod source;
mod stage;
mod sync;
mod visits;
mod watch;
mod whose;
mod writer;

pub use backup::{BackedUp, Passphrase, is_encrypted, restore, restore_watched};
pub use book::{Book, Head, OpenBook, Search};
pub use check::{Checked, Damage};
pub use copies::Copy;
pub use disk::encryption_of;
pub use fault::BookFault;
pub use forget::{Forget, REPORTS};
pub use history::History;
pub use keeper::{Keeper, NotKept, NotKeptYet, Ticket, Unwritten};
pub use merge::Merged;
pub use note::BookNote;
pub use since::Since;
pub use sounds::{Recording, SoundState, sha256_of};
pub use sync::{Sharing, Synced};
pub use visits::{NoVisitId, VisitId, VisitRow};
pub use watch::Waiting;
pub use whose::Whose;
pub use writer::Writer;
