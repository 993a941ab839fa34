//! What the window starts with.

use std::path::PathBuf;

use crate::settings::Settings;
use crate::window::ear::{Drive, SoundSource};
use crate::window::outside::Ask;

/// What the window starts with.
pub struct Start {
    /// The choices.
    pub settings: Settings,
    /// Where they are kept; `None` keeps nothing.
    pub settings_path: Option<PathBuf>,
    /// The book's folder.
    pub book: PathBuf,
    /// The sound.
    pub source: SoundSource,
    /// Real time or not.
    pub drive: Drive,
    /// Who shows and prints reports: [`crate::window::outside::system`].
    pub ask: Ask,
}
