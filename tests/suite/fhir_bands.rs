//! What is said of an index in codes: only where a published meaning fits, else by our own published codes; and both
//! indexes in one, by the rules of a published national profile.

use std::collections::BTreeSet;

use cuffnote::clinical::event::Event;
use cuffnote::clinical::guidance::GuidanceSet;
use cuffnote::report::fhir::ServiceContext;
use cuffnote::report::fhir::bands::{self, BANDS, INTERPRETATION, INTERPRETATION_SENT};
use serde_json::{Value, json};

use super::bedside::{all_sets, set};
use super::visits::{bundle_by, ten};

fn observations(events: &[Event], sets: &[GuidanceSet], context: ServiceContext) -> Vec<Value> {
    let bundle: Value = serde_json::from_slice(&bundle_by(events, sets, context)).unwrap();
    let all = bundle["entry"].as_array().unwrap().iter().map(|entry| entry["resource"].clone());
    all.filter(|one| one["resourceType"] == "Observation").collect()
}

fn with_words(events: &[Event], sets: &[GuidanceSet]) -> Vec<Value> {
    let all = observations(events, sets, ServiceContext::default()).into_iter();
    all.filter(|one| one.get("interpretation").is_some()).collect()
}

/// The codes of one system in what is said of an index.
fn codes<'a>(one: &'a Value, system: &str) -> Vec<&'a str> {
    let all = one["interpretation"].as_array().unwrap().iter();
    let of = all.filter(|concept| concept["coding"][0]["system"] == system);
    of.map(|concept| concept["coding"][0]["code"].as_str().unwrap()).collect()
}

/// docs/fhir/CodeSystem-bands.json is made from the sets: CUFFNOTE_WRITE_FORMS=1 writes it anew.
#[test]
fn every_band_of_every_set_is_a_published_code() {
    let bands = bands::all().unwrap();
    let concept = |band: &bands::BandCode| json!({"code": band.code, "display": band.display, "definition": band.definition});
    let concepts: Vec<Value> = bands.iter().map(concept).collect();
    let system = json!({
        "resourceType": "CodeSystem",
        "id": "cuffnote-bands",
        "url": BANDS,
        "version": "1.0.0",
        "name": "CuffnoteBands",
        "title": "Bands of published guidance on the ankle-brachial index",
        "status": "active",
        "experimental": false,
        "caseSensitive": true,
        "content": "complete",
        "count": concepts.len(),
        "description": "Which band of which published set holds, as the program Cuffnote copied the set: SET.COPY.BAND. The names are the sets' words and mean nothing without their set. A copy with other limits has other codes; a code is never given another meaning.",
        "concept": concepts,
    });
    let text = format!("{}\n", serde_json::to_string_pretty(&system).unwrap());
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/fhir/CodeSystem-bands.json");
    if std::env::var_os("CUFFNOTE_WRITE_FORMS").is_some() {
        std::fs::write(path, &text).unwrap();
    }
    let told = std::fs::read_to_string(path).unwrap_or_default();
    assert!(told == text, "CUFFNOTE_WRITE_FORMS=1 writes docs/fhir/CodeSystem-bands.json anew");
}

#[test]
fn only_codes_whose_meaning_fits_are_sent_and_never_that_for_normal() {
    let known: BTreeSet<String> = bands::all().unwrap().into_iter().map(|band| band.code).collect();
    assert_eq!(INTERPRETATION_SENT, [">", "L", "H"]);
    let mut seen = BTreeSet::new();
    for (name, events) in ten() {
        for one in with_words(&events, &all_sets()) {
            let (hl7, own) = (codes(&one, INTERPRETATION), codes(&one, BANDS));
            let value = one["valueQuantity"]["value"].as_f64();
            let above = one["valueQuantity"].get("comparator").is_some();
            assert!(own.iter().all(|code| known.contains(*code)), "{name}: {own:?}");
            let all = one["interpretation"].as_array().unwrap();
            assert_eq!(all.len(), hl7.len() + own.len(), "{name}: every word has a code");
            for code in &hl7 {
                match *code {
                    ">" => assert!(above, "{name}: {one}"),
                    "L" => assert!(!above && value.unwrap() <= 0.90, "{name}: {one}"),
                    "H" => assert!(!above && value.unwrap() > 1.40, "{name}: {one}"),
                    other => panic!("{name}: {other} was sent"),
                }
                seen.insert((*code).to_owned());
            }
            let outside = hl7.iter().any(|code| ["L", "H"].contains(code));
            assert_eq!(one.get("referenceRange").is_some(), outside, "{name}: {one}");
            for concept in all {
                let text = concept["text"].as_str().unwrap();
                let bare = text.replace("\"normal\"", "").contains("normal");
                assert!(!bare || text.contains("\"abnormal"), "{name}: {text}");
            }
        }
    }
    assert!(seen.contains("L") && seen.contains(">"), "{seen:?}");
}

#[test]
fn an_index_below_the_range_says_so_with_the_range_and_one_within_says_nothing_of_it() {
    let all = with_words(&ten()[0].1, &[set("acc-aha-2024")]);
    let of =
        |side: &str| all.iter().find(|one| one["bodySite"]["coding"][0]["code"] == side).unwrap();
    let (right, left) = (of("62175007"), of("32153003"));
    assert_eq!(right["valueQuantity"]["value"], 0.7);
    assert_eq!(
        (codes(right, INTERPRETATION), codes(right, BANDS)),
        (vec!["L"], vec!["acc-aha-2024.1.abnormal"])
    );
    let range = &right["referenceRange"][0];
    assert_eq!((&range["low"]["value"], &range["high"]["value"]), (&json!(1.0), &json!(1.4)));
    assert_eq!(range["text"], "2024 ACC/AHA: \"normal\" (1.00-1.40)");
    assert_eq!(left["valueQuantity"]["value"], 1.03);
    assert_eq!(
        (codes(left, INTERPRETATION), codes(left, BANDS)),
        (vec![], vec!["acc-aha-2024.1.normal"])
    );
    assert!(left.get("referenceRange").is_none());
    // By a set that prints no range there is no side of it.
    for one in with_words(&ten()[0].1, &[set("rnao"), set("wifi")]) {
        assert!(codes(&one, INTERPRETATION).is_empty() && !codes(&one, BANDS).is_empty());
    }
}

/// A service's own set may bear the id of a shipped one: its bands are words alone.
#[test]
fn a_set_of_a_services_own_has_no_published_code() {
    let mut own = set("acc-aha-2024");
    own.bands[0].when = set("rnao").bands[0].when.clone();
    let all = with_words(&ten()[0].1, &[own]);
    assert!(!all.is_empty());
    for one in all {
        assert!(codes(&one, BANDS).is_empty() && codes(&one, INTERPRETATION).is_empty(), "{one}");
    }
}

/// The rules of the profile, read on 28 November 2026 in the public repository HL7LT/ig-lt-cvd, file
/// input/fsh/profiles/ankle-brachial-index-lt-cvd.fsh, commit f4b9888; its parent is ObservationLt of HL7LT/ig-lt-base,
/// commit 765923c. Both are FHIR R5, and no package of them was to be had.
#[test]
fn the_national_option_keeps_each_rule_of_the_published_profile() {
    let context = || ServiceContext { national: true, ..ServiceContext::default() };
    let mut found = 0;
    for (name, events) in ten() {
        for one in observations(&events, &all_sets(), context()) {
            if one["category"][0]["coding"][0]["code"] != "procedure" {
                continue;
            }
            found += 1;
            let coding = |concept: &Value| concept["coding"][0].clone();
            let category = json!({"system": "http://terminology.hl7.org/CodeSystem/observation-category", "code": "procedure", "display": "Procedure"});
            assert_eq!(coding(&one["category"][0]), category);
            let code = json!({"system": "http://snomed.info/sct", "code": "446841001", "display": "Ankle brachial pressure index (observable entity)"});
            assert_eq!(coding(&one["code"]), code);
            assert_eq!(one["subject"]["type"], "Patient");
            assert!(one["effectiveDateTime"].is_string());
            assert!(one.as_object().unwrap().keys().all(|key| !key.starts_with("value")));
            let parts = one["component"].as_array().unwrap();
            let sides: BTreeSet<&str> = parts
                .iter()
                .map(|part| part["code"]["coding"][0]["code"].as_str().unwrap())
                .collect();
            assert_eq!(sides.len(), parts.len(), "{name}: each side at most once");
            for part in parts {
                let (code, display) = match coding(&part["code"])["code"].as_str().unwrap() {
                    "right-abi" => ("right-abi", "Right ankle-brachial index"),
                    "left-abi" => ("left-abi", "Left ankle-brachial index"),
                    other => panic!("{other}"),
                };
                let wanted = json!({"system": "https://tx.hl7.lt/fhir/CodeSystem/abi-component", "code": code, "display": display});
                assert_eq!(coding(&part["code"]), wanted);
                let quantity = &part["valueQuantity"];
                assert_eq!(
                    (&quantity["unit"], &quantity["code"]),
                    (&json!("ratio"), &json!("{ratio}"))
                );
                assert_eq!(quantity["system"], "http://unitsofmeasure.org");
                assert!(quantity.get("comparator").is_none() && quantity["value"].is_number());
            }
            // Its own words of severity are required where any are sent; they call an index above 0.9 normal, bare.
            assert!(one.get("interpretation").is_none());
            // A profile of R5: a resource of R4 does not claim it, and only has elements that both know.
            assert!(one["meta"].get("profile").is_none());
            let both = [
                "resourceType",
                "identifier",
                "status",
                "category",
                "code",
                "subject",
                "effectiveDateTime",
                "issued",
                "performer",
                "component",
                "device",
                "extension",
                "text",
                "note",
                "meta",
            ];
            for key in one.as_object().unwrap().keys() {
                assert!(both.contains(&key.as_str()), "{name}: {key}");
            }
        }
    }
    assert!(found >= 5, "{found}");
}
