//! Holds an id and its arguments against the English files, when compiling.

/// The English files by the first word of their messages' ids.
pub const FILES: [(&str, &str); 31] = [
    ("agree", include_str!("en/agree.ftl")),
    ("audit", include_str!("en/audit.ftl")),
    ("bedside", include_str!("en/bedside.ftl")),
    ("begin", include_str!("en/begin.ftl")),
    ("book", include_str!("en/book.ftl")),
    ("caution", include_str!("en/caution.ftl")),
    ("class", include_str!("en/class.ftl")),
    ("clinical", include_str!("en/clinical.ftl")),
    ("correct", include_str!("en/correct.ftl")),
    ("drill", include_str!("en/drill.ftl")),
    ("exam", include_str!("en/exam.ftl")),
    ("fault", include_str!("en/fault.ftl")),
    ("figure", include_str!("en/figure.ftl")),
    ("history", include_str!("en/history.ftl")),
    ("key", include_str!("en/key.ftl")),
    ("lesson", include_str!("en/lesson.ftl")),
    ("listen", include_str!("en/listen.ftl")),
    ("locale", include_str!("en/locale.ftl")),
    ("measure", include_str!("en/measure.ftl")),
    ("page", include_str!("en/page.ftl")),
    ("practice", include_str!("en/practice.ftl")),
    ("prepare", include_str!("en/prepare.ftl")),
    ("replay", include_str!("en/replay.ftl")),
    ("report", include_str!("en/report.ftl")),
    ("result", include_str!("en/result.ftl")),
    ("setup", include_str!("en/setup.ftl")),
    ("sound", include_str!("en/sound.ftl")),
    ("trend", include_str!("en/trend.ftl")),
    ("tried", include_str!("en/tried.ftl")),
    ("visits", include_str!("en/visits.ftl")),
    ("window", include_str!("en/window.ftl")),
];

/// Refuses an id that no English file has, an argument that the message does not take, and one that it lacks.
///
/// # Panics
/// When compiling, with what is wrong.
pub const fn check(id: &str, given: &[&str]) {
    let id = id.as_bytes();
    let text = file(id);
    let (from, to) = message(text, id);
    let mut at = from;
    while at < to {
        if text[at] == b'$' {
            let end = name_end(text, at + 1);
            let mut known = false;
            let mut i = 0;
            while i < given.len() {
                known = known || same(text, at + 1, end, given[i].as_bytes());
                i += 1;
            }
            assert!(known, "the message takes an argument that is not given");
            at = end;
        } else {
            at += 1;
        }
    }
    let mut i = 0;
    while i < given.len() {
        assert!(
            takes(text, from, to, given[i].as_bytes()),
            "the message does not take this argument"
        );
        i += 1;
    }
}

/// The file that an id belongs to.
const fn file(id: &[u8]) -> &'static [u8] {
    let mut i = 0;
    while i < FILES.len() {
        let name = FILES[i].0.as_bytes();
        if begins(id, 0, name) && id.len() > name.len() && id[name.len()] == b'-' {
            return FILES[i].1.as_bytes();
        }
        i += 1;
    }
    panic!("an id begins with the name of its file, such as report-title")
}

/// Where a message's text begins and ends.
const fn message(text: &[u8], id: &[u8]) -> (usize, usize) {
    let mut at = 0;
    while at < text.len() {
        if begins(text, at, id) {
            let mut after = at + id.len();
            while after < text.len() && text[after] == b' ' {
                after += 1;
            }
            if after < text.len() && text[after] == b'=' {
                return (after, end(text, after));
            }
        }
        at = next_line(text, at);
    }
    panic!("there is no such message in src/words/en")
}

/// A message ends where a line begins with anything but a blank.
const fn end(text: &[u8], from: usize) -> usize {
    let mut at = next_line(text, from);
    while at < text.len() && (text[at] == b' ' || text[at] == b'\n') {
        at = next_line(text, at);
    }
    at
}

const fn next_line(text: &[u8], from: usize) -> usize {
    let mut at = from;
    while at < text.len() && text[at] != b'\n' {
        at += 1;
    }
    if at < text.len() { at + 1 } else { at }
}

const fn begins(text: &[u8], at: usize, with: &[u8]) -> bool {
    if at + with.len() > text.len() {
        return false;
    }
    let mut i = 0;
    while i < with.len() {
        if text[at + i] != with[i] {
            return false;
        }
        i += 1;
    }
    true
}

const fn same(text: &[u8], from: usize, to: usize, name: &[u8]) -> bool {
    to - from == name.len() && begins(text, from, name)
}

/// The end of a name: letters, digits, `_` and `-`.
const fn name_end(text: &[u8], from: usize) -> usize {
    let mut at = from;
    while at < text.len()
        && (text[at].is_ascii_alphanumeric() || text[at] == b'_' || text[at] == b'-')
    {
        at += 1;
    }
    at
}

const fn takes(text: &[u8], from: usize, to: usize, name: &[u8]) -> bool {
    let mut at = from;
    while at < to {
        if text[at] == b'$' && same(text, at + 1, name_end(text, at + 1), name) {
            return true;
        }
        at += 1;
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_in_the_files_is_refused() {
        let refused = |id: &'static str, given: &'static [&'static str]| {
            std::panic::catch_unwind(|| check(id, given)).is_err()
        };
        assert!(!refused("locale-and", &["a", "b"]));
        assert!(refused("locale-and", &["a"]), "too few");
        assert!(refused("locale-and", &["a", "b", "c"]), "too many");
        assert!(refused("locale-an", &["a", "b"]) && refused("nowhere-title", &[]));
        assert!(!refused("report-title", &[]));
    }
}
