//! Exact numbers: means that keep sum and count, ratios of integers, and half-up rounding to hundredths.
//! Nothing is rounded twice, and no binary fraction decides a band.

use std::cmp::Ordering;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::units::Mmhg;

/// A mean of pressures that keeps its sum and its count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mean {
    sum_tenths: i64,
    count: i64,
}

impl Mean {
    /// The mean of some readings; `None` of none.
    pub fn of(readings: &[Mmhg]) -> Option<Self> {
        let sum_tenths = readings.iter().map(|r| i64::from(r.as_tenths())).sum();
        (!readings.is_empty()).then_some(Self { sum_tenths, count: readings.len() as i64 })
    }

    /// The mean of two means, each with the same weight.
    #[must_use]
    pub fn halfway(self, other: Self) -> Self {
        let sum_tenths = self.sum_tenths * other.count + other.sum_tenths * self.count;
        Self { sum_tenths, count: 2 * self.count * other.count }
    }

    /// In mmHg, for showing and for the doubt; never for a band.
    pub fn as_f64(self) -> f64 {
        self.sum_tenths as f64 / (10.0 * self.count as f64)
    }

    /// As a ratio of integers, mmHg.
    pub fn exact(self) -> Ratio {
        Ratio { num: self.sum_tenths, den: 10 * self.count }
    }

    /// How far this mean lies above another, mmHg, exactly; negative where it lies below.
    pub fn above(self, other: Self) -> Ratio {
        Ratio {
            num: self.sum_tenths * other.count - other.sum_tenths * self.count,
            den: 10 * self.count * other.count,
        }
    }
}

impl PartialOrd for Mean {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Mean {
    fn cmp(&self, other: &Self) -> Ordering {
        (self.sum_tenths * other.count).cmp(&(other.sum_tenths * self.count))
    }
}

impl fmt::Display for Mean {
    /// Whole where it is whole, else with one decimal, half up.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let tenths = (2 * self.sum_tenths + self.count) / (2 * self.count);
        match (tenths / 10, tenths % 10) {
            (whole, 0) => write!(f, "{whole}"),
            (whole, tenth) => write!(f, "{whole}.{tenth}"),
        }
    }
}

/// A ratio of integers with a positive denominator.
#[derive(Debug, Clone, Copy)]
pub struct Ratio {
    num: i64,
    den: i64,
}

impl Ratio {
    /// One mean over another; `None` where the lower one is zero.
    pub fn of(over: Mean, under: Mean) -> Option<Self> {
        let den = under.sum_tenths * over.count;
        (den > 0).then_some(Self { num: over.sum_tenths * under.count, den })
    }

    /// So many hundredths.
    pub const fn hundredths(count: i64) -> Self {
        Self { num: count, den: 100 }
    }

    /// A binary approximation, for showing and for the doubt.
    pub fn as_f64(self) -> f64 {
        self.num as f64 / self.den as f64
    }

    /// Rounded half up to two decimals, in integers: floor((200 n + d) / (2 d)).
    pub fn half_up(self) -> Hundredths {
        Hundredths((200 * self.num + self.den).div_euclid(2 * self.den) as i32)
    }

    /// Rounded down to two decimals.
    pub fn down(self) -> Hundredths {
        Hundredths((100 * self.num).div_euclid(self.den) as i32)
    }

    /// This ratio over a positive one. Both must come from pressures, so that products stay small.
    #[must_use]
    pub const fn over(self, other: Self) -> Self {
        Self { num: self.num * other.den, den: self.den * other.num }
    }

    /// Without its sign.
    #[must_use]
    pub const fn size(self) -> Self {
        Self { num: self.num.abs(), den: self.den }
    }
}

impl PartialEq for Ratio {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Ratio {}

impl PartialOrd for Ratio {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Ratio {
    fn cmp(&self, other: &Self) -> Ordering {
        let left = i128::from(self.num) * i128::from(other.den);
        left.cmp(&(i128::from(other.num) * i128::from(self.den)))
    }
}

/// A ratio at the two decimals that guidance prints its limits with.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(from = "f64", into = "f64")]
pub struct Hundredths(pub i32);

impl Hundredths {
    /// The value exactly.
    pub fn exact(self) -> Ratio {
        Ratio::hundredths(i64::from(self.0))
    }

    /// The value as a number.
    pub fn as_f64(self) -> f64 {
        f64::from(self.0) / 100.0
    }
}

impl From<f64> for Hundredths {
    fn from(value: f64) -> Self {
        Self((value * 100.0).round() as i32)
    }
}

impl From<Hundredths> for f64 {
    fn from(value: Hundredths) -> f64 {
        value.as_f64()
    }
}

impl fmt::Display for Hundredths {
    /// Always two decimals.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        write!(f, "{sign}{}.{:02}", self.0.abs() / 100, self.0.abs() % 100)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn index(ankle: i32, arm: i32) -> Hundredths {
        let mean = |mmhg| Mean::of(&[Mmhg::whole(mmhg).unwrap()]).unwrap();
        Ratio::of(mean(ankle), mean(arm)).unwrap().half_up()
    }

    #[test]
    fn halves_go_up_where_binary_fractions_would_not() {
        // Constructed vectors C6, R2, R3: 0.405, 0.995, 1.405.
        assert_eq!(index(81, 200), Hundredths(41));
        assert_eq!(index(199, 200), Hundredths(100));
        assert_eq!(index(281, 200), Hundredths(141));
    }

    #[test]
    fn a_mean_is_not_rounded_before_the_index_is() {
        let two = Mean::of(&[Mmhg::whole(91).unwrap(), Mmhg::whole(98).unwrap()]).unwrap();
        assert_eq!(two.to_string(), "94.5");
        let arm = Mean::of(&[Mmhg::whole(140).unwrap()]).unwrap();
        assert_eq!(Ratio::of(two, arm).unwrap().half_up(), Hundredths(68));
        assert!(Ratio::of(arm, Mean::of(&[Mmhg::whole(0).unwrap()]).unwrap()).is_none());
    }

    proptest! {
        #[test]
        fn half_up_is_the_nearest_and_the_upper_of_two(n in 0i64..30_000, d in 1i64..30_000) {
            let h = i64::from(Ratio { num: n, den: d }.half_up().0);
            // |100 n/d - h| <= 1/2, and exactly one half only from below: -d < 200 n - 2 h d... in integers.
            let off = 200 * n - 2 * h * d;
            prop_assert!(-d <= off && off < d);
        }

        #[test]
        fn a_higher_ankle_never_lowers_an_index(a in 1i32..300, more in 0i32..50, arm in 1i32..=300) {
            let b = (a + more).min(300);
            prop_assert!(index(a, arm) <= index(b, arm));
            prop_assert!(index(arm, b) <= index(arm, a));
        }

        #[test]
        fn means_are_ordered_as_their_values(x in proptest::collection::vec(0i32..3000, 1..6),
                                             y in proptest::collection::vec(0i32..3000, 1..6)) {
            let mean = |v: &[i32]| {
                Mean::of(&v.iter().map(|t| Mmhg::tenths(*t).unwrap()).collect::<Vec<_>>()).unwrap()
            };
            let (x, y) = (mean(&x), mean(&y));
            prop_assert_eq!(x < y, x.above(y) < Ratio::hundredths(0));
            prop_assert_eq!(x > y, x.exact() > y.exact());
        }
    }
}
