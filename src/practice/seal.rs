//! The seal of an examination: what was done in it can be read by whoever knows the teacher's word, and by nobody else;
//! what was changed after it was sealed does not open.
//!
//! By `age` (age-encryption.org/v1): a pair of keys is drawn for each examination; its secret half is itself sealed with the
//! teacher's word (scrypt) and lies beside what is sealed, so that the word alone opens it, on any computer. What a student
//! does goes to the public half, which opens nothing.
//!
//! It cannot show who sat there, and whoever changes the program, or seals something else to the same public half, can hand
//! in another examination altogether. The room's only chance that does not come from a seed is drawn here.

use std::fmt;

use age::secrecy::{ExposeSecret, SecretString};
use age::{scrypt, x25519};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::words::{Words, id, say};

/// Letters that a teacher's word has at least (own choice): it may be guessed at leisure by whoever has the file.
pub const LEAST_LETTERS: usize = 12;
/// Work to try one word, as a power of two: 32 MiB, which a telephone's browser has. No more is agreed to.
const WORK: u8 = 15;
/// What an opening code is drawn from: no letter that looks like another.
const LETTERS: &[u8; 32] = b"ABCDEFGHJKLMNPQRSTUVWXYZ23456789";
/// Letters of an opening code: 60 bits.
const CODE: usize = 12;

/// Why something is not sealed, or not opened.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotOpened {
    /// Choose a longer word.
    #[error("the teacher's word needs {LEAST_LETTERS} letters or more")]
    LongerWord,
    /// Type the right word.
    #[error("this word does not open it")]
    AnotherWord,
    /// Ask for the file anew: what is sealed is not what was sealed.
    #[error("the seal is broken: it was changed after it was sealed, or is not whole")]
    Broken,
    /// It cannot be sealed here.
    #[error("it cannot be sealed: {0}")]
    NotSealed(String),
}

impl NotOpened {
    /// In the words of a language.
    pub fn said(&self, words: Words) -> String {
        let id = match self {
            NotOpened::LongerWord => id!("exam-longer-word"),
            NotOpened::AnotherWord => id!("exam-another-word"),
            NotOpened::Broken => id!("exam-broken"),
            NotOpened::NotSealed(said) => return say!(words, "exam-not-sealed", said = said),
        };
        words.plain(id).to_owned()
    }
}

/// The lock of one examination: what is sealed to it is opened by its teacher's word.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct TeacherLock {
    /// The public half, as `age` writes it.
    to: String,
    /// The secret half, sealed with the word; base64.
    key: String,
}

/// The key of a lock, once the word was right. Never shown.
pub struct TeacherKey(x25519::Identity);

impl fmt::Debug for TeacherKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("TeacherKey")
    }
}

impl TeacherLock {
    /// A new lock that this word opens.
    ///
    /// # Errors
    /// The word is too short.
    pub fn new(word: &str) -> Result<Self, NotOpened> {
        let word = word.trim();
        if word.chars().count() < LEAST_LETTERS {
            return Err(NotOpened::LongerWord);
        }
        let identity = x25519::Identity::generate();
        let key = sealed_with(word, identity.to_string().expose_secret().as_bytes())?;
        Ok(Self { to: identity.to_public().to_string(), key })
    }

    /// The key, by the teacher's word.
    ///
    /// # Errors
    /// It is another word, or the lock is no lock.
    pub fn key(&self, word: &str) -> Result<TeacherKey, NotOpened> {
        let text = opened_with(word.trim(), &self.key)?;
        let text = String::from_utf8(text).map_err(|_| NotOpened::Broken)?;
        let identity: x25519::Identity = text.parse().map_err(|_| NotOpened::Broken)?;
        // A lock put together from two would open nothing that was sealed to its public half.
        let whole = identity.to_public().to_string() == self.to;
        whole.then_some(TeacherKey(identity)).ok_or(NotOpened::Broken)
    }

    /// Seals this; base64.
    ///
    /// # Errors
    /// The lock is no lock.
    pub fn seal(&self, plain: &[u8]) -> Result<String, NotOpened> {
        let to: x25519::Recipient = self.to.parse().map_err(|_| NotOpened::Broken)?;
        let sealed = age::encrypt(&to, plain).map_err(|e| NotOpened::NotSealed(e.to_string()))?;
        Ok(STANDARD.encode(sealed))
    }
}

impl TeacherKey {
    /// Opens what was sealed to the lock.
    ///
    /// # Errors
    /// It was changed, or sealed to another lock.
    pub fn open(&self, sealed: &str) -> Result<Vec<u8>, NotOpened> {
        let bytes = STANDARD.decode(sealed.trim()).map_err(|_| NotOpened::Broken)?;
        age::decrypt(&self.0, &bytes).map_err(|_| NotOpened::Broken)
    }
}

/// Seals this with a word or code; base64.
///
/// # Errors
/// `age` refuses.
pub fn sealed_with(word: &str, plain: &[u8]) -> Result<String, NotOpened> {
    let mut to = scrypt::Recipient::new(SecretString::from(word.to_owned()));
    to.set_work_factor(WORK);
    let sealed = age::encrypt(&to, plain).map_err(|e| NotOpened::NotSealed(e.to_string()))?;
    Ok(STANDARD.encode(sealed))
}

/// Opens what was sealed with a word or code.
///
/// # Errors
/// It is another word, or what was sealed was changed.
pub fn opened_with(word: &str, sealed: &str) -> Result<Vec<u8>, NotOpened> {
    let bytes = STANDARD.decode(sealed.trim()).map_err(|_| NotOpened::Broken)?;
    let mut by = scrypt::Identity::new(SecretString::from(word.to_owned()));
    by.set_max_work_factor(WORK);
    age::decrypt(&by, &bytes).map_err(|fault| match fault {
        age::DecryptError::DecryptionFailed
        | age::DecryptError::NoMatchingKeys
        | age::DecryptError::KeyDecryptionFailed => NotOpened::AnotherWord,
        _ => NotOpened::Broken,
    })
}

/// A new opening code, for students to type: `ABCD-EFGH-JKLM`.
pub fn opening_code() -> String {
    // The chance is `age`'s own: a key that nobody keeps, put through a hash.
    let chance = Sha256::digest(x25519::Identity::generate().to_string().expose_secret());
    let letters: Vec<char> =
        chance.iter().take(CODE).map(|byte| char::from(LETTERS[usize::from(byte % 32)])).collect();
    let groups: Vec<String> = letters.chunks(4).map(|group| group.iter().collect()).collect();
    groups.join("-")
}

/// An opening code as it is compared: capitals, without what stands between.
pub fn plain_code(typed: &str) -> String {
    typed.chars().filter(char::is_ascii_alphanumeric).map(|c| c.to_ascii_uppercase()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const WORD: &str = "lantern orchard seven";

    #[test]
    fn only_the_teachers_word_opens_and_a_changed_letter_breaks_the_seal() {
        let lock = TeacherLock::new(WORD).unwrap();
        let sealed = lock.seal(b"two beats late").unwrap();
        assert!(!sealed.contains("beats") && !format!("{lock:?}").contains("SECRET"));
        assert_eq!(lock.key(WORD).unwrap().open(&sealed).unwrap(), b"two beats late");
        assert_eq!(lock.key("lantern orchard eight").unwrap_err(), NotOpened::AnotherWord);
        let mut bytes = STANDARD.decode(&sealed).unwrap();
        let key = lock.key(WORD).unwrap();
        for at in [30, bytes.len() / 2, bytes.len() - 1] {
            bytes[at] ^= 1;
            assert_eq!(key.open(&STANDARD.encode(&bytes)), Err(NotOpened::Broken), "byte {at}");
            bytes[at] ^= 1;
        }
        assert_eq!(key.open(&sealed[..sealed.len() / 2 / 4 * 4]), Err(NotOpened::Broken));
        let other = TeacherLock::new(WORD).unwrap();
        assert_eq!(other.key(WORD).unwrap().open(&sealed), Err(NotOpened::Broken));
        let mixed = TeacherLock { to: other.to, ..lock };
        assert_eq!(mixed.key(WORD).unwrap_err(), NotOpened::Broken);
        assert_eq!(TeacherLock::new("short").unwrap_err(), NotOpened::LongerWord);
    }

    #[test]
    fn codes_are_drawn_anew_and_typed_as_one_likes() {
        let (one, other) = (opening_code(), opening_code());
        assert_ne!(one, other);
        assert_eq!(one.len(), 14);
        assert_eq!(plain_code(&one.to_lowercase().replace('-', " ")), plain_code(&one));
        let sealed = sealed_with(&plain_code(&one), b"cases").unwrap();
        assert_eq!(opened_with(&plain_code(&one), &sealed).unwrap(), b"cases");
        assert_eq!(opened_with(&plain_code(&other), &sealed), Err(NotOpened::AnotherWord));
    }
}
