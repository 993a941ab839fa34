//! A passphrase from a file or the keyboard; never from the words of a command, which others can see.

use std::io::{IsTerminal, Write};
use std::path::Path;

use anyhow::{Context, bail};
use crossterm::event::{Event, KeyCode, KeyEventKind, KeyModifiers, read};
use crossterm::terminal::{disable_raw_mode, enable_raw_mode};

use crate::logbook::Passphrase;

/// From a file, or asked for; twice where it will encrypt.
pub(super) fn get(file: Option<&Path>, twice: bool) -> anyhow::Result<Passphrase> {
    let text = text(file, "Passphrase: ", twice)?;
    Passphrase::new(&text).context("the passphrase is empty")
}

/// The text itself, asked for with these words where no file is named.
pub(in crate::cli) fn text(
    file: Option<&Path>,
    words: &str,
    twice: bool,
) -> anyhow::Result<String> {
    let text = match file {
        Some(path) => {
            std::fs::read_to_string(path).with_context(|| format!("{}", path.display()))?
        }
        None => {
            let first = ask(words)?;
            if twice && ask("The same again: ")? != first {
                bail!("the two differ: nothing was done");
            }
            first
        }
    };
    Ok(text.trim_end_matches(['\r', '\n']).to_owned())
}

/// One line from the keyboard, which is not shown.
fn ask(words: &str) -> anyhow::Result<String> {
    if !std::io::stdin().is_terminal() {
        bail!(
            "there is no terminal to ask for it: name a file with --passphrase-file or --word-file"
        );
    }
    let mut screen = std::io::stderr();
    write!(screen, "{words}")?;
    screen.flush()?;
    enable_raw_mode()?;
    let typed = line();
    disable_raw_mode()?;
    writeln!(screen)?;
    typed
}

fn line() -> anyhow::Result<String> {
    let mut typed = String::new();
    loop {
        let Event::Key(key) = read()? else { continue };
        if key.kind == KeyEventKind::Release {
            continue;
        }
        match key.code {
            KeyCode::Enter => return Ok(typed),
            KeyCode::Char('c') if key.modifiers.contains(KeyModifiers::CONTROL) => {
                bail!("nothing was done")
            }
            KeyCode::Char(c) => typed.push(c),
            KeyCode::Backspace => drop(typed.pop()),
            _ => {}
        }
    }
}
