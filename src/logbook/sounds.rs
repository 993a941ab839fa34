//! Recordings beside the book: where they lie, what is known of them, and their hashes.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, params};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::chain::{self, Kind};
use super::fault::{BookFault, file};
use super::visits::VisitId;

/// The folder of all recordings inside the book's folder.
pub(super) const FOLDER: &str = "recordings";

/// One recording of a visit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Recording {
    /// Where it lies.
    pub file: PathBuf,
    /// Its SHA-256 in hexadecimal, once it was finished and registered.
    pub sha256: Option<String>,
    /// Its length, bytes: as registered, else as found.
    pub bytes: u64,
    /// The stream of sound that it holds; none where it was never registered.
    pub epoch: Option<u32>,
    /// The attempt that it belongs to, where it is one attempt's alone.
    pub attempt: Option<u32>,
    /// Whether it is there.
    pub state: SoundState,
}

/// Whether a recording is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SoundState {
    /// The file is there. Whether it is unchanged is what `check` tells.
    There,
    /// It was deleted on purpose; the book says so.
    Deleted,
    /// It should be there and is not.
    Missing,
}

/// A finished recording as it stands in the book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Sound {
    /// The file's name in the visit's folder.
    pub(super) file: String,
    pub(super) sha256: String,
    pub(super) bytes: u64,
    pub(super) epoch: u32,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) attempt: Option<u32>,
}

/// The folder of one visit's recordings.
pub(super) fn folder(book: &Path, visit: VisitId) -> PathBuf {
    book.join(FOLDER).join(visit.to_string())
}

/// True of a file's name that stays in its folder.
pub(super) fn is_plain(name: &str) -> bool {
    let plain = |c: char| c.is_alphanumeric() || "-_.".contains(c);
    !name.is_empty() && !name.starts_with('.') && name.chars().all(plain)
}

/// Length and SHA-256 of a file, read in pieces.
///
/// # Errors
/// What the file system says.
pub(super) fn measure(path: &Path) -> Result<(u64, String), BookFault> {
    let mut from = File::open(path).map_err(|e| file(path, e))?;
    let (mut hash, mut bytes, mut piece) = (Sha256::new(), 0u64, vec![0u8; 1 << 16]);
    loop {
        match from.read(&mut piece).map_err(|e| file(path, e))? {
            0 => return Ok((bytes, chain::hex(&hash.finalize()))),
            read => {
                bytes += read as u64;
                hash.update(&piece[..read]);
            }
        }
    }
}

/// The sounds that the book knows of a visit, in the order of their registration.
pub(super) fn registered(connection: &Connection, visit: VisitId) -> rusqlite::Result<Vec<Sound>> {
    let mut query = connection.prepare_cached(
        "SELECT body FROM entry WHERE visit = ?1 AND kind = ?2 AND body IS NOT NULL ORDER BY no",
    )?;
    let rows = query.query_map(params![visit.0.as_bytes(), Kind::Sound as i64], |row| {
        row.get::<_, String>(0)
    })?;
    let mut sounds: Vec<Sound> = Vec::new();
    for body in rows {
        // A form of a newer program is left out here, and named by `check`.
        let sound = serde_json::from_str::<Sound>(&body?).ok();
        sounds.extend(sound.filter(|sound| !sounds.contains(sound)));
    }
    Ok(sounds)
}

/// Registered recordings first, then files that a killed program never came to register.
pub(super) fn list(
    connection: &Connection,
    book: &Path,
    visit: VisitId,
    deleted: bool,
) -> rusqlite::Result<Vec<Recording>> {
    let folder = folder(book, visit);
    let mut found = Vec::new();
    for sound in registered(connection, visit)?.into_iter().filter(|s| is_plain(&s.file)) {
        let file = folder.join(&sound.file);
        let state = match file.is_file() {
            true => SoundState::There,
            false if deleted => SoundState::Deleted,
            false => SoundState::Missing,
        };
        found.push(Recording {
            file,
            sha256: Some(sound.sha256),
            bytes: sound.bytes,
            epoch: Some(sound.epoch),
            attempt: sound.attempt,
            state,
        });
    }
    let mut others: Vec<PathBuf> = std::fs::read_dir(&folder)
        .map(|entries| entries.filter_map(|e| Some(e.ok()?.path())).collect())
        .unwrap_or_default();
    others.retain(|path| {
        path.extension().is_some_and(|e| e.eq_ignore_ascii_case("wav"))
            && !found.iter().any(|known| known.file == *path)
    });
    others.sort();
    found.extend(others.into_iter().map(|file| Recording {
        bytes: std::fs::metadata(&file).map_or(0, |m| m.len()),
        file,
        sha256: None,
        epoch: None,
        attempt: None,
        state: SoundState::There,
    }));
    Ok(found)
}
