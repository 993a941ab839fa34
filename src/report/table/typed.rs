//! A table of typed columns, for programs, as CSV.

/// The values of one column; none where there is nothing.
#[derive(Debug, Clone, PartialEq)]
pub enum ColumnValues {
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
pub type Columns = Vec<(String, ColumnValues)>;

impl ColumnValues {
    fn height(&self) -> usize {
        match self {
            ColumnValues::Text(values) => values.len(),
            ColumnValues::Number(values) => values.len(),
            ColumnValues::Whole(values) => values.len(),
            ColumnValues::Truth(values) => values.len(),
        }
    }

    fn cell(&self, row: usize) -> String {
        match self {
            ColumnValues::Text(values) => values[row].clone(),
            ColumnValues::Number(values) => values[row].map(|v| v.to_string()),
            ColumnValues::Whole(values) => values[row].map(|v| v.to_string()),
            ColumnValues::Truth(values) => values[row].map(|v| v.to_string()),
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
