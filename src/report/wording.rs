//! How a report calls things: a leg, a site, a day, a sentence.

use crate::clinical::moment::Moment;
pub use crate::clinical::sentences::capital as sentence;
use crate::clinical::site::{Side, Site};
use crate::words::{Words, id, say};

/// "Patient's right leg".
pub fn name(words: Words, side: Side) -> String {
    say!(words, "report-leg", side = side.code())
}

/// "right arm", "left posterior tibial".
pub fn place(words: Words, site: Site) -> String {
    say!(words, "report-site", side = site.side.code(), artery = site.artery.code())
}

/// The places behind a code such as `right-dp+right-pt`.
pub fn places(words: Words, code: &str) -> String {
    let each = code.split('+');
    words.and(each.map(|code| code.parse().map_or(code.to_owned(), |site| place(words, site))))
}

/// "25 November 2026, 14:22 (UTC +01:00)".
pub fn day(words: Words, at: Moment) -> String {
    let text = at.to_string();
    let parts = || {
        let (date, rest) = text.split_once('T')?;
        let date: jiff::civil::Date = date.parse().ok()?;
        let time = rest.get(..5)?;
        let offset = rest.find(['+', '-', 'Z']).and_then(|at| rest.get(at..))?;
        let offset = if offset == "Z" { "+00:00" } else { offset };
        let day = words.day(date);
        Some(say!(words, "locale-moment", day = day, time = time, offset = offset))
    };
    parts().unwrap_or_else(|| text.clone())
}

/// A day as files write it, in the figures of the language; as it is where it is none.
pub fn short_day(words: Words, day: &str) -> String {
    day.parse().map_or_else(|_| day.to_owned(), |day| words.short_day(day))
}

/// A listener's word, which the record has in English; one that this program does not know stays as it is.
pub fn heard(words: Words, heard: &str) -> &str {
    const KNOWN: [&str; 14] = [
        id!("report-heard-regular"),
        id!("report-heard-irregular"),
        id!("report-heard-too-quiet"),
        id!("report-heard-clipped"),
        id!("report-heard-hum"),
        id!("report-heard-talk"),
        id!("report-heard-no-pulse"),
        id!("report-heard-broken"),
        id!("report-heard-moved"),
        id!("bedside-too-quiet"),
        id!("bedside-clipped"),
        id!("bedside-hum"),
        id!("bedside-talk"),
        id!("bedside-probe-moved"),
    ];
    let known = KNOWN.into_iter().find(|id| Words::english().plain(id) == heard);
    known.map_or(heard, |id| words.plain(id))
}
