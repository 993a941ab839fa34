//! What a hand can alter in a book's file with an SQLite shell, and who finds it: the table of docs/book.md.

use std::path::Path;

use cuffnote::logbook::{Book, Keeper, Writer};
use rusqlite::{Connection, params};
use sha2::{Digest, Sha256};

use super::book_faults::small;
use super::laptops::Chance;

/// One alteration.
pub struct Case {
    /// What is altered, as the table of docs/book.md names it.
    pub what: &'static str,
    /// How.
    how: How,
    /// Found without a printed head too.
    pub alone: bool,
}

enum How {
    /// By an SQL text; `:e` stands for an event's rowid, `:f` for another event's of the same visit.
    Sql(&'static str),
    /// A text is changed, and every hash of its chain after it worked out anew.
    Anew,
    /// A chain that was taken in is changed and worked out anew.
    AnewOther,
    /// The last entries of the own chain are taken away, with their rows.
    Tail,
}

const fn sql(what: &'static str, text: &'static str) -> Case {
    Case { what, how: How::Sql(text), alone: true }
}

/// Every alteration that is tried.
pub const CASES: &[Case] = &[
    sql(
        "a pressure in a sealed text",
        "UPDATE entry SET body = replace(body, '\"act\"', ' \"act\"') WHERE no = :e",
    ),
    sql("a salt", "UPDATE entry SET salt = randomblob(16) WHERE no = :e"),
    sql(
        "a text and its salt taken away",
        "UPDATE entry SET body = NULL, salt = NULL WHERE no = :e",
    ),
    sql("a text alone taken away", "UPDATE entry SET body = NULL WHERE no = :e"),
    sql("the number of an event", "UPDATE entry SET n = n + 1 WHERE no = :e"),
    sql("the number of an event taken away", "UPDATE entry SET n = NULL WHERE no = :e"),
    sql(
        "the numbers of two events swapped",
        "UPDATE entry SET n = CASE no WHEN :e THEN (SELECT n FROM entry WHERE no = :f) ELSE (SELECT n FROM entry WHERE no = :e) END WHERE no IN (:e, :f)",
    ),
    sql("the place of an entry in its chain", "UPDATE entry SET seq = seq + 1000000 WHERE no = :e"),
    sql(
        "the chain of an entry",
        "INSERT INTO line (id, own) VALUES (randomblob(16), 0); UPDATE entry SET line = (SELECT max(no) FROM line) WHERE no = :e",
    ),
    sql("the kind of an entry", "UPDATE entry SET kind = 2 WHERE no = :e"),
    sql(
        "the kind of an entry, to one that only a newer program could know",
        "UPDATE entry SET kind = 9 WHERE no = :e",
    ),
    sql("the visit of an entry", "UPDATE entry SET visit = randomblob(16) WHERE no = :e"),
    sql("the visit of an entry taken away", "UPDATE entry SET visit = NULL WHERE no = :e"),
    sql("a hash", "UPDATE entry SET hash = randomblob(32) WHERE no = :e"),
    sql("the hash before", "UPDATE entry SET prev = randomblob(32) WHERE no = :e"),
    sql("the hash of a text", "UPDATE entry SET sealed = randomblob(32) WHERE no = :e"),
    sql("an entry taken away from the middle", "DELETE FROM entry WHERE no = :e"),
    sql(
        "an entry put in at the end",
        "INSERT INTO entry (line, seq, prev, hash, kind, visit, n, sealed, salt, body) SELECT line, (SELECT max(seq) + 1 FROM entry AS o WHERE o.line = entry.line), hash, randomblob(32), kind, visit, n, sealed, salt, body FROM entry WHERE no = :e",
    ),
    sql(
        "a chain's id",
        "UPDATE line SET id = randomblob(16) WHERE no = (SELECT line FROM entry WHERE no = :e)",
    ),
    sql(
        "whether this book wrote a chain",
        "UPDATE line SET own = 1 - own WHERE no = (SELECT line FROM entry WHERE no = :e)",
    ),
    sql("which chain is the book's own, taken away", "DELETE FROM book"),
    sql("the place of the book", "UPDATE book SET place = 'elsewhere'"),
    sql("a record's code in the list", "UPDATE visit SET record = record || 'x'"),
    sql("an operator in the list", "UPDATE visit SET operator = operator || 'x'"),
    sql("the opening in the list", "UPDATE visit SET opened = '2001-01-01T00:00:00Z'"),
    sql("the sorted time in the list", "UPDATE visit SET at_ms = at_ms + 86400000"),
    sql("the last act in the list", "UPDATE visit SET last = '2001-01-01T00:00:00Z'"),
    sql("the number of events in the list", "UPDATE visit SET events = events + 1"),
    sql("closed or not in the list", "UPDATE visit SET closed = 1 - closed"),
    sql("the next test in the list", "UPDATE visit SET due = '2031-01-01'"),
    sql(
        "a row of the list taken away",
        "DELETE FROM visit WHERE id = (SELECT visit FROM entry WHERE no = :e)",
    ),
    sql(
        "a row put into the list",
        "INSERT INTO visit SELECT randomblob(16), record, operator, reason, opened, at_ms, last, events, closed, due FROM visit LIMIT 1",
    ),
    sql(
        "a trigger put in",
        "CREATE TRIGGER quiet AFTER INSERT ON entry BEGIN DELETE FROM visit; END",
    ),
    sql("a view put in", "CREATE VIEW other AS SELECT * FROM visit"),
    sql("an index taken away", "DROP INDEX visit_record"),
    Case { what: "a text, and its whole chain worked out anew", how: How::Anew, alone: false },
    Case { what: "a chain that was taken in, worked out anew", how: How::AnewOther, alone: true },
    Case {
        what: "the last entries of the own chain, with their rows",
        how: How::Tail,
        alone: false,
    },
];

/// Makes one alteration by chance; says which. None where the book holds nothing that it could touch.
pub fn alter(folder: &Path, chance: &mut Chance) -> Option<String> {
    let case = &CASES[chance.below(CASES.len() as u32) as usize];
    make(folder, case, chance).then(|| case.what.to_owned())
}

/// Makes this alteration; false where the book holds nothing that it could touch.
pub fn make(folder: &Path, case: &Case, chance: &mut Chance) -> bool {
    let db = Connection::open(folder.join("book.sqlite")).unwrap();
    db.pragma_update(None, "foreign_keys", false).unwrap();
    let done = match case.how {
        How::Sql(text) => by_sql(&db, text, chance),
        How::Anew => anew(&db, true, chance),
        How::AnewOther => anew(&db, false, chance),
        How::Tail => tail(&db),
    };
    db.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(())).unwrap();
    done
}

fn rows(db: &Connection, text: &str) -> Vec<i64> {
    let mut query = db.prepare(text).unwrap();
    query.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect()
}

fn pick(rows: &[i64], chance: &mut Chance) -> Option<i64> {
    (!rows.is_empty()).then(|| rows[chance.below(rows.len() as u32) as usize])
}

fn by_sql(db: &Connection, text: &str, chance: &mut Chance) -> bool {
    let middle = "SELECT no FROM entry WHERE kind = 1 AND body IS NOT NULL
        AND EXISTS (SELECT 1 FROM entry AS o WHERE o.line = entry.line AND o.seq > entry.seq)
        AND EXISTS (SELECT 1 FROM entry AS o WHERE o.visit = entry.visit AND o.kind = 1 AND o.no <> entry.no) ORDER BY no";
    let touches = text.contains(":e");
    let event = pick(&rows(db, middle), chance);
    let visits = "SELECT count(*) FROM visit WHERE at_ms > 0";
    let listed: i64 = db.query_row(visits, [], |row| row.get(0)).unwrap();
    let Some(event) = event.or((!touches).then_some(0)) else { return false };
    if listed == 0 && text.contains("visit") {
        return false;
    }
    let other = format!(
        "SELECT o.no FROM entry, entry AS o WHERE entry.no = {event} AND o.visit = entry.visit AND o.kind = 1 AND o.n <> entry.n"
    );
    let other = pick(&rows(db, &other), chance);
    if text.contains(":f") && other.is_none() {
        return false;
    }
    let text = text.replace(":e", &event.to_string());
    let text = text.replace(":f", &other.unwrap_or_default().to_string());
    let before: i64 = db.query_row("SELECT total_changes()", [], |row| row.get(0)).unwrap();
    db.execute_batch(&text).unwrap();
    let after: i64 = db.query_row("SELECT total_changes()", [], |row| row.get(0)).unwrap();
    let schema = text.starts_with("CREATE") || text.starts_with("DROP");
    schema || after > before
}

/// Changes a text and works the rest of its chain out anew, as the description in docs/book.md has it.
fn anew(db: &Connection, own: bool, chance: &mut Chance) -> bool {
    // A chain that was taken in: one of which a meeting of the own chain tells.
    let lines = if own {
        "SELECT line FROM book".to_owned()
    } else {
        "SELECT no FROM line WHERE no NOT IN (SELECT line FROM book) AND own = 0
            AND EXISTS (SELECT 1 FROM entry WHERE entry.line = line.no AND kind = 1 AND body IS NOT NULL)".to_owned()
    };
    let Some(line) = pick(&rows(db, &lines), chance) else { return false };
    let events = format!(
        "SELECT seq FROM entry WHERE line = {line} AND kind = 1 AND body IS NOT NULL ORDER BY seq"
    );
    let Some(from) = pick(&rows(db, &events), chance) else { return false };
    if !own && !is_sealed(db, line, from) {
        return false;
    }
    db.execute(
        "UPDATE entry SET body = replace(body, '\"act\"', ' \"act\"') WHERE line = ?1 AND seq = ?2",
        params![line, from],
    )
    .unwrap();
    let id: [u8; 16] =
        db.query_row("SELECT id FROM line WHERE no = ?1", [line], |row| row.get(0)).unwrap();
    let mut query = db.prepare("SELECT no, seq, prev, kind, visit, sealed, salt, body FROM entry WHERE line = ?1 AND seq >= ?2 ORDER BY seq").unwrap();
    type Row =
        (i64, i64, [u8; 32], i64, Option<[u8; 16]>, [u8; 32], Option<Vec<u8>>, Option<String>);
    let read = |row: &rusqlite::Row<'_>| -> rusqlite::Result<Row> {
        Ok((
            row.get(0)?,
            row.get(1)?,
            row.get(2)?,
            row.get(3)?,
            row.get(4)?,
            row.get(5)?,
            row.get(6)?,
            row.get(7)?,
        ))
    };
    let rows: Vec<Row> =
        query.query_map(params![line, from], read).unwrap().map(Result::unwrap).collect();
    let mut prev = rows[0].2;
    for (no, seq, _, kind, visit, sealed, salt, body) in rows {
        let sealed = match (&salt, &body) {
            (Some(salt), Some(body)) => {
                Sha256::new().chain_update(salt).chain_update(body).finalize().into()
            }
            _ => sealed,
        };
        let hash: [u8; 32] = Sha256::new()
            .chain_update(b"cuffnote entry 1\n")
            .chain_update(id)
            .chain_update((seq as u64).to_be_bytes())
            .chain_update(prev)
            .chain_update([kind as u8])
            .chain_update(visit.unwrap_or_default())
            .chain_update(sealed)
            .finalize()
            .into();
        db.execute(
            "UPDATE entry SET prev = ?2, hash = ?3, sealed = ?4 WHERE no = ?1",
            params![no, prev, hash, sealed],
        )
        .unwrap();
        prev = hash;
    }
    true
}

/// Whether the own chain sealed a head of this line at or after this entry.
fn is_sealed(db: &Connection, line: i64, seq: i64) -> bool {
    let id: [u8; 16] =
        db.query_row("SELECT id FROM line WHERE no = ?1", [line], |row| row.get(0)).unwrap();
    let id = uuid::Uuid::from_bytes(id).to_string();
    let mut query = db.prepare("SELECT body FROM entry WHERE kind = 4 AND line IN (SELECT line FROM book) AND body IS NOT NULL").unwrap();
    let bodies = query.query_map([], |row| row.get::<_, String>(0)).unwrap();
    bodies.map(Result::unwrap).any(|body| {
        let body: serde_json::Value = serde_json::from_str(&body).unwrap();
        let lines = body["lines"].as_array().cloned().unwrap_or_default();
        lines
            .iter()
            .any(|told| told["line"] == id.as_str() && told["entries"].as_i64() >= Some(seq))
    })
}

/// Takes the last visit of the own chain away, from its first entry to the end, with the rows that go with it.
fn tail(db: &Connection) -> bool {
    let last = "SELECT max(seq) FROM entry WHERE line IN (SELECT line FROM book)";
    let last: Option<i64> = db.query_row(last, [], |row| row.get(0)).unwrap();
    let first = "SELECT min(seq) FROM entry WHERE line IN (SELECT line FROM book)
        AND (seq = ?1 OR visit = (SELECT visit FROM entry AS o WHERE o.line = entry.line AND o.seq = ?1))";
    let first: Option<i64> = db.query_row(first, [last], |row| row.get(0)).unwrap();
    let Some(from) = first.filter(|from| *from > 1) else { return false };
    db.execute("DELETE FROM entry WHERE line IN (SELECT line FROM book) AND seq >= ?1", [from])
        .unwrap();
    let rows =
        "DELETE FROM visit WHERE NOT EXISTS (SELECT 1 FROM entry WHERE entry.visit = visit.id)";
    db.execute(rows, []).unwrap();
    true
}

/// Appends an entry to a book's own chain as a hand could that knows the form.
pub fn append(folder: &Path, kind: u8, visit: Option<uuid::Uuid>, body: &str) {
    let db = Connection::open(folder.join("book.sqlite")).unwrap();
    let last = "SELECT entry.line, line.id, entry.seq, entry.hash FROM entry JOIN line ON line.no = entry.line
        WHERE entry.line IN (SELECT line FROM book) ORDER BY seq DESC LIMIT 1";
    let read = |row: &rusqlite::Row<'_>| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?));
    let (line, id, seq, prev): (i64, [u8; 16], i64, [u8; 32]) =
        db.query_row(last, [], read).unwrap();
    let n: Option<i64> = serde_json::from_str::<serde_json::Value>(body).unwrap()["n"].as_i64();
    let salt = [7u8; 16];
    let sealed: [u8; 32] = Sha256::new().chain_update(salt).chain_update(body).finalize().into();
    let hash: [u8; 32] = Sha256::new()
        .chain_update(b"cuffnote entry 1\n")
        .chain_update(id)
        .chain_update((seq as u64 + 1).to_be_bytes())
        .chain_update(prev)
        .chain_update([kind])
        .chain_update(visit.unwrap_or_default().as_bytes())
        .chain_update(sealed)
        .finalize()
        .into();
    db.execute(
        "INSERT INTO entry (line, seq, prev, hash, kind, visit, n, sealed, salt, body) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
        params![line, seq + 1, prev, hash, kind, visit.map(|v| *v.as_bytes()), n, sealed, salt, body],
    )
    .unwrap();
}

/// A book that met another one: closed visits of both, and one that both amended.
fn met(place: &Path) -> std::path::PathBuf {
    let (own, other) = (place.join("own"), place.join("other"));
    small(&other, 2);
    small(&own, 2);
    let mut writer = Writer::open(&own).unwrap();
    writer.merge(&other).unwrap();
    drop(writer);
    // One more visit after the meeting.
    let keeper = Keeper::start(&own).unwrap();
    let visit = keeper.begin();
    let acts = super::book::visit_of("TM-9", vec![cuffnote::clinical::event::Act::VisitClosed]);
    super::book::wait_for(&keeper, super::book::keep_all(&keeper, visit, &acts));
    keeper.finish().unwrap();
    own
}

#[test]
fn every_alteration_is_found_with_the_printed_head_and_the_table_says_which_without() {
    let mut chance = Chance(11);
    let page = include_str!("../../docs/book.md");
    for case in CASES {
        let place = tempfile::tempdir().unwrap();
        let own = met(place.path());
        let head = Book::open(&own).unwrap().book.head().unwrap().hash;
        assert_eq!(Book::open(&own).unwrap().book.check(&[]).unwrap().damage, []);
        assert!(make(&own, case, &mut chance), "{}: nothing to alter", case.what);
        let found = |heads: &[String]| {
            let book = Book::open_as_it_lies(&own);
            book.and_then(|o| o.book.check(heads))
                .map_or(true, |checked| !checked.damage.is_empty())
        };
        assert!(found(&[head]), "not found with the head: {}", case.what);
        assert_eq!(found(&[]), case.alone, "without the head: {}", case.what);
        let row = format!("| {} | {} |", case.what, if case.alone { "yes" } else { "no" });
        assert!(page.contains(&row), "docs/book.md lacks the row: {row}");
    }
}

/// Each point of the read-through has a test, and each test that the page names is there.
#[test]
fn every_test_that_the_page_names_is_there() {
    let page = include_str!("../../docs/book.md");
    let table = page.split("## What an adversary found").nth(1).unwrap();
    let table = table.split("\n## ").next().unwrap();
    let rows: Vec<&str> = table
        .lines()
        .filter(|line| line.starts_with("| ") && line.chars().nth(2).is_some_and(char::is_numeric))
        .collect();
    assert_eq!(rows.len(), 24);
    for (n, row) in (1..).zip(rows) {
        assert!(row.starts_with(&format!("| {n} |")), "{row}");
        let names = row.rsplit('|').nth(1).unwrap().split('`').filter(|name| name.contains("::"));
        let mut found = 0;
        for name in names {
            let (file, test) = name.split_once("::").unwrap();
            let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/suite");
            let text = std::fs::read_to_string(path.join(format!("{file}.rs"))).unwrap();
            assert!(text.contains(&format!("fn {test}(")), "{n}: {name}");
            found += 1;
        }
        assert!(found > 0, "{row}");
    }
}
