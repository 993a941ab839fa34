//! Makes visits of invented people in a book, by a seed: for tests of size and for trying things out.

use std::process::ExitCode;

use super::place::Place;
use crate::cli::output::{many, say};
use crate::cli::progress::Progress;
use crate::clinical::event::{Act, Event, Posture};
use crate::clinical::method::Method;
use crate::clinical::moment::Moment;
use crate::clinical::site::Site;
use crate::clinical::typed::{self, Given};
use crate::units::Mmhg;

/// Visits in one commit.
const TOGETHER: u64 = 1_000;
/// A record has about so many visits.
const VISITS_OF_A_RECORD: u64 = 10;
/// The first visit's moment: 1 January 2020, in seconds since 1970.
const FIRST_S: i64 = 1_577_836_800;
/// From one visit to the next, seconds.
const APART_S: i64 = 157;

#[derive(clap::Args)]
pub(super) struct Make {
    /// How many visits
    #[arg(long, value_name = "N")]
    visits: u64,
    /// The same seed makes the same visits
    #[arg(long, value_name = "SEED", default_value_t = 1)]
    seed: u64,
}

pub(super) fn make(place: &Place, words: &Make) -> anyhow::Result<ExitCode> {
    let mut writer = place.write_or_make()?;
    let progress = Progress::stoppable("visits", words.visits)?;
    let mut made = 0;
    while made < words.visits && !progress.stopped() {
        let some = TOGETHER.min(words.visits - made);
        let visits: Vec<Vec<Event>> =
            (made..made + some).map(|n| visit(n, words)).collect::<anyhow::Result<_>>()?;
        let visits: Vec<&[Event]> = visits.iter().map(Vec::as_slice).collect();
        writer.keep_all_earlier(&visits)?;
        made += some;
        progress.add(some);
    }
    drop(progress);
    say(&format!("{} made by seed {}\n", many(made, "visit"), words.seed))?;
    Ok(ExitCode::SUCCESS)
}

/// One closed visit of six readings.
fn visit(n: u64, words: &Make) -> anyhow::Result<Vec<Event>> {
    let mut state = words.seed ^ n.wrapping_mul(0x9E37_79B9_7F4A_7C15);
    let mut below = |limit: u64| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        state % limit
    };
    let records = (words.visits / VISITS_OF_A_RECORD).max(1);
    let mut opened = typed::opening(Method::Higher, Mmhg::whole(2)?, Posture::Supine);
    opened.record = format!("M-{:06}", below(records));
    opened.operator = format!("op-{}", below(9));
    opened.reason = "made by a seed".into();
    let at = jiff::Timestamp::from_second(FIRST_S + APART_S * i64::try_from(n)?)?;
    let at = Moment::new(at, jiff::tz::Offset::UTC);
    let arm = 110 + 2 * below(35);
    let mut readings = Vec::new();
    for site in ["right-arm", "right-pt", "right-dp", "left-pt", "left-dp", "left-arm"] {
        let mmhg = if site.ends_with("arm") { arm + 2 * below(5) } else { arm / 2 + 2 * below(45) };
        readings.push((site.parse::<Site>()?, mmhg.to_string().parse::<Given>()?));
    }
    let mut events = typed::events(opened, at, &readings);
    events.push(Event::new(events.len() as u64 + 1, at, Act::VisitClosed));
    Ok(events)
}
