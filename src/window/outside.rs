//! What the system around is asked to do with a report: show it in its own viewer, or print it. Asked on a thread of its
//! own, since viewers and printers may be slow; only what goes wrong is told.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::mpsc::{self, Receiver};

use crate::words::{Words, id, say};

/// What the system is asked to do with a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deed {
    /// Show it, in the program that this system opens such files with.
    Show,
    /// Print it, on the printer that this system prints on.
    Print,
}

/// Why the system did not do it: then the file is opened or printed by hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotAsked {
    /// Nothing here shows such files.
    NotShown {
        /// The file.
        path: PathBuf,
        /// What the system said.
        said: String,
    },
    /// Nothing here prints.
    NotPrinted {
        /// The file.
        path: PathBuf,
        /// What the system said; empty where it gave no reason.
        said: String,
    },
    /// The system has no command for it.
    NoCommand {
        /// The file.
        path: PathBuf,
    },
}

impl NotAsked {
    /// As a sentence; what the system said stands in it as it came.
    pub fn said(&self, words: Words) -> String {
        match self {
            NotAsked::NotShown { path, said } => {
                say!(words, "fault-not-opened", path = path.display().to_string(), said = said)
            }
            NotAsked::NotPrinted { path, said } => {
                let none = words.plain(id!("fault-no-reason-given"));
                let said = if said.is_empty() { none } else { said };
                say!(words, "fault-not-printed", path = path.display().to_string(), said = said)
            }
            NotAsked::NoCommand { path } => {
                say!(words, "fault-no-print-command", path = path.display().to_string())
            }
        }
    }
}

/// Does a deed with a file; may take as long as the system takes.
pub type Ask = fn(Deed, &Path) -> Result<(), NotAsked>;

/// The system around, and what it was asked last.
pub struct Outside {
    ask: Ask,
    answer: Option<Receiver<NotAsked>>,
}

impl Outside {
    /// Asks in this way.
    pub fn new(ask: Ask) -> Self {
        Self { ask, answer: None }
    }

    /// Asks for a deed, and does not wait.
    pub fn ask(&mut self, deed: Deed, path: &Path) {
        let (tell, answer) = mpsc::channel();
        let (ask, path) = (self.ask, path.to_owned());
        let thread = std::thread::Builder::new().name("outside".into());
        // Without a thread nothing is shown; the file is there all the same, and its place was told.
        let _ = thread.spawn(move || ask(deed, &path).map_err(|fault| tell.send(fault)));
        self.answer = Some(answer);
    }

    /// What the system did not do, once.
    pub fn refused(&mut self) -> Option<NotAsked> {
        self.answer.as_ref()?.try_recv().ok()
    }
}

/// Asks the real system.
///
/// # Errors
/// No viewer, no printer, or one that refuses.
pub fn system(deed: Deed, path: &Path) -> Result<(), NotAsked> {
    match deed {
        Deed::Show => open::that(path)
            .map_err(|said| NotAsked::NotShown { path: path.into(), said: said.to_string() }),
        Deed::Print => print(path),
    }
}

/// The words that print a file here: `lp` of CUPS, on Windows the verb that the file's own program has for it.
fn printing(path: &Path) -> Command {
    if cfg!(windows) {
        let mut command = Command::new("powershell");
        // The path goes by the environment, so that no sign in it is read as a command.
        command.args(["-NoProfile", "-NonInteractive", "-WindowStyle", "Hidden", "-Command"]);
        command.arg("Start-Process -FilePath $env:CUFFNOTE_PRINTED -Verb Print");
        command.env("CUFFNOTE_PRINTED", path);
        return command;
    }
    let mut command = Command::new("lp");
    command.arg("--").arg(path);
    command
}

fn print(path: &Path) -> Result<(), NotAsked> {
    let refused = |said: &str| NotAsked::NotPrinted { path: path.into(), said: said.to_owned() };
    let done = printing(path).output().map_err(|fault| match fault.kind() {
        std::io::ErrorKind::NotFound => NotAsked::NoCommand { path: path.into() },
        _ => refused(&fault.to_string()),
    })?;
    if done.status.success() {
        return Ok(());
    }
    let said = String::from_utf8_lossy(&done.stderr);
    Err(refused(said.lines().next().unwrap_or_default().trim()))
}
