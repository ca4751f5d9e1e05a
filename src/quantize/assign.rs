//! The nearest colour for each bead, or for each group of beads on their summed difference.

use super::Problem;
use crate::cancel::Cancel;
use crate::colour::{Light, lab};
use crate::palette::{Nearest, Tone};
use rayon::prelude::*;
use std::collections::HashMap;

/// Groups that one task handles.
const GROUPS_AT_ONCE: usize = 1024;

/// A colour of the palette for each bead: beads that share a colour take the one with the smallest
/// summed CIEDE2000.
pub fn assign(problem: &Problem, nearest: &Nearest, cancel: &Cancel) -> Vec<usize> {
    let groups: Vec<usize> = (0..problem.groups.len()).collect();
    let of_groups: Vec<usize> = groups
        .par_chunks(GROUPS_AT_ONCE)
        .flat_map_iter(|groups| {
            let mut known = HashMap::new();
            groups
                .iter()
                .map(|&group| {
                    if cancel.is_over() {
                        0
                    } else {
                        of_group(problem, nearest, group, &mut known)
                    }
                })
                .collect::<Vec<_>>()
        })
        .collect();
    problem.groups.spread(&of_groups)
}

fn of_group(
    problem: &Problem,
    nearest: &Nearest,
    group: usize,
    known: &mut HashMap<[u64; 3], usize>,
) -> usize {
    let beads = problem.groups.beads_of(group);
    if let Some(colour) = fixed_colour(problem, beads) {
        return colour;
    }
    let first = problem.light[beads[0] as usize];
    if beads
        .iter()
        .all(|&bead| problem.light[bead as usize] == first)
    {
        // Flat artwork has the same few colours again and again.
        return *known
            .entry(bits(first))
            .or_insert_with(|| nearest.find(&Tone::new(first)));
    }
    let tones: Vec<_> = beads
        .iter()
        .map(|&bead| (lab(problem.light[bead as usize]), 1.0))
        .collect();
    nearest.find_for_all(&tones)
}

/// The fixed colour of a group: that of its first fixed bead.
pub(super) fn fixed_colour(problem: &Problem, beads: &[u32]) -> Option<usize> {
    beads.iter().find_map(|&bead| problem.fixed[bead as usize])
}

/// A colour's exact bits, for looking it up.
pub(super) fn bits(light: Light) -> [u64; 3] {
    [
        light.red.to_bits(),
        light.green.to_bits(),
        light.blue.to_bits(),
    ]
}
