//! The two ways in which a table is written.

/// How a table is written: for programs, or for spreadsheets where the comma is the decimal sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Dialect {
    /// Comma between cells, decimal point, UTF-8 (RFC 4180).
    #[default]
    Comma,
    /// Semicolon between cells, decimal comma, UTF-8 with a byte order mark.
    Semicolon,
}
