//! How well a chart matches its picture.

use super::assemble::{other_picture, unread_picture};
use super::layers::layers_mosaic;
use super::{Layered, MotifContrast, Source, digest, motif_contrast, recorded, target};
use crate::cancel::Cancel;
use crate::chart::Chart;
use crate::colour::{Light, light};
use crate::error::Result;
use crate::palette::Palette;
use crate::picture::{Arrangement, decode, plan};
use crate::quantize::measure::{Measure, measure};
use crate::request::Distances;
use crate::sample::{sample, sample_tiles};
use crate::units::Mm;
use crate::vision::band::{Mosaic, TILES};
use crate::warning::{Warned, Warning};
use std::sync::Arc;

/// How the picture is shown to be compared with a chart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CompareOptions {
    /// How it is placed.
    pub arrangement: Arrangement,
    /// The light where there is no picture; none lets the picture's own edge stand for it.
    pub ground: Option<Light>,
    /// How crisp it is made, 0 to 1.
    pub crisp: f64,
}

/// Figures of a chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Against its picture.
    pub measure: Measure,
    /// Of its motif against its ground.
    pub motif: Option<MotifContrast>,
}

/// Figures of a chart against a picture, as seen from each of `distances`.
///
/// # Errors
/// If a value is out of range, the picture cannot be read or shows nothing, or the arrangement does
/// not suit the band.
pub fn compare(
    source: Source,
    chart: &Chart,
    options: &CompareOptions,
    distances: &[Mm],
) -> Result<Warned<Comparison>> {
    options.check(distances)?;
    let lattice = &chart.lattice;
    let bytes = Arc::new(source.bytes);
    let sha256 = digest(&bytes);
    let cancel = &source.decoding.cancel;
    let picture = decode(bytes, lattice, &source.decoding)?;
    let mut notes = picture.notes.clone();
    notes.extend(other_picture(chart, &sha256));
    let plan = plan(
        picture.upright(),
        picture.orientation,
        lattice,
        &options.arrangement,
    )?;
    notes.extend(plan.notes.iter().cloned());
    let samples =
        sample(&picture, &plan, lattice, cancel).map_err(|error| unread_picture(error, &notes))?;
    let shown = target::Shown {
        picture: &picture,
        plan: &plan,
        lattice,
        ground: options.ground,
        crisp: options.crisp,
    };
    let bead_lights = target::bead_lights(&shown, &samples, cancel)?;
    let tiles = sample_tiles(&picture, &plan, lattice, TILES as u32, cancel)?;
    let plain = Mosaic {
        lattice: *lattice,
        light: target::over_ground(&tiles, options.ground),
    };
    let mosaic = target::crisped(plain, &bead_lights, options.crisp);
    let crisp = options.crisp;
    notes.extend((crisp > 0.0).then_some(Warning::BesideCrisp { crisp }));
    let value = compared(&mosaic, chart, distances, cancel)?;
    Ok(Warned {
        value,
        warnings: notes,
    })
}

/// Figures of a chart of layers against the light that its layers give, as [`compare`].
///
/// # Errors
/// As [`compare`]; and as [`super::chart_layers`].
pub fn compare_layers(
    layered: &Layered,
    chart: &Chart,
    palette: &Palette,
    distances: &[Mm],
) -> Result<Warned<Comparison>> {
    let all = Distances::new(distances.to_vec());
    all.map_err(|error| error.of_option("distances"))?;
    let options = recorded(chart, palette)?;
    let Warned { value, warnings } = layers_mosaic(layered, palette, &options)?;
    Ok(Warned {
        value: compared(&value, chart, distances, &options.choice.cancel)?,
        warnings,
    })
}

/// The figures beside a picture on its band.
fn compared(
    picture: &Mosaic,
    chart: &Chart,
    distances: &[Mm],
    cancel: &Cancel,
) -> Result<Comparison> {
    let of = |&colour: &u16| light(chart.colours[usize::from(colour)].srgb);
    let lights: Vec<Light> = chart.beads.iter().map(of).collect();
    let value = Comparison {
        measure: measure(picture, &lights, &chart.beads, distances, cancel),
        motif: motif_contrast(chart, distances, cancel),
    };
    cancel.check()?;
    Ok(value)
}
