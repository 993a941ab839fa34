//! Settings in layers, as each verb reads them; the page of all keys; and the text for support, without record or name.

use std::path::Path;

use serde_json::Value;

use super::shop::{SHOP, Shop};

/// A shop with files of the computer's and the user's own; none where the text is empty.
fn layered(machine: &str, user: &str) -> Shop {
    let shop = Shop::new();
    for (name, text) in [("machine.toml", machine), ("user.toml", user)] {
        if !text.is_empty() {
            std::fs::write(shop.path(name), text).unwrap();
        }
    }
    shop
}

/// What came of these words: status, standard output, standard error.
fn ran(shop: &Shop, words: &str) -> (Option<i32>, String, String) {
    let mut command = shop.command(words);
    command.env("CUFFNOTE_MACHINE_SETTINGS", shop.path("machine.toml"));
    command.env("CUFFNOTE_SETTINGS", shop.path("user.toml"));
    let output = command.output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (output.status.code(), text(output.stdout), text(output.stderr))
}

fn listed(shop: &Shop, words: &str) -> Vec<(String, Option<String>, String)> {
    let (code, text, said) = ran(shop, words);
    assert_eq!(code, Some(0), "{said}");
    let lines: Vec<Value> = text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    super::described::holds("settings", &lines);
    let of = |line: &Value, name: &str| line[name].as_str().map(str::to_owned);
    lines.iter().map(|l| (of(l, "key").unwrap(), of(l, "value"), of(l, "layer").unwrap())).collect()
}

#[test]
fn layers_are_read_in_order_and_a_locked_key_is_the_computers() {
    let shop = layered(
        "version = 1\nlocked = [\"service.order\", \"sound.record\"]\n[service]\norder = \"arms-first\"\nname = \"Tidemill\"\n[sound]\nrecord = false\n[window]\nscale = 150\n",
        "version = 1\n[service]\norder = \"counter-clockwise\"\n[window]\nscale = 200\ntheme = \"light\"\n",
    );
    let all = listed(&shop, "settings --json --set window.theme=dark");
    assert_eq!(all.len(), cuffnote::settings::KEYS.len());
    for (key, value, layer) in [
        ("service.order", Some("arms-first"), "locked"),
        ("sound.record", Some("no"), "locked"),
        ("service.name", Some("Tidemill"), "computer"),
        ("window.scale", Some("200"), "user"),
        ("window.theme", Some("dark"), "run"),
        ("sound.volume", None, "usual"),
    ] {
        let wanted = (key.to_owned(), value.map(str::to_owned), layer.to_owned());
        assert!(all.contains(&wanted), "{wanted:?}: {all:?}");
    }
    assert_eq!(listed(&shop, "settings window --json").len(), 6);
    let (code, _, said) = ran(&shop, "settings --set service.order=counter-clockwise");
    assert!(code == Some(1) && said.contains("is fixed for this computer"), "{said}");
    let (code, _, said) = ran(&shop, "settings --set service.ordre=arms-first");
    assert!(code == Some(2) && said.contains("did you mean `service.order`?"), "{said}");
    let (code, _, said) = ran(&shop, "settings windw");
    assert!(code == Some(2) && said.contains("did you mean"), "{said}");
    // The service's name stands in the head of what is handed out, unless another is given.
    for (more, name) in [("", "Tidemill"), ("--service Millrace", "Millrace")] {
        let (code, text, said) = ran(&shop, &format!("report ID --format html --out - {more}"));
        assert_eq!(code, Some(0), "{said}");
        assert!(text.contains(name), "{name}");
    }
    // A file of the computer's that is not understood stops what reads settings, and nothing else.
    std::fs::write(shop.path("machine.toml"), "version = 1\nlocked = [\"sound.recrod\"]\n")
        .unwrap();
    let (code, _, said) = ran(&shop, "settings");
    assert!(code == Some(1) && said.contains("line 2") && said.contains("sound.recrod"), "{said}");
    assert_eq!(ran(&shop, "index --right-arm 148 --right-pt 104").0, Some(0));
    let (code, text, _) = ran(&shop, "doctor");
    assert!(code == Some(1) && text.contains("computer  FAULT"), "{text}");
    assert!(shop.path("machine.toml").exists());
}

#[test]
fn a_sync_without_a_folder_takes_the_one_of_the_settings() {
    let shop = layered("", "");
    let (code, _, said) = ran(&shop, "book sync");
    assert!(code == Some(2) && said.contains("book.sync"), "{said}");
    let folder = shop.path("shared").display().to_string().replace('\\', "/");
    let (code, text, said) = ran(&shop, &format!("book sync --set \"book.sync={folder}\""));
    assert!(code == Some(0) && text.contains("Left there"), "{said}");
}

/// What a user of a fixed book's folder names in the environment does not count.
#[test]
fn a_fixed_book_stays_where_it_is() {
    let shop = layered("", "");
    let folder = shop.path("elsewhere").display().to_string();
    let machine = format!("locked = [\"book.folder\"]\n[book]\nfolder = '{folder}'\n");
    std::fs::write(shop.path("machine.toml"), machine).unwrap();
    let (code, _, said) = ran(&shop, "book list");
    assert!(code == Some(1) && said.contains("elsewhere"), "{said}");
}

/// Every key that the source reads is listed, and every one that is listed is read.
#[test]
fn every_key_in_the_source_has_its_line_and_the_other_way_round() {
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src")];
    let mut read = std::collections::BTreeSet::new();
    let tables = ["window", "service", "sound", "book", "guidance", "report", "practice"];
    while let Some(folder) = folders.pop() {
        for path in std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            if path.extension().is_none_or(|e| e != "rs") || path.ends_with("settings/keys.rs") {
                continue;
            }
            let text = std::fs::read_to_string(&path).unwrap();
            let text = text.split("#[cfg(test)]").next().unwrap();
            let quoted = text.split('"').skip(1).step_by(2);
            let keys = quoted.filter(|text| {
                text.split_once('.').is_some_and(|(table, name)| {
                    let letters = |c: char| c.is_ascii_lowercase() || c == '_';
                    let files = ["sqlite", "html", "wav", "json", "pdf"];
                    tables.contains(&table) && name.chars().all(letters) && !files.contains(&name)
                })
            });
            read.extend(keys.map(str::to_owned));
        }
    }
    // The book's folder is read in the file that lists the keys.
    read.insert("book.folder".into());
    let listed = cuffnote::settings::KEYS.iter().map(|key| key.name.to_owned()).collect();
    assert_eq!(read, listed);
}

/// docs/settings.md is made from the keys: CUFFNOTE_WRITE_FORMS=1 writes it anew.
#[test]
fn the_page_of_settings_is_what_the_keys_say() {
    let head = include_str!("settings_head.md");
    let mut page = format!("{head}\n| key | may be | usual | means |\n|---|---|---|---|\n");
    for key in cuffnote::settings::KEYS {
        page += &format!("| `{}` | {} | {} | {} |\n", key.name, key.may_be, key.usual, key.means);
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/settings.md");
    if std::env::var_os("CUFFNOTE_WRITE_FORMS").is_some() {
        std::fs::write(&path, &page).unwrap();
    }
    assert!(
        std::fs::read_to_string(path).unwrap() == page,
        "CUFFNOTE_WRITE_FORMS=1 writes docs/settings.md anew"
    );
}

/// The usual values of the page are those that the window takes.
#[test]
fn the_usual_values_are_true() {
    let choices = cuffnote::window::model::choices::Choices::default();
    let usual = |name: &str| cuffnote::settings::key(name).unwrap().usual;
    assert_eq!(usual("service.order"), choices.order());
    assert_eq!(usual("service.method"), choices.method().code());
    assert_eq!(usual("service.gauge"), choices.gauge());
    assert_eq!(usual("service.graduation"), choices.graduation().to_string());
    assert_eq!(usual("service.ceiling"), choices.ceiling().to_string());
    assert_eq!(usual("service.rest"), choices.rest_min().to_string());
    assert_eq!(usual("service.wait"), choices.wait_s().to_string());
    assert_eq!(usual("sound.volume"), choices.sound().volume().to_string());
    assert_eq!(usual("window.theme"), choices.theme().name());
    assert_eq!(usual("window.scale"), choices.scale().to_string());
    assert_eq!(usual("window.tap"), choices.tap().name());
    assert!(choices.record() && !choices.check_codes() && !choices.sound().headphones);
}

/// Settings as version 0.1.0 wrote them, every key of that time: read as they were meant, and kept.
#[test]
fn the_settings_of_form_1_are_read_and_kept() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("settings.toml");
    let text = include_str!("../data/settings/form-1.toml");
    std::fs::write(&path, text).unwrap();
    let opened = cuffnote::settings::Settings::open(&path).unwrap();
    assert_eq!((opened.note, opened.settings.unknown()), (None, Vec::new()));
    let choices = cuffnote::window::model::choices::Choices::new(opened.settings.clone());
    assert_eq!((choices.order(), choices.method().code()), ("arms-first", "lower"));
    assert_eq!((choices.rest_min(), choices.wait_s(), choices.scale()), (15, 60, 150));
    assert_eq!((choices.theme().name(), choices.tap().name()), ("light", "F9"));
    assert_eq!((choices.cuffs(), choices.probe()), (Some([120, 240, 110, 220]), Some(80)));
    assert_eq!(choices.guidance().unwrap().sets, ["nice-cks", "esc-2017"]);
    assert!(
        choices.cautions_read() && choices.check_codes() && choices.tone() && !choices.record()
    );
    let sound = choices.sound();
    assert_eq!((sound.device.as_deref(), sound.channel), (Some("pulse:line-in"), Some(1)));
    assert_eq!(choices.ceiling().to_string(), "260");
    opened.settings.save(&path).unwrap();
    assert_eq!(std::fs::read_to_string(&path).unwrap(), text, "nothing is changed by saving");
}

/// The text for support: what was looked at, the settings, the log; and nothing that tells of anybody.
#[test]
fn the_text_for_support_names_no_record_no_sound_and_nobody() {
    let shop = layered(
        "version = 1\n[service]\nname = \"Tidemill Leg Service\"\noperator = \"nurse-berta\"\n[guidance]\nswitched_on_by = \"Clara Weir\"\n",
        "version = 1\n[sound]\ndevice = \"Berta's earbuds\"\n[window]\nscale = 125\n",
    );
    // Something fails, with what was typed in its sentence.
    assert_eq!(ran(&shop, "book show TM-0142-8").0, Some(1));
    assert_eq!(ran(&shop, "listen sophie-miller.wav").0, Some(1));
    let mut command = shop.command("doctor --bundle support.txt");
    command.env("CUFFNOTE_MACHINE_SETTINGS", shop.path("machine.toml"));
    command.env("CUFFNOTE_SETTINGS", shop.path("user.toml"));
    command.env("USER", "sophie").env("HOSTNAME", "ward-seven");
    command.output().unwrap();
    let text = std::fs::read_to_string(shop.path("support.txt")).unwrap();
    for kept in ["== What was looked at", "window.scale", "125", "book failed: ", "listen failed: "]
    {
        assert!(text.contains(kept), "{kept}: {text}");
    }
    let home = shop.path("").display().to_string();
    let told = text.to_lowercase();
    for word in [
        "TM-0142",
        "Tidemill",
        "berta",
        "Clara",
        "Weir",
        "earbuds",
        "sophie",
        "ward-seven",
        ".wav",
        home.trim_end_matches('/'),
        "RIFF",
    ] {
        assert!(!told.contains(&word.to_lowercase()), "{word}: {text}");
    }
    let visit = &SHOP.id;
    assert!(!text.contains(visit.as_str()) && !text.contains(shop.id.as_str()), "{text}");
    // It replaces nothing.
    assert_eq!(ran(&shop, "doctor --bundle support.txt").0, Some(1));
}
