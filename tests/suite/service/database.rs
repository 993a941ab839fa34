//! PostgreSQL, started by the test: what is gathered, when nothing is, and the audit's figures by SQL.

use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use cuffnote::clinical::event::Act;
use cuffnote::logbook::{Forget, Writer};
use postgres::{Client, NoTls};

use super::super::visits::ten;
use super::audit::{Told, counted, same};
use super::{Place, file, told};

/// A database server of its own in a folder of its own, on loopback.
pub struct Postgres {
    server: Child,
    pub url: String,
    _folder: tempfile::TempDir,
}

/// Where Debian puts the server's programs, the newest version first; else where a shell finds them.
fn bin(name: &str) -> PathBuf {
    let versions = std::fs::read_dir("/usr/lib/postgresql").into_iter().flatten().flatten();
    let mut all: Vec<PathBuf> = versions.map(|entry| entry.path().join("bin").join(name)).collect();
    all.retain(|path| path.is_file());
    all.sort();
    all.pop().unwrap_or_else(|| name.into())
}

/// The server refuses to run as root: there it runs as the user `nobody`.
fn as_user(program: &Path) -> Command {
    let id = Command::new("id").arg("-u").output().unwrap();
    if id.stdout != b"0\n" {
        return Command::new(program);
    }
    let mut command = Command::new("setpriv");
    command.args(["--reuid=nobody", "--regid=nogroup", "--clear-groups"]).arg(program);
    command
}

impl Postgres {
    pub fn start() -> Self {
        Self::with(&[])
    }

    /// One that speaks TLS with this certificate and key, and with nobody without it.
    pub fn encrypted(certificate: &Path, key: &Path) -> Self {
        Self::with(&[("server.pem", certificate), ("server.key", key)])
    }

    fn with(files: &[(&str, &Path)]) -> Self {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let data = folder.path().join("data");
        std::fs::create_dir(&data).unwrap();
        std::fs::write(folder.path().join("password"), "of-the-test\n").unwrap();
        for path in [folder.path(), &data] {
            std::fs::set_permissions(path, std::fs::Permissions::from_mode(0o755)).unwrap();
        }
        let _ = Command::new("chown").arg("-R").arg("nobody:nogroup").arg(folder.path()).output();
        let made = as_user(&bin("initdb"))
            .args(["-A", "scram-sha-256", "-U", "owner", "-E", "UTF8", "--locale=C"])
            .arg(format!("--pwfile={}", folder.path().join("password").display()))
            .arg("-D")
            .arg(&data)
            .current_dir("/")
            .output()
            .unwrap();
        assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
        for (name, from) in files {
            std::fs::copy(from, data.join(name)).unwrap();
            std::fs::set_permissions(data.join(name), std::fs::Permissions::from_mode(0o600))
                .unwrap();
        }
        let mut tls: &[&str] = &[];
        if !files.is_empty() {
            tls = &[
                "-c",
                "ssl=on",
                "-c",
                "ssl_cert_file=server.pem",
                "-c",
                "ssl_key_file=server.key",
            ];
            std::fs::write(data.join("pg_hba.conf"), "hostssl all all all scram-sha-256\n")
                .unwrap();
            let _ = Command::new("chown").arg("-R").arg("nobody:nogroup").arg(&data).output();
        }
        let port = std::net::TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().port();
        let server = as_user(&bin("postgres"))
            .args(["-D", data.to_str().unwrap(), "-p", &port.to_string(), "-c", "fsync=off"])
            .args(tls)
            .args(["-c", "listen_addresses=127.0.0.1", "-c"])
            .arg(format!("unix_socket_directories={}", folder.path().display()))
            .current_dir("/")
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let one = Self {
            server,
            url: format!("postgres://owner@127.0.0.1:{port}/postgres"),
            _folder: folder,
        };
        let begun = std::time::Instant::now();
        // With TLS it is there as soon as it refuses whoever comes without.
        let there = |fault: postgres::Error| {
            fault.to_string().contains("pg_hba.conf")
                || fault.as_db_error().is_some_and(|said| said.message().contains("pg_hba.conf"))
        };
        while Client::connect(&one.owner(), NoTls).err().is_some_and(|fault| !there(fault)) {
            assert!(begun.elapsed().as_secs() < 60, "the database did not start");
            std::thread::sleep(std::time::Duration::from_millis(100));
        }
        one
    }

    pub fn owner(&self) -> String {
        self.url.replace("owner@", "owner:of-the-test@")
    }

    pub fn client(&self) -> Client {
        Client::connect(&self.owner(), NoTls).unwrap()
    }

    /// Gathers; whether all went well, and everything that was said.
    pub fn gather(&self, place: &Place, words: &[&str]) -> (bool, String) {
        std::fs::write(place.path("password"), "of-the-test\n").unwrap();
        let settings = place.settings("version = 1\n[database]\npassword_file = \"password\"\n");
        let more = ["--to", &self.url, "--settings", settings.to_str().unwrap()];
        told(&place.service(&[&["gather"], words, &more].concat()))
    }
}

impl Drop for Postgres {
    fn drop(&mut self) {
        // A quick end; its own children go with it.
        let _ = Command::new("kill").args(["-INT", &self.server.id().to_string()]).output();
        let _ = self.server.wait();
    }
}

fn number(client: &mut Client, text: &str) -> i64 {
    client.query_one(text, &[]).unwrap().get(0)
}

fn all() -> Place {
    Place::of(&ten().into_iter().map(|(_, events)| events).collect::<Vec<_>>())
}

/// The rows of a query of docs/sql as text.
fn asked(client: &mut Client, path: &Path) -> Vec<Told> {
    let text = std::fs::read_to_string(path).unwrap();
    let rows = client.simple_query(&text).unwrap();
    let rows = rows.iter().filter_map(|row| match row {
        postgres::SimpleQueryMessage::Row(row) => Some(row),
        _ => None,
    });
    rows.map(|row| {
        let names: Vec<String> = row.columns().iter().map(|c| c.name().to_owned()).collect();
        let cells = (0..row.len()).map(|at| row.get(at).map(str::to_owned)).collect();
        Told::of(&names, cells)
    })
    .collect()
}

/// The files of docs/sql that count.
pub fn queries() -> Vec<PathBuf> {
    let entries = std::fs::read_dir(file("docs/sql")).unwrap();
    let mut all: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    all.retain(|path| path.extension().is_some_and(|e| e == "sql") && !path.ends_with("roles.sql"));
    all.sort();
    all
}

#[test]
fn what_the_audit_counts_sql_counts_too() {
    let (server, place) = (Postgres::start(), all());
    let (well, said) = server.gather(&place, &["--book", "Tidemill=book"]);
    assert!(well && said.contains("10 visits gathered"), "{said}");
    let mut client = server.client();
    assert_eq!(number(&mut client, "SELECT count(*) FROM cuffnote.leg"), 20);
    assert_eq!(
        number(&mut client, "SELECT count(*) FROM cuffnote.visit WHERE service = 'Tidemill'"),
        10
    );
    let found = queries().iter().flat_map(|path| asked(&mut client, path)).collect();
    same(found, counted(&place.book()));
    // Every column of the dictionary is there, of its type, with its meaning beside it.
    for (table, columns) in cuffnote::service::dictionary::TABLES {
        for column in columns {
            let text = "SELECT format_type(atttypid, atttypmod), col_description(attrelid, attnum) FROM pg_attribute
                WHERE attrelid = ('cuffnote.' || $1)::regclass AND attname = $2";
            let row = client.query_one(text, &[&table, &column.name]).unwrap();
            let (kind, meaning): (String, Option<String>) = (row.get(0), row.get(1));
            let wanted =
                if ["visit", "book"].contains(&column.name) { "uuid" } else { column.kind.sql() };
            assert_eq!(kind, wanted, "{table}.{}", column.name);
            assert!(meaning.unwrap().starts_with(column.meaning), "{table}.{}", column.name);
        }
    }
}

#[test]
fn only_what_came_since_is_gathered_and_deletions_are_followed() {
    let (server, place) = (Postgres::start(), all());
    let gather = || server.gather(&place, &["--book", "book"]);
    assert!(gather().0);
    let (well, said) = gather();
    assert!(well && said.contains("0 visits gathered"), "{said}");
    place.correct(2, 114.0);
    let (well, said) = gather();
    assert!(well && said.contains("1 visit gathered"), "{said}");
    let mut client = server.client();
    let abi = "SELECT count(*) FROM cuffnote.leg WHERE abi = 0.77";
    assert_eq!(number(&mut client, abi), 1);
    assert_eq!(
        number(&mut client, "SELECT count(*) FROM cuffnote.amendment WHERE why = 'misread'"),
        1
    );
    let id = place.ids()[0];
    Writer::open(&place.book())
        .unwrap()
        .forget(id, Forget::Visit, "op-7", "the patient's wish")
        .unwrap();
    let (well, said) = gather();
    assert!(well && said.contains("1 deleted"), "{said}");
    assert_eq!(number(&mut client, "SELECT count(*) FROM cuffnote.visit"), 9);
    assert_eq!(
        number(
            &mut client,
            "SELECT count(*) FROM cuffnote.attempt WHERE attempt > 0 AND visit NOT IN (SELECT visit FROM cuffnote.visit)"
        ),
        0
    );
}

/// Somebody measures while the figures are gathered: each visit goes in whole, and what comes meanwhile the next time.
#[test]
fn a_book_that_is_being_written_is_gathered_as_far_as_it_goes() {
    let (server, place) = (Postgres::start(), all());
    let writer = place.being_written(100);
    let mut runs = 0;
    while !writer.is_finished() {
        let (well, said) = server.gather(&place, &["--book", "book"]);
        assert!(well, "{said}");
        runs += 1;
    }
    writer.join().unwrap();
    assert!(runs > 1, "{runs}");
    assert!(server.gather(&place, &["--book", "book"]).0);
    let mut client = server.client();
    let there = number(&mut client, "SELECT count(*) FROM cuffnote.visit");
    assert_eq!(there, i64::try_from(place.ids().len()).unwrap());
    let legs = "SELECT count(*) FROM cuffnote.visit v WHERE (SELECT count(*) FROM cuffnote.leg l WHERE l.visit = v.visit) <> 2";
    assert_eq!(number(&mut client, legs), 0, "no half visit");
    let found = queries().iter().flat_map(|path| asked(&mut client, path)).collect();
    same(found, counted(&place.book()));
}

#[test]
fn a_chain_that_went_another_way_is_named_and_nothing_of_it_taken() {
    let (server, place) = (Postgres::start(), all());
    assert!(server.gather(&place, &["--book", "book"]).0);
    server.client().batch_execute("UPDATE cuffnote.chain SET head = repeat('0', 64)").unwrap();
    place.correct(2, 114.0);
    let (well, said) = server.gather(&place, &["--book", "book"]);
    assert!(!well && said.contains("is another one than before"), "{said}");
    assert_eq!(
        number(&mut server.client(), "SELECT count(*) FROM cuffnote.leg WHERE abi = 0.77"),
        0
    );
}

#[test]
fn each_fault_of_the_database_is_one_sentence_and_changes_nothing() {
    let (server, place) = (Postgres::start(), all());
    // Somebody damaged a visit: the others are gathered.
    let sql = "UPDATE entry SET body = replace(body, '148', '184') WHERE seq = (SELECT min(seq) FROM entry WHERE body LIKE '%148%')";
    rusqlite::Connection::open(place.book().join("book.sqlite"))
        .unwrap()
        .execute_batch(sql)
        .unwrap();
    let (well, said) = server.gather(&place, &["--book", "book"]);
    assert!(!well && said.contains("9 visits gathered, 1 skipped"), "{said}");
    // Read-only, newer, somebody else at work, no password, not there.
    let mut client = server.client();
    client.batch_execute("ALTER ROLE owner SET default_transaction_read_only = on").unwrap();
    place.add(Act::Note { who: "op-7".into(), words: "later".into() });
    let (well, said) = server.gather(&place, &["--book", "book"]);
    assert!(!well && said.contains("read-only transaction"), "{said}");
    client
        .batch_execute(
            "BEGIN READ WRITE; ALTER ROLE owner SET default_transaction_read_only = off; COMMIT",
        )
        .unwrap();
    client.batch_execute("INSERT INTO cuffnote.form (step) VALUES (99)").unwrap();
    let (well, said) = server.gather(&place, &["--book", "book"]);
    assert!(
        !well && said.contains("a newer program made this database's schema (step 99"),
        "{said}"
    );
    client.batch_execute("DELETE FROM cuffnote.form WHERE step = 99").unwrap();
    client.execute("SELECT pg_advisory_lock($1)", &[&0x0063_7566_666e_6f74_i64]).unwrap();
    let (well, said) = server.gather(&place, &["--book", "book"]);
    assert!(!well && said.contains("another run gathers"), "{said}");
    drop(client);
    let words = ["gather", "--book", "book", "--to", server.url.as_str()];
    let (well, said) = told(&place.service(&words));
    assert!(!well && said.contains("password"), "{said}");
    let secret = server.owner();
    let (well, said) = told(&place.service(&["gather", "--book", "book", "--to", &secret]));
    assert!(
        !well && said.contains("does not belong into its address") && !said.contains("of-the-test"),
        "{said}"
    );
    let nowhere = "postgres://owner@127.0.0.1:1/postgres";
    let (well, said) = told(&place.service(&["gather", "--book", "book", "--to", nowhere]));
    assert!(!well && said.contains("the database:") && said.lines().count() == 1, "{said}");
}

/// The database goes away in the middle of a visit's rows: one sentence, no half visit, and all of it the next time.
#[test]
fn a_database_that_goes_away_in_the_middle_holds_no_half_visit() {
    let (server, place) = (Postgres::start(), Place::plain());
    assert!(server.gather(&place, &["--book", "book"]).0);
    let mut client = server.client();
    let gone = "CREATE FUNCTION gone() RETURNS trigger LANGUAGE plpgsql AS
        'BEGIN PERFORM pg_terminate_backend(pg_backend_pid()); RETURN NULL; END';
        CREATE TRIGGER gone BEFORE INSERT ON cuffnote.attempt FOR EACH STATEMENT EXECUTE FUNCTION gone()";
    client.batch_execute(gone).unwrap();
    place.correct(2, 114.0);
    let (well, said) = server.gather(&place, &["--book", "book"]);
    assert!(!well && said.contains("the database:") && said.lines().count() == 1, "{said}");
    let abi = "SELECT count(*) FROM cuffnote.leg WHERE abi = 0.77";
    let attempts = "SELECT count(*) FROM cuffnote.attempt";
    assert_eq!((number(&mut client, abi), number(&mut client, attempts)), (0, 6));
    client.batch_execute("DROP TRIGGER gone ON cuffnote.attempt").unwrap();
    let (well, said) = server.gather(&place, &["--book", "book"]);
    assert!(well && said.contains("1 visit gathered"), "{said}");
    assert_eq!((number(&mut client, abi), number(&mut client, attempts)), (1, 6));
}

#[test]
fn a_shared_folder_is_gathered_and_nothing_is_left_in_it() {
    let (server, place) = (Postgres::start(), all());
    let shared = place.path("shared");
    std::fs::create_dir(&shared).unwrap();
    let sharing = cuffnote::logbook::Sharing { clinic: Some("tidemill".into()), all: false };
    Writer::open(&place.book()).unwrap().sync_as(&shared, &sharing).unwrap();
    let names = || {
        let mut all = Vec::new();
        let mut folders = vec![shared.clone()];
        while let Some(folder) = folders.pop() {
            for path in std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()) {
                if path.is_dir() { folders.push(path) } else { all.push(path) }
            }
        }
        all.sort();
        all
    };
    let before = names();
    let words = ["--shared", "shared", "--work", "work"];
    let (well, said) = server.gather(&place, &words);
    assert!(well && said.contains("10 visits gathered"), "{said}");
    assert_eq!(before, names());
    let mut client = server.client();
    assert_eq!(
        number(&mut client, "SELECT count(*) FROM cuffnote.visit WHERE service = 'tidemill'"),
        10
    );
    assert!(server.gather(&place, &words).1.contains("0 visits gathered"));
}

#[test]
fn the_roles_of_the_example_gather_and_read() {
    let (server, place) = (Postgres::start(), all());
    let mut client = server.client();
    client.batch_execute(&std::fs::read_to_string(file("docs/sql/roles.sql")).unwrap()).unwrap();
    client.batch_execute("ALTER ROLE cuffnote_writer PASSWORD 'of-the-test'; ALTER ROLE cuffnote_reader PASSWORD 'of-the-test'").unwrap();
    std::fs::write(place.path("password"), "of-the-test\n").unwrap();
    let settings = place.settings("version = 1\n[database]\npassword_file = \"password\"\n");
    let by = |role: &str| {
        let url = server.url.replace("owner", role);
        let words =
            ["gather", "--book", "book", "--to", &url, "--settings", settings.to_str().unwrap()];
        told(&place.service(&words))
    };
    let (well, said) = by("cuffnote_writer");
    assert!(well && said.contains("10 visits gathered"), "{said}");
    let reader = server.owner().replace("owner:", "cuffnote_reader:");
    let mut reader = Client::connect(&reader, NoTls).unwrap();
    assert_eq!(number(&mut reader, "SELECT count(*) FROM cuffnote.visit"), 10);
    assert!(reader.batch_execute("DELETE FROM cuffnote.visit").is_err());
    place.correct(2, 114.0);
    let (well, said) = by("cuffnote_reader");
    assert!(!well && said.contains("permission denied"), "{said}");
}
