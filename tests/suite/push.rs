//! Sending to a small R4 endpoint on this machine: the token, lost answers without doubles, refusals.

use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::sync::mpsc::{Receiver, channel};

use assert_cmd::Command;
use serde_json::{Value, json};

use super::visits::{bundle, ten};

/// What the endpoint does with the first requests; then it answers as it should.
#[derive(Clone, Copy, PartialEq)]
enum Trouble {
    /// It stores everything and hangs up before it answers.
    LostAnswer,
    /// It says that it is busy.
    Busy,
    /// It knows no such token.
    Unknown,
    /// It sends the caller elsewhere.
    Elsewhere,
}

/// A request: its head in small letters, and its body.
struct Request {
    head: String,
    body: Value,
}

fn request(stream: &TcpStream) -> Request {
    let mut reader = BufReader::new(stream);
    let mut head = String::new();
    loop {
        let mut line = String::new();
        reader.read_line(&mut line).unwrap();
        if line.trim().is_empty() {
            break;
        }
        head += &line.to_lowercase();
    }
    let length = head.lines().find_map(|line| line.strip_prefix("content-length:")).unwrap();
    let mut bytes = vec![0; length.trim().parse().unwrap()];
    reader.read_exact(&mut bytes).unwrap();
    Request { head, body: serde_json::from_slice(&bytes).unwrap() }
}

fn answer(mut stream: &TcpStream, status: &str, extra: &str, body: &Value) {
    let body = body.to_string();
    let head = format!(
        "HTTP/1.1 {status}\r\nContent-Type: application/fhir+json\r\nContent-Length: {}\r\nConnection: close\r\n{extra}\r\n",
        body.len()
    );
    stream.write_all(head.as_bytes()).unwrap();
    stream.write_all(body.as_bytes()).unwrap();
}

/// Conditional create: what is there by its identifier is not made again.
fn store(kept: &mut BTreeSet<String>, body: &Value) -> Value {
    let each = body["entry"].as_array().unwrap().iter().map(|entry| {
        let condition = entry["request"]["ifNoneExist"].as_str().unwrap();
        let identifier = &entry["resource"]["identifier"][0];
        let own = format!(
            "identifier={}|{}",
            identifier["system"].as_str().unwrap(),
            identifier["value"].as_str().unwrap()
        );
        assert_eq!(condition, own, "the condition names the resource's own identifier");
        let status = if kept.insert(own) { "201 Created" } else { "200 OK" };
        json!({"response": {"status": status}})
    });
    json!({"resourceType": "Bundle", "type": "transaction-response", "entry": each.collect::<Vec<_>>()})
}

/// Starts the endpoint; what comes back are its address and, for each request, head and number kept.
fn endpoint(troubles: Vec<Trouble>) -> (String, Receiver<(String, usize)>) {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let url = format!("http://{}/fhir", listener.local_addr().unwrap());
    let (send, receive) = channel();
    std::thread::spawn(move || {
        let mut kept = BTreeSet::new();
        let mut troubles = troubles.into_iter();
        for stream in listener.incoming() {
            let stream = stream.unwrap();
            let asked = request(&stream);
            let nothing = json!({"resourceType": "OperationOutcome", "issue": [{"diagnostics": "no such token"}]});
            match troubles.next() {
                Some(Trouble::LostAnswer) => drop(store(&mut kept, &asked.body)),
                Some(Trouble::Busy) => answer(&stream, "503 Busy", "", &nothing),
                Some(Trouble::Unknown) => answer(&stream, "401 Unauthorized", "", &nothing),
                Some(Trouble::Elsewhere) => {
                    answer(&stream, "302 Found", "Location: http://127.0.0.1:1/\r\n", &nothing);
                }
                None => answer(&stream, "200 OK", "", &store(&mut kept, &asked.body)),
            }
            if send.send((asked.head, kept.len())).is_err() {
                return;
            }
        }
    });
    (url, receive)
}

/// Runs the program on the plain visit's bundle; what it said and whether it ended well.
fn push(url: &str) -> (bool, String) {
    let folder = tempfile::tempdir().unwrap();
    let (file, token) = (folder.path().join("v.fhir.json"), folder.path().join("token"));
    std::fs::write(&file, bundle(&ten()[0].1)).unwrap();
    std::fs::write(&token, "abc-123\n").unwrap();
    let mut command = Command::cargo_bin("cuffnote").unwrap();
    command.env("XDG_STATE_HOME", folder.path()).arg("push").arg(&file).args(["--to", url]);
    let done = command.arg("--token-file").arg(&token).output().unwrap();
    let told = [done.stdout, done.stderr].concat();
    let told = String::from_utf8(told).unwrap();
    assert!(!told.contains("abc-123"), "the token is never shown: {told}");
    (done.status.success(), told)
}

/// Two devices, nine observations, a document.
const ENTRIES: usize = 12;

#[test]
fn a_bundle_arrives_with_its_token() {
    let (url, seen) = endpoint(Vec::new());
    let (well, told) = push(&url);
    assert!(well && told.contains("12 created, 0 were there before"), "{told}");
    let (head, kept) = seen.recv().unwrap();
    assert!(head.starts_with("post /fhir http/1.1"), "{head}");
    assert!(head.contains("authorization: bearer abc-123"), "{head}");
    assert!(head.contains("content-type: application/fhir+json"), "{head}");
    assert_eq!(kept, ENTRIES);
}

#[test]
fn a_lost_answer_makes_no_doubles() {
    let (url, seen) = endpoint(vec![Trouble::Busy, Trouble::LostAnswer]);
    let (well, told) = push(&url);
    assert!(well && told.contains("0 created, 12 were there before"), "{told}");
    let kept: Vec<usize> = (0..3).map(|_| seen.recv().unwrap().1).collect();
    assert_eq!(kept, [0, ENTRIES, ENTRIES]);
}

#[test]
fn refusals_and_redirects_are_said_and_not_tried_again() {
    let (url, seen) = endpoint(vec![Trouble::Unknown]);
    let (well, told) = push(&url);
    assert!(!well && told.contains("refused with 401: no such token"), "{told}");
    assert_eq!(seen.recv().unwrap().1, 0);
    let (url, _seen) = endpoint(vec![Trouble::Elsewhere]);
    let (well, told) = push(&url);
    assert!(!well && told.contains("302"), "{told}");
}

#[test]
fn nothing_goes_over_a_network_without_tls() {
    let (well, told) = push("http://192.0.2.1/fhir");
    assert!(!well && told.contains("only https"), "{told}");
}
