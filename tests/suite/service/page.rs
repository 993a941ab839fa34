//! The ten commands of docs/service.md, run as they stand there.

use std::process::Command;

use super::database::Postgres;
use super::router::Router;
use super::{Place, file};

#[test]
#[ignore = "needs a FHIR server from npm, which tests/run service installs"]
fn the_ten_commands_of_the_page_fill_both() {
    let page = std::fs::read_to_string(file("docs/service.md")).unwrap();
    let block = page.split("```sh\n").nth(1).unwrap().split("```").next().unwrap();
    let commands: Vec<&str> = block.lines().collect();
    assert_eq!(commands.len(), 10);
    let (server, database, place) = (Router::start(), Postgres::start(), Place::plain());
    std::os::unix::fs::symlink(file("docs"), place.path("docs")).unwrap();
    let programs = assert_cmd::cargo::cargo_bin("cuffnote");
    let path =
        format!("{}:{}", programs.parent().unwrap().display(), std::env::var("PATH").unwrap());
    let mut said = Vec::new();
    for command in &commands {
        let done = Command::new("sh")
            .args(["-c", command])
            .current_dir(place.path(""))
            .env("PATH", &path)
            .env("XDG_STATE_HOME", place.path("state"))
            .env("FHIR", &server.url)
            .env("DATABASE", &database.url)
            .env("WRITER", database.url.replace("owner", "cuffnote_writer"))
            .env("PGPASSWORD", "of-the-test")
            .env("CUFFNOTE_SERVICE_PASSWORD", "of-the-writer")
            .output()
            .unwrap();
        let (well, words) = super::told(&done);
        assert!(well, "{command}: {words}");
        said.push(words);
    }
    assert!(said[1].contains("1 visit sent") && said[2].contains("0 visits sent"), "{said:?}");
    assert_eq!(server.indexes().len(), 2);
    let mut client = database.client();
    let text = "SELECT count(*) FROM cuffnote.leg WHERE abi IS NOT NULL";
    assert_eq!(client.query_one(text, &[]).unwrap().get::<_, i64>(0), 2);
    assert!(place.path("tables/visit/from_service=Tidemill").is_dir());
}

/// A second reader of another making: every resource of ten visits, and of one that was corrected, is read by its models.
#[test]
#[ignore = "needs fhir.resources, which tests/run service installs"]
fn every_resource_is_read_by_models_of_another_making() {
    let place = Place::plain();
    let out = place.path("bundles");
    std::fs::create_dir(&out).unwrap();
    for (name, events) in super::super::visits::ten() {
        let bundle = super::super::visits::bundle(&events);
        std::fs::write(out.join(format!("{name}.fhir.json")), bundle).unwrap();
    }
    place.correct(2, 114.0);
    place.of_another("K-3001");
    let events =
        cuffnote::logbook::Book::open(&place.book()).unwrap().book.events(place.ids()[0]).unwrap();
    std::fs::write(out.join("corrected.fhir.json"), super::super::visits::bundle(&events)).unwrap();
    let python = super::installed("CUFFNOTE_SERVICE_PYTHON");
    let done =
        Command::new(python).arg(file("tests/service/models.py")).arg(&out).output().unwrap();
    let (well, said) = super::told(&done);
    assert!(well && said.contains("resources read"), "{said}");
}
