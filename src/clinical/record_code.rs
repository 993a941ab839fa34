//! Codes of records, with a check character: what was mistyped is noticed before a reading is filed under
//! another patient's code.
//!
//! The scheme is ISO/IEC 7064, MOD 37,36: one character of 0-9 and A-Z at the end, over all letters and
//! digits before it. It finds every single wrong character, and nearly every swap of two neighbours.

/// The characters that count, each at its value.
const ALPHABET: &[u8] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
/// The scheme's smaller modulus.
const M: u32 = 36;

/// Why a code is not accepted as it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CodeFault {
    /// Too little to check.
    #[error(
        "a record's code needs at least two letters or digits, the last of them to check the others"
    )]
    TooShort,
    /// Letters outside A to Z, or signs other than `-`, `.`, `/` and space.
    #[error("`{0}` cannot stand in a record's code: use A to Z, 0 to 9 and -")]
    Strange(char),
    /// A character is wrong somewhere.
    #[error(
        "the last character does not agree with the others: a character is wrong or two are swapped"
    )]
    Wrong,
}

/// The values of the letters and digits of a code; signs between them do not count.
fn values(code: &str) -> Result<Vec<u32>, CodeFault> {
    let mut values = Vec::with_capacity(code.len());
    for c in code.chars() {
        match c {
            '0'..='9' | 'A'..='Z' | 'a'..='z' => values.extend(c.to_digit(36)),
            '-' | ' ' | '.' | '/' => {}
            _ => return Err(CodeFault::Strange(c)),
        }
    }
    Ok(values)
}

/// The check character of these values.
fn check_value(values: &[u32]) -> u32 {
    let product = values.iter().fold(M, |product, value| {
        let sum = (product + value) % M;
        (if sum == 0 { M } else { sum }) * 2 % (M + 1)
    });
    (M + 1 - product) % M
}

/// A whole code from its beginning: `TM-0142` gives `TM-0142-7`.
///
/// # Errors
/// Nothing to check, or a character that cannot stand in a code.
pub fn with_check(beginning: &str) -> Result<String, CodeFault> {
    let values = values(beginning)?;
    if values.is_empty() {
        return Err(CodeFault::TooShort);
    }
    let check = char::from(ALPHABET[check_value(&values) as usize]);
    Ok(format!("{}-{check}", beginning.trim().trim_end_matches('-').to_ascii_uppercase()))
}

/// The code of the record with this number, in a service that gave itself these letters.
///
/// # Errors
/// Letters that cannot stand in a code.
pub fn numbered(letters: &str, number: u32) -> Result<String, CodeFault> {
    with_check(&format!("{letters}-{number:04}"))
}

/// Whether a code's last character agrees with the others. Case and signs between do not matter.
///
/// # Errors
/// What is wrong, in a sentence.
pub fn check(code: &str) -> Result<(), CodeFault> {
    let values = values(code)?;
    match values.split_last() {
        Some((last, before)) if !before.is_empty() => {
            if check_value(before) == *last {
                Ok(())
            } else {
                Err(CodeFault::Wrong)
            }
        }
        _ => Err(CodeFault::TooShort),
    }
}

/// Which of the `known` codes differ from what was typed in one character or one swap of neighbours: what
/// to ask "did you mean" about. Equal codes are not among them.
pub fn did_you_mean<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let Ok(typed) = values(typed) else { return Vec::new() };
    let near = |other: &str| values(other).is_ok_and(|other| one_slip(&typed, &other));
    known.into_iter().filter(|code| near(code)).collect()
}

fn one_slip(a: &[u32], b: &[u32]) -> bool {
    let differ: Vec<usize> = if a.len() == b.len() {
        (0..a.len()).filter(|i| a[*i] != b[*i]).collect()
    } else {
        let (short, long) = if a.len() < b.len() { (a, b) } else { (b, a) };
        let same = short.iter().zip(long).take_while(|(x, y)| x == y).count();
        return long.len() == short.len() + 1 && short[same..] == long[same + 1..];
    };
    match differ[..] {
        [_] => true,
        [i, j] => j == i + 1 && a[i] == b[j] && a[j] == b[i],
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Published codes in this scheme: the example of the Global Release Identifier standard,
    /// A1-2425G-ABC1234002-M, and a film's number in ISO 15706, 0000-0000-C36D-002B-K-0000-0000-E.
    #[test]
    fn published_codes_agree() {
        for (beginning, whole) in [
            ("A1-2425G-ABC1234002", "A1-2425G-ABC1234002-M"),
            ("0000-0000-C36D-002B", "0000-0000-C36D-002B-K"),
            ("0000-0000-C36D-002B-0000-0000", "0000-0000-C36D-002B-0000-0000-E"),
        ] {
            assert_eq!(with_check(beginning).unwrap(), whole);
            assert_eq!(check(whole), Ok(()));
            assert_eq!(check(&whole.to_lowercase().replace('-', "")), Ok(()));
        }
        assert_eq!(check("A1-2425G-ABC1234002-N"), Err(CodeFault::Wrong));
    }

    #[test]
    fn every_single_wrong_character_is_found() {
        let code = numbered("TM", 142).unwrap();
        for (at, right) in code.char_indices().filter(|(_, c)| *c != '-') {
            for wrong in ALPHABET.iter().map(|b| char::from(*b)).filter(|c| *c != right) {
                let mut typed = code.clone();
                typed.replace_range(at..=at, &wrong.to_string());
                assert_eq!(check(&typed), Err(CodeFault::Wrong), "{typed}");
                assert_eq!(did_you_mean(&typed, [code.as_str(), "XX-1"]), [code.as_str()]);
            }
        }
    }

    #[test]
    fn a_slip_of_the_finger_finds_the_known_code() {
        let known = ["TM-0142-7", "TM-0001-X"];
        let found = |typed| did_you_mean(typed, known);
        assert_eq!(found("tm0412-7"), ["TM-0142-7"]);
        assert_eq!(found("TM-014-7"), ["TM-0142-7"]);
        assert_eq!(found("TM-01442-7"), ["TM-0142-7"]);
        assert!(found("TM-0142-7").is_empty());
        assert!(found("TM-2410-7").is_empty());
    }

    #[test]
    fn what_is_no_code_is_refused_with_a_sentence() {
        assert_eq!(check("-"), Err(CodeFault::TooShort));
        assert_eq!(check("7"), Err(CodeFault::TooShort));
        assert_eq!(check("TM-Ö1"), Err(CodeFault::Strange('Ö')));
        assert_eq!(with_check(" "), Err(CodeFault::TooShort));
    }
}
