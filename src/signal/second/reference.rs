//! What NumPy and PyTorch see and say of one sound with the shipped weights (`tests/train/reference.py`), for tests.

use super::super::causal::levels::FrameLevels;
use super::super::spectrum::Spectrum;
use super::spectra::SpectraRing;

/// The sound: noise with beats that stop and come back, 12 s at the working rate, of whole-number arithmetic.
pub fn reference_sound() -> Vec<f32> {
    let sample = |n: i64| {
        let noise = ((n * 7919 + n * n % 1009 * 31) % 2001 - 1000) as f64 / 2000.0;
        let t = n as f64 / 8000.0;
        let beats = t % 0.8 < 0.15 && !(4.0..=8.0).contains(&t);
        let tone = (std::f64::consts::TAU * 700.0 * t).sin();
        (0.02 * noise + if beats { 0.4 * noise * tone } else { 0.0 }) as f32
    };
    (0..8_000 * 12).map(sample).collect()
}

/// Gives each frame of a sound as the causal networks get it, as the listener does.
pub fn frames(sound: &[f32], mut each: impl FnMut(FrameLevels)) {
    let (mut spectra, mut spectrum) = (SpectraRing::new(), Spectrum::default());
    for &x in sound {
        let whole = spectrum.push(x).is_some();
        if spectra.push(x, whole.then(|| spectrum.powers())) {
            let (bands, fine) = spectra.newest();
            each(FrameLevels::of(bands, fine));
        }
    }
}

/// The numbers of one file.
pub struct Reference {
    /// Frames, and what is seen of some of their bands.
    pub features: Vec<(usize, Vec<f32>)>,
    rest: Vec<(String, Vec<f32>)>,
}

impl Reference {
    /// From a file: a name and numbers in each line.
    pub fn read(text: &str) -> Self {
        let mut read = Self { features: Vec::new(), rest: Vec::new() };
        for line in text.lines() {
            let (name, rest) = line.split_once(' ').unwrap();
            let mut numbers = rest.split(' ').map(|word| word.parse::<f32>().unwrap());
            if name == "features" {
                let frame = numbers.next().unwrap() as usize;
                read.features.push((frame, numbers.collect()));
            } else {
                read.rest.push((name.to_owned(), numbers.collect()));
            }
        }
        read
    }

    /// The numbers of this name.
    pub fn of(&self, name: &str) -> &[f32] {
        &self.rest.iter().find(|(of, _)| of == name).expect("a line of this name").1
    }

    /// Of a row as the networks see it, the bands that the file has.
    pub fn some_of(row: &[f32]) -> Vec<f32> {
        let of = |kind: usize| (0..60).step_by(11).map(move |band| row[8 + 4 * band + kind]);
        (0..4).flat_map(of).collect()
    }

    /// Fails where ours is not theirs, to 1e-3.
    pub fn close(&self, name: &str, ours: &[f32], theirs: &[f32]) {
        assert_eq!(ours.len(), theirs.len(), "{name}");
        for (n, (a, b)) in ours.iter().zip(theirs).enumerate() {
            assert!((a - b).abs() < 1e-3, "{name} {n}: {a} for {b}");
        }
    }
}
