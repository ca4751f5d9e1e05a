//! The cancellation flag, checked between steps, so that work that is no longer wanted ends soon.

use crate::error::{Error, Result};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

/// A cancellation flag; clones share it.
///
/// It decides whether work goes on, never what the result is: options that differ in it alone are
/// equal. Whatever takes longer than a few milliseconds checks it between its steps. A step that
/// returns no error stops early with an incomplete result; its caller checks the flag again.
#[derive(Debug, Clone, Default)]
pub struct Cancel(Arc<State>);

#[derive(Debug, Default)]
struct State {
    over: AtomicBool,
    /// Looks that are left, and those that were taken, where they are counted.
    counted: Option<(u64, AtomicU64)>,
}

impl Cancel {
    /// One that ends by itself after so many looks, so that tests can end work at any of its steps.
    pub fn of_looks(most: u64) -> Self {
        Self(Arc::new(State {
            over: AtomicBool::new(false),
            counted: Some((most, AtomicU64::new(0))),
        }))
    }

    /// How often it was looked at; 0 where looks are not counted.
    pub fn looks(&self) -> u64 {
        let taken = |(_, taken): &(u64, AtomicU64)| taken.load(Ordering::Relaxed);
        self.0.counted.as_ref().map_or(0, taken)
    }

    /// Cancels the work.
    pub fn end(&self) {
        self.0.over.store(true, Ordering::Relaxed);
    }

    /// Whether the work was cancelled; a search that sees this may stop where it is, since its
    /// result is not used.
    #[inline]
    pub fn is_over(&self) -> bool {
        if let Some((most, taken)) = &self.0.counted
            && taken.fetch_add(1, Ordering::Relaxed) >= *most
        {
            self.end();
        }
        self.0.over.load(Ordering::Relaxed)
    }

    /// An error once the work was cancelled.
    ///
    /// # Errors
    /// If the work was cancelled.
    pub fn check(&self) -> Result<()> {
        if self.is_over() {
            Err(Error::new("the work was cancelled"))
        } else {
            Ok(())
        }
    }
}

impl PartialEq for Cancel {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn looks_are_counted_where_it_ends_after_so_many() {
        let cancel = Cancel::of_looks(2);
        let looks = [0; 4].map(|_| cancel.is_over());
        assert_eq!(looks, [false, false, true, true]);
        assert_eq!(cancel.looks(), 4);
        assert_eq!(Cancel::default().looks(), 0);
    }

    #[test]
    fn copies_end_together() {
        let one = Cancel::default();
        let other = one.clone();
        assert!(one.check().is_ok());
        other.end();
        assert!(one.is_over() && one.check().is_err());
        assert_eq!(one, Cancel::default());
    }
}
