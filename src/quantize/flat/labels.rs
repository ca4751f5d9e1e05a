//! Which of the drawing's colours each bead shows.

use super::super::groups::Groups;
use crate::artwork::{Coverage, GROUND};
use crate::lattice::Lattice;

/// Share of a bead that must be drawn for it not to be ground.
const DRAWN: f32 = 0.5;

/// The label of each bead: that of most of its drawn part, or the ground's where less than half of
/// it is drawn. Beads of one group take their label together.
pub fn assign(coverage: &Coverage, groups: &Groups) -> Vec<u8> {
    let mut labels = vec![GROUND; coverage.shares.len() / coverage.labels];
    for group in 0..groups.len() {
        let beads = groups.beads_of(group);
        let shares = together(coverage, beads);
        let label = label_of(&shares);
        for &bead in beads {
            labels[bead as usize] = label;
        }
    }
    labels
}

/// The mean shares of some beads.
fn together(coverage: &Coverage, beads: &[u32]) -> Vec<f32> {
    let mut sum = vec![0.0; coverage.labels];
    for &bead in beads {
        for (sum, share) in sum.iter_mut().zip(coverage.of(bead as usize)) {
            *sum += share / beads.len() as f32;
        }
    }
    sum
}

fn label_of(shares: &[f32]) -> u8 {
    let ground = usize::from(GROUND);
    let drawn: f32 = shares[1..].iter().sum();
    if drawn < DRAWN {
        return GROUND;
    }
    let most = (0..shares.len())
        .filter(|&label| label != ground)
        .max_by(|&one, &other| shares[one].total_cmp(&shares[other]).then(other.cmp(&one)));
    most.unwrap_or(ground) as u8
}

/// Price of a bead without a like neighbour that the drawing has mostly in another colour, and of a
/// part that is lost, broken or grown together with another, in beads missed. Ours.
const STRAY: f32 = 0.5;
const FAILED: f32 = 4.0;

/// What is wrong with labels, in beads: what they miss of the drawing, stray beads, and parts that
/// failed.
pub fn faults(coverage: &Coverage, labels: &[u8], lattice: &Lattice, failed: usize) -> f32 {
    let missed: f32 = labels
        .iter()
        .enumerate()
        .map(|(bead, &label)| 1.0 - coverage.of(bead)[usize::from(label)])
        .sum();
    let lonely = (0..labels.len())
        .filter(|&bead| labels[bead] != GROUND && is_stray(labels, bead, lattice))
        .filter(|&bead| coverage.of(bead)[usize::from(labels[bead])] < DRAWN)
        .count();
    missed + STRAY * lonely as f32 + FAILED * failed as f32
}

/// The least that any labels miss of the drawing, in beads.
pub fn least_faults(coverage: &Coverage) -> f32 {
    let most = |shares: &[f32]| shares.iter().copied().fold(0.0, f32::max);
    let shares = coverage.shares.chunks_exact(coverage.labels);
    shares.map(|own| 1.0 - most(own)).sum()
}

/// Whether no neighbour has the bead's label.
pub(super) fn is_stray(labels: &[u8], bead: usize, lattice: &Lattice) -> bool {
    !lattice
        .neighbours(bead)
        .any(|near| labels[near.index] == labels[bead])
}

/// Price of a border between two labels at full calm, in beads.
const BORDER: f32 = 0.12;
/// Rounds of calming; it ends as soon as nothing changes.
const ROUNDS: usize = 8;

/// Straightens borders: beads take the label that costs least, counting what it misses of the
/// drawing and, by `calm` from 0 to 1, each unlike neighbour.
pub fn settle(
    labels: &mut [u8],
    coverage: &Coverage,
    lattice: &Lattice,
    groups: &Groups,
    calm: f64,
) {
    if calm <= 0.0 {
        return;
    }
    let price = BORDER * calm as f32;
    for _ in 0..ROUNDS {
        let mut changed = false;
        for group in 0..groups.len() {
            let beads = groups.beads_of(group);
            let shares = together(coverage, beads);
            let cost = |label: u8, labels: &[u8]| {
                let unlike = beads
                    .iter()
                    .flat_map(|&bead| lattice.neighbours(bead as usize));
                let unlike = unlike.filter(|near| labels[near.index] != label).count();
                1.0 - shares[usize::from(label)] + price * unlike as f32 / beads.len() as f32
            };
            let own = labels[beads[0] as usize];
            let mut best = (cost(own, labels), own);
            for label in 0..coverage.labels as u8 {
                let new = cost(label, labels);
                if new < best.0 - 1e-6 {
                    best = (new, label);
                }
            }
            if best.1 != own {
                changed = true;
                beads
                    .iter()
                    .for_each(|&bead| labels[bead as usize] = best.1);
            }
        }
        if !changed {
            return;
        }
    }
}
