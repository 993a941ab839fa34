//! Silence at once, for whatever plays a source.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Silences what is played; the source goes on.
#[derive(Debug, Clone, Default)]
pub struct Hush(Arc<AtomicBool>);

impl Hush {
    /// Silent from now on, or sounding again.
    pub fn set(&self, silent: bool) {
        self.0.store(silent, Ordering::Release);
    }

    /// Whether it is silent.
    pub fn is_set(&self) -> bool {
        self.0.load(Ordering::Acquire)
    }
}
