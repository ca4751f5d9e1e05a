//! Which `k` colours of the palette the whole band is best woven in: a k-median over the palette.
//!
//! The cost of a set of colours is the sum over all beads of the difference (CIEDE2000) between the light wanted and the nearest colour of the set. The
//! search starts greedily (the colour that lowers the cost most, again and again), then exchanges single colours until none helps, then pairs of colours
//! where the case is small enough, then shakes the set and mends it again. Everything runs in a fixed order, so the same
//! case gives the same set, whatever the number of threads.
//!
//! Greedy alone can be far off; single exchanges (J. Vinod, "Integer programming and the theory of grouping", 1969; M. B. Teitz, P. Bart, "Heuristic methods for
//! estimating the generalized vertex median", Operations Research 16, 1968; from memory) come close; pairs settle nearly all of the rest.

mod costs;
mod known;
mod search;

pub use costs::{Costs, Item, items};
pub use known::Known;

use crate::cancel::Cancel;
use crate::palette::Tone;
use search::Search;

/// The best set found of `count` colours among `free` (places in `tones`, rising) that holds all of `keep`; rising.
pub fn choose(
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
