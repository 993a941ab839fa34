//! An audit finds habits that are there, does not find habits that are not, and calls few few.

use cuffnote::clinical::event::{
    Act, Event, Gauge, Heard, Made, Outcome, Phase, Posture, SoundTime, Source,
};
use cuffnote::clinical::method::Method;
use cuffnote::clinical::moment::Moment;
use cuffnote::clinical::result::VisitResult;
use cuffnote::clinical::typed;
use cuffnote::clinical::uncertainty::Assumed;
use cuffnote::clinical::visit::Visit;
use cuffnote::clinical::working::work_out;
use cuffnote::report::audit::statistics::{binomial, quartiles, wilson};
use cuffnote::report::audit::{Audit, AuditChoices, Gauges, audit, csv, page};
use cuffnote::report::table::Dialect;
use cuffnote::units::{Mmhg, SampleIndex};
use roxmltree::{Document, ParsingOptions};

const SITES: [&str; 6] = ["right-arm", "right-pt", "right-dp", "left-pt", "left-dp", "left-arm"];

/// Equal chances from a seed (splitmix64; Steele, Lea, Flood 2014).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn is(&mut self, chance: f64) -> bool {
        self.next() < chance
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + self.next() * (high - low)
    }
}

/// How a service measures.
#[derive(Clone, Copy)]
struct Habits {
    /// Chance that op-1 reads the nearest ten.
    rounds: f64,
    /// Deflation, mmHg a second, from and to.
    rate: (f64, f64),
    /// Lag of the tap where nothing is hard to hear, and with hum, seconds.
    lag: (f64, f64),
    /// Chance that the left dorsalis pedis has no signal.
    no_signal: f64,
    /// Chance that an attempt is taken back and made again.
    again: f64,
    /// Chance that the visit is left without the left arm.
    unfinished: f64,
}

const GOOD: Habits = Habits {
    rounds: 0.0,
    rate: (2.1, 2.9),
    lag: (0.4, 0.4),
    no_signal: 0.0,
    again: 0.0,
    unfinished: 0.0,
};
const BAD: Habits = Habits {
    rounds: 0.5,
    rate: (3.5, 6.5),
    lag: (0.3, 0.9),
    no_signal: 0.12,
    again: 0.15,
    unfinished: 0.2,
};

fn visit(n: usize, habits: Habits, chance: &mut Chance) -> Vec<Event> {
    let mut opened = typed::opening(Method::Higher, Mmhg::whole(2).unwrap(), Posture::Supine);
    let operator = if n.is_multiple_of(2) { "op-1" } else { "op-2" };
    let gauge = if n.is_multiple_of(5) { "G-9" } else { "G-5" };
    opened.record = format!("S-{n}");
    opened.operator = operator.into();
    opened.gauge = Gauge { code: gauge.into(), graduation_mmhg: Mmhg::whole(2).unwrap() };
    opened.rested_min = chance.is(0.9).then_some(10);
    let mut acts = vec![Act::VisitOpened(opened)];
    let mut attempt = 0;
    for site in SITES {
        if site == "left-arm" && chance.is(habits.unfinished) {
            continue;
        }
        let none = site == "left-dp" && chance.is(habits.no_signal);
        let rounds = operator == "op-1";
        attempt += 1;
        one(&mut acts, attempt, site, none, rounds, habits, chance);
        if chance.is(habits.again) {
            let (who, why) = (operator.into(), "moved".into());
            acts.push(Act::AttemptWithdrawn { attempt, who, why });
            attempt += 1;
            one(&mut acts, attempt, site, none, rounds, habits, chance);
        }
    }
    acts.push(Act::VisitClosed);
    let at = Moment::parse(&format!("2026-{:02}-11T09:00:00Z", 1 + n % 12)).unwrap();
    (1..).zip(acts).map(|(n, act)| Event::new(n, at, act)).collect()
}

fn one(
    acts: &mut Vec<Act>,
    attempt: u32,
    site: &str,
    none: bool,
    rounds: bool,
    habits: Habits,
    chance: &mut Chance,
) {
    let site = site.parse().unwrap();
    acts.push(Act::SiteChosen { attempt, site, phase: Phase::Rest, gauge: None });
    if none {
        acts.push(Act::Outcome { attempt, outcome: Outcome::NoSignal });
        return;
    }
    let mut read = 2 * (chance.between(45.0, 80.0) as i32);
    if rounds && chance.is(habits.rounds) {
        read = (read + 4) / 10 * 10;
    }
    let hum = chance.is(0.3);
    let (quiet, loud) = habits.lag;
    let lag = if hum { loud } else { quiet } + chance.between(-0.1, 0.1);
    let at = |s: f64| SoundTime {
        epoch: attempt,
        sample: SampleIndex((s * 8000.0) as u64),
        rate_hz: 8000,
    };
    let rate = chance.between(habits.rate.0, habits.rate.1);
    let cuff_mmhg = Mmhg::whole(read).unwrap();
    let above = Mmhg::tenths(cuff_mmhg.as_tenths() + (rate * 100.0).round() as i32).unwrap();
    acts.push(Act::Needle { attempt, cuff_mmhg: above, at: at(10.0 + lag) });
    let quality = if hum { vec!["hum".into()] } else { Vec::new() };
    let heard = Heard { return_s: Some(20.0), quality, ..Heard::default() };
    acts.push(Act::Finding { attempt, heard });
    acts.push(Act::Mark { attempt, at: at(20.0 + lag), made: Made::Key });
    let source = Source::EarAndGauge;
    acts.push(Act::Outcome { attempt, outcome: Outcome::Reading { cuff_mmhg, source } });
}

fn service(habits: Habits, count: usize) -> Vec<(Visit, VisitResult)> {
    let mut chance = Chance(77);
    let each = (0..count).map(|n| {
        let visit = Visit::from_events(&visit(n, habits, &mut chance)).unwrap();
        let result = work_out(&visit, &[], Assumed::default());
        (visit, result)
    });
    each.collect()
}

fn audited(visits: &[(Visit, VisitResult)], by_operator: bool) -> Audit {
    let pairs: Vec<_> = visits.iter().map(|(visit, result)| (visit, result)).collect();
    let gauges = "check_every_days = 365\n[checked]\nG-5 = \"2025-02-03\"\n";
    let gauges = Gauges::parse(gauges).unwrap();
    let today = Some("2026-11-25".parse().unwrap());
    audit(&pairs, &AuditChoices { by_operator, gauges, today })
}

#[test]
fn known_habits_of_500_visits_are_found() {
    let found = audited(&service(BAD, 500), true);
    let all = &found.all;
    assert_eq!(all.visits, 500);
    // op-1 rounds every second reading to a ten: 0.5 + 0.5 x 0.2 = 0.6 zeros; op-2 none: 0.2; together 0.4.
    let zeros =
        |counts: &cuffnote::report::audit::Counts| wilson(counts.digits[0], counts.even()).unwrap();
    let inside = |(low, high): (f64, f64), truth: f64| low <= truth && truth <= high;
    let own = |code: &str| &found.operators.iter().find(|(c, _)| c == code).unwrap().1;
    assert!(inside(zeros(all), 0.4), "{:?}", zeros(all));
    assert!(inside(zeros(own("op-1")), 0.6) && inside(zeros(own("op-2")), 0.2));
    assert!(binomial(all.digits[0], all.even(), 0.2).unwrap() < 1e-6);
    assert!(binomial(own("op-2").digits[0], own("op-2").even(), 0.2).unwrap() > 0.05);
    // Equal chances from 3.5 to 6.5: the median is 5.
    let [_, rate, _] = quartiles(&all.rates).unwrap();
    assert!((rate - 5.0).abs() < 0.15, "{rate}");
    let lag = |level: &str| quartiles(&all.lags[level]).unwrap()[1];
    assert!((lag("nothing hard to hear") - 0.3).abs() < 0.02 && (lag("hum") - 0.9).abs() < 0.02);
    let missing = all.sites["left-dp"].not_obtained["no signal found"];
    assert!(inside(wilson(missing, 500).unwrap(), 0.12), "{missing}");
    let again = all.reasons["the earlier one was taken back"];
    // Attempts that were taken back are not counted among the attempts: what stands is one a site.
    assert!(inside(wilson(again, all.attempts).unwrap(), 0.15), "{again} of {}", all.attempts);
    assert!(inside(wilson(all.complete, 500).unwrap(), 0.8), "{}", all.complete);
    assert!(inside(wilson(all.rest_known, 500).unwrap(), 0.9), "{}", all.rest_known);
    let states: Vec<(&str, bool)> =
        found.gauges.iter().map(|gauge| (gauge.code.as_str(), gauge.overdue)).collect();
    assert_eq!(states, [("G-5", true), ("G-9", false)]);
    assert!(found.gauges[1].state.contains("not known"));
}

#[test]
fn a_service_without_habits_is_not_accused() {
    let found = audited(&service(GOOD, 500), true);
    let all = &found.all;
    assert!(binomial(all.digits[0], all.even(), 0.2).unwrap() > 0.05);
    assert_eq!((all.repeats, all.complete, all.both_indexes), (0, 500, 500));
    let text =
        String::from_utf8(page(cuffnote::words::Words::english(), &found, "Tidemill leg clinic"))
            .unwrap();
    assert!(text.contains("Chance alone can explain it"), "{text}");
    assert!(!text.contains("More zeros than chance explains"));
    assert!(all.rates.iter().all(|rate| (2.0..=3.0).contains(rate)));
}

#[test]
fn few_are_called_few_and_codes_stand_apart_only_when_asked_for() {
    let found = audited(&service(BAD, 4), false);
    let text = String::from_utf8(page(cuffnote::words::Words::english(), &found, "")).unwrap();
    assert!(text.contains("A small number: 4 visits say little."));
    assert!(!text.contains("op-1") && found.operators.is_empty());
    let table = String::from_utf8(csv(&found, Dialect::Comma)).unwrap();
    assert!(!table.contains("op-1"));
    let with = audited(&service(BAD, 40), true);
    let text = String::from_utf8(page(cuffnote::words::Words::english(), &with, "")).unwrap();
    // By code, in the order of the codes whatever their numbers are, and said to be no ranking.
    assert!(text.find("Operator op-1").unwrap() < text.find("Operator op-2").unwrap());
    assert!(text.contains("no ranking"));
    for word in ["best", "worst", "score", "rank "] {
        assert!(!text.to_lowercase().contains(word), "{word}");
    }
}

#[test]
fn the_page_is_whole_and_the_table_has_its_columns() {
    for count in [0, 1, 60] {
        let found = audited(&service(BAD, count), true);
        let text = String::from_utf8(page(
            cuffnote::words::Words::english(),
            &found,
            "A <clinic> & \"sons\" =1+1 Ж",
        ))
        .unwrap();
        let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
        let document = Document::parse_with_options(&text, options).unwrap();
        let plots = document.descendants().filter(|n| n.tag_name().name() == "svg").count();
        assert_eq!(plots, if count == 0 { 0 } else { 3 });
        let table = csv(&found, Dialect::Semicolon);
        let mut reader = ::csv::ReaderBuilder::new().delimiter(b';').from_reader(&table[3..]);
        assert!(reader.records().all(|row| row.unwrap().len() == 8));
    }
}

#[test]
fn a_list_of_gauges_with_a_fault_is_refused() {
    assert!(Gauges::parse("[checked]\nG-5 = \"soon\"").is_err());
    assert!(Gauges::parse("check_evry = 3").unwrap_err().to_string().contains("check_every_days"));
    assert_eq!(Gauges::parse("").unwrap(), Gauges::default());
}
