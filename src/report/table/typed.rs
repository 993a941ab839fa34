//! A table of typed columns, for programs, as CSV.

/// The values of one column; none where there is nothing.
#[derive(Debug, Clone, PartialEq)]
pub enum Values {
    /// Text.
    Text(Vec<Option<String>>),
    /// Numbers with decimals.
    Number(Vec<Option<f64>>),
    /// Whole numbers.
    Whole(Vec<Option<i32>>),
    /// True or false.
    Truth(Vec<Option<bool>>),
}

/// Columns with their names, all of one height.
pub type Columns = Vec<(String, Values)>;

impl Values {
    fn height(&self) -> usize {
        match self {
            Values::Text(values) => values.len(),
            Values::Number(values) => values.len(),
            Values::Whole(values) => values.len(),
            Values::Truth(values) => values.len(),
        }
    }

    fn cell(&self, row: usize) -> String {
        match self {
            Values::Text(values) => values[row].clone(),
            Values::Number(values) => values[row].map(|v| v.to_string()),
            Values::Whole(values) => values[row].map(|v| v.to_string()),
            Values::Truth(values) => values[row].map(|v| v.to_string()),
        }
        .unwrap_or_default()
    }
}

/// The rows of a CSV file, the names first.
pub(super) fn rows(columns: &Columns) -> impl Iterator<Item = Vec<String>> {
    let height = columns.first().map_or(0, |(_, values)| values.height());
    let names = columns.iter().map(|(name, _)| name.clone()).collect();
    let cells = move |row| columns.iter().map(|(_, values)| values.cell(row)).collect();
    std::iter::once(names).chain((0..height).map(cells))
}
