//! The three tables of results, column by column: one dictionary for Parquet, CSV and the database, printed by
//! `cuffnote-service dictionary` and held against docs/sql by a test.

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColumnKind {
    /// Text.
    Text,
    /// A whole number.
    Whole,
    /// A number with decimals.
    Number,
    /// True or false.
    Truth,
    /// A day of the calendar.
    Day,
    /// An instant.
    Instant,
}

impl ColumnKind {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            ColumnKind::Text => "text",
            ColumnKind::Whole => "whole number",
            ColumnKind::Number => "number",
            ColumnKind::Truth => "true or false",
            ColumnKind::Day => "day",
            ColumnKind::Instant => "instant, UTC",
        }
    }

    /// The database's type.
    pub const fn sql(self) -> &'static str {
        match self {
            ColumnKind::Text => "text",
            ColumnKind::Whole => "integer",
            ColumnKind::Number => "double precision",
            ColumnKind::Truth => "boolean",
            ColumnKind::Day => "date",
            ColumnKind::Instant => "timestamp with time zone",
        }
    }
}

/// One column.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Its name.
    pub name: &'static str,
    /// What it holds.
    pub kind: ColumnKind,
    /// The unit; empty where there is none.
    pub unit: &'static str,
    /// What it means, and when it is empty.
    pub meaning: &'static str,
}

const fn col(
    name: &'static str,
    kind: ColumnKind,
    unit: &'static str,
    meaning: &'static str,
) -> Column {
    Column { name, kind, unit, meaning }
}

use ColumnKind::{Day, Instant, Number, Text, Truth, Whole};

/// A row a visit.
pub const VISIT: &[Column] = &[
    col("visit", Text, "", "the visit's id, a UUID; never empty"),
    col("service", Text, "", "the service, as the book was named"),
    col("book", Text, "", "the chain of the record book that it was read from, a UUID"),
    col("record", Text, "", "the record's code"),
    col("opened_at", Instant, "", "when the visit opened"),
    col("measured_on", Day, "", "the day of the measurement where it happened"),
    col(
        "kind",
        Text,
        "",
        "what was to be measured: full, one-leg, one-artery, toes, without-index, exercise, on-paper",
    ),
    col("operator", Text, "", "who opened the visit, by code"),
    col("reason", Text, "", "why the test was done, as typed"),
    col("method", Text, "", "higher, lower, mean, pt-only or same-side-arm"),
    col("posture", Text, "", "supine, head-raised, sitting or other"),
    col("rested_min", Whole, "min", "rest before the first inflation; empty where it is not known"),
    col("diabetes", Text, "", "yes, no or unknown"),
    col("kidney", Text, "", "chronic kidney disease: yes, no or unknown"),
    col("gauge", Text, "", "the visit's gauge, by code"),
    col("graduation_mmhg", Number, "mmHg", "from line to line on it"),
    col("closed", Truth, "", "the visit was closed"),
    col(
        "complete",
        Truth,
        "",
        "both arms and both ankle arteries of both legs have an outcome at rest",
    ),
    col("both_indexes", Truth, "", "both legs have an index"),
    col("amendments", Whole, "", "how many corrections it has"),
    col(
        "disagreements",
        Whole,
        "",
        "facts to which two laptops gave two values and that nobody settled",
    ),
    col("set_aside", Whole, "", "events that are kept and do not count"),
    col(
        "red_flags",
        Text,
        "",
        "urgent signs that were answered with yes, by name, with blanks between",
    ),
    col("program", Text, "", "the program's version"),
    col("listener", Text, "", "the listener's version; empty where none was running"),
    col("events", Whole, "", "how many events it has"),
];

/// A row a leg: two for each visit.
pub const LEG: &[Column] = &[
    col("visit", Text, "", "the visit's id"),
    col("side", Text, "", "right or left, the patient's"),
    col(
        "abi",
        Number,
        "ratio",
        "the ankle-brachial index with two decimals; empty where there is none",
    ),
    col("abi_low", Number, "ratio", "lower end of the 95 % interval of the measurement"),
    col("abi_high", Number, "ratio", "upper end of it"),
    col(
        "abi_above",
        Number,
        "ratio",
        "the index lies above this, where an artery could not be closed",
    ),
    col("provisional", Truth, "", "the other arm is still to be measured"),
    col("ankle_mmhg", Number, "mmHg", "the ankle pressure that the index is made of"),
    col(
        "ankle_site",
        Text,
        "",
        "where it was taken; two sites joined by + where the method takes a mean",
    ),
    col("arm_mmhg", Number, "mmHg", "the arm pressure that it is made of"),
    col("arm_site", Text, "", "where it was taken"),
    col("toe_mmhg", Number, "mmHg", "the toe's pressure"),
    col("tbi", Number, "ratio", "the toe-brachial index"),
    col("abi_after", Number, "ratio", "the index after exercise"),
    col("abi_fall_percent", Number, "%", "how far it fell"),
];

/// A row an attempt, those that do not count included.
pub const ATTEMPT: &[Column] = &[
    col("visit", Text, "", "the visit's id"),
    col("attempt", Whole, "", "its number in the visit"),
    col(
        "site",
        Text,
        "",
        "right-arm, right-dp, right-pt, right-peroneal, right-toe and the same of the left",
    ),
    col("side", Text, "", "right or left, the patient's"),
    col("artery", Text, "", "brachial, dorsalis pedis, posterior tibial, peroneal or great toe"),
    col("phase", Text, "", "rest or after-exercise"),
    col("repeat", Whole, "", "the how-manieth attempt at this site in this phase, from 1"),
    col("operator", Text, "", "who measured, by code"),
    col("outcome", Text, "", "reading, not-compressible, no-signal, not-measured or unfinished"),
    col("cuff_mmhg", Number, "mmHg", "the reading; empty where there is none"),
    col("limit_mmhg", Number, "mmHg", "still heard at this pressure, where not compressible"),
    col("why_not", Text, "", "why it was not measured, as typed"),
    col("source", Text, "", "of a reading: ear-and-gauge, entered or paper"),
    col("counts", Truth, "", "the result is made of it"),
    col("left_out", Text, "", "why it does not count, in words"),
    col("withdrawn", Truth, "", "it was taken back"),
    col("gauge", Text, "", "the gauge, by code"),
    col("graduation_mmhg", Number, "mmHg", "from line to line on it"),
    col("waveform", Text, "", "the clinician's word for the site's waveform"),
    col("ended_at", Instant, "", "when it ended"),
    col(
        "site_mmhg",
        Number,
        "mmHg",
        "the pressure that the site comes to from all of its attempts",
    ),
    col("site_outcome", Text, "", "what the site comes to, in words"),
    col("tap_s", Number, "s", "the clinician's tap, in its stream of sound"),
    col("pulse_lost_s", Number, "s", "when the listener lost the pulse"),
    col("first_pulse_s", Number, "s", "the first pulse that it heard again"),
    col("tap_after_first_pulse_s", Number, "s", "the tap less that"),
    col("deflation_mmhg_per_s", Number, "mmHg/s", "from the needle"),
    col("confidence", Number, "0 to 1", "the listener's, of the return"),
    col("heart_rate_bpm", Number, "1/min", "as the listener heard it"),
    col(
        "irregular",
        Truth,
        "",
        "the listener called the rhythm irregular; empty where it did not judge",
    ),
    col(
        "hard_to_hear",
        Text,
        "",
        "what made it hard to hear, with `; ` between; empty where nothing was",
    ),
];

/// The tables by name.
pub const TABLES: [(&str, &[Column]); 3] = [("visit", VISIT), ("leg", LEG), ("attempt", ATTEMPT)];

/// All of it as a table for people.
pub fn printed() -> String {
    let mut text = String::new();
    for (name, columns) in TABLES {
        text += &format!("table {name}\n");
        for column in columns {
            let unit =
                if column.unit.is_empty() { String::new() } else { format!(", {}", column.unit) };
            text += &format!(
                "  {:<24} {}{unit}: {}\n",
                column.name,
                column.kind.words(),
                column.meaning
            );
        }
    }
    text
}
