//! Listen first: a guided hour without a test in it. Steps in order; each has its words and one to three sounds, which can
//! be heard in turn, again, and at half speed.
//!
//! Terms: "multiphasic" where the flow crosses zero, "monophasic" where it does not, and "damped" or "dampened" as a
//! modifier beside them: consensus statement of the Society for Vascular Medicine and the Society for Vascular Ultrasound,
//! Vasc Med 2020;25:484 (from memory; unverified). A damped flow is mostly monophasic: the two words overlap.

use super::made_sound::{CuffWork, MadeSound};
use crate::sim::{Case, FlowKind, Hand, Never, Noise, Rhythm, Slip, free_beat};
use crate::words::id;

/// The cuff stays open this long where the free pulse is heard, seconds.
const FREE_S: f64 = 12.0;
/// Of so many seeds the plainest is taken for each sound: the same hour for everyone.
const SEEDS: u64 = 40;

/// One sound of a step.
#[derive(Debug, Clone, PartialEq)]
pub struct ListenSound {
    /// Its name on the target: a message of the catalogue, as all words here.
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
            title: id!("listen-vein"),
            words: &[id!("listen-vein-1"), id!("listen-vein-2")],
            sounds: vec![
                sound(id!("listen-sound-artery"), id!("listen-about-artery"), multiphasic()),
                sound(id!("listen-sound-vein"), id!("listen-about-vein"), vein),
            ],
        },
        ListenStep {
            title: id!("listen-phases"),
            words: &[id!("listen-phases-1"), id!("listen-phases-2"), id!("listen-phases-3")],
            sounds: vec![
                sound(
                    id!("listen-sound-multiphasic"),
                    id!("listen-about-multiphasic"),
                    multiphasic(),
                ),
                sound(
                    id!("listen-sound-monophasic"),
                    id!("listen-about-monophasic"),
                    quiet(FlowKind::Monophasic),
                ),
            ],
        },
        ListenStep {
            title: id!("listen-damped"),
            words: &[id!("listen-damped-1"), id!("listen-damped-2")],
            sounds: vec![
                sound(
                    id!("listen-sound-monophasic"),
                    id!("listen-about-quick"),
                    quiet(FlowKind::Monophasic),
                ),
                sound(id!("listen-damped"), id!("listen-about-damped"), quiet(FlowKind::Damped)),
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
            title: id!("listen-absent"),
            words: &[id!("listen-absent-1"), id!("listen-absent-2")],
            sounds: vec![
                sound(id!("listen-sound-one"), id!("listen-about-one"), multiphasic()),
                sound(id!("listen-sound-nothing"), id!("listen-about-nothing"), nothing),
            ],
        },
        ListenStep {
            title: id!("listen-rhythm"),
            words: &[id!("listen-rhythm-1"), id!("listen-rhythm-2")],
            sounds: vec![
                sound(id!("listen-sound-regular"), id!("listen-about-regular"), multiphasic()),
                sound(id!("listen-sound-irregular"), id!("listen-about-irregular"), irregular),
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
            title: id!("listen-deflation"),
            words: &[
                id!("listen-deflation-1"),
                id!("listen-deflation-2"),
                id!("listen-deflation-3"),
            ],
            sounds: vec![deflation(
                id!("listen-sound-deflation"),
                id!("listen-about-deflation"),
                plain(),
            )],
        },
        ListenStep {
            title: id!("listen-noise"),
            words: &[id!("listen-noise-1"), id!("listen-noise-2")],
            sounds: vec![
                deflation(id!("listen-sound-quiet"), id!("listen-about-quiet"), plain()),
                deflation(id!("listen-sound-talk"), id!("listen-about-talk"), noisy),
            ],
        },
        ListenStep {
            title: id!("listen-hands"),
            words: &[id!("listen-hands-1"), id!("listen-hands-2"), id!("listen-hands-3")],
            sounds: vec![
                deflation(
                    id!("listen-sound-fast"),
                    id!("listen-about-fast"),
                    hand(Hand { bleed_mmhg_s: 9.0, ..plain().hand }),
                ),
                deflation(
                    id!("listen-sound-little"),
                    id!("listen-about-little"),
                    hand(Hand { target_mmhg: Some(100.0), ..plain().hand }),
                ),
                deflation(
                    id!("listen-sound-moved"),
                    id!("listen-about-moved"),
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
        assert!(goes_back(&named("listen-phases", "listen-sound-multiphasic")));
        assert!(!goes_back(&named("listen-phases", "listen-sound-monophasic")));
        assert!(
            !goes_back(&named("listen-damped", "listen-damped")),
            "and damped is monophasic here"
        );
        let rise = |sound: &ListenSound| {
            let beat = sound.velocity().unwrap();
            let peak = beat.iter().copied().fold(0.0, f64::max);
            beat.iter().position(|v| *v >= 0.9 * peak).unwrap()
        };
        assert!(
            rise(&named("listen-damped", "listen-damped"))
                > 40 + rise(&named("listen-damped", "listen-sound-monophasic"))
        );
        assert!(named("listen-vein", "listen-sound-vein").made().onsets().is_empty());
        assert!(named("listen-absent", "listen-sound-nothing").made().onsets().is_empty());
        assert!(named("listen-absent", "listen-sound-one").made().onsets().len() > 8);
        let beats = named("listen-rhythm", "listen-sound-irregular").made().onsets();
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
        assert!(made("listen-sound-deflation").truth.audible_s.is_some());
        let (quiet, talk) = (made("listen-sound-quiet"), made("listen-sound-talk"));
        assert!(talk.truth.audible_s.unwrap() > quiet.truth.audible_s.unwrap() + 0.5);
        let back_s = made("listen-sound-fast").truth.audible_s.unwrap();
        let fall = made("listen-sound-fast").if_tapped(back_s + 0.1).unwrap().fall_mmhg_s.unwrap();
        assert!(fall > 6.0, "{fall}");
        assert!(made("listen-sound-little").if_tapped(20.0).is_err());
        let moved = made("listen-sound-moved");
        assert!(moved.truth.audible_s.is_none_or(|s| s > quiet.truth.audible_s.unwrap() + 3.0));
    }
}
