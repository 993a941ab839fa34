//! The inequalities of a guidance set, read from text such as `0.91 <= index <= 0.99 or toe < 30`.

use std::fmt;

use super::exact::Ratio;
use crate::words::{Words, id, say};

/// What an inequality is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Quantity {
    /// The index, after rounding.
    Index,
    /// The ankle pressure behind it, mmHg.
    Ankle,
    /// The toe pressure, mmHg.
    Toe,
    /// The toe-brachial index, after rounding.
    ToeIndex,
}

impl Quantity {
    /// All four.
    pub const ALL: [Quantity; 4] =
        [Quantity::Index, Quantity::Ankle, Quantity::Toe, Quantity::ToeIndex];

    const fn code(self) -> &'static str {
        match self {
            Quantity::Index => "index",
            Quantity::Ankle => "ankle",
            Quantity::Toe => "toe",
            Quantity::ToeIndex => "toe-index",
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        self.said(Words::english())
    }

    /// In the words of a language.
    pub fn said(self, words: Words) -> &'static str {
        words.plain(match self {
            Quantity::Index => id!("clinical-quantity-index"),
            Quantity::Ankle => id!("clinical-quantity-ankle"),
            Quantity::Toe => id!("clinical-quantity-toe"),
            Quantity::ToeIndex => id!("clinical-quantity-toe-index"),
        })
    }

    /// True of the two that are printed with two decimals.
    pub const fn is_ratio(self) -> bool {
        matches!(self, Quantity::Index | Quantity::ToeIndex)
    }
}

/// One end of a range, in hundredths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limit {
    /// The value, in hundredths of the quantity's unit.
    pub hundredths: i64,
    /// True where the limit itself belongs to the range.
    pub included: bool,
}

/// One range of one quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Clause {
    /// What it is about.
    pub quantity: Quantity,
    /// The lower end.
    pub lower: Option<Limit>,
    /// The upper end.
    pub upper: Option<Limit>,
}

impl Clause {
    /// True where the exact value lies in the range.
    pub fn holds(&self, value: Ratio) -> bool {
        let above = self.lower.is_none_or(|l| {
            let limit = Ratio::hundredths(l.hundredths);
            value > limit || (l.included && value == limit)
        });
        let below = self.upper.is_none_or(|u| {
            let limit = Ratio::hundredths(u.hundredths);
            value < limit || (u.included && value == limit)
        });
        above && below
    }

    /// Both ends, where there are two.
    pub fn limits(&self) -> impl Iterator<Item = Limit> {
        self.lower.into_iter().chain(self.upper)
    }

    fn number(&self, limit: Limit) -> String {
        let (whole, part) = (limit.hundredths / 100, limit.hundredths % 100);
        match (self.quantity.is_ratio(), part) {
            (false, 0) => whole.to_string(),
            _ => format!("{whole}.{part:02}"),
        }
    }

    /// The range as it is printed: "0.91-0.99", "<= 0.90", "> 1.40", "50-70 mmHg".
    pub fn printed(&self, words: Words) -> String {
        let sign = |l: Limit| if l.included { "=" } else { "" };
        let range = match (self.lower, self.upper) {
            (Some(l), Some(u)) if l.included && u.included => {
                format!("{}-{}", self.number(l), self.number(u))
            }
            (Some(l), Some(u)) => {
                let above = format!(">{} {}", sign(l), self.number(l));
                let below = format!("<{} {}", sign(u), self.number(u));
                say!(words, "clinical-range-between", above = above, below = below)
            }
            (Some(l), None) => format!(">{} {}", sign(l), self.number(l)),
            (None, Some(u)) => format!("<{} {}", sign(u), self.number(u)),
            (None, None) => words.plain(id!("clinical-range-any")).into(),
        };
        let range = words.number(range);
        if self.quantity.is_ratio() { range } else { say!(words, "clinical-mmhg", n = range) }
    }
}

/// Ranges of which one is enough.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Condition(pub Vec<Clause>);

impl fmt::Display for Condition {
    /// In English.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Words::english()))
    }
}

impl Condition {
    /// In the words of a language.
    pub fn said(&self, words: Words) -> String {
        let each = self.0.iter().map(|clause| {
            let (quantity, value) = (clause.quantity.said(words), clause.printed(words));
            say!(words, "clinical-because", quantity = quantity, value = value)
        });
        let joined = each.reduce(|a, b| say!(words, "locale-or", a = a, b = b));
        joined.unwrap_or_default()
    }
}

const EXPECTED: &str = "expected one such as `index <= 0.90`, `0.91 <= index <= 0.99` or `ankle < 50 or toe < 30`, of index, ankle, toe and toe-index";

impl Condition {
    /// Reads a condition.
    ///
    /// # Errors
    /// What was found and what was expected.
    pub fn parse(text: &str) -> Result<Self, NoCondition> {
        text.split(" or ").map(clause).collect::<Result<Vec<_>, _>>().map(Self)
    }
}

/// Why a text is no condition.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoCondition {
    /// It cannot be read.
    #[error("`{0}` is no condition: {expected}", expected = EXPECTED)]
    Unread(String),
    /// Its lower end lies above its upper one.
    #[error("`{0}` holds for no value: its ends are the wrong way round")]
    Empty(String),
}

fn clause(text: &str) -> Result<Clause, NoCondition> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let fault = || NoCondition::Unread(text.trim().to_owned());
    let quantity =
        |word: &str| Quantity::ALL.into_iter().find(|q| q.code() == word).ok_or_else(fault);
    let limit = |number: &str, included| {
        hundredths(number).map(|hundredths| Limit { hundredths, included }).ok_or_else(fault)
    };
    match words[..] {
        [name, sign, number] => {
            let quantity = quantity(name)?;
            let end = Some(limit(number, sign.ends_with('='))?);
            match sign {
                "<" | "<=" => Ok(Clause { quantity, lower: None, upper: end }),
                ">" | ">=" => Ok(Clause { quantity, lower: end, upper: None }),
                _ => Err(fault()),
            }
        }
        [low, below @ ("<" | "<="), name, under @ ("<" | "<="), high] => {
            let lower = limit(low, below == "<=")?;
            let upper = limit(high, under == "<=")?;
            if lower.hundredths > upper.hundredths {
                return Err(NoCondition::Empty(text.trim().to_owned()));
            }
            Ok(Clause { quantity: quantity(name)?, lower: Some(lower), upper: Some(upper) })
        }
        _ => Err(fault()),
    }
}

/// `0.9`, `0.90` and `50` in hundredths; `None` of anything else, three decimals included.
fn hundredths(text: &str) -> Option<i64> {
    let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |t: &str| !t.is_empty() && t.len() <= 4 && t.bytes().all(|b| b.is_ascii_digit());
    if !digits(whole) || !digits(part) || part.len() > 2 {
        return None;
    }
    let part = format!("{part:0<2}");
    Some(whole.parse::<i64>().ok()? * 100 + part.parse::<i64>().ok()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_hold_exactly_up_to_their_ends() {
        let condition = Condition::parse("0.91 <= index <= 0.99 or toe < 30").unwrap();
        let at = |h: i64| condition.0[0].holds(Ratio::hundredths(h));
        assert_eq!([90, 91, 99, 100].map(at), [false, true, true, false]);
        assert!(!condition.0[1].holds(Ratio::hundredths(3000)));
        assert_eq!(condition.to_string(), "index 0.91-0.99 or toe pressure < 30 mmHg");
    }

    proptest::proptest! {
        #[test]
        fn no_text_makes_a_panic(text in ".{0,60}", n in "[0-9.]{0,12}") {
            let _ = Condition::parse(&text);
            let _ = Condition::parse(&format!("index < {n}"));
        }
    }

    #[test]
    fn what_is_no_condition_says_what_was_expected() {
        for text in [
            "",
            "index",
            "index = 0.9",
            "0.9 > index > 0.5",
            "knee < 3",
            "index < 0.905",
            "0.9 <= index <= 0.5",
        ] {
            assert!(Condition::parse(text).is_err(), "{text}");
        }
        assert!(Condition::parse("knee < 3").unwrap_err().to_string().contains("expected"));
    }
}
