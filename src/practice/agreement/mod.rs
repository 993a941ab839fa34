//! How well readers agree: limits of agreement, intraclass correlation, kappa, the spread within a subject.
//!
//! Every formula names its paper, and is tested against that paper's worked table and against a general library.

mod icc;
mod kappa;
mod limits;
mod table;

pub use icc::{Coefficient, Icc, icc};
pub use kappa::{Kappa, kappa};
pub use limits::{BlandAltman, bland_altman};
pub use table::{Agreement, AgreementFault, Pair, Reader, agreement};

use statrs::distribution::{ContinuousCDF, FisherSnedecor, StudentsT};

/// The normal deviate that leaves 2.5 % above it.
pub const Z_95: f64 = 1.959_963_984_540_054;

/// The two-sided 95 % quantile of Student's t; nothing where there are no degrees of freedom.
fn t_95(dof: f64) -> Option<f64> {
    StudentsT::new(0.0, 1.0, dof).ok().map(|t| t.inverse_cdf(0.975))
}

/// The 97.5 % quantile of F.
fn f_975(over: f64, under: f64) -> Option<f64> {
    FisherSnedecor::new(over, under).ok().map(|f| f.inverse_cdf(0.975))
}

/// The spread within a subject: the root of the mean square within subjects of a one-way analysis of variance
/// (Bland & Altman 1996, BMJ 313:744). `rows` are subjects; nothing where no subject has two values.
pub fn within_subject_sd(rows: &[Vec<f64>]) -> Option<f64> {
    let (mut squares, mut dof) = (0.0, 0.0);
    for row in rows.iter().filter(|row| row.len() >= 2) {
        let middle = mean(row);
        squares += row.iter().map(|x| (x - middle) * (x - middle)).sum::<f64>();
        dof += row.len() as f64 - 1.0;
    }
    (dof > 0.0).then(|| (squares / dof).sqrt())
}

/// The least change between two values of one subject that chance alone reaches once in twenty:
/// 1.96 times the root of two times the spread within a subject (there also called repeatability).
pub fn minimal_detectable_change(within_sd: f64) -> f64 {
    Z_95 * std::f64::consts::SQRT_2 * within_sd
}

/// The mean; not a number where there is nothing.
pub(super) fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// The standard deviation with n - 1; nothing under two values.
pub(super) fn sd(values: &[f64]) -> Option<f64> {
    let middle = mean(values);
    let squares: f64 = values.iter().map(|x| (x - middle) * (x - middle)).sum();
    (values.len() >= 2).then(|| (squares / (values.len() as f64 - 1.0)).sqrt())
}

/// Worked tables of the papers, for the tests of this room.
#[cfg(test)]
mod worked {
    /// Bland & Altman, Lancet 1986;i:307-310, peak expiratory flow, l/min: large meter first and second, small meter
    /// first and second reading, 17 subjects. The data from memory; their mean, spread and limits are the paper's.
    pub const PEAK_FLOW: [[f64; 4]; 17] = [
        [494.0, 490.0, 512.0, 525.0],
        [395.0, 397.0, 430.0, 415.0],
        [516.0, 512.0, 520.0, 508.0],
        [434.0, 401.0, 428.0, 444.0],
        [476.0, 470.0, 500.0, 500.0],
        [557.0, 611.0, 600.0, 625.0],
        [413.0, 415.0, 364.0, 460.0],
        [442.0, 431.0, 380.0, 390.0],
        [650.0, 638.0, 658.0, 642.0],
        [433.0, 429.0, 445.0, 432.0],
        [417.0, 420.0, 432.0, 420.0],
        [656.0, 633.0, 626.0, 605.0],
        [267.0, 275.0, 260.0, 227.0],
        [478.0, 492.0, 477.0, 467.0],
        [178.0, 165.0, 259.0, 268.0],
        [423.0, 372.0, 350.0, 370.0],
        [427.0, 421.0, 451.0, 443.0],
    ];

    /// Shrout & Fleiss, Psychol Bull 1979;86:420-428, table 2: six targets, four judges.
    pub const JUDGES: [[f64; 4]; 6] = [
        [9.0, 2.0, 5.0, 8.0],
        [6.0, 1.0, 3.0, 2.0],
        [8.0, 4.0, 6.0, 8.0],
        [7.0, 1.0, 2.0, 6.0],
        [10.0, 5.0, 6.0, 9.0],
        [6.0, 2.0, 4.0, 7.0],
    ];

    /// A line of the reference file by its name, as numbers.
    pub fn reference(name: &str) -> Vec<f64> {
        let text = include_str!("../../../tests/reference/agreement.txt");
        let line = text.lines().find_map(|l| l.strip_prefix(name)?.strip_prefix(' '));
        line.unwrap().split_whitespace().map(|word| word.parse().unwrap()).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Bland & Altman 1986 print the spread of differences of the large meter's two readings as 21.6 and of the
    /// small one's as 28.2 l/min (from memory), about a mean of zero: within-subject SD times the root of two.
    #[test]
    fn the_spread_within_a_subject_is_the_papers_and_the_librarys() {
        for (first, printed) in [(0, 21.6), (2, 28.2)] {
            let rows: Vec<Vec<f64>> =
                worked::PEAK_FLOW.iter().map(|r| r[first..first + 2].to_vec()).collect();
            let within = within_subject_sd(&rows).unwrap();
            assert!((within * std::f64::consts::SQRT_2 - printed).abs() < 0.7, "{within}");
            let known = worked::reference("within")[first / 2];
            assert!((within - known).abs() < 1e-9);
            let change = minimal_detectable_change(within);
            assert!((change - 2.771_807_648_699_999 * known).abs() < 1e-6, "{change}");
        }
        assert_eq!(within_subject_sd(&[vec![1.0], vec![]]), None);
    }

    #[test]
    fn quantiles_are_the_librarys() {
        let known = worked::reference("quantiles");
        let found = [t_95(16.0), t_95(1.0), f_975(5.0, 18.0), f_975(15.0, 5.0), f_975(5.0, 4.786)];
        for (found, known) in found.into_iter().zip(known) {
            assert!((found.unwrap() / known - 1.0).abs() < 1e-6, "{found:?} {known}");
        }
        assert_eq!((t_95(0.0), f_975(0.0, 3.0)), (None, None));
    }
}
