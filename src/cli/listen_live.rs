//! `listen --live`: sound from a device, heard as it comes; marks and readings by key.

use std::fs::File;
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use anyhow::{bail, ensure};
use crossterm::event::{self, Event as Key, KeyCode, KeyEventKind, KeyModifiers};

use super::live_attempts::Attempts;
use super::live_plan::{Link, Words, cautions, plan, source};
use super::live_screen::{Screen, Words as Painted};
use super::live_words::{Teller, act_json, act_words, summary};
use super::output::{aside, fault as warn, say};
use super::place::Outputs;
use crate::clinical::event::SoundTime;
use crate::conduct::{AtSite, Refusal};
use crate::live::{Fault, Live, LiveEvent, Odd, Snapshot, Told};
use crate::units::SampleRate;

/// From one painting to the next.
const FRAME: Duration = Duration::from_millis(50);
/// The sentence shown when the worker stands still.
const STALLED: &str =
    "the analysis stands still: unplug the cable to hear; if it stays so, end and start again";

pub(super) fn run(words: &Words, files: &[PathBuf], json: bool) -> anyhow::Result<ExitCode> {
    let supply = source(words, files)?;
    let plan = plan(words)?;
    let mut beside = words.record.as_deref().map(Beside::create).transpose()?;
    for caution in cautions(words) {
        aside(&caution);
    }
    let stop = Arc::new(AtomicBool::new(false));
    for signal in [signal_hook::consts::SIGINT, signal_hook::consts::SIGTERM] {
        signal_hook::flag::register(signal, stop.clone())?;
    }
    let screen = !json && std::io::stdin().is_terminal() && std::io::stdout().is_terminal();
    if screen && !agreed()? {
        return Ok(ExitCode::SUCCESS);
    }
    let mut session = Session::new(Live::start(supply, plan)?, words, (json, screen), stop)?;
    let done = session.run(&mut beside);
    session.live.stop();
    session.drain(&mut beside)?;
    drop(session.screen.take());
    done?;
    session.close(&mut beside)
}

/// Waits until the cautions have been read.
fn agreed() -> anyhow::Result<bool> {
    aside("\nEnter: begin    q: leave");
    let mut line = String::new();
    std::io::stdin().read_line(&mut line)?;
    Ok(line.trim().is_empty())
}

/// The file of JSON lines beside a recording: everything that happened, each line written at once.
struct Beside {
    file: File,
}

impl Beside {
    fn create(record: &Path) -> anyhow::Result<Self> {
        ensure!(
            record.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("wav")),
            "{}: the recording is a WAV file; give a name that ends in .wav",
            record.display()
        );
        // A recording is never replaced, not even where that was asked for.
        ensure!(!record.exists(), "{} is there already: give another name", record.display());
        let mut outputs = Outputs::new();
        outputs.file(record)?;
        let file = outputs.file(&record.with_extension("jsonl"))?.open()?;
        Ok(Self { file })
    }

    /// An act is on the disk before it counts.
    fn keep(&mut self, line: &serde_json::Value, act: bool) -> anyhow::Result<()> {
        self.file.write_all(format!("{line}\n").as_bytes())?;
        if act {
            self.file.sync_data()?;
        }
        Ok(())
    }
}

struct Session {
    live: Live,
    json: bool,
    cable: bool,
    stop: Arc<AtomicBool>,
    ends: Option<Instant>,
    record: Option<PathBuf>,
    screen: Option<Screen>,
    wants_screen: bool,
    painted: Painted,
    snapshot: Snapshot,
    teller: Teller,
    attempts: Attempts,
    epochs: usize,
    sound_s: f64,
    rate_hz: u32,
    lost: u64,
    refused: Option<String>,
}

impl Session {
    fn new(
        live: Live,
        words: &Words,
        (json, screen): (bool, bool),
        stop: Arc<AtomicBool>,
    ) -> Result<Self, Refusal> {
        let ends = words.seconds.map(|s| Duration::try_from_secs_f64(s).unwrap_or(Duration::MAX));
        Ok(Self {
            live,
            json,
            cable: words.link == Link::Cable,
            stop,
            ends: ends.and_then(|after| Instant::now().checked_add(after)),
            record: words.record.clone(),
            screen: None,
            wants_screen: screen,
            painted: Painted::default(),
            snapshot: Snapshot::new(),
            teller: Teller::default(),
            attempts: Attempts::begin(Instant::now())?,
            epochs: 0,
            sound_s: 0.0,
            rate_hz: 1,
            lost: 0,
            refused: None,
        })
    }

    fn run(&mut self, beside: &mut Option<Beside>) -> anyhow::Result<()> {
        if self.wants_screen {
            self.screen = Some(Screen::open()?);
        }
        loop {
            let over = self.drain(beside)?;
            let late = self.ends.is_some_and(|at| Instant::now() >= at);
            if over || late || self.refused.is_some() || self.stop.load(Ordering::Relaxed) {
                return Ok(());
            }
            self.look();
            if self.screen.is_none() {
                std::thread::sleep(FRAME);
                continue;
            }
            self.paint()?;
            if event::poll(FRAME)? && !self.keys()? {
                return Ok(());
            }
        }
    }

    /// Takes what happened and what was done; tells whether the sound has ended.
    fn drain(&mut self, beside: &mut Option<Beside>) -> anyhow::Result<bool> {
        let mut over = false;
        while let Some(told) = self.live.poll() {
            self.teller.note(&told);
            over |= told.event == LiveEvent::Over;
            self.count(&told);
            self.hear(&told);
            let line = self.teller.json(&told);
            if let Some(beside) = beside {
                beside.keep(&line, false)?;
            }
            // What ended the program is shown once, at the end.
            let words = self.teller.words(&told).filter(|_| self.refused.is_none());
            self.say(words, &line)?;
        }
        for act in self.attempts.done() {
            let line = act_json(&act);
            if let Some(beside) = beside {
                beside.keep(&line, true)?;
            }
            self.say(Some(act_words(&act)), &line)?;
        }
        Ok(over)
    }

    /// What was heard also moves the attempt on.
    fn hear(&mut self, told: &Told) {
        let rate = SampleRate::new(self.rate_hz);
        let heard = rate.and_then(|rate| Some((told.event.sound(rate)?, rate)));
        if let (Some((sound, rate)), LiveEvent::Heard { epoch, .. }) = (heard, &told.event) {
            let now = self.live.locate(Instant::now());
            let along_s = now.map_or(self.snapshot.sound_s, SoundTime::seconds);
            self.attempts.hear(sound, (*epoch, rate), along_s);
        }
    }

    fn count(&mut self, told: &Told) {
        match &told.event {
            LiveEvent::Began(epoch) => {
                self.epochs += 1;
                self.rate_hz = epoch.rate.hz();
                self.painted.alarm = None;
            }
            LiveEvent::Fault(fault) => {
                // Before any sound, a device that cannot be had is the user's to mend.
                if let (0, Fault::CannotOpen(said)) = (self.epochs, fault) {
                    self.refused = Some(said.clone());
                }
                let hear = if self.cable { "; unplug the cable to hear" } else { "" };
                if self.screen.is_none() && self.cable {
                    warn("unplug the cable to hear");
                }
                self.painted.alarm = Some(format!("{fault}{hear}"));
            }
            LiveEvent::Odd { odd: odd @ Odd::NoSound, present, .. } => {
                self.painted.alarm = present.then(|| odd.sentence().to_owned());
            }
            LiveEvent::Gap { frames, .. } => self.lost += frames.0,
            LiveEvent::Ended { frames, .. } => {
                self.sound_s += frames.0 as f64 / f64::from(self.rate_hz);
            }
            _ => {}
        }
    }

    /// To the screen, or as a line.
    fn say(&mut self, words: Option<String>, line: &serde_json::Value) -> anyhow::Result<()> {
        let text = match (self.json, words) {
            (true, _) => line.to_string(),
            (false, Some(words)) => words,
            (false, None) => return Ok(()),
        };
        if self.screen.is_some() {
            self.painted.say(text);
            return Ok(());
        }
        say(&(text + "\n"))
    }

    fn look(&mut self) {
        self.live.look(&mut self.snapshot);
        let now = &self.snapshot;
        let recorded = match (&self.record, now.recorded) {
            (Some(path), Some(frames)) => {
                let seconds = frames.0 as f64 / f64::from(self.rate_hz);
                format!("RECORDING {} {seconds:.0} s", path.display())
            }
            (Some(_), None) => "NOT RECORDING".into(),
            (None, _) => "not recorded".to_owned(),
        };
        let sound = match now.epoch {
            Some(_) => format!("sound {:.1} s", now.sound_s),
            None => "no sound yet".into(),
        };
        self.painted.state = format!("{sound}    {recorded}");
        if let Err(refused) = self.attempts.tick(Instant::now()) {
            self.painted.say(refused.to_string());
        }
        self.painted.typed = self.attempts.typed();
        self.watch_stall();
    }

    /// Says once that the analysis stands still, and takes it back when it goes on.
    fn watch_stall(&mut self) {
        let said = self.painted.alarm.as_deref() == Some(STALLED);
        match (self.live.stalled(), said) {
            (true, false) => {
                if self.screen.is_none() {
                    warn(STALLED);
                }
                self.painted.alarm = Some(STALLED.into());
            }
            (false, true) => self.painted.alarm = None,
            _ => {}
        }
    }

    fn paint(&mut self) -> anyhow::Result<()> {
        if let Some(screen) = &mut self.screen {
            screen.paint(&self.snapshot, &self.painted)?;
        }
        Ok(())
    }

    /// Takes all keys that wait; false ends the session.
    fn keys(&mut self) -> anyhow::Result<bool> {
        loop {
            let key = event::read()?;
            // The instant of receipt, before anything else is done.
            let now = Instant::now();
            if let Key::Key(key) = key
                && key.kind == KeyEventKind::Press
                && !self.key(key.code, key.modifiers, now)
            {
                return Ok(false);
            }
            if !event::poll(Duration::ZERO)? {
                return Ok(true);
            }
        }
    }

    fn key(&mut self, code: KeyCode, with: KeyModifiers, now: Instant) -> bool {
        match code {
            KeyCode::Char('q') | KeyCode::Esc => return false,
            KeyCode::Char('c') if with.contains(KeyModifiers::CONTROL) => return false,
            KeyCode::Char(' ') => self.mark(now),
            KeyCode::Char('.') => self.does(AtSite::Digit(','), now),
            KeyCode::Char(digit @ ('0'..='9' | ',')) => self.does(AtSite::Digit(digit), now),
            KeyCode::Char('i') => self.does(AtSite::InflatedTo, now),
            KeyCode::Char('z') => self.does(AtSite::Undo, now),
            KeyCode::Backspace => self.does(AtSite::Erase, now),
            KeyCode::Enter => self.does(AtSite::Enter, now),
            _ => {}
        }
        true
    }

    fn mark(&mut self, now: Instant) {
        match self.live.locate(now) {
            Some(at) => {
                let done = self.attempts.mark(now, at);
                self.tell(done);
            }
            None => self.painted.say("there is no sound to mark in yet".into()),
        }
    }

    fn does(&mut self, deed: AtSite, now: Instant) {
        let done = self.attempts.does(deed, now, self.live.locate(now));
        self.tell(done);
    }

    /// Says why something was not done, or what is asked about it.
    fn tell(&mut self, done: Result<(), Refusal>) {
        let refused = done.err().map(|refused| refused.to_string());
        if let Some(said) = refused.or_else(|| self.attempts.said()) {
            self.painted.say(said);
        }
        self.painted.typed = self.attempts.typed();
    }

    fn close(&mut self, beside: &mut Option<Beside>) -> anyhow::Result<ExitCode> {
        if let Some(refused) = &self.refused {
            bail!("{refused}");
        }
        let line = summary(self.sound_s, self.epochs, self.lost, crate::units::wall_clock());
        if let Some(beside) = beside {
            beside.keep(&line, false)?;
        }
        let kept = self
            .record
            .as_ref()
            .map_or(String::new(), |path| format!("; recorded to {}", path.display()));
        let words = format!(
            "{:.1} s of sound in {} stream(s), {} frames lost{kept}",
            self.sound_s, self.epochs, self.lost
        );
        self.say(Some(words), &line)?;
        Ok(ExitCode::SUCCESS)
    }
}
