//! What came into a book's chains since a reader last looked, with the chains followed hash by hash.

use std::collections::BTreeSet;

use rusqlite::{OptionalExtension, params};
use uuid::Uuid;

use super::book::{Book, Head};
use super::chain;
use super::check;
use super::entry::{ENTRY, Entry};
use super::fault::BookFault;
use super::lines::hash_at;
use super::visits::VisitId;

/// What came since.
#[derive(Debug, Clone, Default)]
pub struct Since {
    /// Visits that have a new entry, also those that were deleted.
    pub visits: BTreeSet<VisitId>,
    /// Where each chain stands now.
    pub heads: Vec<Head>,
    /// Chains that do not go on from where they stood, or are broken since: nothing of them is given.
    pub broken: Vec<String>,
}

/// How a chain stands to what was known of it.
enum Stands {
    At(Head),
    Broken(String),
}

impl Book {
    /// What came into each chain after the head that is known of it; everything of a chain that is not known.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn since(&self, known: &[Head]) -> Result<Since, BookFault> {
        let fault = self.fault();
        let mut since = Since::default();
        for (no, id) in check::lines(self.connection()).map_err(&fault)? {
            let chain = id.to_string();
            let before = known.iter().find(|head| head.chain == chain);
            match self.line_since((no, id), before, &mut since.visits) {
                Ok(Stands::At(head)) => since.heads.push(head),
                Ok(Stands::Broken(why)) => since.broken.push(format!("chain {chain}: {why}")),
                Err(why) => return Err(fault(why)),
            }
        }
        Ok(since)
    }

    fn line_since(
        &self,
        (no, id): (i64, Uuid),
        before: Option<&Head>,
        visits: &mut BTreeSet<VisitId>,
    ) -> rusqlite::Result<Stands> {
        let connection = self.connection();
        let from = before.map_or(0, |head| head.entries);
        let start = match before.filter(|head| head.entries > 0) {
            None => chain::START,
            Some(head) => match hash_at(connection, no, from)? {
                Some(hash) if chain::hex(&hash) == head.hash => hash,
                Some(_) => {
                    return Ok(Stands::Broken(format!(
                        "its entry {from} is another one than before"
                    )));
                }
                None => {
                    return Ok(Stands::Broken(format!("it had {from} entries and has fewer now")));
                }
            },
        };
        let mut last = (from, start);
        let mut found = BTreeSet::new();
        let text = format!("SELECT {ENTRY} FROM entry WHERE line = ?1 AND seq > ?2 ORDER BY seq");
        let mut query = connection.prepare(&text)?;
        let rows = query.query_map(params![no, from as i64], Entry::read)?;
        for row in rows {
            let entry = row?;
            // What is wrong with an entry by itself is reported with its visit when that is read.
            if let Some((_, why)) = entry.follows(last) {
                return Ok(Stands::Broken(format!("entry {}: {why}", entry.seq)));
            }
            last = (entry.seq, entry.hash);
            found.extend(entry.visit.map(VisitId));
        }
        visits.extend(found);
        Ok(Stands::At(Head { chain: id.to_string(), entries: last.0, hash: chain::hex(&last.1) }))
    }

    /// The chain that a book writes; none where it has written none yet.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn own_chain(&self) -> Result<Option<String>, BookFault> {
        let text = "SELECT line.id FROM book JOIN line ON line.no = book.line";
        let read = self.connection().query_row(text, [], |row| row.get::<_, [u8; 16]>(0));
        let id = read.optional().map_err(self.fault())?;
        Ok(id.map(|id| Uuid::from_bytes(id).to_string()))
    }
}
