//! The verb `devices`: what sound devices there are, and which one is remembered.

use std::process::ExitCode;

use anyhow::Context;
use clap_complete::engine::ArgValueCompleter;

use super::complete;
use super::described::line;
use super::layers;
use super::output::say;
use crate::audio::device::{self, Direction, Listed, System};
use crate::live::{CHANNEL_KEY, Choice, DEVICE_KEY};
use crate::settings::{Fixed, Settings, default_path};

#[derive(clap::Args)]
pub(super) struct Words {
    /// Sound system to ask
    #[arg(long, value_enum, default_value = "usual")]
    host: HostWord,
    /// Remember this input (its name, its id, or a part that fits no other) for `listen --live`
    #[arg(long, value_name = "NAME", add = ArgValueCompleter::new(complete::devices))]
    remember: Option<String>,
    /// Remember this channel with it: `all` for the mean of all, or a number from 1
    #[arg(long, value_name = "CHANNEL", requires = "remember")]
    channel: Option<ChannelWord>,
    /// One JSON object a line
    #[arg(long)]
    json: bool,
}

/// The sound system in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum HostWord {
    /// The platform's usual one: PulseAudio on Linux (PipeWire answers to it too)
    #[value(alias = "pulse")]
    Usual,
    /// ALSA, on Linux
    Alsa,
}

impl From<HostWord> for System {
    fn from(word: HostWord) -> System {
        match word {
            HostWord::Usual => System::Usual,
            HostWord::Alsa => System::Alsa,
        }
    }
}

/// `all`, or a channel's number from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct ChannelWord(pub Option<u16>);

impl std::str::FromStr for ChannelWord {
    type Err = String;

    fn from_str(word: &str) -> Result<Self, String> {
        match (word, word.parse()) {
            ("all", _) => Ok(Self(None)),
            (_, Ok(n @ 1..=64)) => Ok(Self(Some(n))),
            _ => Err("expected `all` or a channel's number from 1".into()),
        }
    }
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let devices = device::list(words.host.into())?;
    if let Some(wanted) = &words.remember {
        return remember(&devices, wanted, words.channel);
    }
    let kept = Choice::remembered(&remembered()?).device;
    for device in &devices {
        let shown = if words.json { line(device)? } else { in_words(device, kept.as_deref()) };
        say(&shown)?;
    }
    if devices.is_empty() && !words.json {
        say("no sound device: connect one\n")?;
    }
    Ok(ExitCode::SUCCESS)
}

/// The settings of this run, of which the devices are a part.
pub(super) fn remembered() -> anyhow::Result<Settings> {
    layers::settings()
}

fn remember(
    devices: &[Listed],
    wanted: &str,
    channel: Option<ChannelWord>,
) -> anyhow::Result<ExitCode> {
    let inputs: Vec<&Listed> = devices.iter().filter(|d| d.direction == Direction::Input).collect();
    let names: Vec<_> = inputs.iter().map(|d| (d.id.clone(), d.name.clone())).collect();
    let device = inputs[device::pick(&names, wanted)?];
    let path = default_path().context("this system has no place for settings")?;
    let mut settings = remembered()?;
    for key in [DEVICE_KEY, CHANNEL_KEY] {
        if settings.is_locked(key) {
            return Err(Fixed(key.to_owned()).into());
        }
    }
    settings.set_text(DEVICE_KEY, &device.id);
    let channel = channel.and_then(|c| c.0).map_or("all".to_owned(), |n| n.to_string());
    settings.set_text(CHANNEL_KEY, &channel);
    settings.save(&path)?;
    say(&format!("`listen --live` now listens to {}, channel {channel}\n", device.name))?;
    Ok(ExitCode::SUCCESS)
}

fn in_words(device: &Listed, kept: Option<&str>) -> String {
    let direction = if device.direction == Direction::Input { "input " } else { "output" };
    let mut notes = Vec::new();
    if let Some(with) = &device.works_with {
        let channels = if with.channels == 1 { "channel" } else { "channels" };
        notes.push(format!("{} {channels}, {} Hz, {}", with.channels, with.rate_hz, with.format));
    }
    if device.default {
        notes.push("taken where none is named".into());
    }
    if device.monitor {
        notes.push("carries what an output plays".into());
    }
    if device.direction == Direction::Input && kept == Some(&device.id) {
        notes.push("remembered".into());
    }
    format!("{direction}  {}\n        {}\n        {}\n", device.name, device.id, notes.join("; "))
}
