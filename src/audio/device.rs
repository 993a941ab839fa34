//! What sound devices there are, and which one is meant.
//!
//! On Linux the native PulseAudio host comes first (PipeWire answers to it too), ALSA on request:
//! probing ALSA prints its library's noise, and its PulseAudio plugin blocks when a device goes. Every question
//! to a host has a time limit: a frozen sound server never answers.

use std::sync::mpsc;
use std::time::Duration;

use cpal::traits::{DeviceTrait, HostTrait};
use serde::Serialize;

/// How long a host may take to answer.
const ANSWER: Duration = Duration::from_secs(3);

/// Which sound system to ask.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum System {
    /// The platform's usual one: PulseAudio on Linux, CoreAudio on macOS, WASAPI on Windows.
    #[default]
    Usual,
    /// ALSA, on Linux.
    Alsa,
}

/// The direction of a device.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Direction {
    /// Sound comes from it.
    Input,
    /// Sound goes to it.
    Output,
}

/// One device in a list.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Listed {
    /// The system's own name, which stays the same; it can be given as the choice.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// Input or output.
    pub direction: Direction,
    /// Whether it is taken where no other is named.
    pub default: bool,
    /// Whether it only carries what an output plays.
    pub monitor: bool,
    /// Channels, rate and format that it works with, where it tells.
    pub works_with: Option<WorksWith>,
}

/// A device's own choice of format.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct WorksWith {
    /// Interleaved channels.
    pub channels: u16,
    /// Samples a second.
    pub rate_hz: u32,
    /// Sample format, such as `i16` or `f32`.
    pub format: String,
}

/// Why no device could be had; each says what can be done.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DeviceFault {
    /// No sound system.
    #[error(
        "no sound system answers ({0}): start the sound server; `listen` and `devices` can also be given `--host alsa`"
    )]
    NoSystem(String),
    /// It is there and says nothing.
    #[error("the sound system does not answer within {} s: restart it", ANSWER.as_secs())]
    Silent,
    /// It has no device of this direction.
    #[error("there is no sound {0}: connect one, and see `cuffnote devices`")]
    None(&'static str),
    /// Not among those there.
    #[error("there is no sound device `{wanted}`; there are: {there}")]
    NotFound {
        /// What was asked for.
        wanted: String,
        /// What there is.
        there: String,
    },
    /// Several fit.
    #[error("`{wanted}` fits several devices: {there}; give more of the name")]
    Several {
        /// What was asked for.
        wanted: String,
        /// What fits.
        there: String,
    },
    /// The device offers nothing that is understood.
    #[error(
        "the device offers no sound that can be used ({0}): choose another, or another format in the system's settings"
    )]
    Format(String),
    /// Somebody else has it, or it is not allowed.
    #[error(
        "the device cannot be opened ({0}): close other programs that use it, check the system's permission"
    )]
    Refused(String),
}

impl From<cpal::Error> for DeviceFault {
    fn from(error: cpal::Error) -> Self {
        use cpal::ErrorKind::{
            HostUnavailable, StreamInvalidated, UnsupportedConfig, UnsupportedOperation,
        };
        match error.kind() {
            HostUnavailable | StreamInvalidated => Self::NoSystem(error.to_string()),
            UnsupportedConfig | UnsupportedOperation => Self::Format(error.to_string()),
            _ => Self::Refused(error.to_string()),
        }
    }
}

/// Runs a question on a thread of its own and waits for the answer at most [`ANSWER`]. A thread
/// that never comes back is left behind: there is no way to end it.
fn asked<T: Send + 'static>(
    question: impl FnOnce() -> Result<T, DeviceFault> + Send + 'static,
) -> Result<T, DeviceFault> {
    let (tell, told) = mpsc::channel();
    std::thread::Builder::new()
        .name("ask sound system".into())
        .spawn(move || {
            let _ = tell.send(question());
        })
        .map_err(|e| DeviceFault::NoSystem(e.to_string()))?;
    told.recv_timeout(ANSWER).unwrap_or(Err(DeviceFault::Silent))
}

fn host(system: System) -> Result<cpal::Host, DeviceFault> {
    let wanted = match system {
        System::Alsa => "ALSA",
        System::Usual if cfg!(target_os = "linux") => "PulseAudio",
        System::Usual => return Ok(cpal::default_host()),
    };
    let all = cpal::ALL_HOSTS.iter().find(|id| id.name() == wanted);
    let id = all.ok_or_else(|| DeviceFault::NoSystem(format!("{wanted} is not of this system")))?;
    Ok(cpal::host_from_id(*id)?)
}

/// All inputs and outputs.
///
/// # Errors
/// The sound system is not there or does not answer.
pub fn list(system: System) -> Result<Vec<Listed>, DeviceFault> {
    asked(move || {
        let host = host(system)?;
        let default_of = |device: Option<cpal::Device>| device.map(|d| id(&d));
        let (input, output) =
            (default_of(host.default_input_device()), default_of(host.default_output_device()));
        let mut all = Vec::new();
        for device in host.devices()? {
            if device.supports_input() {
                all.push(listed(&device, Direction::Input, input.as_ref()));
            }
            if device.supports_output() {
                all.push(listed(&device, Direction::Output, output.as_ref()));
            }
        }
        Ok(all)
    })
}

fn id(device: &cpal::Device) -> String {
    device.id().map(|id| id.id().to_owned()).unwrap_or_default()
}

fn name(device: &cpal::Device) -> String {
    device.description().map(|d| d.name().to_owned()).unwrap_or_else(|_| id(device))
}

fn listed(device: &cpal::Device, direction: Direction, default: Option<&String>) -> Listed {
    let config = match direction {
        Direction::Input => device.default_input_config(),
        Direction::Output => device.default_output_config(),
    };
    let id = id(device);
    Listed {
        name: name(device),
        direction,
        default: default == Some(&id),
        monitor: direction == Direction::Input && id.ends_with(".monitor"),
        works_with: config.ok().map(|c| WorksWith {
            channels: c.channels(),
            rate_hz: c.sample_rate(),
            format: c.sample_format().to_string(),
        }),
        id,
    }
}

/// A device that was found, ready to be opened.
pub(super) struct Chosen {
    pub device: cpal::Device,
    pub id: String,
    pub name: String,
    pub config: cpal::SupportedStreamConfig,
}

/// The device that is meant: by its id, its whole name, or a part of one that fits no other; without
/// words the default. To be called from a thread that may wait.
pub(super) fn choose(
    system: System,
    direction: Direction,
    wanted: Option<&str>,
) -> Result<Chosen, DeviceFault> {
    let host = host(system)?;
    let input = direction == Direction::Input;
    let device = match wanted {
        Some(wanted) => named(&host, input, wanted)?,
        None if input => host.default_input_device().ok_or(DeviceFault::None("input"))?,
        None => host.default_output_device().ok_or(DeviceFault::None("output"))?,
    };
    let config = match input {
        true => device.default_input_config(),
        false => device.default_output_config(),
    }?;
    Ok(Chosen { id: id(&device), name: name(&device), device, config })
}

fn named(host: &cpal::Host, input: bool, wanted: &str) -> Result<cpal::Device, DeviceFault> {
    let fits = |d: &cpal::Device| if input { d.supports_input() } else { d.supports_output() };
    let devices: Vec<cpal::Device> = host.devices()?.filter(fits).collect();
    let names: Vec<(String, String)> = devices.iter().map(|d| (id(d), name(d))).collect();
    let at = pick(&names, wanted)?;
    devices.into_iter().nth(at).ok_or(DeviceFault::None("device"))
}

/// The place in the list of `(id, name)` that `wanted` means: an id, a whole name, or a part that fits no other.
///
/// # Errors
/// None fits, or several do.
pub fn pick(names: &[(String, String)], wanted: &str) -> Result<usize, DeviceFault> {
    if let Some(at) = names.iter().position(|(id, name)| id == wanted || name == wanted) {
        return Ok(at);
    }
    let low = wanted.to_lowercase();
    let part = |(id, name): &(String, String)| {
        id.to_lowercase().contains(&low) || name.to_lowercase().contains(&low)
    };
    let fitting: Vec<usize> = (0..names.len()).filter(|&at| part(&names[at])).collect();
    let list = |which: &[usize]| {
        let words: Vec<String> = which.iter().map(|&at| format!("`{}`", names[at].1)).collect();
        if words.is_empty() { "none".to_owned() } else { words.join(", ") }
    };
    let wanted = wanted.to_owned();
    match fitting.as_slice() {
        [one] => Ok(*one),
        [] => {
            let all: Vec<usize> = (0..names.len()).collect();
            Err(DeviceFault::NotFound { wanted, there: list(&all) })
        }
        several => Err(DeviceFault::Several { wanted, there: list(several) }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_means_one_device_or_is_refused() {
        let names = [("alsa.usb", "Blue cable"), ("alsa.pci", "Line in"), ("sink.monitor", "Line")];
        let names = names.map(|(a, b)| (a.to_owned(), b.to_owned()));
        assert_eq!(pick(&names, "Line"), Ok(2));
        assert_eq!(pick(&names, "alsa.pci"), Ok(1));
        assert_eq!(pick(&names, "blue"), Ok(0));
        assert!(matches!(pick(&names, "alsa"), Err(DeviceFault::Several { .. })));
        assert!(pick(&names, "harp").unwrap_err().to_string().contains("`Blue cable`"));
    }
}
