//! The verb `settings`: every key with its value, the layer that it comes from, and its meaning. Changes nothing.

use std::process::ExitCode;

use serde::Serialize;

use super::described::{Described, line};
use super::layers;
use super::nearest::did_you_mean;
use super::output::{misuse, say};
use crate::settings::{self, Settings, SettingsKey, ValueOrigin};

#[derive(clap::Args)]
#[command(
    after_help = "Layers, the later wins: usual (the program's defaults), computer (its own \
file, for all users), user, this run (--set KEY=VALUE). A key that the computer's file locks is decided there alone. \
The page docs/settings.md tells more."
)]
pub(super) struct Words {
    /// A key, or a table of keys such as `sound`; without one, all are listed
    name: Option<String>,
    /// One JSON object a line
    #[arg(long)]
    json: bool,
}

/// One key and its value.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub(super) struct Stands {
    /// Table and name with a dot between.
    key: &'static str,
    /// Its value; null where no layer says any and the usual one is taken.
    value: Option<String>,
    /// Where the value comes from.
    layer: LayerWord,
    /// What it may be.
    may_be: &'static str,
    /// The default.
    usual: &'static str,
    /// What it means.
    means: &'static str,
}

impl Described for Stands {
    const FORMAT: &'static str = "cuffnote-settings";
}

/// A layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum LayerWord {
    /// No layer says anything: the usual value is taken.
    Usual,
    /// The computer's own file says it.
    Computer,
    /// The computer's own file locks it.
    Locked,
    /// The user's file says it.
    User,
    /// It was given for this run.
    Run,
}

impl LayerWord {
    const fn words(self) -> &'static str {
        match self {
            LayerWord::Usual => "usual",
            LayerWord::Computer => "computer",
            LayerWord::Locked => "locked",
            LayerWord::User => "user",
            LayerWord::Run => "this run",
        }
    }
}

impl From<ValueOrigin> for LayerWord {
    fn from(origin: ValueOrigin) -> Self {
        match origin {
            ValueOrigin::Usual => LayerWord::Usual,
            ValueOrigin::Locked => LayerWord::Locked,
            ValueOrigin::Machine => LayerWord::Computer,
            ValueOrigin::User => LayerWord::User,
            ValueOrigin::Run => LayerWord::Run,
        }
    }
}

impl Stands {
    /// A key as these settings have it.
    pub(super) fn of(key: &SettingsKey, settings: &Settings) -> Self {
        let (origin, value) = settings.found(key.name);
        let SettingsKey { name, may_be, usual, means, .. } = *key;
        let value = value.map(str::to_owned);
        Self { key: name, value, layer: origin.into(), may_be, usual, means }
    }

    /// A line of the list; a value that may name somebody is left out where `private` is.
    pub(super) fn in_words(&self, private: bool) -> String {
        let hidden = private && settings::key(self.key).is_some_and(|key| key.private);
        let value = match &self.value {
            Some(value) if value.is_empty() => "(empty)".to_owned(),
            Some(_) if hidden => "(set)".to_owned(),
            Some(value) => value.clone(),
            None => self.usual.to_owned(),
        };
        format!("{:<24} {:<9} {value}", self.key, self.layer.words())
    }
}

pub(super) fn run(words: &Words) -> anyhow::Result<ExitCode> {
    let wanted = words.name.as_deref().map(str::trim);
    let of_table = |key: &&SettingsKey| {
        wanted.is_none_or(|name| {
            key.name == name
                || key.name.strip_prefix(name).is_some_and(|rest| rest.starts_with('.'))
        })
    };
    let keys: Vec<&SettingsKey> = settings::KEYS.iter().filter(of_table).collect();
    if keys.is_empty() {
        let name = wanted.unwrap_or_default();
        let near = did_you_mean(name, settings::near());
        return Err(misuse(format!("there is no key `{name}`{near}")));
    }
    let settings = layers::settings()?;
    let mut text = String::new();
    for key in &keys {
        let stands = Stands::of(key, &settings);
        if words.json {
            text += &line(&stands)?;
        } else {
            text += &format!("{}\n", stands.in_words(false));
            text += &format!("    {} May be: {}.\n", key.means, key.may_be);
        }
    }
    if !words.json && wanted.is_none() {
        text += &places();
    }
    say(&text)?;
    Ok(ExitCode::SUCCESS)
}

/// Where the two files are looked for.
fn places() -> String {
    let said = |path: Option<std::path::PathBuf>| match path {
        Some(path) if path.exists() => path.display().to_string(),
        Some(path) => format!("{} (not there)", path.display()),
        None => "this system names no place".into(),
    };
    format!(
        "\ncomputer  {}\nuser      {}\n",
        said(settings::machine_path()),
        said(settings::default_path())
    )
}
