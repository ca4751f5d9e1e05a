//! A single bead among beads of another colour: how much of its contrast the eye keeps, and the
//! pairs of a palette that look the same.
//!
//! The filters of S-CIELAB are Gaussians, so what is left in the middle of a rectangle is a product
//! of two error functions for each: no picture is needed. At 700 mm a bead of size 11 keeps all of
//! its contrast in luminance, but little more than half in red against green and less in blue
//! against yellow.

use super::WORN;
use super::scielab::{Channel, TO_OPPONENT, visual_angle};
use crate::bead::Bead;
use crate::colour::{Light, Matrix, Sight, apply, ciede2000, inverse, lab, product, to_xyz};
use crate::palette::{Pair, Tone};
use crate::units::Mm;
use rayon::prelude::*;

/// Most colours whose pairs are compared: about a million pairs for each kind of sight. Ours.
pub const MOST_COLOURS: usize = 1500;

/// A bead at a distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SingleBead {
    /// From the difference of bead and field to what the eye keeps of it, both in linear light.
    left: Matrix,
    /// Share of the contrast that is kept in each opponent channel.
    pub shares: [f64; 3],
}

impl SingleBead {
    /// A bead of this size seen from `distance`, its hole across.
    pub fn new(bead: Bead, distance: Mm) -> Self {
        let (wide, high) = (
            visual_angle(bead.length, distance),
            visual_angle(bead.diameter, distance),
        );
        // The integral of exp(-x^2/s^2) / (s sqrt(pi)) from -w/2 to w/2 is erf(w / 2s).
        let within = |side: f64, spread: f64| libm::erf(side / (2.0 * spread));
        let shares = Channel::ALL.map(|channel| {
            let parts = channel
                .gaussians()
                .map(|(spread, weight)| weight * within(wide, spread) * within(high, spread));
            parts.sum()
        });
        let to = product(&TO_OPPONENT, &to_xyz());
        let mut scaled = to;
        for (row, share) in scaled.iter_mut().zip(shares) {
            row.iter_mut().for_each(|cell| *cell *= share);
        }
        Self {
            left: product(&inverse(&to), &scaled),
            shares,
        }
    }

    /// The light of the bead's middle as it is seen in a wide field of another colour.
    pub fn in_field(&self, bead: Light, field: Light) -> Light {
        let off = bead - field;
        let [red, green, blue] = apply(&self.left, [off.red, off.green, off.blue]);
        field + Light::new(red, green, blue)
    }

    /// How different two colours of bead look, in CIEDE2000: a single bead of one among beads of
    /// the other, whichever way round differs more.
    pub fn difference(&self, one: &Tone, other: &Tone) -> f64 {
        let seen = |bead: &Tone, field: &Tone| {
            ciede2000(lab(self.in_field(bead.light, field.light)), field.lab)
        };
        seen(one, other).max(seen(other, one))
    }
}

/// The pairs that one kind of sight does not tell apart.
#[derive(Debug, Clone, PartialEq)]
pub struct SimilarPairs {
    /// The kind of sight.
    pub sight: Sight,
    /// The closest first, equal ones in the order of the palette.
    pub pairs: Vec<Pair>,
    /// How many of them full sight tells apart.
    pub lost: usize,
}

impl SimilarPairs {
    /// The pairs that full sight tells apart and this does not, the closest first; `full` is full
    /// sight's.
    pub fn only(&self, full: &Self) -> Vec<Pair> {
        let mut known: Vec<(usize, usize)> = full
            .pairs
            .iter()
            .map(|pair| (pair.one, pair.other))
            .collect();
        known.sort_unstable();
        let new = |pair: &&Pair| known.binary_search(&(pair.one, pair.other)).is_err();
        self.pairs.iter().filter(new).copied().collect()
    }
}

/// For each kind of sight the pairs of `colours` that differ by less than `below` when small; none
/// for more than [`MOST_COLOURS`].
pub fn similar_pairs(
    colours: &[Light],
    bead_view: &SingleBead,
    below: f64,
) -> Option<Vec<SimilarPairs>> {
    if colours.len() > MOST_COLOURS {
        return None;
    }
    let mut all: Vec<SimilarPairs> = Vec::new();
    for sight in Sight::ALL {
        let pairs = pairs(colours, bead_view, below, sight);
        let mut own = SimilarPairs {
            sight,
            pairs,
            lost: 0,
        };
        own.lost = all.first().map_or(0, |full| own.only(full).len());
        all.push(own);
    }
    Some(all)
}

/// The same for a palette whose beads of size 11 are worn, [`WORN`] from the eye.
pub fn similar_when_worn(tones: &[Tone], below: f64) -> Option<Vec<SimilarPairs>> {
    let lights: Vec<Light> = tones.iter().map(|tone| tone.light).collect();
    similar_pairs(&lights, &SingleBead::new(Bead::default(), WORN), below)
}

fn pairs(colours: &[Light], bead_view: &SingleBead, below: f64, sight: Sight) -> Vec<Pair> {
    let seen: Vec<Tone> = colours
        .iter()
        .map(|&light| Tone::new(sight.seen(light)))
        .collect();
    let mut pairs: Vec<Pair> = (0..seen.len())
        .into_par_iter()
        .flat_map_iter(|one| {
            let seen = &seen;
            (one + 1..seen.len()).filter_map(move |other| {
                let difference = bead_view.difference(&seen[one], &seen[other]);
                (difference < below).then_some(Pair {
                    one,
                    other,
                    difference,
                })
            })
        })
        .collect();
    pairs.sort_by(|a, b| {
        let places = (a.one, a.other).cmp(&(b.one, b.other));
        a.difference.total_cmp(&b.difference).then(places)
    });
    pairs
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::{Srgb8, light};
    use crate::vision::scielab::{Field, filter};

    /// The filter over a picture of one bead, 100 samples a millimetre of arc away, against the
    /// closed form.
    #[test]
    fn the_closed_form_is_what_the_filter_leaves_of_a_bead() {
        let bead = Bead::default();
        let bead_view = SingleBead::new(bead, WORN);
        let (field, own) = (
            light(Srgb8::new(0x1C, 0x32, 0x61)),
            light(Srgb8::new(0xCD, 0x60, 0x26)),
        );
        // 40 samples across the bead's length, 49 across its diameter: 1.3 / 40 = 0.0325 mm each.
        let spacing = Mm::new(1.3 / 40.0);
        let (wide, high) = (40, 49);
        let (width, height) = (241, 241);
        let inside = |x: usize, y: usize| {
            x.abs_diff(width / 2) * 2 < wide && y.abs_diff(height / 2) * 2 < high
        };
        let triple = |light: Light| [light.red as f32, light.green as f32, light.blue as f32];
        let picture = Field {
            width,
            light: (0..width * height)
                .map(|at| {
                    triple(if inside(at % width, at / width) {
                        own
                    } else {
                        field
                    })
                })
                .collect(),
        };
        let samples = super::super::scielab::samples_per_degree(spacing, WORN);
        let filtered = filter(&picture, samples, field).light[height / 2 * width + width / 2];
        let closed = triple(bead_view.in_field(own, field));
        for (got, want) in filtered.iter().zip(closed) {
            assert!((got - want).abs() < 0.01, "{filtered:?} {closed:?}");
        }
    }

    /// erf by its series for the narrowest filters by hand: 0.1064 and 0.1310 degrees against
    /// 0.0392 give 0.945 and 0.982.
    #[test]
    fn size_11_keeps_lightness_and_loses_colour_when_worn() {
        let [luminance, red_green, blue_yellow] = SingleBead::new(Bead::default(), WORN).shares;
        assert!((1.0..1.03).contains(&luminance), "{luminance}");
        assert!((red_green - 0.58).abs() < 0.01, "{red_green}");
        assert!((blue_yellow - 0.45).abs() < 0.01, "{blue_yellow}");
    }

    #[test]
    fn red_and_green_of_one_lightness_are_lost_to_protan_and_deutan_eyes_only() {
        let colours =
            [(0xB0, 0x50, 0x40), (0x6E, 0x78, 0x30)].map(|(r, g, b)| light(Srgb8::new(r, g, b)));
        let all = similar_pairs(&colours, &SingleBead::new(Bead::default(), WORN), 6.0).unwrap();
        let lost: Vec<usize> = all.iter().map(|one| one.pairs.len()).collect();
        assert_eq!(lost[0], 0, "{all:?}");
        assert!(lost[2] == 1, "{all:?}");
    }
}
