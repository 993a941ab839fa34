//! Whether the computer hangs on the mains now, where the system tells it. A cable to a Doppler that touches a
//! patient is a matter of electrical safety.

use std::path::Path;

/// Where Linux tells it.
const SUPPLIES: &str = "/sys/class/power_supply";

/// Whether a charger is connected; `None` where the system does not tell.
pub fn connected() -> Option<bool> {
    connected_in(Path::new(SUPPLIES))
}

fn connected_in(folder: &Path) -> Option<bool> {
    let read = |path: &Path| {
        std::fs::read_to_string(path).map(|text| text.trim().to_owned()).unwrap_or_default()
    };
    let mut known = None;
    for entry in std::fs::read_dir(folder).ok()?.flatten() {
        let supply = entry.path();
        // A battery in a mouse or a pen is none of the computer's own.
        if read(&supply.join("scope")) == "Device" {
            continue;
        }
        let on = match read(&supply.join("type")).as_str() {
            "Mains" | "USB" | "Wireless" => read(&supply.join("online")) != "0",
            "Battery" => match read(&supply.join("status")).as_str() {
                "Charging" | "Full" | "Not charging" => true,
                "Discharging" => false,
                _ => continue,
            },
            _ => continue,
        };
        known = Some(known.unwrap_or(false) || on);
    }
    known
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(supplies: &[(&str, &[(&str, &str)])]) -> Option<bool> {
        let folder = tempfile::tempdir().unwrap();
        for (name, files) in supplies {
            let supply = folder.path().join(name);
            std::fs::create_dir(&supply).unwrap();
            for (file, text) in *files {
                std::fs::write(supply.join(file), format!("{text}\n")).unwrap();
            }
        }
        connected_in(folder.path())
    }

    #[test]
    fn the_charger_is_read_and_what_is_not_told_is_not_guessed() {
        let off: &[_] = &[("type", "Mains"), ("online", "0")];
        let on: &[_] = &[("type", "Mains"), ("online", "1")];
        let empties: &[_] = &[("type", "Battery"), ("status", "Discharging")];
        let fills: &[_] = &[("type", "Battery"), ("status", "Charging")];
        let mouse: &[_] = &[("type", "Battery"), ("scope", "Device"), ("status", "Full")];
        assert_eq!(told(&[("AC", off), ("BAT0", empties)]), Some(false));
        assert_eq!(told(&[("AC", on), ("BAT0", fills)]), Some(true));
        assert_eq!(told(&[("BAT0", empties), ("mouse", mouse)]), Some(false));
        assert_eq!(told(&[("BAT0", fills)]), Some(true));
        assert_eq!(told(&[]), None);
        assert_eq!(connected_in(Path::new("/nowhere/at/all")), None);
    }
}
