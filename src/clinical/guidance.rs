//! Guidance as cited data: each set stands alone, with its source, its status and a date to look again.
//! Sets are never merged, gaps and overlaps stay as printed, and no advice here is the program's own.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};
use toml::Spanned;

use super::condition::{Clause, Condition, NoCondition, Quantity};
use super::exact::Ratio;
use super::shown::Shown;
use crate::words::{Words, id, say};

/// How sure the words and numbers are.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Status {
    /// Seen in the publication itself.
    Verified,
    /// Seen only where another page quotes it.
    Secondary,
    /// From memory: to be checked before anyone relies on it.
    FromMemory,
    /// A service's own rule.
    Own,
}

impl Status {
    /// In words.
    pub fn words(self) -> &'static str {
        self.said(Words::english())
    }

    /// In the words of a language.
    pub fn said(self, words: Words) -> &'static str {
        words.plain(match self {
            Status::Verified => id!("clinical-status-verified"),
            Status::Secondary => id!("clinical-status-secondary"),
            Status::FromMemory => id!("clinical-status-from-memory"),
            Status::Own => id!("clinical-status-own"),
        })
    }
}

/// One published set.
#[derive(Debug, Clone, PartialEq)]
pub struct GuidanceSet {
    /// The short name for files and the command line.
    pub id: String,
    /// The name shown first.
    pub name: String,
    /// The version of this copy.
    pub version: String,
    /// Where it was published, and where it was seen.
    pub source: String,
    /// How sure it is.
    pub status: Status,
    /// The day by which someone looks at the source again, as `2027-11-01`.
    pub look_again: String,
    /// What a reader must know about the whole set.
    pub note: String,
    /// In the order printed.
    pub bands: Vec<Band>,
}

/// One band of a set.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// When it applies.
    pub when: Condition,
    /// Its name.
    pub name: String,
    /// What the set says of it.
    pub words: String,
    /// True where the words are the publication's own.
    pub quoted: bool,
    /// Its place from least (0) to most cautious within the set.
    pub caution: u32,
    /// True where it speaks of arteries that cannot be compressed.
    pub not_compressible: bool,
    /// Further words of the same publication, paraphrased.
    pub more: String,
    /// Its own source, where that is not the set's.
    pub source: Option<String>,
    /// Its own status, where that is not the set's.
    pub status: Option<Status>,
    /// What it means in another language, by our own translation; empty in the language of the file.
    pub ours: OurTranslation,
}

/// What a band means in another language: ours, not the publication's.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct OurTranslation {
    /// Of its words.
    pub words: Option<String>,
    /// Of the further words.
    pub more: Option<String>,
}

/// Why a file of guidance, or of an order of measurement, was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{name}, line {line}: {why}")]
pub struct DataFault {
    /// The file.
    pub name: String,
    /// The line, from 1.
    pub line: usize,
    /// What is wrong, and what was expected.
    pub why: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    version: Spanned<i64>,
    id: Spanned<String>,
    name: String,
    set_version: String,
    source: Spanned<String>,
    status: Status,
    /// Text or a day of TOML's own.
    look_again: Spanned<toml::Value>,
    #[serde(default)]
    note: String,
    #[serde(default)]
    band: Vec<BandText>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BandText {
    when: Spanned<String>,
    name: String,
    words: String,
    #[serde(default)]
    quoted: bool,
    caution: u32,
    #[serde(default)]
    not_compressible: bool,
    #[serde(default)]
    more: String,
    source: Option<String>,
    status: Option<Status>,
}

/// The sets that come with the program.
const SHIPPED: [(&str, &str); 8] = [
    ("acc-aha-2024.toml", include_str!("guidance/acc-aha-2024.toml")),
    ("nice-cks.toml", include_str!("guidance/nice-cks.toml")),
    ("german-s2k.toml", include_str!("guidance/german-s2k.toml")),
    ("consensus-2020.toml", include_str!("guidance/consensus-2020.toml")),
    ("rnao.toml", include_str!("guidance/rnao.toml")),
    ("wifi.toml", include_str!("guidance/wifi.toml")),
    ("tasc-2007.toml", include_str!("guidance/tasc-2007.toml")),
    ("esc-2017.toml", include_str!("guidance/esc-2017.toml")),
];

/// The id of the set that the command line uses unless told otherwise.
pub const DEFAULT: &str = "acc-aha-2024";

/// The ids of the shipped sets, in the order listed.
pub fn ids() -> impl Iterator<Item = &'static str> {
    SHIPPED.iter().map(|(name, _)| name.trim_end_matches(".toml"))
}

/// A shipped set; `None` of an id that is not among them.
///
/// # Errors
/// A fault in a shipped file, which a test rules out.
pub fn shipped(id: &str) -> Option<Result<GuidanceSet, DataFault>> {
    let at = SHIPPED.iter().position(|(name, _)| name.trim_end_matches(".toml") == id)?;
    READ.get(at).cloned()
}

/// The shipped sets as they were read, once: whoever works out many visits asks for a set with each.
static READ: LazyLock<Vec<Result<GuidanceSet, DataFault>>> =
    LazyLock::new(|| SHIPPED.iter().map(|(name, text)| GuidanceSet::parse(name, text)).collect());

/// The sets that something was shown with; `None` where one is not shipped any more.
pub fn shown_with(shown: &Shown) -> Option<Vec<GuidanceSet>> {
    let ids = shown.versions.guidance.iter().map(|set| set.split('/').next().unwrap_or_default());
    ids.map(|id| shipped(id).and_then(Result::ok)).collect()
}

impl GuidanceSet {
    /// Reads a set from TOML; `name` is the file's, for the fault.
    ///
    /// # Errors
    /// The first fault, with its line and what was expected.
    pub fn parse(name: &str, text: &str) -> Result<Self, DataFault> {
        let line = |at: usize| text.get(..at).unwrap_or(text).matches('\n').count() + 1;
        let fault = |at: usize, why: String| DataFault { name: name.into(), line: line(at), why };
        let file: File = toml::from_str(text)
            .map_err(|e| fault(e.span().map_or(0, |s| s.start), e.message().replace('\n', ", ")))?;
        if *file.version.get_ref() != 1 {
            let why = "expected version = 1; a newer file needs a newer program".to_owned();
            return Err(fault(file.version.span().start, why));
        }
        for (field, what) in [(&file.id, "an id"), (&file.source, "where the words come from")] {
            if field.get_ref().trim().is_empty() {
                return Err(fault(field.span().start, format!("expected {what}, found nothing")));
            }
        }
        let look_again = match file.look_again.get_ref() {
            toml::Value::String(day) => day.clone(),
            other => other.to_string(),
        };
        if look_again.parse::<jiff::civil::Date>().is_err() {
            let why = format!("expected a day such as 2027-11-01, found `{look_again}`");
            return Err(fault(file.look_again.span().start, why));
        }
        if file.band.is_empty() {
            return Err(fault(text.len(), "expected at least one [[band]]".into()));
        }
        let bands = file.band.into_iter().map(|band| {
            let at = band.when.span().start;
            band.read().map_err(|why| fault(at, why.to_string()))
        });
        Ok(Self {
            bands: bands.collect::<Result<_, _>>()?,
            id: file.id.into_inner(),
            name: file.name,
            version: file.set_version,
            source: file.source.into_inner(),
            status: file.status,
            look_again,
            note: file.note,
        })
    }

    /// The bands that hold, in the order printed, each with the ranges that made it hold.
    pub fn bands_at(&self, values: &Values) -> Vec<(&Band, Vec<Clause>)> {
        let hits = self.bands.iter().map(|band| {
            let met =
                band.when.0.iter().filter(|c| values.get(c.quantity).is_some_and(|v| c.holds(v)));
            (band, met.copied().collect::<Vec<_>>())
        });
        hits.filter(|(_, met)| !met.is_empty()).collect()
    }

    /// The bands that a set gives an artery that cannot be compressed.
    pub fn not_compressible(&self) -> impl Iterator<Item = &Band> {
        self.bands.iter().filter(|band| band.not_compressible)
    }

    /// True where the set has a band about this quantity.
    pub fn speaks_of(&self, quantity: Quantity) -> bool {
        self.bands.iter().flat_map(|b| &b.when.0).any(|c| c.quantity == quantity)
    }

    /// The source of a band, with its status.
    pub fn source_of(&self, band: &Band, words: Words) -> String {
        let source = band.source.as_ref().unwrap_or(&self.source);
        let status = band.status.unwrap_or(self.status);
        say!(words, "caution-source", source = source, status = status.said(words))
    }

    /// The set with our translations beside its words, as far as the language has them: `guidance-` with the set's id and
    /// the band's number, `note` or `source`. A name that is a quotation stays; so do titles within a source.
    #[must_use]
    pub fn said(&self, words: Words) -> Self {
        let mut set = self.clone();
        if words.is_english() {
            return set;
        }
        let known = |part: &str| words.known(&format!("guidance-{}-{part}", self.id));
        set.note = known("note").unwrap_or(set.note);
        set.source = known("source").unwrap_or(set.source);
        for (n, band) in (1..).zip(&mut set.bands) {
            band.name = known(&n.to_string()).unwrap_or_else(|| band.name.clone());
            band.ours.words = known(&format!("{n}.words"));
            band.ours.more = known(&format!("{n}.more"));
            let source = band.source.take();
            band.source = source.map(|own| known(&format!("{n}.source")).unwrap_or(own));
        }
        set
    }
}

impl BandText {
    fn read(self) -> Result<Band, NoCondition> {
        Ok(Band {
            when: Condition::parse(self.when.get_ref())?,
            name: self.name,
            words: self.words,
            quoted: self.quoted,
            caution: self.caution,
            not_compressible: self.not_compressible,
            more: self.more,
            source: self.source,
            status: self.status,
            ours: OurTranslation::default(),
        })
    }
}

/// The values that a set is asked about, exact; those that are missing are not asked about.
#[derive(Debug, Clone, Copy, Default)]
pub struct Values {
    /// The index after rounding.
    pub index: Option<Ratio>,
    /// The ankle pressure, mmHg.
    pub ankle: Option<Ratio>,
    /// The toe pressure, mmHg.
    pub toe: Option<Ratio>,
    /// The toe-brachial index after rounding.
    pub toe_index: Option<Ratio>,
}

impl Values {
    /// One of them.
    pub fn get(&self, quantity: Quantity) -> Option<Ratio> {
        match quantity {
            Quantity::Index => self.index,
            Quantity::Ankle => self.ankle,
            Quantity::Toe => self.toe,
            Quantity::ToeIndex => self.toe_index,
        }
    }

    /// Only this quantity, at this value.
    pub fn only(quantity: Quantity, value: Ratio) -> Self {
        let mut values = Self::default();
        *match quantity {
            Quantity::Index => &mut values.index,
            Quantity::Ankle => &mut values.ankle,
            Quantity::Toe => &mut values.toe,
            Quantity::ToeIndex => &mut values.toe_index,
        } = Some(value);
        values
    }
}
