//! The right word that is nearest to a wrong one.

/// How alike two words must be, 0 to 1 (Jaro-Winkler; the command line's own library uses 0.7 for its words).
const ALIKE: f64 = 0.75;
/// How alike two words are that one slip of a finger makes of each other, though they be short.
const SLIP: f64 = 0.9;

/// The candidate that is most like the word, where one is.
pub(super) fn nearest<'a>(
    word: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let word = word.to_lowercase();
    let likeness = |candidate: &str| {
        let candidate = candidate.to_lowercase();
        let slip = word.len() > 2 && strsim::osa_distance(&word, &candidate) <= 1;
        let alike = strsim::jaro_winkler(&word, &candidate);
        if slip { alike.max(SLIP) } else { alike }
    };
    let all = candidates.into_iter().map(|candidate| (likeness(candidate), candidate));
    let best = all.max_by(|a, b| a.0.total_cmp(&b.0))?;
    (best.0 >= ALIKE).then_some(best.1)
}

/// `; did you mean WORD?`, or nothing.
pub(super) fn did_you_mean<'a>(
    word: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> String {
    nearest(word, candidates).map_or(String::new(), |near| format!("; did you mean `{near}`?"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_fingers_finds_its_word_and_another_word_none() {
        let words = ["acc-aha-2024", "nice-cks", "german-s2k", "rnao"];
        assert_eq!(nearest("nice-ksc", words), Some("nice-cks"));
        assert_eq!(nearest("ACC-AHA", words), Some("acc-aha-2024"));
        assert_eq!(nearest("xyz", words), None);
        assert_eq!(nearest("pfd", ["html", "pdf", "csv"]), Some("pdf"));
        assert_eq!(did_you_mean("rnoa", words), "; did you mean `rnao`?");
    }
}
