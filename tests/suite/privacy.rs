//! What is kept stays here: no code that talks to a network, no socket to one, and every file for its owner alone.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Crates that speak to networks, or bring what does.
const NETWORK: &[&str] = &[
    "ureq",
    "rustls",
    "hyper",
    "reqwest",
    "tokio",
    "native-tls",
    "openssl",
    "openssl-sys",
    "curl",
    "curl-sys",
    "socket2",
    "quinn",
    "h2",
    "http",
    "isahc",
    "surf",
    "tungstenite",
    "async-net",
    "webbrowser",
    "webpki-roots",
    "hickory-resolver",
    "trust-dns-resolver",
];

/// The crates that are built into the program with these features, for one platform.
fn built_in(more: &[&str]) -> Vec<String> {
    let mut cargo = Command::new(env!("CARGO"));
    cargo.current_dir(env!("CARGO_MANIFEST_DIR"));
    cargo.args(["tree", "--locked", "--offline", "-e", "normal", "--prefix", "none"]).args(more);
    let said = cargo.output().unwrap();
    assert!(said.status.success(), "{}", String::from_utf8_lossy(&said.stderr));
    let name = |line: &str| line.split(' ').next().unwrap().to_owned();
    String::from_utf8(said.stdout).unwrap().lines().map(name).collect()
}

#[test]
fn no_crate_of_the_default_build_talks_to_a_network() {
    let found = built_in(&[]);
    assert!(found.len() > 200 && found.iter().any(|name| name == "zbus"), "{}", found.len());
    let bad: Vec<&String> = found.iter().filter(|name| NETWORK.contains(&name.as_str())).collect();
    assert!(bad.is_empty(), "{bad:?}");
}

#[test]
fn the_reader_of_the_tree_sees_the_one_feature_that_sends() {
    let found = built_in(&["--features", "service"]);
    assert!(found.iter().any(|name| name == "ureq"), "{}", found.len());
}

#[test]
fn no_file_names_the_network_but_those_of_the_second_program() {
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src")];
    let mut seen = 0;
    while let Some(folder) = folders.pop() {
        for path in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if path.is_dir() {
                folders.extend((!path.ends_with("src/service")).then_some(path));
            } else if path.extension().is_some_and(|e| e == "rs") {
                let text = fs::read_to_string(&path).unwrap();
                for word in
                    ["std::net", "TcpStream", "UdpSocket", "ureq::", "postgres::", "rustls::"]
                {
                    assert!(!text.contains(word), "{}: {word}", path.display());
                }
                seen += 1;
            }
        }
    }
    assert!(seen > 100);
}

/// The program in a home of its own, under a shell's `umask 0`: nothing but the program itself keeps others out.
struct Home(tempfile::TempDir);

impl Home {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// Runs words after `before`, which may be `exec` or a tracer.
    fn run(&self, before: &str, words: &[&str]) -> Output {
        let program = assert_cmd::cargo::cargo_bin("cuffnote");
        let mut shell = Command::new("sh");
        shell.args(["-c", &format!("umask 0; {before} \"$0\" \"$@\"")]).arg(program).args(words);
        shell.current_dir(self.0.path()).env_clear().env("HOME", self.path("home"));
        shell.env("PATH", std::env::var_os("PATH").unwrap_or_default());
        for name in ["SETTINGS", "LOG_DIR", "BOOK"] {
            let path = self.path("kept").join(name.to_lowercase());
            shell.env(format!("CUFFNOTE_{name}"), path);
        }
        shell.output().unwrap()
    }

    fn done(&self, before: &str, words: &[&str]) {
        let said = self.run(before, words);
        assert!(said.status.success(), "{words:?}: {}", String::from_utf8_lossy(&said.stderr));
    }

    /// A day's work: the demo with its book, reports, a table, an import, a backup, sound.
    fn day(&self, before: &str) {
        self.done(before, &["demo", "--out", "out"]);
        let visit = "out/visit.json";
        for out in ["report.pdf", "report.html", "bundle.fhir.json", "visits.csv"] {
            self.done(before, &["report", visit, "--out", out]);
        }
        self.done(before, &["import", "visits.csv", "--out", "taken"]);
        fs::write(self.path("secret"), "horse battery staple").unwrap();
        let book = ["book", "backup", "backup.age", "--book", "out/book"];
        self.done(before, &[&book[..], &["--passphrase-file", "secret"]].concat());
        self.done(before, &["book", "check", "--book", "out/book"]);
        self.done(
            before,
            &["book", "export", "--book", "out/book", "--format", "fhir", "--out", "bundles"],
        );
        self.done(before, &["audit", visit, "--out", "audit.html"]);
        self.done(before, &["make", "plain", "--seed", "1", "--out", "plain.wav"]);
        self.done(before, &["rehear", "plain.wav", "--slow", "slow.wav"]);
        self.done(before, &["listen", "plain.wav"]);
        self.done(before, &["overread", "prepare", "plain.wav", "--out", "blind"]);
    }
}

/// All files and folders below this one.
fn below(folder: &Path) -> Vec<PathBuf> {
    let (mut folders, mut found) = (vec![folder.to_owned()], Vec::new());
    while let Some(folder) = folders.pop() {
        for path in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if path.is_dir() {
                folders.push(path.clone());
            }
            found.push(path);
        }
    }
    found
}

/// Demands that everything below this folder is for its owner alone, but for what was put there with these names; gives
/// the names of what was seen. It can only fail where the process's umask lets others in, so it looks for that first.
pub fn owner_alone(folder: &Path, put_there: &[&str]) -> Vec<String> {
    let mode = |path: &Path| {
        use std::os::unix::fs::PermissionsExt;
        fs::metadata(path).unwrap().permissions().mode() & 0o7777
    };
    let open = tempfile::tempdir().unwrap();
    fs::write(open.path().join("any"), "").unwrap();
    assert_ne!(mode(&open.path().join("any")) & 0o077, 0, "run the tests with `umask 022`");
    let mut seen = Vec::new();
    for path in below(folder) {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if !put_there.contains(&name.as_str()) {
            assert_eq!(mode(&path) & 0o077, 0, "{} has mode {:o}", path.display(), mode(&path));
            assert!(!name.ends_with(".part"), "{name} was left behind");
            seen.push(name);
        }
    }
    seen
}

#[cfg(unix)]
#[test]
fn every_file_and_folder_is_for_its_owner_alone_and_no_secret_or_name_is_logged() {
    let home = Home::new();
    home.day("exec");
    let seen = owner_alone(home.0.path(), &["secret"]);
    assert!(seen.len() > 30, "{seen:?}");
    let log = fs::read_to_string(home.path("kept/log_dir/cuffnote.log")).unwrap();
    assert!(log.lines().count() >= 12, "{log}");
    for word in ["horse", "secret", "plain.wav", "visit.json"] {
        assert!(!log.contains(word), "{word}: {log}");
    }
}

/// A passphrase or token is never a word of a command, which every user of a computer can list: only its file is.
#[test]
fn no_command_takes_a_secret_as_a_word() {
    let home = Home::new();
    let verbs = [&["book", "backup"][..], &["book", "restore"], &["book", "merge"]];
    for verb in verbs {
        let said = home.run("exec", &[verb, &["--help"]].concat());
        let text = String::from_utf8(said.stdout).unwrap();
        let secret = |line: &&str| line.contains("--passphrase") || line.contains("--token");
        let lines: Vec<&str> = text.lines().filter(secret).collect();
        assert!(!lines.is_empty(), "{verb:?}: {text}");
        assert!(lines.iter().all(|line| line.contains("-file <FILE>")), "{lines:?}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn no_internet_socket_is_opened() {
    let traces = Command::new("strace").args(["-o", "/dev/null", "true"]).output();
    if !traces.is_ok_and(|said| said.status.success()) {
        println!("skipped: strace is not here or may not attach; tests/run installs it");
        return;
    }
    let home = Home::new();
    let trace = "strace -f -qq -e trace=%network,execve -A -o trace";
    home.day(trace);
    // Looks for the sound server on its local socket; where there is none it fails, and the trace counts.
    home.run(trace, &["devices"]);
    let text = fs::read_to_string(home.path("trace")).unwrap();
    assert!(text.matches("execve(").count() >= 12, "{text}");
    let net = |line: &&str| line.contains("AF_INET") || line.contains("AF_NETLINK");
    let found: Vec<&str> = text.lines().filter(net).collect();
    assert!(found.is_empty(), "{found:?}");
}
