//! The page for browsers held against the program: the same seed gives the same sound, the same taps the same scores.
//! What the page said is made by `tests/web/run`, which runs this test.

use cuffnote::practice::proof::{PlayedDrill, scored, sound_sum};
use serde_json::Value;

#[test]
#[ignore = "needs what the page said in a browser: tests/web/run"]
fn the_page_sounds_and_scores_as_the_program_does() {
    let file =
        std::env::var("CUFFNOTE_WEB_SAID").expect("CUFFNOTE_WEB_SAID names what the page said");
    let said: Value = serde_json::from_slice(&std::fs::read(file).unwrap()).unwrap();
    let rows = |name: &str| said[name].as_array().unwrap().clone();
    let sums = rows("sums");
    assert!(sums.len() >= 12);
    for row in &sums {
        let (kind, seed) = (row[0].as_str().unwrap(), row[1].as_u64().unwrap());
        assert_eq!(row[2], sound_sum(kind, seed), "{kind} {seed}");
    }
    let scores = rows("scores");
    assert!(scores.len() >= 15);
    for row in &scores {
        let (seed, late_ms) = (row[0].as_u64().unwrap(), row[1].as_f64().unwrap());
        assert_eq!(row[2], scored("First return", seed, late_ms), "{seed} {late_ms}");
    }
    for way in ["keys", "touch"] {
        let drill: PlayedDrill = serde_json::from_value(said[way]["drill"].clone()).unwrap();
        assert!(drill.cuff_mmhg.len() > 2_000, "{way}: seconds of a cuff that was worked");
        let given =
            drill.score.clone().unwrap_or_else(|| panic!("{way}: no score: {}", said[way]["told"]));
        assert_eq!(drill.scored_again(), Some(given), "{way}");
    }
    println!(
        "{} sounds, {} scores and two drills by hand are the same here",
        sums.len(),
        scores.len()
    );
}
