//! Two FHIR servers of others' making, unlike each other: one current truth of each result, whatever is sent how often.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};

use cuffnote::clinical::event::Act;
use serde_json::Value;

use super::super::visits::ten;
use super::{Place, file, installed};

/// The server, ended with its standard input.
pub struct Router {
    child: Child,
    pub url: String,
    _folder: tempfile::TempDir,
}

impl Router {
    /// `@medplum/fhir-router`, in memory.
    pub fn start() -> Self {
        Self::of(Command::new("node").arg(file("tests/service/router.mjs")).arg(node()))
    }

    /// The same; it holds each resource against the definition of docs/fhir that the resource names.
    pub fn strict() -> Self {
        let mut command = Command::new("node");
        command.arg(file("tests/service/router.mjs")).arg(node()).arg(file("docs/fhir"));
        Self::of(&mut command)
    }

    /// `sekmet-fhir`, in Python, with SQLite behind it.
    pub fn second() -> Self {
        let python = installed("CUFFNOTE_SERVICE_PYTHON");
        Self::of(Command::new(python).arg(file("tests/service/second.py")))
    }

    fn of(command: &mut Command) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let command = command.current_dir(folder.path());
        let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
        let mut url = String::new();
        BufReader::new(child.stdout.as_mut().unwrap()).read_line(&mut url).unwrap();
        assert!(url.starts_with("http://127.0.0.1"), "{url}");
        Self { child, url: url.trim().into(), _folder: folder }
    }

    /// The status of what the server answers to a resource; it keeps the resource where that is below 300.
    fn put(&self, path: &str, body: &Value) -> u16 {
        let request = ureq::put(format!("{}/{path}", self.url)).config();
        let request = request.http_status_as_error(false).build();
        let answer = request.content_type("application/fhir+json").send(body.to_string());
        answer.unwrap().status().as_u16()
    }

    /// Asks, and gives the answer.
    fn ask(&self, method: &str, path: &str, body: &str) -> Value {
        let mut answer = match method {
            "GET" => ureq::get(format!("{}/{path}", self.url)).call().unwrap(),
            _ => {
                let request = ureq::put(format!("{}/{path}", self.url));
                request.content_type("application/fhir+json").send(body).unwrap()
            }
        };
        serde_json::from_str(&answer.body_mut().read_to_string().unwrap()).unwrap()
    }

    /// What a search finds.
    pub fn search(&self, what: &str) -> Vec<Value> {
        let found = self.ask("GET", &format!("{what}&_count=500"), "");
        let entries = found["entry"].as_array().cloned().unwrap_or_default();
        entries.into_iter().map(|entry| entry["resource"].clone()).collect()
    }

    /// The indexes that count, found as any reader finds them: side, record, value (0 where there is none), status.
    pub fn indexes(&self) -> Vec<(String, String, f64, String)> {
        let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
        let all = self.search("Observation?code=http://loinc.org|77194-9");
        let current = all.iter().filter(|one| one["status"] != "entered-in-error");
        let mut found: Vec<_> = current
            .map(|one| {
                let side = text(&one["bodySite"]["coding"][0]["code"]);
                let value = one["valueQuantity"]["value"].as_f64().unwrap_or(0.0);
                (side, text(&one["subject"]["identifier"]["value"]), value, text(&one["status"]))
            })
            .collect();
        found.sort_by(|a, b| a.0.cmp(&b.0));
        found
    }

    fn count(&self) -> usize {
        ["Device", "Observation", "DiagnosticReport", "Provenance"]
            .iter()
            .map(|kind| self.search(&format!("{kind}?_total=accurate")).len())
            .sum()
    }
}

impl Drop for Router {
    fn drop(&mut self) {
        drop(self.child.stdin.take());
        let _ = self.child.wait();
    }
}

fn node() -> std::path::PathBuf {
    installed("CUFFNOTE_SERVICE_NODE")
}

const LEFT: &str = "32153003";
const RIGHT: &str = "62175007";

fn truth(left: (&str, f64, &str), right: (&str, f64, &str)) -> Vec<(String, String, f64, String)> {
    [(LEFT, left), (RIGHT, right)]
        .map(|(side, (record, value, status))| (side.into(), record.into(), value, status.into()))
        .to_vec()
}

#[test]
#[ignore = "needs a FHIR server from npm, which tests/run service installs"]
fn the_server_holds_one_current_truth() {
    one_current_truth(&Router::start());
}

#[test]
#[ignore = "needs a FHIR server from PyPI, which tests/run service installs"]
fn a_second_server_holds_one_current_truth() {
    one_current_truth(&Router::second());
}

fn one_current_truth(server: &Router) {
    let place = Place::plain();
    let (well, said) = place.send(&server.url, &[]);
    assert!(well && said.contains("1 visit sent (13 resources)"), "{said}");
    let first = truth(("K-2001", 1.03, "final"), ("K-2001", 0.7, "final"));
    assert_eq!(server.indexes(), first);
    let all = server.count();
    assert_eq!(all, 13);
    // Twice: nothing is even asked; and by an outbox that knows of nothing, the same resources again.
    let (well, said) = place.send(&server.url, &[]);
    assert!(well && said.contains("0 visits sent"), "{said}");
    std::fs::remove_file(place.path("outbox.sqlite")).unwrap();
    let (well, said) = place.send(&server.url, &[]);
    assert!(well && said.contains("1 visit sent (13 resources)"), "{said}");
    assert_eq!((server.indexes(), server.count()), (first.clone(), all));
    // A note only: no index changes.
    place.add(Act::Note { who: "op-7".into(), words: "Seen again on Monday.".into() });
    let (well, said) = place.send(&server.url, &[]);
    assert!(well && said.contains("1 visit sent (3 resources)"), "{said}");
    assert_eq!((server.indexes(), server.count()), (first, all + 1));
    // Corrected: the same resources, other values.
    place.correct(2, 114.0);
    assert!(place.send(&server.url, &[]).0);
    let corrected = truth(("K-2001", 1.03, "final"), ("K-2001", 0.77, "amended"));
    assert_eq!((server.indexes(), server.count()), (corrected, all + 2));
    // Withdrawn: no index, with its reason.
    for attempt in [2, 3] {
        let (who, why) = ("op-7".into(), "the cuff slipped".into());
        place.add(Act::AttemptWithdrawn { attempt, who, why });
    }
    assert!(place.send(&server.url, &[]).0);
    let without = truth(("K-2001", 1.03, "final"), ("K-2001", 0.0, "amended"));
    assert_eq!(server.indexes(), without);
    // Another patient's after all: nothing that counts is left with the first.
    place.of_another("K-3001");
    let (well, said) = place.send(&server.url, &[]);
    assert!(well, "{said}");
    let other = truth(("K-3001", 1.03, "final"), ("K-3001", 0.0, "final"));
    assert_eq!(server.indexes(), other);
    let all = server.search("Observation?_total=accurate").into_iter();
    let old: Vec<Value> =
        all.filter(|one| one["subject"]["identifier"]["value"] == "K-2001").collect();
    assert!(old.len() >= 9, "{}", old.len());
    assert!(old.iter().all(|one| one["status"] == "entered-in-error"), "{old:?}");
    // Every reference leads to something that is there.
    for one in server.search("Observation?_total=accurate") {
        for part in one.to_string().split("\"reference\":\"").skip(1) {
            let to = part.split('"').next().unwrap();
            assert!(!to.starts_with("urn:"), "{to} was never resolved");
            server.ask("GET", to, "");
        }
    }
    let origins = server.search("Provenance?_total=accurate");
    assert!(origins.iter().any(|one| one["reason"][0]["text"] == "the cuff slipped"));
}

/// Bundles go out whole or not at all, and none is larger than the server allows: all ten kinds of visit arrive.
#[test]
#[ignore = "needs a FHIR server from npm, which tests/run service installs"]
fn all_kinds_of_visit_arrive_and_a_patient_is_found_or_waited_for() {
    all_kinds_arrive(&Router::start());
}

#[test]
#[ignore = "needs a FHIR server from PyPI, which tests/run service installs"]
fn all_kinds_of_visit_arrive_at_a_second_server_too() {
    all_kinds_arrive(&Router::second());
}

fn all_kinds_arrive(server: &Router) {
    let place = Place::of(&ten().into_iter().map(|(_, events)| events).collect::<Vec<_>>());
    let (well, said) = place.send(&server.url, &[]);
    assert!(well && said.contains("9 visits sent"), "the one that is open is not sent: {said}");
    let pressures = server.search("Observation?code=8480-6");
    assert!(pressures.is_empty(), "nothing claims to be a blood pressure of HL7's profile");

    let place = Place::plain();
    let settings = place.settings(&format!(
        "version = 1\nname = \"Tidemill\"\n[fhir]\nto = \"{}\"\npatient_system = \"https://tidemill.example/mrn\"\nfind_patient = true\n",
        server.url
    ));
    let words = ["send", "--book", "book", "--settings", settings.to_str().unwrap()];
    let (well, said) = super::told(&place.service(&words));
    assert!(!well && said.contains("has no patient K-2001"), "{said}");
    let (_, said) = super::told(&place.service(&words));
    assert!(said.contains("1 waiting"), "not asked again at once: {said}");
    let patient = r#"{"resourceType":"Patient","identifier":[{"system":"https://tidemill.example/mrn","value":"K-2001"}]}"#;
    let made = server.ask("PUT", "Patient?identifier=https://tidemill.example/mrn|K-2001", patient);
    let (well, said) = super::told(&place.service(&[&words[..], &["--again"]].concat()));
    assert!(well, "{said}");
    let of = format!("Observation?subject=Patient/{}", made["id"].as_str().unwrap());
    assert_eq!(server.search(&of).len(), 9);
}

/// What somebody else changed on the server is not written over unasked.
#[test]
#[ignore = "needs a FHIR server from npm, which tests/run service installs"]
fn what_was_changed_there_is_not_written_over_unasked() {
    not_written_over(&Router::start());
}

#[test]
#[ignore = "needs a FHIR server from PyPI, which tests/run service installs"]
fn what_was_changed_at_a_second_server_is_not_written_over_unasked() {
    not_written_over(&Router::second());
}

fn not_written_over(server: &Router) {
    let place = Place::plain();
    assert!(place.send(&server.url, &[]).0);
    let mut index = server.search("Observation?code=http://loinc.org|77194-9").remove(0);
    index["note"] = serde_json::json!([{"text": "seen by the ward"}]);
    let path = format!("Observation/{}", index["id"].as_str().unwrap());
    server.ask("PUT", &path, &index.to_string());
    place.correct(2, 114.0);
    place.correct(5, 160.0);
    let (well, said) = place.send(&server.url, &[]);
    assert!(!well && said.contains("changed there by somebody else"), "{said}");
    let (well, said) = super::told(&place.service(&["outbox", "--to", &server.url]));
    assert!(!well && said.contains("1 refused"), "{said}");
    let (well, said) = place.send(&server.url, &["--again", "--over"]);
    assert!(well, "{said}");
    assert_eq!(server.indexes(), truth(("K-2001", 1.08, "amended"), ("K-2001", 0.77, "amended")));
}

/// Every resource that names one of our definitions keeps to it, by a validator of another's making; and the definitions
/// are not so wide that anything would.
#[test]
#[ignore = "needs a FHIR server from npm, which tests/run service installs"]
fn what_is_sent_keeps_to_the_definitions_that_it_names() {
    let server = Router::strict();
    let place = Place::of(&ten().into_iter().map(|(_, events)| events).collect::<Vec<_>>());
    place.settings("version = 1\nname = \"Tidemill\"\n[fhir]\nprofiles = true\nnational = true\n");
    let (well, said) = place.send(&server.url, &["--settings", "service.toml"]);
    assert!(well && said.contains("9 visits sent"), "{said}");
    let mut refused = 0;
    for (kind, name, breaks) in BREAKS {
        let profile = serde_json::from_str::<Value>(
            &std::fs::read_to_string(file(&format!("docs/fhir/StructureDefinition-{name}.json")))
                .unwrap(),
        );
        let profile = profile.unwrap()["url"].clone();
        let all = server.search(&format!("{kind}?_total=accurate"));
        let with_value = |one: &&Value| {
            *name == "examination" || *kind != "Observation" || one.get("valueQuantity").is_some()
        };
        let mut own = all.iter().filter(|one| one["meta"]["profile"][0] == profile);
        let one = own.find(with_value).unwrap_or_else(|| panic!("no {name}"));
        let path = format!("{kind}/{}", one["id"].as_str().unwrap());
        assert!(server.put(&path, one) < 300, "{name}");
        for (field, value) in *breaks {
            let mut broken = one.clone();
            let fields = broken.as_object_mut().unwrap();
            match serde_json::from_str::<Value>(value).unwrap() {
                Value::Null => drop(fields.remove(*field).unwrap()),
                other => drop(fields.insert((*field).to_owned(), other)),
            }
            assert_eq!(server.put(&path, &broken), 400, "{name} without or with another {field}");
            refused += 1;
        }
        let mut stranger = one.clone();
        stranger["meta"]["profile"][0] = "urn:oid:2.25.1".into();
        assert_eq!(server.put(&path, &stranger), 400, "a definition that nobody knows");
    }
    assert_eq!(refused, 11);
}

/// A kind of resource, its definition, and ways to break it: a field taken away, or of another form.
type Breaks = (&'static str, &'static str, &'static [(&'static str, &'static str)]);
const BREAKS: &[Breaks] = &[
    (
        "Observation",
        "pressure",
        &[("identifier", "null"), ("bodySite", "null"), ("effectiveDateTime", "null")],
    ),
    (
        "Observation",
        "index",
        &[
            ("identifier", "null"),
            ("bodySite", "null"),
            (
                "component",
                r#"[{"code": {"text": "a"}}, {"code": {"text": "b"}}, {"code": {"text": "c"}}]"#,
            ),
        ],
    ),
    (
        "Observation",
        "examination",
        &[
            ("hasMember", "null"),
            ("effectiveDateTime", "null"),
            ("valueQuantity", r#"{"value": 1}"#),
        ],
    ),
    ("DiagnosticReport", "report", &[("identifier", "null"), ("result", "null")]),
];
