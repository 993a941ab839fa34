//! A numbered, bounded queue that loses nothing: what does not fit is refused, and the caller knows.

use std::collections::VecDeque;
use std::sync::Mutex;

use super::held;

/// The queue is full; the item was not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("too much waits to be kept: this was not taken down, write it on paper")]
pub struct Full;

/// A queue between threads, numbered from 1 without gaps.
pub struct Queue<T> {
    inner: Mutex<Inner<T>>,
    limit: usize,
}

struct Inner<T> {
    next: u64,
    items: VecDeque<(u64, T)>,
}

impl<T> Queue<T> {
    /// A queue for at most `limit` waiting items; everything is allocated here.
    pub fn new(limit: usize) -> Self {
        let inner = Inner { next: 1, items: VecDeque::with_capacity(limit) };
        Self { inner: Mutex::new(inner), limit }
    }

    /// Puts an item that knows its number at the end, and gives the number.
    ///
    /// # Errors
    /// [`Full`]; no number is used up.
    pub fn put_numbered(&self, item: impl FnOnce(u64) -> T) -> Result<u64, Full> {
        let mut inner = held(&self.inner);
        if inner.items.len() >= self.limit {
            return Err(Full);
        }
        let n = inner.next;
        inner.next += 1;
        inner.items.push_back((n, item(n)));
        Ok(n)
    }

    /// Takes the oldest item.
    pub fn take(&self) -> Option<(u64, T)> {
        held(&self.inner).items.pop_front()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn items_come_in_order_and_what_does_not_fit_is_refused_not_lost() {
        let queue = Queue::new(2);
        assert_eq!(queue.put_numbered(|n| n * 10), Ok(1));
        assert_eq!(queue.put_numbered(|n| n * 10), Ok(2));
        assert_eq!(queue.put_numbered(|n| n * 10), Err(Full));
        assert_eq!(queue.take(), Some((1, 10)));
        assert_eq!(queue.put_numbered(|n| n * 10), Ok(3));
        assert_eq!(
            [queue.take(), queue.take(), queue.take()],
            [Some((2, 20)), Some((3, 30)), None]
        );
    }
}
