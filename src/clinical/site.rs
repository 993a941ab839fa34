//! Where a pressure is taken: side, artery, and the site they make.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::words::{Words, id, say};

/// The patient's side, never the observer's.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// The patient's right.
    Right,
    /// The patient's left.
    Left,
}

impl Side {
    /// Both, right first.
    pub const BOTH: [Side; 2] = [Side::Right, Side::Left];

    /// `right` or `left`.
    pub const fn code(self) -> &'static str {
        match self {
            Side::Right => "right",
            Side::Left => "left",
        }
    }

    /// "patient's right" or "patient's left".
    pub fn words(self) -> &'static str {
        self.said(Words::english())
    }

    /// In the words of a language.
    pub fn said(self, words: Words) -> &'static str {
        words.plain(match self {
            Side::Right => id!("clinical-side-right"),
            Side::Left => id!("clinical-side-left"),
        })
    }

    /// The other side.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Side::Right => Side::Left,
            Side::Left => Side::Right,
        }
    }
}

/// The artery that is listened to (the pressure is that under the cuff, not under the probe).
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Artery {
    /// The arm's.
    Brachial,
    /// On the back of the foot.
    DorsalisPedis,
    /// Behind the inner ankle bone.
    PosteriorTibial,
    /// In front of the outer ankle bone; optional.
    Peroneal,
    /// The great toe, under a toe cuff.
    GreatToe,
}

impl Artery {
    /// The artery's name in words.
    pub fn words(self) -> &'static str {
        self.said(Words::english())
    }

    /// In the words of a language.
    pub fn said(self, words: Words) -> &'static str {
        words.plain(match self {
            Artery::Brachial => id!("clinical-artery-brachial"),
            Artery::DorsalisPedis => id!("clinical-artery-dp"),
            Artery::PosteriorTibial => id!("clinical-artery-pt"),
            Artery::Peroneal => id!("clinical-artery-peroneal"),
            Artery::GreatToe => id!("clinical-artery-toe"),
        })
    }

    /// The name in a site's code.
    pub const fn code(self) -> &'static str {
        match self {
            Artery::Brachial => "arm",
            Artery::DorsalisPedis => "dp",
            Artery::PosteriorTibial => "pt",
            Artery::Peroneal => "peroneal",
            Artery::GreatToe => "toe",
        }
    }

    /// All five.
    pub const ALL: [Artery; 5] = [
        Artery::Brachial,
        Artery::DorsalisPedis,
        Artery::PosteriorTibial,
        Artery::Peroneal,
        Artery::GreatToe,
    ];

    /// The arteries of an ankle index, the optional peroneal last.
    pub const ANKLE: [Artery; 3] =
        [Artery::DorsalisPedis, Artery::PosteriorTibial, Artery::Peroneal];
}

/// One place of measurement. Written `right-arm`, `left-dp`, `left-pt`, `right-peroneal`, `left-toe`.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(try_from = "String", into = "String")]
pub struct Site {
    /// The patient's side.
    pub side: Side,
    /// The artery.
    pub artery: Artery,
}

/// A name that is no site.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{0}` is no site: write right-arm, left-arm, right-dp, right-pt, left-dp, left-pt, right-peroneal, left-peroneal, right-toe or left-toe"
)]
pub struct NoSuchSite(pub String);

impl Site {
    /// The site on `side` at `artery`.
    pub const fn new(side: Side, artery: Artery) -> Self {
        Self { side, artery }
    }

    /// All ten, right first.
    pub fn all() -> impl Iterator<Item = Site> {
        Side::BOTH.into_iter().flat_map(|side| Artery::ALL.map(|artery| Site { side, artery }))
    }

    /// The command line's name, such as `right-dp`.
    pub fn code(self) -> String {
        format!("{}-{}", self.side.code(), self.artery.code())
    }

    /// In the words of a language.
    pub fn said(self, words: Words) -> String {
        say!(words, "clinical-site", side = self.side.code(), artery = self.artery.code())
    }

    /// True of both arms.
    pub fn is_arm(self) -> bool {
        self.artery == Artery::Brachial
    }
}

impl fmt::Display for Site {
    /// In English words: "patient's left, dorsalis pedis".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Words::english()))
    }
}

impl FromStr for Site {
    type Err = NoSuchSite;

    fn from_str(code: &str) -> Result<Self, NoSuchSite> {
        Site::all().find(|site| site.code() == code).ok_or_else(|| NoSuchSite(code.to_owned()))
    }
}

impl TryFrom<String> for Site {
    type Error = NoSuchSite;

    fn try_from(code: String) -> Result<Self, NoSuchSite> {
        code.parse()
    }
}

impl From<Site> for String {
    fn from(site: Site) -> String {
        site.code()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_and_words() {
        assert_eq!(Site::all().count(), 10);
        for site in Site::all() {
            assert_eq!(site.code().parse(), Ok(site));
        }
        let site: Site = "left-dp".parse().unwrap();
        assert_eq!(site.to_string(), "patient's left, dorsalis pedis");
        assert!("left-knee".parse::<Site>().unwrap_err().to_string().contains("right-arm"));
    }
}
