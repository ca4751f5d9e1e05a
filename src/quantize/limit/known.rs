//! The last choices under a limit, for one that asks the same: the search is the same function of the same things.

use super::{Item, choose};
use crate::cancel::Cancel;
use crate::palette::Tone;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// Choices that are remembered, so that shapes and limits can be tried by turns. Ours.
const KEPT: usize = 8;

/// What was found last, or, by default, nothing ever; copies are one and the same.
///
/// It decides how long a choice takes, never what it is: options that differ in it alone are equal.
#[derive(Debug, Clone, Default)]
pub struct Known(Option<Arc<Mutex<VecDeque<Found>>>>);

#[derive(Debug)]
struct Found {
    items: Vec<Item>,
    tones: Vec<Tone>,
    free: Vec<usize>,
    keep: Vec<usize>,
    count: usize,
    chosen: Vec<usize>,
}

impl Known {
    /// One that remembers.
    pub fn remembering() -> Self {
        Self(Some(Arc::default()))
    }

    /// As [`choose`].
    pub fn choose(
        &self,
        items: &[Item],
        tones: &[Tone],
        free: &[usize],
        keep: &[usize],
        count: usize,
        cancel: &Cancel,
    ) -> Vec<usize> {
        let Some(known) = &self.0 else {
            return choose(items, tones, free, keep, count, cancel);
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
        // Others may ask while this one is searched for.
        drop(all);
        let chosen = choose(items, tones, free, keep, count, cancel);
        // What was broken off is no answer for the next one.
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

impl PartialEq for Known {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}
