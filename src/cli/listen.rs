//! The verb `listen`: recordings in, findings out, a table for people or a line of JSON a file.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::Context;
use indicatif::{MultiProgress, ProgressBar, ProgressStyle};
use rayon::prelude::*;
use serde::Serialize;

use super::{listen_live, live_plan};
use crate::audio::wav::Wav;
use crate::signal::{Cue, Finding, HeartRate, Listener, Pulse, ROWS, Return};
use crate::units::{SampleIndex, SampleRate};

#[derive(clap::Args)]
pub(super) struct Words {
    /// WAV files, 8 to 192 kHz
    #[arg(required_unless_present = "live")]
    files: Vec<PathBuf>,
    /// One JSON object a line: a file each, in the order given, or with --live an event each
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    live: live_plan::Words,
}

/// What was heard in one file.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Heard {
    file: String,
    pub(super) duration_s: f64,
    pub(super) rate_hz: u32,
    pub(super) lost_s: Option<f64>,
    pub(super) return_s: Option<f64>,
    pub(super) cue_s: Option<f64>,
    pub(super) confidence: Option<f64>,
    pub(super) heart_rate_bpm: Option<f64>,
    pub(super) rhythm: Option<&'static str>,
    pub(super) pulses: Vec<HeardPulse>,
    pub(super) quality: Vec<&'static str>,
    evidence: Option<HeardEvidence>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    episodes: Vec<Episode>,
}

#[derive(Debug, Clone, Serialize)]
pub(super) struct HeardPulse {
    pub(super) onset_s: f64,
    end_s: f64,
    pub(super) strength_db: f64,
}

/// What carried a return, in natural-log units.
#[derive(Debug, Clone, Serialize)]
struct HeardEvidence {
    sound: f64,
    rhythm: f64,
    first: f64,
    next: f64,
    rival: f64,
    margin: f64,
    beats: u32,
    choice: f64,
}

/// One inflation: from the loss of the pulse to its return.
#[derive(Debug, Clone, Serialize)]
struct Episode {
    lost_s: Option<f64>,
    return_s: Option<f64>,
    cue_s: Option<f64>,
    confidence: Option<f64>,
    #[serde(skip)]
    evidence: Option<HeardEvidence>,
}

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
}

impl Gathered {
    fn new(rate: SampleRate) -> Self {
        let (pulses, episodes, quality) = (Vec::new(), Vec::new(), Vec::new());
        Self { rate, pulses, episodes, lost: None, cue: None, quality }
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
        let e = found.evidence;
        self.episodes.push(Episode {
            lost_s: found.lost.map(|at| self.seconds(at)),
            return_s: Some(self.seconds(found.onset)),
            cue_s: found.cue.map(|cue| self.seconds(cue.at)),
            confidence: Some(round_to(f64::from(found.confidence), 1000.0)),
            evidence: Some(HeardEvidence {
                sound: round_to(f64::from(e.sound), 100.0),
                rhythm: round_to(f64::from(e.rhythm), 100.0),
                first: round_to(f64::from(e.first), 100.0),
                next: round_to(f64::from(e.next), 100.0),
                rival: round_to(f64::from(e.rival), 100.0),
                margin: round_to(f64::from(e.margin), 100.0),
                beats: e.beats,
                choice: round_to(f64::from(e.choice), 1000.0),
            }),
        });
        self.lost = None;
        self.cue = None;
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
}

/// Listens to one file; see [`listen_wav`].
pub(super) fn listen_to(
    path: &Path,
    progress: &ProgressBar,
) -> anyhow::Result<(Heard, Option<String>)> {
    let wav = Wav::open(path).with_context(|| format!("{}", path.display()))?;
    listen_wav(path, wav, progress, |_| {})
}

/// Listens to one sound that is called `path`; `progress` counts its frames, `picture` is shown each
/// column of the sonogram. A sound that ends early is heard as far as it goes, and that is said in the
/// second value.
pub(super) fn listen_wav(
    path: &Path,
    mut wav: Wav,
    progress: &ProgressBar,
    mut picture: impl FnMut(&[u8; ROWS]),
) -> anyhow::Result<(Heard, Option<String>)> {
    let name = path.display();
    progress.set_length(wav.promised_frames());
    let mut listener = Listener::new(wav.rate(), wav.channels());
    let mut gathered = Gathered::new(wav.rate());
    let mut block = Vec::new();
    loop {
        wav.read_block(&mut block).with_context(|| format!("{name}"))?;
        if block.is_empty() {
            break;
        }
        listener.push(&block);
        gathered.take(&mut listener);
        while let Some(column) = listener.poll_column() {
            picture(&column);
        }
        progress.set_position(wav.read_frames());
    }
    listener.finish();
    gathered.take(&mut listener);
    gathered.close();
    gathered.drop_pulses_while_closed();
    let short = (wav.read_frames() < wav.promised_frames()).then(|| {
        let seconds = |frames| SampleIndex(frames).seconds(wav.rate());
        gathered.quality.push("ends early");
        format!(
            "{name} ends early: {:.1} of {:.1} s are there, and those were heard; copy or record it again",
            seconds(wav.read_frames()),
            seconds(wav.promised_frames())
        )
    });
    Ok((heard(path, &wav, listener.heart_rate(), gathered), short))
}

fn heard(path: &Path, wav: &Wav, rate: Option<HeartRate>, gathered: Gathered) -> Heard {
    let several = gathered.episodes.len() > 1;
    let completed = gathered.episodes.iter().find(|e| e.return_s.is_some());
    let Episode { lost_s, return_s, cue_s, confidence, evidence } =
        completed.unwrap_or(&gathered.episodes[0]).clone();
    Heard {
        file: path.display().to_string(),
        duration_s: round_s(SampleIndex(wav.read_frames()).seconds(wav.rate())),
        rate_hz: wav.rate().hz(),
        lost_s,
        return_s,
        cue_s,
        confidence,
        heart_rate_bpm: rate.map(|r| round_to(f64::from(r.bpm), 10.0)),
        rhythm: rate.map(|r| if r.regular { "regular" } else { "irregular" }),
        pulses: gathered.pulses,
        quality: gathered.quality,
        evidence,
        episodes: if several { gathered.episodes } else { Vec::new() },
    }
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    if words.live.live {
        return listen_live::run(&words.live, &words.files, words.json);
    }
    let bars = MultiProgress::new();
    let results: Vec<_> = words
        .files
        .par_iter()
        .map(|path| {
            let bar = match std::io::stderr().is_terminal() {
                true => bars.add(bar(path)),
                false => ProgressBar::hidden(),
            };
            let result = listen_to(path, &bar);
            bar.finish_and_clear();
            result
        })
        .collect();
    let mut failed = false;
    for result in results {
        match result {
            Ok((heard, short)) => {
                if words.json {
                    println!("{}", serde_json::to_string(&heard)?);
                } else {
                    print!("{}", in_words(&heard));
                }
                failed |= short.is_some();
                if let Some(sentence) = short {
                    eprintln!("cuffnote: {sentence}");
                }
            }
            Err(fault) => {
                failed = true;
                eprintln!("cuffnote: {}", super::sentence(&fault));
            }
        }
    }
    Ok(if failed { ExitCode::FAILURE } else { ExitCode::SUCCESS })
}

pub(super) fn bar(path: &Path) -> ProgressBar {
    let style = ProgressStyle::with_template("{prefix:30!} {bar:30} {percent:>3} %");
    let bar = ProgressBar::new(1).with_prefix(path.display().to_string());
    style.map_or(bar.clone(), |style| bar.with_style(style))
}

fn in_words(heard: &Heard) -> String {
    use std::fmt::Write as _;
    let mut text = format!("{}\n", heard.file);
    let at = |s: Option<f64>| s.map_or("not heard".to_owned(), |s| format!("{s:.2} s"));
    let _ = writeln!(text, "  pulse lost      {}", at(heard.lost_s));
    let _ = writeln!(text, "  pulse returned  {}", at(heard.return_s));
    let _ = writeln!(text, "  cue             {}", at(heard.cue_s));
    if let Some(confidence) = heard.confidence {
        let _ = writeln!(text, "  confidence      {:.0} %", confidence * 100.0);
    }
    if let (Some(bpm), Some(rhythm)) = (heard.heart_rate_bpm, heard.rhythm) {
        let _ = writeln!(text, "  pulse           {bpm:.0} a minute, {rhythm}");
    }
    if !heard.quality.is_empty() {
        let _ = writeln!(text, "  hard to hear    {}", heard.quality.join(", "));
    }
    text
}
