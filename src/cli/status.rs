//! What the exit status means: one table, for help, the manual page and docs/files.md.

use std::fmt::Write;

/// Each status with its meaning.
pub const STATUS: [(u8, &str); 3] = [
    (
        0,
        "Done. That nothing was heard is an answer too: `return_s` is null, and the text says \"not heard\".",
    ),
    (
        1,
        "Something could not be done, and stderr names it in a sentence; what could be done was done. A full disk and a closed pipe are this, and work that was stopped.",
    ),
    (2, "The words were wrong, and nothing was done. The nearest right word is named."),
];

/// The table at the end of a help.
pub(super) fn help() -> String {
    let mut text = String::from("Exit status:");
    for (status, means) in STATUS {
        let _ = write!(text, "\n  {status}  {means}");
    }
    text
}
