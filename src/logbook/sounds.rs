//! Recordings beside the book: where they lie, what is known of them, and their hashes.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, params};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use uuid::Uuid;

use super::chain::{self, EntryKind};
use super::fault::{BookFault, file};
use super::schema;
use super::visits::VisitId;

/// The folder of all recordings inside the book's folder.
pub(super) const FOLDER: &str = "recordings";

/// Bytes of the shortest WAV header.
const HEADER: u64 = 44;

/// One recording of a visit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Recording {
    /// Where it lies.
    #[schemars(with = "String")]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SoundState {
    /// The file is there. Whether it is unchanged is what `check` tells.
    There,
    /// It was deleted on purpose; the book says so.
    Deleted,
    /// It should be there and is not.
    Missing,
}

/// A finished recording, as the book holds it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Sound {
    /// The file's name in the visit's folder.
    pub(super) file: String,
    pub(super) sha256: String,
    pub(super) bytes: u64,
    /// None where a killed program left it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) epoch: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) attempt: Option<u32>,
}

/// The folder of one visit's recordings.
pub(super) fn folder(book: &Path, visit: VisitId) -> PathBuf {
    book.join(FOLDER).join(visit.to_string())
}

/// The folders of recordings that hold anything, by name.
pub(super) fn folders(book: &Path) -> Vec<(String, PathBuf)> {
    let entries = std::fs::read_dir(book.join(FOLDER)).into_iter().flatten().flatten();
    let mut found: Vec<(String, PathBuf)> = entries
        .map(|entry| (entry.file_name().to_string_lossy().into_owned(), entry.path()))
        .filter(|(_, path)| std::fs::read_dir(path).is_ok_and(|mut inside| inside.next().is_some()))
        .collect();
    found.sort();
    found
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

/// The SHA-256 of a file in hexadecimal, as a finished recording is registered with.
///
/// # Errors
/// What the file system says.
pub fn sha256_of(path: &Path) -> Result<String, BookFault> {
    measure(path).map(|(_, hash)| hash)
}

/// The sounds that the book knows of a visit, in the order of their registration.
pub(super) fn registered(connection: &Connection, visit: VisitId) -> rusqlite::Result<Vec<Sound>> {
    let mut query = connection.prepare_cached(
        "SELECT body FROM entry WHERE visit = ?1 AND kind = ?2 AND body IS NOT NULL ORDER BY line, seq",
    )?;
    let rows = query.query_map(params![visit.0.as_bytes(), EntryKind::Sound as i64], |row| {
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

/// A finished recording's length and hash, once the file itself is on the disk.
///
/// # Errors
/// What the file system says.
pub(super) fn measured(
    path: &Path,
    epoch: Option<u32>,
    attempt: Option<u32>,
) -> Result<Sound, BookFault> {
    let (bytes, sha256) = measure(path)?;
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    File::open(path).and_then(|f| f.sync_all()).map_err(|e| file(path, e))?;
    if let Some(folder) = path.parent() {
        schema::sync_folder(folder)?;
    }
    Ok(Sound { file: name, sha256, bytes, epoch, attempt })
}

/// Sound files in a visit's folder that are not among the `known` ones.
pub(super) fn unregistered(book: &Path, visit: VisitId, known: &[Sound]) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder(book, visit)).into_iter().flatten().flatten();
    let mut others: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
    others.retain(|path| {
        let name = path.file_name().unwrap_or_default();
        path.extension().is_some_and(|e| e.eq_ignore_ascii_case("wav"))
            && !known.iter().any(|sound| *name == *sound.file)
            // A file without even a header was never recorded into.
            && std::fs::metadata(path).is_ok_and(|m| m.len() >= HEADER)
    });
    others.sort();
    others
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
            epoch: sound.epoch,
            attempt: sound.attempt,
            state,
        });
    }
    let known = registered(connection, visit)?;
    found.extend(unregistered(book, visit, &known).into_iter().map(|file| Recording {
        bytes: std::fs::metadata(&file).map_or(0, |m| m.len()),
        file,
        sha256: None,
        epoch: None,
        attempt: None,
        state: SoundState::There,
    }));
    Ok(found)
}

/// Every recording that a book knows.
pub(super) fn every(connection: &Connection) -> rusqlite::Result<Vec<(VisitId, Sound)>> {
    // The index tells which they are, so that not every text of the book is read: a sync with nothing new is made of this.
    let mut query = connection.prepare(
        "SELECT entry.visit, entry.body FROM entry AS sound CROSS JOIN entry ON entry.no = sound.no
         WHERE sound.visit IS NOT NULL AND sound.kind = 2 AND entry.body IS NOT NULL",
    )?;
    let rows =
        query.query_map([], |row| Ok((Uuid::from_bytes(row.get(0)?), row.get::<_, String>(1)?)))?;
    let mut found = Vec::new();
    for row in rows {
        let (visit, body) = row?;
        found.extend(serde_json::from_str(&body).ok().map(|sound| (VisitId(visit), sound)));
    }
    Ok(found)
}

/// A copy that is on the disk when this returns.
pub(super) fn copy_whole(from: &Path, to: &Path) -> Result<(), BookFault> {
    let mut source = File::open(from).map_err(|e| file(from, e))?;
    let mut target = schema::private_file(to)?;
    target.set_len(0).map_err(|e| file(to, e))?;
    std::io::copy(&mut source, &mut target).map_err(|e| file(to, e))?;
    target.sync_all().map_err(|e| file(to, e))
}
