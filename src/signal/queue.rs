//! What waits to be fetched: a queue of fixed size.

use std::collections::VecDeque;

/// The oldest are dropped where nobody fetches.
const MOST: usize = 1024;

/// Everything is allocated in `default`.
#[derive(Debug)]
pub struct BoundedQueue<T>(VecDeque<T>);

impl<T> Default for BoundedQueue<T> {
    fn default() -> Self {
        Self(VecDeque::with_capacity(MOST))
    }
}

impl<T> BoundedQueue<T> {
    /// Appends one.
    pub fn push(&mut self, item: T) {
        if self.0.len() == MOST {
            self.0.pop_front();
        }
        self.0.push_back(item);
    }

    /// The next, oldest first.
    pub fn pop(&mut self) -> Option<T> {
        self.0.pop_front()
    }
}
