//! A setting that is given for one run, as `--set` takes it.

use super::nearest::did_you_mean;
use crate::settings;

/// A key with its value for this run, as `--set` takes it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Given(pub(super) String, pub(super) String);

impl std::str::FromStr for Given {
    type Err = String;

    fn from_str(word: &str) -> Result<Self, String> {
        let Some((name, value)) = word.split_once('=') else {
            return Err("write KEY=VALUE; `cuffnote settings` lists the keys".into());
        };
        match settings::key(name.trim()) {
            Some(key) if key.own => Err(format!("{name} is decided in the window alone")),
            Some(key) => Ok(Self(key.name.to_owned(), value.trim().to_owned())),
            None => {
                let near = did_you_mean(name, settings::near());
                Err(format!("there is no key `{name}`{near}; `cuffnote settings` lists them"))
            }
        }
    }
}
