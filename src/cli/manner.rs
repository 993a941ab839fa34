//! How a run speaks: quiet or wordy, with colour or without, with progress or without; and whether it may replace files.

use std::io::IsTerminal;
use std::sync::OnceLock;
use std::time::Instant;

use clap::ColorChoice;

use super::given::Given;

#[derive(clap::Args, Debug, Clone, Default)]
#[group(skip)]
#[command(next_help_heading = "Every verb")]
pub(super) struct Words {
    /// Only what was asked for, and faults: no notes, no progress
    #[arg(long, short = 'q', global = true, conflicts_with = "verbose", display_order = 900)]
    quiet: bool,
    /// Say on stderr what is read and written, and how long it took
    #[arg(long, short = 'v', global = true, display_order = 901)]
    verbose: bool,
    /// Colour: auto (on a terminal, unless NO_COLOR is set), always or never
    #[arg(long, value_name = "WHEN", global = true, display_order = 902)]
    color: Option<When>,
    /// Progress on stderr: auto (a bar on a terminal), always (lines elsewhere) or never
    #[arg(long, value_name = "WHEN", global = true, display_order = 903)]
    progress: Option<When>,
    /// Replace files that are there; what is read, and what lies in a record book, is never replaced
    #[arg(long, global = true, display_order = 904)]
    force: bool,
    /// A setting for this run alone; may be given several times (`cuffnote settings` lists the keys)
    #[arg(long, value_name = "KEY=VALUE", global = true, display_order = 905)]
    pub(super) set: Vec<Given>,
}

/// When something is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, clap::ValueEnum)]
pub(super) enum When {
    #[default]
    Auto,
    Always,
    Never,
}

/// The manner of this run.
#[derive(Debug, Clone, Copy)]
pub(super) struct Manner {
    pub(super) quiet: bool,
    pub(super) verbose: bool,
    pub(super) force: bool,
    color: When,
    pub(super) progress: When,
    pub(super) begun: Option<Instant>,
}

const PLAIN: Manner = Manner {
    quiet: false,
    verbose: false,
    force: false,
    color: When::Auto,
    progress: When::Auto,
    begun: None,
};
static MANNER: OnceLock<Manner> = OnceLock::new();

/// Set once, when the words are understood; a run is a process.
pub(super) fn set(words: &Words) {
    let _ = MANNER.set(Manner {
        quiet: words.quiet,
        verbose: words.verbose,
        force: words.force,
        color: words.color.unwrap_or_default(),
        progress: words.progress.unwrap_or_default(),
        begun: Some(Instant::now()),
    });
}

pub(super) fn get() -> Manner {
    MANNER.get().copied().unwrap_or(PLAIN)
}

/// The colour of help and of refused words, before they are understood.
pub(super) fn color_of(words: &[std::ffi::OsString]) -> ColorChoice {
    let next = |at: usize| words.get(at + 1).and_then(|word| word.to_str());
    let said = words.iter().enumerate().find_map(|(at, word)| {
        let word = word.to_str()?;
        word.strip_prefix("--color=").or_else(|| next(at).filter(|_| word == "--color"))
    });
    match said {
        Some("always") => ColorChoice::Always,
        Some("never") => ColorChoice::Never,
        _ => ColorChoice::Auto,
    }
}

/// True where what goes to stderr may be coloured.
pub(super) fn colored() -> bool {
    match get().color {
        When::Always => true,
        When::Never => false,
        When::Auto => {
            let refused = std::env::var_os("NO_COLOR").is_some_and(|said| !said.is_empty());
            let dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
            !refused && !dumb && std::io::stderr().is_terminal()
        }
    }
}
