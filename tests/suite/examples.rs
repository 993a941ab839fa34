//! Published and constructed worked examples of the index. Each names its source and how sure that is.

use cuffnote::clinical::method::Method;

use super::bedside::{by, indexes, visit};

/// The name of the first band of each leg, `-` where there is none.
fn bands(words: &str) -> [String; 2] {
    let result = visit(words);
    [&result.right, &result.left].map(|leg| match leg.bands.first() {
        Some(band) => band.band.split(" (").next().unwrap().to_owned(),
        None => "-".into(),
    })
}

const W1: &str = "right-arm 160, left-arm 120, right-pt 80, right-dp 60, left-pt 100, left-dp 120";
const W2: &str = "right-arm 140, left-arm 136, right-pt 98, right-dp 91";

#[test]
fn published_and_teaching_examples() {
    // W1: Brunner & Suddarth, Textbook of Medical-Surgical Nursing, vascular chapter; from memory.
    assert_eq!(indexes(&visit(W1)), ["0.50", "0.75"]);
    // W2: exam question in a public repository; low authority, one leg.
    assert_eq!(indexes(&visit(W2))[0], "0.70");
    assert_eq!(bands(W2)[0], "abnormal");
    // W3 to W5, W7, W8 give one ankle and one arm; low authority (nursing exams, a wound-care course, a
    // how-to page, a formula page). The other arm is entered as skipped.
    for (arm, ankle, index) in [
        (140, 88, "0.63"),
        (135, 110, "0.81"),
        (140, 90, "0.64"),
        (100, 120, "1.20"),
        (140, 120, "0.86"),
    ] {
        let words = format!("right-arm {arm}, left-arm skipped, left-dp {ankle}");
        assert_eq!(indexes(&visit(&words))[1], index);
    }
    // W6: a secondary page; low authority.
    let w6 = "right-arm 110, left-arm 110, right-dp 100, left-dp 120";
    assert_eq!(indexes(&visit(w6)), ["0.91", "1.09"]);
    assert_eq!(bands(w6), ["borderline", "normal"]);
    // A further one, both legs; low authority.
    let further = "left-arm 130, right-arm 128, left-dp 125, right-dp 120";
    assert_eq!(indexes(&visit(further)), ["0.92", "0.96"]);
}

#[test]
fn the_same_pressures_by_the_other_published_methods() {
    // Computed from the definitions (Lange 2007; NHANES-like), half up.
    for (method, right, left) in [
        (Method::Lower, "0.38", "0.63"),
        (Method::Mean, "0.44", "0.69"),
        (Method::PtOnly, "0.57", "0.71"),
        // Same-side arm: 80/160 and 120/120.
        (Method::SameSideArm, "0.50", "1.00"),
    ] {
        let result = by(method, W1);
        assert_eq!(indexes(&result), [right, left], "{method:?}");
        assert!(result.notes[0].contains(method.words()), "the method is named");
        assert!(result.right.words.iter().any(|w| w.contains(method.words())));
    }
    for (method, right) in
        [(Method::Lower, "0.65"), (Method::Mean, "0.68"), (Method::PtOnly, "0.71")]
    {
        assert_eq!(indexes(&by(method, W2))[0], right, "{method:?}");
    }
}

#[test]
fn constructed_vectors() {
    // C1 to C8: constructed for the 2024 ACC/AHA limits, not published. arms R/L; PT/DP R; PT/DP L.
    let table = [
        ([128, 124], [126, 132], [118, 120], ["1.03", "0.94"], ["normal", "borderline"]),
        ([140, 130], [112, 126], [140, 126], ["0.90", "1.00"], ["abnormal", "normal"]),
        ([150, 128], [90, 84], [140, 150], ["0.60", "1.00"], ["abnormal", "normal"]),
        ([130, 128], [190, 176], [150, 140], ["1.46", "1.15"], ["non-compressible", "normal"]),
        ([126, 124], [114, 110], [113, 108], ["0.90", "0.90"], ["abnormal", "abnormal"]),
        ([200, 196], [81, 79], [80, 70], ["0.41", "0.40"], ["abnormal", "abnormal"]),
        ([120, 118], [60, 56], [59, 50], ["0.50", "0.49"], ["abnormal", "abnormal"]),
        ([100, 98], [140, 138], [141, 139], ["1.40", "1.41"], ["normal", "non-compressible"]),
    ];
    for ([ra, la], [rpt, rdp], [lpt, ldp], index, band) in table {
        let words = format!(
            "right-arm {ra}, left-arm {la}, right-pt {rpt}, right-dp {rdp}, left-pt {lpt}, left-dp {ldp}"
        );
        assert_eq!(indexes(&visit(&words)), index, "{words}");
        assert_eq!(bands(&words), band, "{words}");
    }
}

#[test]
fn rounding_vectors_say_where_rounding_decided() {
    // R1 to R3 and C5: constructed. 127/140 = 0.9071, 199/200 = 0.995, 281/200 = 1.405, 114/126 = 0.9048.
    for (arm, ankle, index, band) in [
        (140, 127, "0.91", "borderline"),
        (200, 199, "1.00", "normal"),
        (200, 281, "1.41", "non-compressible"),
        (126, 114, "0.90", "abnormal"),
    ] {
        let words = format!("right-arm {arm}, left-arm {arm}, right-dp {ankle}");
        let result = visit(&words);
        assert_eq!(indexes(&result)[0], index);
        assert_eq!(bands(&words)[0], band);
        let said = result.right.words.iter().any(|w| w.starts_with("Rounding moved the index"));
        // 1.405 lies above 1.40 before and after.
        assert_eq!(said, index != "1.41", "{words}");
    }
    assert!(!visit(W2).right.words.iter().any(|w| w.starts_with("Rounding")));
}

#[test]
fn an_absent_artery_is_never_zero() {
    // R4: constructed. The other artery is used, and said.
    let one = visit("right-arm 140, left-arm 138, right-dp none, right-pt 98");
    assert_eq!(indexes(&one)[0], "0.70");
    assert!(
        one.right.words.iter().any(|w| w.contains("one artery only") && w.contains("no signal"))
    );
    // R5: constructed. No index, a red flag above all.
    let none = visit("right-arm 140, left-arm 138, right-dp none, right-pt none, left-dp 120");
    assert_eq!(indexes(&none)[0], "-");
    assert!(none.right.words[0].starts_with("Red flag"));
    assert!(none.right.bands.is_empty());
    assert!(
        !none.left.words.iter().any(|w| w.starts_with("Red flag")),
        "the other leg is not flagged"
    );
    let json = serde_json::to_value(&none).unwrap();
    assert!(json["right"]["index"].is_null() && json["right"]["low"].is_null());
}

#[test]
fn the_interval_contains_the_index_and_both_have_two_decimals() {
    let result =
        visit("right-arm 148, left-arm 142, right-dp 96, right-pt 104, left-dp 150, left-pt 146");
    assert_eq!(indexes(&result), ["0.70", "1.01"]);
    for leg in [&result.right, &result.left] {
        let (low, index, high) = (leg.low.unwrap(), leg.index.unwrap(), leg.high.unwrap());
        assert!(low <= index && index <= high && low < high);
    }
}
