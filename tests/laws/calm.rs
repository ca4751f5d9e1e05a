//! Expansion moves against all labellings.

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use upbead::cancel::Cancel;
use upbead::quantize::calm::expansion::{Costs, expand};

/// Every labelling of a few nodes, and the least cost.
fn least(costs: &Costs, nodes: usize) -> f64 {
    let count = costs.labels.pow(nodes as u32);
    (0..count)
        .map(|mut code| {
            let labels: Vec<usize> = (0..nodes)
                .map(|_| {
                    let label = code % costs.labels;
                    code /= costs.labels;
                    label
                })
                .collect();
            costs.total(&labels)
        })
        .fold(f64::INFINITY, f64::min)
}

/// A ring of nodes with some chords.
fn costs(nodes: usize, labels: usize, numbers: &[f64], price: f64) -> Costs {
    let number = |at: usize| numbers[at % numbers.len()];
    Costs {
        labels,
        fit: (0..nodes * labels)
            .map(|at| 20.0 * number(at * 7 + 1))
            .collect(),
        unlike: (0..nodes)
            .flat_map(|node| [(node, (node + 1) % nodes), (node, (node + 3) % nodes)])
            .enumerate()
            .map(|(at, (one, two))| (one, two, price * number(at * 5 + 2)))
            .collect(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn two_labels_reach_the_best_of_all_labellings(
        numbers in prop::collection::vec(0.0..1.0f64, 53),
        nodes in 5usize..11,
        price in 0.0..30.0,
    ) {
        let costs = costs(nodes, 2, &numbers, price);
        let mut labels = vec![0; nodes];
        expand(&costs, &mut labels, &vec![false; nodes], &Cancel::default());
        // Costs are rounded to 1/65536 for the cut.
        prop_assert!(costs.total(&labels) <= least(&costs, nodes) + 1e-2);
    }

    #[test]
    fn more_labels_stay_within_twice_the_best(
        numbers in prop::collection::vec(0.0..1.0f64, 53),
        nodes in 5usize..8,
        price in 0.0..30.0,
    ) {
        let costs = costs(nodes, 4, &numbers, price);
        let mut labels = vec![0; nodes];
        expand(&costs, &mut labels, &vec![false; nodes], &Cancel::default());
        let least = least(&costs, nodes);
        let found = costs.total(&labels);
        prop_assert!(
            found >= least - 1e-9 && found <= 2.0 * least + 1e-2,
            "{found} {least}"
        );
    }

    #[test]
    fn fixed_nodes_keep_their_labels_and_the_cost_never_rises(
        numbers in prop::collection::vec(0.0..1.0f64, 53),
        nodes in 5usize..12,
        price in 0.0..30.0,
        kept in 0usize..5,
    ) {
        let costs = costs(nodes, 3, &numbers, price);
        let mut labels: Vec<usize> = (0..nodes).map(|node| node % 3).collect();
        let (before, own) = (costs.total(&labels), labels[kept]);
        let fixed: Vec<bool> = (0..nodes).map(|node| node == kept).collect();
        expand(&costs, &mut labels, &fixed, &Cancel::default());
        prop_assert!(labels[kept] == own && costs.total(&labels) <= before);
    }
}

/// Twice the best is what is proven; the best itself is what is mostly found. The cases are the
/// same in every run.
#[test]
fn more_labels_mostly_reach_the_best_of_all_labellings() {
    let mut runner = TestRunner::deterministic();
    let cases = (
        prop::collection::vec(0.0..1.0f64, 53),
        5usize..8,
        0.0..30.0f64,
    );
    let mut reached = 0;
    for _ in 0..128 {
        let (numbers, nodes, price) = cases.new_tree(&mut runner).unwrap().current();
        let costs = costs(nodes, 4, &numbers, price);
        let mut labels = vec![0; nodes];
        expand(&costs, &mut labels, &vec![false; nodes], &Cancel::default());
        if costs.total(&labels) <= least(&costs, nodes) + 1e-2 {
            reached += 1;
        }
    }
    assert!(reached >= 115, "{reached} of 128");
}
