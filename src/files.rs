//! Writes a whole file or none: a temporary name beside the target, flush, fsync, rename. What is made here is for
//! the owner alone: whom a report is shown to is decided by whoever hands it on.

use std::fs::{self, DirBuilder, File, OpenOptions};
use std::io::{self, Write};
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};

/// Two threads that write the same file use two temporary names.
static WRITES: AtomicU64 = AtomicU64::new(0);

/// Writes `bytes` to `path` so that a reader, or a crash, sees the old file or the new one, never half.
///
/// # Errors
/// Whatever the file system says; the target is then untouched and the temporary file removed.
pub fn write_atomic(path: &Path, bytes: &[u8]) -> io::Result<()> {
    put(path, bytes, |from, to| fs::rename(from, to))
}

/// As [`write_atomic`], but a file that is there is never replaced, not even one that came a moment ago.
///
/// # Errors
/// `AlreadyExists` where something is there; else what the file system says. The target is then untouched.
pub fn write_new(path: &Path, bytes: &[u8]) -> io::Result<()> {
    put(path, bytes, |from, to| match fs::hard_link(from, to) {
        Ok(()) => fs::remove_file(from),
        Err(fault) if fault.kind() == io::ErrorKind::AlreadyExists => Err(fault),
        // Not every file system has links (a stick's has none).
        Err(_) if to.symlink_metadata().is_err() => fs::rename(from, to),
        Err(_) => Err(io::ErrorKind::AlreadyExists.into()),
    })
}

fn put(
    path: &Path,
    bytes: &[u8],
    place: impl FnOnce(&Path, &Path) -> io::Result<()>,
) -> io::Result<()> {
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let name = path
        .file_name()
        .ok_or_else(|| io::Error::new(io::ErrorKind::InvalidInput, "the path names no file"))?;
    let mut temporary = std::ffi::OsString::from(".");
    temporary.push(name);
    let write = WRITES.fetch_add(1, Ordering::Relaxed);
    temporary.push(format!(".{}-{write}.part", std::process::id()));
    let temporary = folder.join(temporary);
    let written = write_and_sync(&temporary, bytes).and_then(|()| place(&temporary, path));
    if written.is_err() {
        let _ = fs::remove_file(&temporary);
        return written;
    }
    sync_folder(folder)
}

/// Writes `path` piece by piece, so that a reader, or a crash, sees the old file or the new one, never half; what
/// `write` refuses leaves the target untouched.
///
/// # Errors
/// What the file system says, or what `write` gives.
pub fn stream_atomic<T, E: From<io::Error>>(
    path: &Path,
    write: impl FnOnce(&mut io::BufWriter<File>) -> Result<T, E>,
) -> Result<T, E> {
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let mut name = std::ffi::OsString::from(".");
    name.push(path.file_name().unwrap_or_default());
    let number = WRITES.fetch_add(1, Ordering::Relaxed);
    name.push(format!(".{}-{number}.part", std::process::id()));
    let temporary = folder.join(name);
    let _ = fs::remove_file(&temporary);
    let file = private().write(true).create_new(true).open(&temporary)?;
    let mut out = io::BufWriter::new(file);
    let done = write(&mut out).and_then(|done| {
        out.flush()?;
        out.get_ref().sync_all()?;
        fs::rename(&temporary, path)?;
        Ok(done)
    });
    if done.is_err() {
        let _ = fs::remove_file(&temporary);
        return done;
    }
    sync_folder(folder)?;
    done
}

fn write_and_sync(path: &Path, bytes: &[u8]) -> io::Result<()> {
    // Left by a killed program with this number; a link that someone put there goes too, and is never followed.
    let _ = fs::remove_file(path);
    let mut file = private().write(true).create_new(true).open(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// How a file for the owner alone is opened: one that is made gets the mode 0600, one that is there keeps its own.
pub fn private() -> OpenOptions {
    #[allow(unused_mut)]
    let mut options = OpenOptions::new();
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options
}

/// Makes the folder and those above it, for the owner alone (0700); one that exists is left as it is.
///
/// # Errors
/// What the file system says.
pub fn private_folder(path: &Path) -> io::Result<()> {
    let mut builder = DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(path)
}

/// Makes the rename itself durable, where the platform lets a folder be opened.
fn sync_folder(folder: &Path) -> io::Result<()> {
    if cfg!(unix) {
        File::open(folder)?.sync_all()?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_whole_and_nothing_else_is_left() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("visit.json");
        write_atomic(&path, b"first").unwrap();
        write_atomic(&path, b"second").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"second");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[cfg(unix)]
    #[test]
    fn a_file_is_for_its_owner_alone_and_no_link_is_followed() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let (path, other) = (folder.path().join("a/b/visit.json"), folder.path().join("other"));
        private_folder(path.parent().unwrap()).unwrap();
        fs::write(&other, "another's").unwrap();
        std::os::unix::fs::symlink(&other, &path).unwrap();
        write_atomic(&path, b"mine").unwrap();
        assert_eq!(fs::read(&other).unwrap(), b"another's");
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!((mode(&path), mode(path.parent().unwrap())), (0o600, 0o700));
    }

    #[test]
    fn what_is_there_is_never_replaced_by_a_new_file() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("sound.wav");
        write_new(&path, b"first").unwrap();
        let refused = write_new(&path, b"second").unwrap_err();
        assert_eq!(refused.kind(), io::ErrorKind::AlreadyExists);
        assert_eq!(fs::read(&path).unwrap(), b"first");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_failed_write_leaves_the_old_file() {
        let folder = tempfile::tempdir().unwrap();
        let target = folder.path().join("taken");
        fs::create_dir(&target).unwrap();
        assert!(write_atomic(&target, b"x").is_err());
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}
