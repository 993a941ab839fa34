//! The local log: one line a run, and where a panic happened. Never a record code, a path or a sound.
//!
//! Written here, since a logging library would be larger than what it is needed for.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use super::output::fault;
use crate::{files, settings};

/// A log this long, in bytes, is set aside as `cuffnote.1.log`, and the one before it dropped.
const LONGEST: u64 = 256 * 1024;

/// The log file, where the platform names a folder for it.
pub fn path() -> Option<PathBuf> {
    settings::log_folder().map(|folder| folder.join("cuffnote.log"))
}

/// Appends a line with the time before it. A log that cannot be written stops no work.
pub fn note(line: &str) {
    if let Some(path) = path() {
        let _ = append(&path, line);
    }
}

fn append(path: &Path, line: &str) -> std::io::Result<()> {
    if let Some(folder) = path.parent() {
        files::private_folder(folder)?;
    }
    if fs::metadata(path).is_ok_and(|m| m.len() > LONGEST) {
        fs::rename(path, path.with_extension("1.log"))?;
    }
    let mut file = files::private().create(true).append(true).open(path)?;
    writeln!(file, "{} {} {line}", crate::units::wall_clock(), env!("CARGO_PKG_VERSION"))
}

/// On a panic: the place goes to the log, and a sentence says where that is. The message itself may hold
/// what was typed, so it is shown but not kept.
pub fn keep_panics() {
    let shown = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        shown(panic);
        let place = panic.location().map_or("an unknown place".into(), ToString::to_string);
        note(&format!("panic at {place}"));
        if let Some(path) = path() {
            let path = path.display();
            fault(&format!("this is a fault of the program; where it happened is noted in {path}"));
        }
    }));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_log_is_set_aside_once() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log").join("cuffnote.log");
        append(&path, "first").unwrap();
        fs::write(&path, vec![b'x'; LONGEST as usize + 1]).unwrap();
        append(&path, "listen ended with 0").unwrap();
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.trim_end().ends_with("listen ended with 0") && text.len() < 100);
        assert_eq!(fs::read_dir(path.parent().unwrap()).unwrap().count(), 2);
    }
}
