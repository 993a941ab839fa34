//! `trial --made`: the listener scored on sounds with their truth beside them, whoever made them.

use serde_json::{Value, json};

use super::shop::Shop;

fn read(shop: &Shop, name: &str) -> Value {
    serde_json::from_slice(&std::fs::read(shop.path(name)).unwrap()).unwrap()
}

fn refused(shop: &Shop, words: &str, says: &str) {
    let output = shop.run(words);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(!output.status.success() && said.contains(says), "{words}: {said}");
}

#[test]
fn sounds_made_elsewhere_are_scored_by_the_truth_beside_them() {
    let shop = Shop::new();
    std::fs::create_dir(shop.path("made")).unwrap();
    for (scenario, name) in [("plain", "a"), ("plain", "b"), ("never-returns", "c")] {
        shop.done(&format!("make {scenario} --seed 5 --out made/{name}.wav --force"));
    }
    // Of another simulator: only what is needed. Its pulse comes back half a minute later than the sound's, so that the
    // listener, who is right about the sound, is early by this truth.
    let truth = read(&shop, "made/b.json");
    let later = |s: &Value| json!(s.as_f64().unwrap() + 30.0);
    let of = |o: &Value| json!({"onset_s": later(&o["onset_s"]), "cuff_mmhg": o["cuff_mmhg"], "d_prime": o["d_prime"]});
    let openings: Vec<Value> = truth["openings"].as_array().unwrap().iter().map(of).collect();
    let closed = later(&truth["inflations"][0]["closed_s"]);
    let inflation =
        json!({"closed_s": closed, "top_s": closed, "audible_s": later(&truth["audible_s"])});
    let other = json!({
        "scenario": "of another make",
        "heart_rate_bpm": truth["heart_rate_bpm"],
        "openings": openings,
        "inflations": [inflation],
        "audible_s": later(&truth["audible_s"]),
        "audible_mmhg": truth["audible_mmhg"],
    });
    std::fs::write(shop.path("made/b.json"), other.to_string()).unwrap();

    let told: Value =
        serde_json::from_str(&shop.done("trial --made made --json --out cases.csv")).unwrap();
    super::described::holds("trial-made", std::slice::from_ref(&told));
    assert_eq!(told["sounds"], 3);
    let figures = |name: &str| {
        let found = told["strata"].as_array().unwrap().iter().find(|s| s["stratum"] == name);
        let found = found.unwrap_or_else(|| panic!("{name}: {told}"));
        ["cases", "right", "early", "wrong"].map(|field| found[field].as_f64().unwrap())
    };
    assert_eq!(figures("plain"), [1.0, 1.0, 0.0, 0.0]);
    assert_eq!(figures("never-returns"), [1.0, 1.0, 0.0, 0.0]);
    assert_eq!(figures("of another make"), [1.0, 0.0, 1.0, 0.0]);
    assert_eq!(figures("all"), [3.0, 0.6667, 0.3333, 0.0]);
    let rows = std::fs::read_to_string(shop.path("cases.csv")).unwrap();
    let verdicts: Vec<&str> =
        rows.lines().skip(1).map(|row| row.split(',').nth(6).unwrap()).collect();
    assert_eq!(verdicts, ["Hit", "Early", "Silent"]);
    let table = shop.done("trial --made made");
    assert!(table.contains("of another make") && table.contains("3 sounds"), "{table}");

    std::fs::write(shop.path("made/c.json"), "{}").unwrap();
    refused(&shop, "trial --made made", "c.json: no truth of a sound");
    std::fs::remove_file(shop.path("made/c.json")).unwrap();
    refused(&shop, "trial --made made", "c.json");
    std::fs::create_dir(shop.path("empty")).unwrap();
    refused(&shop, "trial --made empty", "holds no sound");
    // What it would not heed is refused.
    refused(&shop, "trial --made made --quick", "--quick");
}
