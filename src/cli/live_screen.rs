//! The terminal: level, a scrolling picture of the sound, findings in words, marks and readings by key.
//!
//! Only paints. Dark is the learned background, so pulses stand alone; newest at the right.

use std::collections::VecDeque;
use std::io::{self, Stdout, Write};

use crossterm::cursor::{Hide, MoveTo, Show};
use crossterm::style::Print;
use crossterm::terminal::{
    Clear, ClearType, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode,
};
use crossterm::{execute, queue};

use crate::live::{Level, Snapshot};
use crate::signal::ROWS;

/// Lines of the picture; each is four rows of the sonogram.
const LINES: usize = 16;
/// Columns of the sonogram in one character: 80 ms.
const COLUMNS: usize = 8;
/// From background to 30 dB above it.
const SHADES: [char; 6] = [' ', '·', '░', '▒', '▓', '█'];
/// What the painter shows of the past.
const SENTENCES: usize = 6;

/// The terminal while it is ours; dropping it gives it back.
pub(super) struct Screen {
    out: Stdout,
}

/// Everything that is painted besides the snapshot.
#[derive(Debug, Default)]
pub(super) struct Words {
    /// The newest sentences, oldest first.
    pub sentences: VecDeque<String>,
    /// What is being typed.
    pub typed: String,
    /// One line about the recording and the device.
    pub state: String,
    /// A sentence that stays until it is no longer true.
    pub alarm: Option<String>,
}

impl Words {
    /// Adds a sentence; the oldest goes.
    pub(super) fn say(&mut self, sentence: String) {
        if self.sentences.len() >= SENTENCES {
            self.sentences.pop_front();
        }
        self.sentences.push_back(sentence);
    }
}

impl Screen {
    pub(super) fn open() -> io::Result<Self> {
        enable_raw_mode()?;
        let mut out = io::stdout();
        if let Err(fault) = execute!(out, EnterAlternateScreen, Hide, Clear(ClearType::All)) {
            let _ = disable_raw_mode();
            return Err(fault);
        }
        Ok(Self { out })
    }

    pub(super) fn paint(&mut self, now: &Snapshot, words: &Words) -> io::Result<()> {
        // A terminal that does not tell its size is taken for an ordinary one.
        let (width, height) = match crossterm::terminal::size() {
            Ok((0, _) | (_, 0)) | Err(_) => (80, 30),
            Ok(size) => size,
        };
        let lines = page(now, words, usize::from(width));
        for (row, line) in lines.iter().take(usize::from(height)).enumerate() {
            let line: String = line.chars().take(usize::from(width)).collect();
            queue!(self.out, MoveTo(0, row as u16), Print(line), Clear(ClearType::UntilNewLine))?;
        }
        queue!(self.out, Clear(ClearType::FromCursorDown))?;
        self.out.flush()
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        let _ = execute!(self.out, Show, LeaveAlternateScreen);
        let _ = disable_raw_mode();
    }
}

/// The whole page as lines.
fn page(now: &Snapshot, words: &Words, width: usize) -> Vec<String> {
    let mut lines = vec![words.state.clone(), level_line(now, width), String::new()];
    lines.extend(picture(now, width));
    lines.push(String::new());
    if let Some(alarm) = &words.alarm {
        lines.push(format!(">> {alarm}"));
    }
    lines.extend(words.sentences.iter().cloned());
    lines.push(String::new());
    let typed = match words.typed.as_str() {
        "" => "Space: I hear it now    digits, Enter: the reading    q: end".to_owned(),
        typed => format!("{typed}_ mmHg    Enter keeps it, Backspace takes back"),
    };
    lines.push(typed);
    lines
}

/// Sixty decibels as a bar, and in numbers.
fn level_line(now: &Snapshot, width: usize) -> String {
    let long = width.saturating_sub(66).clamp(10, 40);
    let share = ((now.level.mean_dbfs + 60.0) / 60.0).clamp(0.0, 1.0);
    let filled = (share * long as f32).round() as usize;
    let bar: String = (0..long).map(|n| if n < filled { '=' } else { '-' }).collect();
    let note = if now.level.peak_dbfs > -0.1 { "  TOO LOUD" } else { "" };
    let beat = now.heart_rate.map_or(String::new(), |(bpm, regular)| {
        format!("  pulse {bpm:.0}/min{}", if regular { "" } else { ", irregular" })
    });
    let Level { mean_dbfs, background_dbfs, .. } = now.level;
    format!("level {bar} {mean_dbfs:4.0} dBFS, background {background_dbfs:4.0}{note}{beat}")
}

/// The picture: high frequencies above, newest at the right.
fn picture(now: &Snapshot, width: usize) -> Vec<String> {
    let cells = width.min(now.columns.len() / COLUMNS);
    // Cells are cut where they always were, so that the picture scrolls and does not flicker.
    let young = (now.columns_made % COLUMNS as u64) as usize;
    let end = now.columns.len() - young.min(now.columns.len());
    let rows = ROWS / LINES;
    (0..LINES)
        .rev()
        .map(|line| {
            let cell = |n: usize| {
                let first = (end + n * COLUMNS).checked_sub(cells * COLUMNS)?;
                let columns = now.columns.range(first..(first + COLUMNS).min(end));
                columns.flat_map(|column| &column[line * rows..(line + 1) * rows]).max().copied()
            };
            let text = (0..cells).map(|n| cell(n).map_or(' ', shade));
            std::iter::repeat_n(' ', width - cells).chain(text).collect()
        })
        .collect()
}

fn shade(level: u8) -> char {
    // The strongest of 32 cells: noise alone reaches about 8 dB, which is still background.
    let above = usize::from(level.saturating_sub(80)) * SHADES.len() / 176;
    SHADES[above.min(SHADES.len() - 1)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_picture_shows_a_burst_at_its_time_and_frequency() {
        let mut now = Snapshot::new();
        for n in 0..800 {
            let mut column = [40u8; ROWS];
            if (720..736).contains(&n) {
                column[..8].fill(255);
            }
            now.columns.push_back(column);
            now.columns_made += 1;
        }
        let lines = picture(&now, 60);
        assert_eq!(lines.len(), LINES);
        assert!(lines.iter().all(|line| line.chars().count() == 60));
        let places: Vec<usize> =
            (0..60).filter(|&n| lines[15].chars().nth(n) == Some('█')).collect();
        assert_eq!(places, [50, 51]);
        assert!(lines[..14].iter().all(|line| line.trim().is_empty()));
    }

    #[test]
    fn a_page_fits_any_width_and_an_empty_state() {
        for width in [1, 20, 300] {
            let lines = page(&Snapshot::new(), &Words::default(), width);
            assert!(lines.len() > LINES);
        }
    }
}
