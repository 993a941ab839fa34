//! What is chosen, in layers: the computer's own file, the user's, and what this run was given; the later wins, but for
//! keys that the computer's file locks. A corrupt file of the user's is named and set aside; the computer's is refused.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use layer::Layer;

pub use keys::{KEYS, SettingsKey, key, near};
pub use language::{CONFIRMED_BY, LANGUAGE, REPORT_LANGUAGE};
pub use layer::{SettingsFault, VERSION};

mod keys;
mod language;
mod layer;

/// The service's name on reports.
pub const SERVICE_NAME: &str = "service.name";
/// The paper of reports: `a4` or `letter`.
pub const REPORT_PAPER: &str = "report.paper";

/// The choices of all layers.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Settings {
    user: Layer,
    machine: Option<Layer>,
    /// Keys, or whole tables, that only the computer's file decides.
    locked: Vec<String>,
    run: BTreeMap<String, String>,
    /// The system's own locale, where it is known.
    locale: Option<String>,
}

/// Which layer a value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ValueOrigin {
    /// No layer: the program's defaults.
    Usual,
    /// The computer's own file, and nothing else can change it.
    Locked,
    /// The computer's own file.
    Machine,
    /// The user's file.
    User,
    /// This run alone: `--set`.
    Run,
}

/// What came of opening the settings.
#[derive(Debug)]
pub struct Loaded {
    /// The settings, or the defaults where there was no usable file.
    pub settings: Settings,
    /// A sentence to show when a corrupt file was set aside.
    pub note: Option<String>,
}

/// A key that only the computer's file decides was to be set for one run.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "{0} is fixed for this computer: whoever looks after it can change it, in the computer's own settings"
)]
pub struct Fixed(pub String);

impl Settings {
    /// Reads the user's file alone; a missing file gives the defaults, a corrupt one is renamed to `*.corrupt`.
    ///
    /// # Errors
    /// A newer version, or a file that can be neither read nor set aside.
    pub fn open(path: &Path) -> Result<Loaded, SettingsFault> {
        let fault = |said| SettingsFault::File { path: path.into(), said };
        let Some(text) = read(path)? else {
            return Ok(Loaded { settings: Self::default(), note: None });
        };
        let note = match Layer::read(&text, path)? {
            Ok(user) => {
                let settings = Self { user, ..Self::default() };
                return Ok(Loaded { settings, note: None });
            }
            Err(wrong) => {
                let aside = path.with_extension("toml.corrupt");
                std::fs::rename(path, &aside).map_err(fault)?;
                format!(
                    "{}, line {}, is not TOML ({}): it was set aside as {}, and the defaults are used",
                    path.display(),
                    wrong.line,
                    wrong.said,
                    aside.display()
                )
            }
        };
        Ok(Loaded { settings: Self::default(), note: Some(note) })
    }

    /// Reads the computer's file and the user's, from where they are on this system.
    ///
    /// # Errors
    /// As [`Settings::open`] and [`Settings::with_machine`].
    pub fn here() -> Result<Loaded, SettingsFault> {
        let opened = match default_path() {
            Some(path) => Self::open(&path)?,
            None => Loaded { settings: Self::default(), note: None },
        };
        let settings = opened.settings.with_locale(sys_locale::get_locale());
        let settings = match machine_path() {
            Some(path) => settings.with_machine(&path)?,
            None => settings,
        };
        Ok(Loaded { settings, note: opened.note })
    }

    /// The same below the computer's own file; one that is not there changes nothing.
    ///
    /// # Errors
    /// A file that cannot be read, is no TOML, is of a newer version, or locks what is no key.
    pub fn with_machine(mut self, path: &Path) -> Result<Self, SettingsFault> {
        let Some(text) = read(path)? else { return Ok(self) };
        let refused = |line, said| SettingsFault::Machine { path: path.into(), line, said };
        let layer = Layer::read(&text, path)?.map_err(|wrong| refused(wrong.line, wrong.said))?;
        let line = text.lines().position(|line| line.trim_start().starts_with("locked"));
        let refused = |said: String| refused(line.map_or(1, |n| n + 1), said);
        self.locked = match layer.top("locked") {
            None => Vec::new(),
            Some(toml::Value::Array(list)) => {
                let names = list.iter().map(|name| name.as_str().map(str::to_owned));
                let names: Option<Vec<String>> = names.collect();
                names.ok_or_else(|| refused("`locked` is a list of keys in quotes".into()))?
            }
            Some(_) => return Err(refused("`locked` is a list of keys in quotes".into())),
        };
        if let Some(unknown) = self.locked.iter().find(|name| !keys::names(name)) {
            // A lock with a slip of the pen would lock nothing, and nobody would know.
            return Err(refused(format!("`locked` names `{unknown}`, which is no key")));
        }
        self.machine = Some(layer);
        Ok(self)
    }

    /// Sets a value for this run.
    ///
    /// # Errors
    /// The key is fixed for this computer.
    pub fn for_this_run(&mut self, key: &str, value: &str) -> Result<(), Fixed> {
        if self.is_locked(key) {
            return Err(Fixed(key.to_owned()));
        }
        self.run.insert(key.to_owned(), value.to_owned());
        Ok(())
    }

    /// Whether only the computer's file decides this key.
    pub fn is_locked(&self, key: &str) -> bool {
        self.locked.iter().any(|name| keys::covers(name, key))
    }

    /// Whether the computer has a file of its own.
    pub fn has_machine(&self) -> bool {
        self.machine.is_some()
    }

    /// Keys that stand in the user's or the computer's file and mean nothing to this program.
    pub fn unknown(&self) -> Vec<String> {
        let machine = self.machine.iter().flat_map(Layer::keys);
        let mut names: Vec<String> = machine.chain(self.user.keys()).collect();
        names.retain(|name| key(name).is_none());
        names.dedup();
        names
    }

    /// A value and the layer that it comes from.
    pub fn found(&self, name: &str) -> (ValueOrigin, Option<&str>) {
        let own = key(name).is_some_and(|key| key.own);
        let machine = self.machine.as_ref().filter(|_| !own).and_then(|layer| layer.text(name));
        if self.is_locked(name) {
            return (ValueOrigin::Locked, machine);
        }
        let layers = [
            (ValueOrigin::Run, self.run.get(name).filter(|_| !own).map(String::as_str)),
            (ValueOrigin::User, self.user.text(name)),
            (ValueOrigin::Machine, machine),
        ];
        let found = layers.into_iter().find(|(_, text)| text.is_some());
        found.unwrap_or((ValueOrigin::Usual, None))
    }

    /// A text value, such as `sound.device`; dots separate tables.
    pub fn text(&self, key: &str) -> Option<&str> {
        self.found(key).1
    }

    /// Sets a text value in the user's layer; a key that is fixed for this computer stays as it is.
    pub fn set_text(&mut self, key: &str, value: &str) {
        if !self.is_locked(key) {
            self.run.remove(key);
            self.user.set_text(key, value);
        }
    }

    /// Writes the user's layer, all keys, known or not, to `path`, whole or not at all.
    ///
    /// # Errors
    /// What the file system says.
    pub fn save(&self, path: &Path) -> Result<(), SettingsFault> {
        self.user.save(path)
    }
}

/// The text of a file; none where there is no file.
fn read(path: &Path) -> Result<Option<String>, SettingsFault> {
    match std::fs::read(path) {
        Ok(bytes) => Ok(Some(String::from_utf8_lossy(&bytes).into_owned())),
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(said) => Err(SettingsFault::File { path: path.into(), said }),
    }
}

/// A path from the environment; an empty one counts as none.
fn named(variable: &str) -> Option<PathBuf> {
    std::env::var_os(variable).filter(|name| !name.is_empty()).map(PathBuf::from)
}

/// Where the user's settings live: `CUFFNOTE_SETTINGS` if set, else the platform's configuration folder.
pub fn default_path() -> Option<PathBuf> {
    named("CUFFNOTE_SETTINGS").or_else(|| folders().map(|d| d.config_dir().join("settings.toml")))
}

/// Where the computer's own settings live: the platform's place for all users. `CUFFNOTE_MACHINE_SETTINGS` names another
/// only where no file is at that place, so that it lifts no lock.
pub fn machine_path() -> Option<PathBuf> {
    let usual = machine_folder().map(|folder| folder.join("settings.toml"));
    match usual {
        Some(path) if path.symlink_metadata().is_ok() => Some(path),
        usual => named("CUFFNOTE_MACHINE_SETTINGS").or(usual),
    }
}

#[cfg(windows)]
fn machine_folder() -> Option<PathBuf> {
    Some(named("ProgramData").unwrap_or_else(|| r"C:\ProgramData".into()).join("Cuffnote"))
}

#[cfg(target_os = "macos")]
fn machine_folder() -> Option<PathBuf> {
    Some("/Library/Application Support/Cuffnote".into())
}

#[cfg(not(any(windows, target_os = "macos")))]
fn machine_folder() -> Option<PathBuf> {
    Some("/etc/cuffnote".into())
}

/// Where the log lives: `CUFFNOTE_LOG_DIR` if set, else the platform's local data folder.
pub fn log_folder() -> Option<PathBuf> {
    named("CUFFNOTE_LOG_DIR").or_else(|| folders().map(|d| d.data_local_dir().join("log")))
}

/// Where the record book lives: `CUFFNOTE_BOOK` if set, else the settings' `book.folder`, else the platform's local data
/// folder. Where the computer's settings fix `book.folder`, the environment does not change it.
pub fn book_folder(settings: &Settings) -> Option<PathBuf> {
    let chosen = settings.text(keys::BOOK).filter(|text| !text.is_empty()).map(PathBuf::from);
    named("CUFFNOTE_BOOK")
        .filter(|_| !settings.is_locked(keys::BOOK))
        .or(chosen)
        .or_else(|| folders().map(|d| d.data_local_dir().join("book")))
}

fn folders() -> Option<directories::ProjectDirs> {
    directories::ProjectDirs::from("", "", "cuffnote")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(text: &str) -> (tempfile::TempDir, PathBuf) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("settings.toml");
        std::fs::write(&path, text).unwrap();
        (folder, path)
    }

    #[test]
    fn unknown_keys_survive_a_change() {
        let (_folder, path) = written("version = 1\nfuture = 3\n[sound]\nother = true\n");
        let mut settings = Settings::open(&path).unwrap().settings;
        settings.set_text("sound.device", "Line in");
        settings.save(&path).unwrap();
        let again = Settings::open(&path).unwrap().settings;
        assert_eq!(again.text("sound.device"), Some("Line in"));
        assert_eq!(again.user.top("future").unwrap().as_integer(), Some(3));
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(text.contains("other = true"), "{text}");
        assert_eq!(again.unknown(), ["sound.other"]);
    }

    #[test]
    fn a_number_without_quotes_counts_and_stays_a_number() {
        let (_folder, path) = written(
            "version = 1\n[window]\nscale = 150\n[sound]\nrecord = false\n[guidance]\nsets = [\"a\", \"b\"]\n",
        );
        let mut settings = Settings::open(&path).unwrap().settings;
        assert_eq!(settings.text("window.scale"), Some("150"));
        assert_eq!(settings.text("sound.record"), Some("no"));
        assert_eq!(settings.text("guidance.sets"), Some("a,b"));
        settings.save(&path).unwrap();
        assert!(std::fs::read_to_string(&path).unwrap().contains("scale = 150"));
        settings.set_text("window.scale", "125");
        assert_eq!(settings.text("window.scale"), Some("125"));
    }

    #[test]
    fn a_corrupt_file_is_named_and_set_aside() {
        let (_folder, path) = written("version = 1\nname = = 2\n");
        let opened = Settings::open(&path).unwrap();
        assert_eq!(opened.settings, Settings::default());
        assert!(opened.note.unwrap().contains("line 2"));
        assert!(path.with_extension("toml.corrupt").exists());
        assert!(!path.exists());
    }

    #[test]
    fn a_newer_file_is_refused_and_left() {
        let (_folder, path) = written("version = 99\n");
        assert!(Settings::open(&path).unwrap_err().to_string().contains("version 99"));
        assert!(path.exists());
    }

    #[test]
    fn the_later_layer_wins_but_for_what_is_locked() {
        let (_machine, machine) = written(
            "version = 1\nlocked = [\"service.order\", \"guidance\"]\n[service]\norder = \"arms-first\"\nname = \"Tidemill\"\n[window]\ncautions = 1\nscale = 125\n",
        );
        let (_user, user) = written(
            "version = 1\n[service]\norder = \"counter-clockwise\"\n[window]\nscale = 150\n[guidance]\nsets = \"rnao\"\n",
        );
        let opened = Settings::open(&user).unwrap().settings;
        let mut settings = opened.with_machine(&machine).unwrap();
        let found = |settings: &Settings, key| {
            let (from, text) = settings.found(key);
            (from, text.map(str::to_owned))
        };
        assert_eq!(
            found(&settings, "service.order"),
            (ValueOrigin::Locked, Some("arms-first".into()))
        );
        assert_eq!(
            found(&settings, "service.name"),
            (ValueOrigin::Machine, Some("Tidemill".into()))
        );
        assert_eq!(found(&settings, "window.scale"), (ValueOrigin::User, Some("150".into())));
        assert_eq!(found(&settings, "guidance.sets"), (ValueOrigin::Locked, None), "a whole table");
        assert_eq!(found(&settings, "window.theme"), (ValueOrigin::Usual, None));
        // The cautions are agreed to by each user, never for them.
        assert_eq!(found(&settings, "window.cautions"), (ValueOrigin::Usual, None));
        settings.for_this_run("window.scale", "200").unwrap();
        assert_eq!(found(&settings, "window.scale"), (ValueOrigin::Run, Some("200".into())));
        assert!(settings.for_this_run("service.order", "counter-clockwise").is_err());
        settings.set_text("service.order", "counter-clockwise");
        assert_eq!(settings.text("service.order"), Some("arms-first"));
        settings.set_text("window.scale", "175");
        assert_eq!(found(&settings, "window.scale"), (ValueOrigin::User, Some("175".into())));
        settings.save(&user).unwrap();
        let text = std::fs::read_to_string(&user).unwrap();
        assert!(!text.contains("Tidemill"), "the computer's layer stays where it is: {text}");
    }

    #[test]
    fn a_computers_file_that_is_not_understood_is_refused() {
        for (text, said) in [
            ("version = 1\nlocked = = 1\n", "line 2"),
            (
                "version = 1\nlocked = [\"service.ordre\"]\n",
                "line 2: `locked` names `service.ordre`",
            ),
            ("version = 1\nlocked = \"service.order\"\n", "a list of keys"),
            ("version = 7\n", "version 7"),
        ] {
            let (_folder, path) = written(text);
            let fault = Settings::default().with_machine(&path).unwrap_err().to_string();
            assert!(fault.contains(said), "{fault}");
            assert!(path.exists(), "it is not this user's to set aside");
        }
        let none = Settings::default().with_machine(Path::new("/nowhere/settings.toml")).unwrap();
        assert!(!none.has_machine());
    }
}
