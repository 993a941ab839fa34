//! The figures of a report as SVG that stands on its own: the line with limits, and the sonogram.
//!
//! Nothing is told by colour alone: shapes and words tell it. Sizes are in user units, one to a CSS pixel
//! at full width.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, html};

use super::blocks::{Line, LineBand, SoundShown};
use super::paint::{ACT, GROUND, HEARD, INK, LINE, PAPER, QUIET};
use super::picture;
use crate::units::Sonogram;
use crate::words::{Words, id, say};

/// The fonts of figures and text, for letters that the first lacks too.
pub const FONTS: &str = "B612, 'DejaVu Sans', 'Noto Sans', 'Segoe UI', Arial, sans-serif";

/// Width of every figure.
pub const WIDTH: f64 = 680.0;
/// The greatest index on the line.
const MOST: f64 = 1.6;
/// Room left and right of the line, so that the first and last number stand whole.
const MARGIN: f64 = 14.0;
/// Mean width of a letter, in parts of the type's size, on the safe side for B612.
const LETTER: f64 = 0.58;
const SMALL: f64 = 12.0;
/// From one row of names to the next.
const ROW: f64 = 21.0;

/// A figure: what it is called, what it shows in words, and its drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// Its name.
    pub title: String,
    /// What it shows, for those who cannot see it.
    pub description: String,
    /// A whole SVG document, without an XML declaration.
    pub svg: String,
    /// Its width, user units.
    pub width: f64,
    /// Its height, user units.
    pub height: f64,
}

/// Text as an SVG wants its numbers.
fn n(value: f64) -> String {
    format!("{value:.1}")
}

fn svg(
    id: &str,
    title: &str,
    description: &str,
    (width, height): (f64, f64),
    inside: &Markup,
) -> Figure {
    let (title_id, description_id) = (format!("{id}-t"), format!("{id}-d"));
    let drawing = html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {} {}", n(width), n(height)))
            width=(n(width)) height=(n(height)) role="img"
            aria-labelledby=(format!("{title_id} {description_id}")) font-family=(FONTS) font-size=(SMALL) {
            title id=(title_id) { (title) }
            desc id=(description_id) { (description) }
            (inside)
        }
    };
    Figure {
        title: title.to_owned(),
        description: description.to_owned(),
        svg: drawing.into_string(),
        width,
        height,
    }
}

fn straight(from: (f64, f64), to: (f64, f64), colour: &str, width: f64, dashes: &str) -> Markup {
    html! {
        line x1=(n(from.0)) y1=(n(from.1)) x2=(n(to.0)) y2=(n(to.1)) stroke=(colour)
            stroke-width=(n(width)) stroke-dasharray=(dashes) {}
    }
}

fn words(at: (f64, f64), anchor: &str, colour: &str, text: &str) -> Markup {
    html! {
        text x=(n(at.0)) y=(n(at.1)) text-anchor=(anchor) fill=(colour) stroke=(GROUND)
            stroke-width="4" stroke-linejoin="round" paint-order="stroke" { (text) }
    }
}

/// The line of the index, as wide as its figure.
#[derive(Debug, Clone, Copy)]
struct Scale {
    width: f64,
}

impl Scale {
    fn x(self, index: f64) -> f64 {
        MARGIN + index.clamp(0.0, MOST) / MOST * (self.width - 2.0 * MARGIN)
    }
}

/// The line from 0.0 to 1.6 with the number, its interval, and the limits of one set, each with its name.
/// `id` must be unique in the document, `width` at least 300 user units.
pub fn index_line(id: &str, line: &Line, width: f64) -> Figure {
    let scale = Scale { width };
    const AXIS: f64 = 40.0;
    let rows = scale.place(&line.bands);
    let under = AXIS + 30.0;
    let deepest = rows.iter().map(|placed| placed.row + 1).max().unwrap_or(0);
    let height = under - 1.0 + deepest as f64 * ROW;
    let inside = html! {
        @for placed in &rows {
            @for limit in placed.band.from.into_iter().chain(placed.band.to) {
                // Above the line only: below it the brackets stand at the same places, and no dash runs through a name.
                (straight((scale.x(limit), AXIS - 18.0), (scale.x(limit), AXIS), LINE, 1.0, "3 3"))
            }
        }
        (scale.axis(AXIS, line.language))
        @for placed in &rows { (scale.band(placed, under + placed.row as f64 * ROW)) }
        (scale.number(line, AXIS))
    };
    svg(
        id,
        &say!(line.language, "figure-line", leg = line.name),
        &described(line),
        (width, height),
        &inside,
    )
}

impl Scale {
    fn axis(self, y: f64, language: Words) -> Markup {
        html! {
            (straight((self.x(0.0), y), (self.x(MOST), y), INK, 2.0, "none"))
            @for tenths in (0..=16).step_by(2) {
                @let x = self.x(f64::from(tenths) / 10.0);
                (straight((x, y), (x, y + 5.0), INK, 1.5, "none"))
                (words((x, y + 18.0), "middle", INK, &language.decimal(f64::from(tenths) / 10.0, 1)))
            }
        }
    }

    /// The interval as a bar with ends, the number as a diamond on it; beyond the line, an arrow and words.
    fn number(self, line: &Line, y: f64) -> Markup {
        let (bar, middle) = (y - 24.0, y - 8.0);
        let diamond = |x: f64| format!("M{} {} l7 -8 l7 8 l-7 8 z", n(x - 7.0), n(middle));
        let arrow = |x: f64| format!("M{} {} l10 6 l-10 6 z", n(x - 10.0), n(middle - 6.0));
        let beyond = line.at.is_some_and(|at| at > MOST);
        html! {
            @if let Some((low, high)) = line.ends {
                rect x=(n(self.x(low))) y=(n(bar - 2.0)) width=(n((self.x(high) - self.x(low)).max(1.0))) height="4.0" fill=(QUIET) {}
                @for end in [low, high].into_iter().filter(|end| *end <= MOST) {
                    (straight((self.x(end), bar - 6.0), (self.x(end), bar + 6.0), QUIET, 2.0, "none"))
                }
            }
            @if let Some(above) = line.above {
                (straight((self.x(above), middle), (self.x(MOST) - 8.0, middle), QUIET, 3.0, "6 4"))
                path d=(arrow(self.x(MOST))) fill=(INK) {}
                (words((self.x(MOST) - 14.0, middle - 10.0), "end", INK, &say!(line.language, "figure-above", lowest = line.language.decimal(above, 2))))
            } @else if beyond {
                path d=(arrow(self.x(MOST))) fill=(INK) {}
                (words((self.x(MOST) - 14.0, middle - 10.0), "end", INK, line.language.plain(id!("figure-beyond"))))
            } @else if let Some(at) = line.at {
                path d=(diamond(self.x(at))) fill=(INK) stroke=(PAPER) stroke-width="1.5" {}
            }
        }
    }

    /// Puts each band into the first row where neither its range nor its words touch another.
    fn place(self, bands: &[LineBand]) -> Vec<Placed<'_>> {
        let mut rows: Vec<Vec<(f64, f64)>> = Vec::new();
        let mut placed = Vec::new();
        for band in bands {
            let (from, to) = (self.x(band.from.unwrap_or(0.0)), self.x(band.to.unwrap_or(MOST)));
            let wide = band.name.chars().count() as f64 * SMALL * LETTER;
            let right = from + 5.0 + wide > self.width;
            let (words_x, anchor) = if right { (to, "end") } else { (from + 5.0, "start") };
            let words_from = if right { to - wide } else { words_x };
            let (left, end) = (from.min(words_from), to.max(words_from + wide));
            let free = |row: &Vec<(f64, f64)>| {
                row.iter().all(|(a, b)| end + 8.0 <= *a || left >= *b + 8.0)
            };
            let row = rows.iter().position(free).unwrap_or(rows.len());
            if row == rows.len() {
                rows.push(Vec::new());
            }
            rows[row].push((left, end));
            placed.push(Placed { band, row, words_x, anchor });
        }
        placed
    }

    /// A range as a bracket, open where it has no limit, with its words below.
    fn band(self, placed: &Placed<'_>, y: f64) -> Markup {
        let band = placed.band;
        let (from, to) = (self.x(band.from.unwrap_or(0.0)), self.x(band.to.unwrap_or(MOST)));
        html! {
            (straight((from, y), (to, y), INK, 1.5, "none"))
            @for limit in band.from.into_iter().chain(band.to) {
                // Downwards only: above the row there may be the name of another.
                (straight((self.x(limit), y - 0.7), (self.x(limit), y + 5.0), INK, 1.5, "none"))
            }
            (words((placed.words_x, y + 15.0), placed.anchor, INK, &band.name))
        }
    }
}

/// A band with its row under the line.
#[derive(Debug, Clone, PartialEq)]
struct Placed<'a> {
    band: &'a LineBand,
    row: usize,
    /// Where its words begin or end, and how they are anchored there.
    words_x: f64,
    anchor: &'static str,
}

fn described(line: &Line) -> String {
    let words = line.language;
    let two = |number: f64| words.decimal(number, 2);
    let number = match (line.above.map(two), line.at.map(two), line.ends) {
        (Some(above), ..) => say!(words, "figure-lies-above", lowest = above),
        (None, Some(at), Some((low, high))) => {
            let (low, high) = (two(low), two(high));
            say!(words, "figure-index-interval", index = at, low = low, high = high)
        }
        (None, Some(at), None) => say!(words, "figure-index-bare", index = at),
        _ => words.plain(id!("figure-no-index")).into(),
    };
    let bands: Vec<&str> = line.bands.iter().map(|band| band.name.as_str()).collect();
    match bands.is_empty() {
        true => say!(words, "figure-line-bare", number = number),
        false => say!(
            words,
            "figure-line-limits",
            number = number,
            set = line.set,
            bands = bands.join("; ")
        ),
    }
}

/// A sonogram with what was heard (dotted) and done (solid), all in words. `id` must be unique.
pub fn sonogram(id: &str, sound: &SoundShown) -> Figure {
    let frame = Frame::of(sound);
    let inside = html! {
        (frame.picture(sound))
        (frame.axes(sound))
        (frame.marks(sound))
    };
    let title = say!(sound.language, "figure-sonogram", name = sound.name);
    svg(id, &title, &seen(sound), (WIDTH, frame.bottom + 20.0), &inside)
}

fn seen(sound: &SoundShown) -> String {
    let words = sound.language;
    let s = |s: f64| words.decimal(s, 1);
    let events = [
        sound.lost_s.map(|at| say!(words, "figure-seen-lost", at = s(at))),
        sound.return_s.map(|at| say!(words, "figure-seen-return", at = s(at))),
        sound.tap_s.map(|at| say!(words, "figure-seen-tap", at = s(at))),
    ];
    let events: Vec<String> = events.into_iter().flatten().collect();
    let events = match events.is_empty() {
        true => words.plain(id!("figure-seen-nothing")).into(),
        false => events.join(", "),
    };
    let seconds = words.decimal(sound.sonogram.columns() as f64 * sound.sonogram.column_s, 0);
    say!(words, "figure-seen", seconds = seconds, events = events)
}

/// A whole recording, for its picture.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordingFigure {
    /// The language of the words that the figure adds.
    pub language: Words,
    /// What it is called.
    pub name: String,
    /// The picture.
    pub sonogram: Sonogram,
    /// When the pulse was lost, seconds.
    pub lost_s: Option<f64>,
    /// When the first pulse was heard to return, seconds.
    pub return_s: Option<f64>,
    /// How sure that is, 0 to 1.
    pub confidence: Option<f64>,
    /// Where each pulse begins, seconds.
    pub pulses: Vec<f64>,
}

/// Height of a recording's picture.
const TALL: f64 = 260.0;

/// A recording's sonogram with its findings: the loss and the return dotted and in words, a tick under each pulse.
pub fn recording(id: &str, recording: &RecordingFigure) -> Figure {
    let language = recording.language;
    let sound = SoundShown {
        language,
        name: recording.name.clone(),
        caption: String::new(),
        sonogram: recording.sonogram.clone(),
        lost_s: recording.lost_s,
        return_s: recording.return_s,
        tap_s: None,
    };
    let mut frame = Frame::of(&sound);
    // One row more above: the name stands over the words of the findings.
    (frame.top, frame.bottom) = (frame.top + ROW, frame.top + ROW + TALL);
    let below = frame.bottom + 20.0;
    let heard = match (recording.return_s.map(|s| language.decimal(s, 2)), recording.confidence) {
        (Some(at), Some(sure)) => {
            let percent = language.decimal((sure * 100.0).floor(), 0);
            say!(language, "figure-heard-sure", at = at, percent = percent)
        }
        (Some(at), None) => say!(language, "figure-seen-return", at = at),
        (None, _) => language.plain(id!("figure-heard-none")).to_owned(),
    };
    let count = recording.pulses.len();
    let pulses = say!(language, "figure-pulses", count = count, heard = heard);
    let inside = html! {
        rect x="0" y="0" width=(n(WIDTH)) height=(n(below + 38.0)) fill=(GROUND) {}
        (words((frame.left, 14.0), "start", INK, &fitting(&recording.name, frame.right - frame.left)))
        (frame.picture(&sound))
        (frame.axes(&sound))
        @for s in &recording.pulses {
            @let x = frame.x(*s);
            (straight((x, frame.bottom - 9.0), (x, frame.bottom), HEARD, 1.5, "none"))
        }
        (frame.marks(&sound))
        (words((frame.left, below + 18.0), "start", QUIET, &pulses))
    };
    let title = say!(language, "figure-sonogram", name = recording.name);
    svg(id, &title, &seen(&sound), (WIDTH, below + 38.0), &inside)
}

/// A name that is as wide as there is room for: its begin and its end tell most.
fn fitting(name: &str, width: f64) -> String {
    let letters: Vec<char> = name.chars().collect();
    let most = (width / (SMALL * LETTER)) as usize;
    if letters.len() <= most {
        return name.to_owned();
    }
    let half = most.saturating_sub(1) / 2;
    let text = |part: &[char]| part.iter().collect::<String>();
    format!("{}\u{2026}{}", text(&letters[..half]), text(&letters[letters.len() - half..]))
}

/// From one number of the time to the next, seconds: never more than fourteen numbers.
fn step_s(seconds: u32) -> usize {
    const STEPS: [u32; 8] = [5, 10, 20, 30, 60, 120, 300, 600];
    if seconds < 5 {
        return 1;
    }
    let step = STEPS.into_iter().find(|step| seconds / step <= 13);
    step.unwrap_or(seconds / 10).max(1) as usize
}

/// Where the picture lies within its figure.
struct Frame {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
    start_s: f64,
    seconds: f64,
}

impl Frame {
    fn of(sound: &SoundShown) -> Self {
        let picture = &sound.sonogram;
        Self {
            left: 44.0,
            right: WIDTH - 2.0,
            top: 34.0,
            bottom: 94.0,
            start_s: picture.start_s - picture.column_s / 2.0,
            seconds: (picture.columns() as f64 * picture.column_s).max(0.1),
        }
    }

    fn x(&self, s: f64) -> f64 {
        let part = ((s - self.start_s) / self.seconds).clamp(0.0, 1.0);
        self.left + part * (self.right - self.left)
    }

    fn picture(&self, sound: &SoundShown) -> Markup {
        let (width, height) = (self.right - self.left, self.bottom - self.top);
        let data = picture::png(&sound.sonogram)
            .map(|png| format!("data:image/png;base64,{}", STANDARD.encode(png)));
        html! {
            rect x=(n(self.left)) y=(n(self.top)) width=(n(width)) height=(n(height)) fill=(PAPER) {}
            @if let Some(data) = data {
                image x=(n(self.left)) y=(n(self.top)) width=(n(width)) height=(n(height))
                    preserveAspectRatio="none" href=(data) {}
            }
            rect x=(n(self.left)) y=(n(self.top)) width=(n(width)) height=(n(height)) fill="none"
                stroke=(LINE) stroke-width="1.0" {}
        }
    }

    /// Pitch at the left and time below, both off the sound.
    fn axes(&self, sound: &SoundShown) -> Markup {
        let top_khz = sound.sonogram.top_hz / 1000.0;
        let y = |khz: f64| self.bottom - khz / top_khz.max(0.1) * (self.bottom - self.top);
        let seconds = self.seconds as u32;
        let step = step_s(seconds);
        html! {
            @for khz in [0.0, 2.0, 4.0].into_iter().filter(|khz| *khz <= top_khz + 1e-9) {
                (straight((self.left - 4.0, y(khz)), (self.left, y(khz)), QUIET, 1.0, "none"))
                (words((self.left - 7.0, y(khz) + 4.0), "end", QUIET, &if khz > 0.0 { format!("{khz:.0} kHz") } else { "0".into() }))
            }
            @for s in (0..=seconds).step_by(step) {
                @let x = self.x(f64::from(s));
                (straight((x, self.bottom), (x, self.bottom + 4.0), QUIET, 1.0, "none"))
                @let anchor = if x + 20.0 > self.right { "end" } else { "middle" };
                (words((x, self.bottom + 16.0), anchor, QUIET, &format!("{s} s")))
            }
        }
    }

    /// Words above the picture: the loss in a row of its own; those of the return end at its line, those of the tap
    /// begin at its own.
    /// The dotted lines stand beside the beat that they are about, so that they never hide it.
    fn marks(&self, sound: &SoundShown) -> Markup {
        let both = sound.return_s.is_some() && sound.tap_s.is_some();
        let lost = sound.lost_s.map(|s| self.x(s) + 1.5);
        let back = sound.return_s.map(|s| self.x(s) - 1.5);
        let tap = sound.tap_s.map(|s| self.x(s));
        html! {
            @if let Some(x) = lost { (self.mark(x, (HEARD, true), (sound.language.plain(id!("figure-lost")), "middle"), 14.0)) }
            @if let Some(x) = back {
                (self.mark(x, (HEARD, true), (sound.language.plain(id!("figure-return")), if both { "end" } else { "middle" }), 0.0))
            }
            @if let Some(x) = tap { (self.mark(x, (ACT, false), (sound.language.plain(id!("figure-tap")), "start"), 0.0)) }
        }
    }

    fn mark(
        &self,
        x: f64,
        (colour, dotted): (&str, bool),
        (what, anchor): (&str, &str),
        higher: f64,
    ) -> Markup {
        let (dashes, width) = if dotted { ("1.5 2.5", 1.5) } else { ("none", 2.0) };
        let wide = what.chars().count() as f64 * SMALL * LETTER;
        let (anchor, shift) = match anchor {
            "end" if x - wide < self.left => ("start", -2.0),
            "middle" if x - wide / 2.0 < self.left => ("start", 0.0),
            "middle" | "start" if x + wide > self.right => ("end", 0.0),
            "end" => ("end", 2.0),
            other => (other, 0.0),
        };
        html! {
            (straight((x, self.top - 4.0 - higher), (x, self.bottom + 2.0), colour, width, dashes))
            (words((x + shift, self.top - 7.0 - higher), anchor, colour, what))
        }
    }
}
