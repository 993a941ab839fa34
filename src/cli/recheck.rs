//! The verb `recheck`: which past visits this version of program or guidance would show differently.

use std::path::PathBuf;
use std::process::ExitCode;

use super::described::{Described, line as as_line};
use super::output::{fault, say, sentence};
use crate::clinical::event::Event;
use crate::clinical::guidance::{self, GuidanceSet};
use crate::clinical::recheck::{Rechecked, recheck};

#[derive(clap::Args)]
#[group(skip)]
pub(super) struct Words {
    /// Visits as visit.json; without any, those of the record book are looked at
    #[arg(value_name = "FILE")]
    pub(super) files: Vec<PathBuf>,
    /// A guidance file of your own that some visits were shown with
    #[arg(long, value_name = "FILE")]
    pub(super) guidance: Vec<PathBuf>,
    /// One JSON object a visit
    #[arg(long)]
    pub(super) json: bool,
}

/// One visit of the answer.
#[derive(serde::Serialize, schemars::JsonSchema)]
pub(super) struct Line<'a> {
    /// The file, or the visit of the record book.
    file: String,
    #[serde(flatten)]
    rechecked: &'a Rechecked,
}

impl Described for Line<'_> {
    const FORMAT: &'static str = "cuffnote-recheck";
}

pub(super) fn files(words: &Words) -> anyhow::Result<ExitCode> {
    let mut tally = Tally::new(&words.guidance, words.json)?;
    for path in &words.files {
        tally.add(
            &path.display().to_string(),
            super::report::events(path).map(|(events, _)| events),
        )?;
    }
    tally.end()
}

/// Visits as they are rechecked one after the other, and their count.
pub(super) struct Tally {
    sets: Vec<GuidanceSet>,
    json: bool,
    changed: u32,
    same: u32,
    never: u32,
    faults: u32,
}

impl Tally {
    pub(super) fn new(own: &[PathBuf], json: bool) -> anyhow::Result<Self> {
        // A service's own sets come first, so that they win over shipped ones of the same id.
        let mut sets = Vec::new();
        for path in own {
            sets.push(super::index::own(path)?);
        }
        for set in guidance::ids().filter_map(guidance::shipped) {
            sets.push(set?);
        }
        Ok(Self { sets, json, changed: 0, same: 0, never: 0, faults: 0 })
    }

    /// Rechecks one visit and shows what changed. One that cannot be read is named on stderr.
    pub(super) fn add(
        &mut self,
        name: &str,
        events: anyhow::Result<Vec<Event>>,
    ) -> anyhow::Result<()> {
        let rechecked = events.and_then(|events| Ok(recheck(&events, &self.sets)?));
        match rechecked {
            Ok(None) => self.never += 1,
            Ok(Some(rechecked)) => {
                let quiet = rechecked.changes.is_empty() && rechecked.missing_sets.is_empty();
                if quiet {
                    self.same += 1
                } else {
                    self.changed += 1
                }
                show(name, &rechecked, quiet, self.json)?;
            }
            Err(why) => {
                self.faults += 1;
                // The fault names its file already.
                let said = sentence(&why);
                let named = said.starts_with(&format!("{name}:"));
                fault(&if named { said } else { format!("{name}: {said}") });
            }
        }
        Ok(())
    }

    pub(super) fn end(self) -> anyhow::Result<ExitCode> {
        if !self.json {
            say(&format!(
                "{} changed, {} the same, {} never shown, {} could not be read\n",
                self.changed, self.same, self.never, self.faults
            ))?;
        }
        Ok(if self.faults == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE })
    }
}

fn show(name: &str, rechecked: &Rechecked, quiet: bool, json: bool) -> anyhow::Result<()> {
    if json {
        let line = Line { file: name.to_owned(), rechecked };
        return say(&as_line(&line)?);
    }
    if quiet {
        return Ok(());
    }
    let mut text = format!(
        "{}: record {}, visit of {}, shown by version {}\n",
        name, rechecked.record, rechecked.opened_at, rechecked.shown_by.program
    );
    for id in &rechecked.missing_sets {
        text += &format!("  guidance {id} is not at hand: give its file with --guidance\n");
    }
    for change in &rechecked.changes {
        text += &format!("  {}\n", change.what);
        let lines = [("was", &change.before), ("now", &change.now)];
        for (name, line) in lines.into_iter().filter(|(_, line)| !line.is_empty()) {
            text += &format!("    {name}: {line}\n");
        }
    }
    say(&text)
}
