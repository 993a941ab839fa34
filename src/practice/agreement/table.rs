//! A table with one column a reader, and everything that can be said about how they agree.

use serde::Serialize;

use super::{
    BlandAltman, Icc, Kappa, bland_altman, icc, kappa, minimal_detectable_change, within_subject_sd,
};

/// One reader: a name, and a cell for each subject, empty where there is none.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reader {
    /// The column's name.
    pub name: String,
    /// Subject by subject.
    pub cells: Vec<String>,
}

/// Two readers against each other.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Pair {
    /// Their names; differences are first minus second.
    pub readers: [String; 2],
    /// Limits of agreement, where the cells are numbers.
    pub bland_altman: Option<BlandAltman>,
    /// Kappa, where they are words.
    pub kappa: Option<Kappa>,
}

/// What a table says; what does not apply to it is nothing.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Agreement {
    /// Their names.
    pub readers: Vec<String>,
    /// Subjects with at least one cell.
    pub subjects: usize,
    /// Subjects that every reader has read; the intraclass correlations use these only.
    pub complete: usize,
    /// Of the first two readers.
    pub bland_altman: Option<BlandAltman>,
    /// Of all readers.
    pub icc: Option<Icc>,
    /// Spread within a subject, in the unit of the table.
    pub within_subject_sd: Option<f64>,
    /// The least change between two readings that chance alone makes once in twenty.
    pub minimal_detectable_change: Option<f64>,
    /// Of the first two readers, where the cells are words.
    pub kappa: Option<Kappa>,
    /// Each pair of readers.
    pub pairs: Vec<Pair>,
}

/// Why a table says nothing.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum AgreementFault {
    /// Fewer than two columns.
    #[error("agreement needs two readers: expected one column a reader, found {0}")]
    TooFew(usize),
    /// No subject was read by two of them.
    #[error("no subject was read by two readers")]
    NothingShared,
    /// Numbers and words in one table.
    #[error(
        "reader `{reader}`, row {row}: `{cell}` is no number, though other cells are; expected all numbers, or all words"
    )]
    Mixed {
        /// The column.
        reader: String,
        /// The subject, from 1.
        row: usize,
        /// What stands there.
        cell: String,
    },
}

/// A decimal comma is taken too.
fn number(cell: &str) -> Option<f64> {
    cell.replace(',', ".").parse().ok().filter(|x: &f64| x.is_finite())
}

/// Works out a table; `times` standard deviations make the limits of agreement.
///
/// # Errors
/// See [`AgreementFault`].
pub fn agreement(readers: &[Reader], times: f64) -> Result<Agreement, AgreementFault> {
    if readers.len() < 2 {
        return Err(AgreementFault::TooFew(readers.len()));
    }
    let numeric = readers.iter().flat_map(|r| &r.cells).any(|cell| number(cell).is_some());
    if numeric && let Some(fault) = mixed(readers) {
        return Err(fault);
    }
    let height = readers.iter().map(|r| r.cells.len()).max().unwrap_or(0);
    let cell = |reader: &Reader, row: usize| {
        reader.cells.get(row).filter(|cell| !cell.is_empty()).cloned()
    };
    let rows: Vec<Vec<String>> = (0..height)
        .map(|row| readers.iter().filter_map(|reader| cell(reader, row)).collect())
        .collect();
    if rows.iter().all(|row| row.len() < 2) {
        return Err(AgreementFault::NothingShared);
    }
    let pairs = pairs(readers, numeric, times, cell);
    let numbers: Vec<Vec<f64>> = match numeric {
        true => rows.iter().map(|row| row.iter().filter_map(|c| number(c)).collect()).collect(),
        false => Vec::new(),
    };
    let full: Vec<Vec<f64>> =
        numbers.iter().filter(|row| row.len() == readers.len()).cloned().collect();
    let within = within_subject_sd(&numbers);
    Ok(Agreement {
        readers: readers.iter().map(|r| r.name.clone()).collect(),
        subjects: rows.iter().filter(|row| !row.is_empty()).count(),
        complete: rows.iter().filter(|row| row.len() == readers.len()).count(),
        bland_altman: pairs.first().and_then(|p| p.bland_altman.clone()),
        icc: icc(&full),
        within_subject_sd: within,
        minimal_detectable_change: within.map(minimal_detectable_change),
        kappa: pairs.first().and_then(|p| p.kappa.clone()),
        pairs,
    })
}

fn mixed(readers: &[Reader]) -> Option<AgreementFault> {
    readers.iter().find_map(|reader| {
        let odd = |cell: &String| !cell.is_empty() && number(cell).is_none();
        let row = reader.cells.iter().position(odd)?;
        let (reader, cell) = (reader.name.clone(), reader.cells[row].clone());
        Some(AgreementFault::Mixed { reader, row: row + 1, cell })
    })
}

fn pairs(
    readers: &[Reader],
    numeric: bool,
    times: f64,
    cell: impl Fn(&Reader, usize) -> Option<String>,
) -> Vec<Pair> {
    let mut found = Vec::new();
    for (n, first) in readers.iter().enumerate() {
        for second in &readers[n + 1..] {
            let both: Vec<(String, String)> = (0..first.cells.len())
                .filter_map(|row| Some((cell(first, row)?, cell(second, row)?)))
                .collect();
            let numbers: Vec<(f64, f64)> =
                both.iter().filter_map(|(a, b)| Some((number(a)?, number(b)?))).collect();
            found.push(Pair {
                readers: [first.name.clone(), second.name.clone()],
                bland_altman: numeric.then(|| bland_altman(&numbers, times)).flatten(),
                kappa: (!numeric).then(|| kappa(&both)).flatten(),
            });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn readers(columns: &[(&str, &[&str])]) -> Vec<Reader> {
        let of = |(name, cells): &(&str, &[&str])| Reader {
            name: (*name).into(),
            cells: cells.iter().map(|c| (*c).to_owned()).collect(),
        };
        columns.iter().map(of).collect()
    }

    #[test]
    fn numbers_give_limits_for_each_pair_and_holes_are_left_out() {
        let table = readers(&[
            ("a", &["1", "2,5", "3", ""]),
            ("b", &["2", "2.5", "5", "7"]),
            ("c", &["1", "", "3", "8"]),
        ]);
        let found = agreement(&table, 2.0).unwrap();
        assert_eq!((found.subjects, found.complete, found.pairs.len()), (4, 2, 3));
        assert_eq!(found.pairs[0].bland_altman.as_ref().unwrap().count, 3);
        assert_eq!(found.bland_altman.unwrap().bias, -1.0);
        assert_eq!(found.icc.unwrap().subjects, 2);
        assert!(found.kappa.is_none());
    }

    #[test]
    fn words_give_kappa_and_a_mixture_is_refused_with_its_place() {
        let words = readers(&[("a", &["mono", "multi"]), ("b", &["mono", "mono"])]);
        let found = agreement(&words, 2.0).unwrap();
        assert!(found.kappa.is_some() && found.icc.is_none() && found.bland_altman.is_none());
        let mixed = readers(&[("a", &["1", "2"]), ("b", &["1", "loud"])]);
        let said = agreement(&mixed, 2.0).unwrap_err().to_string();
        assert!(said.contains("`b`, row 2"), "{said}");
        assert_eq!(agreement(&mixed[..1], 2.0), Err(AgreementFault::TooFew(1)));
        let apart = readers(&[("a", &["1", ""]), ("b", &["", "2"])]);
        assert_eq!(agreement(&apart, 2.0), Err(AgreementFault::NothingShared));
    }
}
