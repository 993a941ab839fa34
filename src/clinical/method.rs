//! How the index is formed: the standard, and four others that are named in every output.

use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::words::{Words, id};

/// How the index is formed. The first is the standard; each of the others is named in every output.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Method {
    /// Higher ankle artery over the higher arm (2016 and 2024 ACC/AHA, WOCN 2012, NICE CG147).
    #[default]
    Higher,
    /// Lower of dorsalis pedis and posterior tibial over the higher arm (Lange 2007).
    Lower,
    /// Mean of dorsalis pedis and posterior tibial over the higher arm.
    Mean,
    /// Posterior tibial over the mean of both arms (as in a US national survey).
    PtOnly,
    /// Higher ankle artery over the arm of the same side (as one Royal College glossary teaches).
    SameSideArm,
}

/// A name that is no method.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no method: write higher, lower, mean, pt-only or same-side-arm")]
pub struct NoSuchMethod(pub String);

impl Method {
    /// All five.
    pub const ALL: [Method; 5] =
        [Method::Higher, Method::Lower, Method::Mean, Method::PtOnly, Method::SameSideArm];

    /// The name on the command line and in files.
    pub const fn code(self) -> &'static str {
        match self {
            Method::Higher => "higher",
            Method::Lower => "lower",
            Method::Mean => "mean",
            Method::PtOnly => "pt-only",
            Method::SameSideArm => "same-side-arm",
        }
    }

    /// In words, for every output.
    pub fn words(self) -> &'static str {
        self.said(Words::english())
    }

    /// In the words of a language.
    pub fn said(self, words: Words) -> &'static str {
        words.plain(match self {
            Method::Higher => id!("clinical-method-higher"),
            Method::Lower => id!("clinical-method-lower"),
            Method::Mean => id!("clinical-method-mean"),
            Method::PtOnly => id!("clinical-method-pt-only"),
            Method::SameSideArm => id!("clinical-method-same-side-arm"),
        })
    }
}

impl FromStr for Method {
    type Err = NoSuchMethod;

    fn from_str(code: &str) -> Result<Self, NoSuchMethod> {
        let found = Method::ALL.into_iter().find(|m| m.code() == code);
        found.ok_or_else(|| NoSuchMethod(code.to_owned()))
    }
}
