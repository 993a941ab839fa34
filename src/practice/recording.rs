//! A drill on a recording: which one a teacher named, who confirmed when its pulse came back, and the needle where
//! that is known.

use std::path::PathBuf;

use serde::{Deserialize, Serialize};

use crate::words::{Words, id};

/// Seconds before the return that a reading and a rate of fall are carried back.
const BACK_S: f64 = 60.0;

/// Who confirmed the return that counts as the truth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Confirmed {
    /// The clinician's tap of a reading that was kept.
    KeptTap,
    /// The mark of somebody who heard the recording again.
    OverRead,
}

impl Confirmed {
    /// In the words of a language, within a sentence.
    pub fn said(self, words: Words) -> &'static str {
        words.plain(match self {
            Confirmed::KeptTap => id!("drill-confirmed-tap"),
            Confirmed::OverRead => id!("drill-confirmed-mark"),
        })
    }
}

/// Where a recording comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Whence {
    /// A file beside the lesson, as it was named.
    Beside(String),
    /// An attempt of a visit in the record book.
    Book {
        /// The visit.
        visit: String,
        /// The attempt's number.
        attempt: u32,
    },
    /// The file that was found.
    Found(PathBuf),
}

/// A recording whose return somebody confirmed.
#[derive(Debug, Clone, PartialEq)]
pub struct ConfirmedRecording {
    /// Where it comes from.
    pub whence: Whence,
    /// Who confirmed the return.
    pub confirmed: Confirmed,
    /// The return, seconds of the recording; of one in the book, 0 until it was found.
    pub return_s: f64,
    /// Where the needle was: seconds and mmHg, in order; empty where that is not known.
    pub needle: Vec<(f64, f64)>,
}

/// Why a lesson's words name no recording.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub(super) enum WrongRecording {
    /// Neither a file nor an attempt of a visit.
    #[error("a recording is a file, or a visit and an attempt")]
    NoSource,
    /// A file without its return.
    #[error("a file needs return_s: when its pulse came back")]
    NoReturn,
    /// What the book knows was named as well.
    #[error(
        "return_s, needle, reading_mmhg and fall_mmhg_s of a visit are the book's: leave them out"
    )]
    OfTheBook,
    /// Needle marks that do not fall, or are no pressures.
    #[error("needle marks fall: later is lower, 0 to 300 mmHg")]
    MarksRise,
    /// Too little is known of the needle, or too much.
    #[error(
        "the needle is known by two marks or more, or by reading_mmhg (0 to 300) and fall_mmhg_s (0.1 to 20)"
    )]
    Needle,
}

/// A recording as a lesson's file names it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RecordingText {
    file: Option<String>,
    visit: Option<String>,
    attempt: Option<u32>,
    truth: Confirmed,
    return_s: Option<f64>,
    #[serde(default)]
    needle: Vec<(f64, f64)>,
    reading_mmhg: Option<f64>,
    fall_mmhg_s: Option<f64>,
}

impl RecordingText {
    /// Checks what does not need a disk.
    pub(super) fn recording(&self) -> Result<ConfirmedRecording, WrongRecording> {
        let confirmed = self.truth;
        match (&self.file, &self.visit, self.attempt) {
            (Some(file), None, None) => {
                let return_s = self.return_s.filter(|s| s.is_finite() && *s > 0.0);
                let return_s = return_s.ok_or(WrongRecording::NoReturn)?;
                let whence = Whence::Beside(file.clone());
                Ok(ConfirmedRecording {
                    whence,
                    confirmed,
                    return_s,
                    needle: self.marks(return_s)?,
                })
            }
            (None, Some(visit), Some(attempt)) => {
                let told = self.return_s.or(self.reading_mmhg).or(self.fall_mmhg_s);
                if told.is_some() || !self.needle.is_empty() {
                    return Err(WrongRecording::OfTheBook);
                }
                let whence = Whence::Book { visit: visit.clone(), attempt };
                Ok(ConfirmedRecording { whence, confirmed, return_s: 0.0, needle: Vec::new() })
            }
            _ => Err(WrongRecording::NoSource),
        }
    }

    fn marks(&self, return_s: f64) -> Result<Vec<(f64, f64)>, WrongRecording> {
        let sound = |mmhg: f64| (0.0..=300.0).contains(&mmhg);
        match (self.reading_mmhg, self.fall_mmhg_s, self.needle.as_slice()) {
            (None, None, []) => Ok(Vec::new()),
            (Some(read), Some(fall), []) if sound(read) && (0.1..=20.0).contains(&fall) => {
                Ok(falling((return_s, read), fall))
            }
            (None, None, marks @ [_, _, ..]) => {
                let falls = marks.windows(2).all(|w| w[0].0 < w[1].0 && w[0].1 > w[1].1);
                let fits = falls && marks.iter().all(|(_, mmhg)| sound(*mmhg));
                fits.then(|| marks.to_vec()).ok_or(WrongRecording::MarksRise)
            }
            _ => Err(WrongRecording::Needle),
        }
    }
}

/// The needle through one reading at this rate of fall.
pub fn falling((at_s, mmhg): (f64, f64), fall_mmhg_s: f64) -> Vec<(f64, f64)> {
    vec![(at_s - BACK_S, mmhg + BACK_S * fall_mmhg_s), (at_s, mmhg)]
}

impl ConfirmedRecording {
    /// The needle at a moment, mmHg: between two marks, and on from the last as it fell before; not known before
    /// the first.
    pub fn needle_mmhg(&self, at_s: f64) -> Option<f64> {
        let after = self.needle.iter().position(|(s, _)| *s > at_s);
        let right = after.unwrap_or(self.needle.len().saturating_sub(1));
        let left = right.checked_sub(1)?;
        let ((a_s, a), (b_s, b)) = (self.needle[left], self.needle[right]);
        Some((a + (b - a) * (at_s - a_s) / (b_s - a_s)).max(0.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Option<ConfirmedRecording> {
        toml::from_str::<RecordingText>(text).ok()?.recording().ok()
    }

    #[test]
    fn a_needle_is_known_by_marks_or_by_a_reading_and_a_fall() {
        let head = "file = \"a.wav\"\ntruth = \"kept-tap\"\nreturn_s = 30.0\n";
        let bare = read(head).unwrap();
        assert_eq!((bare.needle_mmhg(30.0), bare.return_s), (None, 30.0));
        let marked = read(&format!("{head}needle = [[20.0, 140.0], [24.0, 130.0]]")).unwrap();
        assert_eq!(marked.needle_mmhg(19.0), None);
        assert_eq!(marked.needle_mmhg(22.0), Some(135.0));
        assert_eq!(marked.needle_mmhg(28.0), Some(120.0));
        let fell = read(&format!("{head}reading_mmhg = 118.0\nfall_mmhg_s = 2.0")).unwrap();
        assert_eq!((fell.needle_mmhg(30.0), fell.needle_mmhg(31.0)), (Some(118.0), Some(116.0)));
    }

    #[test]
    fn what_is_neither_file_nor_visit_is_refused() {
        for wrong in [
            "truth = \"kept-tap\"",
            "file = \"a.wav\"\ntruth = \"kept-tap\"",
            "file = \"a.wav\"\ntruth = \"guessed\"\nreturn_s = 3.0",
            "file = \"a.wav\"\ntruth = \"over-read\"\nreturn_s = 3.0\nfall_mmhg_s = 2.0",
            "file = \"a.wav\"\ntruth = \"over-read\"\nreturn_s = 3.0\nneedle = [[1.0, 90.0], [2.0, 99.0]]",
            "visit = \"v\"\nattempt = 1\ntruth = \"kept-tap\"\nreturn_s = 3.0",
        ] {
            assert!(read(wrong).is_none(), "{wrong}");
        }
    }
}
