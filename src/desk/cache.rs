//! What the desk keeps between requests: the last few of a kind, in bounded memory. The page has its own copy and sends it again when it has to.

use super::answer::Refusal;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// A bounded cache; what was used last stays longest.
pub struct Cache<T> {
    kept: Mutex<VecDeque<Kept<T>>>,
    most: usize,
    bytes: usize,
    what: &'static str,
}

struct Kept<T> {
    id: String,
    bytes: usize,
    item: Arc<T>,
}

impl<T> Cache<T> {
    /// An empty cache for `most` items of `bytes` bytes in all; `what` is the word for one.
    pub fn new(what: &'static str, most: usize, bytes: usize) -> Self {
        Self {
            kept: Mutex::default(),
            most,
            bytes,
            what,
        }
    }

    /// Puts an item in front, and drops from the other end what does not fit any more.
    pub fn put(&self, id: &str, bytes: usize, item: Arc<T>) {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.retain(|one| one.id != id);
        kept.push_front(Kept {
            id: id.to_string(),
            bytes,
            item,
        });
        while kept.len() > self.most || kept.iter().map(|one| one.bytes).sum::<usize>() > self.bytes
        {
            kept.pop_back();
        }
    }

    /// The item, which is in front from now on.
    ///
    /// # Errors
    /// [`Refusal::Gone`] if it is not kept.
    pub fn get(&self, id: &str) -> Result<Arc<T>, Refusal> {
        self.find(id).ok_or(Refusal::Gone(self.what))
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
    fn what_was_used_last_stays_within_number_and_bytes() {
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
    }
}
