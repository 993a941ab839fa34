//! The verb `man`: the manual page of the program or of one verb, as `man` reads it.

use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use clap_mangen::Man;

use super::nearest::did_you_mean;
use super::output::{many, misuse, say_bytes};
use super::place::Outputs;
use super::progress::note;
use super::status::STATUS;

#[derive(clap::Args)]
pub(super) struct Words {
    /// The verb, such as `listen` or `book check`; without one, the page of the whole program
    #[arg(value_name = "VERB", conflicts_with = "out")]
    verb: Vec<String>,
    /// Every page, a file each, in this folder
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

pub(super) fn run(words: &Words, command: clap::Command) -> anyhow::Result<ExitCode> {
    let mut pages = Vec::new();
    gathered(command, "", &mut pages);
    if let Some(folder) = &words.out {
        let mut outputs = Outputs::new();
        outputs.folder(folder)?;
        let places: Vec<_> = pages
            .iter()
            .map(|(name, _)| outputs.file(&folder.join(format!("{name}.1"))))
            .collect::<anyhow::Result<_>>()?;
        let count = many(pages.len(), "page");
        for ((name, page), place) in pages.into_iter().zip(places) {
            place.write(&written(&name, page)?)?;
        }
        note(&format!("{count} in {}: read one with `man -l FILE`", folder.display()));
        return Ok(ExitCode::SUCCESS);
    }
    let wanted = [&["cuffnote".to_owned()], words.verb.as_slice()].concat().join("-");
    let names: Vec<String> =
        pages.iter().skip(1).map(|(name, _)| name["cuffnote-".len()..].replace('-', " ")).collect();
    let Some((name, page)) = pages.into_iter().find(|(name, _)| *name == wanted) else {
        let (verb, names) = (words.verb.join(" "), names.iter().map(String::as_str));
        return Err(misuse(format!("there is no verb `{verb}`{}", did_you_mean(&verb, names))));
    };
    say_bytes(&written(&name, page)?)?;
    Ok(ExitCode::SUCCESS)
}

/// A page's name, such as `cuffnote-book-check`, and what it is of.
type Page = (String, clap::Command);

/// The program and each verb that is offered.
fn gathered(command: clap::Command, above: &str, pages: &mut Vec<Page>) {
    let name = [above, command.get_name()].join("-").trim_start_matches('-').to_owned();
    let inner: Vec<clap::Command> =
        command.get_subcommands().filter(|verb| !verb.is_hide_set()).cloned().collect();
    let shown = if above.is_empty() { name.clone() } else { said(above, &command) };
    pages.push((name.clone(), command.bin_name(shown).display_name(name.clone())));
    inner.into_iter().for_each(|verb| gathered(verb, &name, pages));
}

/// As it is typed: a verb's own name may hold a dash.
fn said(above: &str, command: &clap::Command) -> String {
    format!("{} {}", above.replace('-', " "), command.get_name())
}

fn written(name: &str, page: clap::Command) -> anyhow::Result<Vec<u8>> {
    let examples = page.get_before_help().map(ToString::to_string);
    let more = page.get_after_help().map(ToString::to_string);
    let verbs = page.has_subcommands();
    // Only the program as a whole tells its version.
    let page = page
        .version(env!("CARGO_PKG_VERSION"))
        .disable_version_flag(name != "cuffnote")
        .disable_help_subcommand(true);
    let man = Man::new(page).title(name);
    let mut out = Vec::new();
    man.render_title(&mut out)?;
    man.render_name_section(&mut out)?;
    man.render_synopsis_section(&mut out)?;
    if let Some(examples) = examples {
        section(&mut out, "EXAMPLES", examples.trim_start_matches("Examples:\n"), true)?;
    }
    man.render_description_section(&mut out)?;
    man.render_options_section(&mut out)?;
    if verbs {
        man.render_subcommands_section(&mut out)?;
    }
    // The program's own last words are the table, which follows.
    if let Some(more) = more.filter(|more| !more.starts_with("Exit status:")) {
        section(&mut out, "MORE", &more, false)?;
    }
    writeln!(out, ".SH \"EXIT STATUS\"")?;
    for (status, means) in STATUS {
        writeln!(out, ".TP\n.B {status}\n{}", plain(means))?;
    }
    Ok(out)
}

fn section(out: &mut Vec<u8>, name: &str, text: &str, as_it_is: bool) -> std::io::Result<()> {
    writeln!(out, ".SH {name}")?;
    if as_it_is {
        writeln!(out, ".nf")?;
    }
    for line in text.lines() {
        writeln!(out, "{}", plain(line.trim()))?;
    }
    if as_it_is {
        writeln!(out, ".fi")?;
    }
    Ok(())
}

/// Text that `man` takes for text: no sign of its own in it.
fn plain(text: &str) -> String {
    let text = text.replace('\\', "\\e").replace('-', "\\-");
    if text.starts_with(['.', '\'']) { format!("\\&{text}") } else { text }
}
