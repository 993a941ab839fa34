//! Blind over-reading: recordings in random order under numbers, a second person's answers, and both put together again.

use crate::sim::Chance;

use super::agreement::Reader;

/// The stream of chance that shuffles.
const STREAM: u64 = 960;

/// One recording as the second person gets it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Blind {
    /// Its number, from 1: all that the second person sees.
    pub number: usize,
    /// The recording's real name, for the key.
    pub name: String,
}

/// Recordings in an order that tells nothing; same seed, same order whatever order they came in.
pub fn blinded(mut names: Vec<String>, seed: u64) -> Vec<Blind> {
    names.sort();
    let mut chance = Chance::new(seed, STREAM);
    // Fisher and Yates, from the end.
    for last in (1..names.len()).rev() {
        names.swap(last, chance.index(last + 1));
    }
    (1..).zip(names).map(|(number, name)| Blind { number, name }).collect()
}

/// What one reader said: a word or number for each recording's number.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReaderAnswers {
    /// The reader's code.
    pub reader: String,
    /// Number and answer; an empty answer is none.
    pub said: Vec<(usize, String)>,
}

/// Why answers do not fit their list.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Misfit {
    /// A number that the list does not have.
    #[error("reader `{reader}` answers for number {number}; the list has 1 to {count}")]
    NoSuchNumber {
        /// The reader.
        reader: String,
        /// The number.
        number: usize,
        /// Recordings in the list.
        count: usize,
    },
    /// Two answers for one number.
    #[error("reader `{reader}` answers twice for number {number}")]
    Twice {
        /// The reader.
        reader: String,
        /// The number.
        number: usize,
    },
}

/// All readers' answers, row by row in the list's order, for the statistics of agreement.
///
/// # Errors
/// See [`Misfit`].
pub fn gathered(count: usize, answers: &[ReaderAnswers]) -> Result<Vec<Reader>, Misfit> {
    let column = |of: &ReaderAnswers| {
        let mut cells = vec![String::new(); count];
        let mut given = vec![false; count];
        for (number, said) in &of.said {
            let (number, reader) = (*number, of.reader.clone());
            let place = number.checked_sub(1).filter(|place| *place < count);
            let Some(place) = place else {
                return Err(Misfit::NoSuchNumber { reader, number, count });
            };
            if std::mem::replace(&mut given[place], true) {
                return Err(Misfit::Twice { reader, number });
            }
            cells[place].clone_from(said);
        }
        Ok(Reader { name: of.reader.clone(), cells })
    };
    answers.iter().map(column).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(count: usize) -> Vec<String> {
        (0..count).map(|n| format!("r{n:02}")).collect()
    }

    #[test]
    fn an_order_tells_nothing_and_repeats() {
        let list = blinded(names(20), 5);
        let mut turned = names(20);
        turned.reverse();
        assert_eq!(blinded(turned, 5), list);
        assert_ne!(blinded(names(20), 6), list);
        assert_ne!(list.iter().map(|b| b.name.clone()).collect::<Vec<_>>(), names(20));
        let mut back: Vec<_> = list.into_iter().map(|b| b.name).collect();
        back.sort();
        assert_eq!(back, names(20));
    }

    #[test]
    fn every_place_is_as_likely() {
        let mut first = [0; 4];
        for seed in 0..4_000 {
            let name = &blinded(names(4), seed)[0].name;
            first[names(4).iter().position(|n| n == name).unwrap()] += 1;
        }
        // A thousand each, within five standard deviations (27).
        assert!(first.iter().all(|n: &i32| (n - 1_000).abs() < 137), "{first:?}");
    }

    #[test]
    fn answers_come_back_in_the_lists_order_and_misfits_are_named() {
        let answers = |said: &[(usize, &str)]| ReaderAnswers {
            reader: "B".into(),
            said: said.iter().map(|(n, s)| (*n, (*s).to_owned())).collect(),
        };
        let found = gathered(3, &[answers(&[(3, "118"), (1, "120")])]).unwrap();
        assert_eq!(found[0].cells, ["120", "", "118"]);
        assert!(matches!(gathered(3, &[answers(&[(4, "1")])]), Err(Misfit::NoSuchNumber { .. })));
        assert!(matches!(gathered(3, &[answers(&[(0, "1")])]), Err(Misfit::NoSuchNumber { .. })));
        let twice = gathered(3, &[answers(&[(1, "1"), (1, "2")])]);
        assert!(matches!(twice, Err(Misfit::Twice { number: 1, .. })));
    }
}
