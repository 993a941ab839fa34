//! Rows of the dictionary as a Parquet file, a group of rows at a time. Uncompressed, every column optional.

use std::fs::File;
use std::sync::Arc;

use parquet::basic::{Compression, LogicalType, Repetition, TimeUnit, Type as Physical};
use parquet::data_type::{BoolType, ByteArray, ByteArrayType, DoubleType, Int32Type, Int64Type};
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::schema::types::Type;

use super::dictionary::{Column, ColumnKind};
use super::facts::{Cell, Row};

/// A file that is being written.
pub(super) struct Rows {
    file: SerializedFileWriter<File>,
    columns: &'static [Column],
}

impl Rows {
    /// Begins a file.
    pub(super) fn new(
        file: File,
        name: &str,
        columns: &'static [Column],
    ) -> Result<Self, ParquetError> {
        let properties = WriterProperties::builder()
            .set_compression(Compression::UNCOMPRESSED)
            .set_created_by(format!("cuffnote-service {}", env!("CARGO_PKG_VERSION")))
            .build();
        let schema = Arc::new(schema(name, columns)?);
        Ok(Self { file: SerializedFileWriter::new(file, schema, Arc::new(properties))?, columns })
    }

    /// Adds rows as one group.
    pub(super) fn add(&mut self, rows: &[Row]) -> Result<(), ParquetError> {
        let mut group = self.file.next_row_group()?;
        for (at, column) in self.columns.iter().enumerate() {
            write(&mut group, rows, (at, column.kind))?;
        }
        group.close()?;
        Ok(())
    }

    /// Ends the file, and gives it back to be made durable.
    pub(super) fn end(self) -> Result<File, ParquetError> {
        self.file.into_inner()
    }
}

fn schema(name: &str, columns: &[Column]) -> Result<Type, ParquetError> {
    let field = |column: &Column| {
        let (physical, logical) = match column.kind {
            ColumnKind::Text => (Physical::BYTE_ARRAY, Some(LogicalType::String)),
            ColumnKind::Whole => (Physical::INT64, None),
            ColumnKind::Number => (Physical::DOUBLE, None),
            ColumnKind::Truth => (Physical::BOOLEAN, None),
            ColumnKind::Day => (Physical::INT32, Some(LogicalType::Date)),
            ColumnKind::Instant => {
                (Physical::INT64, Some(LogicalType::timestamp(true, TimeUnit::MICROS)))
            }
        };
        let builder = Type::primitive_type_builder(column.name, physical)
            .with_repetition(Repetition::OPTIONAL)
            .with_logical_type(logical);
        builder.build().map(Arc::new)
    };
    let fields = columns.iter().map(field).collect::<Result<Vec<_>, _>>()?;
    Type::group_type_builder(name).with_fields(fields).build()
}

/// Days since 1970.
fn days(day: jiff::civil::Date) -> i32 {
    let first = jiff::civil::date(1970, 1, 1);
    (day - first).get_days()
}

/// Writes one column: the values that are there, and for each row whether it has one.
fn write(
    group: &mut SerializedRowGroupWriter<'_, File>,
    rows: &[Row],
    (at, kind): (usize, ColumnKind),
) -> Result<(), ParquetError> {
    let Some(mut writer) = group.next_column()? else { return Ok(()) };
    macro_rules! write {
        ($kind:ty, $of:pat => $value:expr) => {{
            let (mut levels, mut values) =
                (Vec::with_capacity(rows.len()), Vec::with_capacity(rows.len()));
            for row in rows {
                let value = match &row[at] {
                    $of => Some($value),
                    _ => None,
                };
                levels.push(i16::from(value.is_some()));
                values.extend(value);
            }
            writer.typed::<$kind>().write_batch(&values, Some(&levels), None)?;
        }};
    }
    match kind {
        ColumnKind::Text => {
            write!(ByteArrayType, Cell::Text(text) => ByteArray::from(text.as_bytes().to_vec()))
        }
        ColumnKind::Whole => write!(Int64Type, Cell::Whole(n) => *n),
        ColumnKind::Number => write!(DoubleType, Cell::Number(n) => *n),
        ColumnKind::Truth => write!(BoolType, Cell::Truth(it_is) => *it_is),
        ColumnKind::Day => write!(Int32Type, Cell::Day(day) => days(*day)),
        ColumnKind::Instant => write!(Int64Type, Cell::Instant(us) => *us),
    }
    writer.close()
}
