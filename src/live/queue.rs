//! A bounded queue that loses nothing: what does not fit is refused, and the caller knows.

use std::collections::VecDeque;
use std::sync::Mutex;

use super::lock::held;

/// The queue is full; the item was not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the queue is full: this was not taken")]
pub struct Full;

/// A queue between threads.
pub struct Queue<T> {
    items: Mutex<VecDeque<T>>,
    limit: usize,
}

impl<T> Queue<T> {
    /// A queue for at most `limit` waiting items; everything is allocated here.
    pub fn new(limit: usize) -> Self {
        Self { items: Mutex::new(VecDeque::with_capacity(limit)), limit }
    }

    /// Puts an item at the end.
    ///
    /// # Errors
    /// [`Full`].
    pub fn put(&self, item: T) -> Result<(), Full> {
        let mut items = held(&self.items);
        if items.len() >= self.limit {
            return Err(Full);
        }
        items.push_back(item);
        Ok(())
    }

    /// Takes the oldest item.
    pub fn take(&self) -> Option<T> {
        held(&self.items).pop_front()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn items_come_in_order_and_what_does_not_fit_is_refused_not_lost() {
        let queue = Queue::new(2);
        assert_eq!([queue.put(10), queue.put(20), queue.put(30)], [Ok(()), Ok(()), Err(Full)]);
        assert_eq!(queue.take(), Some(10));
        assert_eq!(queue.put(40), Ok(()));
        assert_eq!([queue.take(), queue.take(), queue.take()], [Some(20), Some(40), None]);
    }
}
