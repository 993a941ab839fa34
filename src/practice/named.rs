//! Names and reasons as class files have them, in English: they are said in the language of whoever reads them. What a
//! teacher named, and what an older program wrote, stays as it stands.

use super::cases::CaseKind;
use super::session::Done;
use super::whole::PATIENTS;
use crate::clinical::site::Site;
use crate::words::{Words, id, say};

/// The name of the course's lessons.
pub const COURSE: &str = id!("practice-course-lesson");
/// The name of a lesson of two listeners.
pub const LIVE: &str = id!("practice-live");

/// Why a drill has no score.
const NO_SCORE: [&str; 5] = [
    id!("drill-no-closed"),
    id!("drill-no-back"),
    id!("drill-no-occluded"),
    id!("drill-no-tap"),
    id!("drill-no-return"),
];

/// A text of the catalogue as files have it: in English.
pub fn kept(id: &'static str) -> &'static str {
    Words::english().plain(id)
}

/// Why a drill of a file has no score.
pub fn no_score(words: Words, why: &str) -> &str {
    NO_SCORE.iter().find(|id| kept(id) == why).map_or(why, |id| words.plain(id))
}

/// The name of a lesson of a file.
pub fn lesson(words: Words, name: &str) -> &str {
    if let Some(kind) = CaseKind::ALL.into_iter().find(|kind| kind.name() == name) {
        return kind.said(words);
    }
    [COURSE, LIVE].into_iter().find(|id| kept(id) == name).map_or(name, |id| words.plain(id))
}

/// The name of a drill's case.
pub fn case(words: Words, done: &Done) -> String {
    case_named(words, done.kind, &done.case)
}

/// The name of a case of this kind.
pub fn case_named(words: Words, kind: CaseKind, name: &str) -> String {
    if words.is_english() {
        return name.to_owned();
    }
    site(words, name).or_else(|| drawn(words, kind, name)).unwrap_or_else(|| name.to_owned())
}

/// The name of a case of whatever kind.
pub fn case_alone(words: Words, name: &str) -> String {
    let mut kinds = CaseKind::ALL.into_iter().map(|kind| case_named(words, kind, name));
    kinds.find(|said| said != name).unwrap_or_else(|| name.to_owned())
}

/// A site of one of the patients of a whole visit.
fn site(words: Words, name: &str) -> Option<String> {
    let (patient, site) = name.split_once(", ")?;
    let site: Site = site.parse().ok()?;
    let known = PATIENTS.contains(&patient);
    known.then(|| say!(words, "practice-case-site", site = site.said(words)))
}

/// A name that was put together here from numbers: whichever form gives this very name in English.
fn drawn(words: Words, kind: CaseKind, name: &str) -> Option<String> {
    let runs = name.split(|c: char| !c.is_ascii_digit()).filter(|run| !run.is_empty());
    let runs: Vec<&str> = runs.collect();
    let (seed, number) = match runs.as_slice() {
        [seed] => (*seed, "0"),
        [seed, number] => (*seed, *number),
        _ => return None,
    };
    let kinds = |of: &dyn Fn(Words) -> &'static str, to: Words| {
        say!(to, "practice-case", kind = of(to), seed = seed, number = number)
    };
    let forms: [&dyn Fn(Words) -> String; 4] = [
        &|to| kinds(&|to| kind.said(to), to),
        &|to| kinds(&|to| to.plain(COURSE), to),
        &|to| say!(to, "practice-case-examined", seed = seed, number = number),
        &|to| say!(to, "practice-case-seed", kind = kind.said(to), seed = seed),
    ];
    let form = forms.into_iter().find(|form| form(Words::english()) == name);
    form.map(|form| form(words))
}

#[cfg(test)]
mod tests {
    use super::super::cases::Stock;
    use super::*;

    #[test]
    fn what_is_kept_in_english_is_said_in_any_language_and_a_teachers_names_stay() {
        let german = Words::of("de").unwrap();
        let kind = CaseKind::FirstReturn;
        for stock in [Stock::Practice, Stock::Examination] {
            let name = stock.case_name(kind, 77, 3);
            let said = case_named(german, kind, &name);
            assert!(said.contains("77") && said.ends_with("Fall 3"), "{name}: {said}");
            assert_eq!(case_named(Words::english(), kind, &name), name);
        }
        assert!(case_named(german, kind, "Course 5, case 2").starts_with("Kurs 5"));
        assert_ne!(case_named(german, CaseKind::WholeVisit, "visit, right-dp"), "visit, right-dp");
        assert_eq!(case_named(german, kind, "the faint one, case 3"), "the faint one, case 3");
        assert_eq!(lesson(german, kind.name()), kind.said(german));
        assert_eq!(lesson(german, "Monday"), "Monday");
        assert_eq!(no_score(german, kept(NO_SCORE[3])), german.plain(NO_SCORE[3]));
        assert_eq!(no_score(german, "of an older program"), "of an older program");
    }
}
