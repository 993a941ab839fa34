//! The trained weights, as they ship: text files of named sections, each followed by its numbers.
//!
//! `tests/train/run` makes them anew from seeds and room sounds.

/// Of the frame scorer.
pub const SCORER: &str = include_str!("weights.txt");
/// Of the judge for the cue.
pub const NEAR_JUDGE: &str = include_str!("near_judge.txt");
/// Of the judge for second hearing.
pub const FAR_JUDGE: &str = include_str!("far_judge.txt");

/// Reads sections in a fixed order.
pub struct Reader<'a> {
    text: &'a str,
}

impl<'a> Reader<'a> {
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

    fn number(&mut self) -> Result<f32, String> {
        let word = self.word().ok_or("ends early")?;
        word.parse().map_err(|_| format!("`{word}` is not a number"))
    }

    fn name(&mut self, expected: &str) -> Result<(), String> {
        let word = self.word().ok_or("ends early")?;
        if word == expected { Ok(()) } else { Err(format!("`{word}` where `{expected}` belongs")) }
    }

    /// The next section, which must have this name, as one row.
    pub fn row<const N: usize>(&mut self, name: &str) -> Result<[f32; N], String> {
        self.name(name)?;
        self.numbers()
    }

    fn numbers<const N: usize>(&mut self) -> Result<[f32; N], String> {
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
    ) -> Result<Vec<[f32; N]>, String> {
        self.name(name)?;
        (0..count).map(|_| self.numbers()).collect()
    }
}
