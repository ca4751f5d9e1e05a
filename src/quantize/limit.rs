//! Which `k` colours of the palette suit the whole band best: a k-median over the palette.
//!
//! The cost of a set of colours is the sum over all beads of the difference (CIEDE2000) between the
//! light of the picture and the nearest colour of the set. The search starts greedily (the colour
//! that lowers the cost most, again and again), then exchanges single colours until none helps,
//! then pairs of colours where the case is small enough, then shakes the set and improves it again.
//! Everything runs in a fixed order, so the same case gives the same set, whatever the number of
//! threads.
//!
//! Greedy alone can be far off; single exchanges (M. B. Teitz, P. Bart, "Heuristic methods for
//! estimating the generalized vertex median of a weighted graph", Operations Research 16, 955-961,
//! 1968) come close; pairs close nearly all of the gap that is left.

mod cache;
mod costs;
mod pairs;
mod search;

pub use cache::Cache;
pub use costs::{Costs, Item, items};

use crate::cancel::Cancel;
use crate::palette::Tone;
use search::Search;

/// The best set found of `count` colours among `free` (indices in `tones`, rising) that holds all
/// of `keep`; rising.
pub fn select(
    items: &[Item],
    tones: &[Tone],
    free: &[usize],
    keep: &[usize],
    count: usize,
    cancel: &Cancel,
) -> Vec<usize> {
    let costs = Costs::new(items, tones, free, cancel);
    let kept: Vec<usize> = (0..free.len())
        .filter(|&own| keep.contains(&free[own]))
        .collect();
    let mut chosen = best_set(&costs, &kept, count, cancel);
    chosen.sort_unstable();
    chosen.into_iter().map(|own| free[own]).collect()
}

/// The best set found of `count` columns of `costs` that holds all of `keep`.
pub fn best_set(costs: &Costs, keep: &[usize], count: usize, cancel: &Cancel) -> Vec<usize> {
    let mut search = Search::new(costs, keep, count, cancel);
    search.fill();
    search.exchange();
    search.exchange_pairs();
    search.shake();
    search.set
}

/// What greedy choice alone gives: for comparison.
pub fn greedy_set(costs: &Costs, keep: &[usize], count: usize) -> Vec<usize> {
    let cancel = Cancel::default();
    let mut search = Search::new(costs, keep, count, &cancel);
    search.fill();
    search.set
}
