//! The examples that stand first in each verb's help. A test runs every one of them.

use clap::Command;

/// Verb and examples. `ID` stands for a visit's id. Those of [`NEED_MORE`] are only understood by the test: they need a
/// device, a window, a server or another laptop's book.
const EXAMPLES: &[(&str, &[&str])] = &[
    (
        "",
        &[
            "cuffnote --source sim:visit#1",
            "cuffnote listen right-pt.wav",
            "cuffnote index --right-arm 148 --left-arm 142 --right-pt 104 --left-pt 146",
            "cuffnote report ID --out report.pdf",
        ],
    ),
    ("demo", &["cuffnote demo --out demonstration"]),
    (
        "listen",
        &[
            "cuffnote listen right-pt.wav",
            "cuffnote listen --recursive recordings --json",
            "cuffnote listen right-pt.wav --features pulses.csv --sonogram right-pt.svg",
            "cuffnote listen --live --record arm.wav",
        ],
    ),
    (
        "index",
        &[
            "cuffnote index --right-arm 148 --left-arm 142 --right-pt 104 --left-pt 146",
            "cuffnote index --csv readings.csv --json",
        ],
    ),
    ("recheck", &["cuffnote recheck visit.json", "cuffnote recheck"]),
    (
        "report",
        &[
            "cuffnote report ID --out report.pdf",
            "cuffnote report visit.json --out visit.csv",
            "cuffnote report ID --format fhir --out -",
        ],
    ),
    (
        "import",
        &["cuffnote import earlier.csv --check", "cuffnote import earlier.csv --out visits"],
    ),
    ("audit", &["cuffnote audit --out audit.html", "cuffnote audit visit.json --out audit.csv"]),
    (
        "make",
        &[
            "cuffnote make plain --seed 3 --out plain.wav",
            "cuffnote make visit --site right-pt --out right-ankle.wav",
            "cuffnote make --list",
        ],
    ),
    (
        "practise",
        &[
            "cuffnote practise --scripted bias_ms=300,sd_ms=80 --count 5",
            "cuffnote practise --check lesson.toml",
            "cuffnote practise --class class.jsonl --page class.html",
        ],
    ),
    ("agree", &["cuffnote agree --csv readers.csv"]),
    ("rehear", &["cuffnote rehear right-pt.wav --slow slow.wav --picture beat.png"]),
    ("overread", &["cuffnote overread prepare right-pt.wav left-pt.wav --out second"]),
    ("overread prepare", &["cuffnote overread prepare right-pt.wav left-pt.wav --out blind"]),
    (
        "overread gather",
        &["cuffnote overread gather anna.csv berta.csv --list blinded --out together.csv"],
    ),
    ("devices", &["cuffnote devices", "cuffnote devices --remember USB --channel 1"]),
    (
        "doctor",
        &["cuffnote doctor", "cuffnote doctor --json", "cuffnote doctor --bundle support.txt"],
    ),
    ("settings", &["cuffnote settings", "cuffnote settings sound --json"]),
    (
        "trial",
        &[
            "cuffnote trial --count 1 --out cases.csv",
            "cuffnote trial --book book --list blinded --answers anna.csv berta.csv",
        ],
    ),
    ("man", &["cuffnote man book check", "cuffnote man --out pages"]),
    ("schema", &["cuffnote schema listen", "cuffnote schema book-list"]),
    ("completions", &["cuffnote completions bash"]),
    ("book", &["cuffnote book list", "cuffnote book show ID"]),
    (
        "book list",
        &["cuffnote book list --from 2026-01-01 --json", "cuffnote book list --due 2027-06-30"],
    ),
    ("book show", &["cuffnote book show ID", "cuffnote book show TM-0142-7"]),
    (
        "book export",
        &["cuffnote book export --out all.csv", "cuffnote book export --format fhir --out bundles"],
    ),
    (
        "book amend",
        &[
            "cuffnote book amend ID --attempt 2 --to 106 --who op-7 --why \"misread by two lines\"",
            "cuffnote book amend ID --next-test 2027-05-03 --who op-7",
        ],
    ),
    ("book check", &["cuffnote book check"]),
    ("book backup", &["cuffnote book backup book.tar"]),
    ("book restore", &["cuffnote book restore kept.tar --book restored"]),
    ("book sync", &["cuffnote book sync shared"]),
    ("book merge", &["cuffnote book merge other-book"]),
    (
        "book take-over",
        &["cuffnote book take-over ID --who op-7 --why \"the other laptop is broken\""],
    ),
    ("book confirm", &["cuffnote book confirm visit.json"]),
    ("book mend", &["cuffnote book mend"]),
    ("book forget", &["cuffnote book forget ID --sounds --who op-7 --why \"the patient's wish\""]),
    ("book code", &["cuffnote book code TM-0142", "cuffnote book code --check TM-0142-7"]),
];

/// Examples that need a device, a window, a server or another laptop's book.
const NEED_MORE: &[&str] = &[
    "cuffnote --source sim:visit#1",
    "cuffnote listen --live --record arm.wav",
    "cuffnote devices",
    "cuffnote doctor",
    "cuffnote doctor --json",
    "cuffnote doctor --bundle support.txt",
    "cuffnote devices --remember USB --channel 1",
    "cuffnote book take-over ID --who op-7 --why \"the other laptop is broken\"",
    "cuffnote book confirm visit.json",
];

/// Every example of this build: its verb, its words, and whether it runs by itself.
pub fn examples() -> Vec<(&'static str, &'static str, bool)> {
    EXAMPLES
        .iter()
        .flat_map(|(verb, lines)| lines.iter().map(move |line| (*verb, *line)))
        .map(|(verb, line)| (verb, line, !NEED_MORE.contains(&line)))
        .collect()
}

/// The command with each verb's examples before its help.
pub(super) fn shown(command: Command) -> Command {
    with(command, "")
}

fn with(mut command: Command, path: &str) -> Command {
    let names: Vec<String> =
        command.get_subcommands().map(|sub| sub.get_name().to_owned()).collect();
    for name in names {
        let path = format!("{path} {name}").trim_start().to_owned();
        command = command.mut_subcommand(name, |sub| with(sub, &path));
    }
    let Some((_, lines)) = EXAMPLES.iter().find(|(verb, _)| *verb == path) else { return command };
    let list: String = lines.iter().map(|line| format!("  {line}\n")).collect();
    command.before_help(format!("Examples:\n{}", list.trim_end()))
}
