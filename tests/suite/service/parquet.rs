//! Tables for researchers' engines: typed, partitioned, and with the audit's figures in DuckDB.

use std::process::Command;

use serde_json::Value;

use super::super::visits::ten;
use super::audit::{Told, counted, same};
use super::{Place, file, installed, told};

fn all() -> Place {
    Place::of(&ten().into_iter().map(|(_, events)| events).collect::<Vec<_>>())
}

/// What the queries of docs/sql find in DuckDB, and the types of the attempts' columns.
fn duck(place: &Place, tables: &str) -> (Vec<Told>, Vec<(String, String)>) {
    read_by("tests/service/duck.py", "CUFFNOTE_SERVICE_PYTHON", place, tables)
}

fn read_by(
    script: &str,
    python: &str,
    place: &Place,
    tables: &str,
) -> (Vec<Told>, Vec<(String, String)>) {
    let done = Command::new(installed(python))
        .arg(file(script))
        .args([place.path(tables), file("docs/sql")])
        .output()
        .unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let (mut found, mut types) = (Vec::new(), Vec::new());
    for line in String::from_utf8(done.stdout).unwrap().lines() {
        let told: Value = serde_json::from_str(line).unwrap();
        let text = |value: &Value| value.as_str().map(str::to_owned);
        let names: Vec<String> =
            told["columns"].as_array().unwrap().iter().filter_map(text).collect();
        for row in told["rows"].as_array().unwrap() {
            let cells: Vec<Option<String>> = row.as_array().unwrap().iter().map(text).collect();
            if told["name"] == "types" {
                types.push((cells[0].clone().unwrap(), cells[1].clone().unwrap()));
            } else {
                found.push(Told::of(&names, cells));
            }
        }
    }
    (found, types)
}

#[test]
#[ignore = "needs DuckDB, which tests/run service installs"]
fn duckdb_counts_what_the_audit_counts() {
    let place = all();
    let words = ["tables", "--book", "Tidemill=book", "--out", "tables"];
    let (well, said) = told(&place.service(&words));
    assert!(well && said.contains("10 visits written"), "{said}");
    let part = place.path("tables/attempt/from_service=Tidemill/month=2026-11/part-0.parquet");
    assert!(part.is_file());
    let (found, types) = duck(&place, "tables");
    same(found, counted(&place.book()));
    let of = |name: &str| types.iter().find(|(own, _)| own == name).unwrap().1.as_str();
    assert_eq!((of("cuff_mmhg"), of("withdrawn"), of("repeat")), ("DOUBLE", "BOOLEAN", "BIGINT"));
    assert_eq!((of("ended_at"), of("outcome")), ("TIMESTAMP WITH TIME ZONE", "VARCHAR"));
    // CSV by the same dictionary, and anew over what is there.
    let words = ["tables", "--book", "Tidemill=book", "--out", "tables", "--csv"];
    assert!(told(&place.service(&words)).0);
    same(duck(&place, "tables").0, counted(&place.book()));
}

fn written() -> Place {
    let place = all();
    let words = ["tables", "--book", "Tidemill=book", "--out", "tables"];
    assert!(told(&place.service(&words)).0);
    place
}

/// Another reader of Parquet, with the audit counted anew in its own language instead of SQL.
#[test]
#[ignore = "needs Arrow, which tests/run service installs"]
fn arrow_counts_what_the_audit_counts() {
    let place = written();
    let (found, types) =
        read_by("tests/service/arrow.py", "CUFFNOTE_SERVICE_PYTHON", &place, "tables");
    same(found, counted(&place.book()));
    let of = |name: &str| types.iter().find(|(own, _)| own == name).unwrap().1.as_str();
    assert_eq!((of("cuff_mmhg"), of("withdrawn"), of("repeat")), ("double", "bool", "int64"));
    assert_eq!((of("from_service"), of("month")), ("string", "string"), "from the folders' names");
}

/// Spark itself, on Java, by the files of docs/sql.
#[test]
#[ignore = "needs Spark and Java, which tests/run spark installs"]
fn spark_counts_what_the_audit_counts() {
    let place = written();
    let (found, types) =
        read_by("tests/service/spark.py", "CUFFNOTE_SPARK_PYTHON", &place, "tables");
    same(found, counted(&place.book()));
    let of = |name: &str| types.iter().find(|(own, _)| own == name).unwrap().1.as_str();
    assert_eq!((of("cuff_mmhg"), of("withdrawn"), of("repeat")), ("double", "boolean", "bigint"));
}

#[test]
fn tables_replace_only_tables() {
    let place = all();
    std::fs::create_dir(place.path("mine")).unwrap();
    std::fs::write(place.path("mine/letter.txt"), "dear").unwrap();
    let out = |out: &str| told(&place.service(&["tables", "--book", "book", "--out", out]));
    let (well, said) = out("mine");
    assert!(!well && said.contains("holds something else"), "{said}");
    assert!(place.path("mine/letter.txt").is_file());
    let (well, said) = out("book/tables");
    assert!(!well && said.contains("lies in the record book"), "{said}");
    assert!(out("tables").0 && out("tables").0);
    let told = std::fs::read_to_string(place.path("tables/cuffnote-tables")).unwrap();
    assert!(told.contains("cuff_mmhg") && told.contains("mmHg"));
    let (well, said) =
        super::told(&place.service(&["tables", "--book", "nowhere", "--out", "tables"]));
    assert!(
        !well && said.contains("there is no record book") && said.contains("what is there stays"),
        "{said}"
    );
    assert!(place.path("tables/visit").is_dir());
}
