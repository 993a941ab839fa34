//! The simulated patient as a whole: the same sound from the same seed, truth that agrees with the sound,
//! recorded hearts, and the verb `make`.

use std::fs;
use std::path::{Path, PathBuf};

use assert_cmd::Command;
use cuffnote::sim::{
    Bedside, Case, Never, Noise, OpeningSound, Path as SoundPath, PumpAgain, Recorded,
    RecordedPressure, Rendered, Rhythm, Script, Squelch, render, scenario,
};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// A case without any noise that could hide the pulse.
fn silent() -> Case {
    Case { noise: Vec::new(), device_snr_db: 100.0, hand_snr_db: 100.0, ..Case::default() }
}

/// FNV-1a over the samples as a 16-bit file holds them.
fn hash(rendered: &Rendered) -> u64 {
    let quantised =
        rendered.samples.iter().map(|x| (x * 32_768.0).round().clamp(-32_768.0, 32_767.0));
    let bytes = quantised.flat_map(|x| (x as i16).to_le_bytes());
    bytes.fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3))
}

fn power(sound: &Rendered, from_s: f64, to_s: f64) -> f64 {
    let at = |s: f64| (s * f64::from(sound.rate_hz)) as usize * sound.channels;
    let part = &sound.samples[at(from_s)..at(to_s).min(sound.samples.len())];
    part.iter().map(|x| f64::from(x * x)).sum::<f64>() / part.len() as f64
}

/// Everything at once: two channels, a talker, a gate, automatic gain are in these three.
fn varied() -> [Case; 3] {
    let room = Case {
        path: SoundPath::Microphone,
        noise: vec![Noise::Babble, Noise::Alarm, Noise::Machine],
        snr_db: 5.0,
        rate_hz: 8_000,
        ..Case::default()
    };
    let device = Case {
        stereo: true,
        rhythm: Rhythm::Fibrillation,
        squelch: Some(Squelch { under_db: 15.0, hang_ms: 80.0 }),
        rate_hz: 44_100,
        ..Case::default()
    };
    [Case::default(), room, device]
}

/// Pinned: a change here means that every seed anywhere now names another sound. It is the same on every
/// machine (see docs/sim.md).
#[test]
fn the_same_seed_is_the_same_sound() {
    let hashes = varied().map(|case| hash(&render(&case, 20_260)));
    assert_eq!(hashes, PINNED, "{hashes:#x?}");
    assert_ne!(hash(&render(&Case::default(), 1)), hash(&render(&Case::default(), 2)));
}

const PINNED: [u64; 3] = [0x3f9b_b966_e18d_5a9e, 0x9136_86c7_85df_c7bf, 0xc715_3830_d8a9_4b95];

#[test]
fn steps_by_hand_make_what_render_makes() {
    for case in varied() {
        let whole = render(&case, 5);
        let mut script = Script::new(&case, 5);
        let mut bedside = Bedside::new(&case, 5, script.ends_s());
        let mut samples = Vec::new();
        while samples.len() < whole.samples.len() {
            let now_s = bedside.now_s();
            samples.extend_from_slice(bedside.step(script.at(now_s)));
        }
        assert_eq!(samples, whole.samples);
        assert_eq!(bedside.finish(), whole.truth);
    }
}

#[test]
fn an_opening_begins_only_when_the_artery_exceeds_the_cuff() {
    for seed in 0..6 {
        let case = Case { rhythm: Rhythm::Premature, ..Case::default() };
        let mut script = Script::new(&case, seed);
        let mut bedside = Bedside::new(&case, seed, 10.0);
        let mut track = Vec::new();
        while bedside.now_s() < script.ends_s() {
            let cuff_mmhg = script.at(bedside.now_s());
            bedside.step(cuff_mmhg);
            track.push((bedside.now_s(), bedside.artery_mmhg(), cuff_mmhg));
        }
        for opening in bedside.finish().openings {
            // The block in which it begins ends with the artery above the cuff, or it was over at once.
            let at = track.partition_point(|(s, _, _)| *s < opening.onset_s);
            let (_, artery_mmhg, cuff_mmhg) = track[at.min(track.len() - 1)];
            let brief = opening.end_s - opening.onset_s < 0.03;
            assert!(artery_mmhg > cuff_mmhg - 0.01 || brief, "{opening:?} {artery_mmhg}");
        }
    }
}

#[test]
fn nothing_sounds_while_the_cuff_is_closed_and_the_pulse_does_before() {
    for seed in 0..5 {
        let sound = render(&silent(), seed);
        let inflation = &sound.truth.inflations[0];
        let (closed_s, first_s) = (inflation.closed_s.unwrap(), inflation.first_opening_s.unwrap());
        let closed = power(&sound, closed_s + 0.3, first_s - 0.05);
        let open = power(&sound, 0.0, 3.0);
        assert!(closed < 1e-6 * open, "{closed} {open}");
        let after = power(&sound, first_s, first_s + 0.25);
        assert!(after > 100.0 * closed, "{after} {closed}");
    }
}

/// Growing openings: the first are fainter than the gate's threshold.
#[test]
fn what_the_gate_mutes_is_not_audible() {
    let case = Case { growth_mmhg: 30.0, snr_db: 35.0, device_snr_db: 45.0, ..Case::default() };
    let squelch = Some(Squelch { under_db: 4.0, hang_ms: 20.0 });
    let gated = Case { squelch, ..case.clone() };
    let (mut muted, mut left) = (0, 0);
    for seed in 0..6 {
        let (all, some) = (render(&case, seed), render(&gated, seed));
        for (open, gated) in all.truth.openings.iter().zip(&some.truth.openings) {
            assert_eq!(open.onset_s, gated.onset_s);
            let power = |sound| power(sound, open.onset_s, open.end_s);
            let kept = power(&some) / power(&all);
            if open.d_prime > 8.0 && gated.d_prime < 4.0 {
                muted += 1;
                // What is left is the room.
                assert!(kept < 0.5, "{open:?} {gated:?} {kept}");
            } else if open.d_prime > 8.0 && kept > 0.9 {
                left += 1;
                assert!(gated.d_prime > 0.8 * open.d_prime, "{open:?} {gated:?}");
            }
        }
        assert!(some.truth.audible_s > all.truth.audible_s);
    }
    assert!(muted > 6 && left > 20, "{muted} {left}");
}

#[test]
fn openings_grow_and_jets_are_loud_at_once() {
    let loudness = |opening: OpeningSound, seed: u64| -> Vec<f64> {
        let case = Case { opening, breathing_mmhg: 0.0, beat_noise_mmhg: 0.0, ..silent() };
        let sound = render(&case, seed);
        let first_s = sound.truth.inflations[0].first_opening_s.unwrap();
        let mut after = sound.truth.openings.iter().filter(|o| o.onset_s >= first_s);
        (0..5)
            .map(|_| after.next().unwrap())
            .map(|o| power(&sound, o.onset_s, o.end_s + 0.02))
            .collect()
    };
    for seed in 0..6 {
        let growing = loudness(OpeningSound::Growing, seed);
        assert!(growing[4] > 2.0 * growing[0], "{growing:?}");
        let jet = loudness(OpeningSound::Jet, seed);
        assert!(jet[1] / jet[4] > growing[0] / growing[4], "{jet:?} {growing:?}");
    }
}

#[test]
fn the_truth_agrees_with_itself() {
    for (name, _) in scenario::names() {
        let scenario = scenario::load(name).unwrap();
        let truth = render(scenario.case(None).unwrap(), 3).truth;
        assert!(truth.openings.windows(2).all(|w| w[0].onset_s < w[1].onset_s), "{name}");
        assert!(truth.openings.iter().all(|o| o.end_s >= o.onset_s && o.d_prime.is_finite()));
        assert_eq!(truth.returns.len(), truth.inflations.len(), "{name}");
        let expected = if name == "two-inflations" { 2 } else { 1 };
        assert_eq!(truth.inflations.len(), expected, "{name}");
        let case = scenario.case(None).unwrap();
        assert_eq!(truth.audible_s.is_some(), case.never.is_none(), "{name}");
        for inflation in &truth.inflations {
            let Some(audible_s) = inflation.audible_s else { continue };
            let heard = truth.openings.iter().find(|o| o.onset_s == audible_s).unwrap();
            assert!(heard.d_prime >= 8.0 && heard.onset_s > inflation.top_s);
            assert!(inflation.first_opening_s.unwrap() <= audible_s);
            assert!(inflation.closed_s.unwrap() < inflation.first_opening_s.unwrap());
            assert!((case.systolic_mmhg - heard.cuff_mmhg).abs() < 20.0, "{name} {heard:?}");
        }
    }
}

#[test]
fn an_artery_that_cannot_be_closed_has_no_closure_and_no_return() {
    let visit = scenario::load("visit-stiff").unwrap();
    let truth = render(visit.case(Some("right-dp")).unwrap(), 2).truth;
    assert!((truth.inflations[0].target_mmhg - 300.0).abs() < 6.0);
    assert_eq!((truth.inflations[0].closed_s, truth.audible_s), (None, None));
    assert!(truth.openings.len() > 20);
}

#[test]
fn nothing_returns_where_nothing_is_to_return() {
    for never in [Never::ProbeMoved, Never::CuffHigh, Never::NoArtery] {
        for seed in 0..8 {
            let truth = render(&Case { never: Some(never), ..Case::default() }, seed).truth;
            assert_eq!(truth.audible_s, None, "{never:?} {seed}");
            assert_eq!(truth.inflations.len(), 1, "{never:?} {seed}");
        }
    }
}

#[test]
fn pumping_again_is_one_inflation_and_its_return_comes_after() {
    let mut case = Case::default();
    case.hand.pump_again = Some(PumpAgain { at_mmhg: 12.0, by_mmhg: 25.0 });
    let truth = render(&case, 4).truth;
    assert_eq!(truth.inflations.len(), 1);
    assert!(truth.audible_s.unwrap() > truth.inflations[0].again_s[0]);
}

#[test]
fn two_channels_tell_forward_from_reverse() {
    let sound = render(&Case { stereo: true, ..silent() }, 2);
    let of = |channel: usize| {
        let samples = sound.samples.iter().skip(channel).step_by(2).take(64_000);
        samples.map(|x| f64::from(x * x)).sum::<f64>()
    };
    assert!(of(0) > 4.0 * of(1) && of(1) > 0.0);
}

fn column(name: &str) -> Vec<f64> {
    let text = fs::read_to_string(root().join("tests/data").join(name)).unwrap();
    text.lines().skip(1).map(|line| line.parse().unwrap()).collect()
}

/// Spread over mean and root mean square of successive differences over mean.
fn irregularity(intervals: &[f64]) -> (f64, f64) {
    let n = intervals.len() as f64;
    let mean = intervals.iter().sum::<f64>() / n;
    let spread = intervals.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / n;
    let steps = intervals.windows(2).map(|w| (w[1] - w[0]).powi(2)).sum::<f64>() / (n - 1.0);
    (spread.sqrt() / mean, steps.sqrt() / mean)
}

/// Against recorded hearts: MIT-BIH AF database 03665 and MIT-BIH arrhythmia database 100, first 300
/// intervals of each excerpt (PhysioNet, ODC-By 1.0; see NOTICE).
#[test]
fn simulated_rhythms_are_as_irregular_as_recorded_ones() {
    let simulated = |rhythm, seed| {
        let mut case = Case { rhythm, heart_rate_bpm: 90.0, ..Case::default() };
        case.hand.tail_s = 90.0;
        let beats = render(&case, seed).truth.beats;
        irregularity(&beats.windows(2).map(|w| w[1] - w[0]).collect::<Vec<_>>())
    };
    let recorded = irregularity(&column("fibrillation_afdb_03665.csv"));
    for seed in 0..6 {
        let (spread, steps) = simulated(Rhythm::Fibrillation, seed);
        assert!((0.6..1.6).contains(&(spread / recorded.0)), "{spread} {recorded:?}");
        assert!((0.6..1.6).contains(&(steps / recorded.1)), "{steps} {recorded:?}");
        let sinus = irregularity(&column("sinus_mitdb_100.csv"));
        let (spread, _) = simulated(Rhythm::Regular, seed);
        assert!(spread < 2.0 * sinus.0 && spread < recorded.0 / 2.0, "{spread} {sinus:?}");
    }
}

#[test]
fn a_recorded_heart_can_drive_the_artery() {
    let intervals = column("fibrillation_afdb_03665.csv");
    let case = Case { intervals_s: Some(intervals.clone().into()), ..Case::default() };
    let truth = render(&case, 1).truth;
    for pair in truth.beats.windows(2).take(20) {
        let interval = pair[1] - pair[0];
        assert!(intervals.iter().any(|known| (known - interval).abs() < 2e-3));
    }
    assert!(truth.audible_s.is_some());
}

/// MIMIC database record 037 by way of wfdb-python (ODC-By 1.0; see NOTICE), rescaled.
#[test]
fn a_recorded_pressure_can_drive_the_artery() {
    let mmhg: std::sync::Arc<[f64]> = column("pressure_mimic_037.csv").into();
    let pressure = Some(RecordedPressure { mmhg, rate_hz: 125.0, from_s: 0.0 });
    let truth = render(&Case { pressure, ..Case::default() }, 1).truth;
    assert!((40.0..160.0).contains(&truth.heart_rate_bpm), "{}", truth.heart_rate_bpm);
    let audible_mmhg = truth.audible_mmhg.unwrap();
    assert!((audible_mmhg - truth.systolic_mmhg).abs() < 15.0, "{audible_mmhg}");
}

#[test]
fn a_recorded_room_is_mixed_in() {
    let samples: Vec<f32> = (0..16_000).map(|i| ((i / 40) % 2) as f32 - 0.5).collect();
    let recorded = vec![Recorded { name: "square".into(), samples: samples.into() }];
    let case = Case { recorded, snr_db: 0.0, ..silent() };
    let sound = render(&case, 1);
    let inflation = &sound.truth.inflations[0];
    let closed = power(&sound, inflation.closed_s.unwrap() + 0.5, inflation.top_s + 1.0);
    assert!(closed > 1e-4, "{closed}");
    assert_eq!(sound.truth.noise, ["square"]);
}

/// The sound is the same everywhere only if no function of the platform's mathematics is called.
#[test]
fn the_simulation_calls_no_platform_mathematics() {
    let names =
        ["sin", "cos", "tan", "exp", "exp2", "ln", "log2", "log10", "powf", "powi", "tanh", "cbrt"];
    for entry in fs::read_dir(root().join("src/sim")).unwrap() {
        let path = entry.unwrap().path();
        let Ok(text) = fs::read_to_string(&path) else { continue };
        for name in names {
            assert!(!text.contains(&format!(".{name}(")), "{} calls .{name}()", path.display());
        }
        assert!(!text.contains("FftPlanner::"), "{} uses the choosing planner", path.display());
    }
}

fn make(words: &[&str]) -> assert_cmd::assert::Assert {
    Command::cargo_bin("cuffnote").unwrap().arg("make").args(words).assert()
}

/// The shipped recordings are exactly what their commands make: bytes and truth.
#[test]
fn the_fixtures_are_made_again_to_the_byte() {
    let folder = tempfile::tempdir().unwrap();
    let fixtures = root().join("audio-fixtures");
    let text = fs::read_to_string(fixtures.join("README.md")).unwrap();
    let mut made = 0;
    for line in text.lines().filter_map(|line| line.trim().strip_prefix("cuffnote make ")) {
        let mut words: Vec<String> = line.split_whitespace().map(str::to_owned).collect();
        let name = words.last().unwrap().rsplit('/').next().unwrap().to_owned();
        let out = folder.path().join(&name);
        *words.last_mut().unwrap() = out.display().to_string();
        make(&words.iter().map(String::as_str).collect::<Vec<_>>()).success();
        for file in [Path::new(&name).to_path_buf(), Path::new(&name).with_extension("json")] {
            let (new, old) = (folder.path().join(&file), fixtures.join(&file));
            assert!(fs::read(new).unwrap() == fs::read(old).unwrap(), "{} differs", file.display());
        }
        made += 1;
    }
    let shipped = fs::read_dir(&fixtures).unwrap().filter_map(Result::ok);
    let sounds = shipped.filter(|e| e.path().extension().is_some_and(|x| x == "wav"));
    assert_eq!(made, sounds.count());
}

#[test]
fn make_lists_names_first_and_makes_any_rate() {
    let listed = make(&["--list"]).success().get_output().stdout.clone();
    let listed = String::from_utf8(listed).unwrap();
    assert!(listed.lines().any(|line| line.split_whitespace().next() == Some("visit")));
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("plain.wav");
    make(&["stereo", "--seed", "3", "--rate", "22050", "--out", out.to_str().unwrap()]).success();
    let wav = hound::WavReader::open(&out).unwrap();
    assert_eq!(
        (wav.spec().sample_rate, wav.spec().channels, wav.spec().bits_per_sample),
        (22_050, 2, 16)
    );
    let truth: serde_json::Value =
        serde_json::from_slice(&fs::read(out.with_extension("json")).unwrap()).unwrap();
    assert_eq!(truth["seed"], 3);
    assert!(truth["audible_s"].is_number() && truth["openings"].is_array());
}

#[test]
fn make_refuses_in_one_sentence_and_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("x.wav");
    let own = folder.path().join("own.toml");
    fs::write(&own, "version = 1\nabout = \"x\"\n[case]\nsystolic = 100\n").unwrap();
    let (out, own) = (out.to_str().unwrap(), own.to_str().unwrap());
    for (words, said) in [
        (vec!["nowhere", "--out", out], "no scenario `nowhere`"),
        (vec!["visit", "--site", "left-toe", "--out", out], "no site `left-toe`"),
        (vec![own, "--out", out], "line 4"),
        (vec!["plain", "--out", "x.mp3"], "ends in .wav"),
    ] {
        let output = make(&words).code(1).get_output().clone();
        let stderr = String::from_utf8(output.stderr).unwrap();
        assert!(stderr.contains(said), "{stderr}");
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    make(&["plain"]).code(2);
    // A number that no sound has is a wrong word.
    let output = make(&["plain", "--rate", "100", "--out", out]).code(2).get_output().clone();
    assert!(String::from_utf8(output.stderr).unwrap().contains("4000..=384000"));
}
