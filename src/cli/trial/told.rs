//! What a trial found, as tables for people and as one JSON object.

use std::fmt::Write as _;

use super::case::{Draw, families};
use super::outcome::{METHODS, Outcome};
use crate::cli::described::Described;
use crate::trial::beats::{LossTold, PulseCounts};
use crate::trial::score::Judged;
use crate::trial::table::{TrialRow, quantile, wilson};
use crate::trial::{Half, Rooms, Stratum, Verdict};

/// What was tried.
pub(super) fn head(words: Draw, half: Half, rooms: &Rooms) -> String {
    format!(
        "{} half, seed {}, {} cases a stratum, {}\n",
        if half == Half::Tuning { "tuning" } else { "reporting" },
        words.seed,
        words.count,
        match rooms.len() {
            0 => "synthetic room noise only".to_owned(),
            n => format!("{n} recorded room sounds"),
        }
    )
}

/// Every method's table, a stratum a line.
pub(super) fn tables(outcomes: &[Outcome]) -> String {
    let mut text = String::new();
    for (m, method) in METHODS.iter().enumerate() {
        let _ = writeln!(text, "\n{method}");
        text += &row_names();
        let mut all = TrialRow::default();
        for name in families() {
            let mut row = TrialRow::default();
            outcomes.iter().filter(|o| o.family() == name).for_each(|o| row.add(o.judged[m]));
            if row.count() > 0 {
                text += &row_of(name, &row);
            }
            all.extend(&row);
        }
        text += &row_of("all", &all);
        if m == 0 {
            text += &calibration(&all);
            text += &pulses(outcomes);
            text += &losses(outcomes);
        }
        if m == 3 {
            text += &audible(outcomes);
        }
    }
    text
}

/// What stands above the rows.
pub(super) fn row_names() -> String {
    format!(
        "{:<26}{:>6}{:>8}{:>16}{:>7}{:>7}{:>7}{:>7}{:>9}{:>8}{:>8}{:>8}{:>8}\n",
        "stratum",
        "n",
        "hit %",
        "(95 %)",
        "late",
        "early",
        "miss",
        "false",
        "err ms",
        "mmHg",
        "cue ms",
        "in time",
        "f.cue"
    )
}

/// One stratum, for people.
pub(super) fn row_of(name: &str, row: &TrialRow) -> String {
    let n = row.count();
    // Where nothing returned, silence is the right answer and counts as a hit.
    let right = row.of(Verdict::Hit) + row.of(Verdict::Silent);
    let (low, high) = wilson(right, n);
    let percent = |x: f64| 100.0 * x;
    let share = |v: usize| format!("{:.1}", percent(v as f64 / n.max(1) as f64));
    let number = |v: Option<f64>, scale: f64, digits: usize| {
        v.map_or("-".to_owned(), |v| format!("{:.*}", digits, v * scale))
    };
    format!(
        "{name:<26}{n:>6}{:>8}{:>16}{:>7}{:>7}{:>7}{:>7}{:>9}{:>8}{:>8}{:>8}{:>8}\n",
        share(right),
        format!("({:.1}-{:.1})", percent(low), percent(high)),
        share(row.of(Verdict::Late)),
        share(row.of(Verdict::Early)),
        share(row.of(Verdict::Missed)),
        share(row.of(Verdict::False)),
        number(row.median_shift_s(), 1000.0, 0),
        number(row.mean_lag_mmhg(), 1.0, 1),
        number(row.median_cue_s(), 1000.0, 0),
        number(row.cues_in_time(), 100.0, 0),
        share(row.false_cues()),
    )
}

/// How many sounds hold a return that the ideal observer hears.
fn audible(outcomes: &[Outcome]) -> String {
    let mut text = "\nshare with an audible return, %\n".to_owned();
    for name in Stratum::ALL.map(Stratum::name) {
        let of: Vec<&Outcome> = outcomes.iter().filter(|o| o.family() == name).collect();
        let audible = of.iter().filter(|o| o.truth.audible_s.is_some()).count();
        let _ =
            writeln!(text, "  {name:<24}{:>6.1}", 100.0 * audible as f64 / of.len().max(1) as f64);
    }
    text
}

/// What the listener told of pulses, a family a line.
fn pulses(outcomes: &[Outcome]) -> String {
    let mut text = format!(
        "\npulses and rate\n{:<26}{:>8}{:>9}{:>8}{:>16}{:>12}{:>6}{:>12}{:>12}{:>12}\n",
        "stratum",
        "plain",
        "found %",
        "told",
        "wrong a minute",
        "12 or more",
        "rate",
        "within 5 %",
        "no opening",
        "rate there"
    );
    let counted = |family: &str| {
        let of = outcomes.iter().filter(|o| family == "all" || o.family() == family);
        of.fold(PulseCounts::default(), |sum, o| sum.and(&o.pulses))
    };
    for name in families().chain(["all"]) {
        let sum = counted(name);
        if sum.seconds > 0.0 {
            text += &row_of_pulses(name, &sum);
        }
    }
    text
}

fn row_of_pulses(name: &str, sum: &PulseCounts) -> String {
    let found = 100.0 * sum.found as f64 / sum.plain.max(1) as f64;
    let wrong = 60.0 * sum.wrong as f64 / sum.seconds;
    let PulseCounts { plain, told, with_rate, rates, right_rates, without, false_rates, .. } = sum;
    format!(
        "{name:<26}{plain:>8}{found:>9.1}{told:>8}{wrong:>16.2}{with_rate:>12}{rates:>6}{right_rates:>12}{without:>12}{false_rates:>12}\n"
    )
}

/// How soon after the last plain pulse its loss was told, a family a line.
fn losses(outcomes: &[Outcome]) -> String {
    let mut text = format!(
        "\nloss of the pulse\n{:<26}{:>10}{:>8}{:>8}{:>8}{:>13}{:>9}\n",
        "stratum", "closures", "told", "early", "never", "middle s", "95 % s"
    );
    for name in families().chain(["all"]) {
        let of = outcomes.iter().filter(|o| name == "all" || o.family() == name);
        let losses: Vec<LossTold> = of.filter_map(|o| o.loss).collect();
        if losses.is_empty() {
            continue;
        }
        let after = || losses.iter().filter_map(|loss| loss.after_s());
        let second =
            |q: f64| quantile(after().collect(), q).map_or("-".to_owned(), |s| format!("{s:.1}"));
        let count = |what: LossTold| losses.iter().filter(|loss| **loss == what).count();
        let _ = writeln!(
            text,
            "{name:<26}{:>10}{:>8}{:>8}{:>8}{:>13}{:>9}",
            losses.len(),
            after().count(),
            count(LossTold::Early),
            count(LossTold::Never),
            second(0.5),
            second(0.95)
        );
    }
    text
}

fn calibration(row: &TrialRow) -> String {
    let mut text = "\nconfidence: claims, mean claimed, share right\n".to_owned();
    for (n, claimed, right) in row.reliability().iter().filter(|bin| bin.0 > 0) {
        let _ = writeln!(text, "  {n:>6}  {claimed:.2}  {right:.2}");
    }
    if let (Some(brier), Some(error)) = (row.brier(), row.calibration_error()) {
        let _ = writeln!(text, "  Brier score {brier:.3}, expected calibration error {error:.3}");
    }
    text
}

/// The listener's score.
#[derive(Debug, Clone, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub(in crate::cli) struct Scored {
    /// The seed of the grid.
    seed: u64,
    /// `reporting` or `tuning`.
    half: String,
    /// Cases a stratum.
    cases_a_stratum: u64,
    /// Each stratum, and `all`.
    strata: Vec<Score>,
}

impl Described for Scored {
    const FORMAT: &'static str = "cuffnote-trial";
}

/// The listener in one stratum. Shares are of all cases, 0 to 1.
#[derive(Debug, Clone, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub(super) struct Score {
    /// Its name.
    stratum: String,
    /// Cases.
    cases: usize,
    /// Returns found where they were, and silence where there was none.
    right: f64,
    /// The 95 % interval of that (Wilson).
    right_interval: [f64; 2],
    /// Returns found late.
    late: f64,
    /// Returns told before there was one.
    early: f64,
    /// Returns that were not found.
    missed: f64,
    /// Returns told where there was none.
    wrong: f64,
    /// Median distance of right returns from the truth, seconds.
    median_error_s: Option<f64>,
    /// The pressure that a tap at the return would have read too low, mean, mmHg.
    mean_lag_mmhg: Option<f64>,
    /// Median time from the first audible beat to the cue, seconds.
    median_cue_s: Option<f64>,
    /// Share of the cues that came in time.
    cues_in_time: Option<f64>,
    /// Share of cases with a cue that was false.
    false_cues: f64,
    /// Mean squared error of the confidence (Brier), where any was claimed.
    brier: Option<f64>,
}

impl Score {
    /// Its name.
    pub(super) fn name(&self) -> &str {
        &self.stratum
    }

    /// Count, visits, shares and the median error, for people.
    pub(super) fn in_a_row(&self, visits: usize) -> String {
        let percent = |share: f64| format!("{:.1}", 100.0 * share);
        let [low, high] = self.right_interval.map(percent);
        format!(
            "{:>5}{visits:>8}{:>8}{:>16}{:>6}{:>7}{:>8}{:>7}{:>8}",
            self.cases,
            percent(self.right),
            format!("({low}-{high})"),
            percent(self.late),
            percent(self.early),
            percent(self.missed),
            percent(self.wrong),
            self.median_error_s.map_or("-".to_owned(), |s| format!("{:.0}", s * 1000.0))
        )
    }
}

/// The listener's score, stratum by stratum.
pub(super) fn scored(words: Draw, half: Half, outcomes: &[Outcome]) -> Scored {
    let mut all = TrialRow::default();
    let mut strata = Vec::new();
    for name in families() {
        let mut row = TrialRow::default();
        let of = outcomes.iter().filter(|outcome| outcome.family() == name);
        of.for_each(|outcome| row.add(listener(outcome)));
        if row.count() > 0 {
            strata.push(score(name, &row));
        }
        all.extend(&row);
    }
    strata.push(score("all", &all));
    let half = if half == Half::Tuning { "tuning" } else { "reporting" };
    Scored { seed: words.seed, half: half.into(), cases_a_stratum: words.count, strata }
}

/// The listener is the first of the methods.
fn listener(outcome: &Outcome) -> Judged {
    outcome.judged[0]
}

pub(super) fn score(name: &str, row: &TrialRow) -> Score {
    let cases = row.count();
    let right = row.of(Verdict::Hit) + row.of(Verdict::Silent);
    let (low, high) = wilson(right, cases);
    let rounded = |value: f64| (value * 1e4).round() / 1e4;
    let share = |count: usize| rounded(count as f64 / cases.max(1) as f64);
    Score {
        stratum: name.to_owned(),
        cases,
        right: share(right),
        right_interval: [rounded(low), rounded(high)],
        late: share(row.of(Verdict::Late)),
        early: share(row.of(Verdict::Early)),
        missed: share(row.of(Verdict::Missed)),
        wrong: share(row.of(Verdict::False)),
        median_error_s: row.median_shift_s().map(rounded),
        mean_lag_mmhg: row.mean_lag_mmhg().map(rounded),
        median_cue_s: row.median_cue_s().map(rounded),
        cues_in_time: row.cues_in_time().map(rounded),
        false_cues: share(row.false_cues()),
        brier: row.brier().map(rounded),
    }
}
