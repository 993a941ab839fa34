//! Intraclass correlation from the two-way table of subjects by readers (Shrout & Fleiss, Psychol Bull
//! 1979;86:420-428), one reading a cell.

use serde::Serialize;

use super::{f_975, mean};

/// One coefficient with its 95 % confidence interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficient {
    /// The estimate.
    pub value: f64,
    /// Lower end, upper end; nothing where an end does not exist.
    pub ci: Option<[f64; 2]>,
}

/// The three coefficients of single readings.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Icc {
    /// Subjects.
    pub subjects: usize,
    /// Readers.
    pub readers: usize,
    /// ICC(1,1): each subject read by other readers.
    pub icc1: f64,
    /// Its 95 % confidence interval.
    pub icc1_ci: Option<[f64; 2]>,
    /// ICC(2,1): the readers stand for all readers; absolute agreement.
    pub icc2: f64,
    /// Its 95 % confidence interval.
    pub icc2_ci: Option<[f64; 2]>,
    /// ICC(3,1): these readers only; consistency.
    pub icc3: f64,
    /// Its 95 % confidence interval.
    pub icc3_ci: Option<[f64; 2]>,
}

/// Mean squares of the two-way table.
struct Squares {
    subjects: f64,
    readers: f64,
    between: f64,
    within: f64,
    of_readers: f64,
    residual: f64,
}

/// The coefficients of a full table, a row a subject; nothing under two rows or columns, with rows of
/// unequal length, or where all values are the same.
pub fn icc(rows: &[Vec<f64>]) -> Option<Icc> {
    let s = squares(rows)?;
    let (first, second, third) = (one_way(&s), random_readers(&s), fixed_readers(&s));
    first.value.is_finite().then(|| Icc {
        subjects: rows.len(),
        readers: rows[0].len(),
        icc1: first.value,
        icc1_ci: first.ci,
        icc2: second.value,
        icc2_ci: second.ci,
        icc3: third.value,
        icc3_ci: third.ci,
    })
}

fn squares(rows: &[Vec<f64>]) -> Option<Squares> {
    let (n, k) = (rows.len(), rows.first()?.len());
    if n < 2 || k < 2 || rows.iter().any(|row| row.len() != k) {
        return None;
    }
    let means: Vec<f64> = rows.iter().map(|row| mean(row)).collect();
    let columns: Vec<f64> =
        (0..k).map(|j| rows.iter().map(|row| row[j]).sum::<f64>() / n as f64).collect();
    let grand = mean(&means);
    let square = |x: f64| x * x;
    let total: f64 = rows.iter().flatten().map(|x| square(x - grand)).sum();
    let between = k as f64 * means.iter().map(|m| square(m - grand)).sum::<f64>();
    let readers = n as f64 * columns.iter().map(|m| square(m - grand)).sum::<f64>();
    let (subjects, judges) = (n as f64, k as f64);
    Some(Squares {
        subjects,
        readers: judges,
        between: between / (subjects - 1.0),
        within: (total - between) / (subjects * (judges - 1.0)),
        of_readers: readers / (judges - 1.0),
        residual: (total - between - readers).max(0.0) / ((subjects - 1.0) * (judges - 1.0)),
    })
}

/// The interval of ICC(1,1) and (3,1) from the ratio of mean squares and its degrees of freedom.
fn of_ratio(ratio: f64, k: f64, (over, under): (f64, f64)) -> Option<[f64; 2]> {
    let ends = [ratio / f_975(over, under)?, ratio * f_975(under, over)?];
    let ends = ends.map(|f| (f - 1.0) / (f + k - 1.0));
    ends.iter().all(|end| end.is_finite()).then_some(ends)
}

fn one_way(s: &Squares) -> Coefficient {
    let (n, k) = (s.subjects, s.readers);
    let value = (s.between - s.within) / (s.between + (k - 1.0) * s.within);
    Coefficient { value, ci: of_ratio(s.between / s.within, k, (n - 1.0, n * (k - 1.0))) }
}

fn fixed_readers(s: &Squares) -> Coefficient {
    let (n, k) = (s.subjects, s.readers);
    let value = (s.between - s.residual) / (s.between + (k - 1.0) * s.residual);
    let dof = (n - 1.0, (n - 1.0) * (k - 1.0));
    Coefficient { value, ci: of_ratio(s.between / s.residual, k, dof) }
}

/// ICC(2,1), its interval by the approximate degrees of freedom of the paper's page 424.
fn random_readers(s: &Squares) -> Coefficient {
    let (n, k) = (s.subjects, s.readers);
    let (b, e, j) = (s.between, s.residual, s.of_readers);
    let value = (b - e) / (b + (k - 1.0) * e + k * (j - e) / n);
    let fj = j / e;
    let part = n * (1.0 + (k - 1.0) * value) - k * value;
    let above = (k - 1.0) * (n - 1.0) * (k * value * fj + part) * (k * value * fj + part);
    let below = (n - 1.0) * k * k * value * value * fj * fj + part * part;
    let dof = above / below;
    let ends = || {
        let (high, low) = (f_975(n - 1.0, dof)?, f_975(dof, n - 1.0)?);
        let rest = k * j + (k * n - k - n) * e;
        let ends =
            [n * (b - high * e) / (high * rest + n * b), n * (low * b - e) / (rest + n * low * b)];
        ends.iter().all(|end| end.is_finite()).then_some(ends)
    };
    Coefficient { value, ci: ends() }
}

#[cfg(test)]
mod tests {
    use super::super::worked::{JUDGES, PEAK_FLOW, reference};
    use super::*;

    fn rows<const N: usize>(table: &[[f64; N]]) -> Vec<Vec<f64>> {
        table.iter().map(|row| row.to_vec()).collect()
    }

    /// The paper prints 0.17, 0.29 and 0.71 for its six targets and four judges.
    #[test]
    fn the_papers_table_gives_the_papers_coefficients() {
        let found = icc(&rows(&JUDGES)).unwrap();
        for (found, printed) in [(found.icc1, 0.17), (found.icc2, 0.29), (found.icc3, 0.71)] {
            assert!((found - printed).abs() < 0.005, "{found} for {printed}");
        }
    }

    /// Pingouin prints its intervals to two decimals; the coefficients to the last digit.
    #[test]
    fn the_library_agrees_on_coefficients_and_intervals() {
        for (name, table) in [("judges", rows(&JUDGES)), ("peak_flow", rows(&PEAK_FLOW))] {
            let found = icc(&table).unwrap();
            let known = reference(&format!("icc_{name}"));
            let values = [found.icc1, found.icc2, found.icc3];
            let cis = [found.icc1_ci, found.icc2_ci, found.icc3_ci];
            for (n, (value, ci)) in values.into_iter().zip(cis).enumerate() {
                assert!((value - known[3 * n]).abs() < 1e-9, "{name} {value}");
                let ci = ci.unwrap();
                for end in 0..2 {
                    assert!((ci[end] - known[3 * n + 1 + end]).abs() < 0.0051, "{name} {ci:?}");
                }
            }
        }
    }

    #[test]
    fn a_table_without_spread_or_with_holes_has_none() {
        assert_eq!(icc(&[vec![1.0, 1.0], vec![1.0, 1.0]]), None);
        assert_eq!(icc(&[vec![1.0, 2.0], vec![1.0]]), None);
        assert_eq!(icc(&[vec![1.0, 2.0]]), None);
        assert_eq!(icc(&[]), None);
        let same = icc(&[vec![1.0, 1.0], vec![2.0, 2.0], vec![4.0, 4.0]]).unwrap();
        assert!((same.icc1 - 1.0).abs() < 1e-12 && same.icc2_ci.is_none());
    }
}
