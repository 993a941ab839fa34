//! Words that were asked for against words that were said: how often each sound was taken for which.

use std::collections::BTreeMap;

use super::cases::{CaseKind, answer_said};
use super::session::Done;
use crate::words::{Words, say};

/// The normal quantile of a 95 % interval.
const Z: f64 = 1.959_964;

/// A share with its interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// How many were right.
    pub right: usize,
    /// Of how many.
    pub of: usize,
    /// The lower end of its 95 % interval, 0 to 1.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

/// The share of `right` in `of`, with the score interval: Wilson, J Am Stat Assoc 1927;22:209, equation by its
/// definition (from memory; the test solves it).
pub fn share(right: usize, of: usize) -> Option<Share> {
    let n = (of > 0).then_some(of as f64)?;
    let p = right as f64 / n;
    let (whole, z2) = (1.0 + Z * Z / n, Z * Z);
    let middle = (p + z2 / (2.0 * n)) / whole;
    let half = Z * (p * (1.0 - p) / n + z2 / (4.0 * n * n)).sqrt() / whole;
    Some(Share { right, of, low: (middle - half).max(0.0), high: (middle + half).min(1.0) })
}

/// How often each right word was answered with which.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Confusion {
    counts: BTreeMap<(String, String), usize>,
}

impl Confusion {
    /// Of the drills of one kind.
    pub fn of<'a>(kind: CaseKind, drills: impl IntoIterator<Item = &'a Done>) -> Self {
        let mut counts = BTreeMap::new();
        for done in drills.into_iter().filter(|done| done.kind == kind) {
            if let (Some(right), Some(said)) = (&done.right, &done.answer) {
                *counts.entry((right.clone(), said.clone())).or_default() += 1;
            }
        }
        Self { counts }
    }

    /// Whether nothing was answered.
    pub fn is_empty(&self) -> bool {
        self.counts.is_empty()
    }

    /// How often this word was right, and that word said.
    pub fn count(&self, right: &str, said: &str) -> usize {
        self.counts.get(&(right.to_owned(), said.to_owned())).copied().unwrap_or(0)
    }

    /// All words that were right or said, in their own order.
    pub fn words(&self) -> Vec<&str> {
        let all = self.counts.keys().flat_map(|(right, said)| [right.as_str(), said.as_str()]);
        let mut all: Vec<&str> = all.collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    /// The share answered rightly.
    pub fn share(&self) -> Option<Share> {
        let right = self.counts.iter().filter(|((right, said), _)| right == said);
        share(right.map(|(_, n)| n).sum(), self.counts.values().sum())
    }

    /// A sentence for each right word, and the share.
    pub fn sentences(&self, words: Words) -> Vec<String> {
        let kept = self.words();
        let called = |right: &str, said: &str| {
            let word = answer_said(words, said);
            say!(words, "practice-called-as", word = word, count = self.count(right, said))
        };
        let row = |right: &&str| {
            let said = kept.iter().filter(|said| self.count(right, said) > 0);
            let said: Vec<String> = said.map(|said| called(right, said)).collect();
            let right = answer_said(words, right);
            let sentence = || say!(words, "practice-called", right = right, said = said.join(", "));
            (!said.is_empty()).then(sentence)
        };
        let mut all: Vec<String> = kept.iter().filter_map(row).collect();
        all.extend(self.share().map(|found| {
            let [low, high] = [found.low, found.high].map(|end| words.decimal(100.0 * end, 0));
            let (right, count) = (found.right, found.of);
            say!(words, "practice-share", right = right, count = count, low = low, high = high)
        }));
        all
    }
}

#[cfg(test)]
mod tests {
    use super::super::session::tests::said;
    use super::*;

    fn damped(right: &str, answer: &str) -> Done {
        said(CaseKind::Damped, right, answer)
    }

    #[test]
    fn the_interval_solves_its_own_equation() {
        for (right, of) in [(0, 5), (3, 7), (19, 20), (40, 40)] {
            let found = share(right, of).unwrap();
            let p = right as f64 / of as f64;
            for end in
                [found.low, found.high].into_iter().filter(|end| *end > 1e-9 && *end < 1.0 - 1e-9)
            {
                let off = (p - end).powi(2) * of as f64 - Z * Z * end * (1.0 - end);
                assert!(off.abs() < 1e-9, "{right}/{of}: {off}");
            }
            assert!(found.low <= p && p <= found.high);
        }
        assert_eq!(share(0, 0), None);
    }

    #[test]
    fn each_sound_is_counted_with_what_it_was_called() {
        let drills = [
            damped("damped", "damped"),
            damped("damped", "not damped"),
            damped("not damped", "not damped"),
        ];
        let found = Confusion::of(CaseKind::Damped, &drills);
        assert_eq!(
            (found.count("damped", "not damped"), found.count("not damped", "damped")),
            (1, 0)
        );
        assert_eq!(found.share().map(|s| (s.right, s.of)), Some((2, 3)));
        let sentences = found.sentences(Words::english());
        assert!(sentences[0].contains("damped 1, not damped 1"), "{sentences:?}");
        assert!(Confusion::of(CaseKind::Waveform, &drills).is_empty());
    }
}
