//! The picture as the band is to show it: its light bead by bead and tile by tile, made crisp where that is asked for.

use crate::cancel::Cancel;
use crate::colour::Light;
use crate::error::Result;
use crate::lattice::Lattice;
use crate::picture::{Picture, Plan};
use crate::sample::crisp::{Tiles, crisp};
use crate::sample::{Sample, finely};
use crate::vision::band::Mosaic;

/// Parts of a cell, across and along, that lines are looked for in; half as many in bands above [`LARGE`].
const PARTS: u32 = 8;
/// Beads from which the tiles are twice as large, for the memory's sake.
const LARGE: usize = 100_000;

/// The light wanted of each bead; `samples` is the mean on each, `ground` the light where there is no picture.
pub(super) fn lights(
    picture: &Picture,
    plan: &Plan,
    lattice: &Lattice,
    (samples, ground): (&[Sample], Option<Light>),
    (strength, cancel): (f64, &Cancel),
) -> Result<Vec<Light>> {
    let means = laid_on(samples, ground);
    if strength <= 0.0 {
        return Ok(means);
    }
    let parts = match lattice.len() > LARGE {
        true => PARTS / 2,
        false => PARTS,
    };
    let light = laid_on(&finely(picture, plan, lattice, parts, cancel)?, ground);
    let tiles = Tiles {
        lattice,
        parts: parts as usize,
        light: &light,
    };
    let lights = crisp(&tiles, &means, strength, cancel);
    cancel.check()?;
    Ok(lights)
}

/// The picture as the eye is to compare it with, where it was made crisp: so far on the way to one colour a bead, that of `lights`.
///
/// What the beads are asked to show and what they are judged by must be the same: beside the plain picture a search would thin out again what was made strong.
pub(super) fn crisped(picture: Mosaic, lights: &[Light], strength: f64) -> Mosaic {
    if strength <= 0.0 {
        return picture;
    }
    let beads = picture.woven(lights);
    let light = picture
        .light
        .iter()
        .zip(&beads.light)
        .map(|(&plain, &bead)| plain * (1.0 - strength) + bead * strength)
        .collect();
    Mosaic { light, ..picture }
}

/// The light wanted of each bead: the picture's, and the ground's where it shows through.
pub(super) fn laid_on(samples: &[Sample], ground: Option<Light>) -> Vec<Light> {
    samples
        .iter()
        .map(|sample| match ground {
            Some(ground) => sample.light + ground * (1.0 - sample.alpha),
            None => sample.light,
        })
        .collect()
}
