//! The last selections under a limit: the same input has the same result.

use super::{Item, select};
use crate::cancel::Cancel;
use crate::palette::Tone;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// Selections that are kept, so that shapes and limits can be tried in turn. Ours.
const KEPT: usize = 8;

/// The last selections, or, by default, none; copies share them.
///
/// It decides how long a selection takes, never its result: settings that differ in it alone are
/// equal.
#[derive(Debug, Clone, Default)]
pub struct Cache(Option<Arc<Mutex<VecDeque<Found>>>>);

#[derive(Debug)]
struct Found {
    items: Vec<Item>,
    tones: Vec<Tone>,
    free: Vec<usize>,
    keep: Vec<usize>,
    count: usize,
    chosen: Vec<usize>,
}

impl Cache {
    /// A cache that keeps selections.
    pub fn remembering() -> Self {
        Self(Some(Arc::default()))
    }

    /// As [`super::select`].
    pub fn select(
        &self,
        items: &[Item],
        tones: &[Tone],
        free: &[usize],
        keep: &[usize],
        count: usize,
        cancel: &Cancel,
    ) -> Vec<usize> {
        let Some(known) = &self.0 else {
            return select(items, tones, free, keep, count, cancel);
        };
        let same = |found: &Found| {
            found.count == count
                && found.keep == keep
                && found.free == free
                && found.tones == tones
                && found.items == items
        };
        let mut all = known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(found) = all.iter().position(same).and_then(|at| all.remove(at)) {
            let chosen = found.chosen.clone();
            all.push_front(found);
            return chosen;
        }
        // Other threads may ask while this one searches.
        drop(all);
        let chosen = select(items, tones, free, keep, count, cancel);
        // A cancelled selection is not a result.
        if cancel.is_over() {
            return chosen;
        }
        let mut all = known.lock().unwrap_or_else(PoisonError::into_inner);
        all.push_front(Found {
            items: items.to_vec(),
            tones: tones.to_vec(),
            free: free.to_vec(),
            keep: keep.to_vec(),
            count,
            chosen: chosen.clone(),
        });
        all.truncate(KEPT);
        chosen
    }
}

impl PartialEq for Cache {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}
