//! What a run says beside its answer: notes, details for who looks for a reason, and how far the work is.

use std::io::IsTerminal;
use std::path::Path;
use std::sync::LazyLock;
use std::sync::atomic::{AtomicU64, Ordering};

use indicatif::{MultiProgress, ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::manner::{self, When};
use super::output::{aside, fault};

/// A note on stderr, for a person; not where quiet is wanted.
pub(super) fn note(words: &str) {
    if !manner::get().quiet {
        fault(words);
    }
}

/// What only someone who looks for a reason wants to know.
pub(super) fn detail(words: impl FnOnce() -> String) {
    let manner = manner::get();
    if manner.verbose {
        let at_s = manner.begun.map_or(0.0, |begun| begun.elapsed().as_secs_f64());
        aside(&format!("{at_s:.3} s: {}", words()));
    }
}

/// All bars of this run.
static BARS: LazyLock<MultiProgress> = LazyLock::new(MultiProgress::new);

/// How far a piece of work is.
pub(super) struct Progress {
    bar: ProgressBar,
    name: String,
    /// Tenths that were told as lines, where lines are wanted.
    told: Option<AtomicU64>,
}

impl Progress {
    /// A bar on a terminal, lines where they are wanted, else nothing.
    pub(super) fn new(name: &str, length: u64) -> Self {
        let manner = manner::get();
        let terminal = std::io::stderr().is_terminal();
        let shown = !manner.quiet && manner.progress != When::Never;
        // Bars of files that are heard at once stand one under the other.
        let bar = match shown && terminal {
            true => BARS.add(ProgressBar::new(length)),
            false => ProgressBar::with_draw_target(Some(length), ProgressDrawTarget::hidden()),
        };
        if let Ok(style) = ProgressStyle::with_template("{prefix:30!} {bar:30} {percent:>3} %") {
            bar.set_style(style);
        }
        bar.set_prefix(name.to_owned());
        let lines = shown && !terminal && manner.progress == When::Always;
        Self { bar, name: name.to_owned(), told: lines.then(AtomicU64::default) }
    }

    /// The bar of one file.
    pub(super) fn of_file(path: &Path) -> Self {
        Self::new(&path.display().to_string(), 1)
    }

    /// So much is done of so much.
    pub(super) fn at(&self, done: u64, of: u64) {
        self.bar.set_length(of);
        self.bar.set_position(done);
        self.tell(done, of);
    }

    fn tell(&self, done: u64, of: u64) {
        let Some(told) = &self.told else { return };
        let tenth = (done.saturating_mul(10)).checked_div(of).unwrap_or(0).min(10);
        if tenth > told.fetch_max(tenth, Ordering::Relaxed) {
            aside(&format!("{}: {} %", self.name, tenth * 10));
        }
    }

    /// One more is done.
    pub(super) fn more(&self) {
        self.bar.inc(1);
        self.tell(self.bar.position(), self.bar.length().unwrap_or(0));
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
