//! Room sounds from a folder of WAV files, for simulated patients to lie in.

use std::path::{Path, PathBuf};

use crate::audio::sound::SoundFile;
use crate::sim::Recorded;

/// The rate that the simulation mixes at, hertz.
const RATE_HZ: u32 = 16_000;

/// Why there are no room sounds.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}: {why}", path.display())]
pub struct NoRoom {
    /// The folder or file.
    pub path: PathBuf,
    /// What is wrong with it.
    pub why: String,
}

/// The WAV files of one folder, by name; other files are passed over.
///
/// # Errors
/// A folder or file that cannot be read, or a file that is not mono at 16 kHz.
pub fn sounds(folder: &Path) -> Result<Vec<Recorded>, NoRoom> {
    let named = |e: &dyn std::fmt::Display| NoRoom { path: folder.to_owned(), why: e.to_string() };
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(|e| named(&e))? {
        files.push(entry.map_err(|e| named(&e))?.path());
    }
    files.retain(|file| file.extension().is_some_and(|e| e == "wav"));
    files.sort();
    files.iter().map(|file| sound(file)).collect()
}

fn sound(file: &Path) -> Result<Recorded, NoRoom> {
    let named = |e: &dyn std::fmt::Display| NoRoom { path: file.to_owned(), why: e.to_string() };
    let mut wav = SoundFile::open(file).map_err(|e| named(&e))?;
    if wav.rate().hz() != RATE_HZ || wav.channels() != 1 {
        return Err(named(&"it is not mono at 16 kHz: convert it"));
    }
    let (mut samples, mut block) = (Vec::new(), Vec::new());
    loop {
        wav.read_block(&mut block).map_err(|e| named(&e))?;
        if block.is_empty() {
            let name = file.file_stem().unwrap_or_default().to_string_lossy().into_owned();
            return Ok(Recorded { name, samples: samples.into() });
        }
        samples.extend_from_slice(&block);
    }
}
