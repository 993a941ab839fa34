//! The settings of this run, of all layers: the computer's file, the user's, and `--set`.

use std::sync::OnceLock;

use super::given::Given;
use super::progress::note;
use crate::settings::Settings;

static GIVEN: OnceLock<Vec<Given>> = OnceLock::new();
static READ: OnceLock<Settings> = OnceLock::new();

/// Set once, when the words are understood; a run is a process.
pub(super) fn set(given: &[Given]) {
    let _ = GIVEN.set(given.to_vec());
}

/// The settings; read once in a run, a note about them goes to stderr.
///
/// # Errors
/// A file that is refused, or a key that is fixed for this computer.
pub(super) fn settings() -> anyhow::Result<Settings> {
    if let Some(settings) = READ.get() {
        return Ok(settings.clone());
    }
    let opened = Settings::here()?;
    opened.note.iter().for_each(|words| note(words));
    let settings = with_given(opened.settings)?;
    Ok(READ.get_or_init(|| settings).clone())
}

/// Settings with what this run was given.
///
/// # Errors
/// A key that is fixed for this computer.
pub(super) fn with_given(mut settings: Settings) -> anyhow::Result<Settings> {
    for Given(key, value) in GIVEN.get().into_iter().flatten() {
        settings.for_this_run(key, value)?;
    }
    Ok(settings)
}

/// What was given, else what the settings say, else nothing.
///
/// # Errors
/// As [`settings`].
pub(super) fn or_set(given: Option<&str>, key: &str) -> anyhow::Result<String> {
    Ok(match given {
        Some(given) => given.to_owned(),
        None => settings()?.text(key).unwrap_or_default().to_owned(),
    })
}
