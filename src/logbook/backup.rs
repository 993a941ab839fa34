//! One file with the whole book, made while the book is in use; with a passphrase it is encrypted by `age`.
//!
//! The file is a tar archive of a shelf (`super::shelf`) and `recordings/`, or an age file of one (scrypt recipient),
//! so that ordinary tools open it too, should this program be gone. It goes straight into its target: nothing of it
//! lies on a disk in between, and where it is to be encrypted it is so from its first byte.

use std::fs::File;
use std::io::{self, BufReader, BufWriter, Read, Write};
use std::path::{Component, Path, PathBuf};

use age::secrecy::SecretString;
use rusqlite::Connection;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::book::{Book, Head};
use super::check;
use super::fault::{BookFault, file, store};
use super::lines;
use super::rebuild;
use super::schema;
use super::shelf::{self, Piece};
use super::sounds;
use super::visits::VisitId;
use super::watch::{Waiting, Walk};
use super::writer;
use crate::clinical::moment::Moment;

/// How an age file begins (age-encryption.org/v1).
const AGE: &[u8] = b"age-encryption.org/";
/// Work to try one passphrase, as a power of two, the same whatever this computer's speed: 256 MiB.
/// Measured on a fast or idle computer it would be more than a slow or busy one agrees to, and the backup could not be
/// opened there.
const WORK: u8 = 18;
/// The most work that is agreed to: 4 GiB. Backups made before the work was fixed may ask for more than [`WORK`].
const MOST_WORK: u8 = 22;
/// What a backup begins with, and ends with.
const BEGIN: &str = "backup.json";
const END: &str = "end.json";
/// The version of the form. The first one held the database's own file.
const VERSION: u64 = 2;
/// The least score of a passphrase, of 0 to 4: 10^8 guesses at least, of which a fast computer makes a few a second.
const LEAST_SCORE: u8 = 3;

/// A passphrase; never shown, and wiped from memory when it goes.
#[derive(Clone)]
pub struct Passphrase(SecretString);

impl Passphrase {
    /// From text; a line's end does not count. None of an empty one.
    pub fn new(text: &str) -> Option<Self> {
        let text = text.trim_end_matches(['\r', '\n']);
        (!text.is_empty()).then(|| Self(SecretString::from(text.to_owned())))
    }

    /// Refuses one that would be guessed, before anything is encrypted with it.
    ///
    /// # Errors
    /// Why it is weak, in a sentence.
    pub fn strong(self) -> Result<Self, BookFault> {
        use age::secrecy::ExposeSecret;
        let rated = zxcvbn::zxcvbn(self.0.expose_secret(), &[]);
        if u8::from(rated.score()) >= LEAST_SCORE {
            return Ok(self);
        }
        let why = rated.feedback().and_then(|f| f.warning()).map(|w| format!(" ({w})"));
        Err(BookFault::Refused(format!(
            "this passphrase could be guessed{}: take four or more words that do not belong together; nothing was written",
            why.unwrap_or_default()
        )))
    }
}

/// A backup that was made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct BackedUp {
    /// The file.
    #[schemars(with = "String")]
    pub file: PathBuf,
    /// Its length, bytes.
    pub bytes: u64,
    /// Recordings in it.
    pub recordings: u64,
    /// True where it is encrypted.
    pub encrypted: bool,
    /// Where the book's chain stood.
    pub head: Head,
    /// Sentences, such as on what an interrupted backup had left.
    pub notes: Vec<String>,
}

/// What stands at the begin of a backup.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(super) struct Begin {
    format: String,
    version: u64,
    at: Moment,
    /// The chain that the book writes.
    pub(super) line: Uuid,
    /// The place that it wrote from.
    pub(super) place: String,
}

/// What stands at the end: without it the backup is cut.
#[derive(Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
struct End {
    entries: u64,
    recordings: u64,
}

impl Book {
    /// Writes the whole book to one new file, whole or not at all, while others may write in the book.
    ///
    /// # Errors
    /// The file exists already, or a disk refuses.
    pub fn backup(
        &self,
        target: &Path,
        passphrase: Option<&Passphrase>,
    ) -> Result<BackedUp, BookFault> {
        if target.symlink_metadata().is_ok() {
            return Err(BookFault::Refused(format!(
                "{}: exists already, and a backup writes over nothing",
                target.display()
            )));
        }
        let part = Passing(with_ending(target, "part"));
        let mut notes = Vec::new();
        if std::fs::remove_file(&part.0).is_ok() {
            notes.push(format!(
                "{}: was left by an interrupted backup, and is deleted",
                part.0.display()
            ));
        }
        let out = schema::private_file(&part.0)?;
        let fault = |e| file(&part.0, e);
        // Only the target grows while it packs, whatever file was being read.
        let full = |fault| match fault {
            BookFault::NoSpace { .. } => BookFault::NoSpace { path: target.to_owned() },
            other => other,
        };
        // Everything is read in its present state.
        let tx = self.connection().unchecked_transaction().map_err(self.fault())?;
        let head = self.head()?;
        let end = match passphrase {
            None => {
                let (mut out, end) = self.pack(&tx, BufWriter::new(&out)).map_err(full)?;
                out.flush().map_err(fault)?;
                end
            }
            Some(Passphrase(secret)) => {
                let mut to = age::scrypt::Recipient::new(secret.clone());
                to.set_work_factor(WORK);
                let to =
                    age::Encryptor::with_recipients(std::iter::once(&to as &dyn age::Recipient))
                        .map_err(|e| fault(io::Error::other(e)))?;
                let to = to.wrap_output(BufWriter::new(&out)).map_err(fault)?;
                let (to, end) = self.pack(&tx, to).map_err(full)?;
                to.finish().and_then(|mut out| out.flush()).map_err(fault)?;
                end
            }
        };
        drop(tx);
        out.sync_all().map_err(fault)?;
        let bytes = out.metadata().map_err(fault)?.len();
        std::fs::rename(&part.0, target).map_err(|e| file(target, e))?;
        if let Some(folder) = target.parent().filter(|folder| !folder.as_os_str().is_empty()) {
            schema::sync_folder(folder)?;
        }
        let encrypted = passphrase.is_some();
        notes.extend(self.write_down(target, encrypted));
        let (file, recordings) = (target.to_owned(), end.recordings);
        Ok(BackedUp { file, bytes, recordings, encrypted, head, notes })
    }

    /// Packs entries and recordings; returns the sink and what it counted.
    fn pack<W: Write>(&self, connection: &Connection, sink: W) -> Result<(W, End), BookFault> {
        let fault = |e: rusqlite::Error| store(self.folder(), &e);
        let mut archive = tar::Builder::new(sink);
        let line = lines::current(connection).map_err(fault)?.unwrap_or_default();
        let place: String =
            connection.query_row("SELECT place FROM book", [], |row| row.get(0)).map_err(fault)?;
        let (format, at) = ("cuffnote-backup".to_owned(), writer::now());
        put_json(&mut archive, BEGIN, &Begin { format, version: VERSION, at, line, place })?;
        let mut end = End::default();
        let sounds = recordings(&self.folder().join(sounds::FOLDER));
        let entries = "SELECT count(*) FROM entry";
        let entries: i64 = connection.query_row(entries, [], |row| row.get(0)).map_err(fault)?;
        let mut walk = Walk::of(self.watch(), entries.unsigned_abs() + sounds.len() as u64);
        for (no, id) in check::lines(connection).map_err(fault)? {
            end.entries += shelf::write(connection, (no, 0), self.folder(), |piece, bytes| {
                put_bytes(&mut archive, &shelf::path(Path::new(""), id, piece), bytes)?;
                walk.by(piece.to + 1 - piece.from)
            })?;
        }
        for path in sounds {
            walk.on()?;
            let name = path.strip_prefix(self.folder()).unwrap_or(&path);
            add(&mut archive, &path, name)?;
            end.recordings += 1;
        }
        put_json(&mut archive, END, &end)?;
        let sink = archive.into_inner().map_err(|e| file(self.folder(), e))?;
        Ok((sink, end))
    }
}

fn put_json<W: Write, T: Serialize>(
    archive: &mut tar::Builder<W>,
    name: &str,
    value: &T,
) -> Result<(), BookFault> {
    let bytes = serde_json::to_vec(value)
        .map_err(|e| BookFault::Refused(format!("{name} cannot be written: {e}")))?;
    put_bytes(archive, Path::new(name), &bytes)
}

fn put_bytes<W: Write>(
    archive: &mut tar::Builder<W>,
    name: &Path,
    bytes: &[u8],
) -> Result<(), BookFault> {
    let mut header = header(bytes.len() as u64);
    archive.append_data(&mut header, name, bytes).map_err(|e| file(name, e))
}

fn header(length: u64) -> tar::Header {
    let mut header = tar::Header::new_gnu();
    header.set_size(length);
    header.set_mode(0o600);
    header.set_mtime(0);
    header.set_entry_type(tar::EntryType::Regular);
    header
}

/// A file that is taken away again, unless it was renamed.
struct Passing(PathBuf);

impl Drop for Passing {
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.0);
    }
}

fn with_ending(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".");
    name.push(ending);
    path.with_file_name(name)
}

/// Every recording of every visit, in the order of their names.
fn recordings(folder: &Path) -> Vec<PathBuf> {
    let inside = |folder: &Path| -> Vec<PathBuf> {
        let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
        entries.map(|entry| entry.path()).collect()
    };
    let mut found: Vec<PathBuf> =
        inside(folder).iter().flat_map(|visit| inside(visit)).filter(|p| p.is_file()).collect();
    found.sort();
    found
}

/// Adds one file as long as it is now: a recording that grows meanwhile is kept up to here.
fn add<W: Write>(archive: &mut tar::Builder<W>, path: &Path, name: &Path) -> Result<(), BookFault> {
    let fault = |e| file(path, e);
    let from = File::open(path).map_err(fault)?;
    let length = from.metadata().map_err(fault)?.len();
    archive.append_data(&mut header(length), name, from.take(length)).map_err(fault)
}

/// True where a backup needs a passphrase.
///
/// # Errors
/// The file cannot be read.
pub fn is_encrypted(path: &Path) -> Result<bool, BookFault> {
    let mut start = Vec::new();
    let from = File::open(path).map_err(|e| file(path, e))?;
    from.take(AGE.len() as u64).read_to_end(&mut start).map_err(|e| file(path, e))?;
    Ok(start == AGE)
}

/// Makes a book of a backup, in a folder that holds none. The book then goes on with a new chain after the old one.
///
/// # Errors
/// The folder holds something, the passphrase is wrong, or the file is no whole backup: then nothing is left behind.
pub fn restore(
    from: &Path,
    folder: &Path,
    passphrase: Option<&Passphrase>,
) -> Result<(), BookFault> {
    restore_watched(from, folder, passphrase, &Waiting::default())
}

/// As [`restore`], for someone who waits and may end it.
///
/// # Errors
/// As there, or whoever waits wanted no more; nothing is left behind then.
pub fn restore_watched(
    from: &Path,
    folder: &Path,
    passphrase: Option<&Passphrase>,
    watch: &Waiting,
) -> Result<(), BookFault> {
    let empty = std::fs::read_dir(folder).map(|mut entries| entries.next().is_none());
    match empty {
        Ok(true) => std::fs::remove_dir(folder).map_err(|e| file(folder, e))?,
        Ok(false) => {
            return Err(BookFault::Refused(format!(
                "{}: is not empty, and a restore writes over nothing: name a new folder, or use `merge`",
                folder.display()
            )));
        }
        Err(e) if e.kind() == io::ErrorKind::NotFound => {}
        Err(e) => return Err(file(folder, e)),
    }
    let part = with_ending(folder, "restoring");
    let _ = std::fs::remove_dir_all(&part);
    let done = unpack(from, &part, passphrase, watch)
        .and_then(|unpacked| match unpacked {
            Unpacked::Database => Ok(()),
            Unpacked::Shelf(begin) => rebuild::book(&part, (begin.line, &begin.place), watch),
        })
        .and_then(|()| std::fs::rename(&part, folder).map_err(|e| file(folder, e)));
    if done.is_err() {
        let _ = std::fs::remove_dir_all(&part);
    }
    done
}

/// What was in a backup.
pub(super) enum Unpacked {
    /// The database's own file, as older programs packed it.
    Database,
    /// A shelf.
    Shelf(Begin),
}

/// Unpacks a backup into a new private folder. Only what a backup holds is taken, and only a whole one.
pub(super) fn unpack(
    from: &Path,
    folder: &Path,
    passphrase: Option<&Passphrase>,
    watch: &Waiting,
) -> Result<Unpacked, BookFault> {
    let source = BufReader::new(File::open(from).map_err(|e| file(from, e))?);
    let mut walk = Walk::of(watch, std::fs::metadata(from).map_or(0, |file| file.len()));
    let refused = |said: String| BookFault::Refused(format!("{}: {said}", from.display()));
    if !is_encrypted(from)? {
        return unpack_tar(from, source, folder, &mut walk);
    }
    let Some(Passphrase(secret)) = passphrase else {
        return Err(refused("this backup is encrypted: its passphrase is needed".into()));
    };
    let mut identity = age::scrypt::Identity::new(secret.clone());
    identity.set_max_work_factor(MOST_WORK);
    let opened = age::Decryptor::new(source)
        .and_then(|sealed| sealed.decrypt(std::iter::once(&identity as &dyn age::Identity)))
        .map_err(|e| refused(format!("cannot be decrypted ({e}): is the passphrase right?")))?;
    unpack_tar(from, opened, folder, &mut walk)
}

/// Reads on, and keeps whether the last block was one of zeros: an archive ends with two of them.
struct Ended<R> {
    inner: R,
    zeros: u64,
}

impl<R: Read> Read for Ended<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let read = self.inner.read(into)?;
        let last = into[..read].iter().rev().take_while(|byte| **byte == 0).count();
        self.zeros = if last == read { self.zeros + read as u64 } else { last as u64 };
        Ok(read)
    }
}

fn unpack_tar(
    from: &Path,
    source: impl Read,
    folder: &Path,
    walk: &mut Walk,
) -> Result<Unpacked, BookFault> {
    let refused = |said: &str| BookFault::Refused(format!("{}: {said}", from.display()));
    // What the archive's reader says may hold bytes of the file, so it is not shown.
    let no_backup = |_| refused("is no backup of a record book, or no longer a whole one");
    let mut archive = tar::Archive::new(Ended { inner: source, zeros: 0 });
    let (mut begin, mut end, mut found) = (None::<Begin>, None::<End>, End::default());
    let mut database = false;
    for entry in archive.entries().map_err(no_backup)? {
        let mut entry = entry.map_err(no_backup)?;
        let name = entry.path().map_err(no_backup)?.into_owned();
        // A member's head takes 512 bytes.
        walk.by(512 + entry.size())?;
        if !entry.header().entry_type().is_file() {
            return Err(refused(&format!("{} is no part of a backup", name.display())));
        }
        let mut small = || {
            let mut bytes = Vec::new();
            (&mut entry).take(1 << 16).read_to_end(&mut bytes).map(|_| bytes).map_err(no_backup)
        };
        if name == Path::new(BEGIN) {
            begin = Some(begin_of(&small()?).map_err(|fault| refused(&fault.to_string()))?);
            continue;
        } else if name == Path::new(END) {
            end = serde_json::from_slice(&small()?).ok();
            continue;
        } else if !belongs(&name) {
            return Err(refused(&format!("{} is no part of a backup", name.display())));
        }
        database |= name == Path::new(schema::FILE);
        found.recordings += u64::from(name.starts_with(sounds::FOLDER));
        let target = folder.join(&name);
        schema::private_folder(target.parent().unwrap_or(folder))?;
        let mut to = schema::private_file(&target)?;
        io::copy(&mut entry, &mut to).map_err(|e| match e.kind() {
            io::ErrorKind::StorageFull => file(&target, e),
            _ => no_backup(e),
        })?;
        to.sync_all().map_err(|e| file(&target, e))?;
        found.entries += piece_of(&name).map_or(0, |piece| piece.to + 1 - piece.from);
    }
    // Two blocks of zeros; the reader of the archive stops after the first.
    let mut ended = archive.into_inner();
    let mut rest = [0; 1024];
    let _ = ended.read(&mut rest).map_err(no_backup)?;
    let cut = refused("is cut: not all of the backup is there, so nothing was taken");
    match (begin, database) {
        (None, true) if ended.zeros >= 1024 => Ok(Unpacked::Database),
        (None, true) => Err(cut),
        (Some(begin), _) if end.as_ref() == Some(&found) => {
            schema::private_folder(folder)?;
            Ok(Unpacked::Shelf(begin))
        }
        (Some(_), _) => Err(cut),
        (None, false) => Err(refused("there is no record book in it")),
    }
}

/// Why bytes are not the begin of a backup.
#[derive(Debug, thiserror::Error)]
enum NoBegin {
    #[error("is no backup of a record book, or no longer a whole one")]
    Cut,
    #[error(
        "this backup has form {0}, and this program knows forms up to {VERSION}: restore it with the newer program"
    )]
    Newer(u64),
    #[error("is no backup of a record book")]
    NoBackup,
}

/// Reads what stands at the begin of a backup.
fn begin_of(bytes: &[u8]) -> Result<Begin, NoBegin> {
    let value: serde_json::Value = serde_json::from_slice(bytes).map_err(|_| NoBegin::Cut)?;
    match value["version"].as_u64() {
        Some(found) if found > VERSION => Err(NoBegin::Newer(found)),
        _ => serde_json::from_value(value).map_err(|_| NoBegin::NoBackup),
    }
}

/// The piece of a chain that a name stands for.
fn piece_of(name: &Path) -> Option<Piece> {
    let name = name.strip_prefix(shelf::FOLDER).ok()?;
    Piece::of_name(name.file_name()?.to_str()?)
}

/// True of the kinds of names that a backup has.
fn belongs(name: &Path) -> bool {
    let parts: Option<Vec<&str>> = name
        .components()
        .map(|part| match part {
            Component::Normal(part) => part.to_str(),
            _ => None,
        })
        .collect();
    match parts.as_deref() {
        Some([one]) => *one == schema::FILE,
        Some([folder, visit, sound]) if *folder == sounds::FOLDER => {
            visit.parse::<VisitId>().is_ok() && sounds::is_plain(sound)
        }
        Some([folder, line, piece]) if *folder == shelf::FOLDER => {
            line.parse::<Uuid>().is_ok() && Piece::of_name(piece).is_some()
        }
        _ => false,
    }
}
