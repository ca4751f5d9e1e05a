//! What the desk keeps between requests: the items used last, in bounded memory. The page has its
//! own copies and sends one again when it is no longer kept.

use super::response::Refusal;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// A bounded cache that drops the item used least recently.
pub struct Cache<T> {
    kept: Mutex<VecDeque<Kept<T>>>,
    max_items: usize,
    max_bytes: usize,
    noun: &'static str,
}

struct Kept<T> {
    id: String,
    bytes: usize,
    item: Arc<T>,
}

impl<T> Cache<T> {
    /// An empty cache for `max_items` items of `max_bytes` bytes in all; errors call an item
    /// `noun`.
    pub fn new(noun: &'static str, max_items: usize, max_bytes: usize) -> Self {
        Self {
            kept: Mutex::default(),
            max_items,
            max_bytes,
            noun,
        }
    }

    /// Puts an item in front, and drops items from the other end until all fit.
    pub fn put(&self, id: &str, bytes: usize, item: Arc<T>) {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.retain(|one| one.id != id);
        kept.push_front(Kept {
            id: id.to_string(),
            bytes,
            item,
        });
        let bytes = |kept: &VecDeque<Kept<T>>| kept.iter().map(|one| one.bytes).sum::<usize>();
        while kept.len() > self.max_items || bytes(&kept) > self.max_bytes {
            kept.pop_back();
        }
    }

    /// Drops all items.
    pub fn clear(&self) {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.clear();
    }

    /// The item, which moves to the front.
    ///
    /// # Errors
    /// [`Refusal::Gone`] if it is not kept.
    pub fn get(&self, id: &str) -> Result<Arc<T>, Refusal> {
        self.find(id).ok_or(Refusal::Gone(self.noun))
    }

    /// The item, if it is kept.
    pub fn find(&self, id: &str) -> Option<Arc<T>> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let at = kept.iter().position(|one| one.id == id)?;
        let one = kept.remove(at)?;
        let item = Arc::clone(&one.item);
        kept.push_front(one);
        Some(item)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_items_used_last_are_kept_within_number_and_bytes() {
        let cache = Cache::new("picture", 3, 100);
        for (id, bytes) in [("a", 10), ("b", 10), ("c", 10)] {
            cache.put(id, bytes, Arc::new(id));
        }
        assert_eq!(*cache.get("a").unwrap(), "a");
        cache.put("d", 10, Arc::new("d"));
        assert!(matches!(cache.get("b"), Err(Refusal::Gone("picture"))));
        cache.put("e", 85, Arc::new("e"));
        assert!(cache.find("a").is_none() && cache.find("c").is_none());
        assert!(cache.find("d").is_some() && cache.find("e").is_some());
        // Too large for the cache as a whole.
        cache.put("f", 101, Arc::new("f"));
        assert!(cache.find("f").is_none());
        cache.put("g", 10, Arc::new("g"));
        cache.clear();
        assert!(cache.find("g").is_none());
    }
}
