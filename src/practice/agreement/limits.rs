//! Limits of agreement of two readers (Bland & Altman, Lancet 1986;i:307-310).

use serde::Serialize;

use super::{mean, sd, t_95};

/// Two readers' differences, first minus second, with their limits; units as given.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct BlandAltman {
    /// Pairs.
    pub count: usize,
    /// Mean difference.
    pub bias: f64,
    /// Standard deviation of the differences.
    pub sd: f64,
    /// Bias less `times` standard deviations.
    pub lower: f64,
    /// Bias plus as many.
    pub upper: f64,
    /// Standard deviations from bias to limit: 2 in the paper of 1986, 1.96 in later ones.
    pub times: f64,
    /// 95 % confidence interval of the bias.
    pub bias_ci: [f64; 2],
    /// That of the lower limit, with the standard error of the paper, root of 3 s^2 / n.
    pub lower_ci: [f64; 2],
    /// That of the upper limit.
    pub upper_ci: [f64; 2],
}

/// The limits of agreement of pairs; nothing under two pairs.
pub fn bland_altman(pairs: &[(f64, f64)], times: f64) -> Option<BlandAltman> {
    let differences: Vec<f64> = pairs.iter().map(|(a, b)| a - b).collect();
    let (bias, sd) = (mean(&differences), sd(&differences)?);
    let count = pairs.len();
    let per_root = sd / (count as f64).sqrt();
    let t = t_95(count as f64 - 1.0)?;
    let (lower, upper) = (bias - times * sd, bias + times * sd);
    let around = |middle: f64, error: f64| [middle - t * error, middle + t * error];
    let of_limit = per_root * 3.0_f64.sqrt();
    Some(BlandAltman {
        count,
        bias,
        sd,
        lower,
        upper,
        times,
        bias_ci: around(bias, per_root),
        lower_ci: around(lower, of_limit),
        upper_ci: around(upper, of_limit),
    })
}

#[cfg(test)]
mod tests {
    use super::super::worked::{PEAK_FLOW, reference};
    use super::*;

    /// The paper prints: mean difference -2.1, SD 38.8, limits -79.7 and 75.5; bias from -22.0 to 17.8, lower limit from
    /// -114.3 to -45.1, upper from 40.9 to 110.1 (the intervals from memory), from rounded steps.
    #[test]
    fn the_papers_table_and_the_library_give_the_same_limits() {
        let pairs: Vec<_> = PEAK_FLOW.iter().map(|r| (r[0], r[2])).collect();
        let found = bland_altman(&pairs, 2.0).unwrap();
        let printed = [
            (found.bias, -2.1),
            (found.sd, 38.8),
            (found.lower, -79.7),
            (found.upper, 75.5),
            (found.bias_ci[0], -22.0),
            (found.bias_ci[1], 17.8),
            (found.lower_ci[0], -114.3),
            (found.lower_ci[1], -45.1),
            (found.upper_ci[0], 40.9),
            (found.upper_ci[1], 110.1),
        ];
        for (found, printed) in printed {
            assert!((found - printed).abs() < 0.25, "{found} for {printed}");
        }
        let later = bland_altman(&pairs, 1.96).unwrap();
        let known = reference("bland_altman");
        let found = [later.bias, later.sd, later.lower, later.upper, later.bias_ci[0]];
        for (found, known) in found.into_iter().zip(known) {
            assert!((found - known).abs() < 1e-6, "{found} for {known}");
        }
    }

    #[test]
    fn one_pair_has_no_limits() {
        assert_eq!(bland_altman(&[(1.0, 2.0)], 2.0), None);
        assert_eq!(bland_altman(&[], 2.0), None);
    }
}
