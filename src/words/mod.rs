//! What is said to people, in their language: a catalogue of messages (Fluent), a folder a language.
//!
//! `say!` and `id!` are held against the English files when compiling: a message
//! that is not there, an argument too few or too many does not compile. A message that a language lacks is said in
//! English and counted ([`Words::missed`]); a test fails on it. The command line, the log and faults for developers stay
//! English and do not stand here.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{LazyLock, Mutex, PoisonError};

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource};
use unic_langid::LanguageIdentifier;

pub use fluent_bundle::FluentValue as Value;

pub mod check;
mod spoken;

pub use spoken::Spoken;

/// The folders of all languages, as they were when the program was built.
#[derive(rust_embed::RustEmbed)]
#[folder = "src/words/"]
struct Folders;

/// The language that the others fall back to.
const ENGLISH: &str = "en";

/// Says a message of the catalogue: `say!(words, "report-title")`, `say!(words, "report-record", record = code)`.
macro_rules! say {
    ($words:expr, $id:literal $(, $name:ident = $value:expr)* $(,)?) => {{
        const _: () = $crate::words::check::check($id, &[$(stringify!($name)),*]);
        $words.message($id, &[$((stringify!($name), $crate::words::Argument::value(&$value))),*])
    }};
}
/// The id of a message without arguments, which is there.
macro_rules! id {
    ($id:literal) => {{
        const _: () = $crate::words::check::check($id, &[]);
        $id
    }};
}
pub(crate) use {id, say};

/// What a message can be given.
pub trait Argument {
    /// As the catalogue takes it. A whole number chooses plurals; a number with decimals goes through [`Words::number`].
    fn value(&self) -> Value<'_>;
}

impl Argument for str {
    fn value(&self) -> Value<'_> {
        Value::from(self)
    }
}

impl Argument for String {
    fn value(&self) -> Value<'_> {
        Value::from(self.as_str())
    }
}

impl<T: Argument + ?Sized> Argument for &T {
    fn value(&self) -> Value<'_> {
        (**self).value()
    }
}

macro_rules! whole {
    ($($kind:ty),*) => { $(impl Argument for $kind {
        fn value(&self) -> Value<'_> {
            Value::from(*self)
        }
    })* };
}
whole!(u8, i8, u32, i32, u64, i64, usize);

/// One language's messages.
struct Catalogue {
    tag: String,
    messages: FluentBundle<FluentResource>,
    missed: AtomicU64,
    /// Messages without arguments that are put together (a blank in braces), each once.
    joined: Mutex<BTreeMap<&'static str, &'static str>>,
}

/// Why a folder is no language.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WordsFault {
    /// Its name is no language tag (BCP 47).
    #[error("`{0}` is no language tag, such as de or pt-BR")]
    Tag(String),
    /// A file of it is no Fluent text.
    #[error("the words of `{0}`: {1}")]
    Text(String, String),
}

impl Catalogue {
    fn read(tag: &str, texts: impl Iterator<Item = String>) -> Result<Self, WordsFault> {
        let language: LanguageIdentifier =
            tag.parse().map_err(|_| WordsFault::Tag(tag.to_owned()))?;
        let mut messages = FluentBundle::new_concurrent(vec![language]);
        // Marks of direction around each argument would stand in files and searches; a report turns its text itself.
        messages.set_use_isolating(false);
        let fault = |why: String| WordsFault::Text(tag.to_owned(), why);
        for text in texts {
            let file =
                FluentResource::try_new(text).map_err(|(_, why)| fault(format!("{why:?}")))?;
            messages.add_resource(file).map_err(|why| fault(format!("{why:?}")))?;
        }
        Ok(Self {
            tag: tag.to_owned(),
            messages,
            missed: AtomicU64::new(0),
            joined: Mutex::default(),
        })
    }

    /// A message, or one of its parts (`id.part`); none where it is not there or cannot be said whole.
    fn say(&self, id: &str, args: &FluentArgs<'_>) -> Option<Cow<'_, str>> {
        let (name, part) = id.split_once('.').map_or((id, None), |(name, part)| (name, Some(part)));
        let message = self.messages.get_message(name)?;
        let pattern = match part {
            Some(part) => message.get_attribute(part)?.value(),
            None => message.value()?,
        };
        let mut faults = Vec::new();
        let said = self.messages.format_pattern(pattern, Some(args), &mut faults);
        faults.is_empty().then_some(said)
    }
}

/// English, and no other where its files were broken, which a test rules out.
static LANGUAGES: LazyLock<Vec<Catalogue>> = LazyLock::new(|| {
    let mut tags: Vec<String> =
        Folders::iter().filter_map(|path| Some(path.split_once('/')?.0.to_owned())).collect();
    tags.sort_by_key(|tag| (tag != ENGLISH, tag.clone()));
    tags.dedup();
    tags.iter().filter_map(|tag| Catalogue::read(tag, texts(tag)).ok()).collect()
});

/// The files of a language as they were built in.
fn texts(tag: &str) -> impl Iterator<Item = String> {
    let files = Folders::iter().filter(move |path| {
        path.split_once('/').is_some_and(|(folder, name)| folder == tag && name.ends_with(".ftl"))
    });
    let mut files: Vec<Cow<'static, str>> = files.collect();
    files.sort();
    let text = |path: Cow<'static, str>| Folders::get(&path).map(|file| file.data);
    files.into_iter().filter_map(text).map(|data| String::from_utf8_lossy(&data).into_owned())
}

/// The words of one language.
#[derive(Clone, Copy)]
pub struct Words(&'static Catalogue);

impl fmt::Debug for Words {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Words({})", self.tag())
    }
}

impl PartialEq for Words {
    fn eq(&self, other: &Self) -> bool {
        self.tag() == other.tag()
    }
}

impl Eq for Words {}

impl Default for Words {
    fn default() -> Self {
        Self::english()
    }
}

impl Words {
    /// English.
    ///
    /// # Panics
    /// If the built-in English files do not read, which a test rules out: there would be nothing to say.
    pub fn english() -> Self {
        Self(LANGUAGES.first().expect("the built-in English reads"))
    }

    /// All languages, English first, then by their tags.
    pub fn all() -> impl Iterator<Item = Self> {
        LANGUAGES.iter().map(Self)
    }

    /// The language of this tag, whatever its case.
    pub fn of(tag: &str) -> Option<Self> {
        Self::all().find(|words| words.tag().eq_ignore_ascii_case(tag.trim()))
    }

    /// The language nearest to a locale such as `de-CH` or `pt_BR.UTF-8`: the same, else the same without its country.
    pub fn near(locale: &str) -> Option<Self> {
        let plain = locale.split(['.', '@']).next().unwrap_or_default().replace('_', "-");
        let base = plain.split('-').next().unwrap_or_default();
        Self::of(&plain).or_else(|| Self::of(base))
    }

    /// Every language that was built in but does not read, with why.
    pub fn broken() -> Vec<WordsFault> {
        let tags = Folders::iter().filter_map(|path| Some(path.split_once('/')?.0.to_owned()));
        tags.filter_map(|tag| Catalogue::read(&tag, texts(&tag)).err()).collect()
    }

    /// A language from the texts of its files. It is kept until the program ends: for a few of them, not for many.
    ///
    /// # Errors
    /// A tag or a text that cannot be read.
    pub fn of_texts(tag: &str, texts: &[String]) -> Result<Self, WordsFault> {
        let catalogue = Catalogue::read(tag, texts.iter().cloned())?;
        Ok(Self(Box::leak(Box::new(catalogue))))
    }

    /// The language's tag (BCP 47), such as `de`.
    pub fn tag(self) -> &'static str {
        &self.0.tag
    }

    /// Whether it is the language that all others are translated from.
    pub fn is_english(self) -> bool {
        self.tag() == ENGLISH
    }

    /// How many messages were said in English because this language lacks them.
    pub fn missed(self) -> u64 {
        self.0.missed.load(Ordering::Relaxed)
    }

    /// A message with its arguments; in English where this language lacks it. Use `say!`: it is
    /// checked when compiling.
    pub fn message(self, id: &str, args: &[(&'static str, Value<'_>)]) -> String {
        let given: FluentArgs<'_> =
            args.iter().map(|(name, value)| (*name, value.clone())).collect();
        self.found(id, &given).map_or_else(|| id.to_owned(), Cow::into_owned)
    }

    /// A message without arguments.
    pub fn plain(self, id: &'static str) -> &'static str {
        match self.found(id, &FluentArgs::new()) {
            Some(Cow::Borrowed(said)) => said,
            Some(Cow::Owned(said)) => {
                let mut joined = self.0.joined.lock().unwrap_or_else(PoisonError::into_inner);
                joined.entry(id).or_insert_with(|| Box::leak(said.into_boxed_str()))
            }
            None => id,
        }
    }

    /// A message that only some languages have, or only for some ids; none where it is not there.
    pub fn known(self, id: &str) -> Option<String> {
        self.0.say(id, &FluentArgs::new()).map(Cow::into_owned)
    }

    fn found(self, id: &str, args: &FluentArgs<'_>) -> Option<Cow<'static, str>> {
        if let Some(said) = self.0.say(id, args) {
            return Some(said);
        }
        self.0.missed.fetch_add(1, Ordering::Relaxed);
        Self::english().0.say(id, args)
    }

    /// A number, or a text with numbers in it such as `0.91-0.99`, with the language's decimal mark.
    pub fn number(self, number: impl fmt::Display) -> String {
        let text = number.to_string();
        match self.plain(id!("locale-decimal")) {
            "." => text,
            mark => text.replace('.', mark),
        }
    }

    /// A number with so many decimals.
    pub fn decimal(self, number: f64, decimals: usize) -> String {
        self.number(format_args!("{number:.decimals$}"))
    }

    /// A day in full, such as `3 November 2026`.
    pub fn day(self, day: jiff::civil::Date) -> String {
        let (number, year) = (day.day(), day.year().to_string());
        say!(self, "locale-day", day = number, month = day.month(), year = year)
    }

    /// A question within a line: without its marks, and small where the language writes nouns small.
    pub fn within(self, question: &str) -> String {
        let question = question
            .trim_start_matches('\u{bf}')
            .trim_end_matches(['?', '\u{a0}', '\u{202f}', ' ']);
        match self.plain(id!("locale-nouns")) {
            "small" => question.to_lowercase(),
            _ => question.to_owned(),
        }
    }

    /// The day of a moment as a file writes it (`2026-11-25T09:12`), in figures; what names no day stays as it is.
    pub fn day_of(self, moment: &str) -> String {
        let day = moment.get(..10).unwrap_or(moment);
        day.parse().map_or_else(|_| day.to_owned(), |day| self.short_day(day))
    }

    /// A day in figures.
    pub fn short_day(self, day: jiff::civil::Date) -> String {
        // English takes the whole day as it is written in files, others its parts: so not through `say!`.
        let (iso, year) = (day.to_string(), day.year().to_string());
        let two = |n: i8| format!("{n:02}");
        let args = [
            ("iso", Value::from(iso)),
            ("day", Value::from(two(day.day()))),
            ("month", Value::from(two(day.month()))),
            ("year", Value::from(year)),
        ];
        self.message("locale-short-day", &args)
    }

    /// Things joined by "and".
    pub fn and(self, all: impl IntoIterator<Item = String>) -> String {
        let joined = all.into_iter().reduce(|a, b| say!(self, "locale-and", a = a, b = b));
        joined.unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_blank_at_an_end_is_kept() {
        let english = Words::english();
        assert_eq!([english.plain("locale-then"); 2], [", then "; 2]);
    }

    #[test]
    fn what_a_language_lacks_is_said_in_english_and_counted() {
        let texts = ["locale-name = Halb\nlocale-and = { $a } { $falsch }\n".to_owned()];
        let half = Words::of_texts("de-AT", &texts).unwrap();
        assert_eq!((half.plain("locale-name"), half.missed()), ("Halb", 0));
        assert_eq!((half.number(0.94), half.missed()), ("0.94".to_owned(), 1));
        // A message that cannot be said whole is lacking too.
        assert_eq!(half.and(["a".to_owned(), "b".to_owned()]), "a and b");
        assert_eq!(half.missed(), 2);
        assert!(matches!(Words::of_texts("no tag", &[]), Err(WordsFault::Tag(_))));
        assert!(matches!(Words::of_texts("de", &["= 3".to_owned()]), Err(WordsFault::Text(..))));
    }

    #[test]
    fn every_built_in_language_reads() {
        assert_eq!(Words::broken(), []);
        assert!(Words::all().next().is_some_and(Words::is_english));
        assert_eq!(Words::of("DE").map(Words::tag), Some("de"));
        assert_eq!(Words::of("xx"), None);
    }
}
