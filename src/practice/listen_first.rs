//! Listen first: a guided hour without a test in it. Steps in order; each has its words and one to three sounds, which can
//! be heard in turn, again, and at half speed.
//!
//! Terms: "multiphasic" where the flow crosses zero, "monophasic" where it does not, and "damped" or "dampened" as a
//! modifier beside them: consensus statement of the Society for Vascular Medicine and the Society for Vascular Ultrasound,
//! Vasc Med 2020;25:484 (from memory; unverified). A damped flow is mostly monophasic: the two words overlap.

use super::made_sound::{CuffWork, MadeSound};
use crate::sim::{Case, FlowKind, Hand, Never, Noise, Rhythm, Slip, free_beat};

/// The cuff stays open this long where the free pulse is heard, seconds.
const FREE_S: f64 = 12.0;
/// Of so many seeds the plainest is taken for each sound: the same hour for everyone.
const SEEDS: u64 = 40;

/// One sound of a step.
#[derive(Debug, Clone, PartialEq)]
pub struct ListenSound {
    /// Its name on the target.
    pub name: &'static str,
    /// What to listen for.
    pub about: &'static str,
    case: Case,
    work: CuffWork,
}

impl ListenSound {
    /// Makes it.
    pub fn made(&self) -> MadeSound {
        MadeSound::of(&self.case, plainest(&self.case), self.work)
    }

    /// The velocity over one beat, cm/s, a value a millisecond; none where no artery flows freely.
    pub fn velocity(&self) -> Option<Vec<f64>> {
        let flows = self.case.artery != FlowKind::Absent && self.case.never.is_none();
        (flows && self.work != CuffWork::ByScript)
            .then(|| free_beat(&self.case, plainest(&self.case)))
    }
}

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct ListenStep {
    /// Its title.
    pub title: &'static str,
    /// What is to be known.
    pub words: &'static [&'static str],
    /// What is to be heard.
    pub sounds: Vec<ListenSound>,
}

/// The seed whose beat shows most plainly what its artery is: how far the flow goes back, how little of it is left late in
/// the beat, how slowly it rises.
fn plainest(case: &Case) -> u64 {
    let plain = |seed: u64| {
        let beat = free_beat(case, seed);
        let peak = beat.iter().copied().fold(1.0, f64::max);
        let back = -beat.iter().copied().fold(0.0, f64::min) / peak;
        let late = beat[beat.len() * 3 / 4..].iter().copied().fold(0.0, f64::max) / peak;
        let rise = beat.iter().position(|v| *v >= 0.9 * peak).unwrap_or(0) as f64 / 1000.0;
        match case.artery {
            FlowKind::Multiphasic => back - late,
            FlowKind::Monophasic => -late - rise,
            FlowKind::Damped => rise - late,
            FlowKind::Absent => 0.0,
        }
    };
    (0..SEEDS).max_by(|a, b| plain(*a).total_cmp(&plain(*b))).unwrap_or(0)
}

fn quiet(artery: FlowKind) -> Case {
    let hand = Hand { bleed_mmhg_s: 2.5, baseline_s: 4.0, wobble: 0.1, ..Hand::default() };
    let (systolic_mmhg, diastolic_mmhg) = (120.0, 72.0);
    let breathing_mmhg = 1.0;
    Case {
        artery,
        systolic_mmhg,
        diastolic_mmhg,
        breathing_mmhg,
        snr_db: 24.0,
        hand,
        ..Case::default()
    }
}

fn sound(name: &'static str, about: &'static str, case: Case) -> ListenSound {
    ListenSound { name, about, case, work: CuffWork::Open(FREE_S) }
}

fn deflation(name: &'static str, about: &'static str, case: Case) -> ListenSound {
    ListenSound { name, about, case, work: CuffWork::ByScript }
}

/// All steps, in order.
pub fn steps() -> Vec<ListenStep> {
    let mut all = flows();
    all.extend(absence_and_rhythm());
    all.extend(deflations());
    all
}

fn flows() -> Vec<ListenStep> {
    let multiphasic = || quiet(FlowKind::Multiphasic);
    let vein = Case { venous_db: Some(0.0), never: Some(Never::NoArtery), ..multiphasic() };
    vec![
        ListenStep {
            title: "An artery and a vein",
            words: &[
                "The probe turns moving blood into sound: the faster, the higher.",
                "An artery beats. A vein blows on, and swells and fades as the patient breathes.",
            ],
            sounds: vec![
                sound(
                    "Artery",
                    "A beat about once a second, always in the same rhythm.",
                    multiphasic(),
                ),
                sound("Vein", "A low wind without a beat.", vein),
            ],
        },
        ListenStep {
            title: "Multiphasic and monophasic",
            words: &[
                "Multiphasic: after each beat the flow goes back for a moment. You hear two or three parts a beat.",
                "Monophasic: the flow goes forward only. You hear one part a beat.",
                "In the curve below, multiphasic flow falls under the line of zero; monophasic flow does not.",
            ],
            sounds: vec![
                sound(
                    "Multiphasic",
                    "Two or three parts in each beat: one high, one or two low and short.",
                    multiphasic(),
                ),
                sound("Monophasic", "One part in each beat.", quiet(FlowKind::Monophasic)),
            ],
        },
        ListenStep {
            title: "Damped",
            words: &[
                "Damped: the sound rises slowly and sinks slowly. It says how the beat rises, not how many parts it has.",
                "So the words overlap: a damped flow is mostly monophasic as well. You are asked about each by itself.",
            ],
            sounds: vec![
                sound("Monophasic", "One part, with a quick rise.", quiet(FlowKind::Monophasic)),
                sound(
                    "Damped",
                    "One part that swells: slow up, slow down.",
                    quiet(FlowKind::Damped),
                ),
            ],
        },
    ]
}

fn absence_and_rhythm() -> Vec<ListenStep> {
    let multiphasic = || quiet(FlowKind::Multiphasic);
    let nothing = Case { never: Some(Never::NoArtery), ..multiphasic() };
    let irregular = Case { rhythm: Rhythm::Fibrillation, ..multiphasic() };
    vec![
        ListenStep {
            title: "Nothing to hear",
            words: &[
                "Absent: no artery is heard, only the hiss of the device.",
                "First move the probe, use more gel, and look along the course of the artery. Only then is it absent.",
            ],
            sounds: vec![
                sound("An artery", "A beat over the hiss.", multiphasic()),
                sound("Nothing", "The hiss alone.", nothing),
            ],
        },
        ListenStep {
            title: "Regular and irregular",
            words: &[
                "Regular: you can nod along, and know when the next pulse is due.",
                "Irregular: you cannot. Let the cuff down more slowly then, and take several readings (BIHS 2019: three or more, averaged).",
            ],
            sounds: vec![
                sound("Regular", "Nod along.", multiphasic()),
                sound(
                    "Irregular",
                    "Try to nod along: no pulse tells when the next one comes.",
                    irregular,
                ),
            ],
        },
    ]
}

fn deflations() -> Vec<ListenStep> {
    let plain = || quiet(FlowKind::Multiphasic);
    let hand = |hand: Hand| Case { hand, ..plain() };
    let noisy = Case { noise: vec![Noise::Babble, Noise::Speech], snr_db: -4.0, ..plain() };
    let slip = Slip { at_s: 19.0, for_s: 200.0, loss_db: 40.0 };
    vec![
        ListenStep {
            title: "A whole deflation",
            words: &[
                "The cuff closes the artery, and lets it open again. The pressure at the first pulse that comes back is the reading.",
                "Follow the words, the picture and the needle. Then hear it again with your eyes closed.",
                "Two beats later the needle has fallen on: with Left and Right you go from beat to beat and see what a tap there reads.",
            ],
            sounds: vec![deflation(
                "The deflation",
                "Wait for the first of two pulses in rhythm.",
                plain(),
            )],
        },
        ListenStep {
            title: "Noise that hides it",
            words: &[
                "The first pulse is short and faint. People who talk hide it, and the reading becomes too low.",
                "Ask for quiet before you let the cuff down.",
            ],
            sounds: vec![
                deflation("Quiet", "The first pulse stands alone.", plain()),
                deflation("People talk", "The first pulses hide behind the voices.", noisy),
            ],
        },
        ListenStep {
            title: "Hands",
            words: &[
                "Too fast: the needle falls far from beat to beat, and the reading is low before you can hear it.",
                "Too little inflated: the sound never goes, so no first pulse can come back.",
                "The probe moves: the sound is lost for another reason than the cuff, and its return says nothing.",
            ],
            sounds: vec![
                deflation(
                    "Too fast",
                    "Ten mmHg from one beat to the next.",
                    hand(Hand { bleed_mmhg_s: 9.0, ..plain().hand }),
                ),
                deflation(
                    "Too little",
                    "The beats go on while the cuff is tight.",
                    hand(Hand { target_mmhg: Some(100.0), ..plain().hand }),
                ),
                deflation(
                    "The probe moved",
                    "A rub, and then nothing at all.",
                    Case { slip: Some(slip), ..plain() },
                ),
            ],
        },
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sound_is_what_its_step_says_it_is() {
        let steps = steps();
        let named = |step: &str, sound: &str| {
            let step = steps.iter().find(|s| s.title == step).unwrap();
            step.sounds.iter().find(|s| s.name == sound).unwrap().clone()
        };
        let goes_back =
            |sound: &ListenSound| sound.velocity().unwrap().iter().any(|cm_s| *cm_s < -2.0);
        assert!(goes_back(&named("Multiphasic and monophasic", "Multiphasic")));
        assert!(!goes_back(&named("Multiphasic and monophasic", "Monophasic")));
        assert!(!goes_back(&named("Damped", "Damped")), "and damped is monophasic here");
        let rise = |sound: &ListenSound| {
            let beat = sound.velocity().unwrap();
            let peak = beat.iter().copied().fold(0.0, f64::max);
            beat.iter().position(|v| *v >= 0.9 * peak).unwrap()
        };
        assert!(rise(&named("Damped", "Damped")) > 40 + rise(&named("Damped", "Monophasic")));
        assert!(named("An artery and a vein", "Vein").made().onsets().is_empty());
        assert!(named("Nothing to hear", "Nothing").made().onsets().is_empty());
        assert!(named("Nothing to hear", "An artery").made().onsets().len() > 8);
        let beats = named("Regular and irregular", "Irregular").made().onsets();
        let gaps: Vec<f64> = beats.windows(2).map(|w| w[1] - w[0]).collect();
        let mean = gaps.iter().sum::<f64>() / gaps.len() as f64;
        assert!(gaps.iter().any(|g| (g - mean).abs() > 0.25 * mean), "{gaps:?}");
    }

    #[test]
    fn the_deflations_show_what_they_are_for() {
        let steps = steps();
        let made = |sound: &str| {
            let found = steps.iter().flat_map(|s| &s.sounds).find(|s| s.name == sound);
            found.unwrap().made()
        };
        assert!(made("The deflation").truth.audible_s.is_some());
        let (quiet, talk) = (made("Quiet"), made("People talk"));
        assert!(talk.truth.audible_s.unwrap() > quiet.truth.audible_s.unwrap() + 0.5);
        let back_s = made("Too fast").truth.audible_s.unwrap();
        let fall = made("Too fast").if_tapped(back_s + 0.1).unwrap().fall_mmhg_s.unwrap();
        assert!(fall > 6.0, "{fall}");
        assert!(made("Too little").if_tapped(20.0).is_err());
        let moved = made("The probe moved");
        assert!(moved.truth.audible_s.is_none_or(|s| s > quiet.truth.audible_s.unwrap() + 3.0));
    }
}
