//! The user's choices: one versioned TOML file. Unknown keys are kept, a corrupt file is named and
//! set aside, a file of a newer version is refused with a sentence.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::files;

/// The version this program writes.
pub const VERSION: i64 = 1;

/// The service's name on reports.
pub const SERVICE_NAME: &str = "service.name";
/// The paper of reports: `a4` or `letter`.
pub const REPORT_PAPER: &str = "report.paper";

/// The user's choices, as a TOML table of which only the known keys are interpreted.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    table: toml::Table,
    /// Numbers typed by hand without quotes, as the text that they would be; the file keeps them as they are.
    typed: BTreeMap<String, String>,
}

/// Why the settings could not be used.
#[derive(Debug, thiserror::Error)]
pub enum SettingsFault {
    /// The file was written by a newer program.
    #[error(
        "{path} has version {found}, and this program knows versions up to {VERSION}: use the newer program, or move the file away"
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its version.
        found: i64,
    },
    /// The file could not be read or written.
    #[error("{path}: {said}")]
    File {
        /// The file.
        path: PathBuf,
        /// What the system said.
        said: std::io::Error,
    },
}

/// What came of opening the settings.
#[derive(Debug)]
pub struct Loaded {
    /// The settings, or the defaults where there was no usable file.
    pub settings: Settings,
    /// A sentence to show when a corrupt file was set aside.
    pub note: Option<String>,
}

impl Default for Settings {
    fn default() -> Self {
        let mut table = toml::Table::new();
        table.insert("version".into(), toml::Value::Integer(VERSION));
        Self::of(table)
    }
}

impl Settings {
    /// Reads `path`; a missing file gives the defaults, a corrupt one is renamed to `*.corrupt`.
    ///
    /// # Errors
    /// A newer version, or a file that can be neither read nor set aside.
    pub fn open(path: &Path) -> Result<Loaded, SettingsFault> {
        let fault = |said| SettingsFault::File { path: path.into(), said };
        let text = match std::fs::read(path) {
            Ok(bytes) => String::from_utf8_lossy(&bytes).into_owned(),
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => {
                return Ok(Loaded { settings: Self::default(), note: None });
            }
            Err(e) => return Err(fault(e)),
        };
        match text.parse::<toml::Table>() {
            Ok(table) => match table.get("version").and_then(toml::Value::as_integer) {
                Some(found) if found > VERSION => {
                    Err(SettingsFault::Newer { path: path.into(), found })
                }
                _ => Ok(Loaded { settings: Self::of(table), note: None }),
            },
            Err(error) => {
                let aside = path.with_extension("toml.corrupt");
                std::fs::rename(path, &aside).map_err(fault)?;
                let line = error.span().map_or(1, |s| text[..s.start].matches('\n').count() + 1);
                let note = format!(
                    "{}, line {line}, is not TOML ({}): it was set aside as {}, and the defaults are used",
                    path.display(),
                    error.message(),
                    aside.display()
                );
                Ok(Loaded { settings: Self::default(), note: Some(note) })
            }
        }
    }

    fn of(table: toml::Table) -> Self {
        let mut typed = BTreeMap::new();
        for (name, inner) in table.iter().filter_map(|(name, v)| Some((name, v.as_table()?))) {
            let numbers = inner.iter().filter(|(_, v)| v.is_integer() || v.is_float());
            typed.extend(numbers.map(|(key, v)| (format!("{name}.{key}"), v.to_string())));
        }
        Self { table, typed }
    }

    /// A text value, such as `sound.device`; dots separate tables. A number without quotes counts as its text.
    pub fn text(&self, key: &str) -> Option<&str> {
        let mut table = &self.table;
        let mut parts = key.split('.').peekable();
        while let Some(part) = parts.next() {
            match (table.get(part)?, parts.peek()) {
                (toml::Value::Table(inner), Some(_)) => table = inner,
                (value, None) => {
                    return value.as_str().or_else(|| self.typed.get(key).map(String::as_str));
                }
                _ => return None,
            }
        }
        None
    }

    /// Sets a text value, making the tables on the way.
    pub fn set_text(&mut self, key: &str, value: &str) {
        let mut table = &mut self.table;
        let mut parts: Vec<&str> = key.split('.').collect();
        let Some(last) = parts.pop() else { return };
        for part in parts {
            let slot = table.entry(part).or_insert_with(|| toml::Value::Table(toml::Table::new()));
            if !slot.is_table() {
                *slot = toml::Value::Table(toml::Table::new());
            }
            match slot {
                toml::Value::Table(inner) => table = inner,
                _ => return,
            }
        }
        table.insert(last.into(), toml::Value::String(value.into()));
    }

    /// Writes all keys, known or not, to `path`, whole or not at all.
    ///
    /// # Errors
    /// What the file system says.
    pub fn save(&self, path: &Path) -> Result<(), SettingsFault> {
        let fault = |said| SettingsFault::File { path: path.into(), said };
        if let Some(folder) = path.parent() {
            files::private_folder(folder).map_err(fault)?;
        }
        files::write_atomic(path, self.table.to_string().as_bytes()).map_err(fault)
    }
}

/// Where the settings live: `CUFFNOTE_SETTINGS` if set, else the platform's configuration folder.
pub fn default_path() -> Option<PathBuf> {
    if let Some(path) = std::env::var_os("CUFFNOTE_SETTINGS") {
        return Some(path.into());
    }
    folders().map(|d| d.config_dir().join("settings.toml"))
}

/// Where the log lives: `CUFFNOTE_LOG_DIR` if set, else the platform's local data folder.
pub fn log_folder() -> Option<PathBuf> {
    if let Some(path) = std::env::var_os("CUFFNOTE_LOG_DIR") {
        return Some(path.into());
    }
    folders().map(|d| d.data_local_dir().join("log"))
}

/// Where the record book lives: `CUFFNOTE_BOOK` if set, else the settings' `book.folder`, else the
/// platform's local data folder.
pub fn book_folder(settings: &Settings) -> Option<PathBuf> {
    let named = std::env::var_os("CUFFNOTE_BOOK").filter(|name| !name.is_empty());
    named
        .map(PathBuf::from)
        .or_else(|| settings.text("book.folder").map(PathBuf::from))
        .or_else(|| folders().map(|d| d.data_local_dir().join("book")))
}

fn folders() -> Option<directories::ProjectDirs> {
    directories::ProjectDirs::from("", "", "cuffnote")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unknown_keys_survive_a_change() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("settings.toml");
        std::fs::write(&path, "version = 1\nfuture = 3\n[sound]\nother = true\n").unwrap();
        let mut settings = Settings::open(&path).unwrap().settings;
        settings.set_text("sound.device", "Line in");
        settings.save(&path).unwrap();
        let again = Settings::open(&path).unwrap().settings;
        assert_eq!(again.text("sound.device"), Some("Line in"));
        assert_eq!(again.table["future"].as_integer(), Some(3));
        assert_eq!(again.table["sound"]["other"].as_bool(), Some(true));
    }

    #[test]
    fn a_number_without_quotes_counts_and_stays_a_number() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("settings.toml");
        std::fs::write(&path, "version = 1\n[window]\nscale = 150\n").unwrap();
        let mut settings = Settings::open(&path).unwrap().settings;
        assert_eq!(settings.text("window.scale"), Some("150"));
        settings.save(&path).unwrap();
        assert!(std::fs::read_to_string(&path).unwrap().contains("scale = 150"));
        settings.set_text("window.scale", "125");
        assert_eq!(settings.text("window.scale"), Some("125"));
    }

    #[test]
    fn a_corrupt_file_is_named_and_set_aside() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("settings.toml");
        std::fs::write(&path, "version = 1\nname = = 2\n").unwrap();
        let opened = Settings::open(&path).unwrap();
        assert_eq!(opened.settings, Settings::default());
        assert!(opened.note.unwrap().contains("line 2"));
        assert!(path.with_extension("toml.corrupt").exists());
        assert!(!path.exists());
    }

    #[test]
    fn a_newer_file_is_refused_and_left() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("settings.toml");
        std::fs::write(&path, "version = 99\n").unwrap();
        assert!(Settings::open(&path).unwrap_err().to_string().contains("version 99"));
        assert!(path.exists());
    }
}
