//! Every limit of every guidance set from both sides, written out by hand from the facts, and the WIfI table.

use cuffnote::clinical::condition::{Condition, Quantity};
use cuffnote::clinical::exact::Ratio;
use cuffnote::clinical::guidance::{self, GuidanceSet, Values};

use super::bedside::{all_sets, set, visit};

/// The bands of a set at one value, by name, joined with `+`.
fn at(set: &GuidanceSet, quantity: Quantity, hundredths: i64) -> String {
    let values = Values::only(quantity, Ratio::hundredths(hundredths));
    let names: Vec<&str> =
        set.bands_at(&values).iter().map(|(band, _)| band.name.as_str()).collect();
    names.join("+")
}

fn check(id: &str, quantity: Quantity, table: &[(i64, &str)]) {
    let set = set(id);
    for (hundredths, expected) in table {
        assert_eq!(at(&set, quantity, *hundredths), *expected, "{id}: {quantity:?} {hundredths}");
    }
}

#[test]
fn acc_aha_2024() {
    // 2024 pocket guideline p. 15; Gerhard-Herman 2016, resting ABI table: <=0.90, 0.91-0.99, 1.00-1.40, >1.40.
    check(
        "acc-aha-2024",
        Quantity::Index,
        &[
            (0, "abnormal"),
            (90, "abnormal"),
            (91, "borderline"),
            (99, "borderline"),
            (100, "normal"),
            (140, "normal"),
            (141, "non-compressible"),
            (300, "non-compressible"),
        ],
    );
    // 2016: a toe-brachial index of 0.70 or less.
    let toe = [(70, "abnormal toe-brachial index"), (71, "")];
    check("acc-aha-2024", Quantity::ToeIndex, &toe);
}

#[test]
fn nice_cks() {
    // As quoted on a secondary page: <0.5, 0.5-0.8, >0.8, >1.3, >1.5.
    check(
        "nice-cks",
        Quantity::Index,
        &[
            (49, "severe arterial insufficiency"),
            (50, "arterial or mixed disease"),
            (80, "arterial or mixed disease"),
            (81, "above 0.8"),
            (130, "above 0.8"),
            (131, "above 0.8+possible calcification"),
            (150, "above 0.8+possible calcification"),
            (151, "above 0.8+possible calcification+likely incompressible"),
        ],
    );
}

#[test]
fn german_s2k() {
    // By way of a course page: none if ABI < 0.5 or ankle < 60 or toe < 30; 50-60 inelastic under close watch.
    check("german-s2k", Quantity::Index, &[(49, "no compression"), (50, "")]);
    check(
        "german-s2k",
        Quantity::Ankle,
        &[
            (4_999, "no compression"),
            (5_000, "no compression+inelastic under close watch"),
            (5_999, "no compression+inelastic under close watch"),
            (6_000, "inelastic under close watch"),
            (6_001, ""),
        ],
    );
    check("german-s2k", Quantity::Toe, &[(2_999, "no compression"), (3_000, "")]);
}

#[test]
fn consensus_2020() {
    // Rabe 2020 as quoted: ABPI < 0.6, ankle < 60, toe < 30.
    check("consensus-2020", Quantity::Index, &[(59, "severe disease"), (60, "")]);
    check("consensus-2020", Quantity::Ankle, &[(5_999, "severe disease"), (6_000, "")]);
    check("consensus-2020", Quantity::Toe, &[(2_999, "severe disease"), (3_000, "")]);
}

#[test]
fn rnao() {
    // Its web pages: refer if > 1.2 or < 0.8; high compression at 0.8 or more.
    check(
        "rnao",
        Quantity::Index,
        &[
            (79, "refer"),
            (80, "high compression"),
            (120, "high compression"),
            (121, "refer+high compression"),
        ],
    );
}

#[test]
fn limb_threat() {
    // PMC11279131, table 2. TASC II: rest pain ankle <50, toe <30; ulcer or gangrene ankle <70, toe <50.
    let both = "with rest pain+with ulcer or gangrene";
    let wider = "with ulcer or gangrene";
    check(
        "tasc-2007",
        Quantity::Ankle,
        &[(4_999, both), (5_000, wider), (6_999, wider), (7_000, "")],
    );
    check(
        "tasc-2007",
        Quantity::Toe,
        &[(2_999, both), (3_000, wider), (4_999, wider), (5_000, "")],
    );
    // ESC 2017: ankle <50, ABI <0.40, toe <30.
    check("esc-2017", Quantity::Index, &[(39, "limb threat"), (40, "")]);
    check("esc-2017", Quantity::Ankle, &[(4_999, "limb threat"), (5_000, "")]);
    check("esc-2017", Quantity::Toe, &[(2_999, "limb threat"), (3_000, "")]);
}

#[test]
fn wifi_table() {
    // Mills 2014, grades 1-3 as in PMC11279131 table 2, grade 0 and the printed 0.39 in three agreeing pages.
    let grades: [&str; 4] = ["grade 0", "grade 1", "grade 2", "grade 3"];
    check(
        "wifi",
        Quantity::Index,
        &[
            (80, grades[0]),
            (79, grades[1]),
            (60, grades[1]),
            (59, grades[2]),
            (40, grades[2]),
            (39, grades[3]),
        ],
    );
    // Exactly 70 mmHg stands in two grades, as printed.
    check(
        "wifi",
        Quantity::Ankle,
        &[
            (10_001, grades[0]),
            (10_000, grades[1]),
            (7_001, grades[1]),
            (7_000, "grade 1+grade 2"),
            (6_999, grades[2]),
            (5_000, grades[2]),
            (4_999, grades[3]),
        ],
    );
    // Toe pressures are printed as whole numbers: between 59 and 60 there is a gap, and it stays one.
    check(
        "wifi",
        Quantity::Toe,
        &[
            (6_000, grades[0]),
            (5_950, ""),
            (5_900, grades[1]),
            (4_000, grades[1]),
            (3_900, grades[2]),
            (3_000, grades[2]),
            (2_900, grades[3]),
        ],
    );
}

#[test]
fn every_limit_of_every_set_is_checked_above() {
    // The limits in the files, counted: whoever adds one adds its check.
    let count = |set: &GuidanceSet| -> usize {
        set.bands.iter().flat_map(|b| &b.when.0).map(|clause| clause.limits().count()).sum()
    };
    let counts: Vec<(String, usize)> =
        all_sets().iter().map(|s| (s.id.clone(), count(s))).collect();
    let expected = [
        ("acc-aha-2024", 7),
        ("nice-cks", 6),
        ("german-s2k", 5),
        ("consensus-2020", 3),
        ("rnao", 3),
        ("wifi", 18),
        ("tasc-2007", 4),
        ("esc-2017", 3),
    ];
    assert_eq!(counts, expected.map(|(id, n)| (id.to_owned(), n)));
}

#[test]
fn the_shipped_sets_read_carry_their_ids_and_name_their_sources() {
    for (id, set) in guidance::ids().zip(all_sets()) {
        assert_eq!(set.id, id);
        assert!(set.source.len() > 20, "{id}");
        for band in &set.bands {
            assert!(
                set.source_of(band, cuffnote::words::Words::english()).ends_with(')'),
                "{id}: the status stands at the end"
            );
        }
    }
}

#[test]
fn a_services_own_set_is_read_and_its_faults_are_named() {
    let text = "version = 1\nid = \"own\"\nname = \"Our clinic\"\nset_version = \"1\"\nsource = \"our policy 7\"\nstatus = \"own\"\nlook_again = \"2027-01-01\"\n\n[[band]]\nwhen = \"index < 0.60\"\nname = \"low\"\nwords = \"ask the vascular clinic\"\ncaution = 1\n";
    assert_eq!(at(&GuidanceSet::parse("own.toml", text).unwrap(), Quantity::Index, 59), "low");
    let fault = |from: &str, to: &str| {
        GuidanceSet::parse("own.toml", &text.replace(from, to)).unwrap_err().to_string()
    };
    assert!(
        fault("index < 0.60", "index under 0.60")
            .starts_with("own.toml, line 10: `index under 0.60`")
    );
    assert!(fault("\"own\"\nlook", "\"certain\"\nlook").contains("line 6"));
    assert!(fault("2027-01-01", "soon").contains("line 7: expected a day"));
    assert!(fault("our policy 7", " ").contains("line 5: expected where"));
    assert!(fault("caution = 1", "caution = high").contains("line 13"));
    assert!(fault("caution", "cuation").contains("own.toml, line"));
    assert!(fault("version = 1\nid", "version = 2\nid").contains("line 1: expected version = 1"));
    assert!(GuidanceSet::parse("own.toml", "version = 1").is_err());
    assert!(Condition::parse("index >= 0.5 or toe <= 30").is_ok());
}

#[test]
fn gaps_and_overlaps_are_said() {
    let words = "right-arm 100, left-arm 100, right-dp 70, right-pt 60";
    let events = super::bedside::events(super::bedside::opened(Default::default()), words, vec![]);
    let result = super::bedside::result_of(&events, &[set("wifi"), set("consensus-2020")]);
    let said = |text: &str| result.right.words.iter().any(|w| w.contains(text));
    assert!(said("WIfI ischaemia grade: several bands apply at once, each as printed."));
    assert!(said("2020 international consensus on compression has no band for index 0.70."));
    assert_eq!(result.right.bands.iter().filter(|b| b.id == "wifi").count(), 2);
}

#[test]
fn a_limit_inside_the_doubt_is_said_first_and_the_cautious_side_holds() {
    // 130/140 = 0.93: the interval reaches 0.90, so "abnormal" holds meanwhile; the value keeps its own band.
    let result = visit("right-arm 140, left-arm 138, right-dp 128, right-pt 120");
    let leg = &result.right;
    assert_eq!(leg.bands[0].band, "borderline (0.91-0.99)");
    let crossing = &leg.crossings[0];
    assert!(crossing.limits.contains(&"0.90/0.91".to_owned()), "{:?}", crossing.limits);
    assert!(crossing.meanwhile.contains("\"abnormal\" (<= 0.90)"));
    assert!(crossing.own.contains("\"borderline\""));
    assert!(crossing.repeat.is_some());
    let place = |text: &str| leg.words.iter().position(|w| w.contains(text)).unwrap();
    assert!(place("within the measurement uncertainty") < place("2024 ACC/AHA for index"));
    // No value that a repeat would need is shown: every number in the sentence is a limit or the interval.
    let interval = format!("({} to {})", leg.low.unwrap(), leg.high.unwrap());
    let rest = crossing.words.replace(&interval, "").replace("2024", "");
    let known = ["0.90", "0.91", "0.99", "0.90/0.91"];
    for token in rest.split(|c: char| !c.is_ascii_digit() && c != '.').filter(|t| t.len() > 1) {
        let token = token.trim_end_matches('.');
        assert!(token.is_empty() || known.contains(&token), "{token} in {}", crossing.words);
    }
}
