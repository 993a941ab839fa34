//! Agreement of two readers on categories (Cohen, Educ Psychol Meas 1960;20:37-46), unweighted.

use std::collections::BTreeMap;

use serde::Serialize;

use super::Z_95;

/// Kappa with what it is made of.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Kappa {
    /// Pairs.
    pub count: usize,
    /// Share of pairs that agree.
    pub observed: f64,
    /// Share that would agree by chance, from each reader's own shares.
    pub expected: f64,
    /// (observed - expected) / (1 - expected); nothing where both always say the same one word.
    pub kappa: Option<f64>,
    /// 95 % confidence interval with the large-sample error of Fleiss, Cohen & Everitt (Psychol Bull 1969;72:323-327).
    pub ci: Option<[f64; 2]>,
}

/// Kappa of pairs of words; nothing without a pair.
pub fn kappa<W: Ord>(pairs: &[(W, W)]) -> Option<Kappa> {
    if pairs.is_empty() {
        return None;
    }
    let share = 1.0 / pairs.len() as f64;
    let (mut first, mut second) = (BTreeMap::new(), BTreeMap::new());
    for (a, b) in pairs {
        *first.entry(a).or_insert(0.0) += share;
        *second.entry(b).or_insert(0.0) += share;
    }
    let of = |shares: &BTreeMap<&W, f64>, word: &W| shares.get(word).copied().unwrap_or(0.0);
    let observed = pairs.iter().filter(|(a, b)| a == b).count() as f64 * share;
    let expected: f64 = first.iter().map(|(word, p)| p * of(&second, word)).sum();
    let kappa = (1.0 - expected > 1e-12).then(|| (observed - expected) / (1.0 - expected));
    let ci = kappa.map(|kappa| {
        let (mut agreeing, mut other) = (0.0, 0.0);
        for (a, b) in pairs {
            // The margins that are crossed: the second reader's share of a's word, the first's of b's.
            let margins = of(&second, a) + of(&first, b);
            if a == b {
                let off = 1.0 - margins * (1.0 - kappa);
                agreeing += share * off * off;
            } else {
                other += share * margins * margins;
            }
        }
        let less = kappa - expected * (1.0 - kappa);
        let variance = agreeing + (1.0 - kappa) * (1.0 - kappa) * other - less * less;
        let error = (variance.max(0.0) * share).sqrt() / (1.0 - expected);
        [kappa - Z_95 * error, kappa + Z_95 * error]
    });
    Some(Kappa { count: pairs.len(), observed, expected, kappa, ci })
}

#[cfg(test)]
mod tests {
    use super::super::worked::reference;
    use super::*;

    fn table<const N: usize>(counts: [[usize; N]; N]) -> Vec<(usize, usize)> {
        let cell = |a: usize, b: usize| vec![(a, b); counts[a][b]];
        (0..N).flat_map(|a| (0..N).flat_map(move |b| cell(a, b))).collect()
    }

    /// A textbook's table of two readers and fifty applications (yes/yes 20, yes/no 5, no/yes 10, no/no 15): observed
    /// 0.70, expected 0.50, kappa 0.40.
    #[test]
    fn the_textbooks_table_and_the_library_give_the_same_kappa() {
        let found = kappa(&table([[20, 5], [10, 15]])).unwrap();
        assert!((found.observed - 0.70).abs() < 1e-12 && (found.expected - 0.50).abs() < 1e-12);
        assert!((found.kappa.unwrap() - 0.40).abs() < 1e-12);
        let wide = kappa(&table([[44, 5, 1], [7, 20, 3], [9, 5, 6]])).unwrap();
        for (name, found) in [("kappa_two", found), ("kappa_three", wide)] {
            let known = reference(name);
            let ci = found.ci.unwrap();
            for (found, known) in [found.kappa.unwrap(), ci[0], ci[1]].into_iter().zip(known) {
                assert!((found - known).abs() < 1e-9, "{name}: {found} for {known}");
            }
        }
    }

    #[test]
    fn one_word_for_everything_has_no_kappa() {
        let found = kappa(&[("a", "a"), ("a", "a")]).unwrap();
        assert_eq!((found.kappa, found.observed), (None, 1.0));
        assert_eq!(kappa::<u8>(&[]), None);
    }
}
