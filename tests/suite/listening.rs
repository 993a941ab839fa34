//! The listener as a whole, on simulated sounds: what it finds, that it knows only the past, and that the
//! size of the blocks does not matter.

use cuffnote::signal::{Difficulty, Finding, Listener};
use cuffnote::sim::{self, Rendered};
use cuffnote::units::SampleRate;

fn scenario(name: &str, seed: u64) -> Rendered {
    let scenario = sim::scenario::load(name).unwrap();
    let case = scenario.case(None).unwrap();
    sim::render(case, seed)
}

fn findings(rate: u32, channels: usize, samples: &[f32], block: usize) -> Vec<Finding> {
    let mut listener = Listener::new(SampleRate::new(rate).unwrap(), channels);
    let mut found = Vec::new();
    for piece in samples.chunks(block) {
        listener.push(piece);
        found.extend(std::iter::from_fn(|| listener.poll()));
    }
    listener.finish();
    found.extend(std::iter::from_fn(|| listener.poll()));
    found
}

fn cue_of(found: &[Finding]) -> Option<(u64, u64)> {
    found.iter().find_map(|f| match f {
        Finding::Cue(cue) => Some((cue.at.0, cue.onset.0)),
        _ => None,
    })
}

fn return_of(found: &[Finding], rate: u32) -> Option<f64> {
    found.iter().find_map(|f| match f {
        Finding::Return(r) => Some(r.onset.0 as f64 / f64::from(rate)),
        _ => None,
    })
}

#[test]
fn plain_returns_are_found_at_the_first_audible_pulse() {
    for name in ["plain", "weak", "damped", "monophasic", "jet"] {
        let made = scenario(name, 4);
        let found = findings(made.rate_hz, made.channels, &made.samples, 4096);
        let at = return_of(&found, made.rate_hz).unwrap_or_else(|| panic!("{name}: nothing found"));
        let audible = made.truth.audible_s.unwrap();
        let beat = 60.0 / made.truth.heart_rate_bpm;
        assert!(at > audible - beat && at < audible + 1.2 * beat, "{name}: {at} for {audible}");
    }
}

#[test]
fn nothing_is_found_where_nothing_returns() {
    for name in ["never-returns", "cuff-high", "no-artery"] {
        let made = scenario(name, 5);
        let found = findings(made.rate_hz, made.channels, &made.samples, 4096);
        assert_eq!(return_of(&found, made.rate_hz), None, "{name}");
    }
    for level in [0.0, 0.01] {
        let still: Vec<f32> =
            (0..16_000 * 20).map(|n| if n % 2 == 0 { level } else { -level }).collect();
        assert_eq!(return_of(&findings(16_000, 1, &still, 999), 16_000), None);
    }
}

#[test]
fn blocks_of_any_size_give_the_same_findings() {
    let made = scenario("plain", 6);
    let whole = findings(made.rate_hz, made.channels, &made.samples, made.samples.len());
    assert!(!whole.is_empty());
    for block in [1, 64, 1000] {
        assert_eq!(findings(made.rate_hz, made.channels, &made.samples, block), whole, "{block}");
    }
}

#[test]
fn the_cue_knows_only_the_past() {
    for (name, seed) in [("plain", 7), ("weak", 8), ("noisy", 9), ("irregular", 10)] {
        let made = scenario(name, seed);
        let whole = findings(made.rate_hz, made.channels, &made.samples, 4096);
        let Some(cue) = cue_of(&whole) else { continue };
        let cut = cue.0 as usize * made.channels;
        let short = findings(made.rate_hz, made.channels, &made.samples[..cut], 4096);
        assert_eq!(cue_of(&short), Some(cue), "{name}");
        let shorter =
            findings(made.rate_hz, made.channels, &made.samples[..cut - made.channels], 4096);
        assert_eq!(cue_of(&shorter), None, "{name}: one sample less");
    }
}

/// Beat intervals recorded from people (PhysioNet, see NOTICE) drive the simulated pulse; the rate that
/// the listener hears must be theirs.
#[test]
fn heart_rates_agree_with_recorded_beat_series() {
    for (name, file, regular) in [
        ("plain", include_str!("../data/sinus_mitdb_100.csv"), true),
        ("plain", include_str!("../data/fibrillation_afdb_03665.csv"), false),
    ] {
        let intervals: Vec<f64> =
            file.lines().filter_map(|l| l.split(',').next()?.parse().ok()).collect();
        assert!(intervals.len() > 100, "the file's layout changed");
        let mut case = sim::scenario::load(name).unwrap().case(None).unwrap().clone();
        case.hand.baseline_s = 30.0;
        case.intervals_s = Some(intervals.into());
        let made = sim::render(&case, 3);
        let mut listener = Listener::new(SampleRate::new(made.rate_hz).unwrap(), made.channels);
        // The free pulse only: the rate is that of the last 8 s heard.
        let free = &made.samples[..28 * made.rate_hz as usize * made.channels];
        listener.push(free);
        let rate = listener.heart_rate().expect("a rate");
        let recent: Vec<f64> =
            made.truth.beats.iter().copied().filter(|b| (19.0..28.0).contains(b)).collect();
        let truth = 60.0 * (recent.len() - 1) as f64 / (recent[recent.len() - 1] - recent[0]);
        if regular {
            assert!((f64::from(rate.bpm) - truth).abs() < 3.0, "{} for {truth}", rate.bpm);
        }
        assert_eq!(rate.regular, regular, "{} bpm for {truth}", rate.bpm);
    }
}

fn troubles(samples: &[f32], rate: u32) -> Vec<Difficulty> {
    findings(rate, 1, samples, 1000)
        .iter()
        .filter_map(|f| match f {
            Finding::Quality(q) if q.present => Some(q.trouble),
            _ => None,
        })
        .collect()
}

#[test]
fn what_makes_hearing_hard_is_named() {
    let made = scenario("plain", 12);
    assert_eq!(troubles(&made.samples, made.rate_hz), []);
    let changed = |change: &dyn Fn(usize, f32) -> f32| -> Vec<f32> {
        made.samples.iter().enumerate().map(|(n, &x)| change(n, x)).collect()
    };
    let loud = changed(&|_, x| (40.0 * x).clamp(-1.0, 1.0));
    assert!(troubles(&loud, made.rate_hz).contains(&Difficulty::Clipped));
    let quiet = changed(&|_, x| 1e-5 * x);
    assert!(troubles(&quiet, made.rate_hz).contains(&Difficulty::TooQuiet));
    let hum = changed(&|n, x| x + 0.1 * (std::f32::consts::TAU * 50.0 * n as f32 / 16_000.0).sin());
    assert!(troubles(&hum, made.rate_hz).contains(&Difficulty::Hum));
    let broken = changed(&|n, x| if n % 5000 == 0 { f32::NAN } else { x });
    assert!(troubles(&broken, made.rate_hz).contains(&Difficulty::Broken));
    let mut moved = sim::scenario::load("plain").unwrap().case(None).unwrap().clone();
    (moved.snr_db, moved.device_snr_db) = (40.0, 45.0);
    let closed = made.truth.inflations[0].closed_s.unwrap() + 1.0;
    moved.slip = Some(sim::Slip { at_s: closed, for_s: 1e6, loss_db: 26.0 });
    let moved = sim::render(&moved, 12);
    assert!(troubles(&moved.samples, moved.rate_hz).contains(&Difficulty::ProbeMoved));
    let none = scenario("no-artery", 12);
    assert!(troubles(&none.samples, none.rate_hz).contains(&Difficulty::NoPulseYet));
}

/// Second hearing looks 2.8 s ahead; a sound that ends sooner is still decided by what there is.
#[test]
fn a_sound_that_ends_after_three_pulses_has_its_return() {
    for seed in [4, 15, 16] {
        let made = scenario("plain", seed);
        let audible = made.truth.audible_s.unwrap();
        let beat = 60.0 / made.truth.heart_rate_bpm;
        let cut = ((audible + 3.6 * beat) * f64::from(made.rate_hz)) as usize * made.channels;
        let found = findings(made.rate_hz, made.channels, &made.samples[..cut], 4096);
        let at = return_of(&found, made.rate_hz).unwrap_or_else(|| panic!("{seed}: nothing found"));
        assert!((at - audible).abs() < 1.2 * beat, "{seed}: {at} for {audible}");
        let Some(Finding::Return(found)) = found.iter().find(|f| matches!(f, Finding::Return(_)))
        else {
            unreachable!("it was found above")
        };
        assert!((0.0..=1.0).contains(&found.evidence.share()));
        assert!(found.confidence > 0.5, "{seed}: {}", found.confidence);
    }
}

/// Sounds of a beat's later phases are no beats: each shipped recording is told with the rhythm and rate of its truth.
#[test]
fn the_rhythm_of_each_shipped_recording_is_told() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("audio-fixtures");
    let mut seen = 0;
    for path in std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
        if path.extension().is_none_or(|ending| ending != "wav") {
            continue;
        }
        let truth = std::fs::read(path.with_extension("json")).unwrap();
        let truth: serde_json::Value = serde_json::from_slice(&truth).unwrap();
        let mut file = hound::WavReader::open(&path).unwrap();
        let samples: Vec<f32> =
            file.samples::<i16>().map(|s| f32::from(s.unwrap()) / 32_768.0).collect();
        let spec = file.spec();
        let mut listener =
            Listener::new(SampleRate::new(spec.sample_rate).unwrap(), usize::from(spec.channels));
        listener.push(&samples);
        listener.finish();
        let rate = listener.heart_rate().unwrap();
        let (bpm, regular) =
            (truth["heart_rate_bpm"].as_f64().unwrap(), truth["rhythm"] == "regular");
        assert_eq!(rate.regular, regular, "{}", path.display());
        assert!((f64::from(rate.bpm) - bpm).abs() < 5.0, "{}: {rate:?}", path.display());
        seen += 1;
    }
    assert_eq!(seen, 10);
}
