//! Beads that stand alone, and those of them that the design's own repetition explains.

use super::Finding;
use crate::chart::Chart;
use crate::colour::{Lab, ciede2000, lab, light};
use crate::lattice::Lattice;
use crate::palette::HARD_TO_TELL;

/// Share of stray beads above which a chart looks speckled, as after dithering. Ours.
pub const MANY_STRAY: f64 = 0.1;
/// Share of a colour's single beads that a step must take to another of them, to be a repetition.
/// Ours.
const REPEATED: f64 = 0.7;
/// Fewest single beads of a colour that can be a repetition: two have a distance by chance. Ours.
const FEWEST: usize = 4;
/// A colour lies between two others where the way over it is longer by this at most. Ours.
const DETOUR: f64 = 1.1;
/// Beads that steps are tried from, and steps from each of them. Ours.
const TRIED: (usize, usize) = (5, 24);

/// Beads that no bead of their own colour touches, or stands next to in their row, and that are
/// no part of a repetition such as regular dots.
pub(super) fn stray(chart: &Chart) -> Option<Finding> {
    let lattice = &chart.lattice;
    let mut single: Vec<Vec<usize>> = vec![Vec::new(); chart.colours.len()];
    for bead in (0..chart.beads.len()).filter(|&bead| is_single(chart, bead)) {
        single[usize::from(chart.beads[bead])].push(bead);
    }
    let mut beads: Vec<usize> = single
        .iter()
        .flat_map(|of| unexplained(lattice, of))
        .collect();
    beads.sort_unstable();
    (!beads.is_empty()).then(|| Finding::Stray {
        many: beads.len() as f64 > MANY_STRAY * lattice.len() as f64,
        blended: are_blended(chart, &beads),
        beads,
    })
}

/// Whether more than half of the beads have a colour on the way from one neighbour's to another's.
fn are_blended(chart: &Chart, beads: &[usize]) -> bool {
    let shades = chart.colours.iter();
    let labs: Vec<Lab> = shades.map(|shade| lab(light(shade.srgb))).collect();
    let of = |bead: usize| labs[usize::from(chart.beads[bead])];
    let is_blended = |bead: &&usize| {
        let near: Vec<Lab> = chart
            .lattice
            .neighbours(**bead)
            .map(|near| of(near.index))
            .collect();
        let own = of(**bead);
        near.iter().enumerate().any(|(at, &one)| {
            near[at + 1..].iter().any(|&other| {
                let way = ciede2000(one, own) + ciede2000(own, other);
                ciede2000(one, other) > HARD_TO_TELL && way <= DETOUR * ciede2000(one, other)
            })
        })
    };
    2 * beads.iter().filter(is_blended).count() > beads.len()
}

fn is_single(chart: &Chart, bead: usize) -> bool {
    let lattice = &chart.lattice;
    // A line of one row is a line, though its beads do not touch: it is picked up in one go.
    let beside = |across| lattice.step(bead, 0, across);
    let touching = lattice.neighbours(bead).map(|near| near.index);
    let mut near = touching.chain([beside(-2), beside(2)].into_iter().flatten());
    near.all(|near| chart.beads[near] != chart.beads[bead])
}

/// Of the single beads of one colour, in lattice order, those that no repetition explains.
fn unexplained(lattice: &Lattice, single: &[usize]) -> Vec<usize> {
    if single.len() < FEWEST {
        return single.to_vec();
    }
    let mut is_single = vec![false; lattice.len()];
    single.iter().for_each(|&bead| is_single[bead] = true);
    let mut explained = vec![false; lattice.len()];
    for (up, across) in steps(lattice, single) {
        let is_met = |bead: usize, sign: i64| {
            lattice
                .step(bead, sign * up, sign * across)
                .map(|other| is_single[other])
        };
        // A step beyond an edge neither speaks for a repetition nor against it.
        let met: Vec<bool> = single.iter().filter_map(|&bead| is_met(bead, 1)).collect();
        let count = met.iter().filter(|met| **met).count();
        if count + 1 < FEWEST || (count as f64) < REPEATED * met.len() as f64 {
            continue;
        }
        for &bead in single {
            explained[bead] |= is_met(bead, 1) == Some(true) || is_met(bead, -1) == Some(true);
        }
    }
    single
        .iter()
        .copied()
        .filter(|&bead| !explained[bead])
        .collect()
}

/// Steps that may be a repetition: from some of the beads to those nearest to them.
fn steps(lattice: &Lattice, single: &[usize]) -> Vec<(i64, i64)> {
    let (seeds, each) = TRIED;
    let mut all = Vec::new();
    for seed in 0..seeds {
        let at = seed * (single.len() - 1) / (seeds - 1);
        // Beads near in lattice order are near on the band.
        let near = &single[at.saturating_sub(4 * each)..(at + 4 * each).min(single.len())];
        let mut steps: Vec<(i64, i64)> = near
            .iter()
            .filter(|&&bead| bead != single[at])
            .map(|&bead| lattice.way(single[at], bead))
            .collect();
        let far = |&(up, across): &(i64, i64)| lattice.distance(up, across).get();
        steps.sort_by(|one, other| far(one).total_cmp(&far(other)).then(one.cmp(other)));
        all.extend(steps.into_iter().take(each));
    }
    all.sort_unstable();
    all.dedup();
    all
}
