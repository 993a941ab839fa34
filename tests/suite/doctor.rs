//! The verb `doctor`: each thing that a visit needs, one line each, and what to do; and the manual pages with the table
//! of exit statuses, which stands in help, pages and docs alike.

use std::collections::BTreeMap;

use serde_json::Value;

use super::shop::{SHOP, Shop};

/// What `doctor --json` says without a sound server and without a display, each check by its name; and the status.
fn looked(shop: &Shop, more: &[(&str, &str)]) -> (BTreeMap<String, Value>, Option<i32>) {
    let mut command = shop.command("doctor --json");
    command.env("PULSE_SERVER", "unix:/nowhere").env("XDG_RUNTIME_DIR", shop.path(""));
    command.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY").env_remove("CUFFNOTE_SETTINGS");
    command.envs(more.iter().copied());
    let output = command.output().unwrap();
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    super::described::holds("doctor", std::slice::from_ref(&told));
    let checks = told["checks"].as_array().unwrap();
    let faults = checks.iter().filter(|check| check["state"] == "fault");
    assert_eq!(told["faults"].as_u64(), Some(faults.count() as u64));
    let named = checks.iter().map(|c| (c["what"].as_str().unwrap().to_owned(), c.clone()));
    (named.collect(), output.status.code())
}

fn state<'a>(checks: &'a BTreeMap<String, Value>, what: &str) -> &'a str {
    checks[what]["state"].as_str().unwrap()
}

#[test]
fn doctor_names_what_is_amiss_and_what_to_do() {
    let shop = Shop::new();
    let before = std::fs::read(shop.path("book/book.sqlite")).unwrap();
    let (checks, code) = looked(&shop, &[]);
    for what in ["versions", "settings", "book", "backup", "disk", "clock", "sound", "display"] {
        assert!(checks.contains_key(what), "{what}");
    }
    assert_eq!(code, Some(1), "no sound and no display are faults");
    assert_eq!(["sound", "display"].map(|what| state(&checks, what)), ["fault"; 2]);
    assert_eq!(state(&checks, "book"), "good");
    assert_eq!(state(&checks, "backup"), "good", "the shop made one: {}", checks["backup"]);
    for check in checks.values().filter(|check| check["state"] == "fault") {
        assert!(check["then"].is_string(), "each fault says what to do: {check}");
    }
    assert_eq!(std::fs::read(shop.path("book/book.sqlite")).unwrap(), before, "nothing is changed");
    let text = String::from_utf8(shop.run("doctor").stdout).unwrap();
    assert!(text.contains("What to do: ") && text.lines().count() >= 9, "{text}");
    // No record code stands in it: it may be sent to whoever helps.
    assert!(!text.contains("TM-0142"), "{text}");

    let (checks, _) = looked(&shop, &[("WAYLAND_DISPLAY", "wayland-none")]);
    assert!(checks["display"]["said"].as_str().unwrap().contains("nothing answers"));
    let (checks, _) = looked(&shop, &[("DISPLAY", ":4711")]);
    assert_eq!(state(&checks, "display"), "fault");
    std::fs::write(shop.path("settings.toml"), "version = [").unwrap();
    let (checks, _) =
        looked(&shop, &[("CUFFNOTE_SETTINGS", shop.path("settings.toml").to_str().unwrap())]);
    assert_ne!(state(&checks, "settings"), "good", "{}", checks["settings"]);
    let (checks, _) = looked(&shop, &[("CUFFNOTE_BOOK", shop.path("none").to_str().unwrap())]);
    assert_eq!(state(&checks, "book"), "note", "{}", checks["book"]);
    assert!(!shop.path("none").exists(), "no book is made by looking");
    // An emptied book beside its recordings.
    for ending in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(shop.path(&format!("book/book.sqlite{ending}")));
    }
    std::fs::write(shop.path("book/book.sqlite"), "").unwrap();
    let (checks, _) = looked(&shop, &[]);
    assert_eq!(state(&checks, "book"), "fault", "{}", checks["book"]);
}

/// One table of exit statuses, in help, in every manual page and in docs/files.md.
#[test]
fn the_exit_statuses_are_the_same_everywhere() {
    let page = include_str!("../../docs/files.md");
    let help = SHOP.done("--help");
    let shop = Shop::new();
    shop.done("man --out pages");
    let manual = std::fs::read_to_string(shop.path("pages/cuffnote-book-check.1")).unwrap();
    let plain = manual.replace("\\-", "-").replace("\\&", "");
    for (status, means) in cuffnote::cli::STATUS {
        assert!(page.contains(&format!("| {status} | {means} |")), "docs/files.md: {status}");
        assert!(help.contains(&format!("  {status}  {means}")), "--help: {status}: {help}");
        assert!(plain.contains(means), "{status}: {plain}");
    }
    // A page for each verb that is offered, and none for those that are hidden.
    let pages = std::fs::read_dir(shop.path("pages")).unwrap().count();
    assert!(pages > 30, "{pages}");
    assert!(shop.path("pages/cuffnote-book-take-over.1").exists());
    assert!(!shop.path("pages/cuffnote-book-make.1").exists(), "what is hidden stays so");
    assert_eq!(SHOP.done("man book check"), manual);
    assert!(manual.contains("cuffnote book check") && manual.contains(".SH EXAMPLES"));
    let said = String::from_utf8(SHOP.run("man lisen").stderr).unwrap();
    assert!(said.contains("there is no verb `lisen`"), "{said}");
    // groff finds nothing to complain of, where it is there.
    let groff = std::process::Command::new("groff")
        .args(["-man", "-Tutf8", "-ww", "-z"])
        .args(std::fs::read_dir(shop.path("pages")).unwrap().map(|page| page.unwrap().path()))
        .output();
    if let Ok(output) = groff {
        assert_eq!(String::from_utf8_lossy(&output.stderr), "");
    }
}
