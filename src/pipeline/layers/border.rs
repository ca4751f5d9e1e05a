//! A border: a picture that repeats along the edges, an even number of rows each time.

use super::Painter;
use super::spot::{Lies, Spot};
use crate::artwork::Artwork;
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use crate::picture::{Arrangement, Place, Position, Rotation, Scaling};
use crate::request::Mirror;
use crate::request::design::{Art, Border, Design, Edges, Placed};

/// One over the share of a band's columns that a border has unless another count is given. Ours.
const SHARE: u32 = 4;
/// How much longer or shorter than in proportion a repeat may be, unless their count is given.
/// Ours: as for a pattern all round.
const OFF: f64 = 1.45;

/// Repeats of an even count of rows, and by how much they are longer or shorter than in proportion:
/// 1 is neither.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Even {
    repeats: u32,
    off: f64,
}

/// The columns at the left and the right edge that the borders of a design take.
pub(super) fn taken(design: &Design, columns: u32) -> [u32; 2] {
    let mut taken = [0, 0];
    for art in design.art() {
        let Placed::Border(own) = art.placed else {
            continue;
        };
        let all = margin(art) + width(&own, columns);
        let [left, right] = sides(own.edges);
        for (side, _) in taken.iter_mut().zip([left, right]).filter(|(_, is)| *is) {
            *side = all.max(*side);
        }
    }
    taken
}

/// Whether it is at the left and at the right edge.
fn sides(edges: Edges) -> [bool; 2] {
    [edges != Edges::Right, edges != Edges::Left]
}

fn margin(art: &Art) -> u32 {
    art.picture.margin.map_or(0, |count| count.0)
}

fn width(border: &Border, columns: u32) -> u32 {
    let usual = (columns + 1) / SHARE;
    border.columns.unwrap_or(usual.max(1))
}

/// Where a border is on the band.
pub(super) fn spot(art: &Art, border: Border, artwork: &Artwork, band: &Lattice) -> Result<Spot> {
    let (margin, width) = (margin(art), width(&border, band.columns()));
    let [left, right] = sides(border.edges);
    let most = if left && right {
        band.columns() / 2
    } else {
        band.columns()
    };
    if margin.checked_add(width).is_none_or(|all| all > most) {
        let what = format!(
            "the {} has {width} columns and a margin of {margin}, which does not fit on {}",
            art.label(),
            band.columns()
        );
        return Err(Error::new(what).hint(format!(
            "margin and columns of an edge take at most {most} together"
        )));
    }
    let pattern = Pattern::of(art, artwork);
    let even = match border.repeats {
        Some(repeats) => given(art, repeats, band)?,
        None => {
            let natural = pattern.natural(width, band);
            let even = nearest(band.rows(), natural).filter(|even| even.off <= OFF);
            even.ok_or_else(|| uneven(art, band, natural))?.repeats
        }
    };
    Ok(Spot {
        lattice: *band,
        columns: margin..margin + width,
        arrangement: Arrangement {
            place: Place::Repeat(even),
            scaling: Some(Scaling::Stretch),
            rotation: Rotation::Quarters(pattern.quarters),
            crop: Some(pattern.crop),
            margin: 0,
            position: Position::Middle,
            frame: None,
        },
        mirror: Mirror::None,
        is_flat: artwork.flat.is_some(),
        lies: Lies::Whole { left, right },
        placed: Placed::Border(Border {
            columns: Some(width),
            repeats: Some(even),
            ..border
        }),
    })
}

/// One repeat of a border in its picture.
struct Pattern {
    crop: crate::picture::Crop,
    quarters: u32,
}

impl Pattern {
    /// The first repeat of a pattern that the picture shows several times, else all of it.
    fn of(art: &Art, artwork: &Artwork) -> Self {
        let period = artwork
            .period
            .as_ref()
            .filter(|own| !own.constant && own.count > 1);
        let asked = match art.picture.rotate {
            Some(Rotation::Quarters(quarters)) => Some(quarters),
            Some(Rotation::Auto) | None => None,
        };
        let sideways = period.is_some_and(|own| own.sideways);
        let first = period
            .map(|own| own.first())
            .filter(|_| art.picture.crop.is_none());
        Self {
            crop: first.unwrap_or(artwork.part),
            quarters: asked.unwrap_or(u32::from(sideways)),
        }
    }

    /// Repeats in proportion.
    fn natural(&self, width: u32, band: &Lattice) -> f64 {
        let (across, along) = (f64::from(self.crop.width), f64::from(self.crop.height));
        let aspect = if self.quarters % 2 == 1 {
            across / along
        } else {
            along / across
        };
        let one = band.bead().length.get() * f64::from(width) * aspect;
        band.picture_height().get() / one
    }
}

/// The repeats of an even count of rows that are nearest to `natural`.
fn nearest(rows: u32, natural: f64) -> Option<Even> {
    let even = (1..=rows / 2)
        .filter(|repeats| is_even(rows, *repeats))
        .map(|repeats| {
            let own = f64::from(repeats);
            Even {
                repeats,
                off: (own / natural).max(natural / own),
            }
        });
    even.min_by(|one, other| one.off.total_cmp(&other.off))
}

fn is_even(rows: u32, repeats: u32) -> bool {
    repeats > 0 && rows.is_multiple_of(repeats) && (rows / repeats).is_multiple_of(2)
}

/// The repeats that the design asks for.
fn given(art: &Art, repeats: u32, band: &Lattice) -> Result<u32> {
    let rows = band.rows();
    if is_even(rows, repeats) {
        return Ok(repeats);
    }
    let others: Vec<u32> = (1..=rows / 2).filter(|own| is_even(rows, *own)).collect();
    let below = others.iter().rfind(|own| **own < repeats);
    let above = others.iter().find(|own| **own > repeats);
    let near: Vec<String> = below.into_iter().chain(above).map(u32::to_string).collect();
    let others = if near.is_empty() {
        String::new()
    } else {
        format!("{} repeats do; ", near.join(" or "))
    };
    let step = 2 * u64::from(repeats);
    Err(Error::new(format!(
        "{rows} rows do not divide into {repeats} repeats of the {}, an even number of rows each",
        art.label()
    ))
    .hint(format!(
        "{others}{repeats} repeats need a multiple of {step} rows, such as {}",
        (u64::from(rows) / step).max(1) * step
    )))
}

/// A border that would be far out of proportion.
fn uneven(art: &Art, band: &Lattice, natural: f64) -> Error {
    let rows = band.rows();
    let good = |rows: &u32| {
        let natural = natural * f64::from(*rows) / f64::from(band.rows());
        nearest(*rows, natural).is_some_and(|even| even.off <= OFF)
    };
    let below = (1..rows).rev().find(good);
    let above = (rows + 1..2 * rows + 4).find(good);
    let near: Vec<String> = below
        .into_iter()
        .chain(above)
        .map(|own| own.to_string())
        .collect();
    let one = f64::from(rows) / natural;
    Error::new(format!(
        "{rows} rows do not divide into even repeats of the {}, of about {} rows each",
        art.label(),
        one.round().max(2.0)
    ))
    .hint(format!(
        "{} rows do; or say 'repeats' in the layer of a design file, or take more or fewer \
         columns for it",
        near.join(" or ")
    ))
}

impl Painter<'_> {
    /// The rows in place of the band's, one of `others`, in which all borders repeat evenly; none
    /// if the band's own rows do, or none of them.
    pub(super) fn rows_for_borders(&self, others: &[u32]) -> Result<Option<u32>> {
        if others.is_empty() {
            return Ok(None);
        }
        let band = self.lattice();
        let mut naturals = Vec::new();
        for art in self.layered.design.art() {
            let Placed::Border(own @ Border { repeats: None, .. }) = art.placed else {
                continue;
            };
            let (decoded, _) = self.decoded(art)?;
            let artwork = decoded.artwork(art.picture.crop)?;
            let pattern = Pattern::of(art, &artwork);
            naturals.push(pattern.natural(width(&own, band.columns()), band));
        }
        let off = |rows: u32| -> f64 {
            let of = |natural: &f64| {
                let natural = natural * f64::from(rows) / f64::from(band.rows());
                nearest(rows, natural).map_or(f64::INFINITY, |even| even.off)
            };
            naturals.iter().map(of).fold(1.0, f64::max)
        };
        if off(band.rows()) <= OFF {
            return Ok(None);
        }
        let good = others.iter().copied().filter(|rows| off(*rows) <= OFF);
        Ok(good.min_by(|one, other| off(*one).total_cmp(&off(*other))))
    }
}
