//! One file with the whole book, made while the book is in use; with a passphrase it is encrypted by `age`.
//!
//! The file is a tar archive of `book.sqlite` and `recordings/`, or an age file of one (scrypt recipient), so
//! that ordinary tools open it too, should this program be gone.

use std::fs::File;
use std::io::{self, BufReader, BufWriter, Read, Write};
use std::path::{Component, Path, PathBuf};

use age::secrecy::SecretString;
use serde::Serialize;

use super::book::{Book, Head};
use super::fault::{BookFault, file};
use super::schema;
use super::sounds;
use super::visits::VisitId;

/// How an age file begins (age-encryption.org/v1).
const AGE: &[u8] = b"age-encryption.org/";
/// Work to try one passphrase, as a power of two, the same whatever this computer's speed: 256 MiB.
/// Measured on a fast or idle computer it would be more than a slow or busy one agrees to, and the backup could not be
/// opened there.
const WORK: u8 = 18;
/// The most work that is agreed to: 4 GiB. Backups made before the work was fixed may ask for more than [`WORK`].
const MOST_WORK: u8 = 22;

/// A passphrase; never shown, and wiped from memory when it goes.
#[derive(Clone)]
pub struct Passphrase(SecretString);

impl Passphrase {
    /// From text; a line's end does not count. None of an empty one.
    pub fn new(text: &str) -> Option<Self> {
        let text = text.trim_end_matches(['\r', '\n']);
        (!text.is_empty()).then(|| Self(SecretString::from(text.to_owned())))
    }
}

/// A backup that was made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BackedUp {
    /// The file.
    pub file: PathBuf,
    /// Its length, bytes.
    pub bytes: u64,
    /// Recordings in it.
    pub recordings: u64,
    /// True where it is encrypted.
    pub encrypted: bool,
    /// Where the book's chain stood.
    pub head: Head,
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
        if target.exists() {
            return Err(BookFault::Refused(format!(
                "{}: exists already, and a backup writes over nothing",
                target.display()
            )));
        }
        let copy = Passing(self.folder().join(format!("backup-{}.sqlite", std::process::id())));
        schema::copy_to(self.connection(), &copy.0)?;
        let head = self.head()?;
        let part = Passing(with_ending(target, "part"));
        let out = schema::private_file(&part.0)?;
        let fault = |e| file(&part.0, e);
        out.set_len(0).map_err(fault)?;
        // Only the target grows while it packs, whatever file was being read.
        let full = |fault| match fault {
            BookFault::NoSpace { .. } => BookFault::NoSpace { path: target.to_owned() },
            other => other,
        };
        let recordings = match passphrase {
            None => {
                let (mut out, recordings) =
                    self.pack(&copy.0, BufWriter::new(&out)).map_err(full)?;
                out.flush().map_err(fault)?;
                recordings
            }
            Some(Passphrase(secret)) => {
                let mut to = age::scrypt::Recipient::new(secret.clone());
                to.set_work_factor(WORK);
                let to =
                    age::Encryptor::with_recipients(std::iter::once(&to as &dyn age::Recipient))
                        .map_err(|e| fault(io::Error::other(e)))?;
                let to = to.wrap_output(BufWriter::new(&out)).map_err(fault)?;
                let (to, recordings) = self.pack(&copy.0, to).map_err(full)?;
                to.finish().and_then(|mut out| out.flush()).map_err(fault)?;
                recordings
            }
        };
        out.sync_all().map_err(fault)?;
        let bytes = out.metadata().map_err(fault)?.len();
        std::fs::rename(&part.0, target).map_err(|e| file(target, e))?;
        if let Some(folder) = target.parent().filter(|folder| !folder.as_os_str().is_empty()) {
            schema::sync_folder(folder)?;
        }
        let encrypted = passphrase.is_some();
        Ok(BackedUp { file: target.to_owned(), bytes, recordings, encrypted, head })
    }

    /// Packs the copied database and all recordings; returns the sink and the number of recordings.
    fn pack<W: Write>(&self, database: &Path, sink: W) -> Result<(W, u64), BookFault> {
        let mut archive = tar::Builder::new(sink);
        add(&mut archive, database, Path::new(schema::FILE))?;
        let folder = self.folder().join(sounds::FOLDER);
        let mut count = 0;
        for path in recordings(&folder) {
            let name = path.strip_prefix(self.folder()).unwrap_or(&path);
            add(&mut archive, &path, name)?;
            count += 1;
        }
        let sink = archive.into_inner().map_err(|e| file(&folder, e))?;
        Ok((sink, count))
    }
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
    let mut header = tar::Header::new_gnu();
    header.set_size(length);
    header.set_mode(0o600);
    header.set_mtime(0);
    header.set_entry_type(tar::EntryType::Regular);
    archive.append_data(&mut header, name, from.take(length)).map_err(fault)
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
    let done = unpack(from, &part, passphrase)
        .and_then(|()| std::fs::rename(&part, folder).map_err(|e| file(folder, e)));
    if done.is_err() {
        let _ = std::fs::remove_dir_all(&part);
    }
    done
}

/// Unpacks a backup into a new private folder. Only what a backup holds is taken.
pub(super) fn unpack(
    from: &Path,
    folder: &Path,
    passphrase: Option<&Passphrase>,
) -> Result<(), BookFault> {
    let source = BufReader::new(File::open(from).map_err(|e| file(from, e))?);
    let refused = |said: String| BookFault::Refused(format!("{}: {said}", from.display()));
    if !is_encrypted(from)? {
        return unpack_tar(from, source, folder);
    }
    let Some(Passphrase(secret)) = passphrase else {
        return Err(refused("this backup is encrypted: its passphrase is needed".into()));
    };
    let mut identity = age::scrypt::Identity::new(secret.clone());
    identity.set_max_work_factor(MOST_WORK);
    let opened = age::Decryptor::new(source)
        .and_then(|sealed| sealed.decrypt(std::iter::once(&identity as &dyn age::Identity)))
        .map_err(|e| refused(format!("cannot be decrypted ({e}): is the passphrase right?")))?;
    unpack_tar(from, opened, folder)
}

fn unpack_tar(from: &Path, source: impl Read, folder: &Path) -> Result<(), BookFault> {
    let refused = |said: &str| BookFault::Refused(format!("{}: {said}", from.display()));
    // What the archive's reader says may hold bytes of the file, so it is not shown.
    let no_backup = |_| refused("is no backup of a record book, or no longer a whole one");
    let mut archive = tar::Archive::new(source);
    let mut whole = false;
    for entry in archive.entries().map_err(no_backup)? {
        let mut entry = entry.map_err(no_backup)?;
        let name = entry.path().map_err(no_backup)?.into_owned();
        if !entry.header().entry_type().is_file() || !belongs(&name) {
            return Err(refused(&format!("{} is no part of a backup", name.display())));
        }
        whole |= name == Path::new(schema::FILE);
        let target = folder.join(&name);
        schema::private_folder(target.parent().unwrap_or(folder))?;
        let mut to = schema::private_file(&target)?;
        io::copy(&mut entry, &mut to).map_err(|e| match e.kind() {
            io::ErrorKind::StorageFull => file(&target, e),
            _ => no_backup(e),
        })?;
        to.sync_all().map_err(|e| file(&target, e))?;
    }
    if whole { Ok(()) } else { Err(refused("there is no record book in it")) }
}

/// True of the two kinds of names that a backup has.
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
        Some([folder, visit, sound]) => {
            *folder == sounds::FOLDER && visit.parse::<VisitId>().is_ok() && sounds::is_plain(sound)
        }
        _ => false,
    }
}
