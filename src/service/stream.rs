//! Many visits read by every core and given on in pieces, in order, with no more than a few pieces in memory.

use std::path::Path;
use std::sync::mpsc::sync_channel;

use rayon::prelude::*;

use super::facts::{Facts, From};
use super::said::{note, sentence};
use super::visits::{self, Worked};
use crate::logbook::{Book, BookFault, VisitId};

/// Visits in one piece.
pub(super) const PIECE: usize = 500;
/// Pieces that may wait for whoever takes them.
const WAITING: usize = 2;

/// A book as it was named.
pub(super) struct Named<'a> {
    pub(super) folder: &'a Path,
    pub(super) service: &'a str,
    pub(super) book: &'a str,
}

/// A visit that was read, or that is no longer there.
pub(super) enum Read<X> {
    There(Facts, X),
    /// It was deleted.
    Gone(VisitId),
}

/// Reads visits by all cores and gives them on, a piece at a time; `more` takes from each what else is wanted. How many
/// could not be read: each is named.
///
/// # Errors
/// What `take` gives, or the book cannot be opened.
pub(super) fn through<X: Send>(
    named: &Named<'_>,
    ids: &[VisitId],
    more: impl Fn(&Worked) -> X + Sync,
    mut take: impl FnMut(Vec<Read<X>>) -> anyhow::Result<()>,
) -> anyhow::Result<u64> {
    let (send, receive) = sync_channel::<anyhow::Result<Vec<Option<Read<X>>>>>(WAITING);
    std::thread::scope(|scope| {
        let more = &more;
        scope.spawn(move || {
            for piece in ids.chunks(PIECE) {
                let one = |book: &mut Option<Book>, id: &VisitId| read(named, book, *id, more);
                let read = piece.par_iter().with_min_len(PIECE / 8).map_init(|| None, one);
                // Whoever took them wants no more.
                if send.send(read.collect()).is_err() {
                    return;
                }
            }
        });
        let mut skipped = 0;
        for piece in receive {
            let piece = piece?;
            let all = piece.len();
            let good: Vec<Read<X>> = piece.into_iter().flatten().collect();
            skipped += (all - good.len()) as u64;
            take(good)?;
        }
        Ok(skipped)
    })
}

/// One visit; none where it cannot be read, which is reported.
fn read<X>(
    named: &Named<'_>,
    book: &mut Option<Book>,
    id: VisitId,
    more: impl Fn(&Worked) -> X,
) -> anyhow::Result<Option<Read<X>>> {
    let book = match book {
        Some(book) => book,
        None => book.insert(visits::open(named.folder)?),
    };
    Ok(match visits::read(book, id) {
        Ok(worked) => {
            let text = id.to_string();
            let from = From { id: &text, service: named.service, book: named.book };
            Some(Read::There(Facts::of(&worked, from), more(&worked)))
        }
        Err(fault) if matches!(fault.downcast_ref(), Some(BookFault::NoVisit(_))) => {
            Some(Read::Gone(id))
        }
        Err(fault) => {
            note(&format!("skipped: {}", sentence(&fault)));
            None
        }
    })
}
