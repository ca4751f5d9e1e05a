//! Whether work is still wanted: looked at between its steps, so that what nobody waits for any more ends soon.

use crate::error::{Error, Result};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// The patience of whoever asked for a piece of work; copies are one and the same.
///
/// It decides whether work goes on, never what comes of it: options that differ in it alone are equal.
#[derive(Debug, Clone, Default)]
pub struct Patience(Arc<AtomicBool>);

impl Patience {
    /// The work is not wanted any more.
    pub fn end(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether the work is not wanted any more; a search that sees this may stop where it is, since nobody looks at what it found.
    pub fn is_over(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }

    /// Goes on, or not.
    ///
    /// # Errors
    /// If the work is not wanted any more.
    pub fn check(&self) -> Result<()> {
        match self.is_over() {
            true => Err(Error::new("nobody waits for this any more")),
            false => Ok(()),
        }
    }
}

impl PartialEq for Patience {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn copies_end_together() {
        let one = Patience::default();
        let other = one.clone();
        assert!(one.check().is_ok());
        other.end();
        assert!(one.is_over() && one.check().is_err());
        assert_eq!(one, Patience::default());
    }
}
