//! How a run speaks: quiet or wordy, with colour or without, with progress or without; and whether it may replace files.

use std::io::IsTerminal;
use std::path::Path;
use std::sync::OnceLock;
use std::time::Instant;

use clap::ColorChoice;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

#[derive(clap::Args, Debug, Clone, Default)]
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
    progress: When,
    begun: Option<Instant>,
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

/// A note on stderr, for a person; not where quiet is wanted.
pub(super) fn note(words: &str) {
    if !get().quiet {
        super::aside(words);
    }
}

/// What only someone who looks for a reason wants to know.
pub(super) fn detail(words: impl FnOnce() -> String) {
    let manner = get();
    if manner.verbose {
        let at_s = manner.begun.map_or(0.0, |begun| begun.elapsed().as_secs_f64());
        super::aside(&format!("{at_s:.3} s: {}", words()));
    }
}

/// How far a piece of work is.
pub(super) struct Progress {
    bar: ProgressBar,
    name: String,
    /// Tenths that were told as lines, where lines are wanted.
    told: Option<std::cell::Cell<u64>>,
}

impl Progress {
    /// A bar on a terminal, lines where they are wanted, else nothing.
    pub(super) fn new(name: &str, length: u64) -> Self {
        let manner = get();
        let terminal = std::io::stderr().is_terminal();
        let shown = !manner.quiet && manner.progress != When::Never;
        let bar = ProgressBar::with_draw_target(
            Some(length),
            if shown && terminal { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() },
        );
        if let Ok(style) = ProgressStyle::with_template("{prefix:30!} {bar:30} {percent:>3} %") {
            bar.set_style(style);
        }
        bar.set_prefix(name.to_owned());
        let lines = shown && !terminal && manner.progress == When::Always;
        Self { bar, name: name.to_owned(), told: lines.then(std::cell::Cell::default) }
    }

    /// The bar of one file.
    pub(super) fn of_file(path: &Path) -> Self {
        Self::new(&path.display().to_string(), 1)
    }

    /// So much is done of so much.
    pub(super) fn at(&self, done: u64, of: u64) {
        self.bar.set_length(of);
        self.bar.set_position(done);
        let Some(told) = &self.told else { return };
        let tenth = (done.saturating_mul(10)).checked_div(of).unwrap_or(0).min(10);
        if tenth > told.get() {
            told.set(tenth);
            super::aside(&format!("{}: {} %", self.name, tenth * 10));
        }
    }

    /// One more is done.
    pub(super) fn more(&self) {
        let length = self.bar.length().unwrap_or(0);
        self.at(self.bar.position() + 1, length);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
