//! A sound of practice heard again: played from any beat, at full or half speed, with the truth and the tap beside it, and
//! what a tap at another moment would have come to.

use super::action::HearAct;
use super::loud::Loud;
use crate::live::{Hush, LiveEvent, Piece, Plan, Snapshot};
use crate::practice::made_sound::MadeSound;
use crate::units::{Instant, SampleRate};
use crate::window::ear::Ear;
use crate::window::now::Now;
use crate::words::{Spoken, Words, say};

/// How many times as long half speed lasts.
const HALF: f64 = 2.0;
/// Played from so long before a beat, so that it is not cut, seconds.
const BEFORE_S: f64 = 0.15;
/// The picture holds so much, seconds, and shows this much after the cursor.
const SHOWN_S: f64 = 12.0;
const AFTER_S: f64 = 4.0;
/// A drill is heard again from so long before its marks until so long after them, seconds.
const AROUND_S: (f64, f64) = (30.0, 8.0);

/// What is amiss with the output; what the system said stands in it in English.
pub(super) fn not_through(said: String) -> Spoken {
    Spoken::of(move |w| say!(w, "sound-not-through", said = said))
}

/// Where truth and tap lie, seconds of the sound.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HeardMarks {
    /// The first pulse that came back.
    pub truth_s: Option<f64>,
    /// The tap.
    pub tap_s: Option<f64>,
}

/// See the file's purpose.
pub struct HeardAgain {
    /// The sound as it was made; none of a recording.
    pub sound: Option<MadeSound>,
    /// Its picture.
    pub piece: Piece,
    /// Truth and tap.
    pub marks: HeardMarks,
    /// What the first of the marks is called, a message, where it is not the true first pulse.
    pub return_words: Option<&'static str>,
    /// The moment that is looked at, seconds of the sound.
    pub cursor_s: f64,
    /// At half speed, same pitch.
    pub half: bool,
    /// What is amiss with the output; none where nothing is.
    pub output: Option<Spoken>,
    beats: Vec<f64>,
    playing: Option<PlayingAgain>,
}

struct PlayingAgain {
    ear: Ear,
    hush: Hush,
    snapshot: Box<Snapshot>,
    from_s: f64,
    span_s: f64,
    times: f64,
    delay_s: f64,
    /// Since when all of it is made; it is heard to its end a little later.
    made: Option<Instant>,
}

impl HeardAgain {
    /// A made sound, all of it or the part around its marks.
    pub fn of(sound: MadeSound, marks: HeardMarks) -> Option<Self> {
        let rate = SampleRate::new(sound.rate_hz)?;
        let known: Vec<f64> = [marks.truth_s, marks.tap_s].into_iter().flatten().collect();
        let first_s = known.iter().copied().fold(f64::INFINITY, f64::min);
        let last_s = known.iter().copied().fold(0.0, f64::max);
        let (from_s, to_s) = match known.is_empty() {
            true => ((sound.seconds() - AROUND_S.0 - AROUND_S.1).max(0.0), sound.seconds()),
            false => ((first_s - AROUND_S.0).max(0.0), last_s + AROUND_S.1),
        };
        let frame = |at_s: f64| ((at_s * f64::from(rate.hz())) as usize).min(sound.samples.len());
        let part = sound.samples[frame(from_s)..frame(to_s)].to_vec();
        let piece = Piece::heard(part, rate, from_s);
        let beats = sound.onsets();
        Some(Self::at_start(piece, Some(sound), marks, beats))
    }

    /// A whole made sound without marks.
    pub fn whole(sound: MadeSound) -> Option<Self> {
        let rate = SampleRate::new(sound.rate_hz)?;
        let piece = Piece::heard(sound.samples.clone(), rate, 0.0);
        let (marks, beats) = (HeardMarks::default(), sound.onsets());
        let mut heard = Self::at_start(piece, Some(sound), marks, beats);
        heard.marks.truth_s = heard.sound.as_ref().and_then(|sound| sound.truth.audible_s);
        heard.cursor_s = 0.0;
        Some(heard)
    }

    /// A recording.
    pub fn recording(piece: Piece, marks: HeardMarks) -> Self {
        let beats = piece.onsets();
        Self::at_start(piece, None, marks, beats)
    }

    fn at_start(
        piece: Piece,
        sound: Option<MadeSound>,
        marks: HeardMarks,
        beats: Vec<f64>,
    ) -> Self {
        let cursor_s = marks.truth_s.map_or(piece.from_s, |s| (s - 4.0).max(piece.from_s));
        Self {
            sound,
            piece,
            marks,
            return_words: None,
            cursor_s,
            half: false,
            output: None,
            beats,
            playing: None,
        }
    }

    /// Whether something is played.
    pub fn plays(&self) -> bool {
        self.playing.is_some()
    }

    /// The pulses that can be heard, seconds of the sound.
    pub fn beats(&self) -> &[f64] {
        &self.beats
    }

    /// What the needle shows at the cursor, mmHg, where a cuff is worked.
    pub fn needle_mmhg(&self) -> Option<f64> {
        let sound = self.sound.as_ref()?;
        let worked = !sound.truth.inflations.is_empty();
        worked.then(|| sound.track.at(self.cursor_s))
    }

    /// What a tap at the cursor would have come to, in the words of a language; empty where there is no return to tap at.
    pub fn if_tapped(&self, words: Words) -> Vec<String> {
        let sound = self.sound.as_ref();
        sound.map(|sound| sound.if_tapped_said(words, self.cursor_s)).unwrap_or_default()
    }

    /// The picture around the cursor.
    pub fn picture(&self) -> Snapshot {
        let least_s = self.piece.from_s + SHOWN_S;
        self.piece.picture((self.cursor_s + AFTER_S).max(least_s).min(self.piece.to_s))
    }

    /// The moment at this share of the picture's width.
    pub fn moment(&self, share: f32) -> f64 {
        let end_s = self.picture().sound_s;
        (end_s - SHOWN_S * f64::from(1.0 - share)).clamp(self.piece.from_s, self.piece.to_s)
    }

    /// Applies an act.
    pub fn apply(&mut self, act: HearAct, loud: &Loud, now: Now) {
        if act == HearAct::Play && self.playing.is_none() {
            return self.play(loud, now);
        }
        self.stop(now);
        match act {
            HearAct::Play | HearAct::Stop => {}
            HearAct::Half => self.half = !self.half,
            HearAct::Step(after) => self.cursor_s = self.beat_beside(after),
            HearAct::To(at_s) => self.cursor_s = at_s.clamp(self.piece.from_s, self.piece.to_s),
            HearAct::Start => self.cursor_s = self.piece.from_s,
            HearAct::ToTruth => self.cursor_s = self.marks.truth_s.unwrap_or(self.cursor_s),
            HearAct::ToTap => self.cursor_s = self.marks.tap_s.unwrap_or(self.cursor_s),
        }
    }

    fn beat_beside(&self, after: bool) -> f64 {
        let here = self.cursor_s;
        let beat = match after {
            true => self.beats.iter().find(|s| **s > here + 0.02),
            false => self.beats.iter().rfind(|s| **s < here - 0.02),
        };
        let within = |s: &f64| (self.piece.from_s..=self.piece.to_s).contains(s);
        beat.copied().filter(within).unwrap_or(here)
    }

    fn play(&mut self, loud: &Loud, now: Now) {
        let times = if self.half { HALF } else { 1.0 };
        if self.cursor_s > self.piece.to_s - 0.3 {
            self.cursor_s = self.piece.from_s;
        }
        let from_s = (self.cursor_s - BEFORE_S).max(self.piece.from_s);
        let clip = Box::new(self.piece.clip((from_s, self.piece.to_s), times, false));
        let hush = Hush::default();
        let source = loud.played(clip, hush.clone());
        match Ear::start(source, Plan::default(), loud.drive, now.at) {
            Ok(ear) => {
                let (span_s, snapshot) = (self.piece.to_s - from_s, Box::new(Snapshot::new()));
                let (delay_s, made) = (0.0, None);
                self.playing = Some(PlayingAgain {
                    ear,
                    hush,
                    snapshot,
                    from_s,
                    span_s,
                    times,
                    delay_s,
                    made,
                });
            }
            Err(fault) => self.output = Some(not_through(fault.to_string())),
        }
    }

    /// Silence at once.
    pub fn stop(&mut self, now: Now) {
        if let Some(mut playing) = self.playing.take() {
            playing.hush.set(true);
            playing.ear.stop(now.wall.utc());
        }
    }

    /// The cursor follows what is played.
    pub fn tick(&mut self, now: Now) {
        let Some(playing) = &mut self.playing else { return };
        playing.ear.step(now.at, now.wall.utc());
        playing.ear.look(&mut playing.snapshot);
        while let Some(told) = playing.ear.poll() {
            match told.event {
                LiveEvent::Through { planned_s, .. } => playing.delay_s = planned_s,
                LiveEvent::NotThrough(said) => self.output = Some(not_through(said)),
                _ => {}
            }
        }
        if playing.snapshot.sound_s / playing.times >= playing.span_s - 0.05 {
            playing.made.get_or_insert(now.at);
        }
        let made = playing.made.map(|at| now.at.saturating_duration_since(at).as_secs_f64());
        let sounded_s = playing.ear.locate(now.at).map(|at| at.seconds());
        let sounded_s = sounded_s.unwrap_or(playing.snapshot.sound_s + made.unwrap_or(0.0));
        let played_s = (sounded_s - playing.delay_s).max(0.0) / playing.times;
        self.cursor_s = playing.from_s + played_s.min(playing.span_s);
        if made.is_some_and(|since_s| since_s >= playing.delay_s) {
            self.stop(now);
        }
    }
}
