//! The files of the catalogue: every message in every language, with the same arguments, numbers and units; no sentence
//! twice; as long as its comment allows; used; and no sentence of a report left in code.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use cuffnote::clinical::guidance;
use cuffnote::words::{Value, Words};
use fluent_syntax::ast::{
    Entry, Expression, InlineExpression, Pattern, PatternElement, VariantKey,
};
use fluent_syntax::parser::parse;
use proptest::prelude::*;

/// Our translations of guidance: only in languages other than English, which has the sets' own words.
const GUIDANCE: &str = "guidance.ftl";
/// How a language writes numbers and days: its arguments are its own affair.
const LOCALE: &str = "locale.ftl";

pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src/words")
}

/// A language's files by name.
pub fn files(tag: &str) -> BTreeMap<String, String> {
    let files = fs::read_dir(folder().join(tag)).unwrap().map(|entry| entry.unwrap().path());
    files
        .map(|path| {
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            (name, fs::read_to_string(path).unwrap())
        })
        .collect()
}

/// What a message says, or a part of it.
struct Said {
    file: String,
    comment: Option<String>,
    /// Each argument, with the keys by which the message chooses where it does.
    arguments: BTreeMap<String, BTreeSet<String>>,
    /// The letters of the longest choice; arguments not counted.
    letters: usize,
    /// The text with `{}` for arguments, the first of every choice.
    text: String,
}

fn name(expression: &InlineExpression<&str>) -> Option<String> {
    match expression {
        InlineExpression::VariableReference { id } => Some(id.name.to_owned()),
        _ => None,
    }
}

fn look(pattern: &Pattern<&str>, said: &mut Said) -> usize {
    let mut letters = 0;
    for element in &pattern.elements {
        match element {
            PatternElement::TextElement { value } => {
                letters += value.chars().count();
                said.text += value;
            }
            PatternElement::Placeable { expression: Expression::Inline(inline) } => {
                if let InlineExpression::StringLiteral { value } = inline {
                    letters += value.chars().count();
                    said.text += value;
                }
                if let Some(name) = name(inline) {
                    said.arguments.entry(name).or_default();
                    said.text += "{}";
                }
            }
            PatternElement::Placeable { expression: Expression::Select { selector, variants } } => {
                let keys = variants.iter().map(|variant| match variant.key {
                    VariantKey::Identifier { name } => name.to_owned(),
                    VariantKey::NumberLiteral { value } => value.to_owned(),
                });
                let chosen = said.arguments.entry(name(selector).unwrap()).or_default();
                chosen.extend(keys);
                let before = said.text.clone();
                let mut longest = 0;
                for variant in variants.iter().rev() {
                    said.text.clone_from(&before);
                    longest = longest.max(look(&variant.value, said));
                }
                letters += longest;
            }
        }
    }
    letters
}

/// Every message and part of a language by its id.
fn catalogue(tag: &str) -> BTreeMap<String, Said> {
    let mut all = BTreeMap::new();
    for (file, text) in files(tag) {
        let parsed =
            parse(text.as_str()).unwrap_or_else(|(_, why)| panic!("{tag}/{file}: {why:?}"));
        for entry in parsed.body {
            let Entry::Message(message) = entry else { continue };
            let comment = message.comment.as_ref().map(|comment| comment.content.join(" "));
            let value = message.value.iter().map(|value| (String::new(), value));
            let parts = message.attributes.iter().map(|a| (format!(".{}", a.id.name), &a.value));
            for (part, pattern) in value.chain(parts) {
                let mut said = Said {
                    file: file.clone(),
                    comment: comment.clone(),
                    arguments: BTreeMap::new(),
                    letters: 0,
                    text: String::new(),
                };
                said.letters = look(pattern, &mut said);
                let id = format!("{}{part}", message.id.name);
                assert!(all.insert(id.clone(), said).is_none(), "{tag}: {id} stands twice");
            }
        }
    }
    all
}

fn others() -> Vec<&'static str> {
    let all: Vec<&str> = Words::all().map(Words::tag).collect();
    assert_eq!(all, ["en", "de", "es", "fr", "nl"], "a new language is named here");
    all[1..].to_vec()
}

#[test]
fn every_language_has_every_message_with_the_same_arguments_and_no_other() {
    let english = catalogue("en");
    for tag in others() {
        let mut theirs = catalogue(tag);
        theirs.retain(|_, said| said.file != GUIDANCE);
        let ids = |all: &BTreeMap<String, Said>| all.keys().cloned().collect::<BTreeSet<_>>();
        let (has, wants) = (ids(&theirs), ids(&english));
        let lacks: Vec<&String> = wants.difference(&has).collect();
        let more: Vec<&String> = has.difference(&wants).collect();
        assert!(lacks.is_empty() && more.is_empty(), "{tag} lacks {lacks:?}, has more: {more:?}");
        for (id, said) in theirs.iter().filter(|(_, said)| said.file != LOCALE) {
            let names = |said: &Said| said.arguments.keys().cloned().collect::<Vec<_>>();
            assert_eq!(names(said), names(&english[id]), "{tag}: {id}");
            assert_eq!(said.file, english[id].file, "{tag}: {id}");
        }
    }
}

#[test]
fn each_english_message_says_where_it_stands_and_none_is_longer_than_it_may_be() {
    let mut faults = Vec::new();
    let mut most = BTreeMap::new();
    for (id, said) in catalogue("en") {
        let allowed = said.comment.as_ref().and_then(|comment| {
            let (place, letters) = comment.rsplit_once(" · ")?;
            (place.len() > 3).then(|| letters.parse::<usize>().ok()).flatten()
        });
        match allowed {
            Some(allowed) => drop(most.insert(id, allowed)),
            None => faults.push(format!("{id}: its comment is to end in ` · ` and a number")),
        }
    }
    for tag in others().into_iter().chain(["en"]) {
        for (id, said) in catalogue(tag) {
            if let Some(most) = most.get(&id).filter(|most| said.letters > **most) {
                faults.push(format!("{tag}: {id} has {} letters, not {most}", said.letters));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn no_sentence_stands_twice_in_a_language() {
    let mut faults = Vec::new();
    for tag in Words::all().map(Words::tag) {
        let mut known: BTreeMap<String, String> = BTreeMap::new();
        for (id, said) in catalogue(tag).into_iter().filter(|(_, said)| said.file != GUIDANCE) {
            // A source may stand behind several items.
            if id.ends_with(".source") {
                continue;
            }
            // A sentence has three words of its own at least; `{} {}` and single terms may come again.
            let words = said.text.replace("{}", " ").split_whitespace().count();
            let before = (words > 2).then(|| known.insert(said.text, id.clone())).flatten();
            faults.extend(before.map(|before| format!("{tag}: {id} says what {before} says")));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Text literals of code, comments and test modules left out, with the line each stands in.
pub fn literals(text: &str) -> Vec<(usize, String)> {
    let text = text.replace("#[cfg(test)]\npub(super) mod ", "#[cfg(test)]\nmod ");
    let code = text.split("\n#[cfg(test)]\nmod ").next().unwrap_or("");
    let letters: Vec<char> = code.chars().collect();
    let (mut found, mut at) = (Vec::new(), 0);
    let end = |from: usize, mark: &[char]| {
        (from..letters.len()).find(|i| letters[*i..].starts_with(mark)).unwrap_or(letters.len())
    };
    while at < letters.len() {
        match &letters[at..] {
            ['/', '/', ..] => at = end(at, &['\n']),
            ['r', '#', '"', ..] => at = end(at + 3, &['"', '#']) + 2,
            ['\'', '\\', ..] => at = end(at + 3, &['\'']) + 1,
            ['\'', _, '\'', ..] => at += 3,
            ['"', ..] => {
                let mut close = at + 1;
                while close < letters.len() && letters[close] != '"' {
                    close += 1 + usize::from(letters[close] == '\\');
                }
                let line = letters[..at].iter().filter(|c| **c == '\n').count() + 1;
                found.push((line, letters[at + 1..close.min(letters.len())].iter().collect()));
                at = close + 1;
            }
            _ => at += 1,
        }
    }
    found
}

pub fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for path in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
        match path.is_dir() {
            true => found.extend(sources(&path)),
            false if path.extension().is_some_and(|e| e == "rs") => found.push(path),
            false => {}
        }
    }
    found
}

pub fn src() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

#[test]
fn every_message_is_used_and_every_file_is_checked_when_compiling() {
    let code = sources(&src()).into_iter().filter(|path| !path.starts_with(folder()));
    let mut used: BTreeSet<String> = BTreeSet::new();
    for path in code {
        used.extend(literals(&fs::read_to_string(path).unwrap()).into_iter().map(|(_, text)| text));
    }
    let items = cuffnote::clinical::cautions::list();
    used.extend(items.iter().map(|item| format!("caution-{}", item.id)));
    // Asked for by the room itself.
    used.extend(
        ["locale-decimal", "locale-nouns", "locale-day", "locale-short-day", "locale-and"]
            .map(str::to_owned),
    );
    let english = catalogue("en");
    let ids = english.keys().map(|id| id.split('.').next().unwrap().to_owned());
    let unused: BTreeSet<String> = ids.filter(|id| !used.contains(id)).collect();
    assert!(unused.is_empty(), "{unused:?}");
    let checked = cuffnote::words::check::FILES.map(|(name, _)| format!("{name}.ftl"));
    assert_eq!(files("en").keys().cloned().collect::<Vec<_>>(), checked);
}

/// Code that may hold words, and why.
const MAY_HOLD_WORDS: &[(&str, &str)] = &[
    ("report/fhir", "coded values and what stands beside them do not depend on the language"),
    ("report/table", "faults of a table that is read, said on the command line"),
    ("report/audit/sheet.rs", "names of columns and classes in a data file"),
    ("report/json.rs", "faults of a file that is read, said on the command line"),
    ("report/pdf/format.rs", "faults of the program itself"),
    ("report/pdf/paper.rs", "a fault of the program itself"),
    ("report/figure.rs", "names of type"),
];

/// Texts of two words that are no words for a reader: a face of type, and a gauge's code that is never printed.
const NO_WORDS: [&str; 2] = ["DejaVu Sans", "of another instrument"];

/// The files of the clinical room whose sentences a report prints.
const CLINICAL: [&str; 14] = [
    "sentences",
    "cautions",
    "doubts",
    "shown",
    "working",
    "result",
    "differences",
    "bands",
    "sites",
    "repeats",
    "index",
    "kind",
    "method",
    "opened",
];

/// Whether a text has two words side by side.
pub fn is_sentence(text: &str) -> bool {
    let plain: String =
        text.split('{').map(|part| part.split_once('}').map_or(part, |p| p.1)).collect();
    let word = |w: &str| {
        let letters = w.chars().all(|c| c.is_alphabetic() || "'-,.:;".contains(c));
        letters && w.chars().count() > 1 && w.starts_with(char::is_alphabetic)
    };
    let words: Vec<&str> = plain.split(' ').collect();
    words.windows(2).any(|pair| pair.iter().all(|w| word(w)))
}

#[test]
fn no_sentence_of_a_report_is_left_in_code() {
    assert!(
        is_sentence("Source: {x} is here") && is_sentence("Asked for") && !is_sentence("{a} kHz")
    );
    let clinical = CLINICAL.map(|name| src().join(format!("clinical/{name}.rs")));
    let mut faults = Vec::new();
    for path in sources(&src().join("report")).into_iter().chain(clinical) {
        let name = path.strip_prefix(src()).unwrap().to_str().unwrap().to_owned();
        if MAY_HOLD_WORDS.iter().any(|(may, _)| name.starts_with(may)) {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap();
        for (line, literal) in literals(&text) {
            // Reasons of attributes and faults for developers are no words for a reader.
            let before = text.lines().take(line).skip(line.saturating_sub(3)).collect::<String>();
            let developers = ["#[error", "#[allow", ".expect(", "reason ="];
            if NO_WORDS.contains(&literal.as_str()) {
                continue;
            }
            if is_sentence(&literal) && !developers.iter().any(|mark| before.contains(mark)) {
                faults.push(format!("{name}, line {line}: {literal}"));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// The runs of digits, and how often each unit stands there.
fn numbers_and_units(text: &str) -> (Vec<String>, Vec<usize>) {
    let mut digits: Vec<String> = text
        .split(|c: char| !c.is_ascii_digit())
        .filter(|run| !run.is_empty())
        .map(str::to_owned)
        .collect();
    digits.sort();
    (digits, ["mmHg", "mmHg/s", " cm", "%", "kHz"].map(|unit| text.matches(unit).count()).to_vec())
}

/// A drawn value for an argument: a key of its choice, a count, or a number with decimals.
fn drawn(words: Words, keys: &BTreeSet<String>, n: u32) -> Value<'static> {
    let counts = keys.iter().any(|key| key == "other" || key.parse::<u32>().is_ok());
    match (keys.is_empty(), counts) {
        (true, _) => words.number(f64::from(n) / 100.0).into(),
        (false, true) => n.into(),
        (false, false) => keys.iter().nth(n as usize % keys.len()).unwrap().clone().into(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn numbers_and_units_are_those_of_english(draws in proptest::collection::vec(0u32..4000, 12)) {
        let english = catalogue("en");
        for tag in others() {
            let theirs = Words::of(tag).unwrap();
            for (id, said) in english.iter().filter(|(_, said)| said.file != LOCALE) {
                let say = |words: Words| {
                    let each = said.arguments.iter().zip(&draws);
                    let args: Vec<(&'static str, Value<'_>)> = each
                        .map(|((name, keys), n)| (&*name.clone().leak(), drawn(words, keys, *n)))
                        .collect();
                    words.message(id, &args)
                };
                let (ours, other) = (say(Words::english()), say(theirs));
                prop_assert_eq!(numbers_and_units(&ours), numbers_and_units(&other), "{}: {}: {}", tag, id, other);
            }
            prop_assert_eq!(theirs.missed(), 0);
        }
    }
}

#[test]
fn every_band_of_every_set_has_our_translation_with_its_numbers() {
    for tag in others() {
        let words = Words::of(tag).unwrap();
        let mut wanted = BTreeSet::new();
        for set in guidance::ids().map(|id| guidance::shipped(id).unwrap().unwrap()) {
            let said = set.said(words);
            assert_eq!(set.note.is_empty(), said.note.is_empty(), "{tag}: {}", set.id);
            assert!(set.note.is_empty() || set.note != said.note, "{tag}: {}", set.id);
            if !set.note.is_empty() {
                wanted.insert(format!("guidance-{}-note", set.id));
            }
            let sources = |set: &guidance::GuidanceSet| {
                let own = set.bands.iter().map(|band| band.source.clone());
                own.chain([Some(set.source.clone())]).collect::<Vec<_>>()
            };
            for (english, ours) in sources(&set).into_iter().zip(sources(&said)) {
                let numbers = |text: &Option<String>| text.as_deref().map(numbers_and_units);
                assert_eq!(numbers(&english), numbers(&ours), "{tag}: {}: {ours:?}", set.id);
                assert!(english.is_none() || english != ours, "{tag}: {}: {ours:?}", set.id);
            }
            wanted.insert(format!("guidance-{}-source", set.id));
            for (n, (band, theirs)) in (1..).zip(set.bands.iter().zip(&said.bands)) {
                let id = format!("guidance-{}-{n}", set.id);
                let ours = theirs.ours.words.as_ref().unwrap_or_else(|| panic!("{tag}: {id}"));
                let pairs = [(&band.words, ours), (&band.name, &theirs.name)];
                for (english, ours) in pairs {
                    let numbers = |text: &str| numbers_and_units(text).0;
                    assert_eq!(numbers(english), numbers(ours), "{tag}: {id}: {ours}");
                }
                assert_eq!(band.more.is_empty(), theirs.ours.more.is_none(), "{tag}: {id}");
                if let Some(more) = &theirs.ours.more {
                    assert_eq!(
                        numbers_and_units(&band.more),
                        numbers_and_units(more),
                        "{tag}: {id}"
                    );
                    wanted.insert(format!("{id}.more"));
                }
                // A name that is a quotation stays as the set has it.
                let translated = words.known(&id).is_some();
                assert_eq!(
                    translated,
                    !(band.quoted && band.words == band.name) && id != "guidance-acc-aha-2024-5",
                    "{tag}: {id}"
                );
                wanted.insert(format!("{id}.words"));
                wanted.extend(band.source.iter().map(|_| format!("{id}.source")));
                if translated {
                    wanted.insert(id);
                }
            }
        }
        let mut has = catalogue(tag);
        has.retain(|_, said| said.file == GUIDANCE);
        assert_eq!(has.keys().cloned().collect::<BTreeSet<_>>(), wanted, "{tag}");
    }
}

#[test]
fn each_file_of_a_translation_says_that_nobody_has_reviewed_it() {
    for tag in others() {
        for (name, text) in files(tag) {
            assert!(text.contains("No clinician has reviewed this translation."), "{tag}/{name}");
        }
        let words = Words::of(tag).unwrap();
        let memory = words.plain("clinical-from-memory");
        assert!(words.plain("clinical-status-from-memory").contains(memory), "{tag}");
        for id in ["clinical-first-arm-average", "clinical-note-lower"] {
            assert!(words.message(id, &[("lower", "0,9".into())]).contains(memory), "{tag}: {id}");
        }
        for (id, said) in catalogue(tag) {
            let begins = [
                "guidance-quoted",
                "guidance-sense",
                "several",
                "no-band",
                "crossing-one",
                "crossing-many",
            ];
            if begins.iter().any(|end| id == format!("clinical-{end}")) {
                assert!(said.text.starts_with("{}"), "{tag}: {id} begins with its set");
            }
        }
    }
}

/// Syllables of an English word, by groups of vowels.
fn syllables_en(word: &str) -> usize {
    let word = word.to_lowercase();
    let groups = groups(&word, "aeiouy");
    let silent = word.ends_with('e') && !word.ends_with("le") && groups > 1;
    (groups - usize::from(silent)).max(1)
}

fn groups(word: &str, vowels: &str) -> usize {
    let is = |c: &char| vowels.contains(*c);
    let letters: Vec<char> = word.chars().collect();
    let begins =
        (0..letters.len()).filter(|i| is(&letters[*i]) && (*i == 0 || !is(&letters[i - 1])));
    begins.count()
}

/// The sentences of a language's report, arguments left out, each with its words.
fn sentences(tag: &str, files: &[&str]) -> Vec<Vec<String>> {
    let all = catalogue(tag).into_values().filter(|said| files.contains(&said.file.as_str()));
    let mut found = Vec::new();
    for said in all {
        // Sources in brackets are no running words.
        let mut text = String::new();
        let mut depth = 0;
        for c in said.text.chars() {
            depth += i32::from(c == '(') - i32::from(c == ')');
            if depth == 0 && c != ')' {
                text.push(c);
            }
        }
        if !text.trim_end().ends_with('.') {
            continue;
        }
        for part in text.split(['.', ':', ';']) {
            let words: Vec<String> = part
                .split(|c: char| !c.is_alphabetic() && c != '\'')
                .filter(|word| !word.is_empty())
                .map(str::to_owned)
                .collect();
            if words.len() > 2 {
                found.push(words);
            }
        }
    }
    found
}

/// The Flesch-Kincaid grade (Kincaid 1975): 0.39 words a sentence + 11.8 syllables a word - 15.59. From memory.
fn kincaid(sentences: &[Vec<String>]) -> f64 {
    let words: Vec<&String> = sentences.iter().flatten().collect();
    let syllables: usize = words.iter().map(|word| syllables_en(word)).sum();
    let n = words.len() as f64;
    0.39 * n / sentences.len() as f64 + 11.8 * syllables as f64 / n - 15.59
}

/// The first Vienna formula, a school grade (Bamberger and Vanecek 1984): 0.1935 MS + 0.1672 SL + 0.1297 IW - 0.0327 ES -
/// 0.875. MS and ES are per cent of words of three syllables or more, and of one; IW of more than six letters; SL is words a
/// sentence. From memory.
fn vienna(sentences: &[Vec<String>]) -> f64 {
    let words: Vec<&String> = sentences.iter().flatten().collect();
    let n = words.len() as f64;
    let syllables = |word: &String| groups(&word.to_lowercase(), "aeiouyäöü").max(1);
    let share = |of: &dyn Fn(&String) -> bool| {
        100.0 * words.iter().filter(|word| of(word)).count() as f64 / n
    };
    let many = share(&|word| syllables(word) >= 3);
    let one = share(&|word| syllables(word) == 1);
    let long = share(&|word| word.chars().count() > 6);
    0.1935 * many + 0.1672 * n / sentences.len() as f64 + 0.1297 * long - 0.0327 * one - 0.875
}

/// Files whose sentences are read at a desk; all others are the bedside's.
const FORMS: [&str; 6] =
    ["report.ftl", "clinical.ftl", "caution.ftl", "figure.ftl", "audit.ftl", "trend.ftl"];

/// Syllables are counted by groups of vowels, so a grade is good to about one.
#[test]
fn sentences_keep_their_grade_of_reading() {
    assert_eq!(["pressure", "ankle", "the", "measured"].map(syllables_en), [2, 2, 1, 3]);
    let window: Vec<String> =
        files("en").into_keys().filter(|file| !FORMS.contains(&file.as_str())).collect();
    let window: Vec<&str> = window.iter().map(String::as_str).collect();
    let bedside = |tag| sentences(tag, &window);
    let report = |tag| sentences(tag, &["report.ftl", "clinical.ftl"]);
    let english = [kincaid(&bedside("en")), kincaid(&report("en"))];
    let german = [vienna(&bedside("de")), vienna(&report("de"))];
    println!("bedside and report: English {english:.1?}, German {german:.1?}");
    assert!(bedside("en").len() > 30 && report("en").len() > 80);
    assert!(english[0] < 8.0 && german[0] < 8.0, "bedside: {english:.1?}, {german:.1?}");
    assert!(english[1] < 10.0 && german[1] < 11.0, "report: {english:.1?}, {german:.1?}");
}
