//! What guidance says of an index, coded: each band of a shipped set by a code system of our own, and of HL7's codes of
//! interpretation only those whose published meaning fits. "N" is never sent: "normal" is one set's word for a range,
//! and stands only behind the name of that set.

use serde_json::{Value, json};

use super::codes;
use super::resource::ratio;
use crate::clinical::guidance::{self, Band, GuidanceSet};
use crate::clinical::result::{BandHit, LegResult};

/// The code system of docs/fhir/CodeSystem-bands.json.
pub const BANDS: &str = "urn:oid:2.25.335260078843805364991669617910256738898";
/// HL7's codes of interpretation; meanings as in version 2018-08-12, which FHIR R4 (4.0.1) holds.
pub const INTERPRETATION: &str =
    "http://terminology.hl7.org/CodeSystem/v3-ObservationInterpretation";
/// Every code of HL7's that may leave this program.
pub const INTERPRETATION_SENT: [&str; 3] = [ABOVE_SCALE, LOW, HIGH];
/// "The result is above the maximum quantifiable limit (the test procedure or equipment is the limiting factor)."
const ABOVE_SCALE: &str = ">";
/// "The result for a quantitative observation is below the lower limit of the reference range."
const LOW: &str = "L";
/// "... is above the upper limit of the reference range."
const HIGH: &str = "H";

/// The one shipped set that prints a range of reference, with its bands beyond the ends of it.
struct Range {
    set: &'static str,
    version: &'static str,
    band: &'static str,
    ends: [&'static str; 2],
    below: &'static str,
    above: &'static str,
}

const RANGE: Range = Range {
    set: "acc-aha-2024",
    version: "1",
    band: "normal",
    ends: ["1.00", "1.40"],
    below: "abnormal",
    above: "non-compressible",
};

/// One band as a concept of our code system.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BandCode {
    /// The set, the version of its copy, and the band: a copy with other limits gives other codes.
    pub code: String,
    /// The set, and its name of the band.
    pub display: String,
    /// When the band holds, and where that was published.
    pub definition: String,
}

fn code_of(set: &str, version: &str, band: &str) -> String {
    let word: String = band
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' })
        .collect();
    format!("{set}.{version}.{word}")
}

/// Every concept: the bands of all shipped sets, in their order.
///
/// # Errors
/// A fault in a shipped set, which a test rules out.
pub fn all() -> Result<Vec<BandCode>, guidance::DataFault> {
    let mut all = Vec::new();
    for set in guidance::ids().filter_map(guidance::shipped) {
        let set = set?;
        all.extend(set.bands.iter().map(|band| concept(&set, band)));
    }
    Ok(all)
}

fn concept(set: &GuidanceSet, band: &Band) -> BandCode {
    let source = band.source.as_ref().unwrap_or(&set.source);
    BandCode {
        code: code_of(&set.id, &set.version, &band.name),
        display: format!("{}: \"{}\"", set.name, band.name),
        definition: format!(
            "The band that {} calls \"{}\": {}. Source: {source} ({})",
            set.name,
            band.name,
            band.when,
            band.status.unwrap_or(set.status).words()
        ),
    }
}

/// Whether a set is the shipped one of its id: a service's own may bear the same.
fn is_shipped(set: &GuidanceSet) -> bool {
    let Some(Ok(shipped)) = guidance::shipped(&set.id) else { return false };
    let limits = |set: &GuidanceSet| -> Vec<(String, String)> {
        set.bands.iter().map(|band| (band.name.clone(), band.when.to_string())).collect()
    };
    shipped.version == set.version && limits(&shipped) == limits(set)
}

fn shipped<'a>(sets: &'a [GuidanceSet], hit: &BandHit) -> Option<&'a GuidanceSet> {
    sets.iter().find(|set| set.id == hit.id && is_shipped(set))
}

/// What is said of a leg's index: of the number against what was published, then the band of each set.
pub(super) fn of_leg(leg: &LegResult, sets: &[GuidanceSet]) -> Vec<Value> {
    let mut all = Vec::new();
    if leg.index.is_none() && leg.more_than.is_some() {
        all.push(hl7(ABOVE_SCALE, "above what could be measured: an artery could not be closed"));
    }
    if let Some((side, _)) = beyond(leg, sets) {
        let word = if side == LOW { "below" } else { "above" };
        let [low, high] = RANGE.ends;
        let of = sets.iter().find(|set| set.id == RANGE.set).map_or(RANGE.set, |set| &set.name);
        let band = RANGE.band;
        all.push(hl7(side, &format!("{word} the range that {of} calls \"{band}\" ({low}-{high})")));
    }
    all.extend(leg.bands.iter().map(|hit| {
        let mut concept = codes::words(&hit.shown());
        if let Some(set) = shipped(sets, hit) {
            let code = code_of(&set.id, &set.version, &hit.name);
            concept["coding"] = json!([{"system": BANDS, "code": code}]);
        }
        concept
    }));
    all
}

fn hl7(code: &str, text: &str) -> Value {
    json!({"coding": [{"system": INTERPRETATION, "code": code}], "text": text})
}

/// On which side of the published range a measured index lies, and the band that says so.
fn beyond<'a>(leg: &'a LegResult, sets: &[GuidanceSet]) -> Option<(&'static str, &'a BandHit)> {
    leg.index?;
    leg.bands.iter().find_map(|hit| {
        let set = shipped(sets, hit)?;
        if (set.id.as_str(), set.version.as_str()) != (RANGE.set, RANGE.version) {
            return None;
        }
        match hit.name.as_str() {
            name if name == RANGE.below => Some((LOW, hit)),
            name if name == RANGE.above => Some((HIGH, hit)),
            _ => None,
        }
    })
}

/// The published range that a code says the index is outside of; none where no code says so.
pub(super) fn range(leg: &LegResult, sets: &[GuidanceSet]) -> Option<Value> {
    let (_, hit) = beyond(leg, sets)?;
    let [low, high] = RANGE.ends;
    let text = format!("{}: \"{}\" ({low}-{high})", hit.guidance, RANGE.band);
    Some(json!([{"low": ratio(low), "high": ratio(high), "text": text}]))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The range is the set's own: its band of that name holds from end to end, and those beyond it outside.
    #[test]
    fn the_range_is_what_the_set_prints() {
        let set = guidance::shipped(RANGE.set).unwrap().unwrap();
        assert_eq!(set.version, RANGE.version);
        let when =
            |name: &str| set.bands.iter().find(|band| band.name == name).unwrap().when.to_string();
        let [low, high] = RANGE.ends;
        assert_eq!(when(RANGE.band), format!("index {low}-{high}"));
        assert_eq!(when(RANGE.above), format!("index > {high}"));
        assert_eq!(when(RANGE.below), "index <= 0.90");
    }

    #[test]
    fn every_band_has_a_code_of_its_own() {
        let codes: Vec<String> = all().unwrap().into_iter().map(|band| band.code).collect();
        let different: std::collections::BTreeSet<&String> = codes.iter().collect();
        assert_eq!(different.len(), codes.len());
        assert!(codes.len() > 15);
    }
}
