//! What a run says beside its answer: notes, details for who looks for a reason, and how far the work is.

use std::io::IsTerminal;
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, LazyLock};

use anyhow::{anyhow, bail};
use indicatif::{MultiProgress, ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::manner::{self, When};
use super::output::{aside, fault};
use crate::logbook::{BookFault, Waiting};

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

/// Work on the record book: it shows how far it is, and Ctrl-C ends it cleanly.
///
/// # Errors
/// The system gives no signal.
pub(super) fn watched(name: &str) -> anyhow::Result<Waiting> {
    let progress = Progress::stoppable(name, 1)?;
    Ok(Waiting::new(move |done, of| {
        progress.at(done, of);
        !progress.stopped()
    }))
}

/// The sentence where the user ended work on a book: how far it was, and how things stand now.
pub(super) fn stopped_so<T>(done: Result<T, BookFault>, now: &str) -> anyhow::Result<T> {
    done.map_err(|fault| match fault {
        BookFault::Stopped { .. } => anyhow!("{fault}: {now}"),
        other => other.into(),
    })
}

/// All bars of this run.
static BARS: LazyLock<MultiProgress> = LazyLock::new(MultiProgress::new);

/// How far a piece of work is.
pub(super) struct Progress {
    bar: ProgressBar,
    name: String,
    /// Tenths that were told as lines, where lines are wanted.
    told: Option<AtomicU64>,
    stop: Arc<AtomicBool>,
}

impl Progress {
    /// Of work that can be stopped between two steps: Ctrl-C ends it cleanly.
    ///
    /// # Errors
    /// The system gives no signal.
    pub(super) fn stoppable(name: &str, length: u64) -> anyhow::Result<Self> {
        let progress = Self::new(name, length);
        for signal in [signal_hook::consts::SIGINT, signal_hook::consts::SIGTERM] {
            // Where the step is a long one, a second Ctrl-C ends at once.
            signal_hook::flag::register_conditional_default(signal, progress.stop.clone())?;
            signal_hook::flag::register(signal, progress.stop.clone())?;
        }
        Ok(progress)
    }

    /// One step more.
    ///
    /// # Errors
    /// The user stopped it.
    pub(super) fn step(&self) -> anyhow::Result<()> {
        if self.stopped() {
            bail!("stopped after {} of {}", self.bar.position(), self.bar.length().unwrap_or(0));
        }
        self.more();
        Ok(())
    }

    /// So many steps more.
    pub(super) fn add(&self, steps: u64) {
        self.bar.inc(steps);
        self.tell(self.bar.position(), self.bar.length().unwrap_or(0));
    }

    /// Whether the user stopped it.
    pub(super) fn stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    /// A sentence on stderr, not through the bar.
    pub(super) fn say(&self, words: &str) {
        self.bar.suspend(|| fault(words));
    }

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
        let stop = Arc::default();
        Self { bar, name: name.to_owned(), told: lines.then(AtomicU64::default), stop }
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
        // Work of several parts begins anew with each.
        if tenth == 0 {
            told.store(0, Ordering::Relaxed);
        }
        if tenth > told.fetch_max(tenth, Ordering::Relaxed) {
            aside(&format!("{}: {} %", self.name, tenth * 10));
        }
    }

    /// One more is done.
    pub(super) fn more(&self) {
        self.add(1);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
