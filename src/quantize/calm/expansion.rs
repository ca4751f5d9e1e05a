//! Alpha expansion: a label for each node at the least cost of fit and of unlike neighbours.
//!
//! Y. Boykov, O. Veksler, R. Zabih, "Fast approximate energy minimization via graph cuts", IEEE
//! Trans. Pattern Analysis and Machine Intelligence 23, 1222-1239, 2001: one label after the other
//! may spread to any set of nodes at once, and a minimum cut finds the best such set. When no label
//! helps, the cost is at most twice the least one, for penalties of equal kind. Graph after V.
//! Kolmogorov, R. Zabih, "What energy functions can be minimized via graph cuts?", IEEE Trans.
//! Pattern Analysis and Machine Intelligence 26(2), 147-159, 2004.

use super::min_cut::Network;
use crate::cancel::Cancel;

/// Capacities count costs in so many parts of one.
const PARTS: f64 = 65_536.0;
/// Rounds over all labels, at most.
const ROUNDS: usize = 8;

/// What labels cost.
pub struct Costs {
    /// Cost of each label at each node, node after node.
    pub fit: Vec<f64>,
    /// Number of labels.
    pub labels: usize,
    /// Pairs of nodes and what it costs if their labels differ; none below 0.
    pub unlike: Vec<(usize, usize, f64)>,
}

impl Costs {
    /// What a labelling costs.
    pub fn total(&self, labels: &[usize]) -> f64 {
        let fit: f64 = (0..labels.len())
            .map(|node| self.fit(node, labels[node]))
            .sum();
        let unlike = |&&(one, two, _): &&(usize, usize, f64)| labels[one] != labels[two];
        let border: f64 = self.unlike.iter().filter(unlike).map(|pair| pair.2).sum();
        fit + border
    }

    fn fit(&self, node: usize, label: usize) -> f64 {
        self.fit[node * self.labels + label]
    }
}

/// Spreads labels while that lowers the cost; nodes that are `fixed` keep theirs.
pub fn expand(costs: &Costs, labels: &mut [usize], fixed: &[bool], cancel: &Cancel) {
    let mut total = costs.total(labels);
    let mut idle = 0;
    for label in (0..costs.labels).cycle().take(ROUNDS * costs.labels) {
        let moved = spread(costs, labels, fixed, label, cancel);
        if cancel.is_over() {
            return;
        }
        let now = costs.total(&moved);
        // Costs are rounded for the cut, so its result is checked exactly.
        if now < total - 1e-9 * total.abs() {
            labels.copy_from_slice(&moved);
            total = now;
            idle = 0;
        } else {
            idle += 1
        }
        if idle == costs.labels {
            return;
        }
    }
}

/// The best labelling in which any set of nodes has taken `label`.
fn spread(
    costs: &Costs,
    labels: &[usize],
    fixed: &[bool],
    label: usize,
    cancel: &Cancel,
) -> Vec<usize> {
    let whole = |cost: f64| (cost * PARTS).round() as i64;
    let mut own: Vec<i64> = Vec::with_capacity(labels.len());
    let mut take: Vec<i64> = Vec::with_capacity(labels.len());
    for (node, &now) in labels.iter().enumerate() {
        own.push(whole(costs.fit(node, now)));
        take.push(whole(costs.fit(node, label)));
    }
    let mut network = Network::new(labels.len());
    for &(one, two, weight) in &costs.unlike {
        let weight = whole(weight);
        let (first, second) = (labels[one], labels[two]);
        // Costs if both keep, only the second takes, only the first takes; if both take, none.
        let keep = if first != second { weight } else { 0 };
        let second_takes = if first != label { weight } else { 0 };
        let first_takes = if second != label { weight } else { 0 };
        // keep = first's part + second's part; the rest is a capacity between the two.
        own[one] += keep - first_takes;
        own[two] += first_takes;
        let between = second_takes + first_takes - keep;
        // Cut if the first keeps and the second takes.
        network.join(one, two, between, 0);
    }
    for node in 0..labels.len() {
        let least = own[node].min(take[node]);
        // On the source's side a node keeps its label, on the sink's it takes the new one.
        if fixed[node] {
            network.fill(node, i64::MAX / 4);
        } else {
            network.fill(node, take[node] - least);
            network.drain(node, own[node] - least);
        }
    }
    network.send(cancel);
    let keeps = network.with_source();
    (0..labels.len())
        .map(|node| if keeps[node] { labels[node] } else { label })
        .collect()
}
