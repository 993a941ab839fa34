//! The languages of window and reports, and who confirmed a translation for the service.

use super::{REPORT_PAPER, Settings};
use crate::words::Words;

/// The language of the window.
pub const LANGUAGE: &str = "window.language";
/// The language of reports.
pub const REPORT_LANGUAGE: &str = "report.language";
/// Who confirmed which language.
pub const CONFIRMED_BY: &str = "report.language_confirmed_by";

/// Countries that print on Letter (CLDR, supplemental data on paper sizes: from memory); all others print on A4.
const LETTER: [&str; 14] =
    ["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"];

impl Settings {
    /// The same on a system with this locale, such as `de-CH`; it counts where no layer names a language or a paper.
    pub fn with_locale(mut self, locale: Option<String>) -> Self {
        self.locale = locale;
        self
    }

    /// The language of the window: as the settings have it, then the system's; English where there is neither here.
    pub fn language(&self) -> Words {
        let named = self.text(LANGUAGE).and_then(Words::near);
        named.or_else(|| self.locale.as_deref().and_then(Words::near)).unwrap_or_default()
    }

    /// The language of reports: as the settings have it, else the window's.
    pub fn report_language(&self) -> Words {
        self.text(REPORT_LANGUAGE).and_then(Words::near).unwrap_or_else(|| self.language())
    }

    /// The code of the paper of reports: as the settings have it, else that of the system's country.
    pub fn report_paper(&self) -> &str {
        let mut parts = self.locale.iter().flat_map(|tag| tag.split(['-', '_', '.', '@'])).skip(1);
        let letter = parts.any(|part| LETTER.contains(&part.to_ascii_uppercase().as_str()));
        self.text(REPORT_PAPER).unwrap_or(if letter { "letter" } else { "a4" })
    }

    /// The clinician who confirmed a language's translation for the service; none where nobody did.
    pub fn confirmed_by(&self, words: Words) -> Option<&str> {
        let of_it = |(tag, _): &(&str, &str)| tag.eq_ignore_ascii_case(words.tag());
        self.confirmations().filter(of_it).map(|(_, who)| who).find(|who| !who.is_empty())
    }

    /// The confirmations as they are kept, with this one more.
    pub fn confirmations_with(&self, words: Words, who: &str) -> String {
        let others = self.confirmations().filter(|(tag, _)| !tag.eq_ignore_ascii_case(words.tag()));
        // A comma would begin another language's.
        let who = who.replace([',', '='], " ");
        let all = others.chain([(words.tag(), who.trim())]);
        all.map(|(tag, who)| format!("{tag}={who}")).collect::<Vec<_>>().join(",")
    }

    fn confirmations(&self) -> impl Iterator<Item = (&str, &str)> {
        let each = self.text(CONFIRMED_BY).unwrap_or_default().split(',');
        each.filter_map(|one| one.split_once('=')).map(|(tag, who)| (tag.trim(), who.trim()))
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
        let all = settings.confirmations_with(words, " K,8 ");
        assert_eq!(all, "fr=K-1,es=,de=K 8");
    }

    #[test]
    fn the_system_chooses_language_and_paper_until_the_settings_do() {
        let on = |locale: &str| Settings::default().with_locale(Some(locale.into()));
        for (locale, tag, paper) in [
            ("de-CH", "de", "a4"),
            ("es_MX.UTF-8", "es", "letter"),
            ("en-US", "en", "letter"),
            ("fr-CA", "fr", "letter"),
            ("ja-JP", "en", "a4"),
            ("C", "en", "a4"),
        ] {
            let found = on(locale);
            assert_eq!((found.language().tag(), found.report_paper()), (tag, paper), "{locale}");
            assert_eq!(found.report_language(), found.language());
        }
        let mut chosen = on("de-DE");
        chosen.for_this_run(LANGUAGE, "nl").unwrap();
        chosen.for_this_run(REPORT_LANGUAGE, "fr").unwrap();
        assert_eq!((chosen.language().tag(), chosen.report_language().tag()), ("nl", "fr"));
        chosen.for_this_run(LANGUAGE, "xx").unwrap();
        assert_eq!(chosen.language().tag(), "de", "the system's");
    }
}
