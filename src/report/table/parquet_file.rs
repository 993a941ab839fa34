//! Typed columns as a Parquet file (built only with the feature `parquet`). Uncompressed, every column optional.

use std::sync::Arc;

use parquet::basic::{Compression, ConvertedType, Repetition, Type as Physical};
use parquet::data_type::{BoolType, ByteArray, ByteArrayType, DoubleType, Int32Type};
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::schema::types::Type;

use super::typed::{ColumnValues, Columns};

/// Why the rows could not be written.
#[derive(Debug, thiserror::Error)]
#[error("the rows could not be written as Parquet: {0}")]
pub struct ParquetFault(#[from] ParquetError);

/// The bytes of a Parquet file with these columns; `name` is its schema's.
///
/// # Errors
/// Only a fault of the writer itself.
pub fn parquet_file(name: &str, columns: Columns) -> Result<Vec<u8>, ParquetFault> {
    let mut bytes = Vec::new();
    let properties = WriterProperties::builder()
        .set_compression(Compression::UNCOMPRESSED)
        .set_created_by(format!("cuffnote {}", env!("CARGO_PKG_VERSION")))
        .build();
    let schema = Arc::new(schema(name, &columns)?);
    let mut file = SerializedFileWriter::new(&mut bytes, schema, Arc::new(properties))?;
    let mut group = file.next_row_group()?;
    for (_, values) in columns {
        column(&mut group, values)?;
    }
    group.close()?;
    file.close()?;
    Ok(bytes)
}

fn schema(name: &str, columns: &Columns) -> Result<Type, ParquetError> {
    let field = |(name, values): &(String, ColumnValues)| {
        let (physical, converted) = match values {
            ColumnValues::Text(_) => (Physical::BYTE_ARRAY, ConvertedType::UTF8),
            ColumnValues::Number(_) => (Physical::DOUBLE, ConvertedType::NONE),
            ColumnValues::Whole(_) => (Physical::INT32, ConvertedType::NONE),
            ColumnValues::Truth(_) => (Physical::BOOLEAN, ConvertedType::NONE),
        };
        let builder = Type::primitive_type_builder(name, physical)
            .with_repetition(Repetition::OPTIONAL)
            .with_converted_type(converted);
        builder.build().map(Arc::new)
    };
    let fields = columns.iter().map(field).collect::<Result<Vec<_>, _>>()?;
    Type::group_type_builder(name).with_fields(fields).build()
}

/// Writes one column: the values that are there, and for each row whether it has one.
fn column<W: std::io::Write + Send>(
    group: &mut SerializedRowGroupWriter<'_, W>,
    values: ColumnValues,
) -> Result<(), ParquetError> {
    let Some(mut writer) = group.next_column()? else { return Ok(()) };
    macro_rules! write {
        ($kind:ty, $values:expr) => {{
            let all: Vec<Option<_>> = $values;
            let levels: Vec<i16> = all.iter().map(|value| i16::from(value.is_some())).collect();
            let values: Vec<_> = all.into_iter().flatten().collect();
            writer.typed::<$kind>().write_batch(&values, Some(&levels), None)?;
        }};
    }
    match values {
        ColumnValues::Text(values) => {
            let bytes = |text: Option<String>| text.map(|t| ByteArray::from(t.into_bytes()));
            write!(ByteArrayType, values.into_iter().map(bytes).collect());
        }
        ColumnValues::Number(values) => write!(DoubleType, values),
        ColumnValues::Whole(values) => write!(Int32Type, values),
        ColumnValues::Truth(values) => write!(BoolType, values),
    }
    writer.close()
}
