//! Sources that nobody has looked up do not stand in the middle of a patient's page: there a mark, behind it the source.

use super::blocks::{Block, Section};
use crate::words::{Words, id};

/// Moves every source that is from memory off the first page, to a list among the sources. `[1]` stands in its place.
pub fn move_behind(words: Words, sections: &mut [Section]) {
    let mut sources = Vec::new();
    for section in sections.iter_mut().filter(|section| !section.trail) {
        let mut texts = Vec::new();
        section.blocks.iter_mut().for_each(|block| block.texts(&mut texts));
        for text in texts {
            *text = mark(words, text, &mut sources);
        }
    }
    let listed = (1..).zip(&sources).map(|(n, source)| format!("[{n}] {source}."));
    let listed: Vec<String> = listed.collect();
    if let Some(last) = sections.iter_mut().find(|section| section.id == "versions")
        && !listed.is_empty()
    {
        last.blocks.insert(0, Block::List(listed));
    }
}

/// The text with a mark for each source in parentheses that is from memory.
fn mark(words: Words, text: &str, sources: &mut Vec<String>) -> String {
    let (mut marked, mut rest) = (String::with_capacity(text.len()), text);
    while let Some((before, source, after)) = parenthesis(rest) {
        marked.push_str(before);
        if [words, Words::english()].iter().any(|words| from_memory(*words, source)) {
            let known = sources.iter().position(|s| s == source);
            let n = known.unwrap_or_else(|| {
                sources.push(source.to_owned());
                sources.len() - 1
            });
            marked.push_str(&format!("[{}]", n + 1));
        } else {
            marked.push_str(&format!("({source})"));
        }
        rest = after;
    }
    marked + rest
}

/// Whether a source says of itself that it is from memory. What a set of guidance says of itself is in English.
fn from_memory(words: Words, source: &str) -> bool {
    source.contains(words.plain(id!("clinical-from-memory")))
}

/// The text before the first parenthesis, what it holds, and the text after it.
fn parenthesis(text: &str) -> Option<(&str, &str, &str)> {
    let from = text.find('(')?;
    let mut depth = 0;
    for (at, letter) in text.char_indices().skip_while(|(at, _)| *at < from) {
        match letter {
            '(' => depth += 1,
            ')' => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return Some((&text[..from], &text[from + 1..at], &text[at + 1..]));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_source_from_memory_becomes_a_mark_and_others_stay() {
        let mut sources = Vec::new();
        let text = "Repeat (a rule of 2012, from memory; unverified), 3 mmHg (verified), open (end";
        let marked = mark(Words::english(), text, &mut sources);
        assert_eq!(marked, "Repeat [1], 3 mmHg (verified), open (end");
        assert_eq!(
            mark(
                Words::english(),
                "Again (a rule of 2012, from memory; unverified).",
                &mut sources
            ),
            "Again [1]."
        );
        assert_eq!(sources, ["a rule of 2012, from memory; unverified"]);
    }
}
