//! Whether a picture's shapes are large enough to be recognised in beads of one colour each.
//!
//! The lightness (CIELAB L*) of the picture on the band is blurred by a Gaussian of one and a half
//! columns; what is left of its variance is the *share in shapes* of several beads. A cat's face
//! on nine columns keeps 23 %: its eyes are two beads wide. Ours, set by looking at charts of
//! fourteen pictures of 9 to 41 columns.

use super::band::{Mosaic, TILES};
use crate::colour::lab;

/// Spread of the blur, in columns: it halves a stripe of five.
const SPREAD: f64 = 1.5;
/// Share from which a picture reads.
const READS: f64 = 0.45;
/// Share from which its changes are all soft.
const SOFT: f64 = 0.9;
/// Pictures of less spread in lightness have no shapes to recognise: plain ground and soft
/// gradients.
const PLAIN: f64 = 3.0;
/// Where the Gaussian is cut, in spreads.
const REACH: f64 = 3.0;
/// Halvings of the size at which it would read.
const HALVINGS: usize = 12;

/// How large the shapes of a picture are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shapes {
    /// Share of its contrast that is in shapes of several beads, 0 to 1; 1 where it is plain.
    pub share: f64,
    /// By how much larger it would have to be to read; none if it reads, or never would.
    pub larger: Option<f64>,
}

impl Shapes {
    /// Whether it has soft changes alone: the nearest colours then show it almost as well as can
    /// be.
    pub fn are_soft(&self) -> bool {
        self.share >= SOFT
    }
}

/// The shapes of a picture on its band.
pub fn shapes(picture: &Mosaic) -> Shapes {
    let lightness = Lightness::new(picture);
    let whole = variance(&lightness.values);
    let share_at = |spread: f64| {
        if whole < PLAIN * PLAIN {
            1.0
        } else {
            variance(&lightness.blurred(spread)) / whole
        }
    };
    let share = share_at(SPREAD);
    if share >= READS {
        let larger = None;
        return Shapes { share, larger };
    }
    let (mut reads, mut too_wide) = (0.0, SPREAD);
    for _ in 0..HALVINGS {
        let middle = (reads + too_wide) / 2.0;
        if share_at(middle) >= READS {
            reads = middle;
        } else {
            too_wide = middle;
        }
    }
    let larger = Some(SPREAD / reads).filter(|larger| larger.is_finite());
    Shapes { share, larger }
}

/// L* of each tile, a row of tiles across the band after the other.
struct Lightness {
    values: Vec<f64>,
    width: usize,
    /// Whether the last row is beside the first.
    is_closed: bool,
    /// Tiles of a column's width, along the band.
    along: f64,
}

impl Lightness {
    fn new(picture: &Mosaic) -> Self {
        let lattice = &picture.lattice;
        let bead = lattice.bead();
        Self {
            values: picture.light.iter().map(|&light| lab(light).l).collect(),
            width: Mosaic::across(lattice),
            is_closed: lattice.is_closed(),
            along: TILES as f64 * bead.length.get() / (bead.diameter.get() / 2.0),
        }
    }

    /// Blurred by a Gaussian of so many columns; beyond the edges it goes on as it ends.
    fn blurred(&self, spread: f64) -> Vec<f64> {
        let across = weights(spread * TILES as f64);
        let along = weights(spread * self.along);
        let (width, height) = (self.width as i64, (self.values.len() / self.width) as i64);
        let blur = |from: &[f64], weights: &[f64], x: i64, y: i64, is_along: bool| {
            let reach = (weights.len() / 2) as i64;
            let of = |(at, weight): (usize, &f64)| {
                let step = at as i64 - reach;
                let (x, y) = if is_along {
                    let y = y + step;
                    let inside = if self.is_closed {
                        y.rem_euclid(height)
                    } else {
                        y.clamp(0, height - 1)
                    };
                    (x, inside)
                } else {
                    ((x + step).clamp(0, width - 1), y)
                };
                weight * from[(y * width + x) as usize]
            };
            weights.iter().enumerate().map(of).sum::<f64>()
        };
        let places = || (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        let first: Vec<f64> = places()
            .map(|(x, y)| blur(&self.values, &across, x, y, false))
            .collect();
        places()
            .map(|(x, y)| blur(&first, &along, x, y, true))
            .collect()
    }
}

/// A Gaussian of so many tiles, cut and of sum 1.
fn weights(spread: f64) -> Vec<f64> {
    let reach = (REACH * spread).ceil() as i64;
    let weight = |at: i64| {
        let ratio = at as f64 / spread.max(1e-9);
        libm::exp(-ratio * ratio / 2.0)
    };
    let all: Vec<f64> = (-reach..=reach).map(weight).collect();
    let sum: f64 = all.iter().sum();
    all.into_iter().map(|weight| weight / sum).collect()
}

fn variance(values: &[f64]) -> f64 {
    let count = values.len().max(1) as f64;
    let mean = values.iter().sum::<f64>() / count;
    values
        .iter()
        .map(|value| (value - mean) * (value - mean))
        .sum::<f64>()
        / count
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bead::Bead;
    use crate::colour::Light;
    use crate::lattice::{Lattice, Rows};
    use std::f64::consts::PI;

    /// Grey stripes across a closed band, so many columns wide, L* 30 to 70.
    fn striped(stripes: f64) -> (Mosaic, f64) {
        let lattice = Lattice::new(Bead::default(), 9, Rows::closed(80).unwrap()).unwrap();
        let height = Mosaic::along(&lattice);
        let grey = |tile: usize| {
            let y = (tile / Mosaic::across(&lattice)) as f64 / height as f64;
            let lightness = 50.0 + 20.0 * libm::sin(2.0 * PI * stripes * y);
            // CIE 15: L* = 116 (Y/Yn)^(1/3) - 16.
            let luminance = libm::pow((lightness + 16.0) / 116.0, 3.0);
            Light::new(luminance, luminance, luminance)
        };
        let tiles = Mosaic::across(&lattice) * height;
        let light = (0..tiles).map(grey).collect();
        let columns = lattice.picture_height().get() / lattice.bead().length.get();
        (Mosaic { lattice, light }, columns / stripes)
    }

    /// A Gaussian of spread s leaves exp(-2 π² s² / w²) of a wave of length w (its Fourier
    /// transform), and the square of that of its variance.
    #[test]
    fn a_wave_keeps_what_the_fourier_transform_of_the_blur_says() {
        for stripes in [1.0, 2.0, 4.0, 6.0] {
            let (picture, wave) = striped(stripes);
            let left = |spread: f64| libm::exp(-4.0 * PI * PI * spread * spread / (wave * wave));
            let found = shapes(&picture);
            let share = left(SPREAD);
            assert!(
                (found.share - share).abs() < 0.01,
                "{stripes}: {found:?}, {share}"
            );
            let reads = wave / (2.0 * PI) * (-libm::log(READS)).sqrt();
            match found.larger {
                None => assert!(share >= READS),
                Some(larger) => assert!((larger * reads / SPREAD - 1.0).abs() < 0.02, "{larger}"),
            }
        }
        assert!(shapes(&striped(1.0).0).are_soft());
        assert!(shapes(&striped(6.0).0).larger.is_some());
    }

    #[test]
    fn a_plain_picture_has_no_shapes_that_could_be_too_small() {
        let (mut picture, _) = striped(3.0);
        picture.light.fill(Light::new(0.2, 0.3, 0.4));
        let found = shapes(&picture);
        assert_eq!((found.share, found.larger), (1.0, None));
    }
}
