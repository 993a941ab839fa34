//! Digits typed by the clinician. There are two fields, the pressure inflated to and the reading; the first digit
//! fixes which of them is meant, whatever the sound does afterwards.

use crate::clinical::event::Stage;
use crate::clinical::typed::{Given, NotGiven};
use crate::units::Mmhg;

/// Letters that can be typed: `280,5`.
const LONGEST: usize = 5;
/// Where the first arrow step begins, mmHg; nothing is filled in before it.
const ARROW_FROM: i32 = 100;

/// Which number is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    /// The pressure that the cuff was inflated to.
    InflatedTo,
    /// What the needle showed at the first returning pulse.
    Reading,
}

/// What was typed so far, and for which field.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Entry {
    field: Option<Field>,
    text: String,
}

impl Entry {
    /// The field that the next digit goes to: the one fixed by the first digit, else the stage's own.
    pub fn field(&self, stage: Option<Stage>) -> Field {
        let of_stage =
            if stage == Some(Stage::Inflate) { Field::InflatedTo } else { Field::Reading };
        self.field.unwrap_or(of_stage)
    }

    /// What was typed.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// True where nothing was typed.
    pub fn is_empty(&self) -> bool {
        self.text.is_empty()
    }

    /// From now on what is typed is meant for this field.
    pub fn choose(&mut self, field: Field) {
        self.field = Some(field);
    }

    /// Takes a digit or a decimal mark.
    pub fn digit(&mut self, digit: char, stage: Option<Stage>) {
        let mark = digit == ',';
        let refused =
            self.text.len() >= LONGEST || mark && (self.text.is_empty() || self.text.contains(','));
        if !refused {
            self.field = Some(self.field(stage));
            self.text.push(digit);
        }
    }

    /// Takes the last digit back; an empty field is open for either number again.
    pub fn erase(&mut self) {
        self.text.pop();
        if self.text.is_empty() {
            self.clear();
        }
    }

    /// One graduation up or down; the first step from an empty field begins at a round number.
    pub fn step(&mut self, steps: i32, graduation: Mmhg, stage: Option<Stage>) {
        let tenths = match self.text.parse::<Given>() {
            Ok(Given::Pressure(mmhg)) => mmhg.as_tenths() + steps * graduation.as_tenths(),
            Ok(Given::NotCompressible | Given::NoSignal | Given::Skipped) | Err(_) => {
                ARROW_FROM * 10
            }
        };
        if let Ok(mmhg) = Mmhg::tenths(tenths) {
            self.field = Some(self.field(stage));
            self.text = mmhg.to_string();
        }
    }

    /// The pressure typed; `None` while nothing is.
    ///
    /// # Errors
    /// What was typed is no pressure above 0 and up to 300 mmHg.
    pub fn pressure(&self) -> Result<Option<Mmhg>, NotGiven> {
        if self.text.is_empty() {
            return Ok(None);
        }
        match self.text.parse()? {
            Given::Pressure(mmhg) => Ok(Some(mmhg)),
            Given::NotCompressible | Given::NoSignal | Given::Skipped => Ok(None),
        }
    }

    /// Forgets what was typed, and which field was meant.
    pub fn clear(&mut self) {
        *self = Self::default();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_digit_fixes_the_field_and_an_empty_one_is_open_again() {
        let mut entry = Entry::default();
        assert_eq!(entry.field(Some(Stage::Inflate)), Field::InflatedTo);
        entry.digit('1', Some(Stage::Inflate));
        entry.digit('8', Some(Stage::Release));
        entry.digit('0', Some(Stage::Read));
        assert_eq!(entry.field(Some(Stage::Read)), Field::InflatedTo, "it stays what it was");
        assert_eq!(entry.pressure(), Ok(Mmhg::whole(180).ok()));
        (0..3).for_each(|_| entry.erase());
        assert_eq!(entry.field(Some(Stage::Read)), Field::Reading);
        assert_eq!(entry.pressure(), Ok(None));
    }

    #[test]
    fn only_what_can_be_a_pressure_is_taken() {
        let mut entry = Entry::default();
        ",1,3,0456".chars().for_each(|c| entry.digit(c, None));
        assert_eq!(entry.text(), "1,304");
        assert!(entry.pressure().is_err(), "two decimals");
        let mut entry = Entry::default();
        entry.step(-1, Mmhg::whole(2).unwrap(), None);
        assert_eq!(entry.text(), "100");
        entry.step(-1, Mmhg::whole(2).unwrap(), None);
        assert_eq!(entry.text(), "98");
    }
}
