//! One cell: made harmless for spreadsheets, quoted, and the outcomes of a site in words.

use super::dialect::Dialect;
use crate::clinical::event::{Outcome, Source};
use crate::clinical::site::{Artery, Site};
use crate::clinical::typed::{Given, NotGiven};
use crate::clinical::visit::Attempt;
use crate::units::Mmhg;

/// Between the outcomes of one site.
const BETWEEN: &str = " | ";

/// True of text that a spreadsheet might run, as it stands or after blanks; the wide forms of the signs too
/// (OWASP, CSV Injection), and of text that begins with our own mark.
fn risky(text: &str) -> bool {
    const SIGNS: &[char] =
        &['=', '+', '-', '@', '\t', '\r', '\n', '\'', '＝', '＋', '－', '＠', '|', '%'];
    text.starts_with(SIGNS) || text.trim_start().starts_with(SIGNS)
}

/// A cell in quotation marks that nothing runs.
pub fn quoted(text: &str) -> String {
    let mark = if risky(text) { "'" } else { "" };
    format!("\"{mark}{}\"", text.replace('"', "\"\""))
}

/// The text that was written: the mark before risky text goes.
pub(super) fn plain(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(text) if risky(text) => text,
        _ => cell,
    }
}

/// A number with the decimal sign of the dialect.
pub(super) fn number(text: String, dialect: Dialect) -> String {
    match dialect {
        Dialect::Comma => text,
        Dialect::Semicolon => text.replace('.', ","),
    }
}

/// Where a reading at this site usually comes from.
fn usual(site: Site) -> Source {
    if site.artery == Artery::GreatToe { Source::Entered } else { Source::EarAndGauge }
}

/// The outcomes of a site's attempts, in their order.
pub(super) fn outcomes(attempts: &[&Attempt], dialect: Dialect) -> String {
    let each: Vec<String> = attempts.iter().map(|attempt| outcome(attempt, dialect)).collect();
    each.join(BETWEEN)
}

fn outcome(attempt: &Attempt, dialect: Dialect) -> String {
    match &attempt.outcome {
        None => "unfinished".into(),
        Some(Outcome::Reading { cuff_mmhg, source }) => {
            let from = match (*source == usual(attempt.site), source) {
                (true, _) => "",
                (false, Source::Entered) => " entered",
                (false, Source::EarAndGauge) => " by-ear",
                (false, Source::Paper) => " paper",
            };
            number(cuff_mmhg.to_string(), dialect) + from
        }
        Some(Outcome::NotCompressible { limit_mmhg }) if *limit_mmhg == Mmhg::LIMIT => "nc".into(),
        Some(Outcome::NotCompressible { limit_mmhg }) => {
            format!("nc {}", number(limit_mmhg.to_string(), dialect))
        }
        Some(Outcome::NoSignal) => "none".into(),
        Some(Outcome::NotMeasured { reason }) if reason == "skipped" => "skipped".into(),
        Some(Outcome::NotMeasured { reason }) => {
            format!("skipped: {}", reason.replace('|', "/"))
        }
    }
}

/// Why a cell holds no outcome.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub(super) enum NotInCell {
    /// Something else was typed.
    #[error(transparent)]
    NotGiven(#[from] NotGiven),
    /// An outcome that is no pressure.
    #[error("`{0}` is no pressure")]
    NoPressure(String),
}

/// Reads a cell of outcomes; `None` among them is an attempt that did not end.
pub(super) fn read(cell: &str, site: Site) -> Result<Vec<Option<Outcome>>, NotInCell> {
    let parts = cell.split('|').map(str::trim).filter(|part| !part.is_empty());
    parts.map(|part| one(part, site)).collect()
}

fn one(part: &str, site: Site) -> Result<Option<Outcome>, NotInCell> {
    if part == "unfinished" {
        return Ok(None);
    }
    if let Some(reason) = part.strip_prefix("skipped:") {
        return Ok(Some(Outcome::NotMeasured { reason: reason.trim().to_owned() }));
    }
    if let Some(limit) = part.strip_prefix("nc ") {
        return Ok(Some(Outcome::NotCompressible { limit_mmhg: pressure(limit)? }));
    }
    let named = [
        (" entered", Source::Entered),
        (" by-ear", Source::EarAndGauge),
        (" paper", Source::Paper),
    ];
    let told =
        named.into_iter().find_map(|(word, source)| Some((part.strip_suffix(word)?, source)));
    let (text, source) = told.unwrap_or((part, usual(site)));
    Ok(Some(match text.parse::<Given>()? {
        Given::Pressure(cuff_mmhg) => Outcome::Reading { cuff_mmhg, source },
        Given::NotCompressible => Outcome::NotCompressible { limit_mmhg: Mmhg::LIMIT },
        Given::NoSignal => Outcome::NoSignal,
        Given::Skipped => Outcome::NotMeasured { reason: "skipped".into() },
    }))
}

/// A pressure with either decimal sign.
pub(super) fn pressure(text: &str) -> Result<Mmhg, NotInCell> {
    match text.parse::<Given>()? {
        Given::Pressure(mmhg) => Ok(mmhg),
        _ => Err(NotInCell::NoPressure(text.to_owned())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_a_spreadsheet_would_run_is_made_harmless() {
        for text in
            ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =1", "＝1", "'=1", "|calc", "%x"]
        {
            let cell = quoted(text);
            assert!(cell.starts_with("\"'"), "{cell}");
            assert_eq!(plain(cell[1..].strip_suffix('"').unwrap()), text);
        }
        assert_eq!(quoted("104"), "\"104\"");
        assert_eq!(quoted("a\"b"), "\"a\"\"b\"");
        assert_eq!(plain("'tis"), "'tis");
    }

    proptest! {
        #[test]
        fn any_text_comes_back_and_never_begins_with_a_sign(text in any::<String>()) {
            let cell = quoted(&text);
            let inside = cell[1..cell.len() - 1].replace("\"\"", "\"");
            prop_assert!(!inside.trim_start().starts_with(['=', '+', '-', '@']));
            prop_assert_eq!(plain(&inside), text);
        }
    }
}
