//! The light that the band should give: bead by bead and tile by tile, made crisp where asked for.

use super::Options;
use crate::cancel::Cancel;
use crate::colour::Light;
use crate::error::Result;
use crate::lattice::Lattice;
use crate::picture::{Picture, Plan};
use crate::sample::areas::areas;
use crate::sample::crisp::{Tiles, crisp};
use crate::sample::{Sample, sample_tiles};
use crate::vision::band::Mosaic;

/// Parts of a cell, across and along, in which lines are looked for; half as many in bands above
/// [`LARGE`].
const PARTS: u32 = 8;
/// Beads from which the tiles are twice as large, to save memory.
const LARGE: usize = 100_000;

/// Price of a border between two areas at full simplification, in squared CIEDE2000: a stray bead
/// of a picture, with six borders, goes up to a difference of 24. Ours.
const DEAREST: f64 = 100.0;
/// Alpha above which a bead is the picture's, and may be merged.
const HALF: f64 = 0.5;

/// A picture on its band.
pub(super) struct Shown<'a> {
    pub(super) picture: &'a Picture,
    pub(super) plan: &'a Plan,
    pub(super) lattice: &'a Lattice,
    /// The light where there is no picture.
    pub(super) ground: Option<Light>,
    /// How crisp it is made, 0 to 1.
    pub(super) crisp: f64,
}

/// The light that each bead should give; `samples` is the mean on each.
pub(super) fn bead_lights(
    shown: &Shown,
    samples: &[Sample],
    cancel: &Cancel,
) -> Result<Vec<Light>> {
    let means = over_ground(samples, shown.ground);
    if shown.crisp <= 0.0 {
        return Ok(means);
    }
    let lattice = shown.lattice;
    let parts = if lattice.len() > LARGE {
        PARTS / 2
    } else {
        PARTS
    };
    let samples = sample_tiles(shown.picture, shown.plan, lattice, parts, cancel)?;
    let light = over_ground(&samples, shown.ground);
    let tiles = Tiles {
        lattice,
        parts: parts as usize,
        light: &light,
    };
    let lights = crisp(&tiles, &means, shown.crisp, cancel);
    cancel.check()?;
    Ok(lights)
}

/// The beads' light merged into areas, as far as that is asked for; ground that shows stays as it
/// is.
pub(super) fn simplified(light: Vec<Light>, samples: &[Sample], options: &Options) -> Vec<Light> {
    let amount = options.simplify;
    if amount <= 0.0 {
        return light;
    }
    let open: Vec<bool> = samples.iter().map(|sample| sample.alpha > HALF).collect();
    let price = DEAREST * amount * amount;
    areas(
        &options.lattice,
        &light,
        &open,
        price,
        &options.choice.cancel,
    )
}

/// The picture that the band is compared with, where it was made crisp: blended by `strength` with
/// one colour a bead, that of `lights`.
///
/// The beads must be judged by what they are asked to show: compared with the plain picture, a
/// search would thin out again what was made strong.
pub(super) fn crisped(picture: Mosaic, lights: &[Light], strength: f64) -> Mosaic {
    if strength <= 0.0 {
        return picture;
    }
    let beads = picture.with_bead_colours(lights);
    let light = picture
        .light
        .iter()
        .zip(&beads.light)
        .map(|(&plain, &bead)| plain * (1.0 - strength) + bead * strength)
        .collect();
    Mosaic { light, ..picture }
}

/// The picture's light, and the ground's where it shows through.
pub(super) fn over_ground(samples: &[Sample], ground: Option<Light>) -> Vec<Light> {
    samples
        .iter()
        .map(|sample| match ground {
            Some(ground) => sample.light + ground * (1.0 - sample.alpha),
            None => sample.light,
        })
        .collect()
}
