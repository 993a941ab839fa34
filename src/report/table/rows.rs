//! Every attempt of every visit as a row of Parquet (built only with the feature `parquet`).

use std::sync::Arc;

use parquet::basic::{Compression, ConvertedType, Repetition, Type as Physical};
use parquet::data_type::{BoolType, ByteArray, ByteArrayType, DoubleType, Int32Type};
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::schema::types::Type;

use super::columns::word;
use super::origin;
use super::parquet_file::ParquetFault;
use crate::clinical::result::{AttemptResult, SiteResult, VisitResult};
use crate::clinical::visit::{Attempt, Visit};

/// One attempt with what it belongs to.
struct Row<'a> {
    visit: &'a Visit,
    result: &'a VisitResult,
    site: &'a SiteResult,
    told: &'a AttemptResult,
    attempt: &'a Attempt,
    from: origin::Origin<'a>,
}

/// What a column holds, taken from a row; `None` is null.
enum Take {
    Text(fn(&Row<'_>) -> Option<String>),
    Number(fn(&Row<'_>) -> Option<f64>),
    Whole(fn(&Row<'_>) -> Option<i32>),
    Truth(fn(&Row<'_>) -> Option<bool>),
}

/// Every column with its source; docs/exchange.md says what each means.
const COLUMNS: [(&str, Take); 34] = [
    ("record", Take::Text(|r| Some(r.result.record.clone()))),
    ("measured", Take::Text(|r| Some(r.result.when()))),
    ("operator", Take::Text(|r| Some(r.result.operator.clone()))),
    ("posture", Take::Text(|r| Some(word(&r.visit.opened.posture)))),
    ("rested_min", Take::Whole(|r| r.visit.opened.rested_min.and_then(|m| m.try_into().ok()))),
    ("method", Take::Text(|r| Some(word(&r.visit.opened.method)))),
    ("visit_closed", Take::Truth(|r| Some(r.visit.closed))),
    ("attempt", Take::Whole(|r| r.told.number.try_into().ok())),
    ("site", Take::Text(|r| Some(r.site.site.code()))),
    ("side", Take::Text(|r| Some(r.site.site.side.code().into()))),
    ("artery", Take::Text(|r| Some(r.site.site.artery.words().into()))),
    ("phase", Take::Text(|r| Some(word(&r.site.phase)))),
    (
        "gauge",
        Take::Text(|r| {
            Some(r.attempt.gauge.as_ref().unwrap_or(&r.visit.opened.gauge.code).clone())
        }),
    ),
    ("outcome", Take::Text(|r| Some(r.told.outcome.clone()))),
    ("cuff_mmhg", Take::Number(|r| r.told.mmhg)),
    ("counts", Take::Truth(|r| Some(r.told.counts))),
    ("left_out", Take::Text(|r| r.told.left_out.clone())),
    ("entered", Take::Truth(|r| Some(r.told.entered))),
    ("waveform", Take::Text(|r| r.site.waveform.map(|w| w.words().into()))),
    ("tap_s", Take::Number(|r| r.told.mark_s)),
    ("pulse_lost_s", Take::Number(|r| r.told.heard.as_ref()?.lost_s)),
    ("first_pulse_s", Take::Number(|r| r.told.heard.as_ref()?.return_s)),
    (
        "tap_after_first_pulse_s",
        Take::Number(|r| Some(r.told.mark_s? - r.told.heard.as_ref()?.return_s?)),
    ),
    ("deflation_mmhg_per_s", Take::Number(|r| r.told.deflation_mmhg_per_s)),
    ("confidence", Take::Number(|r| r.told.heard.as_ref()?.confidence)),
    ("heart_rate_bpm", Take::Number(|r| r.told.heard.as_ref()?.heart_rate_bpm)),
    ("irregular", Take::Truth(|r| r.told.heard.as_ref()?.irregular)),
    ("hard_to_hear", Take::Text(|r| r.told.heard.as_ref().map(|h| h.quality.join("; ")))),
    ("listener", Take::Text(|r| r.told.heard.as_ref().map(|h| h.listener.clone()))),
    ("program", Take::Text(|r| Some(r.visit.opened.program.clone()))),
    (
        "leg_index",
        Take::Number(|r| {
            r.result.leg(r.site.site.side).index.and_then(|i| i.to_string().parse().ok())
        }),
    ),
    ("visit", Take::Text(|r| Some(r.from.visit.to_owned()))),
    ("service", Take::Text(|r| Some(r.from.service.to_owned()))),
    ("book", Take::Text(|r| Some(r.from.book.to_owned()))),
];

/// The bytes of a Parquet file: a row an attempt, in the order of visits and attempts. Uncompressed.
///
/// # Errors
/// Only a fault of the writer itself.
pub fn parquet(visits: &[origin::TableVisit<'_>]) -> Result<Vec<u8>, ParquetFault> {
    let mut bytes = Vec::new();
    let mut rows = Rows::new(&mut bytes)?;
    rows.add(visits)?;
    rows.end()?;
    Ok(bytes)
}

/// A Parquet file that is being written, some visits at a time.
pub struct Rows<W: std::io::Write + Send>(SerializedFileWriter<W>);

impl<W: std::io::Write + Send> Rows<W> {
    /// Begins the file.
    ///
    /// # Errors
    /// Only a fault of the writer itself.
    pub fn new(out: W) -> Result<Self, ParquetFault> {
        let properties = WriterProperties::builder()
            .set_compression(Compression::UNCOMPRESSED)
            .set_created_by(format!("cuffnote {}", env!("CARGO_PKG_VERSION")))
            .build();
        Ok(Self(SerializedFileWriter::new(out, Arc::new(schema()?), Arc::new(properties))?))
    }

    /// Adds the attempts of these visits as one group of rows.
    ///
    /// # Errors
    /// Only a fault of the writer itself.
    pub fn add(&mut self, visits: &[origin::TableVisit<'_>]) -> Result<(), ParquetFault> {
        let rows = rows(visits);
        let mut group = self.0.next_row_group()?;
        for (_, take) in &COLUMNS {
            column(&mut group, &rows, take)?;
        }
        group.close()?;
        Ok(())
    }

    /// Ends the file.
    ///
    /// # Errors
    /// Only a fault of the writer itself.
    pub fn end(self) -> Result<(), ParquetFault> {
        self.0.close()?;
        Ok(())
    }
}

fn rows<'a>(visits: &[origin::TableVisit<'a>]) -> Vec<Row<'a>> {
    let mut rows = Vec::new();
    for (visit, result, from) in visits {
        for attempt in &visit.attempts {
            let found = result.sites.iter().find_map(|site| {
                let told = site.attempts.iter().find(|told| told.number == attempt.number)?;
                Some((site, told))
            });
            rows.extend(found.map(|(site, told)| Row {
                visit,
                result,
                site,
                told,
                attempt,
                from: *from,
            }));
        }
    }
    rows
}

fn schema() -> Result<Type, ParquetError> {
    let field = |(name, take): &(&str, Take)| {
        let (physical, converted) = match take {
            Take::Text(_) => (Physical::BYTE_ARRAY, ConvertedType::UTF8),
            Take::Number(_) => (Physical::DOUBLE, ConvertedType::NONE),
            Take::Whole(_) => (Physical::INT32, ConvertedType::NONE),
            Take::Truth(_) => (Physical::BOOLEAN, ConvertedType::NONE),
        };
        let builder = Type::primitive_type_builder(name, physical)
            .with_repetition(Repetition::OPTIONAL)
            .with_converted_type(converted);
        builder.build().map(Arc::new)
    };
    let fields = COLUMNS.iter().map(field).collect::<Result<Vec<_>, _>>()?;
    Type::group_type_builder("attempts").with_fields(fields).build()
}

/// Writes one column: the values that are there, and for each row whether it has one.
fn column<W: std::io::Write + Send>(
    group: &mut SerializedRowGroupWriter<'_, W>,
    rows: &[Row<'_>],
    take: &Take,
) -> Result<(), ParquetError> {
    let Some(mut writer) = group.next_column()? else { return Ok(()) };
    macro_rules! write {
        ($kind:ty, $values:expr) => {{
            let all: Vec<Option<_>> = $values.collect();
            let levels: Vec<i16> = all.iter().map(|value| i16::from(value.is_some())).collect();
            let values: Vec<_> = all.into_iter().flatten().collect();
            writer.typed::<$kind>().write_batch(&values, Some(&levels), None)?;
        }};
    }
    match take {
        Take::Text(of) => {
            write!(
                ByteArrayType,
                rows.iter().map(|r| of(r).map(|t| ByteArray::from(t.into_bytes())))
            );
        }
        Take::Number(of) => write!(DoubleType, rows.iter().map(of)),
        Take::Whole(of) => write!(Int32Type, rows.iter().map(of)),
        Take::Truth(of) => write!(BoolType, rows.iter().map(of)),
    }
    writer.close()
}
