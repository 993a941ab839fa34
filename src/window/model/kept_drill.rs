//! A drill that is over, kept small: enough to make its very sound again when a student asks for it at the end of a lesson.

use super::heard_again::{HeardAgain, HeardMarks};
use super::recorded::{NoDrill, read};
use crate::practice::lesson::Drill;
use crate::practice::made_sound::MadeSound;
use crate::practice::recording::Whence;

/// See the file's purpose.
pub struct KeptDrill {
    /// As it was set.
    pub set: Drill,
    /// What the cuff did, mmHg, one value for each 4 ms; nothing of a recording.
    pub cuff_mmhg: Vec<f32>,
    /// Where truth and tap lie, seconds of the sound.
    pub marks: HeardMarks,
}

impl KeptDrill {
    /// Its sound again, with truth and tap.
    ///
    /// # Errors
    /// Its recording cannot be read any more.
    pub fn again(&self) -> Result<Option<HeardAgain>, NoDrill> {
        let Some(recording) = &self.set.recording else {
            let made = MadeSound::replayed(&self.set.case, self.set.seed, &self.cuff_mmhg);
            return Ok(HeardAgain::of(made, self.marks));
        };
        let Whence::Found(file) = &recording.whence else {
            return Err(NoDrill::FindTheRecording);
        };
        let piece = read(file, recording.return_s)?;
        Ok(Some(HeardAgain::recording(piece, self.marks)))
    }
}
