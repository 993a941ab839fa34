//! Works a visit out: events made a [`Visit`], a visit and the chosen guidance make a [`VisitResult`].

use super::bands;
use super::cautions::{self, Flag};
use super::condition::Quantity;
use super::differences;
use super::doubts::Doubts;
use super::event::{Phase, Posture};
use super::exact::{Hundredths, Ratio};
use super::guidance::{GuidanceSet, Values};
use super::index::{Formed, Part, Remark, form};
use super::method::Method;
use super::repeats::{Pressures, State, wanted};
use super::result::{GuidanceApplied, LegResult, Named, ToeResult, VisitResult};
use super::sentences;
use super::shown::Versions;
use super::site::{Artery, Side, Site};
use super::sites;
use super::uncertainty::{self, Assumed, ResultInterval};
use super::visit::Visit;
use crate::words::{Words, id, say};

/// The version of this program, for every result.
pub const PROGRAM: &str = env!("CARGO_PKG_VERSION");

/// Works out one visit under the given sets, in English.
pub fn work_out(visit: &Visit, sets: &[GuidanceSet], assumed: Assumed) -> VisitResult {
    work_out_in(Words::english(), visit, sets, assumed)
}

/// Works out one visit under the given sets: the same numbers whatever the language, the sentences in this one.
pub fn work_out_in(
    words: Words,
    visit: &Visit,
    sets: &[GuidanceSet],
    assumed: Assumed,
) -> VisitResult {
    let translated: Vec<GuidanceSet>;
    let sets = match words.is_english() {
        true => sets,
        false => {
            translated = sets.iter().map(|set| set.said(words)).collect();
            &translated
        }
    };
    let doubts = Doubts::of(visit, assumed);
    let rest = Pressures::of(visit, Phase::Rest);
    let mut flags = cautions::raised(visit, words);
    let ground = Ground { words, visit, rest: &rest, sets, doubts: &doubts };
    let legs = Side::BOTH.map(|side| leg(ground, side, &mut flags));
    let [right, left] = legs;
    VisitResult {
        notes: notes(ground, [&right, &left]),
        right,
        left,
        flags,
        wanted: wanted(visit, words),
        sites: sites::all(visit, words),
        method: Named { code: visit.opened.method, words: visit.opened.method.said(words).into() },
        record: visit.opened.record.clone(),
        operator: visit.operators.join(words.plain(id!("locale-then"))),
        opened_at: visit.opened_at.to_string(),
        kind: visit.opened.scope.said(words),
        measured_on: visit.measured_on(),
        reason: visit.opened.reason.clone(),
        ulcer: visit.opened.ulcer.as_ref().map(|ulcer| ulcer.said(words)),
        plan: visit.plan.as_ref().map(|(words, _)| words.clone()),
        posture: visit.opened.posture.said(words).into(),
        guidance: sets.iter().map(used).collect(),
        assumed,
        versions: Versions {
            program: PROGRAM.into(),
            listener: visit.opened.listener.clone(),
            guidance: sets.iter().map(|s| format!("{}/{}", s.id, s.version)).collect(),
        },
        closed: visit.closed,
        disagreements: visit.disagreements.clone(),
        aside: visit.aside.clone(),
        others: visit.others.clone(),
        language: words,
    }
}

fn used(set: &GuidanceSet) -> GuidanceApplied {
    GuidanceApplied {
        id: set.id.clone(),
        name: set.name.clone(),
        version: set.version.clone(),
        source: set.source.clone(),
        status: set.status,
        look_again: set.look_again.clone(),
        note: set.note.clone(),
    }
}

fn code(part: &Part) -> String {
    part.sites.iter().map(|s| s.code()).collect::<Vec<_>>().join("+")
}

/// What both legs are worked out from.
#[derive(Clone, Copy)]
struct Ground<'a> {
    words: Words,
    visit: &'a Visit,
    rest: &'a Pressures,
    sets: &'a [GuidanceSet],
    doubts: &'a Doubts<'a>,
}

fn leg(ground: Ground<'_>, side: Side, flags: &mut Vec<Flag>) -> LegResult {
    let Ground { words, visit, rest, sets, doubts } = ground;
    let formed = form(side, visit.opened.method, rest);
    if formed.remarks.contains(&Remark::NoSignalAtAll(side)) {
        flags.extend(cautions::found("absent-signals", words, side));
        flags.sort_by_key(|flag| flag.weight);
    }
    let index = formed.ratio.map(Ratio::half_up);
    let doubt = index.and_then(|index| {
        let (ankle, arm) = (formed.ankle.as_ref()?, formed.arm.as_ref()?);
        uncertainty::of_ratio(&doubts.inputs(ankle, rest), &doubts.inputs(arm, rest), index)
    });
    let ends = doubt.as_ref().zip(index).map(|(doubt, index)| doubt.hundredths(index));
    let ankle_doubt = formed.ankle.as_ref().and_then(|part| {
        uncertainty::of_pressure(&doubts.inputs(part, rest), part.pressure.as_f64())
    });
    let toe = toe(side, rest, &formed, doubts, visit);
    let mut leg = LegResult {
        side,
        index,
        low: ends.map(|e| e.0),
        high: ends.map(|e| e.1),
        unrounded: formed.ratio.map(Ratio::as_f64),
        more_than: formed.more_than.map(Ratio::down),
        ankle_mmhg: formed.ankle.as_ref().map(|p| p.pressure.as_f64()),
        ankle_site: formed.ankle.as_ref().map(code),
        ankle_interval_mmhg: ankle_doubt.as_ref().map(ResultInterval::whole),
        arm_mmhg: formed.arm.as_ref().map(|p| p.pressure.as_f64()),
        arm_site: formed.arm.as_ref().map(code),
        provisional: formed.provisional,
        bands_withheld: withheld(visit, words),
        bands: Vec::new(),
        crossings: Vec::new(),
        exercise: differences::exercise(visit, words, side, &formed),
        toe: toe.as_ref().map(|t| t.result.clone()),
        doubt: doubt.clone(),
        words: opening(ground, side, (index, ends), flags),
    };
    leg.words.extend(formed.remarks.iter().map(|remark| sentences::remark(words, remark)));
    leg.words.extend(differences::arteries(side, words, rest));
    if let Some(lowest) = leg.more_than {
        leg.words.push(say!(words, "clinical-more-than", lowest = words.number(lowest)));
    }
    leg.words.extend(toe.iter().map(|toe| toe.words(words, side)));
    leg.words.extend(toe_without(side, words, rest));
    let asked = Asked { words, formed: &formed, toe: toe.as_ref(), doubt, ankle_doubt };
    asked.of_sets(sets, &mut leg);
    leg.words.extend(leg.exercise.iter().flat_map(|e| e.words.clone()));
    leg
}

/// Flags, then the headline.
fn opening(
    ground: Ground<'_>,
    side: Side,
    (index, ends): (Option<Hundredths>, Option<(Hundredths, Hundredths)>),
    flags: &[Flag],
) -> Vec<String> {
    let Ground { words, visit, .. } = ground;
    let concerning = flags.iter().filter(|flag| flag.concerns(side));
    let mut said: Vec<String> = concerning
        .map(|flag| match flag.weight {
            cautions::Weight::RedFlag => say!(words, "clinical-red-flag", flag = flag.words),
            cautions::Weight::Caution => say!(words, "clinical-caution", flag = flag.words),
        })
        .collect();
    said.extend(disputed(visit, words, side));
    said.push(sentences::headline(words, side, index, ends, visit.opened.method));
    said
}

/// What two laptops disagree on and this leg's numbers may hang on: before the headline, like a caution.
fn disputed(visit: &Visit, words: Words, side: Side) -> Vec<String> {
    let concerns = |attempt: Option<u32>| match attempt.and_then(|number| visit.attempt(number)) {
        Some(attempt) => attempt.site.artery == Artery::Brachial || attempt.site.side == side,
        None => false,
    };
    let disputed = visit.disagreements.iter().filter(|one| concerns(one.attempt));
    disputed.map(|one| one.words(words)).collect()
}

fn withheld(visit: &Visit, words: Words) -> Option<String> {
    let posture = visit.opened.posture;
    (posture != Posture::Supine)
        .then(|| say!(words, "clinical-withheld", posture = posture.said(words)))
}

/// The toe with what the doubt of its numbers needs.
struct Toe {
    result: ToeResult,
    pressure: Ratio,
    exact: Option<Ratio>,
    pressure_doubt: Option<ResultInterval>,
    index_doubt: Option<ResultInterval>,
}

impl Toe {
    fn words(&self, words: Words, side: Side) -> String {
        let pressure = sentences::value(words, Quantity::Toe, self.pressure);
        let (side, entered) = (side.code(), self.result.entered);
        let number = |h: Hundredths| words.number(h);
        let ends = self.result.low.zip(self.result.high).map(|(a, b)| (number(a), number(b)));
        match (self.result.index.map(number), ends, entered) {
            (Some(index), Some((low, high)), false) => say!(
                words,
                "clinical-toe",
                side = side,
                pressure = pressure,
                index = index,
                low = low,
                high = high
            ),
            (Some(index), Some((low, high)), true) => say!(
                words,
                "clinical-toe-entered",
                side = side,
                pressure = pressure,
                index = index,
                low = low,
                high = high
            ),
            (_, _, false) => say!(words, "clinical-toe-bare", side = side, pressure = pressure),
            (_, _, true) => {
                say!(words, "clinical-toe-bare-entered", side = side, pressure = pressure)
            }
        }
    }
}

/// A toe that was tried and gave no pressure.
fn toe_without(side: Side, words: Words, rest: &Pressures) -> Option<String> {
    match rest.at(Site::new(side, Artery::GreatToe)) {
        State::NotYet | State::Value(_) => None,
        state => Some(say!(words, "clinical-toe-none", side = side.code(), why = state.why(words))),
    }
}

fn toe(
    side: Side,
    rest: &Pressures,
    formed: &Formed,
    doubts: &Doubts,
    visit: &Visit,
) -> Option<Toe> {
    let site = Site::new(side, Artery::GreatToe);
    let part = Part { sites: vec![site], pressure: rest.value(site)? };
    let inputs = doubts.inputs(&part, rest);
    let pressure_doubt = uncertainty::of_pressure(&inputs, part.pressure.as_f64());
    let arm = formed.arm.as_ref();
    let exact = arm.and_then(|arm| Ratio::of(part.pressure, arm.pressure));
    let index = exact.map(Ratio::half_up);
    let index_doubt =
        index.and_then(|index| uncertainty::of_ratio(&inputs, &doubts.inputs(arm?, rest), index));
    let ends = index_doubt.as_ref().zip(index).map(|(d, index)| d.hundredths(index));
    let entered = visit.attempts.iter().any(|a| a.site == site && a.entered());
    let result = ToeResult {
        toe_mmhg: Some(part.pressure.as_f64()),
        interval_mmhg: pressure_doubt.as_ref().map(ResultInterval::whole),
        index,
        low: ends.map(|e| e.0),
        high: ends.map(|e| e.1),
        entered,
    };
    Some(Toe { result, pressure: part.pressure.exact(), exact, pressure_doubt, index_doubt })
}

/// What the sets are asked about one leg.
struct Asked<'a> {
    words: Words,
    formed: &'a Formed,
    toe: Option<&'a Toe>,
    doubt: Option<ResultInterval>,
    ankle_doubt: Option<ResultInterval>,
}

impl Asked<'_> {
    fn values(&self, leg: &LegResult) -> Values {
        let banded = !self.formed.bandless;
        let rounded = |h: Option<Hundredths>| h.filter(|_| banded).map(Hundredths::exact);
        Values {
            index: rounded(leg.index),
            ankle: self.formed.ankle.as_ref().map(|p| p.pressure.exact()),
            toe: self.toe.map(|t| t.pressure),
            toe_index: rounded(self.toe.and_then(|t| t.result.index)),
        }
    }

    /// Value before rounding and doubt of each quantity.
    fn behind(&self, quantity: Quantity) -> (Option<Ratio>, Option<&ResultInterval>) {
        match quantity {
            Quantity::Index => (self.formed.ratio, self.doubt.as_ref()),
            Quantity::Ankle => (None, self.ankle_doubt.as_ref()),
            Quantity::Toe => (None, self.toe.and_then(|t| t.pressure_doubt.as_ref())),
            Quantity::ToeIndex => {
                (self.toe.and_then(|t| t.exact), self.toe.and_then(|t| t.index_doubt.as_ref()))
            }
        }
    }

    fn of_sets(&self, sets: &[GuidanceSet], leg: &mut LegResult) {
        let words = self.words;
        if let Some(why) = &leg.bands_withheld {
            leg.words.push(why.clone());
            return;
        }
        let values = self.values(leg);
        let open = self.formed.remarks.iter().any(|r| matches!(r, Remark::NotCompressible { .. }));
        for set in sets {
            let closed_none = open && leg.index.is_none() && !self.formed.bandless;
            let hits = bands::hits(set, words, &values, closed_none);
            let mut crossings = Vec::new();
            for quantity in Quantity::ALL {
                let Some(at) = values.get(quantity).filter(|_| set.speaks_of(quantity)) else {
                    continue;
                };
                let (exact, doubt) = self.behind(quantity);
                if set.bands_at(&Values::only(quantity, at)).is_empty() {
                    leg.words.push(sentences::no_band(words, set, quantity, at));
                }
                leg.words.extend(exact.and_then(|exact| bands::moved(set, words, quantity, exact)));
                crossings.extend(doubt.and_then(|d| bands::crossing(set, words, quantity, at, d)));
            }
            // Where a limit crosses the doubt, the sentence that says so comes before the band's words.
            leg.words.extend(crossings.iter().map(|c| c.words.clone()));
            leg.words.extend(hits.iter().map(|hit| hit.words.clone()));
            if hits.len() > 1 {
                leg.words.push(sentences::several(words, set));
            }
            leg.crossings.extend(crossings);
            leg.bands.extend(hits);
        }
    }
}

fn notes(ground: Ground<'_>, legs: [&LegResult; 2]) -> Vec<String> {
    let Ground { words, visit, rest, doubts, .. } = ground;
    let method = visit.opened.method;
    let mut notes: Vec<String> = visit.disagreements.iter().map(|one| one.words(words)).collect();
    notes.extend(visit.aside.iter().map(|aside| aside.words(words)));
    notes.extend(visit.others.iter().map(|other| {
        say!(words, "clinical-note-other-chain", events = other.events, chain = other.chain)
    }));
    notes.push(say!(words, "clinical-note-method", method = method.said(words)));
    if method != Method::Higher {
        notes.push(words.plain(id!("clinical-note-other-method")).into());
    }
    notes.extend(differences::arms(visit, words, rest));
    if legs.iter().any(|leg| leg.doubt.is_some()) {
        notes.extend(doubts.notes(words));
        notes.push(words.plain(id!("clinical-note-measurement-only")).into());
    }
    let indexes: Option<Vec<Hundredths>> = legs.iter().map(|leg| leg.index).collect();
    if let Some(lower) = indexes.and_then(|both| both.into_iter().min()) {
        notes.push(say!(words, "clinical-note-lower", lower = words.number(lower)));
    }
    notes
}
