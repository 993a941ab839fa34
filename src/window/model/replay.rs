//! A reading heard again: its sound, played at full or half speed, a beat over and over, beat by beat; and what the needle
//! and the index would have been at another moment. The mark can be moved; the old one stays on the trail.

use std::path::PathBuf;

use super::action::ReplayAct;
use crate::clinical::elsewhere::{Elsewhere, elsewhere};
use crate::clinical::event::{Act, Event, Made, SoundTime};
use crate::clinical::guidance::GuidanceSet;
use crate::clinical::reasons;
use crate::clinical::site::Site;
use crate::clinical::visit::Visit;
use crate::live::{Aloud, Hush, LiveEvent as Told, Piece, Plan, Snapshot};
use crate::logbook::{Recording, SoundState, VisitId};
use crate::units::{Mmhg, SampleIndex};
use crate::window::ear::{Drive, Ear};
use crate::window::now::Now;
use crate::words::{Words, say};

/// Seconds played before the cursor stops by itself.
const PLAYED_S: f64 = 30.0;
/// How many times as long half speed lasts.
const HALF: f64 = 2.0;

/// One reading that can be heard again.
#[derive(Debug, Clone)]
pub struct Replayable {
    /// Its attempt.
    pub attempt: u32,
    /// Where.
    pub site: Site,
    /// The reading.
    pub reading: Mmhg,
    /// The tap that the reading belongs to.
    pub tap: SoundTime,
    /// Where its mark was moved afterwards.
    pub moved: Option<SoundTime>,
    /// The number of the event that made it.
    event: u64,
    file: PathBuf,
}

/// Where it is played, and how time passes there.
#[derive(Debug, Clone)]
pub struct Speaker {
    /// In real time, or stepped.
    pub drive: Drive,
    /// The output; the usual one where none is named.
    pub output: Option<String>,
}

/// What is amiss, with what the system said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Amiss {
    /// The recording cannot be read.
    NoPiece(String),
    /// Nothing is heard.
    NotThrough(String),
}

impl Amiss {
    /// As a sentence.
    pub fn said(&self, words: Words) -> String {
        match self {
            Amiss::NoPiece(said) => say!(words, "fault-no-recording", said = said),
            Amiss::NotThrough(said) => say!(words, "sound-not-through", said = said),
        }
    }
}

/// A visit that is heard again.
pub struct Replay {
    /// The visit.
    pub visit: VisitId,
    /// What can be heard.
    pub readings: Vec<Replayable>,
    /// Which of them is.
    pub chosen: usize,
    /// Its sound.
    pub piece: Option<Piece>,
    /// The moment that is looked at, seconds of the recording.
    pub cursor_s: f64,
    /// At half speed, same pitch.
    pub half: bool,
    /// One beat over and over.
    pub looped: bool,
    /// The mark is to be moved: asked once.
    pub asked: bool,
    /// What is amiss.
    pub said: Option<Amiss>,
    playing: Option<Playing>,
}

struct Playing {
    ear: Ear,
    snapshot: Box<Snapshot>,
    from_s: f64,
    /// The length of what is played once, seconds of the recording.
    span_s: f64,
    times: f64,
}

impl Replay {
    /// What of a visit can be heard again.
    pub fn of(id: VisitId, visit: &Visit, events: &[Event], recordings: &[Recording]) -> Self {
        let readings = visit.attempts.iter().filter_map(|attempt| {
            let (tap, (mark, _)) = (attempt.tapped?, attempt.mark?);
            Some(Replayable {
                attempt: attempt.number,
                site: attempt.site,
                reading: attempt.reading()?,
                tap,
                moved: Some(mark).filter(|mark| *mark != tap),
                event: mark_event(events, attempt.number)?,
                file: recording_of(recordings, tap.epoch)?,
            })
        });
        let readings = readings.collect();
        let mut replay = Self {
            visit: id,
            readings,
            chosen: 0,
            piece: None,
            cursor_s: 0.0,
            half: false,
            looped: false,
            asked: false,
            said: None,
            playing: None,
        };
        replay.choose(0);
        replay
    }

    /// The reading that is heard.
    pub fn reading(&self) -> Option<&Replayable> {
        self.readings.get(self.chosen)
    }

    /// To this reading.
    pub fn choose(&mut self, n: usize) {
        self.stop();
        let Some(reading) = self.readings.get(n) else { return };
        (self.chosen, self.cursor_s, self.asked) = (n, reading.tap.seconds(), false);
        match Piece::read(&reading.file, self.cursor_s) {
            Ok(piece) => (self.piece, self.said) = (Some(piece), None),
            Err(fault) => (self.piece, self.said) = (None, Some(Amiss::NoPiece(fault.to_string()))),
        }
    }

    fn stop(&mut self) {
        self.playing = None;
    }

    /// Plays from the cursor; a loop plays from the beat before it to the one after.
    fn play(&mut self, speaker: Speaker, now: Now) {
        if self.playing.take().is_some() {
            return;
        }
        let Some(piece) = &self.piece else { return };
        let times = if self.half { HALF } else { 1.0 };
        let here = self.cursor_s;
        let (from_s, to_s) = if self.looped {
            let from_s = piece.beat_beside(here + 0.05, false).unwrap_or(here);
            (from_s, piece.beat_beside(from_s, true).unwrap_or(from_s + 1.0))
        } else {
            (here, (here + PLAYED_S).min(piece.to_s))
        };
        let clip = Box::new(piece.clip((from_s, to_s), times, self.looped));
        let aloud = Box::new(Aloud::new(clip, speaker.output, Hush::default()));
        match Ear::start(aloud, Plan::default(), speaker.drive, now.at) {
            Ok(ear) => {
                let (span_s, snapshot) = (to_s - from_s, Box::new(Snapshot::new()));
                self.playing = Some(Playing { ear, snapshot, from_s, span_s, times });
            }
            Err(fault) => self.said = Some(Amiss::NotThrough(fault.to_string())),
        }
    }

    /// Whether something is played.
    pub fn plays(&self) -> bool {
        self.playing.is_some()
    }

    /// The cursor follows what is played.
    pub fn tick(&mut self, now: Now) {
        let Some(playing) = &mut self.playing else { return };
        playing.ear.step(now.at, now.wall.utc());
        playing.ear.look(&mut playing.snapshot);
        while let Some(told) = playing.ear.poll() {
            if let Told::NotThrough(said) = told.event {
                self.said = Some(Amiss::NotThrough(said));
            }
        }
        let played_s = playing.snapshot.sound_s / playing.times;
        if played_s >= playing.span_s - 0.05 && !self.looped {
            self.playing = None;
        } else {
            self.cursor_s = playing.from_s + played_s % playing.span_s.max(0.1);
        }
    }

    /// What the needle and the index would have been at the cursor.
    pub fn there(&self, visit: &Visit, sets: &[GuidanceSet]) -> Option<Elsewhere> {
        let reading = self.reading()?;
        elsewhere(visit, reading.attempt, self.cursor(reading), sets)
    }

    fn cursor(&self, reading: &Replayable) -> SoundTime {
        let sample = SampleIndex((self.cursor_s * f64::from(reading.tap.rate_hz)).round() as u64);
        SoundTime { sample, ..reading.tap }
    }

    /// Applies an act; gives one for the record where the mark is moved.
    pub fn apply(
        &mut self,
        act: ReplayAct,
        visit: &Visit,
        speaker: Speaker,
        now: Now,
    ) -> Option<Act> {
        if act != ReplayAct::Move {
            self.asked = false;
        }
        match act {
            ReplayAct::Choose(n) => self.choose(n),
            ReplayAct::Play => self.play(speaker, now),
            ReplayAct::Half => {
                self.stop();
                self.half = !self.half;
            }
            ReplayAct::Loop => {
                self.stop();
                self.looped = !self.looped;
            }
            ReplayAct::Step(after) => {
                self.stop();
                let beat = self.piece.as_ref().and_then(|p| p.beat_beside(self.cursor_s, after));
                self.cursor_s = beat.unwrap_or(self.cursor_s);
            }
            ReplayAct::ToMark => {
                self.stop();
                self.cursor_s =
                    self.reading().map_or(self.cursor_s, |reading| reading.tap.seconds());
            }
            ReplayAct::Move if !self.asked => self.asked = true,
            ReplayAct::Move => return self.moved(visit),
        }
        None
    }

    fn moved(&mut self, visit: &Visit) -> Option<Act> {
        self.asked = false;
        let reading = self.reading()?;
        let attempt = visit.attempts.iter().find(|a| a.number == reading.attempt)?;
        let (mark, made) = attempt.mark?;
        let (attempt, at) = (reading.attempt, self.cursor(reading));
        Some(Act::Amendment {
            of: reading.event,
            old: Box::new(Act::Mark { attempt, at: mark, made }),
            new: Box::new(Act::Mark { attempt, at, made: Made::Afterwards }),
            who: visit.opened.operator.clone(),
            why: reasons::kept(reasons::MOVED_ON_REPLAY).into(),
        })
    }
}

/// The file that holds this stream of sound. Where two may be meant, neither is taken for the other.
pub fn recording_of(recordings: &[Recording], epoch: u32) -> Option<PathBuf> {
    let there = recordings.iter().filter(|r| r.state == SoundState::There);
    let of: Vec<_> = there.filter(|r| r.epoch == Some(epoch)).collect();
    let [one] = of.as_slice() else { return None };
    Some(one.file.clone())
}

/// The number of the event whose mark counts in an attempt.
fn mark_event(events: &[Event], number: u32) -> Option<u64> {
    let mut marks = Vec::new();
    for event in events {
        match &event.act {
            Act::Mark { attempt, .. } if *attempt == number => marks.push(event.n),
            Act::MarkTakenBack { attempt } if *attempt == number => drop(marks.pop()),
            _ => {}
        }
    }
    marks.pop()
}
