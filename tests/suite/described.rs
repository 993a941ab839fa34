//! Everything that is printed as JSON, held against its own schema by a validator from outside; and the help: every
//! example runs, every verb has one, wrong words name the right one.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::shop::{SHOP, Shop, split};

/// Closes a schema, so that a field which it does not name is a fault. As it is published it is open: within a version
/// fields may be added.
fn closed(mut schema: Value) -> Value {
    let mut parts = BTreeSet::new();
    borrowed(&schema, &mut parts);
    schema["unevaluatedProperties"] = json!(false);
    if let Some(defs) = schema.get_mut("$defs").and_then(Value::as_object_mut) {
        for (_, def) in
            defs.iter_mut().filter(|(name, def)| def.is_object() && !parts.contains(*name))
        {
            def["unevaluatedProperties"] = json!(false);
        }
    }
    schema
}

/// Names of the parts that stand within another object beside its own fields: those are closed there.
fn borrowed(schema: &Value, parts: &mut BTreeSet<String>) {
    match schema {
        Value::Object(fields) => {
            let beside = fields.contains_key("properties");
            let within = ["allOf"].iter().filter_map(|key| fields.get(*key)?.as_array()).flatten();
            let of = within.chain(beside.then_some(schema));
            for one in of {
                let name =
                    one.get("$ref").and_then(Value::as_str).and_then(|r| r.rsplit('/').next());
                parts.extend(name.map(str::to_owned));
            }
            fields.values().for_each(|value| borrowed(value, parts));
        }
        Value::Array(values) => values.iter().for_each(|value| borrowed(value, parts)),
        _ => {}
    }
}

fn validator(name: &str) -> jsonschema::Validator {
    let schema: Value = serde_json::from_str(&SHOP.done(&format!("schema {name}"))).unwrap();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema", "{name}");
    assert!(jsonschema::meta::is_valid(&schema), "{name} is a schema");
    jsonschema::draft202012::new(&closed(schema)).unwrap()
}

/// Each line of what was printed.
fn lines(text: &str) -> Vec<Value> {
    let all: Vec<Value> = text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert!(!all.is_empty());
    all
}

pub(super) fn holds(name: &str, values: &[Value]) {
    let validator = validator(name);
    for value in values {
        let faults: Vec<String> =
            validator.iter_errors(value).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(faults.is_empty(), "{name}: {}", faults.join("\n"));
        assert_eq!(value["format"], json!(format!("cuffnote-{name}")));
        assert_eq!(value["version"], 1);
    }
    // A validator that takes everything would show nothing.
    let mut other = values[0].clone();
    other["unheard_of"] = json!(1);
    assert!(!validator.is_valid(&other), "{name}: a field that is not described is refused");
    let mut unnamed = values[0].clone();
    unnamed.as_object_mut().unwrap().remove("format");
    assert!(!validator.is_valid(&unnamed), "{name}: the name must be there");
}

#[test]
fn everything_that_is_printed_as_json_is_as_its_schema_says() {
    let shop = Shop::new();
    let readings = "--right-arm 148 --left-arm 142 --right-pt 104 --left-pt nc --right-toe 60";
    for (name, words) in [
        ("listen", "listen right-pt.wav left-pt.wav recordings --recursive --json"),
        ("index", &format!("index {readings} --guidance all --json")),
        ("index", "index --right-arm 148 --json"),
        ("index-table", "index --csv readings.csv --json"),
        ("recheck", "recheck visit.json --json"),
        ("recheck", "recheck --json"),
        ("book-list", "book list --json"),
        ("book-show", "book show ID --json"),
        ("book-record", "book show TM-0142-7 --json"),
        ("book-check", "book check --json"),
        ("book-backup", "book backup again.tar --json"),
        ("book-sync", "book sync shared --json"),
        ("book-merge", "book merge other-book --json"),
        ("agree", "agree --csv readers.csv --json"),
        ("agree", "agree --csv words.csv --json"),
        ("practise", "practise --scripted bias_ms=300,sd_ms=80 --count 4 --json"),
        ("practise-class", "practise --class class.jsonl --json"),
        ("trial", "trial --count 1 --json"),
        ("rehear", "rehear right-pt.wav --json"),
        ("scenarios", "make --list --json"),
    ] {
        holds(name, &lines(&shop.done(words)));
    }
    shop.done("make plain --out made.wav");
    shop.done("audit --out audit.json --by-operator");
    shop.done("report ID --out whole.json --service Tidemill");
    shop.done("demo --out third");
    for (name, file) in [
        ("truth", "made.json"),
        ("audit", "audit.json"),
        ("visit", "whole.json"),
        ("visit", "third/visit.json"),
    ] {
        let bytes = std::fs::read(shop.path(file)).unwrap();
        holds(name, &[serde_json::from_slice(&bytes).unwrap()]);
    }
    shop.done("make plain --out short.wav");
    let live = lines(&shop.done("listen --live short.wav --seconds 8 --json"));
    holds("listen-live", &live);
    for at in live.iter().filter_map(|line| line["at"].as_str()) {
        // To the millisecond, with offset: 2026-11-28T01:02:03.456+01:00.
        assert!(at.len() == 29 && &at[19..20] == ".", "{at}");
    }
    for row in lines(&shop.done("book list --json")) {
        for name in ["opened_at", "last_at"] {
            let at = row[name].as_str().unwrap();
            assert!(at.len() == 29 && &at[19..20] == ".", "{name}: {at}");
        }
    }
    let shown = SHOP.done("schema");
    let listed: BTreeSet<&str> =
        shown.lines().filter_map(|line| line.split_whitespace().next()).collect();
    assert_eq!(listed, cuffnote::cli::schemas().collect(), "all are listed");
}

/// Each field's meaning stands in its schema, and each form in docs/files.md.
#[test]
fn every_field_has_its_meaning_and_every_form_its_line_in_the_page() {
    let page = include_str!("../../docs/files.md");
    for name in cuffnote::cli::schemas() {
        assert!(page.contains(&format!("| `{name}` |")), "docs/files.md lacks the form {name}");
        let schema = cuffnote::cli::schema(name).unwrap();
        let mut bare = Vec::new();
        undescribed(&schema, name, &mut bare);
        assert!(bare.is_empty(), "no meaning: {}", bare.join(", "));
    }
}

fn undescribed(schema: &Value, at: &str, bare: &mut Vec<String>) {
    match schema {
        Value::Object(fields) => {
            for (name, field) in
                fields.get("properties").and_then(Value::as_object).into_iter().flatten()
            {
                let said = field.get("description").is_some() || field.get("const").is_some();
                if !said {
                    bare.push(format!("{at}.{name}"));
                }
            }
            fields.iter().for_each(|(key, value)| undescribed(value, &format!("{at}/{key}"), bare));
        }
        Value::Array(values) => values.iter().for_each(|value| undescribed(value, at, bare)),
        _ => {}
    }
}

/// A visit of the form that was written before `format` stood everywhere is read as ever.
#[test]
fn the_forms_of_before_are_read() {
    let text = std::fs::read_to_string(SHOP.path("visit.json")).unwrap();
    let mut visit: Value = serde_json::from_str(&text).unwrap();
    visit.as_object_mut().unwrap().remove("result");
    std::fs::write(SHOP.path("old.json"), visit.to_string()).unwrap();
    SHOP.done("recheck old.json --json");
}

#[test]
fn every_example_of_the_help_runs() {
    let shop = Shop::new();
    let mut ran = BTreeSet::new();
    for (verb, line, alone) in cuffnote::cli::examples() {
        let words = split(line);
        assert_eq!(words[0], "cuffnote");
        let help = SHOP.done(&format!("{verb} --help"));
        assert!(help.starts_with("Examples:\n"), "{verb}: examples come first");
        assert!(help.contains(line), "{verb}");
        let understood =
            words.iter().map(|word| if word == "ID" { shop.id.clone() } else { word.clone() });
        assert!(cuffnote::cli::understood(understood.map(Into::into)), "{line}");
        if alone && ran.insert(line) {
            shop.done(line.strip_prefix("cuffnote ").unwrap());
        }
    }
    assert!(ran.len() > 35, "{}", ran.len());
}

/// Every verb that help offers has an example, and its help names how a run ends or where that stands.
#[test]
fn every_verb_that_is_offered_has_an_example() {
    let with: BTreeSet<&str> =
        cuffnote::cli::examples().into_iter().map(|(verb, ..)| verb).collect();
    for group in ["", "book", "overread"] {
        let help = SHOP.done(&format!("{group} --help"));
        let verbs = help.split("Commands:\n").nth(1).unwrap().split("\n\n").next().unwrap();
        for verb in
            verbs.lines().filter_map(|line| line.split_whitespace().next()).filter(|v| *v != "help")
        {
            let whole = format!("{group} {verb}").trim().to_owned();
            assert!(with.contains(whole.as_str()), "{whole}");
        }
    }
    let help = SHOP.done("--help");
    assert!(help.contains("Exit status:\n  0  Done") && help.contains("2  The words were wrong"));
    // Nothing is offered that this build cannot do.
    assert!(!help.contains("\n  push"));
    for words in ["push ID --to https://fhir.example.org/r4", "book push ID --to x"] {
        let output = SHOP.run(words);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(
            output.status.code() == Some(2) && said.contains("cuffnote-service send"),
            "{said}"
        );
    }
    for old in ["report", "import", "audit", "push"] {
        let help = SHOP.done("book --help");
        assert!(!help.contains(&format!("\n  {old} ")), "each deed has one verb: {old}");
    }
}

#[test]
fn a_wrong_word_names_the_nearest_right_one() {
    for (words, near) in [
        ("lisen right-pt.wav", "listen"),
        ("index --right-arn 148", "--right-arm"),
        ("index --right-arm 148 --guidance nice-ksc", "did you mean `nice-cks`?"),
        ("make plian --out p.wav", "did you mean `plain`?"),
        ("schema bok-list", "did you mean `book-list`?"),
        ("report visit.json --out report.pfd", "did you mean `pdf`?"),
        (
            "overread gather anna.csv --list blinded --column retrun_s --out t.csv",
            "did you mean `return_s`?",
        ),
    ] {
        let output = SHOP.run(words);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(!output.status.success() && said.contains(near), "{words}: {said}");
    }
    std::fs::write(SHOP.path("wrong.csv"), "record,right-arn\nK,148\n").unwrap();
    let output = SHOP.run("index --csv wrong.csv");
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(said.contains("line 1") && said.contains("did you mean `right-arm`?"), "{said}");
    std::fs::write(
        SHOP.path("wrong.csv"),
        "record,measured,right-arm,rigth-dp\nK,2026-01-05,148,120\n",
    )
    .unwrap();
    let output = SHOP.run("import wrong.csv --check");
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1));
    assert!(said.contains("line 1") && said.contains("did you mean `right-dp`?"), "{said}");
    assert!(
        SHOP.done("import wrong.csv --check --skip-unknown").starts_with("1 visit could be taken")
    );
}

/// Tables through the command line: a column twice, a row that slipped, any line ending, from a pipe.
#[test]
fn a_tables_faults_are_named_with_their_line() {
    use std::io::Write;
    let fed = |words: &str, text: &str| {
        let mut child = SHOP
            .command(words)
            .stdin(std::process::Stdio::piped())
            .stdout(std::process::Stdio::piped())
            .stderr(std::process::Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(text.as_bytes()).unwrap();
        let output = child.wait_with_output().unwrap();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        (output.status.code(), text(output.stdout), text(output.stderr))
    };
    let (code, _, said) =
        fed("index --csv -", "right-arm,left-arm,right-dp,right-dp,left-pt\n1,2,3,4,5\n");
    assert_eq!(code, Some(1));
    assert!(
        said.contains("line 1: the column `right-dp` stands twice (columns 3 and 4)"),
        "{said}"
    );
    for ending in ["\n", "\r\n", "\r"] {
        let table =
            "right-arm,left-arm,right-dp\n148,142,104\n148,142,104,5\n148,142,0\n148,142,96\n"
                .replace('\n', ending);
        let (code, out, said) = fed("index --csv - --json", &table);
        assert_eq!(code, Some(1));
        assert!(said.contains("line 3: 4 cells") && said.contains("line 4"), "{ending:?}: {said}");
        let lines: Vec<u64> =
            lines(&out).iter().map(|line| line["line"].as_u64().unwrap()).collect();
        assert_eq!(lines, [2, 5], "{ending:?}");
    }
    let (code, out, _) =
        fed("index --csv -", "\u{FEFF}right-arm;left-arm;right-dp\r\n148;142;104,5\r\n");
    assert!(code == Some(0) && out.contains("0.71"), "{out}");
    let (code, out, _) = fed("agree --csv - --json", "anna,berta\n1,2\n2,3\n4,4\n");
    assert!(code == Some(0) && out.contains("bland_altman"), "{out}");
    let (code, _, said) = fed("agree --csv -", "anna,berta\n1,2\n2\n4,4\n");
    assert!(code == Some(1) && said.contains("line 3: 1 cells"), "{said}");
}

/// Completions of the moment: the shell asks the program itself.
#[test]
fn names_are_completed() {
    let asked = |words: &[&str]| {
        let mut command = SHOP.command("");
        command.env("CUFFNOTE_COMPLETE", "fish").arg("--").args(words);
        let output = command.output().unwrap();
        String::from_utf8(output.stdout).unwrap()
    };
    assert!(asked(&["cuffnote", "make", "pl"]).lines().any(|line| line.starts_with("plain")));
    assert!(asked(&["cuffnote", "index", "--guidance", "nice"]).contains("nice-cks"));
    assert!(asked(&["cuffnote", "report", ""]).contains(&SHOP.id));
    assert!(asked(&["cuffnote", "book", "show", ""]).contains(&SHOP.id));
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        assert!(
            SHOP.done(&format!("completions {shell}")).contains("CUFFNOTE_COMPLETE"),
            "{shell}"
        );
    }
}

#[test]
fn a_run_is_quiet_wordy_and_coloured_as_it_is_told() {
    let said = |words: &str| String::from_utf8(SHOP.run(words).stderr).unwrap();
    assert!(said("book code Mustermann").contains("never by a name"));
    assert_eq!(said("book code Mustermann --quiet"), "");
    assert_eq!(said("--quiet book code Mustermann"), "", "before the verb too");
    assert!(
        said("listen right-pt.wav --verbose")
            .contains("WAV, PCM of 16 bits, 16000 Hz, 1 channel(s)")
    );
    assert!(said("listen right-pt.wav --progress always").contains("100 %"));
    assert_eq!(said("listen right-pt.wav"), "");
    assert!(said("listen nothing.wav --color always").contains("\u{1b}["));
    assert!(!said("listen nothing.wav --color never").contains('\u{1b}'));
    assert!(said("lisen --color always").contains("\u{1b}["));
    let mut plain = SHOP.command("listen nothing.wav");
    let output = plain.env("NO_COLOR", "1").output().unwrap();
    assert!(!String::from_utf8(output.stderr).unwrap().contains('\u{1b}'));
    // A whole code is said to be whole, once and in one word.
    let whole = SHOP.run("book code TM-0142-7");
    assert_eq!(String::from_utf8(whole.stdout).unwrap(), "TM-0142-7\n");
    assert!(String::from_utf8(whole.stderr).unwrap().contains("whole already"));
    let nope = said("recheck nope");
    assert_eq!(nope.matches("nope:").count(), 1, "{nope}");
}

/// The blocks of a page in a language, in their order.
fn blocks(page: &'static str, language: &str) -> Vec<&'static str> {
    let open = format!("```{language}\n");
    page.split(open.as_str()).skip(1).filter_map(|rest| rest.split("```").next()).collect()
}

/// A stranger's ten lines: returns of a folder of a telephone's recordings, plotted; and the picture drawn again from
/// the tables. As they stand in docs/files.md. Needs pandas and matplotlib, which tests/run installs.
#[test]
#[ignore = "needs Python with pandas and matplotlib: tests/run"]
fn the_scripts_of_the_page_run_as_they_stand() {
    let page = include_str!("../../docs/files.md");
    let python = std::env::var("CUFFNOTE_RESEARCH_PYTHON").expect("tests/run names it");
    let shop = Shop::new();
    let program = std::path::Path::new(env!("CARGO_BIN_EXE_cuffnote")).parent().unwrap().to_owned();
    let path = format!("{}:{}", program.display(), std::env::var("PATH").unwrap());
    // Telephones record M4A.
    for name in ["right-pt", "left-pt"] {
        let status = std::process::Command::new("ffmpeg")
            .args(["-v", "error", "-i"])
            .arg(shop.path(&format!("{name}.wav")))
            .args(["-c:a", "aac"])
            .arg(shop.path(&format!("recordings/{name}.m4a")))
            .status();
        assert!(status.unwrap().success());
    }
    for line in blocks(page, "sh").concat().lines() {
        shop.done(line.strip_prefix("cuffnote ").unwrap());
    }
    let scripts = blocks(page, "python");
    assert_eq!(scripts.len(), 2);
    assert!(scripts[0].lines().count() <= 10, "ten lines");
    for (script, picture) in scripts.iter().zip(["returns.png", "again.png"]) {
        let mut command = std::process::Command::new(&python);
        command
            .current_dir(shop.path(""))
            .env("PATH", &path)
            .env("MPLBACKEND", "Agg")
            .args(["-c", script]);
        let output = command.output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        let drawn = image::open(shop.path(picture)).unwrap().to_luma8();
        let dark = drawn.pixels().filter(|pixel| pixel.0[0] < 200).count();
        assert!(dark > 1_000, "{picture}: {dark} dark points");
    }
}

/// docs/forms.md is made from the schemas: CUFFNOTE_WRITE_FORMS=1 writes it anew.
#[test]
fn the_page_of_forms_is_what_the_schemas_say() {
    let mut page = String::from(
        "# Every form that is printed as JSON, field by field\n\nMade from `cuffnote schema`; a test holds it. Each object also has `format` and `version` (see [files.md](files.md)). A type with `?` may be null; `...[]` is a list. A part that several forms have is described once, where it is first named.\n",
    );
    let mut shown = BTreeSet::new();
    for name in cuffnote::cli::schemas() {
        let schema = cuffnote::cli::schema(name).unwrap();
        page += &format!("\n## {name}\n{}\n", schema["description"].as_str().unwrap());
        fields(&schema, &schema, &mut page, &mut shown);
    }
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/forms.md");
    if std::env::var_os("CUFFNOTE_WRITE_FORMS").is_some() {
        std::fs::write(&path, &page).unwrap();
    }
    assert!(
        std::fs::read_to_string(path).unwrap() == page,
        "CUFFNOTE_WRITE_FORMS=1 writes docs/forms.md anew"
    );
}

/// A table of the fields of one object, then those of the parts within it.
fn fields(schema: &Value, root: &Value, page: &mut String, shown: &mut BTreeSet<String>) {
    let mut parts = Vec::new();
    let mut rows = String::new();
    let variants =
        ["oneOf", "anyOf"].iter().filter_map(|key| schema.get(*key)?.as_array()).flatten();
    for object in std::iter::once(schema).chain(variants) {
        let Some(properties) = object.get("properties").and_then(Value::as_object) else {
            continue;
        };
        let kind = ["kind", "is", "what"]
            .iter()
            .find_map(|tag| properties.get(*tag)?.get("const")?.as_str());
        for (name, field) in
            properties.iter().filter(|(name, _)| !matches!(name.as_str(), "format" | "version"))
        {
            if kind.is_some() && field.get("const").is_some() {
                continue;
            }
            let name = kind.map_or(name.clone(), |kind| format!("{kind}: {name}"));
            let about = field
                .get("description")
                .and_then(Value::as_str)
                .unwrap_or("")
                .replace(['\n', '|'], " ");
            rows += &format!("| {name} | {} | {about} |\n", kind_of(field, &mut parts));
        }
    }
    if !rows.is_empty() {
        *page += &format!("\n| field | type | meaning |\n|---|---|---|\n{rows}");
    }
    for part in parts {
        let def = &root["$defs"][&part];
        let has_fields = def.get("properties").is_some() || def.get("oneOf").is_some();
        // A part that another form has as well stands there once.
        if has_fields && shown.insert(format!("{part} {def}")) {
            let mut inner = String::new();
            fields(def, root, &mut inner, shown);
            if inner.trim_start().starts_with("| field") {
                *page += &format!("\n**{part}**\n{inner}");
            }
        }
    }
}

/// A field's type in a word; parts that it names are noted.
fn kind_of(field: &Value, parts: &mut Vec<String>) -> String {
    if let Some(part) = field.get("$ref").and_then(Value::as_str).and_then(|r| r.rsplit('/').next())
    {
        parts.push(part.to_owned());
        return part.to_owned();
    }
    if let Some(all) = field.get("anyOf").and_then(Value::as_array) {
        let some: Vec<String> =
            all.iter().filter(|one| one["type"] != "null").map(|one| kind_of(one, parts)).collect();
        return some.join(" or ") + "?";
    }
    if let Some(list) = field.get("items") {
        return kind_of(list, parts) + "[]";
    }
    match field.get("type") {
        Some(Value::String(kind)) => kind.clone(),
        Some(Value::Array(kinds)) => {
            let some: Vec<&str> =
                kinds.iter().filter_map(Value::as_str).filter(|k| *k != "null").collect();
            some.join(" or ") + if some.len() < kinds.len() { "?" } else { "" }
        }
        _ => "any".into(),
    }
}
