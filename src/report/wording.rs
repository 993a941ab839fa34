//! How a report calls things: a leg, a site, a day, a sentence.

use crate::clinical::moment::Moment;
use crate::clinical::site::{Artery, Side, Site};

/// "Patient's right leg".
pub fn name(side: Side) -> String {
    format!("Patient's {} leg", side.code())
}

/// "right arm", "left posterior tibial".
pub fn place(site: Site) -> String {
    let artery = if site.artery == Artery::Brachial { "arm" } else { site.artery.words() };
    format!("{} {artery}", site.side.code())
}

/// The places behind a code such as `right-dp+right-pt`.
pub fn places(code: &str) -> String {
    let each = code.split('+').map(|code| code.parse().map_or(code.to_owned(), place));
    each.collect::<Vec<_>>().join(" and ")
}

/// "25 November 2026, 14:22 (UTC +01:00)".
pub fn day(at: Moment) -> String {
    let text = at.to_string();
    let parts = || {
        let (date, rest) = text.split_once('T')?;
        let date: jiff::civil::Date = date.parse().ok()?;
        let time = rest.get(..5)?;
        let offset = rest.find(['+', '-', 'Z']).and_then(|at| rest.get(at..))?;
        let offset = if offset == "Z" { "+00:00" } else { offset };
        Some(format!("{}, {time} (UTC {offset})", date.strftime("%-d %B %Y")))
    };
    parts().unwrap_or_else(|| text.clone())
}

/// First letter large, for words that stand alone.
pub fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|c| c.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
