//! One whole recording heard, as fast as it can be read: beats, inflations with their returns, and how sure that is.
//!
//! The same listener as on live sound, fed block by block from a file; no worker and no thread.

use std::fmt;
use std::path::Path;

use serde::Serialize;

use super::told::trouble;
use crate::audio::sound::SoundFile;
use crate::audio::sound_fault::SoundFault;
use crate::clinical::sound::{Sound, Trouble};
use crate::signal::{Cue, Evidence, Finding, HeartRate, Listener, Pulse, ROWS, Return};
use crate::units::{SampleIndex, SampleRate};

/// What was heard in one recording. Times are seconds from its start; none where it was not heard.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct HeardRecording {
    /// What the recording is called.
    pub file: String,
    /// How long it sounded.
    pub duration_s: f64,
    /// Samples a second.
    pub rate_hz: u32,
    /// Channels that were heard: the mean of all, unless one was chosen.
    pub channels: u32,
    /// What the sound came as, such as `WAV, PCM of 16 bits`.
    pub sound: String,
    /// True of sound that was compressed with loss (MP3, Vorbis, AAC): faint pulses may be gone from it.
    pub lossy: bool,
    /// When the pulse was lost under the cuff: of the first inflation that ended in a return, else of the first.
    pub lost_s: Option<f64>,
    /// When the first pulse came back.
    pub return_s: Option<f64>,
    /// When that could first be said.
    pub cue_s: Option<f64>,
    /// Probability that this was the first pulse, 0 to 1.
    pub confidence: Option<f64>,
    /// Beats a minute.
    pub heart_rate_bpm: Option<f64>,
    /// `regular` or `irregular`.
    pub rhythm: Option<&'static str>,
    /// The patient's beats, in order; what sounded like one while the cuff was closed is left out.
    pub pulses: Vec<HeardPulse>,
    /// What made it hard to hear.
    pub quality: Vec<&'static str>,
    /// What carried the return.
    evidence: Option<HeardEvidence>,
    /// Each inflation, where there were several.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    episodes: Vec<Episode>,
    /// Where the file holds less than it promises.
    #[serde(skip)]
    pub cut: Option<Cut>,
    #[serde(skip)]
    troubles: Vec<Trouble>,
}

impl HeardRecording {
    /// What was heard, in order of time, as a visit under way takes it; times are seconds from the recording's start.
    pub fn sounds(&self) -> Vec<Sound> {
        let pulse = |p: &HeardPulse| Sound::Pulse { at_s: p.onset_s, strength_db: p.strength_db };
        let mut sounds: Vec<Sound> = self.pulses.iter().map(pulse).collect();
        sounds.extend(self.lost_s.map(|at_s| Sound::Lost { at_s }));
        sounds.extend(self.cue_s.map(|at_s| Sound::Cue { at_s }));
        let back = self.return_s.zip(self.confidence);
        sounds.extend(back.map(|(at_s, confidence)| Sound::Return { at_s, confidence }));
        sounds.sort_by(|a, b| a.at_s().total_cmp(&b.at_s()));
        let regular = self.rhythm.map(|rhythm| rhythm == "regular");
        sounds.extend(self.heart_rate_bpm.map(|bpm| Sound::Rate { bpm, regular }));
        sounds
            .extend(self.troubles.iter().map(|what| Sound::Trouble { what: *what, present: true }));
        sounds
    }
}

/// One beat.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct HeardPulse {
    /// Where it begins.
    pub onset_s: f64,
    /// Where it ends.
    pub end_s: f64,
    /// Mean level above the background, decibels.
    pub strength_db: f64,
}

/// A sound that ends before its file says: it was heard as far as it goes.
#[derive(Debug, Clone, PartialEq)]
pub struct Cut {
    /// What the recording is called.
    pub file: String,
    /// Seconds that are there.
    pub there_s: f64,
    /// Seconds that the file promises.
    pub promised_s: f64,
}

impl fmt::Display for Cut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} ends early: {:.1} of {:.1} s are there, and those were heard; copy or record it again",
            self.file, self.there_s, self.promised_s
        )
    }
}

/// Why a recording could not be heard.
#[derive(Debug, thiserror::Error)]
#[error("{file}: {fault}")]
pub struct Unheard {
    /// What the recording is called.
    pub file: String,
    /// What is wrong with it.
    pub fault: SoundFault,
}

/// What carried a return.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
#[serde(untagged)]
enum HeardEvidence {
    /// The network's word.
    Pointed {
        /// Probability that a pulse came back at all, 0 to 1.
        returned: f64,
        /// The named pulse's share among all moments, if one came back, 0 to 1.
        share: f64,
        /// The next likely moments.
        rivals: Vec<Rival>,
    },
    /// The chain's, with --quick, in natural-log units.
    Chain {
        /// How much its beats sound like the pulse.
        sound: f64,
        /// How well they keep the rhythm.
        rhythm: f64,
        /// Of the first beat.
        first: f64,
        /// Of the beat after it.
        next: f64,
        /// Of the best other story.
        rival: f64,
        /// By how much it beats that.
        margin: f64,
        /// Beats in the chain.
        beats: u32,
        /// How sure the choice of the first beat is, 0 to 1.
        choice: f64,
    },
}

/// A moment that might have been the first pulse instead.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
struct Rival {
    /// When.
    at_s: f64,
    /// Its share among all moments, 0 to 1.
    share: f64,
}

/// One inflation: from the loss of the pulse to its return.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
struct Episode {
    /// When the pulse was lost.
    lost_s: Option<f64>,
    /// When it came back.
    return_s: Option<f64>,
    /// When that could first be said.
    cue_s: Option<f64>,
    /// Probability that this was the first pulse, 0 to 1.
    confidence: Option<f64>,
    #[serde(skip)]
    evidence: Option<HeardEvidence>,
}

/// The sentence for sound that was compressed with loss.
pub const LOSSY: &str = "compressed with loss";

/// With fewer pulses there is no rate and no rhythm.
const LEAST_PULSES: usize = 4;

/// Seconds to the tenth of a millisecond: finer than one sample of the listener.
fn round_s(seconds: f64) -> f64 {
    (seconds * 10_000.0).round() / 10_000.0
}

fn round_to(value: f64, steps: f64) -> f64 {
    (value * steps).round() / steps
}

/// Findings of one sound gathered into what a table needs.
struct Gathered {
    rate: SampleRate,
    pulses: Vec<HeardPulse>,
    episodes: Vec<Episode>,
    lost: Option<f64>,
    cue: Option<f64>,
    quality: Vec<&'static str>,
    troubles: Vec<Trouble>,
}

impl Gathered {
    fn new(rate: SampleRate) -> Self {
        let (pulses, episodes) = (Vec::new(), Vec::new());
        let (quality, troubles) = (Vec::new(), Vec::new());
        Self { rate, pulses, episodes, lost: None, cue: None, quality, troubles }
    }

    fn seconds(&self, at: SampleIndex) -> f64 {
        round_s(at.seconds(self.rate))
    }

    fn take(&mut self, listener: &mut Listener) {
        while let Some(finding) = listener.poll() {
            match finding {
                Finding::Pulse(pulse) => self.pulse(pulse),
                Finding::Lost { at } => self.lost = Some(self.seconds(at)),
                Finding::Cue(Cue { at, .. }) => self.cue = Some(self.seconds(at)),
                Finding::Return(found) => self.returned(found),
                Finding::Quality(quality) => {
                    let name = quality.trouble.name();
                    if quality.present && !self.quality.contains(&name) {
                        self.quality.push(name);
                        self.troubles.push(trouble(quality.trouble));
                    }
                }
            }
        }
    }

    fn pulse(&mut self, pulse: Pulse) {
        self.pulses.push(HeardPulse {
            onset_s: self.seconds(pulse.onset),
            end_s: self.seconds(pulse.end),
            strength_db: round_to(f64::from(pulse.strength_db), 10.0),
        });
    }

    fn returned(&mut self, found: Return) {
        let evidence = self.evidence(&found.evidence);
        self.episodes.push(Episode {
            lost_s: found.lost.map(|at| self.seconds(at)),
            return_s: Some(self.seconds(found.onset)),
            cue_s: found.cue.map(|cue| self.seconds(cue.at)),
            confidence: Some(round_to(f64::from(found.confidence), 1000.0)),
            evidence: Some(evidence),
        });
        self.lost = None;
        self.cue = None;
    }

    fn evidence(&self, evidence: &Evidence) -> HeardEvidence {
        let rounded = |x: f32, steps| round_to(f64::from(x), steps);
        match evidence {
            Evidence::Pointed(e) => {
                let likely = e.rivals.iter().filter(|(_, share)| *share >= 0.001);
                let rival = |(at, share): &(SampleIndex, f32)| Rival {
                    at_s: self.seconds(*at),
                    share: rounded(*share, 1000.0),
                };
                HeardEvidence::Pointed {
                    returned: rounded(e.returned, 1000.0),
                    share: rounded(e.share, 1000.0),
                    rivals: likely.map(rival).collect(),
                }
            }
            Evidence::Chain(e) => HeardEvidence::Chain {
                sound: rounded(e.sound, 100.0),
                rhythm: rounded(e.rhythm, 100.0),
                first: rounded(e.first, 100.0),
                next: rounded(e.next, 100.0),
                rival: rounded(e.rival, 100.0),
                margin: rounded(e.margin, 100.0),
                beats: e.beats,
                choice: rounded(e.choice, 1000.0),
            },
        }
    }

    /// The last inflation may have been lost and not returned.
    fn close(&mut self) {
        if self.lost.is_some() || self.episodes.is_empty() {
            self.episodes.push(Episode {
                lost_s: self.lost,
                return_s: None,
                cue_s: self.cue,
                confidence: None,
                evidence: None,
            });
        }
    }

    /// Sounds like a pulse while the cuff was closed are no beats of the patient.
    fn drop_pulses_while_closed(&mut self) {
        for episode in &self.episodes {
            let Some(lost) = episode.lost_s else { continue };
            let back = episode.return_s.unwrap_or(f64::INFINITY);
            self.pulses.retain(|p| p.onset_s <= lost || p.onset_s >= back - 0.05);
        }
    }

    /// The whole, with the first inflation that ended in a return in front.
    fn told(
        self,
        path: &Path,
        wav: &SoundFile,
        rate: Option<HeartRate>,
        cut: Option<Cut>,
    ) -> HeardRecording {
        let several = self.episodes.len() > 1;
        // Sounds while the cuff was closed were no pulses: what is left must still be enough.
        let rate = rate.filter(|_| self.pulses.len() >= LEAST_PULSES);
        let completed = self.episodes.iter().find(|e| e.return_s.is_some());
        let Episode { lost_s, return_s, cue_s, confidence, evidence } =
            completed.unwrap_or(&self.episodes[0]).clone();
        HeardRecording {
            file: name_of(path),
            duration_s: round_s(SampleIndex(wav.read_frames()).seconds(wav.rate())),
            rate_hz: wav.rate().hz(),
            channels: wav.channels() as u32,
            sound: wav.words().to_owned(),
            lossy: wav.lossy(),
            lost_s,
            return_s,
            cue_s,
            confidence,
            heart_rate_bpm: rate.map(|r| round_to(f64::from(r.bpm), 10.0)),
            rhythm: rate.map(|r| if r.regular { "regular" } else { "irregular" }),
            pulses: self.pulses,
            quality: self.quality,
            evidence,
            episodes: if several { self.episodes } else { Vec::new() },
            cut,
            troubles: self.troubles,
        }
    }
}

/// Listens to one file; see [`hear`].
///
/// # Errors
/// The file cannot be read, or is no sound.
pub fn hear_file(path: &Path) -> Result<HeardRecording, Unheard> {
    let wav = SoundFile::open(path).map_err(|fault| Unheard { file: name_of(path), fault })?;
    hear(path, wav, false, |_, _| {}, |_| {})
}

fn name_of(path: &Path) -> String {
    path.display().to_string()
}

/// Listens to one sound that is called `path`, as fast as it can be read; `quick`: without the network. `progress` gets the frames read so far
/// and those promised (0 where the file does not say), `picture` is shown each column of the sonogram. A sound that ends early is heard as far as it
/// goes: see [`HeardRecording::cut`].
///
/// # Errors
/// The sound cannot be read on.
pub fn hear(
    path: &Path,
    mut wav: SoundFile,
    quick: bool,
    mut progress: impl FnMut(u64, u64),
    mut picture: impl FnMut(&[u8; ROWS]),
) -> Result<HeardRecording, Unheard> {
    let (rate, channels) = (wav.rate(), wav.channels());
    let mut listener = match quick {
        true => Listener::quick(rate, channels),
        false => Listener::new(rate, channels),
    };
    let mut gathered = Gathered::new(wav.rate());
    let mut block = Vec::new();
    loop {
        wav.read_block(&mut block).map_err(|fault| Unheard { file: name_of(path), fault })?;
        if block.is_empty() {
            break;
        }
        listener.push(&block);
        gathered.take(&mut listener);
        while let Some(column) = listener.poll_column() {
            picture(&column);
        }
        progress(wav.read_frames(), wav.promised_frames().unwrap_or(0));
    }
    listener.finish();
    gathered.take(&mut listener);
    gathered.close();
    gathered.drop_pulses_while_closed();
    let seconds = |frames| SampleIndex(frames).seconds(wav.rate());
    let promised = wav.promised_frames().filter(|promised| wav.read_frames() < *promised);
    let cut = promised.map(|promised| Cut {
        file: name_of(path),
        there_s: seconds(wav.read_frames()),
        promised_s: seconds(promised),
    });
    gathered.quality.extend(cut.as_ref().map(|_| "ends early"));
    gathered.quality.extend(wav.lossy().then_some(LOSSY));
    Ok(gathered.told(path, &wav, listener.heart_rate(), cut))
}
