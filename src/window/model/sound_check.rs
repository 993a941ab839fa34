//! What the check of the sound found, in words: kept in the record in English, said in the language of whoever reads it. So
//! is the name of a source that is no microphone.

use crate::words::{Words, id, say};

/// How loud the room is.
const ROOMS: [&str; 3] = [id!("sound-room-loud"), id!("sound-room-some"), id!("sound-room-quiet")];

/// What a check found.
pub struct SoundCheck<'a> {
    /// How loud the room is: a message of the catalogue.
    pub room: &'a str,
    /// It is too loud for the input.
    pub clips: bool,
    /// Level, background, and how far the one is above the other, whole decibels.
    pub db: [&'a str; 3],
}

/// How loud the room is by its background, dBFS.
pub fn room(background_dbfs: f32) -> &'static str {
    match background_dbfs {
        b if b > -35.0 => ROOMS[0],
        b if b > -50.0 => ROOMS[1],
        _ => ROOMS[2],
    }
}

impl SoundCheck<'_> {
    /// In the words of a language.
    pub fn said(&self, words: Words) -> String {
        let [level, background, above] = self.db.map(|db| words.number(db));
        let level =
            say!(words, "sound-level", level = level, background = background, above = above);
        let known = ROOMS.iter().find(|room| **room == self.room);
        let room = known.map(|room| words.plain(room));
        let clip = self.clips.then(|| words.plain(id!("sound-too-loud")));
        let parts = [room, clip, Some(level.as_str())];
        parts.into_iter().flatten().collect::<Vec<_>>().join(" ")
    }
}

/// What a record has of a check, in the words of a language; as it stands where an older program wrote it.
pub fn check_said(words: Words, kept: &str) -> String {
    let english = Words::english();
    if kept == english.plain(id!("sound-none")) {
        return words.plain(id!("sound-none")).to_owned();
    }
    let number = |part: &&str| part.parse::<f64>().is_ok();
    let numbers: Vec<&str> = kept.split(' ').filter(number).collect();
    let Ok(db) = <[&str; 3]>::try_from(numbers) else { return kept.to_owned() };
    let all = ROOMS.into_iter().flat_map(|room| [false, true].map(|clips| (room, clips)));
    let mut all = all.map(|(room, clips)| SoundCheck { room, clips, db });
    let found = all.find(|check| check.said(english) == kept);
    found.map_or_else(|| kept.to_owned(), |check| check.said(words))
}

/// The name of a source as the program was started with it, in the words of a language.
pub fn source_said(words: Words, named: &str) -> String {
    let english = Words::english();
    if named == english.plain(id!("sound-recordings")) {
        return words.plain(id!("sound-recordings")).to_owned();
    }
    let name = named.rsplit(": ").next().unwrap_or(named);
    match say!(english, "sound-simulated", name = name) == named {
        true => say!(words, "sound-simulated", name = name),
        false => named.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_check_is_kept_in_english_and_said_in_any_language() {
        let german = Words::of("de").unwrap();
        for (room, clips) in [(ROOMS[0], true), (ROOMS[2], false)] {
            let check = SoundCheck { room, clips, db: ["-20", "-41", "21"] };
            let kept = check.said(Words::english());
            assert_eq!(check_said(german, &kept), check.said(german));
            assert_ne!(check_said(german, &kept), kept);
            assert_eq!(check_said(Words::english(), &kept), kept);
        }
        assert_eq!(check_said(german, "of an older program"), "of an older program");
        assert_eq!(
            source_said(german, "Simulated patient: visit").split(": ").nth(1),
            Some("visit")
        );
        assert_ne!(source_said(german, "Recordings"), "Recordings");
        assert_eq!(source_said(german, "a bench"), "a bench");
    }
}
