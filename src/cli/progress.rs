//! Work over many visits: how far it is, on a terminal, and a clean stop by Ctrl-C.

use std::io::IsTerminal;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use anyhow::bail;
use indicatif::{ProgressBar, ProgressStyle};

/// How far a piece of work is.
pub(super) struct Progress {
    bar: ProgressBar,
    stop: Arc<AtomicBool>,
}

impl Progress {
    /// Of so many steps; shown on a terminal only.
    pub(super) fn new(steps: u64) -> anyhow::Result<Self> {
        let stop = Arc::new(AtomicBool::new(false));
        for signal in [signal_hook::consts::SIGINT, signal_hook::consts::SIGTERM] {
            signal_hook::flag::register(signal, stop.clone())?;
        }
        let bar = if std::io::stderr().is_terminal() && steps > 100 {
            ProgressBar::new(steps)
        } else {
            ProgressBar::hidden()
        };
        bar.set_style(ProgressStyle::with_template("{wide_bar} {pos} of {len}, {eta} left")?);
        Ok(Self { bar, stop })
    }

    /// One step more.
    ///
    /// # Errors
    /// The user stopped it.
    pub(super) fn step(&mut self) -> anyhow::Result<()> {
        if self.stopped() {
            self.bar.finish_and_clear();
            bail!("stopped after {} of {}", self.bar.position(), self.bar.length().unwrap_or(0));
        }
        self.bar.inc(1);
        Ok(())
    }

    /// So many steps more.
    pub(super) fn add(&mut self, steps: u64) {
        self.bar.inc(steps);
    }

    /// Whether the user stopped it.
    pub(super) fn stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    /// A line on stderr, not through the bar.
    pub(super) fn say(&self, line: &str) {
        self.bar.suspend(|| eprintln!("{line}"));
    }

    /// The work is done.
    pub(super) fn end(&self) {
        self.bar.finish_and_clear();
    }
}
