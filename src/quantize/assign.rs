//! The nearest colour for each bead, or for each group of beads on their summed difference.

use super::Wanted;
use crate::cancel::Cancel;
use crate::colour::{Light, lab};
use crate::palette::{Nearest, Tone};
use rayon::prelude::*;
use std::collections::HashMap;

/// Groups that one task settles.
const GROUPS_AT_ONCE: usize = 1024;

/// A colour of the palette for each bead: beads that decide together take the one with the smallest summed CIEDE2000.
pub fn assign(wanted: &Wanted, nearest: &Nearest, cancel: &Cancel) -> Vec<usize> {
    let groups: Vec<usize> = (0..wanted.together.len()).collect();
    let of_groups: Vec<usize> = groups
        .par_chunks(GROUPS_AT_ONCE)
        .flat_map_iter(|groups| {
            let mut known = HashMap::new();
            groups
                .iter()
                .map(|&group| match cancel.is_over() {
                    true => 0,
                    false => of_group(wanted, nearest, group, &mut known),
                })
                .collect::<Vec<_>>()
        })
        .collect();
    wanted.together.spread(&of_groups)
}

fn of_group(
    wanted: &Wanted,
    nearest: &Nearest,
    group: usize,
    known: &mut HashMap<[u64; 3], usize>,
) -> usize {
    let beads = wanted.together.beads_of(group);
    if let Some(colour) = settled(wanted, beads) {
        return colour;
    }
    let first = wanted.light[beads[0] as usize];
    if beads
        .iter()
        .all(|&bead| wanted.light[bead as usize] == first)
    {
        // Flat artwork asks for the same few colours again and again.
        return *known
            .entry(bits(first))
            .or_insert_with(|| nearest.find(&Tone::new(first)));
    }
    let tones: Vec<_> = beads
        .iter()
        .map(|&bead| (lab(wanted.light[bead as usize]), 1.0))
        .collect();
    nearest.find_for_all(&tones)
}

/// The settled colour of a group: that of its first settled bead.
pub(super) fn settled(wanted: &Wanted, beads: &[u32]) -> Option<usize> {
    beads.iter().find_map(|&bead| wanted.settled[bead as usize])
}

/// A colour's exact bits, for looking it up.
pub(super) fn bits(light: Light) -> [u64; 3] {
    [
        light.red.to_bits(),
        light.green.to_bits(),
        light.blue.to_bits(),
    ]
}
