//! `trial --book`: the listener scored on a record book's own recordings, where two people agree on the return.

use std::collections::BTreeMap;

use serde_json::Value;

use super::shop::Shop;

/// One numbered copy: what the listener says of it, and where the truth beside the fixture puts the return.
struct Copy {
    site: String,
    return_s: Option<f64>,
    beat_s: f64,
    truth_s: f64,
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

/// The recordings of the demonstration's visit, handed out blind; by number.
fn handed_out(shop: &Shop) -> BTreeMap<usize, Copy> {
    let recordings = shop.path("book/recordings").join(&shop.id);
    let mut files: Vec<String> = std::fs::read_dir(&recordings)
        .unwrap()
        .map(|entry| entry.unwrap().path().display().to_string())
        .filter(|path| path.ends_with(".wav"))
        .collect();
    files.sort();
    assert_eq!(files.len(), 7);
    // A recording that this book does not have is told as such.
    std::fs::copy(
        concat!(env!("CARGO_MANIFEST_DIR"), "/audio-fixtures/visit-left-dp.wav"),
        shop.path("stranger.wav"),
    )
    .unwrap();
    shop.done("make plain --seed 5 --out stranger.wav --force");
    shop.done(&format!("overread prepare {} stranger.wav --out second", files.join(" ")));
    let shown = json(&shop.done("book show ID --json"));
    let key = std::fs::read_to_string(shop.path("second-key.csv")).unwrap();
    let mut copies = BTreeMap::new();
    for row in key.lines().skip(1) {
        let (number, name) = row.split_once(',').unwrap();
        let number: usize = number.parse().unwrap();
        let copy = format!("second/{number:03}.wav");
        let heard = json(&shop.done(&format!("listen {copy} --json")));
        let (site, truth) = match name {
            "stranger.wav" => ("none".to_owned(), shop.path("stranger.json")),
            _ => of_fixture(shop, &shown, &copy),
        };
        let truth = json(&std::fs::read_to_string(truth).unwrap());
        copies.insert(
            number,
            Copy {
                site,
                return_s: heard["return_s"].as_f64(),
                beat_s: 60.0 / heard["heart_rate_bpm"].as_f64().unwrap(),
                truth_s: truth["audible_s"].as_f64().unwrap(),
            },
        );
    }
    copies
}

/// Site and truth of a copy: the book's recordings are the shipped ones, byte by byte of their sound.
fn of_fixture(shop: &Shop, shown: &Value, copy: &str) -> (String, std::path::PathBuf) {
    let fixtures = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("audio-fixtures");
    let samples = |path: &std::path::Path| -> Vec<i16> {
        hound::WavReader::open(path).unwrap().samples::<i16>().map(Result::unwrap).collect()
    };
    let wanted = samples(&shop.path(copy));
    assert!(shown["recordings"].as_array().is_some_and(|all| all.len() == 7), "{shown}");
    for entry in std::fs::read_dir(fixtures).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let site = name.strip_prefix("visit-").and_then(|name| name.strip_suffix(".wav"));
        let Some(site) = site.filter(|_| samples(&path) == wanted) else { continue };
        return (site.trim_end_matches("-again").to_owned(), path.with_extension("json"));
    }
    panic!("{copy} is none of the shipped recordings");
}

#[test]
fn the_listener_is_scored_where_two_people_agree() {
    let shop = Shop::new();
    let copies = handed_out(&shop);
    let of_book: Vec<usize> =
        copies.iter().filter(|(_, copy)| copy.site != "none").map(|(number, _)| *number).collect();
    let (apart, empty, late) = (of_book[0], of_book[1], of_book[2]);
    let sheet = |reader: &str, off_s: f64| {
        let mut text = String::from("number,return_s,reading_mmhg,word\n");
        for (number, copy) in &copies {
            // Both say of one recording that the pulse came back three seconds earlier than it did.
            let earlier = if *number == late { -3.0 } else { 0.0 };
            let off_s = if *number == apart { 5.0 * off_s } else { off_s };
            let cell = match *number == empty && reader == "berta" {
                true => String::new(),
                false => format!("{:.3}", copy.truth_s + earlier + off_s),
            };
            text += &format!("{number},{cell},,\n");
        }
        std::fs::write(shop.path(&format!("{reader}.csv")), text).unwrap();
    };
    sheet("anna", 0.1);
    sheet("berta", -0.1);
    let mut about = String::from("number,device,room\n");
    for (number, copy) in &copies {
        let device = if copy.site.starts_with("right") { "D-1" } else { "D-2" };
        about += &format!("{number},{device},clinic\n");
    }
    std::fs::write(shop.path("about.csv"), about).unwrap();
    let words = "trial --book book --list second --answers anna.csv berta.csv";
    let told = json(&shop.done(&format!("{words} --about about.csv --json --out cases.csv")));
    super::described::holds("trial-book", std::slice::from_ref(&told));
    let figures = ["recordings", "not_judged", "disagreed", "not_in_book", "scored"];
    assert_eq!(figures.map(|name| told[name].as_u64().unwrap()), [8, 1, 1, 1, 5]);
    assert_eq!(told["readers"], serde_json::json!(["anna", "berta"]));

    // Worked out once more, by hand: right is within one beat.
    let scored = of_book.iter().filter(|number| ![apart, empty].contains(number));
    let right = |number: &&usize| {
        let copy = &copies[*number];
        let truth = copy.truth_s - if **number == late { 3.0 } else { 0.0 };
        copy.return_s.is_some_and(|at| (at - truth).abs() <= copy.beat_s)
    };
    let right = scored.clone().filter(right).count();
    assert!(right < 5, "one of them is late by what both readers say");
    let stratum = |by: &str, name: &str| {
        let all = told["strata"].as_array().unwrap();
        let found = all.iter().find(|one| one["by"] == by && one["stratum"] == name);
        found.unwrap_or_else(|| panic!("{by} {name}: {told}")).clone()
    };
    let all = stratum("all", "all");
    assert_eq!((all["cases"].as_u64(), all["visits"].as_u64()), (Some(5), Some(1)));
    assert!((all["right"].as_f64().unwrap() - right as f64 / 5.0).abs() < 1e-3, "{all}");
    assert!((all["late"].as_f64().unwrap() - 0.2).abs() < 1e-9, "{all}");
    let [low, high] = [0, 1].map(|at| all["right_interval"][at].as_f64().unwrap());
    let share = all["right"].as_f64().unwrap();
    assert!(low < share && share <= high && low > 0.0, "{all}");
    assert_eq!(stratum("room", "clinic")["cases"], 5);
    let by_device: u64 =
        ["D-1", "D-2"].map(|name| stratum("device", name)["cases"].as_u64().unwrap()).iter().sum();
    assert_eq!(by_device, 5);
    let sites = scored.clone().map(|number| copies[number].site.as_str());
    for site in sites.collect::<std::collections::BTreeSet<_>>() {
        stratum("site", site);
    }
    let rows = std::fs::read_to_string(shop.path("cases.csv")).unwrap();
    assert_eq!(rows.lines().count(), 6);
    assert!(rows.contains("device=D-1; room=clinic"), "{rows}");
    let text = shop.done(words);
    assert!(text.starts_with("5 of 8 recordings scored: 1 not judged") && text.contains("site: "));

    // A wider word of the readers: more of them agree.
    let wider = json(&shop.done(&format!("{words} --within 2 --json")));
    assert_eq!((wider["disagreed"].as_u64(), wider["scored"].as_u64()), (Some(0), Some(6)));
    for (words, why) in [
        ("trial --book book --list second --answers anna.csv anna.csv", "two sheets have one name"),
        ("trial --book book --list second --answers anna.csv", "2 values required"),
        ("trial --book nothing --list second --answers anna.csv berta.csv", "nothing"),
        ("trial --book book --list nothing --answers anna.csv berta.csv", "no key"),
        ("trial --book book --list second --answers anna.csv readings.csv", "expected the columns"),
        ("trial --book book", "--list"),
    ] {
        let output = shop.run(words);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(!output.status.success() && said.contains(why), "{words}: {said}");
    }
}
