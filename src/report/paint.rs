//! The colours of a report, by role, and every pair of them that meets on the page.

/// The page.
pub const GROUND: &str = "#FBFAF6";
/// Set-off areas on the page.
pub const PANEL: &str = "#F0EDE4";
/// Under a sonogram, and the page in print.
pub const PAPER: &str = "#FFFFFF";
/// Words and numbers.
pub const INK: &str = "#15202B";
/// Words that stand back.
pub const QUIET: &str = "#414E5B";
/// What the clinician did.
pub const ACT: &str = "#743F00";
/// What the listener heard.
pub const HEARD: &str = "#0A4F5E";
/// Lines that carry meaning.
pub const LINE: &str = "#6B7681";

/// A colour on another, and the least contrast it must have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContrastPair {
    /// In front.
    pub front: &'static str,
    /// Behind.
    pub behind: &'static str,
    /// The least ratio: 7 for words (WCAG 2.2, 1.4.6), 3 for lines (1.4.11).
    pub least: f64,
}

const fn pair(front: &'static str, behind: &'static str, least: f64) -> ContrastPair {
    ContrastPair { front, behind, least }
}

/// Every pair that a report uses.
pub const PAIRS: [ContrastPair; 13] = [
    pair(INK, GROUND, 7.0),
    pair(INK, PANEL, 7.0),
    pair(INK, PAPER, 7.0),
    pair(QUIET, GROUND, 7.0),
    pair(QUIET, PANEL, 7.0),
    pair(QUIET, PAPER, 7.0),
    pair(ACT, PAPER, 7.0),
    pair(ACT, GROUND, 7.0),
    pair(HEARD, PAPER, 7.0),
    pair(HEARD, GROUND, 7.0),
    pair(LINE, GROUND, 3.0),
    pair(LINE, PANEL, 3.0),
    pair(LINE, PAPER, 3.0),
];

/// The contrast of two colours written `#RRGGBB`, 1 to 21 (WCAG 2.2, "contrast ratio"); 0 of anything else.
pub fn contrast(one: &str, other: &str) -> f64 {
    let (Some(a), Some(b)) = (luminance(one), luminance(other)) else { return 0.0 };
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Relative luminance (WCAG 2.2, with the threshold of IEC 61966-2-1).
fn luminance(colour: &str) -> Option<f64> {
    let digits = colour.strip_prefix('#').filter(|d| d.len() == 6 && d.is_ascii())?;
    let channel = |at: usize| {
        let value = f64::from(u8::from_str_radix(&digits[at..at + 2], 16).ok()?) / 255.0;
        Some(if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) })
    };
    Some(0.2126 * channel(0)? + 0.7152 * channel(2)? + 0.0722 * channel(4)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// WCAG 2.2 itself: black on white is 21:1. Its well-known boundary grey #767676 on white is 4.54:1.
    #[test]
    fn contrast_agrees_with_published_values() {
        assert!((contrast("#000000", "#FFFFFF") - 21.0).abs() < 1e-9);
        assert!((contrast("#767676", "#FFFFFF") - 4.54).abs() < 0.005);
        assert_eq!(contrast("red", "#FFFFFF"), 0.0);
    }

    #[test]
    fn every_pair_has_the_contrast_it_needs() {
        for ContrastPair { front, behind, least } in PAIRS {
            let found = contrast(front, behind);
            assert!(found >= least, "{front} on {behind}: {found:.2}, needs {least}");
        }
    }
}
