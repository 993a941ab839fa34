//! The system around is the real one: a report is shown through `xdg-open` with a viewer of the test's own, and printed
//! through a CUPS server of the test's own. This test binary runs itself, so that each has its own environment.

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use cuffnote::window::outside::{Deed, system};

const FILE: &str = "CUFFNOTE_TEST_OUTSIDE_FILE";
const PRINT: &str = "CUFFNOTE_TEST_OUTSIDE_PRINT";

/// Only ever run by the tests below, as a program of its own.
#[test]
#[ignore = "asks the system around; run by the tests beside it"]
fn asks_the_system() {
    let path = std::env::var(FILE).expect("the tests beside this one name a file");
    let deed = if std::env::var_os(PRINT).is_some() { Deed::Print } else { Deed::Show };
    if let Err(fault) = system(deed, Path::new(&path)) {
        println!("REFUSED: {}", fault.said(cuffnote::words::Words::english()));
    }
}

/// Runs that program on this file; gives what it printed.
fn asked(file: &Path, with: &[(&str, &str)]) -> String {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command.args(["--ignored", "--exact", "outside::asks_the_system", "--nocapture"]);
    command.env(FILE, file).envs(with.iter().copied());
    let done = command.output().unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8_lossy(&done.stdout).into_owned()
}

fn until(what: &str, mut there: impl FnMut() -> bool) {
    let begun = Instant::now();
    while !there() {
        assert!(begun.elapsed() < Duration::from_secs(30), "{what} did not come");
        std::thread::sleep(Duration::from_millis(50));
    }
}

fn report(folder: &Path) -> std::path::PathBuf {
    let path = folder.join("A1 -report's.pdf");
    std::fs::write(&path, b"%PDF-1.7 a report").unwrap();
    path
}

#[test]
fn a_report_is_shown_in_the_viewer_that_the_system_names() {
    let home = tempfile::tempdir().unwrap();
    let (file, shown) = (report(home.path()), home.path().join("shown"));
    let applications = home.path().join("applications");
    std::fs::create_dir(&applications).unwrap();
    let viewer = home.path().join("viewer");
    std::fs::write(&viewer, format!("#!/bin/sh\nprintf %s \"$1\" > {}\n", shown.display()))
        .unwrap();
    let mode = std::os::unix::fs::PermissionsExt::from_mode(0o755);
    std::fs::set_permissions(&viewer, mode).unwrap();
    let entry = format!(
        "[Desktop Entry]\nType=Application\nName=Viewer\nExec={} %f\nMimeType=application/pdf;\n",
        viewer.display()
    );
    std::fs::write(applications.join("viewer.desktop"), entry).unwrap();
    let opens = "[Default Applications]\napplication/pdf=viewer.desktop\n";
    std::fs::write(applications.join("mimeapps.list"), opens).unwrap();
    let place = home.path().to_str().unwrap();
    let with = [
        ("HOME", place),
        ("XDG_DATA_HOME", place),
        ("XDG_CONFIG_HOME", place),
        ("DISPLAY", ":77"),
        ("XDG_CURRENT_DESKTOP", "none"),
    ];
    let said = asked(&file, &with);
    assert!(!said.contains("REFUSED"), "{said}");
    until("the viewer", || std::fs::read_to_string(&shown).is_ok_and(|of| !of.is_empty()));
    assert_eq!(std::fs::read_to_string(&shown).unwrap(), file.to_str().unwrap());
}

/// A CUPS server of its own; it ends with this.
struct Printers {
    server: Child,
    folder: tempfile::TempDir,
}

impl Printers {
    fn start() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path().display();
        let rules = "<Location />\nAllow all\n</Location>\n<Policy default>\n<Limit All>\nAllow all\n</Limit>\n</Policy>\n";
        let conf = format!("Listen {at}/socket\nDefaultAuthType None\nWebInterface No\n{rules}");
        let mut files = format!("ServerRoot {at}\nFileDevice Yes\nSystemGroup root\n");
        for (key, name) in [
            ("RequestRoot", "spool"),
            ("CacheDir", "cache"),
            ("StateDir", "state"),
            ("TempDir", "temporary"),
        ] {
            std::fs::create_dir(folder.path().join(name)).unwrap();
            files += &format!("{key} {at}/{name}\n");
        }
        for log in ["AccessLog", "ErrorLog", "PageLog"] {
            files += &format!("{log} {at}/{log}\n");
        }
        std::fs::write(folder.path().join("cupsd.conf"), conf).unwrap();
        std::fs::write(folder.path().join("cups-files.conf"), files).unwrap();
        let server = Command::new("/usr/sbin/cupsd")
            .args(["-f", "-c"])
            .arg(folder.path().join("cupsd.conf"))
            .arg("-s")
            .arg(folder.path().join("cups-files.conf"))
            .stderr(Stdio::null())
            .spawn()
            .expect("cupsd is installed by tests/run");
        let printers = Self { server, folder };
        until("the print server", || {
            let words = ["-p", "paper", "-v", "file:/dev/null", "-m", "raw", "-E"];
            let done = Command::new("/usr/sbin/lpadmin")
                .args(words)
                .env("CUPS_SERVER", printers.socket())
                .output();
            done.is_ok_and(|done| done.status.success())
        });
        printers
    }

    fn socket(&self) -> String {
        self.folder.path().join("socket").display().to_string()
    }

    /// What the server was given to print.
    fn given(&self) -> Vec<Vec<u8>> {
        let files = std::fs::read_dir(self.folder.path().join("spool")).unwrap();
        let documents = files.map(|f| f.unwrap().path()).filter(|path| {
            path.file_name().is_some_and(|name| name.to_string_lossy().starts_with('d'))
        });
        documents.map(|path| std::fs::read(path).unwrap()).collect()
    }
}

impl Drop for Printers {
    fn drop(&mut self) {
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}

#[test]
fn a_report_is_printed_by_the_systems_print_server() {
    let printers = Printers::start();
    let file = report(printers.folder.path());
    let socket = printers.socket();
    let with = [("CUPS_SERVER", socket.as_str()), ("PRINTER", "paper"), (PRINT, "yes")];
    let said = asked(&file, &with);
    assert!(!said.contains("REFUSED"), "{said}");
    until("the document", || printers.given() == [std::fs::read(&file).unwrap()]);
}

#[test]
fn a_system_that_neither_shows_nor_prints_says_what_to_do() {
    let home = tempfile::tempdir().unwrap();
    let file = report(home.path());
    let nothing = home.path().to_str().unwrap();
    let said = asked(&file, &[("PATH", nothing), (PRINT, "yes")]);
    assert!(said.contains("This system has no command for printing: open"), "{said}");
    assert!(said.contains("and print it from there"), "{said}");
    let said = asked(&file, &[("PATH", nothing)]);
    assert!(
        said.contains("This system does not open") && said.contains("open it yourself"),
        "{said}"
    );
    // A print server that is not there.
    let gone = home.path().join("no-socket").display().to_string();
    let said = asked(&file, &[("CUPS_SERVER", &gone), (PRINT, "yes")]);
    assert!(said.contains("REFUSED: This system does not print"), "{said}");
}
