//! The first store: one append-only file a visit, one event a line of JSON, on the disk before it counts.

use std::fs::{File, OpenOptions};
use std::io::{self, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use crate::clinical::event::{Act, Event, EventFault, VERSION};
use crate::clinical::moment::Moment;

/// An open file of events.
#[derive(Debug)]
pub struct Journal {
    path: PathBuf,
    file: File,
    next: u64,
}

/// The events of a file, and what was wrong with its end.
#[derive(Debug, Clone, PartialEq)]
pub struct Read {
    /// All whole events, in order.
    pub events: Vec<Event>,
    /// A sentence where the last line was cut short, by a crash for instance. It never counted.
    pub note: Option<String>,
    /// Bytes up to the end of the last whole event.
    whole: u64,
}

/// Why a file of events could not be used.
#[derive(Debug, thiserror::Error)]
pub enum JournalFault {
    /// The file system refused.
    #[error("{path}: {source}")]
    File {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// A line inside the file is no event, or one of a newer program.
    #[error("{path}, line {line}: {source}")]
    Line {
        /// The file.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
        /// What is wrong with it.
        source: EventFault,
    },
}

/// Reads a file of events without changing it.
///
/// # Errors
/// The file cannot be read, or a line before its end is no event.
pub fn read(path: &Path) -> Result<Read, JournalFault> {
    let bytes = std::fs::read(path).map_err(|source| file_fault(path, source))?;
    let text = String::from_utf8_lossy(&bytes);
    let mut read = Read { events: Vec::new(), note: None, whole: 0 };
    let mut lines = text.split_inclusive('\n').enumerate().peekable();
    while let Some((i, line)) = lines.next() {
        if !line.trim().is_empty() {
            match Event::from_json(line.trim()) {
                Ok(event) => read.events.push(event),
                Err(EventFault::NotAnEvent(_))
                    if lines.peek().is_none() && !line.ends_with('\n') =>
                {
                    let note = "the last line was cut short and does not count";
                    read.note = Some(format!("{}, line {}: {note}", path.display(), i + 1));
                    return Ok(read);
                }
                Err(source) => {
                    return Err(JournalFault::Line { path: path.into(), line: i + 1, source });
                }
            }
        }
        read.whole += line.len() as u64;
    }
    Ok(read)
}

fn file_fault(path: &Path, source: io::Error) -> JournalFault {
    JournalFault::File { path: path.into(), source }
}

impl Journal {
    /// Begins a new file.
    ///
    /// # Errors
    /// A file of that name exists, or the file system refuses.
    pub fn create(path: &Path) -> Result<Self, JournalFault> {
        let file = OpenOptions::new().write(true).create_new(true).open(path);
        let file = file.map_err(|source| file_fault(path, source))?;
        Ok(Self { path: path.into(), file, next: 1 })
    }

    /// Opens a file to go on with it; a last line that was cut short is removed.
    ///
    /// # Errors
    /// As [`read`].
    pub fn open(path: &Path) -> Result<(Self, Read), JournalFault> {
        let found = read(path)?;
        let fault = |source| file_fault(path, source);
        let mut file = OpenOptions::new().read(true).write(true).open(path).map_err(fault)?;
        if found.note.is_some() {
            file.set_len(found.whole).map_err(fault)?;
        }
        let end = file.seek(SeekFrom::End(0)).map_err(fault)?;
        let next = found.events.last().map_or(1, |event| event.n + 1);
        let mut journal = Self { path: path.into(), file, next };
        if end > 0 && !ends_a_line(path).map_err(fault)? {
            journal.file.write_all(b"\n").map_err(fault)?;
        }
        Ok((journal, found))
    }

    /// Writes the next event and waits until it is on the disk.
    ///
    /// # Errors
    /// The file system refuses; the event then does not count.
    pub fn append(&mut self, at: Moment, act: Act) -> Result<Event, JournalFault> {
        let event = Event { n: self.next, v: VERSION, at, act };
        let fault = |source| file_fault(&self.path, source);
        let mut line = serde_json::to_string(&event).map_err(|e| fault(e.into()))?;
        line.push('\n');
        self.file.write_all(line.as_bytes()).map_err(fault)?;
        self.file.sync_data().map_err(fault)?;
        self.next += 1;
        Ok(event)
    }
}

fn ends_a_line(path: &Path) -> io::Result<bool> {
    Ok(std::fs::read(path)?.ends_with(b"\n"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn note(words: &str) -> Act {
        Act::Note { who: "op-1".into(), words: words.into() }
    }

    fn at() -> Moment {
        Moment::parse("2026-11-03T10:15:02+01:00").unwrap()
    }

    #[test]
    fn events_come_back_in_order_and_the_count_goes_on() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("visit.events");
        let mut journal = Journal::create(&path).unwrap();
        journal.append(at(), note("first")).unwrap();
        drop(journal);
        let (mut journal, found) = Journal::open(&path).unwrap();
        assert_eq!((found.events.len(), found.note), (1, None));
        assert_eq!(journal.append(at(), note("second")).unwrap().n, 2);
        assert_eq!(read(&path).unwrap().events.len(), 2);
        assert!(Journal::create(&path).is_err());
    }

    #[test]
    fn wherever_a_crash_cuts_the_file_the_whole_events_before_it_survive() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("visit.events");
        let mut journal = Journal::create(&path).unwrap();
        journal.append(at(), note("first")).unwrap();
        journal.append(at(), note("zweite Äußerung")).unwrap();
        let whole = std::fs::read(&path).unwrap();
        let first = whole.iter().position(|b| *b == b'\n').unwrap();
        for cut in 0..=whole.len() {
            std::fs::write(&path, &whole[..cut]).unwrap();
            let expected = usize::from(cut >= first) + usize::from(cut >= whole.len() - 1);
            let (mut journal, found) = Journal::open(&path).unwrap();
            assert_eq!(found.events.len(), expected, "cut at {cut}");
            journal.append(at(), note("after")).unwrap();
            let again = read(&path).unwrap();
            assert_eq!((again.events.len(), again.note), (expected + 1, None), "cut at {cut}");
        }
    }

    #[test]
    fn a_broken_line_in_the_middle_is_named() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("visit.events");
        std::fs::write(&path, "{}\nnonsense\n").unwrap();
        assert!(read(&path).unwrap_err().to_string().contains("line 1"));
        assert!(read(&folder.path().join("none")).is_err());
    }
}
