//! Ordered dithering with a blue-noise mask that is made for the lattice itself.
//!
//! The mask ranks the beads of the band so that, at every threshold, the beads below it are spread
//! as evenly as the lattice allows: void and cluster (R. Ulichney, "The void-and-cluster method for
//! dither array generation", Proc. SPIE 1913, 332-343, 1993), with distances in millimetres. For
//! each bead a list of colours is made whose mean is the light of the picture, each entry making up
//! for the error of those before; the mask's threshold picks from the list, sorted from dark to
//! light.

mod void_and_cluster;

pub use void_and_cluster::thresholds;

use super::Problem;
use super::assign::fixed_colour;
use super::diffuse::mean;
use crate::cancel::Cancel;
use crate::colour::Light;
use crate::palette::{Nearest, Tone};
use rayon::prelude::*;

/// Colours in a bead's list: the mean is exact to about 1/32 of a step between colours.
const ENTRIES: usize = 32;
/// Entries that are chosen by how near they look; the rest by how little light they leave missing,
/// which is faster and ends nearer.
const SEARCHED: usize = 12;

/// A colour of the palette for each bead; `strength` from 0 (nearest colour) to 1 (mixtures give
/// the light of the picture).
pub fn dither(
    problem: &Problem,
    tones: &[Tone],
    allowed: &[usize],
    nearest: &Nearest,
    strength: f64,
    cancel: &Cancel,
) -> Vec<usize> {
    let thresholds = thresholds(problem.lattice, cancel);
    let of_groups: Vec<usize> = (0..problem.groups.len())
        .into_par_iter()
        .map(|group| {
            let beads = problem.groups.beads_of(group);
            fixed_colour(problem, beads).unwrap_or_else(|| {
                if cancel.is_over() {
                    return 0;
                }
                let list = list(mean(problem, group), tones, allowed, nearest, strength);
                let threshold = thresholds[beads[0] as usize];
                list[((threshold * ENTRIES as f64) as usize).min(ENTRIES - 1)]
            })
        })
        .collect();
    problem.groups.spread(&of_groups)
}

/// Colours whose mean is near `light`, or at less than full strength near a point between it and
/// the nearest colour; from dark to light.
fn list(
    light: [f64; 3],
    tones: &[Tone],
    allowed: &[usize],
    nearest: &Nearest,
    strength: f64,
) -> Vec<usize> {
    let first = nearest.find(&Tone::new(Light::new(light[0], light[1], light[2])));
    let own = tones[first].light;
    let own = [own.red, own.green, own.blue];
    let light: [f64; 3] = std::array::from_fn(|i| own[i] + (light[i] - own[i]) * strength);
    let mut missing = [0.0; 3];
    let mut list: Vec<usize> = Vec::with_capacity(ENTRIES);
    let mut found: Vec<usize> = Vec::new();
    while list.len() < ENTRIES {
        let asked: [f64; 3] = std::array::from_fn(|i| (light[i] + missing[i]).clamp(-1.0, 2.0));
        let asked = Light::new(asked[0], asked[1], asked[2]);
        let colour = if list.len() < SEARCHED {
            nearest.find(&Tone::new(asked))
        } else {
            nearest_of(allowed, tones, asked)
        };
        if !found.contains(&colour) {
            found.push(colour);
        }
        let given = tones[colour].light;
        missing[0] += light[0] - given.red;
        missing[1] += light[1] - given.green;
        missing[2] += light[2] - given.blue;
        list.push(colour);
    }
    exchange(&mut list, &found, tones, missing);
    list.sort_by(|&a, &b| tones[a].lab.l.total_cmp(&tones[b].lab.l).then(a.cmp(&b)));
    list
}

/// The colour that leaves the least light missing, the first of equals.
fn nearest_of(allowed: &[usize], tones: &[Tone], asked: Light) -> usize {
    let off = |at: usize| {
        let off = tones[at].light - asked;
        off.red * off.red + off.green * off.green + off.blue * off.blue
    };
    let mut best = (f64::INFINITY, allowed[0]);
    for &at in allowed {
        let own = off(at);
        if own < best.0 {
            best = (own, at);
        }
    }
    best.1
}

/// Exchanges entries, a few at most, while that leaves less light missing.
fn exchange(list: &mut [usize], found: &[usize], tones: &[Tone], mut missing: [f64; 3]) {
    const EXCHANGES: usize = 4;
    let square = |v: [f64; 3]| v[0] * v[0] + v[1] * v[1] + v[2] * v[2];
    for _ in 0..EXCHANGES {
        let after = |out: usize, into: usize| {
            let change = tones[out].light - tones[into].light;
            [
                missing[0] + change.red,
                missing[1] + change.green,
                missing[2] + change.blue,
            ]
        };
        let mut best = (square(missing), None);
        for &out in found.iter().filter(|out| list.contains(out)) {
            for &into in found {
                let off = square(after(out, into));
                if off < best.0 {
                    best = (off, Some((out, into)));
                }
            }
        }
        let Some((out, into)) = best.1 else { return };
        missing = after(out, into);
        if let Some(entry) = list.iter_mut().find(|entry| **entry == out) {
            *entry = into;
        }
    }
}
