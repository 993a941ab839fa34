//! The verbs `index` and `recheck` as a user meets them: words in, text or JSON out, exit codes.

use assert_cmd::Command;
use cuffnote::clinical::event::Act;
use cuffnote::clinical::method::Method;
use cuffnote::report::json;
use serde_json::Value;

use super::bedside::{all_sets, events, opened, result_of};

fn index(words: &str) -> Command {
    let mut command = Command::cargo_bin("cuffnote").unwrap();
    command.arg("index").args(words.split_whitespace());
    command
}

fn output(mut command: Command, code: i32) -> (String, String) {
    let output = command.assert().code(code).get_output().clone();
    (String::from_utf8(output.stdout).unwrap(), String::from_utf8(output.stderr).unwrap())
}

const SIX: &str =
    "--right-arm 148 --left-arm 142 --right-dp 96 --right-pt 104 --left-dp 150 --left-pt 146";

#[test]
fn json_has_the_agreed_keys() {
    let (out, _) = output(index(&format!("{SIX} --json")), 0);
    let value: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(value["right"]["index"], 0.70);
    assert_eq!(value["left"]["index"], 1.01);
    assert_eq!(value["right"]["ankle_mmhg"], 104);
    assert_eq!(value["right"]["ankle_site"], "right-pt");
    assert_eq!(value["left"]["arm_mmhg"], 148);
    assert!(
        value["right"]["low"].as_f64() < Some(0.70) && value["right"]["high"].as_f64() > Some(0.70)
    );
    let band = &value["right"]["bands"][0];
    assert_eq!(band["guidance"], "2024 ACC/AHA");
    assert_eq!(band["band"], "abnormal (<= 0.90)");
    assert!(band["source"].as_str().unwrap().contains("verified"));
    let notes = value["notes"].to_string();
    assert!(notes.contains("deflation at 3 mmHg/s") && notes.contains("heart rate of 60"));
    assert_eq!(value["versions"]["guidance"][0], "acc-aha-2024/1");
}

#[test]
fn text_names_sources_and_fits_a_terminal() {
    let (out, _) = output(index(&format!("{SIX} --guidance all")), 0);
    assert!(out.contains("0.70 (0.66 to 0.76)") && out.contains("The sets side by side"));
    assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
    let (two, _) = output(index(&format!("{SIX} --guidance rnao --guidance nice-cks")), 0);
    assert!(two.contains("RNAO") && two.contains("NICE CKS") && !two.contains("ACC/AHA"));
}

#[test]
fn words_and_decimal_commas_are_outcomes() {
    let words =
        "--right-arm 148,5 --left-arm skipped --right-dp nc --left-dp none --left-pt none --json";
    let (out, _) = output(index(words), 0);
    let value: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(value["right"]["arm_mmhg"], 148.5);
    assert!(value["right"]["index"].is_null() && value["left"]["index"].is_null());
    assert_eq!(value["right"]["bands"][0]["band"], "non-compressible (not compressible)");
    assert!(value["left"]["words"][0].as_str().unwrap().starts_with("Red flag"));
}

#[test]
fn wrong_words_are_named_with_the_way_out() {
    for (words, named) in [
        ("--right-arm 301", "outside 0 to 300"),
        ("--right-arm -5", "outside 0 to 300"),
        ("--right-arm 0", "write none"),
        ("--right-arm abc", "no pressure"),
        ("--right-arm NaN", "no pressure"),
        ("--right-arm 140 --method best", "same-side-arm"),
        ("--right-arm 140 --guidance ours", "there is no guidance `ours`"),
        ("--right-arm 140 --posture upright", "write supine"),
        ("--right-arm 140 --deflation 0", "above 0"),
        ("", "no reading was given"),
    ] {
        let (out, err) = output(index(words), 2);
        assert!(err.contains(named) && out.is_empty(), "{words}: {err}");
    }
}

#[test]
fn a_guidance_file_of_ones_own_is_read_or_refused_with_its_line() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("own.toml");
    let text = include_str!("../../src/clinical/guidance/rnao.toml")
        .replace("\"RNAO leg ulcer\"", "\"Our clinic\"");
    std::fs::write(&path, text.replace("\"rnao\"", "\"own\"")).unwrap();
    let words = format!("{SIX} --guidance {}", path.display());
    assert!(output(index(&words), 0).0.contains("Our clinic for index 0.70"));
    std::fs::write(&path, text.replace("index >= 0.80", "index about 0.80")).unwrap();
    assert!(output(index(&words), 1).1.contains("own.toml, line 18: `index about 0.80`"));
    assert!(output(index(&format!("{SIX} --guidance none.toml")), 1).1.contains("none.toml"));
}

#[test]
fn a_table_gives_a_line_a_visit_and_names_bad_lines() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("visits.csv");
    std::fs::write(&path, "\u{feff}record;right-arm;left_arm;right-dp\nA1;148,5;142;96\nA2;1\nA3;140;x;3\nA4;140;130;nc\n").unwrap();
    let (out, err) = output(index(&format!("--csv {} --json", path.display())), 1);
    let lines: Vec<Value> = out.lines().map(|l| serde_json::from_str(l).unwrap()).collect();
    assert_eq!(lines.len(), 2);
    assert_eq!((&lines[0]["record"], &lines[0]["right"]["index"]), (&"A1".into(), &0.65.into()));
    assert_eq!((&lines[1]["record"], &lines[1]["line"]), (&"A4".into(), &5.into()));
    assert!(err.contains("line 3: 2 cells where the header has 4"));
    assert!(err.contains("line 4: left-arm: `x`"));
    let text = output(index(&format!("--csv {}", path.display())), 1).0;
    assert!(text.contains("2024 ACC/AHA: \"abnormal\" (<= 0.90)"), "{text}");
    std::fs::write(&path, "knee\n1\n").unwrap();
    assert!(output(index(&format!("--csv {}", path.display())), 1).1.contains("`knee` is no site"));
    std::fs::write(&path, "right-arm\n").unwrap();
    assert!(output(index(&format!("--csv {}", path.display())), 1).1.contains("no visit under it"));
    assert_eq!(output(index("--csv none.csv"), 1).0, "");
}

#[test]
fn recheck_lists_the_visits_that_would_be_shown_differently() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, shown_index: Option<i32>| {
        let path = folder.path().join(name);
        let words = "right-arm 140, left-arm 138, right-dp 130";
        let visit = |more| events(opened(Method::Higher), words, more);
        let result = result_of(&visit(vec![]), &all_sets());
        let mut shown = result.shown();
        if let Some(index) = shown_index {
            shown.legs[0].index = Some(cuffnote::clinical::exact::Hundredths(index));
        }
        let events = visit(vec![Act::GuidanceShown(shown)]);
        std::fs::write(&path, json::visit("", None, &result, &events).unwrap()).unwrap();
        path
    };
    let (same, wrong) = (write("same.json", None), write("wrong.json", Some(95)));
    let run = |files: &[&std::path::Path], code| {
        let mut command = Command::cargo_bin("cuffnote").unwrap();
        command.arg("recheck").args(files);
        output(command, code)
    };
    let (out, _) = run(&[&same, &wrong], 0);
    assert!(out.contains("1 changed, 1 the same"), "{out}");
    assert!(out.contains("wrong.json: record C-014") && !out.contains("same.json"));
    assert!(out.contains("was: 0.95") && out.contains("now: 0.93"));
    let (out, err) = run(&[&same, &folder.path().join("none")], 1);
    assert!(out.contains("1 could not be read") && err.contains("none"));
}
