//! How full the holes get.

use super::passes::Weave;
use crate::lattice::Lattice;

/// Passes through each bead, seam and ends included, in lattice order.
pub fn holes(lattice: &Lattice, weave: &Weave) -> Vec<u16> {
    let mut passes = vec![0; lattice.len()];
    for part in [
        &weave.passes,
        &weave.seam,
        &weave.thread_end,
        &weave.tail_end,
    ] {
        for pass in part {
            passes[pass.bead] += 1;
        }
    }
    passes
}
