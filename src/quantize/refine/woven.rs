//! What a band costs beside the error that is seen, in squared differences of a bead: intruders,
//! unlike beads on flat ground, and, with calm, colour changes.
//!
//! An error that is measured after the eye's filter rewards noise: beads of far colours mix to the
//! light of the picture from two metres away, and up close they are specks. So a colour that stands
//! nowhere near in the picture has a price ([`crate::vision::intruders`]), its hue above all; and
//! where the picture is flat, unlike neighbours have one. Constants: ours, after looking at charts
//! of photographs beside their pictures.

use super::Job;
use crate::colour::{Lab, Light, ciede2000, lab};
use crate::palette::Tone;
use crate::quantize::Settings;
use crate::quantize::calm::{self, edge};
use crate::vision::intruders::{Nearness, Spots};
use rayon::prelude::*;

/// How much further than the nearest colour another may be from everything in the picture about a
/// bead, and what a squared difference beyond that costs.
const ANY: Allowance = Allowance {
    free: 5.0,
    price: 0.5,
};
/// The same at equal lightness.
const CHROMATIC: Allowance = Allowance {
    free: 1.0,
    price: 1.0,
};
/// A picture is grey if nearly all of it has less chroma, and a colour if it has less itself.
const GREY: f64 = 4.0;
const GREY_COLOUR: f64 = 8.0;
/// Nearly all of a picture.
const NEARLY_ALL: f64 = 0.95;
/// Greys from which a grey picture does without other colours.
const GREYS: usize = 2;
/// What two unlike neighbours cost where the picture is quite flat.
const FLAT: f64 = 100.0;
/// The mean squared difference of nearest colours for which the prices are made: about what 48
/// colours leave of a photograph.
const USUAL: f64 = 50.0;
/// Least and greatest factor of the prices.
const LEAST: f64 = 0.1;
const GREATEST: f64 = 4.0;
/// A picture is flat artwork if so few colours ...
const FEW: usize = 12;
/// ... hold this share of it: the rest are edges.
const MOST: f64 = 0.75;

/// A difference that is free, and what each squared difference beyond it costs.
struct Allowance {
    free: f64,
    price: f64,
}

impl Allowance {
    fn cost(&self, nearness: f32, least: f32) -> f64 {
        let over = (f64::from(nearness - least) - self.free).max(0.0);
        self.price * over * over
    }
}

/// The prices of one band.
pub(super) struct Woven {
    light: Vec<Lab>,
    /// How flat the picture is about each bead, 0 to 1.
    flatness: Vec<f64>,
    /// How coarse the palette is for this picture: the factor of all prices.
    pub(super) coarseness: f64,
    /// What each colour of the palette costs each group, group after group.
    pub(super) intrusion: Vec<f32>,
    /// Whether the picture is flat artwork.
    pub(super) is_flat: bool,
}

impl Woven {
    pub(super) fn new(job: &Job, spots: &Spots, nearest: &[usize]) -> Self {
        let coarseness = coarseness(job, nearest);
        let flatness = |bead: usize| {
            let spread = spots.spread(bead);
            1.0 / (1.0 + spread * spread)
        };
        Self {
            light: job.problem.light.iter().map(|&light| lab(light)).collect(),
            flatness: (0..job.problem.lattice.len())
                .into_par_iter()
                .map(flatness)
                .collect(),
            coarseness,
            intrusion: intrusion(job, spots),
            is_flat: spots.share_of_most_frequent(FEW) >= MOST,
        }
    }

    /// What two neighbouring beads cost if they are unlike, at a border price of calm, where the
    /// picture is flat.
    pub(super) fn unlike(&self, border: f64, one: usize, two: usize) -> f64 {
        let flat = FLAT * self.flatness[one].min(self.flatness[two]);
        if border > 0.0 {
            flat + border * edge(self.light[one], self.light[two])
        } else {
            flat
        }
    }

    /// No prices.
    #[cfg(test)]
    pub(super) fn none(beads: usize) -> Self {
        Self {
            light: vec![Lab::default(); beads],
            flatness: vec![0.0; beads],
            coarseness: 0.0,
            intrusion: Vec::new(),
            is_flat: false,
        }
    }

    /// The same as prices for calming.
    pub(super) fn prices<'a>(
        &'a self,
        unlike: &'a dyn Fn(usize, usize) -> f64,
        factor: f64,
    ) -> calm::Prices<'a> {
        calm::Prices {
            unlike,
            factor,
            intrusion: &self.intrusion,
        }
    }
}

/// The colours that a grey picture does without: all that are not grey, as long as there are some
/// greys. The nearest colour to a grey may well be a teal, and beside greys every hue is seen.
pub(super) fn out_of_grey(spots: &Spots, tones: &[Tone], settings: &Settings) -> Vec<usize> {
    let chroma = |lab: Lab| (lab.a * lab.a + lab.b * lab.b).sqrt();
    let is_grey = |at: &usize| chroma(tones[*at].lab) < GREY_COLOUR;
    let open: Vec<usize> = (0..tones.len())
        .filter(|at| !settings.without.contains(at))
        .collect();
    let greys = open.iter().filter(|at| is_grey(at)).count();
    if greys < GREYS || spots.chroma_of(NEARLY_ALL) >= GREY {
        return Vec::new();
    }
    let stays = |at: &usize| is_grey(at) || settings.keep.contains(at);
    open.into_iter().filter(|at| !stays(at)).collect()
}

/// How coarse the palette is for this picture: the mean squared difference of the nearest colours
/// over the usual one. A search in few colours would gain more by noise, and pays more for it.
fn coarseness(job: &Job, nearest: &[usize]) -> f64 {
    let problem = job.problem;
    let square = |(bead, &light): (usize, &Light)| {
        let own = job.tones[nearest[problem.groups.group_of(bead)]].lab;
        let difference = ciede2000(lab(light), own);
        difference * difference
    };
    let sum: f64 = problem.light.iter().enumerate().map(square).sum();
    let mean = sum / problem.light.len().max(1) as f64;
    (mean / USUAL).clamp(LEAST, GREATEST)
}

/// What each colour of the palette costs each group as an intruder.
fn intrusion(job: &Job, spots: &Spots) -> Vec<f32> {
    let (problem, tones) = (job.problem, job.tones);
    let labs: Vec<Lab> = tones.iter().map(|tone| tone.lab).collect();
    let table = spots.nearness(&labs, &job.settings.cancel);
    let of_group = |group: usize| {
        let mut costs = vec![0.0f32; tones.len()];
        for &bead in problem.groups.beads_of(group) {
            let near = table.of_bead(bead as usize);
            let least = |of: fn(&Nearness) -> f32| {
                let free = job.free.iter().map(|&colour| of(&near[colour]));
                free.fold(f32::INFINITY, f32::min)
            };
            let (any, hue) = (least(|near| near.any), least(|near| near.chromatic));
            for (cost, near) in costs.iter_mut().zip(&near) {
                let own = ANY.cost(near.any, any) + CHROMATIC.cost(near.chromatic, hue);
                *cost += own as f32;
            }
        }
        costs
    };
    (0..problem.groups.len())
        .into_par_iter()
        .with_min_len(32)
        .flat_map_iter(of_group)
        .collect()
}
