//! What a reading would have been at another moment of its sound, and what each index would become. It changes nothing.

use super::doubts::deflation;
use super::event::{Outcome, SoundTime, Source};
use super::exact::Hundredths;
use super::guidance::GuidanceSet;
use super::result::{LegResult, VisitResult};
use super::site::Side;
use super::uncertainty::Assumed;
use super::visit::Visit;
use super::working::work_out;
use crate::units::Mmhg;
use crate::words::{Words, id, say};

/// A reading at another moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Elsewhere {
    /// As it was read.
    pub read: Mmhg,
    /// As the needle stood at the other moment, to the nearest whole mmHg.
    pub there: Mmhg,
    /// The fall that was used, mmHg a second.
    pub mmhg_per_s: f64,
    /// True where nothing tells how fast the cuff fell.
    pub assumed: bool,
    /// Legs whose index that would change: the side, as it is, as it would be.
    pub legs: Vec<(Side, Indexed, Indexed)>,
}

/// An index with its interval; none where there is no index.
pub type Indexed = Option<(Hundredths, Option<(Hundredths, Hundredths)>)>;

fn indexed(leg: &LegResult) -> Indexed {
    leg.index.map(|index| (index, leg.low.zip(leg.high)))
}

/// The reading of an attempt as it would be at `at`: by needle marks, by the one mark and the reading, or by the
/// assumed fall. None without a reading and a mark in the same stream, or where the gauge ends before.
pub fn elsewhere(
    visit: &Visit,
    attempt: u32,
    at: SoundTime,
    sets: &[GuidanceSet],
) -> Option<Elsewhere> {
    let place = visit.attempts.iter().position(|a| a.number == attempt)?;
    let was = &visit.attempts[place];
    // The reading belongs to the tap, wherever the mark was moved afterwards.
    let (read, tapped, (_, made)) = (was.reading()?, was.tapped?, was.mark?);
    let earlier_s = (tapped.epoch == at.epoch).then(|| tapped.seconds() - at.seconds())?;
    let assumed = Assumed::default();
    let known = deflation(was);
    let mmhg_per_s = known.unwrap_or(assumed.deflation_mmhg_per_s);
    let there = Mmhg::whole((read.as_f64() + mmhg_per_s * earlier_s).round() as i32).ok()?;
    let mut other = visit.clone();
    (other.attempts[place].mark, other.attempts[place].tapped) = (Some((at, made)), Some(at));
    other.attempts[place].outcome =
        Some(Outcome::Reading { cuff_mmhg: there, source: Source::EarAndGauge });
    let (is, would) = (work_out(visit, sets, assumed), work_out(&other, sets, assumed));
    let pair = |side: Side| {
        let of = |result: &VisitResult| indexed(result.leg(side));
        (side, of(&is), of(&would))
    };
    let legs = Side::BOTH.map(pair).into_iter().filter(|(_, is, would)| is != would).collect();
    Some(Elsewhere { read, there, mmhg_per_s, assumed: known.is_none(), legs })
}

impl Elsewhere {
    /// Sentences, the needle first.
    pub fn words(&self, words: Words) -> Vec<String> {
        let (mmhg, read) = (words.number(self.there), words.number(self.read));
        let rate = words.decimal(self.mmhg_per_s, 1);
        let mut said = vec![match self.assumed {
            true => say!(words, "replay-needle-assumed", mmhg = mmhg, rate = rate, read = read),
            false => say!(words, "replay-needle", mmhg = mmhg, rate = rate, read = read),
        }];
        let index = |of: &Indexed| match of {
            None => words.plain(id!("report-no-index")).to_owned(),
            Some((index, Some((low, high)))) => {
                let [index, low, high] = [index, low, high].map(|n| words.number(n));
                say!(words, "history-index", index = index, low = low, high = high)
            }
            Some((index, None)) => words.number(index),
        };
        said.extend(self.legs.iter().map(|(side, is, would)| {
            let (would, is) = (index(would), index(is));
            say!(words, "replay-leg", side = side.code(), would = would, is = is)
        }));
        if self.legs.is_empty() {
            said.push(words.plain(id!("replay-no-change")).into());
        }
        said
    }
}
