//! The service's decision to show guidance in the window: made once, by a named clinician. Until then the
//! window shows numbers only. The command line shows the sets it is asked for.

use super::moment::Moment;

/// The settings' key for who switched guidance on.
pub const BY_KEY: &str = "guidance.switched_on_by";
/// The settings' key for when.
pub const AT_KEY: &str = "guidance.switched_on_at";
/// The settings' key for the sets, by id, with commas between.
pub const SETS_KEY: &str = "guidance.sets";

/// A decision that was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Switch {
    /// The clinician's name or code.
    pub by: String,
    /// When.
    pub at: Moment,
    /// The ids of the sets, in the order shown.
    pub sets: Vec<String>,
}

/// Why guidance stays off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum StaysOff {
    /// Nobody is named.
    #[error("guidance stays off until a clinician of this service switches it on by name")]
    NoName,
    /// The time is missing or unreadable.
    #[error("guidance stays off: the settings do not say when it was switched on")]
    NoTime,
    /// No set is named.
    #[error("guidance stays off: no set was chosen")]
    NoSet,
}

impl Switch {
    /// The decision from the settings' three texts.
    ///
    /// # Errors
    /// Why guidance stays off.
    pub fn from_settings(
        by: Option<&str>,
        at: Option<&str>,
        sets: Option<&str>,
    ) -> Result<Self, StaysOff> {
        let by = by.map(str::trim).filter(|by| !by.is_empty()).ok_or(StaysOff::NoName)?;
        let at = at.and_then(|at| Moment::parse(at).ok()).ok_or(StaysOff::NoTime)?;
        let sets = sets.unwrap_or_default().split(',').map(str::trim).filter(|id| !id.is_empty());
        let sets: Vec<String> = sets.map(str::to_owned).collect();
        if sets.is_empty() {
            return Err(StaysOff::NoSet);
        }
        Ok(Self { by: by.to_owned(), at, sets })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn guidance_is_on_only_with_a_name_a_time_and_a_set() {
        let at = Some("2026-11-03T10:15:02+01:00");
        let on =
            Switch::from_settings(Some("Clinician 7"), at, Some("acc-aha-2024, wifi")).unwrap();
        assert_eq!(on.sets, ["acc-aha-2024", "wifi"]);
        let off = |by, at, sets| Switch::from_settings(by, at, sets).unwrap_err();
        assert_eq!(off(None, at, Some("wifi")), StaysOff::NoName);
        assert_eq!(off(Some("  "), at, Some("wifi")), StaysOff::NoName);
        assert_eq!(off(Some("C7"), Some("once"), Some("wifi")), StaysOff::NoTime);
        assert_eq!(off(Some("C7"), at, Some(" , ")), StaysOff::NoSet);
    }
}
