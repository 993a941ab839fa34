//! Works a visit out: events made a [`Visit`], a visit and the chosen guidance make a [`VisitResult`].

use super::bands;
use super::cautions::{self, Flag};
use super::condition::Quantity;
use super::differences;
use super::dispute;
use super::doubts::Doubts;
use super::event::{Phase, Posture, Ulcer};
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

/// The version of this program, for every result.
pub const PROGRAM: &str = env!("CARGO_PKG_VERSION");

/// Works out one visit under the given sets.
pub fn work_out(visit: &Visit, sets: &[GuidanceSet], assumed: Assumed) -> VisitResult {
    let doubts = Doubts::of(visit, assumed);
    let rest = Pressures::of(visit, Phase::Rest);
    let mut flags = cautions::raised(visit);
    let ground = Ground { visit, rest: &rest, sets, doubts: &doubts };
    let legs = Side::BOTH.map(|side| leg(ground, side, &mut flags));
    let [right, left] = legs;
    VisitResult {
        notes: notes(visit, &rest, &doubts, [&right, &left]),
        right,
        left,
        flags,
        wanted: wanted(visit),
        sites: sites::all(visit),
        method: Named { code: visit.opened.method, words: visit.opened.method.words().into() },
        record: visit.opened.record.clone(),
        operator: visit.operators.join(", then "),
        opened_at: visit.opened_at.to_string(),
        kind: visit.opened.scope.words(),
        measured_on: visit.measured_on(),
        reason: visit.opened.reason.clone(),
        ulcer: visit.opened.ulcer.as_ref().map(Ulcer::words),
        plan: visit.plan.as_ref().map(|(words, _)| words.clone()),
        posture: visit.opened.posture.words().into(),
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
    visit: &'a Visit,
    rest: &'a Pressures,
    sets: &'a [GuidanceSet],
    doubts: &'a Doubts<'a>,
}

fn leg(ground: Ground<'_>, side: Side, flags: &mut Vec<Flag>) -> LegResult {
    let Ground { visit, rest, sets, doubts } = ground;
    let formed = form(side, visit.opened.method, rest);
    if formed.remarks.contains(&Remark::NoSignalAtAll(side)) {
        flags.extend(cautions::found("absent-signals", side));
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
        bands_withheld: withheld(visit),
        bands: Vec::new(),
        crossings: Vec::new(),
        exercise: differences::exercise(visit, side, &formed),
        toe: toe.as_ref().map(|t| t.result.clone()),
        doubt: doubt.clone(),
        words: opening(visit, side, index, ends, flags),
    };
    leg.words.extend(formed.remarks.iter().map(sentences::remark));
    leg.words.extend(differences::arteries(side, rest));
    if let Some(lowest) = leg.more_than {
        leg.words.push(format!("The index is above {lowest}, by how much is not known."));
    }
    leg.words.extend(toe.iter().map(|toe| toe.words(side)));
    leg.words.extend(toe_without(side, rest));
    let asked = Asked { formed: &formed, toe: toe.as_ref(), doubt, ankle_doubt };
    asked.of_sets(sets, &mut leg);
    leg.words.extend(leg.exercise.iter().flat_map(|e| e.words.clone()));
    leg
}

/// Flags, then the headline.
fn opening(
    visit: &Visit,
    side: Side,
    index: Option<Hundredths>,
    ends: Option<(Hundredths, Hundredths)>,
    flags: &[Flag],
) -> Vec<String> {
    let concerning = flags.iter().filter(|flag| flag.concerns(side));
    let mut words: Vec<String> = concerning
        .map(|flag| match flag.weight {
            cautions::Weight::RedFlag => format!("Red flag, above every number: {}.", flag.words),
            cautions::Weight::Caution => format!("Caution: {}.", flag.words),
        })
        .collect();
    words.extend(disputed(visit, side));
    words.push(sentences::headline(side, index, ends, visit.opened.method));
    words
}

/// What two laptops disagree on and this leg's numbers may hang on: before the headline, like a caution.
fn disputed(visit: &Visit, side: Side) -> Vec<String> {
    let concerns = |attempt: Option<u32>| match attempt.and_then(|number| visit.attempt(number)) {
        Some(attempt) => attempt.site.artery == Artery::Brachial || attempt.site.side == side,
        None => false,
    };
    let disputed = visit.disagreements.iter().filter(|one| concerns(one.attempt));
    disputed.map(dispute::Disagreement::words).collect()
}

fn withheld(visit: &Visit) -> Option<String> {
    let posture = visit.opened.posture;
    (posture != Posture::Supine).then(|| {
        format!(
            "No recommendation is shown: the patient was {}, and published limits are for lying flat (a seated index is about 0.35 higher on average, BMC Prim Care 2014;15:69).",
            posture.words()
        )
    })
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
    fn words(&self, side: Side) -> String {
        let mmhg = sentences::value(Quantity::Toe, self.pressure);
        let from = if self.result.entered { ", entered from another instrument" } else { "" };
        match (self.result.index, self.result.low, self.result.high) {
            (Some(index), Some(low), Some(high)) => format!(
                "The {} toe: {mmhg}{from}, toe-brachial index {index} ({low} to {high}).",
                side.words()
            ),
            _ => format!("The {} toe: {mmhg}{from}, no toe-brachial index.", side.words()),
        }
    }
}

/// A toe that was tried and gave no pressure.
fn toe_without(side: Side, rest: &Pressures) -> Option<String> {
    match rest.at(Site::new(side, Artery::GreatToe)) {
        State::NotYet | State::Value(_) => None,
        state => Some(format!("The {} toe: {}; no toe-brachial index.", side.words(), state.why())),
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
        if let Some(why) = &leg.bands_withheld {
            leg.words.push(why.clone());
            return;
        }
        let values = self.values(leg);
        let open = self.formed.remarks.iter().any(|r| matches!(r, Remark::NotCompressible { .. }));
        for set in sets {
            let hits =
                bands::hits(set, &values, open && leg.index.is_none() && !self.formed.bandless);
            let mut crossings = Vec::new();
            for quantity in Quantity::ALL {
                let Some(at) = values.get(quantity).filter(|_| set.speaks_of(quantity)) else {
                    continue;
                };
                let (exact, doubt) = self.behind(quantity);
                if set.bands_at(&Values::only(quantity, at)).is_empty() {
                    leg.words.push(sentences::no_band(set, quantity, at));
                }
                leg.words.extend(exact.and_then(|exact| bands::moved(set, quantity, exact)));
                crossings.extend(doubt.and_then(|d| bands::crossing(set, quantity, at, d)));
            }
            // Where a limit crosses the doubt, the sentence that says so comes before the band's words.
            leg.words.extend(crossings.iter().map(|c| c.words.clone()));
            leg.words.extend(hits.iter().map(|hit| hit.words.clone()));
            if hits.len() > 1 {
                leg.words.push(sentences::several(set));
            }
            leg.crossings.extend(crossings);
            leg.bands.extend(hits);
        }
    }
}

fn notes(visit: &Visit, rest: &Pressures, doubts: &Doubts, legs: [&LegResult; 2]) -> Vec<String> {
    let method = visit.opened.method;
    let mut notes: Vec<String> =
        visit.disagreements.iter().map(dispute::Disagreement::words).collect();
    notes.extend(visit.aside.iter().map(dispute::Aside::words));
    notes.extend(visit.others.iter().map(|other| {
        let events = if other.events == 1 { "event was" } else { "events were" };
        format!("{} {events} written by another chain, {}.", other.events, other.chain)
    }));
    notes.push(format!("Method: {}.", method.words()));
    if method != Method::Higher {
        notes.push(format!("Another method than the standard one: {}.", sentences::OTHER_METHOD));
    }
    notes.extend(differences::arms(visit, rest));
    if legs.iter().any(|leg| leg.doubt.is_some()) {
        notes.extend(doubts.notes());
        notes.push(sentences::MEASUREMENT_ONLY.into());
    }
    let indexes: Option<Vec<Hundredths>> = legs.iter().map(|leg| leg.index).collect();
    if let Some(lower) = indexes.and_then(|both| both.into_iter().min()) {
        notes.push(format!(
            "Asked about a leg, each leg stands for itself; asked about cardiovascular risk, the lower of the two counts, {lower} (AHA 2012, from memory)."
        ));
    }
    notes
}
