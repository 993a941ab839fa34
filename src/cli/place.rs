//! Where what a verb makes goes. Looked at before any work is done; nothing is replaced that should stay.
//!
//! A file that is there is replaced only with `--force`; what lies in a record book never; a device or a pipe is
//! written to, never renamed over; a folder, a disk, and a link that leads out of its folder are refused.

use std::fs::{self, FileType};
use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::{Context, anyhow, bail, ensure};

use super::manner;
use super::output::say_bytes;
use crate::files;

/// The name by which a record book is known.
const BOOK: &str = "book.sqlite";

/// The sentence for a file that was not there when the work began.
const CAME: &str = "came to be there meanwhile, and is not replaced";

/// The outputs of one run, as they are looked at one after the other.
pub(super) struct Outputs {
    /// What the run reads: never written over, not even with `--force`.
    read: Vec<PathBuf>,
    taken: Vec<PathBuf>,
    force: bool,
}

/// One output.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Out {
    /// Standard output.
    Stream,
    /// A file that is not there yet.
    New(PathBuf),
    /// A file that `--force` lets go.
    Replaced(PathBuf),
    /// A device or a pipe.
    Through(PathBuf),
}

impl Outputs {
    /// For a run that reads these files.
    pub(super) fn beside<P: AsRef<Path>>(read: impl IntoIterator<Item = P>) -> Self {
        let read = read.into_iter().filter_map(|path| fs::canonicalize(path).ok());
        Self { read: read.collect(), taken: Vec::new(), force: manner::get().force }
    }

    /// For a run that reads no file by name.
    pub(super) fn new() -> Self {
        Self::beside(std::iter::empty::<&Path>())
    }

    /// A file or, for `-`, standard output.
    ///
    /// # Errors
    /// It may not be written to; the sentence says why and what to do.
    pub(super) fn stream(&mut self, path: &Path) -> anyhow::Result<Out> {
        if path.as_os_str() == "-" {
            let both = self.taken.iter().any(|taken| taken.as_os_str() == "-");
            ensure!(!both, "standard output takes one thing at a time");
            self.taken.push(path.into());
            return Ok(Out::Stream);
        }
        self.file(path)
    }

    /// A file.
    ///
    /// # Errors
    /// As [`Outputs::stream`].
    pub(super) fn file(&mut self, path: &Path) -> anyhow::Result<Out> {
        let name = path.display();
        ensure!(
            path.as_os_str() != "-",
            "several files come of this, so it cannot go to standard output: name a file"
        );
        ensure!(path.file_name().is_some(), "{name}: name a file");
        outside_books(path)?;
        let Ok(there) = path.symlink_metadata() else {
            let place = self.take(path)?;
            return Ok(Out::New(place));
        };
        if there.file_type().is_symlink() {
            return self.linked(path);
        }
        self.there(path, there.file_type())
    }

    /// Something that is there and is no link.
    fn there(&mut self, path: &Path, kind: FileType) -> anyhow::Result<Out> {
        let name = path.display();
        if kind.is_dir() {
            bail!("{name}: is a folder: name a file in it");
        }
        if flows(kind) {
            return Ok(Out::Through(path.into()));
        }
        ensure!(kind.is_file(), "{name}: is no file that can be written: name another");
        let place = self.take(path)?;
        ensure!(
            self.force,
            "{name}: is there already: name another file, or replace it with --force"
        );
        Ok(Out::Replaced(place))
    }

    fn linked(&mut self, path: &Path) -> anyhow::Result<Out> {
        let name = path.display();
        let Ok(real) = fs::canonicalize(path) else {
            bail!("{name}: is a link that leads nowhere: name a file");
        };
        let kind = real.metadata().with_context(|| name.to_string())?.file_type();
        if flows(kind) {
            return Ok(Out::Through(path.into()));
        }
        ensure!(
            real.parent() == folder(path)?.canonicalize().ok().as_deref(),
            "{name}: is a link out of its folder, to {}: name that file itself (for standard output, -)",
            real.display()
        );
        self.there(&real, kind)
    }

    /// A folder that files will go into, made where there is none.
    ///
    /// # Errors
    /// It lies in a record book, or is a file.
    pub(super) fn folder(&mut self, path: &Path) -> anyhow::Result<()> {
        let name = path.display();
        outside_books(&path.join("within"))?;
        ensure!(!path.exists() || path.is_dir(), "{name}: is no folder: name one");
        files::private_folder(path).with_context(|| name.to_string())
    }

    /// The place, where nothing else of this run goes and nothing is read from.
    fn take(&mut self, path: &Path) -> anyhow::Result<PathBuf> {
        let name = path.display();
        let Ok(folder) = folder(path)?.canonicalize() else {
            bail!("{name}: its folder is not there: make it first");
        };
        let place = folder.join(path.file_name().unwrap_or_default());
        ensure!(!self.read.contains(&place), "{name}: is what is read here: name another file");
        ensure!(!self.taken.contains(&place), "{name}: two outputs have this one name");
        self.taken.push(place.clone());
        Ok(place)
    }
}

/// What is read: a file whole, or for `-` standard input.
///
/// # Errors
/// What the system says, with the name.
pub(super) fn given(path: &Path) -> anyhow::Result<Vec<u8>> {
    if path.as_os_str() == "-" {
        let mut bytes = Vec::new();
        std::io::Read::read_to_end(&mut std::io::stdin().lock(), &mut bytes)
            .context("standard input")?;
        return Ok(bytes);
    }
    fs::read(path).with_context(|| path.display().to_string())
}

/// True of what takes bytes as they come: a terminal, `/dev/null`, a pipe.
fn flows(kind: FileType) -> bool {
    #[cfg(unix)]
    {
        use std::os::unix::fs::FileTypeExt;
        kind.is_char_device() || kind.is_fifo()
    }
    #[cfg(not(unix))]
    {
        let _ = kind;
        false
    }
}

fn folder(path: &Path) -> anyhow::Result<&Path> {
    let parent = path.parent().with_context(|| format!("{}: name a file", path.display()))?;
    Ok(if parent.as_os_str().is_empty() { Path::new(".") } else { parent })
}

/// Refuses a place within a record book, wherever links lead.
fn outside_books(path: &Path) -> anyhow::Result<()> {
    let mut above =
        path.ancestors().skip(1).map(|p| if p.as_os_str().is_empty() { Path::new(".") } else { p });
    let Some(there) = above.find_map(|folder| folder.canonicalize().ok()) else { return Ok(()) };
    let real = path.canonicalize().ok();
    let places = there.ancestors().chain(real.iter().flat_map(|real| real.ancestors().skip(1)));
    for folder in places {
        ensure!(
            folder.join(BOOK).symlink_metadata().is_err(),
            "{}: lies in the record book {}, which only its own verbs write: name a place outside of it",
            path.display(),
            folder.display()
        );
    }
    Ok(())
}

impl Out {
    /// Whether this is standard output.
    pub(super) fn is_stream(&self) -> bool {
        *self == Out::Stream
    }

    /// Writes everything, whole or not at all where it is a file.
    ///
    /// # Errors
    /// What the system says, with the name.
    pub(super) fn write(&self, bytes: &[u8]) -> anyhow::Result<()> {
        match self {
            Out::Stream => say_bytes(bytes),
            Out::New(path) => match files::write_new(path, bytes) {
                Err(fault) if fault.kind() == std::io::ErrorKind::AlreadyExists => {
                    bail!("{}: {CAME}", path.display())
                }
                written => written.with_context(|| self.cannot()),
            },
            Out::Replaced(path) => files::write_atomic(path, bytes).with_context(|| self.cannot()),
            Out::Through(path) => fs::OpenOptions::new()
                .write(true)
                .open(path)
                .and_then(|mut to| to.write_all(bytes).and_then(|()| to.flush()))
                .with_context(|| self.cannot()),
        }
    }

    /// Writes piece by piece, whole or not at all where it is a file.
    ///
    /// # Errors
    /// What the system says, with the name, or what `write` gives.
    pub(super) fn pieces<T>(
        &self,
        write: impl FnOnce(&mut (dyn Write + Send)) -> anyhow::Result<T>,
    ) -> anyhow::Result<T> {
        match self {
            Out::Stream => {
                let mut out = std::io::BufWriter::new(std::io::stdout());
                let done = write(&mut out)?;
                out.flush().with_context(|| self.cannot())?;
                Ok(done)
            }
            Out::New(path) => {
                let written = files::stream_new(path, |out| write(out).map_err(Failed));
                written.map_err(|failed| match failed.0.downcast_ref::<std::io::Error>() {
                    Some(fault) if fault.kind() == std::io::ErrorKind::AlreadyExists => {
                        anyhow!("{}: {CAME}", path.display())
                    }
                    _ => failed.0.context(self.cannot()),
                })
            }
            Out::Replaced(path) => {
                let written = files::stream_atomic(path, |out| write(out).map_err(Failed));
                written.map_err(|failed| failed.0).with_context(|| self.cannot())
            }
            Out::Through(path) => {
                let to = fs::OpenOptions::new().write(true).open(path);
                let mut out = std::io::BufWriter::new(to.with_context(|| self.cannot())?);
                let done = write(&mut out)?;
                out.flush().with_context(|| self.cannot())?;
                Ok(done)
            }
        }
    }

    /// A file to be filled bit by bit; not for standard output.
    ///
    /// # Errors
    /// What the system says, with the name.
    pub(super) fn open(&self) -> anyhow::Result<fs::File> {
        let mut options = files::private();
        options.write(true);
        let opened = match self {
            Out::Stream => bail!("this goes to a file: name one"),
            Out::New(path) => options.create_new(true).open(path),
            Out::Replaced(path) => options.truncate(true).open(path),
            Out::Through(path) => options.open(path),
        };
        opened.with_context(|| self.cannot())
    }

    /// Takes a new file away again, because what belongs beside it could not be written.
    pub(super) fn undo(&self) {
        if let Out::New(path) = self {
            let _ = fs::remove_file(path);
        }
    }

    fn cannot(&self) -> String {
        match self {
            Out::Stream => "standard output".into(),
            Out::New(path) | Out::Replaced(path) | Out::Through(path) => {
                format!("cannot write {}", path.display())
            }
        }
    }
}

/// Any fault of a file that is written piece by piece.
struct Failed(anyhow::Error);

impl From<std::io::Error> for Failed {
    fn from(fault: std::io::Error) -> Self {
        Self(fault.into())
    }
}
