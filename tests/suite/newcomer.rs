//! What a newcomer stumbled over at the command line, once each: one clear sentence, and nothing left half done.

use std::path::Path;
use std::process::{Command, Output};

fn run(folder: &Path, words: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_cuffnote"));
    command.current_dir(folder).env("CUFFNOTE_LOG_DIR", folder.join("log")).args(words);
    command.output().unwrap()
}

/// What was said on stderr by words that must fail.
fn refused(folder: &Path, words: &[&str]) -> String {
    let done = run(folder, words);
    assert!(!done.status.success(), "{words:?}");
    String::from_utf8(done.stderr).unwrap()
}

#[test]
fn a_fault_is_one_sentence_without_the_systems_numbers() {
    let folder = tempfile::tempdir().unwrap();
    for words in [
        &["report", "nothing.json", "--out", "a.pdf"][..],
        &["listen", "nothing.wav"],
        &["index", "--csv", "nothing.csv"],
        &["practise", "--check", "nothing.toml"],
        &["book", "list", "--book", "nothing"],
    ] {
        let said = refused(folder.path(), words);
        assert!(said.starts_with("cuffnote: ") && said.lines().count() == 1, "{said}");
        assert!(said.contains("nothing") && !said.contains("os error"), "{said}");
    }
}

#[test]
fn a_strangers_file_is_not_printed_back() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("long.csv"), "a".repeat(1_000_000)).unwrap();
    let said = refused(folder.path(), &["index", "--csv", "long.csv"]);
    assert!(said.len() < 2_000, "{} bytes", said.len());
    assert!(said.contains("long.csv, line 1") && said.contains("is no site"), "{said}");
}

#[test]
fn a_sound_that_cannot_be_written_leaves_no_truth_behind() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("here.wav")).unwrap();
    let said = refused(folder.path(), &["make", "plain", "--seed", "1", "--out", "here.wav"]);
    assert!(said.contains("here.wav: is a folder"), "{said}");
    assert!(!folder.path().join("here.json").exists());
}

#[test]
fn a_device_that_cannot_be_had_is_said_once() {
    let folder = tempfile::tempdir().unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_cuffnote"));
    command.env_clear().env("HOME", folder.path()).env("XDG_RUNTIME_DIR", folder.path());
    command.env("PULSE_SERVER", "unix:/nowhere").args(["listen", "--live"]);
    let done = command.output().unwrap();
    assert_eq!(done.status.code(), Some(1));
    let said = [done.stdout, done.stderr].concat();
    let said = String::from_utf8(said).unwrap();
    assert_eq!(said.matches("no sound system answers").count(), 1, "{said}");
}

#[test]
fn a_window_without_a_screen_is_one_sentence() {
    let folder = tempfile::tempdir().unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_cuffnote"));
    command.env_clear().env("HOME", folder.path()).args(["--source", "sim:visit#1"]);
    let said = String::from_utf8(command.output().unwrap().stderr).unwrap();
    assert!(said.contains("it needs a screen") && said.lines().count() == 1, "{said}");
    assert!(!said.contains(".rs"), "{said}");
}

/// What did not arrive whole is not called done; but it ends in a sentence.
#[test]
fn completions_end_in_a_sentence_where_nobody_reads_them() {
    let folder = tempfile::tempdir().unwrap();
    let program = env!("CARGO_BIN_EXE_cuffnote");
    let script = format!("{program} completions bash | head -1");
    let done = Command::new("sh").args(["-c", &script]).current_dir(&folder).output().unwrap();
    let said = String::from_utf8(done.stderr).unwrap();
    assert!(
        !done.stdout.is_empty() && said.lines().count() <= 1 && !said.contains("panic"),
        "{said}"
    );
}

#[test]
fn a_name_given_as_a_code_is_spoken_of() {
    let folder = tempfile::tempdir().unwrap();
    let named = run(folder.path(), &["book", "code", "Mustermann"]);
    assert!(String::from_utf8_lossy(&named.stderr).contains("never by a name"));
    assert!(run(folder.path(), &["book", "code", "TM-0143"]).stderr.is_empty());
}

/// The file that the documentation shows for a service's own guidance works as it stands, a day of TOML's own too.
#[test]
fn the_guidance_file_of_the_documentation_is_taken() {
    let page = include_str!("../../docs/clinical.md");
    let text = page.split("```toml\n").nth(1).unwrap().split("```").next().unwrap();
    let folder = tempfile::tempdir().unwrap();
    let own = text.replace("\"2027-06-01\"", "2027-06-01");
    assert_ne!(own, text);
    for text in [text, &own] {
        std::fs::write(folder.path().join("own.toml"), text).unwrap();
        let words = "index --right-arm 140 --left-arm 138 --right-dp 100 --right-pt 104 --guidance own.toml";
        let done = run(folder.path(), &words.split(' ').collect::<Vec<_>>());
        let said = String::from_utf8(done.stdout).unwrap();
        assert!(said.contains("refer to the vascular service"), "{said}");
    }
    std::fs::write(folder.path().join("own.toml"), text.replace("\"2027-06-01\"", "5")).unwrap();
    let said = refused(folder.path(), &["index", "--right-arm", "140", "--guidance", "own.toml"]);
    assert!(said.contains("line 7: expected a day such as 2027-11-01, found `5`"), "{said}");
}

/// What the first page promises is there: every file it points to, and every verb it names.
#[test]
fn the_first_page_names_files_and_verbs_that_exist() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut pages = vec![root.join("README.md"), root.join("DEVELOPERS.md")];
    pages.extend(std::fs::read_dir(root.join("docs")).unwrap().map(|entry| entry.unwrap().path()));
    let help = String::from_utf8(run(root, &["--help"]).stdout).unwrap();
    let (mut links, mut verbs) = (0, 0);
    for page in pages.iter().filter(|page| page.extension().is_some_and(|e| e == "md")) {
        let text = std::fs::read_to_string(page).unwrap();
        let place = page.parent().unwrap();
        for target in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            if !target.starts_with("http") {
                let file = place.join(target.split('#').next().unwrap());
                assert!(file.exists(), "{}: {target}", page.display());
                links += 1;
            }
        }
        for word in
            text.split("`cuffnote ").skip(1).filter_map(|rest| rest.split([' ', '`']).next())
        {
            if word.starts_with(|c: char| c.is_ascii_lowercase()) && word != "help" {
                let verb = word.trim_end_matches(',');
                assert!(help.contains(&format!("\n  {verb} ")), "{}: {verb}", page.display());
                verbs += 1;
            }
        }
    }
    assert!(links > 30 && verbs > 30, "{links} links, {verbs} verbs");
}

/// Values that make no sense are wrong words: status 2, a sentence, nothing done.
#[test]
fn nonsense_is_refused_as_wrong_words() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path();
    let made = run(place, &["make", "plain", "--out", "plain.wav"]);
    assert!(made.status.success());
    run(place, &["demo", "--out", "demo"]);
    let before = std::fs::read_dir(place).unwrap().count();
    let head = "a visit, for example";
    for (words, why) in [
        (&["rehear", "plain.wav", "--times", "nan", "--slow", "s.wav"][..], "expected 0.5 to 4"),
        (&["make", "plain", "--rate", "1", "--out", "p.wav"], "4000"),
        (&["listen", "--live", "plain.wav", "--seconds", "nan"], "expected seconds"),
        (&["listen", "--live", "plain.wav", "--seconds", "0"], "expected seconds"),
        (&["listen", "plain.wav", "--sonogram", "s.gif"], ".png or .svg"),
        (&["listen", "plain.wav", "--features", "s.gif"], ".csv"),
        (&["trial", "--count", "0"], "is not in"),
        (&["practise"], "--scripted"),
        (&["schema", "nothing"], "no form"),
        (&["man", "nothing"], "no verb"),
        (&["book", "list", "--limit", "0", "--book", "demo/book"], "is not in"),
        (&["book", "amend", "x", "--note", "", "--who", "a", "--book", "demo/book"], "no id"),
        (&["book", "backup", "-", "--book", "demo/book"], "once it is on a disk"),
        (&["report", "demo/visit.json", "--out", "a.pdf", "--chain", head], "a head is"),
    ] {
        let done = run(place, words);
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert_eq!(done.status.code(), Some(2), "{words:?}: {said}");
        assert!(said.contains(why) && !said.contains("panicked"), "{words:?}: {said}");
    }
    assert_eq!(std::fs::read_dir(place).unwrap().count(), before, "nothing was written");
    // What only the file or the book can tell is no misuse.
    for (words, why) in [
        (&["listen", "plain.wav", "--channel", "2"][..], "it has 1"),
        (&["overread", "prepare", "demo/visit.json", "--out", "blind"], "no sound"),
        (&["book", "merge", "demo/book", "--book", "demo/book"], "is this record book itself"),
        (&["import", ".", "--book", "new"], ".: cannot be read: Is a directory\n"),
    ] {
        let done = run(place, words);
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert_eq!(done.status.code(), Some(1), "{words:?}: {said}");
        assert!(said.contains(why), "{words:?}: {said}");
    }
    assert!(!place.join("blind").exists() && !place.join("new").exists());
}

/// What is one stream goes to standard output, and nothing else with it.
#[test]
fn one_stream_goes_to_standard_output_alone() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path();
    assert!(run(place, &["make", "plain", "--out", "plain.wav"]).status.success());
    for (words, begins) in [
        (&["make", "plain", "--out", "-"][..], &b"RIFF"[..]),
        (&["rehear", "plain.wav", "--slow", "-"], b"RIFF"),
        (&["rehear", "plain.wav", "--picture", "-"], b"\x89PNG"),
        (&["listen", "plain.wav", "--sonogram", "-"], b"<svg"),
        (&["listen", "plain.wav", "--features", "-"], b"\"file\""),
        (&["trial", "--count", "1", "--out", "-"], b"stratum,number"),
    ] {
        let done = run(place, words);
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert!(done.status.success(), "{words:?}: {said}");
        assert!(done.stdout.starts_with(begins), "{words:?}");
    }
    // The sound is whole: it is the one that goes into a file.
    let piped = run(place, &["make", "plain", "--out", "-"]).stdout;
    assert!(piped == std::fs::read(place.join("plain.wav")).unwrap());
    let both = run(place, &["rehear", "plain.wav", "--slow", "-", "--picture", "-"]);
    assert_eq!(both.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&both.stderr).contains("one thing at a time"));
}

/// An outcome that is long in words goes on in its own column.
#[test]
fn a_long_outcome_stays_in_its_column() {
    let folder = tempfile::tempdir().unwrap();
    let table = "record,measured,right-arm,left-arm,right-dp,left-dp\nK-9,2026-03-04,140,142,100 | 140,skipped: the wound lay just there and hurt\n";
    std::fs::write(folder.path().join("long.csv"), table).unwrap();
    assert!(run(folder.path(), &["import", "long.csv", "--book", "new"]).status.success());
    let shown = run(folder.path(), &["book", "show", "K-9", "--book", "new"]);
    let list = run(folder.path(), &["book", "list", "--json", "--book", "new"]).stdout;
    let row: serde_json::Value = serde_json::from_slice(&list).unwrap();
    let id = row["id"].as_str().unwrap().to_owned();
    let shown = [shown.stdout, run(folder.path(), &["book", "show", &id, "--book", "new"]).stdout];
    let text = String::from_utf8(shown.concat()).unwrap();
    let begin = text.find("dorsalis pedis  ").unwrap();
    let lines: Vec<&str> = text[begin..].lines().take(3).collect();
    assert!(lines[0].starts_with("dorsalis pedis    readings of 100 and 140 mmHg  not measured:"));
    assert!(lines[1].starts_with("                  contradict each other         "), "{lines:?}");
}
