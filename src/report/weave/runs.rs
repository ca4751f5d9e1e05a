//! Beads in pick-up order, as runs of one colour.

use crate::chart::Chart;
use schemars::JsonSchema;
use serde::Serialize;

/// So many beads of one colour, one after the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Run {
    /// The colour's place in the chart.
    pub colour: u16,
    /// How many beads.
    pub count: usize,
}

/// The runs of `beads`, which are in lattice order numbers of the chart, as they are picked up.
pub fn runs(chart: &Chart, beads: &[usize]) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for &bead in beads {
        let colour = chart.beads[bead];
        match runs.last_mut() {
            Some(run) if run.colour == colour => run.count += 1,
            _ => runs.push(Run { colour, count: 1 }),
        }
    }
    runs
}
