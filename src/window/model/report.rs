//! The report of a visit written to its place: as PDF and as a page.

use std::path::{Path, PathBuf};

use crate::clinical::guidance::GuidanceSet;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out_in;
use crate::files;
use crate::report::content::{Content, ReportSource, SoundPicture, Trail};
use crate::report::html;
use crate::report::pdf::{self, Paper, PdfFault};
use crate::window::model::choices::Choices;
use crate::window::now::Now;

/// Letters of a record's code in a file's name.
const NAMED: usize = 40;

/// Why no report is written.
#[derive(Debug)]
pub enum NotWritten {
    /// Open a visit.
    OpenAVisit,
    /// Tell whoever makes this program.
    TellTheMakers(PdfFault),
    /// See who may write there, and whether the disk has room.
    SeeToTheDisk {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        fault: std::io::Error,
    },
}

impl From<PdfFault> for NotWritten {
    fn from(fault: PdfFault) -> Self {
        Self::TellTheMakers(fault)
    }
}

/// What the report of this visit says, under these sets and with these sounds.
pub fn content(
    visit: &Visit,
    (sets, sounds): (&[GuidanceSet], &[SoundPicture]),
    choices: &Choices,
    kept_in: Option<String>,
) -> Content {
    let (words, service) = (choices.report_language(), choices.service());
    let result = work_out_in(words, visit, sets, Default::default());
    let (result, trail, chain) = (&result, Trail::Needed, None);
    let mut content =
        Content::of(&ReportSource { visit, result, sets, sounds, service, trail, chain });
    kept_in.iter().for_each(|words| content.kept_in(words));
    choices.confirmed_by(words).iter().for_each(|who| content.confirmed_by(who));
    content
}

/// Writes it as PDF and as a page into this folder, for the owner alone, named after the record; says where the PDF is.
///
/// # Errors
/// The disk refuses.
pub fn write(
    content: &Content,
    (record, paper): (&str, Paper),
    folder: &Path,
    now: Now,
) -> Result<PathBuf, NotWritten> {
    let at = |path: &Path, fault| NotWritten::SeeToTheDisk { path: path.to_owned(), fault };
    let pdf = pdf::document(content, paper)?;
    let path = folder.join(name(record, now));
    files::private_folder(folder).map_err(|fault| at(folder, fault))?;
    for (ending, bytes) in [("html", html::page(content)), ("pdf", pdf)] {
        let path = path.with_extension(ending);
        files::write_atomic(&path, &bytes).map_err(|fault| at(&path, fault))?;
    }
    Ok(path)
}

fn name(record: &str, now: Now) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() || c == '-' { c } else { '_' };
    let record: String = record.chars().take(NAMED).map(plain).collect();
    format!("{record}-{}.pdf", now.wall.utc().strftime("%Y-%m-%d-%H%M%S"))
}
