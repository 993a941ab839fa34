//! Where practice is played, and how time passes there.

use std::rc::Rc;

use crate::live::{Hush, Supply};
use crate::window::ear::Drive;

/// Puts a source on an output, the usual one where none is named.
pub type Loudspeaker = Rc<dyn Fn(Box<dyn Supply>, Option<String>, Hush) -> Box<dyn Supply>>;

/// See the file's purpose.
#[derive(Clone)]
pub struct Loud {
    /// In real time, or stepped.
    pub drive: Drive,
    /// The loudspeaker; without one there is the picture alone.
    pub speaker: Option<Loudspeaker>,
    /// The output; the usual one where none is named.
    pub output: Option<String>,
}

impl Loud {
    /// The source as it is heard here: played where there is a loudspeaker.
    pub fn played(&self, from: Box<dyn Supply>, hush: Hush) -> Box<dyn Supply> {
        match &self.speaker {
            Some(speaker) => speaker(from, self.output.clone(), hush),
            None => from,
        }
    }
}
