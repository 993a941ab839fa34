//! Scenarios: patients and visits of a fictional clinic, as TOML files compiled in; and the reader for
//! anybody's own.
//!
//! A file has `version`, `about`, for a visit `record` (a code, never a name), a `[case]` table with fields of
//! [`Case`], and for a visit a `[sites.NAME]` table for each site with what differs there.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::{Table, Value};

use super::case::Case;

/// The names a site may have, in the order of an examination.
pub const SITES: [&str; 8] = [
    "right-arm",
    "right-pt",
    "right-dp",
    "left-pt",
    "left-dp",
    "left-arm",
    "right-toe",
    "left-toe",
];

macro_rules! shipped {
    ($($name:literal),* $(,)?) => {
        [$(($name, include_str!(concat!("scenarios/", $name, ".toml")))),*]
    };
}

const SHIPPED: [(&str, &str); 23] = shipped![
    "visit",
    "visit-stiff",
    "visit-poor",
    "plain",
    "weak",
    "noisy",
    "irregular",
    "premature",
    "never-returns",
    "cuff-high",
    "no-artery",
    "damped",
    "monophasic",
    "microphone-speech",
    "alarm",
    "agc",
    "squelch",
    "stereo",
    "jet",
    "run-on",
    "pump-again",
    "venous",
    "two-inflations",
];

/// A patient and visit, or a single artery.
#[derive(Debug, Clone, PartialEq)]
pub struct Scenario {
    /// Its name.
    pub name: String,
    /// What it is, in one line.
    pub about: String,
    /// The fictional patient's record code, for a visit.
    pub record: Option<String>,
    /// The case without any site.
    case: Case,
    /// The case at each site of a visit, in the order of an examination; empty for a single artery.
    sites: Vec<(String, Case)>,
}

/// Why a scenario could not be had.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ScenarioFault {
    /// No scenario of that name is shipped.
    #[error(
        "there is no scenario `{0}`; `make --list` names them, and a path to a TOML file will do too"
    )]
    Unknown(String),
    /// The visit has no such site.
    #[error("scenario `{scenario}` has no site `{site}`; it has {has}")]
    NoSite {
        /// The scenario.
        scenario: String,
        /// The site asked for.
        site: String,
        /// What it has.
        has: String,
    },
    /// The TOML is wrong: the line and what was expected are in the words.
    #[error("scenario `{name}`: {words}")]
    Wrong {
        /// The scenario.
        name: String,
        /// Line, fault, and what was expected.
        words: String,
    },
}

/// What a file holds; read strictly, so that a wrong field is refused with its line.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    version: u32,
    about: String,
    record: Option<String>,
    case: Case,
    #[serde(default)]
    sites: BTreeMap<String, Case>,
}

/// The shipped scenarios: name and what it is.
pub fn names() -> Vec<(&'static str, String)> {
    let about = |text| parse("", text).map(|s| s.about).unwrap_or_default();
    SHIPPED.iter().map(|(name, text)| (*name, about(text))).collect()
}

/// A shipped scenario by name.
///
/// # Errors
/// [`ScenarioFault::Unknown`] where there is none.
pub fn load(name: &str) -> Result<Scenario, ScenarioFault> {
    match SHIPPED.iter().find(|(shipped, _)| *shipped == name) {
        Some((_, text)) => parse(name, text),
        None => Err(ScenarioFault::Unknown(name.to_owned())),
    }
}

/// Reads a scenario from the text of a TOML file.
///
/// # Errors
/// [`ScenarioFault::Wrong`], with the line and what was expected.
pub fn parse(name: &str, text: &str) -> Result<Scenario, ScenarioFault> {
    let wrong = |words: String| ScenarioFault::Wrong { name: name.to_owned(), words };
    let file: File = toml::from_str(text).map_err(|e| wrong(e.to_string().trim().to_owned()))?;
    if file.version != 1 {
        let line = line_of(text, "", "version");
        return Err(wrong(format!("line {line}: version {}; this program reads 1", file.version)));
    }
    if let Some(odd) = file.sites.keys().find(|site| !SITES.contains(&site.as_str())) {
        let line = line_of(text, &format!("sites.{odd}"), "");
        let words =
            format!("line {line}: `{odd}` is no site; expected one of {}", SITES.join(", "));
        return Err(wrong(words));
    }
    let table: Table = toml::from_str(text).map_err(|e| wrong(e.to_string()))?;
    let mut case = file.case;
    check(name, text, "case", &case)?;
    name.clone_into(&mut case.scenario);
    let mut sites = Vec::new();
    for site in SITES.into_iter().filter(|site| file.sites.contains_key(*site)) {
        let mut at_site = merged(&table, site).map_err(|e| wrong(e.to_string()))?;
        check(name, text, &format!("sites.{site}"), &at_site)?;
        at_site.scenario = format!("{name}/{site}");
        sites.push((site.to_owned(), at_site));
    }
    Ok(Scenario { name: name.to_owned(), about: file.about, record: file.record, case, sites })
}

/// The case of a site: the file's `[case]` with the site's own fields laid over it.
fn merged(file: &Table, site: &str) -> Result<Case, toml::de::Error> {
    let mut base = file.get("case").and_then(Value::as_table).cloned().unwrap_or_default();
    if let Some(own) = file.get("sites").and_then(|s| s.get(site)).and_then(Value::as_table) {
        lay_over(&mut base, own);
    }
    Value::Table(base).try_into()
}

fn lay_over(base: &mut Table, own: &Table) {
    for (key, value) in own {
        match (base.get_mut(key), value) {
            (Some(Value::Table(inner)), Value::Table(other)) => lay_over(inner, other),
            _ => {
                base.insert(key.clone(), value.clone());
            }
        }
    }
}

/// Refuses numbers that no patient, probe or recorder has, with the line in this text.
fn check(name: &str, text: &str, table: &str, case: &Case) -> Result<(), ScenarioFault> {
    check_case(case).map_err(|odd| {
        let words = format!("line {}: {odd}", line_of(text, table, odd.field));
        ScenarioFault::Wrong { name: name.to_owned(), words }
    })
}

/// A number that no patient, probe or recorder has.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("{field} is {value}; expected {low} to {high}")]
pub struct OddField {
    /// Its name in a scenario.
    pub field: &'static str,
    /// What it is.
    pub value: f64,
    /// The lowest that is taken.
    pub low: f64,
    /// The highest.
    pub high: f64,
}

/// Refuses a case with numbers that no patient, probe or recorder has.
///
/// # Errors
/// The first such field, and what was expected.
pub fn check_case(case: &Case) -> Result<(), OddField> {
    let ranges = [
        ("heart_rate_bpm", case.heart_rate_bpm, 25.0, 220.0),
        ("systolic_mmhg", case.systolic_mmhg, 20.0, 400.0),
        ("diastolic_mmhg", case.diastolic_mmhg, 5.0, case.systolic_mmhg - 4.0),
        ("breathing_mmhg", case.breathing_mmhg, 0.0, 30.0),
        ("breaths_per_min", case.breaths_per_min, 1.0, 60.0),
        ("beat_noise_mmhg", case.beat_noise_mmhg, 0.0, 20.0),
        ("growth_mmhg", case.growth_mmhg, 0.5, 100.0),
        ("run_on_ms", case.run_on_ms, 0.0, 2000.0),
        ("probe_mhz", case.probe_mhz, 1.0, 20.0),
        ("angle_deg", case.angle_deg, 0.0, 85.0),
        ("peak_cm_s", case.peak_cm_s, 1.0, 300.0),
        ("profile", case.profile, 1.0, 20.0),
        ("snr_db", case.snr_db, -30.0, 80.0),
        ("device_snr_db", case.device_snr_db, -30.0, 100.0),
        ("hand_snr_db", case.hand_snr_db, -30.0, 100.0),
        ("level_dbfs", case.level_dbfs, -90.0, 20.0),
        ("offset", case.offset, -1.0, 1.0),
        ("rate_hz", f64::from(case.rate_hz), 8_000.0, 192_000.0),
        ("baseline_s", case.hand.baseline_s, 0.0, 120.0),
        ("bleed_mmhg_s", case.hand.bleed_mmhg_s, 0.5, 30.0),
        ("stroke_mmhg", case.hand.stroke_mmhg, 2.0, 100.0),
        ("stroke_s", case.hand.stroke_s, 0.1, 5.0),
        ("hold_s", case.hand.hold_s, 0.0, 120.0),
        ("pause_s", case.hand.pause_s, 0.0, 120.0),
        ("wobble", case.hand.wobble, 0.0, 2.0),
        ("stop_mmhg", case.hand.stop_mmhg, -400.0, 100.0),
        ("tail_s", case.hand.tail_s, 0.0, 120.0),
        ("rest_s", case.hand.rest_s, 0.0, 600.0),
        ("inflations", f64::from(case.hand.inflations), 1.0, 20.0),
        ("target_mmhg", case.hand.target_mmhg.unwrap_or(150.0), 10.0, 300.0),
    ];
    let odd = ranges.into_iter().find(|(_, value, low, high)| !(low..=high).contains(&value));
    odd.map_or(Ok(()), |(field, value, low, high)| Err(OddField { field, value, low, high }))
}

/// The line of a field in a table or below it; the table's own line, or the field's first elsewhere, where it
/// is not there.
fn line_of(text: &str, table: &str, field: &str) -> usize {
    let (mut inside, mut best, mut elsewhere) = (table.is_empty(), 1, None);
    for (number, line) in text.lines().map(str::trim).enumerate() {
        if let Some(header) = line.strip_prefix('[') {
            let header = header.trim_end_matches(']').trim();
            inside =
                header == table || header.strip_prefix(table).is_some_and(|h| h.starts_with('.'));
            best = if header == table { number + 1 } else { best };
        }
        let key = line.split('=').next().unwrap_or("").trim();
        let named = !field.is_empty() && key.rsplit('.').next() == Some(field);
        if named && inside {
            return number + 1;
        }
        if named {
            elsewhere = elsewhere.or(Some(number + 1));
        }
    }
    elsewhere.unwrap_or(best)
}

impl Scenario {
    /// A single artery, as this case says.
    pub fn of(case: Case) -> Self {
        let (name, about) = (case.scenario.clone(), String::new());
        Self { name, about, record: None, case, sites: Vec::new() }
    }

    /// The sites of a visit, in the order of an examination; none for a single artery.
    pub fn sites(&self) -> impl Iterator<Item = &str> {
        self.sites.iter().map(|(site, _)| site.as_str())
    }

    /// The case at a site; without one, the single artery, or the visit's first site.
    ///
    /// # Errors
    /// [`ScenarioFault::NoSite`] where the visit has no such site, or the scenario none at all.
    pub fn case(&self, site: Option<&str>) -> Result<&Case, ScenarioFault> {
        let Some(site) = site else {
            return Ok(self.sites.first().map_or(&self.case, |(_, case)| case));
        };
        self.sites.iter().find(|(name, _)| name == site).map(|(_, case)| case).ok_or_else(|| {
            let has = self.sites().collect::<Vec<_>>().join(", ");
            ScenarioFault::NoSite {
                scenario: self.name.clone(),
                site: site.to_owned(),
                has: if has.is_empty() { "no sites: leave --site out".into() } else { has },
            }
        })
    }
}

/// The seed of one site's sound within a visit: sites of one visit differ, and each repeats exactly.
pub fn site_seed(seed: u64, site: Option<&str>) -> u64 {
    let place = site.and_then(|site| SITES.iter().position(|name| *name == site));
    seed ^ (place.map_or(0, |place| place as u64 + 1) << 56)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shipped_scenario_reads() {
        for (name, about) in names() {
            let scenario = load(name).unwrap();
            assert!(!about.is_empty(), "{name}");
            assert_eq!(scenario.record.is_some(), scenario.sites().count() >= 6, "{name}");
            assert!(scenario.case(None).is_ok());
        }
        assert!(matches!(load("nowhere"), Err(ScenarioFault::Unknown(_))));
    }

    #[test]
    fn a_site_lies_over_the_visit() {
        let visit = load("visit").unwrap();
        let case = visit.case(Some("right-dp")).unwrap();
        assert_eq!((case.systolic_mmhg, case.heart_rate_bpm), (96.0, 68.0));
        assert_eq!(case.hand.stroke_mmhg, 24.0);
        assert_eq!(visit.case(None).unwrap().systolic_mmhg, 148.0);
        let refused = visit.case(Some("left-toe")).unwrap_err().to_string();
        assert!(refused.contains("right-arm"), "{refused}");
    }

    fn refusal(text: &str) -> String {
        parse("mine", text).unwrap_err().to_string()
    }

    #[test]
    fn wrong_toml_is_refused_with_its_line_and_what_was_expected() {
        let head = "version = 1\nabout = \"x\"\n[case]\n";
        let odd = refusal(&format!("{head}hart_rate = 70.0\n"));
        assert!(odd.contains("line 4") && odd.contains("heart_rate_bpm"), "{odd}");
        let kind = refusal(&format!("{head}artery = \"odd\"\n"));
        assert!(kind.contains("line 4") && kind.contains("monophasic"), "{kind}");
        let range = refusal(&format!("{head}systolic_mmhg = 130.0\nheart_rate_bpm = 700.0\n"));
        assert!(range.contains("line 5") && range.contains("25 to 220"), "{range}");
        let site = refusal(&format!("{head}[sites.nose]\nsystolic_mmhg = 100.0\n"));
        assert!(site.contains("line 4") && site.contains("left-toe"), "{site}");
        let at_site = refusal(&format!("{head}[sites.left-arm]\n\nsystolic_mmhg = 999.0\n"));
        assert!(at_site.contains("line 6") && at_site.contains("20 to 400"), "{at_site}");
        let version = refusal("version = 2\nabout = \"x\"\n[case]\n");
        assert!(version.contains("line 1") && version.contains("reads 1"), "{version}");
        assert!(refusal("version = 1\n[case]\n").contains("about"));
        assert!(refusal("version =\n").contains("line 1"));
    }

    #[test]
    fn sites_of_a_visit_have_seeds_of_their_own() {
        assert_eq!(site_seed(7, None), 7);
        assert_ne!(site_seed(7, Some("left-dp")), site_seed(7, Some("left-pt")));
    }
}
