//! S-CIELAB: the eye blurs lightness, red against green and blue against yellow each by its own
//! filter.
//!
//! X. Zhang, B. A. Wandell, "A spatial extension of CIELAB for digital color-image reproduction",
//! SID Symposium Digest 27, 731-734, 1996, and Journal of the SID 5(1), 61-63, 1997; filters after
//! A. B. Poirson, B. A. Wandell, JOSA A 10(12), 2458-2470, 1993. The constants of the model stand
//! here and nowhere else.
//!
//! A picture is converted from XYZ to three opponent channels, each channel is filtered with a sum
//! of Gaussians whose weights sum to 1, and the result is converted back. Uniform fields stay as
//! they are. The surround of the picture is a uniform field of its own.

mod blur;

use crate::colour::{Light, Matrix, apply, inverse, product, to_xyz};
use crate::units::Mm;
pub use blur::{Plane, kernel};
use std::f64::consts::PI;
use std::sync::LazyLock;

/// From CIE 1931 XYZ (Y of white = 1) to luminance, red-green and blue-yellow, as the authors' own
/// program has it.
pub const TO_OPPONENT: Matrix = [
    [0.2787336, 0.7218031, -0.1065520],
    [-0.4487736, 0.2898056, 0.0771569],
    [0.0859513, -0.5899859, 0.5011089],
];

/// The luminance filter as printed: spreads `s` in degrees and weights of Gaussians `exp(-(x^2 +
/// y^2)/s^2)`, each normalised to sum 1.
pub const LUMINANCE_SPREADS: [(f64, f64); 3] = [(0.0283, 0.921), (0.133, 0.105), (4.336, -0.108)];
/// The red-green filter as printed.
pub const RED_GREEN_SPREADS: [(f64, f64); 2] = [(0.0392, 0.531), (0.494, 0.33)];
/// The blue-yellow filter as printed.
pub const BLUE_YELLOW_SPREADS: [(f64, f64); 2] = [(0.0536, 0.488), (0.386, 0.371)];

/// One of the three opponent channels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Channel {
    /// Light against dark.
    Luminance,
    /// Red against green.
    RedGreen,
    /// Blue against yellow.
    BlueYellow,
}

impl Channel {
    /// In the order of [`TO_OPPONENT`].
    pub const ALL: [Self; 3] = [Self::Luminance, Self::RedGreen, Self::BlueYellow];

    /// Spreads and weights as printed; the weights sum to nearly 1.
    pub const fn printed(self) -> &'static [(f64, f64)] {
        match self {
            Self::Luminance => &LUMINANCE_SPREADS,
            Self::RedGreen => &RED_GREEN_SPREADS,
            Self::BlueYellow => &BLUE_YELLOW_SPREADS,
        }
    }

    /// Spreads in degrees, and weights that sum to 1, so that a uniform field stays as it is.
    pub fn gaussians(self) -> impl Iterator<Item = (f64, f64)> {
        let sum: f64 = self.printed().iter().map(|(_, weight)| weight).sum();
        let normal = move |&(spread, weight): &(f64, f64)| (spread, weight / sum);
        self.printed().iter().map(normal)
    }

    /// How much of the contrast of a grating of so many cycles a degree is left: the sum of weight
    /// times `exp(-(pi s f)^2)`.
    pub fn transfer(self, cycles_per_degree: f64) -> f64 {
        let left = |spread: f64| {
            let turn = PI * spread * cycles_per_degree;
            libm::exp(-turn * turn)
        };
        self.gaussians()
            .map(|(spread, weight)| weight * left(spread))
            .sum()
    }
}

/// From linear light to opponent values, and back.
static OF_LIGHT: LazyLock<[Matrix; 2]> = LazyLock::new(|| {
    let to = product(&TO_OPPONENT, &to_xyz());
    [to, inverse(&to)]
});

/// The opponent values of linear light.
pub fn opponent(light: Light) -> [f64; 3] {
    apply(&OF_LIGHT[0], [light.red, light.green, light.blue])
}

/// The linear light of opponent values; it may lie outside what sRGB can show.
pub fn from_opponent(values: [f64; 3]) -> Light {
    let [red, green, blue] = apply(&OF_LIGHT[1], values);
    Light::new(red, green, blue)
}

/// Degrees of visual angle that `size` has at `distance`: 2 atan(size / (2 distance)).
pub fn visual_angle(size: Mm, distance: Mm) -> f64 {
    2.0 * libm::atan(size.get() / (2.0 * distance.get())).to_degrees()
}

/// Samples in one degree about the line of sight, for samples `spacing` apart at `distance`.
pub fn samples_per_degree(spacing: Mm, distance: Mm) -> f64 {
    1.0 / visual_angle(spacing, distance)
}

/// A picture in linear light, 32 bits a component.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Samples across.
    pub width: usize,
    /// From the upper left, row by row: red, green, blue.
    pub light: Vec<[f32; 3]>,
}

impl Field {
    /// Samples down.
    pub fn height(&self) -> usize {
        self.light.len() / self.width.max(1)
    }
}

/// `field` as the eye resolves it, so many samples a degree, `surround` all round it.
///
/// Gaussians that are wide compared with the samples are computed on a coarser grid; a grating is
/// within 0.003 of [`Channel::transfer`]. Below about 120 samples a degree the sampling itself is
/// too coarse for the narrowest filter. Sums run in a fixed order: the same bytes on any number of
/// threads.
pub fn filter(field: &Field, samples_per_degree: f64, surround: Light) -> Field {
    filter_with(field, samples_per_degree, surround, |spread| spread)
}

/// As [`filter`], where each sample is the mean over its own square: the blur of the squares is
/// taken off the Gaussians. 60 samples a degree are enough.
pub fn filter_means(field: &Field, samples_per_degree: f64, surround: Light) -> Field {
    filter_with(field, samples_per_degree, surround, beyond_the_square)
}

/// The `s^2` of a Gaussian that spreads as far as the mean over a square of one sample: its
/// variance is 1/12, that of a Gaussian `s^2 / 2`.
const SQUARE: f64 = 1.0 / 6.0;

/// The spread in samples that remains for means over squares.
pub fn beyond_the_square(spread: f64) -> f64 {
    (spread * spread - SQUARE).max(SQUARE).sqrt()
}

fn filter_with(
    field: &Field,
    samples_per_degree: f64,
    surround: Light,
    left: fn(f64) -> f64,
) -> Field {
    let [to, from] = &*OF_LIGHT;
    let from = from.map(|row| row.map(|x| x as f32));
    let surround = opponent(surround);
    let planes = Channel::ALL.map(|channel| {
        let at = channel as usize;
        let row = to[at].map(|x| x as f32);
        let value = |l: &[f32; 3]| row[0] * l[0] + row[1] * l[1] + row[2] * l[2];
        let plane = Plane {
            width: field.width,
            values: field.light.iter().map(value).collect(),
            beyond: surround[at] as f32,
        };
        filtered(&plane, channel, |spread| left(spread * samples_per_degree))
    });
    let back = |at: usize| {
        let opponent = [0, 1, 2].map(|channel: usize| planes[channel].values[at]);
        from.map(|row| row[0] * opponent[0] + row[1] * opponent[1] + row[2] * opponent[2])
    };
    Field {
        width: field.width,
        light: (0..field.light.len()).map(back).collect(),
    }
}

/// One opponent channel through its filter; `samples` are those that a spread in degrees has.
fn filtered(plane: &Plane, channel: Channel, samples: impl Fn(f64) -> f64) -> Plane {
    let mut sum = Plane {
        values: vec![0.0; plane.values.len()],
        ..plane.clone()
    };
    for (spread, weight) in channel.gaussians() {
        let part = plane.blurred(samples(spread));
        for (whole, part) in sum.values.iter_mut().zip(part.values) {
            *whole += weight as f32 * part;
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn uniform_fields_stay_as_they_are() {
        let light = Light::new(0.2, 0.5, 0.05);
        let field = Field {
            width: 40,
            light: vec![[0.2, 0.5, 0.05]; 40 * 30],
        };
        let seen = filter(&field, 120.0, light);
        for got in seen.light {
            for (got, want) in got.iter().zip([0.2, 0.5, 0.05]) {
                assert!((got - want).abs() < 2e-5, "{got}");
            }
        }
    }

    /// Samples a degree, the spread that remains, and how much the mean over a sample leaves of a
    /// wave of that phase step.
    type Kind = (f64, fn(f64) -> f64, fn(f64) -> f64);

    /// Along x only: a grating without end downwards. In the middle only the widest filter reaches
    /// the edges, and it leaves nothing of the grating.
    #[test]
    fn gratings_lose_contrast_as_the_transfer_says() {
        let width = 1536;
        let points: Kind = (128.0, |spread| spread, |_| 1.0);
        // The mean of a wave over a square is lower by sin(x)/x.
        let squares: Kind = (60.0, beyond_the_square, |turn| {
            libm::sin(turn / 2.0) / (turn / 2.0)
        });
        for ((samples, left_to_do, mean), channel) in [points, squares]
            .into_iter()
            .flat_map(|kind| Channel::ALL.map(|channel| (kind, channel)))
        {
            for cycles in [1.0, 4.0, 8.0, 16.0] {
                let turn = 2.0 * PI * cycles / samples;
                let crest = 6 * samples as usize;
                let wave = |x: usize| (mean(turn) * libm::cos(turn * x as f64)) as f32;
                let plane = Plane {
                    width,
                    values: (0..width).map(wave).collect(),
                    beyond: 0.0,
                };
                let left: f64 = channel
                    .gaussians()
                    .map(|(spread, weight)| {
                        let row = plane.blurred_across(left_to_do(spread * samples));
                        weight * f64::from(row.values[crest])
                    })
                    .sum();
                let want = channel.transfer(cycles);
                assert!((left - want).abs() < 0.004, "{channel:?} {cycles}: {left}");
            }
        }
    }
}
