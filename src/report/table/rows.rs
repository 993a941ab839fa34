//! Every attempt of every visit as a row of Parquet (built only with the feature `parquet`).

use super::columns::word;
use super::parquet_file::{ParquetFault, parquet_file};
use super::typed::Values;
use crate::clinical::result::{AttemptResult, SiteResult, VisitResult};
use crate::clinical::visit::{Attempt, Visit};

/// One attempt with what it belongs to.
struct Row<'a> {
    visit: &'a Visit,
    result: &'a VisitResult,
    site: &'a SiteResult,
    told: &'a AttemptResult,
    attempt: &'a Attempt,
}

/// What a column holds, taken from a row; `None` is null.
enum Take {
    Text(fn(&Row<'_>) -> Option<String>),
    Number(fn(&Row<'_>) -> Option<f64>),
    Whole(fn(&Row<'_>) -> Option<i32>),
    Truth(fn(&Row<'_>) -> Option<bool>),
}

/// Every column with its source; docs/exchange.md says what each means.
const COLUMNS: [(&str, Take); 30] = [
    ("record", Take::Text(|r| Some(r.result.record.clone()))),
    ("measured", Take::Text(|r| Some(r.result.opened_at.clone()))),
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
];

/// The bytes of a Parquet file: a row an attempt, in the order of visits and attempts. Uncompressed.
///
/// # Errors
/// Only a fault of the writer itself.
pub fn parquet(visits: &[(&Visit, &VisitResult)]) -> Result<Vec<u8>, ParquetFault> {
    let rows = rows(visits);
    let values = |take: &Take| match take {
        Take::Text(of) => Values::Text(rows.iter().map(of).collect()),
        Take::Number(of) => Values::Number(rows.iter().map(of).collect()),
        Take::Whole(of) => Values::Whole(rows.iter().map(of).collect()),
        Take::Truth(of) => Values::Truth(rows.iter().map(of).collect()),
    };
    let columns = COLUMNS.iter().map(|(name, take)| ((*name).to_owned(), values(take)));
    parquet_file("attempts", columns.collect())
}

fn rows<'a>(visits: &[(&'a Visit, &'a VisitResult)]) -> Vec<Row<'a>> {
    let mut rows = Vec::new();
    for (visit, result) in visits {
        for attempt in &visit.attempts {
            let found = result.sites.iter().find_map(|site| {
                let told = site.attempts.iter().find(|told| told.number == attempt.number)?;
                Some((site, told))
            });
            rows.extend(found.map(|(site, told)| Row { visit, result, site, told, attempt }));
        }
    }
    rows
}
