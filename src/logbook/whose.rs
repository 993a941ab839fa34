//! Whose a visit is until it is closed.

use rusqlite::Connection;

use super::lines::{self, Lines};
use super::visits::{self, VisitId};

/// Who may add to a visit until it is closed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Whose {
    /// This book.
    Here,
    /// This book in another place, from where it was moved, copied or restored: it is taken over first.
    Before,
    /// Another book, by its chain.
    Elsewhere(String),
}

/// Whose a visit is; none where that cannot be told, or there is none.
pub(super) fn whose(connection: &Connection, visit: VisitId) -> rusqlite::Result<Option<Whose>> {
    let Some(owner) = visits::told(connection, visit)?.owner else { return Ok(None) };
    let Some(here) = lines::current(connection)? else { return Ok(None) };
    if owner == here {
        return Ok(Some(Whose::Here));
    }
    let lines = Lines::of(connection, &[owner, here].into())?;
    Ok(Some(match () {
        () if lines.laptop(owner) == lines.laptop(here) => Whose::Here,
        () if lines.own(here).contains(&owner) => Whose::Before,
        () => Whose::Elsewhere(owner.to_string()),
    }))
}
