//! The trained weights, as they ship: text files of named sections, each followed by its numbers.
//!
//! `tests/train/run` makes them anew from seeds and room sounds.

/// Of the frame scorer.
pub const SCORER: &str = include_str!("weights.txt");
/// Of the judge for the cue.
pub const NEAR_JUDGE: &str = include_str!("near_judge.txt");
/// Of the judge for pulses and their loss.
pub const FAR_JUDGE: &str = include_str!("far_judge.txt");
/// Of the judge for second hearing.
pub const LATE_JUDGE: &str = include_str!("late_judge.txt");
/// Of the choice of the first beat.
pub const FIRST_BEAT: &str = include_str!("first_beat.txt");
/// Of the last word on a cue.
pub const CUE_JUDGE: &str = include_str!("cue_judge.txt");
/// Of the confidence in a return.
pub const CONFIDENCE: &str = include_str!("confidence.txt");

/// Width of a small network's hidden layer.
const HIDDEN: usize = 32;

/// A small network over `N` traits: each centred and scaled, one hidden layer, one number out.
#[derive(Debug)]
pub struct Net<const N: usize> {
    centre: [f32; N],
    scale: [f32; N],
    entry: Vec<[f32; HIDDEN]>,
    entry_bias: [f32; HIDDEN],
    head: [f32; HIDDEN],
    head_bias: f32,
}

impl<const N: usize> Net<N> {
    /// A network with these weights; everything is allocated here.
    ///
    /// # Panics
    /// Where the shipped weights are broken, which a test excludes.
    pub fn new(weights: &str) -> Self {
        match Self::parse(weights) {
            Ok(net) => net,
            Err(fault) => panic!("the weights compiled into this program are broken: {fault}"),
        }
    }

    fn parse(text: &str) -> Result<Self, BrokenWeights> {
        let mut reader = WeightsReader::new(text);
        Ok(Self {
            centre: reader.row("centre")?,
            scale: reader.row("scale")?,
            entry: reader.rows("entry", N)?,
            entry_bias: reader.row("entry_bias")?,
            head: reader.row("head")?,
            head_bias: reader.row::<1>("head_bias")?[0],
        })
    }

    /// What it makes of these traits.
    pub fn run(&self, traits: &[f32; N]) -> f32 {
        let mut hidden = self.entry_bias;
        for (i, row) in self.entry.iter().enumerate() {
            let value = ((traits[i] - self.centre[i]) * self.scale[i]).clamp(-4.0, 4.0);
            for lane in 0..HIDDEN {
                hidden[lane] += value * row[lane];
            }
        }
        hidden.iter().zip(&self.head).map(|(h, w)| h.max(0.0) * w).sum::<f32>() + self.head_bias
    }
}

/// What is wrong with a text of weights.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BrokenWeights {
    /// Numbers are missing at its end.
    #[error("ends early")]
    EndsEarly,
    /// A word stands where a number belongs.
    #[error("`{0}` is not a number")]
    NoNumber(String),
    /// Another section stands there.
    #[error("`{found}` where `{expected}` belongs")]
    Other {
        /// What stands there.
        found: String,
        /// What belongs there.
        expected: String,
    },
}

/// Reads sections in a fixed order.
pub struct WeightsReader<'a> {
    text: &'a str,
}

impl<'a> WeightsReader<'a> {
    /// A reader at the beginning of a text.
    pub fn new(text: &'a str) -> Self {
        Self { text }
    }

    fn word(&mut self) -> Option<&str> {
        let trimmed = self.text.trim_start();
        if trimmed.is_empty() {
            return None;
        }
        let end = trimmed.find(char::is_whitespace).unwrap_or(trimmed.len());
        let (word, rest) = trimmed.split_at(end);
        self.text = rest;
        Some(word)
    }

    fn number(&mut self) -> Result<f32, BrokenWeights> {
        let word = self.word().ok_or(BrokenWeights::EndsEarly)?;
        word.parse().map_err(|_| BrokenWeights::NoNumber(word.to_owned()))
    }

    fn name(&mut self, expected: &str) -> Result<(), BrokenWeights> {
        let word = self.word().ok_or(BrokenWeights::EndsEarly)?;
        let other =
            || BrokenWeights::Other { found: word.to_owned(), expected: expected.to_owned() };
        if word == expected { Ok(()) } else { Err(other()) }
    }

    /// The next section, which must have this name, as one row.
    pub fn row<const N: usize>(&mut self, name: &str) -> Result<[f32; N], BrokenWeights> {
        self.name(name)?;
        self.numbers()
    }

    fn numbers<const N: usize>(&mut self) -> Result<[f32; N], BrokenWeights> {
        let mut row = [0.0; N];
        for value in &mut row {
            *value = self.number()?;
        }
        Ok(row)
    }

    /// The next section, which must have this name, as so many rows.
    pub fn rows<const N: usize>(
        &mut self,
        name: &str,
        count: usize,
    ) -> Result<Vec<[f32; N]>, BrokenWeights> {
        self.name(name)?;
        (0..count).map(|_| self.numbers()).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::super::choice::{CONFIDENCE_TRAITS, CUE_TRAITS, START_TRAITS};
    use super::super::judge::TRAITS;
    use super::*;

    #[test]
    fn the_shipped_weights_are_whole() {
        for judge in [NEAR_JUDGE, FAR_JUDGE, LATE_JUDGE] {
            Net::<TRAITS>::parse(judge).unwrap();
        }
        Net::<START_TRAITS>::parse(FIRST_BEAT).unwrap();
        Net::<CUE_TRAITS>::parse(CUE_JUDGE).unwrap();
        Net::<CONFIDENCE_TRAITS>::parse(CONFIDENCE).unwrap();
        assert!(Net::<3>::parse("centre 1 2 x").is_err());
        assert!(Net::<TRAITS>::parse(CUE_JUDGE).is_err(), "another network's weights are refused");
    }
}
