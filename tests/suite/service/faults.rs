//! Servers that misbehave: each ends in one sentence, loses nothing, and sends nothing twice.

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::sync::{Arc, Mutex};

use serde_json::{Value, json};

use super::super::visits::ten;
use super::{Place, told};

/// What the endpoint does with a request.
#[derive(Clone, Copy, PartialEq, Debug)]
enum Trouble {
    Fine,
    /// It stores everything and hangs up before it answers.
    LostAnswer,
    /// It stores everything and hangs up in the middle of its answer.
    HalfAnswer,
    Status(u16),
    /// It asks to be left alone for so many seconds.
    Busy(u32),
    /// A page for people.
    Page,
    Elsewhere,
    /// It knows no such token, and its clock is a day ahead.
    ClockAhead,
    /// It stores everything and answers, but only after so many seconds.
    Slow(u64),
}

/// What the endpoint holds: each identity with how often it was written.
type Held = Arc<Mutex<BTreeMap<String, (usize, Value)>>>;

struct Endpoint {
    url: String,
    held: Held,
    heads: Arc<Mutex<Vec<String>>>,
    troubles: Arc<Mutex<Vec<Trouble>>>,
}

impl Endpoint {
    fn start(troubles: Vec<Trouble>) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let url = format!("http://{}/fhir", listener.local_addr().unwrap());
        let one = Self {
            url,
            held: Held::default(),
            heads: Arc::default(),
            troubles: Arc::new(Mutex::new(troubles)),
        };
        let (held, heads, troubles) = (one.held.clone(), one.heads.clone(), one.troubles.clone());
        std::thread::spawn(move || {
            for stream in listener.incoming() {
                let stream = stream.unwrap();
                let (head, body) = request(&stream);
                heads.lock().unwrap().push(head);
                let trouble = {
                    let mut all = troubles.lock().unwrap();
                    if all.is_empty() { Trouble::Fine } else { all.remove(0) }
                };
                serve(&stream, trouble, &held, &body);
            }
        });
        one
    }

    /// How many resources it holds.
    fn count(&self) -> usize {
        self.held.lock().unwrap().len()
    }

    fn then(&self, troubles: &[Trouble]) {
        self.troubles.lock().unwrap().extend(troubles);
    }

    fn asked(&self) -> usize {
        self.heads.lock().unwrap().len()
    }
}

fn request(stream: &TcpStream) -> (String, Value) {
    let mut reader = BufReader::new(stream);
    let mut head = String::new();
    loop {
        let mut line = String::new();
        if reader.read_line(&mut line).unwrap_or(0) == 0 || line.trim().is_empty() {
            break;
        }
        head += &line.to_lowercase();
    }
    let length = head.lines().find_map(|line| line.strip_prefix("content-length:"));
    let mut bytes = vec![0; length.map_or(0, |length| length.trim().parse().unwrap())];
    reader.read_exact(&mut bytes).unwrap();
    (head, serde_json::from_slice(&bytes).unwrap_or(Value::Null))
}

fn answer(mut stream: &TcpStream, status: &str, extra: &str, body: &str, most: usize) {
    let head = format!(
        "HTTP/1.1 {status}\r\nContent-Type: application/fhir+json\r\nContent-Length: {}\r\nConnection: close\r\n{extra}\r\n",
        body.len()
    );
    let _ = stream.write_all(head.as_bytes());
    let _ = stream.write_all(&body.as_bytes()[..body.len().min(most)]);
}

fn serve(stream: &TcpStream, trouble: Trouble, held: &Held, body: &Value) {
    let outcome = json!({"resourceType": "OperationOutcome", "issue": [{"severity": "error", "code": "invalid", "diagnostics": "so it is"}]}).to_string();
    match trouble {
        Trouble::Status(status) => {
            answer(stream, &format!("{status} No"), "", &outcome, usize::MAX)
        }
        Trouble::Busy(s) => {
            answer(stream, "429 Busy", &format!("Retry-After: {s}\r\n"), &outcome, usize::MAX)
        }
        Trouble::Page => answer(stream, "200 OK", "", "<html>Please sign in</html>", usize::MAX),
        Trouble::Elsewhere => {
            answer(stream, "302 Found", "Location: http://127.0.0.1:1/\r\n", "", usize::MAX)
        }
        Trouble::ClockAhead => {
            let day = cuffnote::units::wall_clock() + jiff::SignedDuration::from_hours(24);
            let date = jiff::fmt::rfc2822::DateTimePrinter::new()
                .timestamp_to_rfc9110_string(&day)
                .unwrap();
            answer(stream, "401 Unauthorized", &format!("Date: {date}\r\n"), &outcome, usize::MAX);
        }
        Trouble::Fine => answer(stream, "200 OK", "", &store(held, body), usize::MAX),
        Trouble::HalfAnswer => answer(stream, "200 OK", "", &store(held, body), 40),
        Trouble::LostAnswer => {
            store(held, body);
        }
        Trouble::Slow(s) => {
            std::thread::sleep(std::time::Duration::from_secs(s));
            answer(stream, "200 OK", "", &store(held, body), usize::MAX);
        }
    }
}

/// Conditional update by identity, update by id.
fn store(held: &Held, body: &Value) -> String {
    let mut held = held.lock().unwrap();
    let each = body["entry"].as_array().unwrap().iter().map(|entry| {
        let url = entry["request"]["url"].as_str().unwrap();
        assert_eq!(entry["request"]["method"], "PUT");
        let key = match url.split_once('?') {
            Some(_) => url.to_owned(),
            None => {
                let id: usize = url.rsplit('/').next().unwrap().parse().unwrap();
                held.keys().nth(id).cloned().unwrap_or_else(|| url.to_owned())
            }
        };
        let before = held.get(&key).map_or(0, |(times, _)| *times);
        held.insert(key.clone(), (before + 1, entry["resource"].clone()));
        let kind = entry["resource"]["resourceType"].as_str().unwrap().to_owned();
        let status = if before == 0 { "201 Created" } else { "200 OK" };
        (status, kind, key, before + 1)
    });
    let each: Vec<_> = each.collect();
    let entries: Vec<Value> = each
        .into_iter()
        .map(|(status, kind, key, version)| {
            let id = held.keys().position(|known| *known == key).unwrap();
            json!({"response": {"status": status, "location": format!("{kind}/{id}/_history/{version}"), "etag": format!("W/\"{version}\"")}})
        })
        .collect();
    json!({"resourceType": "Bundle", "type": "transaction-response", "entry": entries}).to_string()
}

const ALL: usize = 13;

#[test]
fn a_lost_or_half_answer_makes_no_doubles() {
    for trouble in
        [Trouble::LostAnswer, Trouble::HalfAnswer, Trouble::Busy(1), Trouble::Status(503)]
    {
        let (server, place) = (Endpoint::start(vec![trouble]), Place::plain());
        let (well, said) = place.send(&server.url, &[]);
        assert!(well && said.contains("1 visit sent"), "{trouble:?}: {said}");
        assert!(said.contains("trying again"), "{trouble:?}: {said}");
        assert_eq!(server.count(), ALL, "{trouble:?}");
    }
}

#[test]
fn a_run_that_ended_in_the_middle_goes_on() {
    let (server, place) = (Endpoint::start(vec![Trouble::Fine]), Place::plain());
    // The first bundle arrives, then nobody answers any more.
    server.then(&[Trouble::LostAnswer; 3]);
    let (well, said) = place.send(&server.url, &[]);
    assert!(!well && said.contains("1 waiting"), "{said}");
    let (_, said) = place.send(&server.url, &[]);
    assert!(
        said.contains("0 visits sent") && said.contains("1 waiting"),
        "it waits a while: {said}"
    );
    let asked = server.asked();
    let (well, said) = place.send(&server.url, &["--again"]);
    assert!(well, "{said}");
    assert_eq!(server.count(), ALL);
    assert!(server.asked() - asked < 3, "what had arrived was not sent again");
}

#[test]
fn nobody_there_or_no_way_in_ends_the_run_with_one_sentence_and_loses_nothing() {
    for (trouble, words) in [
        (Trouble::Page, "is the address its base address"),
        (Trouble::Elsewhere, "redirects elsewhere"),
        (Trouble::Status(401), "does not let this program in"),
        (Trouble::ClockAhead, "clock is 86400 s behind the server's"),
    ] {
        let server = Endpoint::start(vec![trouble]);
        let all: Vec<_> = ten().into_iter().take(3).map(|(_, events)| events).collect();
        let place = Place::of(&all);
        let (well, said) = place.send(&server.url, &[]);
        let said = said.replace("86399 s", "86400 s");
        assert!(!well && said.contains(words), "{trouble:?}: {said}");
        assert_eq!(server.asked(), 1, "{trouble:?}: the other visits are not tried");
        let (well, said) = place.send(&server.url, &["--again"]);
        assert!(well && said.contains("3 visits sent"), "{trouble:?}: {said}");
    }
    let place = Place::plain();
    let nobody =
        format!("http://{}/fhir", TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap());
    let (well, said) = place.send(&nobody, &[]);
    assert!(!well && said.contains("no whole answer came") && said.contains("1 waiting"), "{said}");
    for to in ["http://192.0.2.1/fhir", "ftp://127.0.0.1/", "http://127.0.0.1@192.0.2.1/"] {
        let (well, said) = place.send(to, &[]);
        assert!(!well && said.contains("only https"), "{said}");
    }
}

#[test]
fn a_refused_visit_blocks_no_other_and_is_not_lost() {
    for (status, again) in [(400, true), (422, true), (409, false), (412, true)] {
        let server = Endpoint::start(vec![Trouble::Status(status)]);
        let all: Vec<_> = ten().into_iter().take(3).map(|(_, events)| events).collect();
        let place = Place::of(&all);
        let (well, said) = place.send(&server.url, &[]);
        assert!(!well && said.contains("2 visits sent"), "{status}: {said}");
        assert!(said.contains(if again { "1 refused" } else { "1 waiting" }), "{status}: {said}");
        let (_, said) = told(&place.service(&["outbox", "--to", &server.url]));
        assert!(said.contains("so it is"), "{status}: the server's reason is kept: {said}");
        let (well, said) = place.send(&server.url, &["--again"]);
        assert!(well && said.contains("1 visit sent"), "{status}: {said}");
    }
}

#[test]
fn a_server_that_asks_for_time_gets_it() {
    let (server, place) = (Endpoint::start(vec![Trouble::Busy(3600)]), Place::plain());
    let (well, said) = place.send(&server.url, &[]);
    assert!(!well && said.contains("1 waiting"), "{said}");
    assert_eq!(server.asked(), 1);
    assert!(place.send(&server.url, &[]).1.contains("1 waiting"));
    assert_eq!(server.asked(), 1, "not before its hour is over");
}

/// The answers come, each after the program has given up waiting: nothing is lost, and what arrived late is not doubled.
#[test]
fn a_server_that_is_only_slow_loses_and_doubles_nothing() {
    let (server, place) = (Endpoint::start(vec![Trouble::Slow(3); 3]), Place::plain());
    let quick = place.settings("version = 1\n[fhir]\nwait_s = 1\n");
    let (well, said) = place.send(&server.url, &["--settings", quick.to_str().unwrap()]);
    assert!(!well && said.contains("0 visits sent") && said.contains("1 waiting"), "{said}");
    let tries = said.matches("no answer in time; trying again").count();
    let sentences = said.lines().filter(|line| line.ends_with(": no answer in time")).count();
    assert_eq!((tries, sentences), (2, 1), "{said}");
    // Patient enough, it arrives: the first of these answers stands behind the three that nobody waits for any more.
    let (well, said) = place.send(&server.url, &["--again"]);
    assert!(well && said.contains("1 visit sent"), "{said}");
    assert_eq!(server.count(), ALL);
    let (well, said) = place.send(&server.url, &[]);
    assert!(well && said.contains("0 visits sent"), "{said}");
    let slow = Endpoint::start(vec![Trouble::Slow(2)]);
    let patient = place.settings("version = 1\n[fhir]\nwait_s = 20\n");
    let (well, said) = place.send(&slow.url, &["--settings", patient.to_str().unwrap()]);
    assert!(well && said.contains("1 visit sent") && !said.contains("again"), "{said}");
    let none = place.settings("version = 1\n[fhir]\nwait_s = 0\n");
    let (well, said) = place.send(&slow.url, &["--settings", none.to_str().unwrap()]);
    assert!(!well && said.contains("write 1 to 3600 seconds"), "{said}");
}

/// Somebody measures while results go out: what was closed by then arrives, and the rest the next time.
#[test]
fn a_book_that_is_being_written_is_sent_as_far_as_it_goes() {
    let (server, place) = (Endpoint::start(Vec::new()), Place::plain());
    let writer = place.being_written(100);
    let mut runs = 0;
    while !writer.is_finished() {
        let (well, said) = place.send(&server.url, &[]);
        assert!(well, "{said}");
        runs += 1;
    }
    writer.join().unwrap();
    assert!(runs > 1, "{runs}");
    let (well, said) = place.send(&server.url, &[]);
    assert!(well, "{said}");
    let held = server.held.lock().unwrap();
    let reports = held.values().filter(|(_, one)| one["resourceType"] == "DiagnosticReport");
    assert_eq!(reports.count(), place.ids().len(), "each visit has one report there");
    assert!(held.values().all(|(times, one)| *times == 1 || one["resourceType"] == "Device"));
}

#[test]
fn a_token_is_sent_and_never_shown() {
    let (server, place) = (Endpoint::start(vec![Trouble::Status(403)]), Place::plain());
    std::fs::write(place.path("token"), "abc-123\n").unwrap();
    let settings = place.settings("version = 1\n[auth]\ntoken_file = \"token\"\n");
    let (_, said) = place.send(&server.url, &["--settings", settings.to_str().unwrap()]);
    assert!(!said.contains("abc-123"), "{said}");
    assert!(server.heads.lock().unwrap()[0].contains("authorization: bearer abc-123"));
    let outbox = std::fs::read(place.path("outbox.sqlite")).unwrap();
    assert!(!outbox.windows(7).any(|part| part == b"abc-123"));
}

#[test]
fn a_damaged_visit_hides_no_other_and_a_book_may_be_in_use() {
    let server = Endpoint::start(Vec::new());
    let all: Vec<_> = ten().into_iter().take(2).map(|(_, events)| events).collect();
    let place = Place::of(&all);
    let sql = "UPDATE entry SET body = replace(body, '148', '184') WHERE seq = (SELECT min(seq) FROM entry WHERE body LIKE '%148%')";
    rusqlite::Connection::open(place.book().join("book.sqlite"))
        .unwrap()
        .execute_batch(sql)
        .unwrap();
    let writer = cuffnote::logbook::Writer::open(&place.book()).unwrap();
    let (well, said) = place.send(&server.url, &[]);
    assert!(!well && said.contains("1 visit sent") && said.contains("1 skipped"), "{said}");
    drop(writer);
    let (_, said) = told(&place.service(&["send", "--book", "nowhere", "--to", &server.url]));
    assert!(said.contains("there is no record book"), "{said}");
}
