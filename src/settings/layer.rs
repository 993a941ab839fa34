//! One file of settings: a versioned TOML table of which only the known keys are interpreted. Unknown keys are kept, a
//! file of a newer version is refused with a sentence.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::files;

/// The version this program writes.
pub const VERSION: i64 = 1;

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
    /// The computer's own file cannot be understood. It may lock what must not be changed, so nothing runs without it.
    #[error("{path}, line {line}: {said}; whoever looks after this computer must put it right")]
    Machine {
        /// The file.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
        /// What is wrong there.
        said: String,
    },
}

/// What is wrong with a text that should be TOML.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct NotToml {
    /// The line, from 1.
    pub(super) line: usize,
    /// What the reader said.
    pub(super) said: String,
}

/// A layer of settings.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Layer {
    table: toml::Table,
    /// What was typed without quotes or as a list, as the text that it would be; the file keeps it as it is.
    typed: BTreeMap<String, String>,
}

impl Default for Layer {
    fn default() -> Self {
        let mut table = toml::Table::new();
        table.insert("version".into(), toml::Value::Integer(VERSION));
        Self::of(table)
    }
}

impl Layer {
    fn of(table: toml::Table) -> Self {
        let mut typed = BTreeMap::new();
        for (name, inner) in table.iter().filter_map(|(name, v)| Some((name, v.as_table()?))) {
            let texts = inner.iter().filter_map(|(key, v)| Some((key, plain(v)?)));
            typed.extend(texts.map(|(key, text)| (format!("{name}.{key}"), text)));
        }
        Self { table, typed }
    }

    /// Reads a text; a version that is too new is a fault of `path`.
    ///
    /// # Errors
    /// A newer version; within it, a text that is not TOML.
    pub(super) fn read(text: &str, path: &Path) -> Result<Result<Self, NotToml>, SettingsFault> {
        let table = match text.parse::<toml::Table>() {
            Ok(table) => table,
            Err(error) => {
                let line = error.span().map_or(1, |s| text[..s.start].matches('\n').count() + 1);
                return Ok(Err(NotToml { line, said: error.message().to_owned() }));
            }
        };
        match table.get("version").and_then(toml::Value::as_integer) {
            Some(found) if found > VERSION => {
                Err(SettingsFault::Newer { path: path.into(), found })
            }
            _ => Ok(Ok(Self::of(table))),
        }
    }

    /// A value at the top, by its name.
    pub(super) fn top(&self, name: &str) -> Option<&toml::Value> {
        self.table.get(name)
    }

    /// A text value, such as `sound.device`; dots separate tables. A number, yes or no without quotes and a list count as
    /// their text.
    pub(super) fn text(&self, key: &str) -> Option<&str> {
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

    /// Every key that stands in it, with dots between, in the file's order.
    pub(super) fn keys(&self) -> Vec<String> {
        let tables = self.table.iter().filter_map(|(name, v)| Some((name, v.as_table()?)));
        tables.flat_map(|(name, t)| t.keys().map(move |key| format!("{name}.{key}"))).collect()
    }

    /// Sets a text value, making the tables on the way.
    pub(super) fn set_text(&mut self, key: &str, value: &str) {
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
    pub(super) fn save(&self, path: &Path) -> Result<(), SettingsFault> {
        let fault = |said| SettingsFault::File { path: path.into(), said };
        if let Some(folder) = path.parent() {
            files::private_folder(folder).map_err(fault)?;
        }
        files::write_atomic(path, self.table.to_string().as_bytes()).map_err(fault)
    }
}

/// A value that is no text as the text that the settings mean by it.
fn plain(value: &toml::Value) -> Option<String> {
    match value {
        toml::Value::Integer(_) | toml::Value::Float(_) => Some(value.to_string()),
        toml::Value::Boolean(yes) => Some(if *yes { "yes" } else { "no" }.into()),
        toml::Value::Array(list) => {
            let texts: Option<Vec<&str>> = list.iter().map(toml::Value::as_str).collect();
            Some(texts?.join(","))
        }
        _ => None,
    }
}
