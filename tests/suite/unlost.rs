//! Nothing returns where nothing was lost, and nothing has a rhythm where nothing beats: over hundreds of seeded sounds.

use std::sync::atomic::{AtomicUsize, Ordering};

use cuffnote::signal::{Finding, HeartRate, Listener};
use cuffnote::trial::unlost::{RATE_HZ, never_closed, without_an_artery};
use cuffnote::units::SampleRate;
use rayon::prelude::*;

const SOUNDS: u64 = 200;

/// What was told of one sound.
struct Told {
    cues: usize,
    returns: usize,
    rate: Option<HeartRate>,
}

fn told(rate_hz: u32, channels: usize, samples: &[f32]) -> Told {
    let mut listener = Listener::new(SampleRate::new(rate_hz).unwrap(), channels);
    let (mut cues, mut returns) = (0, 0);
    let mut take = |listener: &mut Listener| {
        while let Some(finding) = listener.poll() {
            cues += usize::from(matches!(finding, Finding::Cue(_)));
            returns += usize::from(matches!(finding, Finding::Return(_)));
        }
    };
    for block in samples.chunks(8_192) {
        listener.push(block);
        take(&mut listener);
    }
    listener.finish();
    take(&mut listener);
    Told { cues, returns, rate: listener.heart_rate() }
}

/// How many sounds had cues, returns, rates.
fn counted(sound: fn(u64) -> Vec<f32>) -> [usize; 3] {
    let counts: [AtomicUsize; 3] = Default::default();
    (0..SOUNDS).into_par_iter().for_each(|seed| {
        let told = told(RATE_HZ, 1, &sound(seed));
        let seen = [told.cues > 0, told.returns > 0, told.rate.is_some()];
        for (count, seen) in counts.iter().zip(seen) {
            count.fetch_add(usize::from(seen), Ordering::Relaxed);
        }
        if seen[0] || seen[1] {
            println!("{seed}: {} cues, {} returns", told.cues, told.returns);
        }
    });
    counts.map(AtomicUsize::into_inner)
}

#[test]
fn without_an_artery_there_is_no_rate_no_rhythm_and_no_return() {
    let [cues, returns, rates] = counted(without_an_artery);
    println!("cues {cues}, returns {returns}, rates {rates} of {SOUNDS}");
    assert_eq!((returns, rates), (0, 0));
}

#[test]
fn where_nothing_was_lost_nothing_returns() {
    let [cues, returns, rates] = counted(|seed| never_closed(seed, false));
    println!("cues {cues}, returns {returns}, rates {rates} of {SOUNDS}");
    assert_eq!(returns, 0);
    assert!(rates > 150, "{rates}: the pulse is there");
}
