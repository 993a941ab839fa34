//! What is said later: a sentence that is kept as what it says, and put into words when it is shown, in the language of that
//! moment. So a notice changes with the language while it stands.

use std::fmt;
use std::rc::Rc;

use super::Words;

/// See the file's purpose.
#[derive(Clone)]
pub struct Spoken(Rc<dyn Fn(Words) -> String>);

impl Spoken {
    /// What this says in each language.
    pub fn of(say: impl Fn(Words) -> String + 'static) -> Self {
        Self(Rc::new(say))
    }

    /// A message without arguments.
    pub fn plain(id: &'static str) -> Self {
        Self::of(move |words| words.plain(id).to_owned())
    }

    /// In the words of a language.
    pub fn said(&self, words: Words) -> String {
        (self.0)(words)
    }
}

impl fmt::Debug for Spoken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Words::english()))
    }
}
