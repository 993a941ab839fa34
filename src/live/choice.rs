//! Which sound is listened to, as the user chose it; and what there is to choose from.

use crate::audio::capture::Wish;
use crate::audio::device::{self, Direction, System};
use crate::audio::recorder::{Depth, Names};
use crate::audio::spout::Gain;
use crate::settings::Settings;

use super::{Channel, DeviceSupply, Passing, Plan, Supply};

/// The settings' key of the input.
pub const DEVICE_KEY: &str = "sound.device";
/// The settings' key of the channel: `all`, or a number from 1.
pub const CHANNEL_KEY: &str = "sound.channel";
/// The settings' key of the link: `microphone` or `cable`.
pub const LINK_KEY: &str = "sound.link";
/// The settings' key of the output that sound is passed through to: empty for the usual one.
pub const THROUGH_KEY: &str = "sound.through";
/// The settings' key of the loudness of sound passed through.
pub const HEADPHONES_KEY: &str = "sound.headphones";

/// The settings' key of how loud sound passed through is, per cent.
pub const VOLUME_KEY: &str = "sound.volume";

/// A device that can be chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InputDevice {
    /// What the settings keep.
    pub id: String,
    /// What people call it.
    pub name: String,
}

/// How sound is passed through.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Through {
    /// The output's id; the usual one where none is named.
    pub to: Option<String>,
    /// Turn down the learned background.
    pub clearer: bool,
}

/// A choice of sound.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Choice {
    /// The input's id; the usual one where none is named.
    pub device: Option<String>,
    /// The channel from 0; all where none is named.
    pub channel: Option<usize>,
    /// True of a cable from the Doppler, false of a microphone.
    pub cable: bool,
    /// Where sound is passed through to, if it is.
    pub through: Option<Through>,
    /// Sound passed through goes to headphones.
    pub headphones: bool,
    /// How much softer than full sound is passed through, per cent taken off.
    pub softer: u32,
}

/// Why a choice is refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ChoiceFault {
    /// A microphone would hear itself.
    #[error(
        "with a loudspeaker the microphone would howl: wear headphones and say so in Set-up, or use a cable"
    )]
    WouldHowl,
    /// The devices cannot be listed.
    #[error("{0}")]
    NoList(String),
}

impl Choice {
    /// The choice that the settings remember.
    pub fn remembered(settings: &Settings) -> Self {
        let text = |key| settings.text(key).map(str::to_owned);
        let channel = text(CHANNEL_KEY).and_then(|t| t.parse::<usize>().ok());
        let through = text(THROUGH_KEY).map(|to| Through {
            to: Some(to).filter(|to| !to.is_empty() && to != "usual"),
            clearer: false,
        });
        Self {
            device: text(DEVICE_KEY).filter(|id| !id.is_empty()),
            channel: channel.and_then(|n| n.checked_sub(1)),
            cable: settings.text(LINK_KEY) == Some("cable"),
            through: through.filter(|_| settings.text(THROUGH_KEY) != Some("off")),
            headphones: settings.text(HEADPHONES_KEY) == Some("yes"),
            softer: text(VOLUME_KEY)
                .and_then(|t| t.parse().ok())
                .map_or(0, |n: u32| 100_u32.saturating_sub(n)),
        }
    }

    /// The source of sound.
    ///
    /// # Errors
    /// [`ChoiceFault::WouldHowl`].
    pub fn supply(&self) -> Result<Box<dyn Supply>, ChoiceFault> {
        self.supply_at(&Gain::new(self.volume()))
    }

    /// How loud sound is passed through, per cent.
    pub fn volume(&self) -> u32 {
        100_u32.saturating_sub(self.softer)
    }

    /// The source of sound, passed through as loud as this gain says while it plays.
    ///
    /// # Errors
    /// As [`Choice::supply`].
    pub fn supply_at(&self, gain: &Gain) -> Result<Box<dyn Supply>, ChoiceFault> {
        if self.through.is_some() && !self.cable && !self.headphones {
            return Err(ChoiceFault::WouldHowl);
        }
        let wish = Wish { system: System::Usual, device: self.device.clone(), through: false };
        let passing = self
            .through
            .as_ref()
            .map(|Through { to, clearer }| (to.clone(), *clearer))
            .map(|(device, clearer)| Passing { device, clearer, gain: gain.clone() });
        Ok(Box::new(DeviceSupply::new(wish, passing)))
    }

    /// What the worker is to do; recorded to this file where one is named, with 16 bits a sample.
    pub fn plan(&self, record: Option<&std::path::Path>) -> Plan {
        Plan {
            channel: self.channel.map_or(Channel::All, Channel::One),
            record: record.map(|first| (Names::new(first), Depth::Bits16)),
        }
    }
}

/// The inputs there are.
///
/// # Errors
/// The sound system does not answer.
pub fn inputs() -> Result<Vec<InputDevice>, ChoiceFault> {
    let all = device::list(System::Usual).map_err(|e| ChoiceFault::NoList(e.to_string()))?;
    let of = all.into_iter().filter(|device| device.direction == Direction::Input);
    Ok(of.map(|device| InputDevice { id: device.id, name: device.name }).collect())
}
