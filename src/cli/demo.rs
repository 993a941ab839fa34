//! The verb `demo`: the whole job with no hardware, from seven recordings to a report.
//!
//! Nothing is known beforehand but the gauge: what is heard comes from the sound, the tap follows what was
//! heard, and all numbers come from the visit's events as they lie in the record book.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Duration;

use anyhow::Context;

use super::output::{fault, say, sentence};
use super::place::{Out, Outputs};
use super::progress::Progress;
use crate::audio::sound::SoundFile;
use crate::clinical::event::{Answer, Event, Gauge, Opened, Outcome, Posture, VisitKind};
use crate::clinical::guidance::{self, GuidanceSet};
use crate::clinical::method::Method;
use crate::clinical::repeat_rules::Repeats;
use crate::clinical::result::VisitResult;
use crate::clinical::sequence;
use crate::clinical::site::Site;
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::{PROGRAM, work_out};
use crate::conduct::{At, Command, Conduct, OfVisit, Output, Preparing, Rules, wording};
use crate::files;
use crate::live::recording::{self, HeardRecording};
use crate::logbook::{Book, Head, Keeper, VisitId};
use crate::report::content::{Content, ReportSource, SoundPicture, Trail};
use crate::report::{html, json};
use crate::signal::{Listener, ROWS};
use crate::units::{Mmhg, Sonogram};

use super::recordings::{RECORD, Shelf, VISIT, Wanted};
use super::scripted::Hands;
use super::{index, paper};

/// The invented clinic.
const SERVICE: &str = "Tidemill leg clinic (invented, for demonstration)";
const REASON: &str = "demonstration on simulated recordings of an invented patient";
/// The set whose limits are drawn first, then the others.
const GUIDANCE: [&str; 2] = ["nice-cks", "acc-aha-2024"];

/// How long an act may wait for the disk.
const PATIENCE: Duration = Duration::from_secs(30);

/// From one recording to the next, seconds of the visit's clock.
const BETWEEN_S: f64 = 30.0;

/// The upper end of a column, hertz.
const TOP_HZ: f64 = Listener::ROW_HZ * ROWS as f64;

#[derive(clap::Args)]
pub(super) struct Words {
    /// The folder for report.html, visit.json and the record book
    #[arg(long, value_name = "DIR", default_value = "out")]
    out: PathBuf,
    /// A folder with recordings named as the shipped ones, to be heard in their place
    #[arg(long, value_name = "DIR")]
    recordings: Option<PathBuf>,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let shelf = Shelf::find(words.recordings.as_deref())?;
    let sets = sets()?;
    let mut outputs = Outputs::new();
    outputs.folder(&words.out)?;
    let page = outputs.file(&words.out.join("report.html"))?;
    let data = outputs.file(&words.out.join("visit.json"))?;
    let mut session = Session::open(&words.out.join("book"))?;
    say(&format!("Record {RECORD}: {}\n\n", shelf.words()))?;
    let mut all_heard = true;
    for (number, wanted) in (1..).zip(VISIT) {
        all_heard &= session.measure(&shelf, number, wanted)?;
    }
    session.close(&sets)?;
    let (events, id, sounds) = (session.events()?, session.visit, session.sounds);
    let folder = session.keeper.folder().to_owned();
    session.keeper.finish()?;
    let head = Book::open(&folder)?.book.head()?;
    let (visit, result) = worked_out(&events, &sets)?;
    say(&format!("\n{}\n", paper::visit(&result)))?;
    let source = ReportSource {
        visit: &visit,
        result: &result,
        sets: &sets,
        sounds: &sounds,
        service: SERVICE,
        trail: Trail::Full,
        chain: None,
    };
    write(
        [(&page, "report.html"), (&data, "visit.json")],
        &words.out,
        (&source, &events, (&head, id)),
    )?;
    say(&format!("kept:    visit {id} in {}\n", folder.display()))?;
    Ok(if all_heard { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn sets() -> anyhow::Result<Vec<GuidanceSet>> {
    let shipped = |id| guidance::shipped(id).with_context(|| format!("no guidance `{id}`"));
    GUIDANCE.into_iter().map(|id| Ok(shipped(id)??)).collect()
}

fn worked_out(events: &[Event], sets: &[GuidanceSet]) -> anyhow::Result<(Visit, VisitResult)> {
    let visit = Visit::from_events(events)?;
    let result = work_out(&visit, sets, Assumed::default());
    Ok((visit, result))
}

fn write(
    [(page, page_name), (data, data_name)]: [(&Out, &str); 2],
    folder: &Path,
    (source, events, (head, id)): (&ReportSource<'_>, &[Event], (&Head, VisitId)),
) -> anyhow::Result<()> {
    let mut content = Content::of(source);
    content.kept_in(&head.of_visit(crate::words::Words::english(), id));
    let kept = json::Kept {
        visit: id.to_string(),
        chain: head.chain.clone(),
        entries: head.entries,
        head: head.hash.clone(),
    };
    page.write(&html::page(&content))?;
    data.write(&json::visit(SERVICE, Some(&kept), source.result, events)?)?;
    let told =
        [page_name, data_name].map(|name| format!("written: {}\n", folder.join(name).display()));
    say(&told.concat())
}

/// The visit as it happens: each act is in the book before it counts.
struct Session {
    keeper: Keeper,
    visit: VisitId,
    conduct: Conduct,
    /// The visit's clock, seconds: each recording follows the one before.
    clock_s: f64,
    sounds: Vec<SoundPicture>,
}

impl Session {
    /// Begins the visit in the book of this folder; what lies there already stays.
    fn open(folder: &Path) -> anyhow::Result<Self> {
        let keeper = Keeper::start(folder)?;
        let visit = keeper.begin();
        let rules = Rules { ceiling: Mmhg::LIMIT, rest_min: 10, sites_known: true };
        let conduct = Conduct::open(opened(), rules, at(0.0))?;
        let mut session = Self { keeper, visit, conduct, clock_s: 0.0, sounds: Vec::new() };
        // The invented patient's answers: no to every question, for each side that it is about.
        session.does(Command::Prepare(Preparing::NoneApplies))?;
        Ok(session)
    }

    fn does(&mut self, command: Command) -> anyhow::Result<()> {
        self.conduct.act(command, at(self.clock_s))?;
        self.keep()
    }

    /// Keeps what came of it, and waits until it is on the disk.
    fn keep(&mut self) -> anyhow::Result<()> {
        while let Some(output) = self.conduct.poll() {
            if let Output::Keep(event) = output {
                let ticket = self.keeper.keep(self.visit, event.at, event.act);
                self.keeper.wait(ticket, PATIENCE)?;
                self.conduct.committed(event.n);
            }
        }
        Ok(())
    }

    /// The events so far, as they lie in the book.
    fn events(&self) -> anyhow::Result<Vec<Event>> {
        Ok(Book::open(self.keeper.folder())?.book.events(self.visit)?)
    }

    /// One recording heard, tapped, read and kept; false where it could not be had, which is named on stderr.
    fn measure(&mut self, shelf: &Shelf, number: u32, wanted: Wanted) -> anyhow::Result<bool> {
        let site = wanted.site()?;
        let taken = shelf.take(wanted).and_then(|recording| {
            let (heard, sonogram) = hear(&wanted.file(), recording.wav()?)?;
            Ok((heard, sonogram, recording))
        });
        let hands = Hands::at(&mut self.conduct, (number, site), self.clock_s)?;
        let heard = match taken {
            Ok((heard, sonogram, recording)) => {
                hands.attempt(&heard, recording.gauge.as_ref())?;
                self.clock_s += heard.duration_s + BETWEEN_S;
                self.sounds.push(SoundPicture { attempt: number, sonogram });
                self.keep_sound(number, wanted, &recording.bytes)?;
                Some(heard)
            }
            Err(why) => {
                fault(&sentence(&why));
                hands.unheard()?;
                None
            }
        };
        self.keep()?;
        let outcome = self.conduct.visit().attempt(number).and_then(|a| a.outcome.as_ref());
        say(&told(site, heard.as_ref(), outcome))?;
        Ok(heard.is_some())
    }

    fn keep_sound(&self, number: u32, wanted: Wanted, bytes: &[u8]) -> anyhow::Result<()> {
        let name = wanted.file();
        let path = self.keeper.recording_file(self.visit, &name.to_string_lossy())?;
        files::write_atomic(&path, bytes).with_context(|| format!("{}", path.display()))?;
        self.keeper.recorded(self.visit, path, number, Some(number));
        Ok(())
    }

    /// What was worked out is shown and kept, then the visit is over.
    fn close(&mut self, sets: &[GuidanceSet]) -> anyhow::Result<()> {
        let shown = self.conduct.result(sets).shown();
        self.does(Command::Visit(OfVisit::Show(shown)))?;
        self.does(Command::Visit(OfVisit::Close))
    }
}

/// An instant between recordings.
fn at(clock_s: f64) -> At {
    At { s: clock_s, wall: index::now().0, sound: None }
}

/// Listens to one sound with a bar on stderr, and keeps its picture.
fn hear(name: &Path, wav: SoundFile) -> anyhow::Result<(HeardRecording, Sonogram)> {
    let bar = Progress::of_file(name);
    let mut levels = Vec::new();
    let along = |read, promised| bar.at(read, promised);
    let heard = recording::hear(name, wav, false, along, |column: &[u8; ROWS]| {
        levels.extend_from_slice(column);
    });
    drop(bar);
    let heard = heard?;
    if let Some(cut) = &heard.cut {
        fault(&cut.to_string());
    }
    let column_s = Listener::COLUMN_S;
    let sonogram =
        Sonogram { start_s: column_s / 2.0, column_s, top_hz: TOP_HZ, rows: ROWS, levels };
    Ok((heard, sonogram))
}

/// One line of the terminal for one attempt.
fn told(site: Site, heard: Option<&HeardRecording>, outcome: Option<&Outcome>) -> String {
    let mut line = format!("  {:38}", site.to_string());
    if let Some(heard) = heard {
        let _ = match heard.return_s.zip(heard.confidence) {
            Some((s, sure)) => {
                write!(line, "pulse back at {s:5.2} s ({:.0} %)", (sure * 100.0).floor())
            }
            None => write!(line, "no return heard      "),
        };
    }
    if let Some(outcome) = outcome {
        let read = if matches!(outcome, Outcome::Reading { .. }) { "read " } else { "" };
        let _ =
            write!(line, "  {read}{}", wording::outcome(crate::words::Words::english(), outcome));
    }
    line + "\n"
}

fn opened() -> Opened {
    Opened {
        record: RECORD.into(),
        operator: "op-7".into(),
        method: Method::Higher,
        order: sequence::DEFAULT.into(),
        repeats: Repeats::default(),
        gauge: Gauge { code: "G-2".into(), graduation_mmhg: Mmhg::whole(2).unwrap_or(Mmhg::LIMIT) },
        other_gauges: Vec::new(),
        posture: Posture::Supine,
        scope: VisitKind::Full,
        reason: REASON.into(),
        ulcer: None,
        diabetes: Answer::No,
        kidney: Answer::No,
        rested_min: Some(10),
        program: PROGRAM.into(),
        listener: Some(PROGRAM.into()),
    }
}
