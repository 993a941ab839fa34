//! The words of `listen --live` become a plan, or a refusal with a sentence; and what has to be said before.

use std::path::PathBuf;

use anyhow::{bail, ensure};
use clap_complete::engine::ArgValueCompleter;

use super::complete;
use super::devices::{ChannelWord, HostWord, remembered};
use crate::audio::capture::Wish;
use crate::audio::recorder::{Depth, Names};
use crate::audio::{charger, tone};
use crate::live::{Channel, Choice, DeviceSupply, Gain, Pace, Passing, Plan, Supply, WavSupply};

#[derive(clap::Args)]
#[group(skip)]
pub(super) struct Words {
    /// Listen to a sound device as it sounds (or to a WAV file, as if it sounded now)
    #[arg(long)]
    pub live: bool,
    /// The device: its name, its id, or a part that fits no other [default: the remembered one]
    #[arg(long, value_name = "NAME", requires = "live", add = ArgValueCompleter::new(complete::devices))]
    device: Option<String>,
    /// Sound system to ask
    #[arg(long, value_enum, default_value = "usual", requires = "live")]
    host: HostWord,
    /// Channel to listen to, `all` (their mean) or a number from 1; with --live all are recorded
    #[arg(long)]
    channel: Option<ChannelWord>,
    /// Record to this WAV file; what happens goes beside it as JSON lines
    #[arg(long, value_name = "FILE.wav", requires = "live")]
    pub record: Option<PathBuf>,
    /// Bits of each recorded sample
    #[arg(long, value_parser = ["16", "24"], default_value = "16", requires = "live")]
    depth: String,
    /// How the Doppler's sound comes here
    #[arg(long, value_enum, default_value = "microphone", requires = "live")]
    pub link: Link,
    /// Pass the sound on to an output, because a cable mutes the Doppler's own loudspeaker
    #[arg(long, value_name = "OUTPUT", num_args = 0..=1, default_missing_value = "", requires = "live")]
    through: Option<String>,
    /// The output is headphones: a microphone may be passed through to them
    #[arg(long, requires = "through")]
    headphones: bool,
    /// Turn down the learned background noise in the sound passed through
    #[arg(long, requires = "through")]
    clearer: bool,
    /// End after this many seconds
    #[arg(long, value_name = "N", requires = "live", value_parser = seconds)]
    pub seconds: Option<f64>,
}

fn seconds(text: &str) -> Result<f64, String> {
    let given = text.parse().ok().filter(|s: &f64| s.is_finite() && *s > 0.0);
    given.ok_or_else(|| "expected seconds, more than 0".into())
}

/// How the sound comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Link {
    /// A microphone near the Doppler's loudspeaker
    Microphone,
    /// A cable from the Doppler's output
    Cable,
}

impl Words {
    /// The one channel that was asked for, from 0.
    pub(super) fn channel(&self) -> Option<usize> {
        self.channel.and_then(|ChannelWord(number)| number).map(|n| usize::from(n) - 1)
    }
}

/// Words become a plan, or a refusal with a sentence.
pub(super) fn source(words: &Words, files: &[PathBuf]) -> anyhow::Result<Box<dyn Supply>> {
    match files {
        [] => {}
        [file] => {
            ensure!(words.record.is_none(), "a WAV file is a recording already");
            ensure!(words.through.is_none(), "only a device's sound is passed through");
            return Ok(Box::new(WavSupply::new(file, Pace::RealTime)));
        }
        _ => bail!("one sound at a time: name one file, or a device"),
    }
    if words.through.is_some() && words.link == Link::Microphone && !words.headphones {
        bail!(
            "a microphone would hear its own sound again and howl: wear headphones and say so (--headphones), or use a cable (--link cable)"
        );
    }
    let device = words.device.clone().or(chosen_before()?.device);
    let wish = Wish { system: words.host.into(), device, through: false };
    let passing = words.through.as_ref().map(|to| Passing {
        gain: Gain::default(),
        device: Some(to.clone()).filter(|to| !to.is_empty()),
        clearer: words.clearer,
    });
    Ok(Box::new(DeviceSupply::new(wish, passing)))
}

/// The choice that the settings remember, or none.
fn chosen_before() -> anyhow::Result<Choice> {
    Ok(Choice::remembered(&remembered()?))
}

pub(super) fn plan(words: &Words) -> anyhow::Result<Plan> {
    // A remembered channel is that of the remembered device.
    let kept = if words.device.is_none() { chosen_before()?.channel } else { None };
    let channel = match words.channel {
        Some(ChannelWord(named)) => named.map(|n| usize::from(n) - 1),
        None => kept,
    };
    let channel = channel.map_or(Channel::All, Channel::One);
    let depth = if words.depth == "24" { Depth::Bits24 } else { Depth::Bits16 };
    let record = words.record.as_ref().map(|path| (Names::new(path), depth));
    Ok(Plan { channel, record })
}

/// What has to be said before any sound is heard.
pub(super) fn cautions(words: &Words) -> Vec<String> {
    let mut all = vec![
        "For training and for recording what a clinician measured; the clinician's ear and gauge are the record."
            .to_owned(),
    ];
    match words.link {
        Link::Microphone => {
            all.push("A microphone near the Doppler's loudspeaker needs no wire to the patient's equipment, and is the usual advice.".into());
        }
        Link::Cable => {
            all.push("A cable joins the Doppler to this computer, and the computer to the mains while it charges: use it on battery, or over an isolated link, as local electrical safety policy says.".into());
            all.push(match charger::connected() {
                Some(true) => {
                    "THE CHARGER IS CONNECTED NOW: unplug it before the probe touches the patient."
                        .into()
                }
                Some(false) => "The computer runs on battery now, as far as it tells.".into(),
                None => "Whether the charger is connected could not be read: look.".to_owned(),
            });
            if words.through.is_none() {
                all.push("A cable mutes many Dopplers' own loudspeaker. To hear, add --through, or unplug the cable.".into());
            }
        }
    }
    let kept = if words.record.is_some() { "recorded" } else { "listened to" };
    all.push(format!(
        "Voices may be heard too: tell the patient and whoever is in the room that sound is {kept}; ask for consent as local policy says."
    ));
    if words.through.is_some() {
        all.push(format!(
            "Sound passed through is never louder than {:.0} dBFS; begin with the output turned low. If the analysis stops: unplug the cable to hear.",
            20.0 * tone::CEILING.log10()
        ));
    }
    all
}
