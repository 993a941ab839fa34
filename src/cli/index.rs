//! The verb `index`: both indexes from typed readings, one visit from the words or many from a table.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::Context;
use clap_complete::engine::ArgValueCompleter;

use super::described::line;
use super::nearest::did_you_mean;
use super::output::{fault, say};
use crate::clinical::event::Posture;
use crate::clinical::guidance::{self, GuidanceSet};
use crate::clinical::method::Method;
use crate::clinical::moment::Moment;
use crate::clinical::result::VisitResult;
use crate::clinical::site::Site;
use crate::clinical::typed::{self, Given};
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out;
use crate::units::Mmhg;

use super::{complete, paper};

#[derive(clap::Args)]
#[command(
    after_help = "A value is mmHg (104, 104.5 or 104,5), or nc (not compressible), none (no signal \
found), skipped (not measured). A site that is left out is not yet measured.\n\nGuidance: acc-aha-2024 \
(the default), nice-cks, german-s2k, consensus-2020, rnao, wifi, tasc-2007, esc-2017, all, or a .toml file \
of your own."
)]
pub(super) struct Words {
    /// Right arm, brachial
    #[arg(long, value_name = "MMHG", allow_hyphen_values = true)]
    right_arm: Option<Given>,
    /// Left arm, brachial
    #[arg(long, value_name = "MMHG", allow_hyphen_values = true)]
    left_arm: Option<Given>,
    /// Right dorsalis pedis
    #[arg(long, value_name = "MMHG", allow_hyphen_values = true)]
    right_dp: Option<Given>,
    /// Right posterior tibial
    #[arg(long, value_name = "MMHG", allow_hyphen_values = true)]
    right_pt: Option<Given>,
    /// Right peroneal, where it was measured
    #[arg(long, value_name = "MMHG", allow_hyphen_values = true)]
    right_peroneal: Option<Given>,
    /// Left dorsalis pedis
    #[arg(long, value_name = "MMHG", allow_hyphen_values = true)]
    left_dp: Option<Given>,
    /// Left posterior tibial
    #[arg(long, value_name = "MMHG", allow_hyphen_values = true)]
    left_pt: Option<Given>,
    /// Left peroneal, where it was measured
    #[arg(long, value_name = "MMHG", allow_hyphen_values = true)]
    left_peroneal: Option<Given>,
    /// Right great toe, entered from another instrument
    #[arg(long, value_name = "MMHG", allow_hyphen_values = true)]
    right_toe: Option<Given>,
    /// Left great toe, entered from another instrument
    #[arg(long, value_name = "MMHG", allow_hyphen_values = true)]
    left_toe: Option<Given>,
    /// Read visits from a table: a header of these site names, a visit a line (`-` for standard input)
    #[arg(long, value_name = "FILE", conflicts_with_all = ["right_arm", "left_arm", "right_dp", "right_pt",
        "right_peroneal", "left_dp", "left_pt", "left_peroneal", "right_toe", "left_toe"])]
    csv: Option<PathBuf>,
    /// How the index is formed: higher, lower, mean, pt-only or same-side-arm
    #[arg(long, value_name = "NAME", default_value = "higher")]
    method: Method,
    /// A set of guidance; may be given several times, and sets are never merged
    #[arg(long, value_name = "NAME", add = ArgValueCompleter::new(complete::guidances))]
    guidance: Vec<String>,
    /// How the patient lay: supine, head-raised, sitting or other
    #[arg(long, value_name = "WORD", value_parser = posture)]
    posture: Option<Posture>,
    /// Deflation of the cuff, mmHg a second, where it is known
    #[arg(long, value_name = "MMHG_PER_S", value_parser = above_zero)]
    deflation: Option<f64>,
    /// Heart rate, beats a minute, where it is known
    #[arg(long, value_name = "BPM", value_parser = above_zero)]
    heart_rate: Option<f64>,
    /// Graduation of the gauge, mmHg
    #[arg(long, value_name = "MMHG", value_parser = graduation, default_value = "2")]
    graduation: Mmhg,
    /// JSON instead of text; with --csv one object a line
    #[arg(long)]
    json: bool,
}

fn posture(word: &str) -> Result<Posture, String> {
    match word {
        "supine" => Ok(Posture::Supine),
        "head-raised" => Ok(Posture::HeadRaised),
        "sitting" => Ok(Posture::Sitting),
        "other" => Ok(Posture::Other),
        _ => Err("write supine, head-raised, sitting or other".into()),
    }
}

fn above_zero(text: &str) -> Result<f64, String> {
    let number = text.replace(',', ".").parse::<f64>().ok();
    let found = number.filter(|n| n.is_finite() && *n > 0.0 && *n <= 300.0);
    found.ok_or_else(|| "write a number above 0, at most 300".into())
}

fn graduation(text: &str) -> Result<Mmhg, String> {
    let mmhg = above_zero(text)?;
    let refused = "write the mmHg from one line of the gauge to the next, such as 2";
    match Mmhg::try_from(mmhg) {
        Ok(line) if (1..=200).contains(&line.as_tenths()) => Ok(line),
        _ => Err(refused.into()),
    }
}

/// What stays the same for every visit of one run.
struct Plan {
    method: Method,
    posture: Option<Posture>,
    graduation: Mmhg,
    assumed: Assumed,
    known: (bool, bool),
    sets: Vec<GuidanceSet>,
    at: Moment,
    today: jiff::civil::Date,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let given = words.given();
    if given.is_empty() && words.csv.is_none() {
        fault(
            "no reading was given. Write for example:\n  cuffnote index --right-arm 148 --left-arm 142 --right-dp 96 --right-pt 104 --left-dp 150 --left-pt 146",
        );
        return Ok(ExitCode::from(2));
    }
    let sets = match sets(&words.guidance)? {
        Ok(sets) => sets,
        Err(unknown) => {
            fault(&unknown);
            return Ok(ExitCode::from(2));
        }
    };
    let usual = Assumed::default();
    let (at, today) = now();
    let plan = Plan {
        method: words.method,
        posture: words.posture,
        graduation: words.graduation,
        assumed: Assumed {
            deflation_mmhg_per_s: words.deflation.unwrap_or(usual.deflation_mmhg_per_s),
            heart_rate_bpm: words.heart_rate.unwrap_or(usual.heart_rate_bpm),
        },
        known: (words.deflation.is_some(), words.heart_rate.is_some()),
        sets,
        at,
        today,
    };
    match &words.csv {
        Some(path) => super::table::run(path, words.json, |given| plan.result(given)),
        None => {
            let result = plan.result(&given)?;
            let text = if words.json { line(&result)? } else { paper::visit(&result) };
            say(&text)?;
            Ok(ExitCode::SUCCESS)
        }
    }
}

pub(super) fn now() -> (Moment, jiff::civil::Date) {
    let now = crate::units::wall_clock();
    let offset = jiff::tz::TimeZone::system().to_offset(now);
    (Moment::new(now, offset), offset.to_datetime(now).date())
}

impl Words {
    fn given(&self) -> Vec<(Site, Given)> {
        let given = [
            ("right-arm", self.right_arm),
            ("right-pt", self.right_pt),
            ("right-dp", self.right_dp),
            ("right-peroneal", self.right_peroneal),
            ("left-pt", self.left_pt),
            ("left-dp", self.left_dp),
            ("left-peroneal", self.left_peroneal),
            ("left-arm", self.left_arm),
            ("right-toe", self.right_toe),
            ("left-toe", self.left_toe),
        ];
        given.into_iter().filter_map(|(code, given)| Some((code.parse().ok()?, given?))).collect()
    }
}

impl Plan {
    fn result(&self, given: &[(Site, Given)]) -> anyhow::Result<VisitResult> {
        let posture = self.posture.unwrap_or(Posture::Supine);
        let opened = typed::opening(self.method, self.graduation, posture);
        let visit = Visit::from_events(&typed::events(opened, self.at, given))?;
        let mut result = work_out(&visit, &self.sets, self.assumed);
        for (told, what) in [(self.known.0, "deflation"), (self.known.1, "heart rate")] {
            if told {
                result.notes.push(format!("The {what} in use was given with the readings."));
            }
        }
        for set in &self.sets {
            if set.look_again.parse::<jiff::civil::Date>().is_ok_and(|day| day < self.today) {
                result.notes.push(format!(
                    "{}: its source was to be looked at again by {}, and that day has passed.",
                    set.name, set.look_again
                ));
            }
        }
        if self.posture.is_none() {
            result.notes.push("Assumed: lying flat.".into());
        }
        Ok(result)
    }
}

/// The sets asked for; the inner error names a set that does not exist.
pub(super) fn sets(names: &[String]) -> anyhow::Result<Result<Vec<GuidanceSet>, String>> {
    let mut sets: Vec<GuidanceSet> = Vec::new();
    let all: Vec<String> = guidance::ids().map(str::to_owned).collect();
    let default = [guidance::DEFAULT.to_owned()];
    let names = match names {
        [] => &default,
        [one] if one == "all" => all.as_slice(),
        names => names,
    };
    for name in names {
        let set = match guidance::shipped(name) {
            Some(set) => set?,
            None if name.ends_with(".toml") => own(Path::new(name))?,
            None => {
                return Ok(Err(format!(
                    "there is no guidance `{name}`{}: write {}, all, or a .toml file of your own",
                    did_you_mean(name, all.iter().map(String::as_str)),
                    all.join(", ")
                )));
            }
        };
        if !sets.iter().any(|other| other.id == set.id) {
            sets.push(set);
        }
    }
    Ok(Ok(sets))
}

pub(super) fn own(path: &Path) -> anyhow::Result<GuidanceSet> {
    let text = std::fs::read_to_string(path).with_context(|| format!("{}", path.display()))?;
    Ok(GuidanceSet::parse(&path.display().to_string(), &text)?)
}
