//! Ordered dithering with a blue-noise mask that is made on the lattice itself.
//!
//! The mask ranks the beads of the band so that, at every threshold, the beads below it lie as evenly as the lattice allows: void and cluster
//! (R. Ulichney, "The void-and-cluster method for dither array generation", Proc. SPIE 1913, 332-343, 1993), with distances in millimetres. For each bead
//! a list of colours is made whose mean is the light wanted, each entry making up for the error of those before; the mask's threshold picks from the
//! list, sorted from dark to light. (The list is the method of T. Knoll's expired patent US 6,606,166; from memory.)

mod void_and_cluster;

pub use void_and_cluster::thresholds;

use super::Wanted;
use super::assign::settled;
use super::diffuse::mean;
use crate::colour::{Judged, Light, lab};
use crate::drawer::{Nearest, Tone};
use rayon::prelude::*;

/// Colours in a bead's list: the mean is met to about 1/32 of a step between colours.
const ENTRIES: usize = 32;
/// Entries for which the whole palette is searched; the rest mix the colours found by then.
const SEARCHED: usize = 8;

/// A colour of the palette for each bead; `strength` from 0 (nearest colour) to 1 (mixtures give the light wanted).
pub fn choose(wanted: &Wanted, tones: &[Tone], nearest: &Nearest, strength: f64) -> Vec<usize> {
    let thresholds = thresholds(wanted.lattice);
    let of_groups: Vec<usize> = (0..wanted.together.len())
        .into_par_iter()
        .map(|group| {
            let beads = wanted.together.beads_of(group);
            settled(wanted, beads).unwrap_or_else(|| {
                let list = list(mean(wanted, group), tones, nearest, strength);
                let threshold = thresholds[beads[0] as usize];
                list[((threshold * ENTRIES as f64) as usize).min(ENTRIES - 1)]
            })
        })
        .collect();
    wanted.together.spread(&of_groups)
}

/// Colours whose mean is near `light`, or at less than full strength near a point on the way to it from the nearest colour; from dark to light.
fn list(light: [f64; 3], tones: &[Tone], nearest: &Nearest, strength: f64) -> Vec<usize> {
    let first = nearest.find(&Tone::new(Light::new(light[0], light[1], light[2])));
    let own = tones[first].light;
    let own = [own.red, own.green, own.blue];
    let light: [f64; 3] = std::array::from_fn(|i| own[i] + (light[i] - own[i]) * strength);
    let mut lacking = [0.0; 3];
    let mut list: Vec<usize> = Vec::with_capacity(ENTRIES);
    let mut found: Vec<(Judged, usize)> = Vec::new();
    while list.len() < ENTRIES {
        let asked: [f64; 3] = std::array::from_fn(|i| (light[i] + lacking[i]).clamp(-1.0, 2.0));
        let asked = Light::new(asked[0], asked[1], asked[2]);
        let colour = match list.len() < SEARCHED {
            true => nearest.find(&Tone::new(asked)),
            false => nearest_of(&found, asked),
        };
        if !found.iter().any(|(_, known)| *known == colour) {
            found.push((Judged::new(tones[colour].lab), colour));
        }
        let given = tones[colour].light;
        lacking[0] += light[0] - given.red;
        lacking[1] += light[1] - given.green;
        lacking[2] += light[2] - given.blue;
        list.push(colour);
    }
    list.sort_by(|&a, &b| tones[a].lab.l.total_cmp(&tones[b].lab.l).then(a.cmp(&b)));
    list
}

/// The nearest of a few colours, the first of equals.
fn nearest_of(found: &[(Judged, usize)], asked: Light) -> usize {
    let asked = Judged::new(lab(asked));
    let mut best = (f64::INFINITY, found[0].1);
    for (judged, colour) in found {
        let difference = asked.difference(judged);
        if difference < best.0 {
            best = (difference, *colour);
        }
    }
    best.1
}
