//! Taking a lock.

use std::sync::{Mutex, MutexGuard, PoisonError};

/// A lock whose holder never panics half-way; if one did, the data is still plain numbers.
pub(super) fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
