//! The language of reports, and who confirmed its translation for the service.

use super::Settings;
use crate::words::Words;

/// The language of reports.
pub const REPORT_LANGUAGE: &str = "report.language";
/// Who confirmed which language.
pub const CONFIRMED_BY: &str = "report.language_confirmed_by";

impl Settings {
    /// The language of reports: as the settings have it; English where they name none that there is.
    pub fn report_language(&self) -> Words {
        self.text(REPORT_LANGUAGE).and_then(Words::of).unwrap_or_default()
    }

    /// The clinician who confirmed a language's translation for the service; none where nobody did.
    pub fn confirmed_by(&self, words: Words) -> Option<&str> {
        let each = self.text(CONFIRMED_BY)?.split(',').filter_map(|one| one.split_once('='));
        let of_it = |(tag, _): &(&str, &str)| tag.trim().eq_ignore_ascii_case(words.tag());
        each.filter(of_it).map(|(_, who)| who.trim()).find(|who| !who.is_empty())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_language_is_confirmed_by_the_clinician_who_is_named_for_it() {
        let mut settings = Settings::default();
        assert!(settings.report_language().is_english());
        settings.for_this_run(REPORT_LANGUAGE, "de").unwrap();
        let words = settings.report_language();
        assert_eq!((words.tag(), settings.confirmed_by(words)), ("de", None));
        settings.for_this_run(CONFIRMED_BY, "fr=K-1, DE = K-7, es=").unwrap();
        assert_eq!(settings.confirmed_by(words), Some("K-7"));
        assert_eq!(settings.confirmed_by(Words::of("es").unwrap()), None);
    }
}
