//! Kinds of visit, and what happens in one: one leg, one artery, toes, no pressures, exercise, paper; a patient who
//! moves, another operator, a plan. As a plain object first, then through the window and in the report.

use cuffnote::clinical::event::{Act, Opened, Outcome, Phase, Prepared, Source, Stage, VisitKind};
use cuffnote::clinical::site::{Side, Site};
use cuffnote::clinical::trend;
use cuffnote::clinical::visit::Visit;
use cuffnote::conduct::{AtSite, Command, OfVisit, Preparing, Prompt, Refusal, preparing};
use cuffnote::window::model::action::{Action, FormField, OpeningAct, PutRight, Screen, VisitAct};
use eframe::egui::{Key, vec2};
use egui_kittest::kittest::Queryable;

use super::conduct::{Drive, mmhg, opened};
use super::window::{Bedside, known};

fn of(kind: VisitKind) -> Drive {
    Drive::of(Opened { scope: kind, ..opened() })
}

/// Types a value for the site that is turned to, confirms what is asked, and goes on.
fn entered(drive: &mut Drive, number: &str) {
    drive.digits(number);
    drive.site(AtSite::Enter);
    if drive.question().is_some() {
        drive.site(AtSite::Enter);
    }
    drive.site(AtSite::Enter);
}

/// The same of a site that is measured by ear.
fn measured(drive: &mut Drive, number: &str) {
    drive.until_return(None);
    drive.site(AtSite::Tap(cuffnote::clinical::event::Made::Key));
    entered(drive, number);
}

fn turned(drive: &Drive) -> Vec<String> {
    drive.turned.iter().map(|site| site.code()).collect()
}

#[test]
fn each_kind_turns_to_its_own_sites_and_ends() {
    let mut one = of(VisitKind::OneLeg { side: Side::Left });
    one.measure();
    ["140", "100", "96", "142"].iter().for_each(|number| measured(&mut one, number));
    assert_eq!(turned(&one), ["right-arm", "left-pt", "left-dp", "left-arm"]);
    assert!(one.finished);
    let result = one.conduct.result(&[]);
    assert!(result.right.index.is_none() && result.left.index.is_some());

    let mut artery = of(VisitKind::OneArtery { site: "right-peroneal".parse().unwrap() });
    artery.measure();
    measured(&mut artery, "120");
    assert_eq!(turned(&artery), ["right-peroneal"], "also one that the order leaves out");
    assert!(artery.finished);

    let mut toes = of(VisitKind::Toes);
    toes.measure();
    measured(&mut toes, "140");
    measured(&mut toes, "138");
    entered(&mut toes, "90");
    entered(&mut toes, "84");
    assert_eq!(turned(&toes), ["right-arm", "left-arm", "right-toe", "left-toe"]);
    let toe = toes.conduct.result(&[]).left.toe.unwrap();
    assert_eq!(toe.index.unwrap().to_string(), "0.60");

    let mut none = of(VisitKind::WithoutIndex);
    none.measure();
    assert!(none.finished && none.turned.is_empty() && none.conduct.not_done().is_empty());
    none.act(Command::Visit(OfVisit::Close)).unwrap();
}

#[test]
fn after_exercise_the_sites_of_the_indexes_come_again_ankles_first() {
    let mut drive = of(VisitKind::Exercise);
    let early = drive.act(Command::Visit(OfVisit::Exercised("treadmill".into())));
    assert_eq!(early, Err(Refusal::NothingAtRest));
    drive.measure();
    for number in ["140", "136", "128", "150", "144", "138"] {
        measured(&mut drive, number);
    }
    assert!(drive.finished);
    drive.finished = false;
    let before = drive.turned.len();
    drive.act(Command::Visit(OfVisit::Exercised("walked 5 min".into()))).unwrap();
    drive.wait(20.0);
    for number in ["96", "148", "150"] {
        measured(&mut drive, number);
    }
    assert_eq!(turned(&drive)[before..], ["right-pt", "left-pt", "right-arm"]);
    assert!(drive.finished, "the arms are not asked for again, nor are repeats");
    let result = drive.conduct.result(&[]);
    let right = result.right.exercise.unwrap();
    assert_eq!(right.ankle_fall_mmhg, Some(40.0));
    assert!((0.3..2.0).contains(&right.after_min.unwrap()), "{:?}", right.after_min);
    assert!(right.words.iter().any(|words| words.contains("more than 30 mmHg")));
    assert_eq!(result.right.index.unwrap().to_string(), "0.97", "the index at rest stays");

    // The exercise is undone like any act, after what came after it.
    let mut undone = of(VisitKind::Exercise);
    undone.measure();
    for number in ["140", "136", "128", "150", "144", "138"] {
        measured(&mut undone, number);
    }
    undone.act(Command::Visit(OfVisit::Exercised(String::new()))).unwrap();
    assert_eq!(undone.conduct.current().unwrap().phase, Phase::AfterExercise);
    undone.site(AtSite::Undo);
    assert!(undone.visit().exercised.is_none());
    let at_rest = undone.conduct.current().is_none_or(|at| at.phase == Phase::Rest);
    assert!(at_rest, "no attempt after an exercise that never was");
}

#[test]
fn values_from_paper_keep_their_day_their_hand_and_where_they_came_from() {
    let kind = VisitKind::OnPaper { on: "2026-08-03".parse().unwrap(), by: "op-2".into() };
    let mut drive = of(kind);
    drive.act(Command::Visit(OfVisit::Measure)).unwrap();
    assert_eq!(drive.conduct.prompt(drive.s), Some(Prompt::TypeFromPaper));
    for number in ["148", "104", "96", "146", "150", "142"] {
        drive.digits(number);
        drive.site(AtSite::Enter);
        assert_eq!(drive.question(), None, "nothing could be heard, so that nothing is doubted");
        drive.site(AtSite::Enter);
    }
    assert!(drive.finished);
    let from_paper = |outcome: &Option<Outcome>| {
        matches!(outcome, Some(Outcome::Reading { source: Source::Paper, .. }))
    };
    assert!(drive.visit().attempts.iter().all(|a| from_paper(&a.outcome)));
    // An older program must not take it for a measurement of today.
    assert!(drive.kept.iter().filter(|e| e.v == 2).count() >= 7);
    let paper = drive.conduct.result(&[]);
    assert_eq!(paper.when(), "2026-08-03");
    let mut today = Drive::new();
    today.measure();
    for number in ["148", "124", "96", "146", "150", "142"] {
        measured(&mut today, number);
    }
    let steps = trend::of(Side::Right, &[today.conduct.result(&[]), paper]);
    assert_eq!(steps[0].at, "2026-08-03", "by the day of the measurement, not of its entry");
    assert_eq!(steps[1].since_last.as_ref().unwrap().from, "2026-08-03");
    // Its doubt is that of an ear and a gauge without a tap, no narrower.
    let (a, b) = (steps[0].interval.unwrap(), steps[1].interval.unwrap());
    assert!(a.1.0 - a.0.0 >= b.1.0 - b.0.0, "{a:?} {b:?}");
}

#[test]
fn a_patient_who_moved_rests_again_and_what_was_measured_stays() {
    let mut drive = Drive::new();
    drive.act(Command::Prepare(Preparing::NoneApplies)).unwrap();
    drive.wait(600.0);
    drive.act(Command::Prepare(Preparing::EndRest)).unwrap();
    measured(&mut drive, "148");
    drive.act(Command::Prepare(Preparing::RestAgain)).unwrap();
    assert!(drive.conduct.current().is_none() && preparing::rests_again(drive.visit()));
    assert_eq!(preparing::rest_recorded(drive.visit()), None);
    drive.wait(125.0);
    assert_eq!(preparing::rested_s(drive.visit(), super::conduct::at(drive.s)), 125);
    drive.act(Command::Prepare(Preparing::EndRest)).unwrap();
    assert_eq!(preparing::rest_recorded(drive.visit()), Some(2));
    assert_eq!(drive.conduct.current().unwrap().site.code(), "right-pt");
    assert_eq!(drive.visit().attempts[0].reading(), Some(mmhg(148)));
    let moved = drive.visit().prepared.iter().filter(|p| **p == Prepared::RestBeganAgain);
    assert_eq!(moved.count(), 1);
}

#[test]
fn another_operator_and_a_plan_are_acts_and_are_undone_like_acts() {
    let mut drive = Drive::new();
    drive.measure();
    measured(&mut drive, "148");
    let hand_over = Command::Visit(OfVisit::Operator("op-9".into()));
    drive.act(hand_over.clone()).unwrap();
    measured(&mut drive, "104");
    let by: Vec<&str> = drive.visit().attempts.iter().map(|a| a.operator.as_str()).collect();
    assert_eq!(by[0], "op-7");
    assert_eq!(by.last(), Some(&"op-9"));
    assert_eq!(drive.conduct.result(&[]).operator, "op-7, then op-9");
    assert_eq!(drive.act(Command::Visit(OfVisit::Operator(" ".into()))), Err(Refusal::NoCode));
    drive.act(Command::Visit(OfVisit::Plan("refer to the foot clinic".into()))).unwrap();
    let plan = Some(("refer to the foot clinic".to_owned(), "op-9".to_owned()));
    assert_eq!(drive.visit().plan, plan);
    drive.site(AtSite::Undo);
    assert_eq!(drive.visit().plan, None);
    assert_eq!(Visit::from_events(&drive.kept).unwrap(), *drive.visit());
}

fn bedside(book: &std::path::Path) -> Bedside {
    Bedside::new(book, "plain", known(Vec::new()), vec2(1280.0, 800.0))
}

#[test]
fn the_form_opens_each_kind_and_asks_for_what_is_missing() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = bedside(folder.path());
    window.click("New visit");
    window.write("Record code, never a name", "K204Q");
    window.click("lying flat");
    window.click("one artery");
    window.click("Start rest period");
    assert_eq!(window.model().notice.as_deref(), Some("Choose the artery"));
    window.click("earlier, from paper");
    window.write("Date on the paper, as 2026-08-25", "2031-01-01");
    window.click("Enter the values from the paper");
    let said = window.model().notice.clone().unwrap();
    assert!(said.contains("is in the future"), "{said}");
    window.act(Action::Open(OpeningAct::Fill(FormField::PaperDay("2026-08-03".into()))));
    window.act(Action::Open(OpeningAct::Fill(FormField::PaperBy("op-2".into()))));
    window.act(Action::Open(OpeningAct::Fill(FormField::UlcerSide(Some(Side::Left)))));
    window.act(Action::Open(OpeningAct::Fill(FormField::UlcerPlace("medial malleolus".into()))));
    window.click("Enter the values from the paper");
    assert_eq!(window.model().screen, Screen::Measure, "nobody rests, nothing is heard");
    for number in ["148", "104", "96", "146", "150", "142"] {
        window.digits(number);
        window.key(Key::Enter);
        window.until_saved();
        window.key(Key::Enter);
    }
    assert_eq!(window.model().screen, Screen::Result);
    window.window.get_by_label_contains("Patient's right leg: ABI 0.70");
    window.window.get_by_label("Plan, in your own words").scroll_to_me();
    window.wait(0.5);
    window.write("Plan, in your own words", "dress, and measure again in a week");
    window.click("Keep the plan");
    window.act(Action::Visit(VisitAct::Close));
    let report = window.model().notice.clone().unwrap();
    let page = std::fs::read_to_string(page_of(&report)).unwrap();
    for told in [
        "on 3 August 2026 by op-2; taken over from paper",
        "patient&#39;s left leg, medial malleolus",
        "dress, and measure again in a week",
        "from paper",
    ] {
        let plain = page.replace("&apos;", "'").replace("&#39;", "'");
        assert!(plain.contains(&told.replace("&#39;", "'")), "{told}");
    }
    assert!(page.find("In short").unwrap() < page.find("Signature").unwrap());
    assert!(
        page.find("Signature").unwrap() < page.find("Published guidance").unwrap_or(usize::MAX)
    );
}

/// The page that a notice names beside the PDF.
fn page_of(notice: &str) -> std::path::PathBuf {
    let path = notice.trim_start_matches("Report written: ").split(", and").next().unwrap();
    std::path::Path::new(path).with_extension("html")
}

#[test]
fn no_source_from_memory_stands_on_a_patients_first_page() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = bedside(folder.path());
    window.begin("K204Q");
    window.act(Action::Prepare(Preparing::NoneApplies));
    window.act(Action::Prepare(Preparing::EndRest));
    for (site, number) in [
        ("right-arm", "150"),
        ("right-arm", "142"),
        ("left-arm", "138"),
        ("left-arm", "136"),
        ("right-dp", "110"),
        ("left-dp", "120"),
    ] {
        let site: Site = site.parse().unwrap();
        window.act(Action::Site(AtSite::TurnTo(site)));
        // Past the stage in which digits are the pressure inflated to.
        window.act(Action::Site(AtSite::SetStage(Stage::Read)));
        window.digits(number);
        window.key(Key::Enter);
        window.key(Key::Enter);
        window.until_saved();
    }
    window.act(Action::Visit(VisitAct::Finish("no time".into())));
    window.act(Action::Visit(VisitAct::Close));
    let page = std::fs::read_to_string(page_of(&window.model().notice.clone().unwrap())).unwrap();
    let (first, behind) = page.split_once("class=\"trail\"").unwrap();
    let text = |html: &str| {
        html.split('<').map(|s| s.split_once('>').map_or("", |s| s.1)).collect::<String>()
    };
    assert!(!text(first).contains("from memory"), "{}", text(first));
    assert!(text(behind).contains("from memory"), "the source stands behind");
}

#[test]
fn what_was_put_aside_in_a_visit_is_reached_from_measuring_and_from_the_result() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = bedside(folder.path());
    window.begin("K204Q");
    window.act(Action::Prepare(Preparing::NoneApplies));
    window.act(Action::Prepare(Preparing::EndRest));
    window.key(Key::F);
    window.click("Questions, cuffs, feet");
    assert_eq!(window.model().screen, Screen::Prepare, "questions can be answered at any time");
    window.click("Back to measuring");
    assert_eq!(window.model().screen, Screen::Measure);
    window.write("Another operator, by code", "op-9");
    window.click("Hand over");
    window.key(Key::F);
    window.click("Patient moved: restart rest");
    assert_eq!(window.model().screen, Screen::Prepare);
    window.act(Action::Prepare(Preparing::EndRest));
    assert_eq!(window.model().screen, Screen::Measure);
    let acts = window.events();
    let told = |found: fn(&Act) -> bool| acts.iter().any(found);
    assert!(told(|act| matches!(act, Act::OperatorChanged { who } if who == "op-9")));
    assert!(told(|act| matches!(act, Act::Prepared(Prepared::RestBeganAgain))));
    window.act(Action::PutRight(PutRight::Back));
}
