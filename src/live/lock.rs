//! Taking a lock.

use std::sync::{Mutex, MutexGuard, PoisonError};

/// A lock whose holder never panics half-way; if one did, the data is plain numbers all the same.
pub(super) fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
