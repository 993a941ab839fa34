//! The JSON Schema of the lines of live sound, which are made field by field.

use serde_json::{Map, Value, json};

use super::described::plain;
use super::live_words::{FORMAT, VERSION};
use crate::clinical::event::Event as VisitEvent;

/// What kind of line it is, what it says, and its fields: name, type, meaning.
type Kind = (&'static str, &'static str, &'static [(&'static str, &'static str, &'static str)]);

const EPOCH: (&str, &str, &str) = ("epoch", "integer", "The stream of sound, from 1.");

const KINDS: &[Kind] = &[
    (
        "began",
        "Sound began to arrive.",
        &[
            EPOCH,
            ("rate_hz", "integer", "Samples a second."),
            ("channels", "integer", "Channels."),
            ("began", "string", "When, to the millisecond, with offset."),
        ],
    ),
    (
        "pulse",
        "A beat.",
        &[
            EPOCH,
            ("onset_s", "number", "Where it begins, seconds from the stream's start."),
            ("end_s", "number", "Where it ends, seconds."),
            ("strength_db", "number", "Mean level over the background, decibels."),
        ],
    ),
    (
        "lost",
        "The pulse is no longer heard.",
        &[EPOCH, ("lost_s", "number", "Its last beat, seconds.")],
    ),
    (
        "cue",
        "The pulse seems to be back.",
        &[
            EPOCH,
            ("cue_s", "number", "When it could first be said, seconds."),
            ("onset_s", "number", "The beat it is about, seconds."),
            ("confidence", "number", "Probability that it is right, 0 to 1."),
        ],
    ),
    (
        "return",
        "The pulse came back here, heard again with what followed.",
        &[
            EPOCH,
            ("lost_s", "number?", "The loss before it, seconds."),
            ("return_s", "number", "The first beat, seconds."),
            ("cue_s", "number?", "The cue before it, seconds."),
            ("confidence", "number", "Probability that this was the first beat, 0 to 1."),
            ("beats", "integer", "Beats that carried it."),
        ],
    ),
    (
        "quality",
        "Something makes it hard to hear, or no longer.",
        &[
            EPOCH,
            ("trouble", "string", "What."),
            ("present", "boolean", "False where it is over."),
            ("at_s", "number", "When, seconds."),
        ],
    ),
    (
        "gap",
        "Sound was lost; silence stands in its place.",
        &[
            EPOCH,
            ("start_s", "number", "Where, seconds."),
            ("start", "integer", "The same in frames."),
            ("frames", "integer", "How many frames."),
            ("recording", "boolean", "True of the recording, false of what is heard."),
        ],
    ),
    (
        "odd",
        "Something odd about the sound itself, or no longer.",
        &[
            EPOCH,
            ("odd", "string", "What."),
            ("present", "boolean", "False where it is over."),
            ("at_s", "number", "When, seconds."),
            ("says", "string", "In a sentence."),
        ],
    ),
    (
        "recording",
        "A file of the recording begins.",
        &[
            EPOCH,
            ("file", "string", "The file."),
            ("start", "integer", "Its first frame in the stream."),
        ],
    ),
    ("not-recording", "The recording stopped.", &[EPOCH, ("says", "string", "Why.")]),
    (
        "through",
        "The sound is passed on to an output.",
        &[
            ("to", "string", "The output."),
            ("planned_s", "number", "The delay that was planned, seconds."),
        ],
    ),
    ("not-through", "The sound is not passed on.", &[("says", "string", "Why.")]),
    ("fault", "Something failed.", &[("says", "string", "What, and what to do.")]),
    (
        "ended",
        "The stream ended.",
        &[
            EPOCH,
            ("frames", "integer", "Frames that arrived."),
            (
                "drift_ppm",
                "number?",
                "The device's clock against this machine's, parts in a million.",
            ),
        ],
    ),
    ("over", "There is no more sound.", &[]),
    (
        "summary",
        "The last line: all that was heard.",
        &[
            ("sound_s", "number", "Seconds of sound."),
            ("epochs", "integer", "Streams."),
            ("lost_frames", "integer", "Frames that were lost."),
        ],
    ),
];

/// The schema, without name and version.
pub(super) fn schema() -> Value {
    let act = plain::<VisitEvent>();
    let mut kinds: Vec<Value> = KINDS.iter().map(one).collect();
    kinds.push(json!({
        "description": "What the clinician did: a mark, or a reading.",
        "properties": {"kind": {"const": "act"}, "event": {"$ref": "#/$defs/Event", "description": "The act, as a visit's file holds it."}},
        "required": ["kind", "event"],
    }));
    let mut defs = act["$defs"].as_object().cloned().unwrap_or_default();
    let mut event = act;
    if let Some(event) = event.as_object_mut() {
        event.remove("$defs");
        event.remove("$schema");
    }
    defs.insert("Event".into(), event);
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": format!("{FORMAT}, version {VERSION}"),
        "oneOf": kinds,
        "$defs": defs,
    })
}

fn one((kind, about, fields): &Kind) -> Value {
    let mut properties = Map::new();
    properties.insert("kind".into(), json!({"const": kind}));
    properties.insert(
        "at".into(),
        json!({"type": "string", "description": "When it was reported, to the millisecond, with offset."}),
    );
    let mut required = vec![json!("kind"), json!("at")];
    for (name, kind, about) in *fields {
        let kind = match kind.strip_suffix('?') {
            Some(kind) => json!([kind, "null"]),
            None => json!(kind),
        };
        properties.insert((*name).into(), json!({"type": kind, "description": about}));
        required.push(json!(name));
    }
    json!({"description": about, "properties": properties, "required": required})
}
