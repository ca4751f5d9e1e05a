//! Colours that stand nowhere near in the picture.
//!
//! An *intruder* is a bead whose colour is far from everything in the picture around it: the least
//! CIEDE2000 from its colour to any spot on the bead, half a column beside and a quarter of a bead
//! above and below it, less the least that any available colour has there, is over [`OVER`]. Seen
//! from far away it may bring the mean light of the band nearer to the picture's; from near it is a
//! speck that nobody would weave. Ours, after looking at charts of photographs.
//!
//! A spot is an eighth of a bead, in whole units of CIELAB: less than the eye tells apart.

use super::band::{Mosaic, TILES};
use crate::cancel::Cancel;
use crate::colour::{Lab, Light, PreparedLab, lab};
use crate::lattice::Lattice;
use rayon::prelude::*;
use std::collections::HashMap;

/// Difference above which a colour is an intruder.
pub const OVER: f64 = 10.0;
/// Tiles of a spot, across and along.
const SIDE: usize = 2;
/// Spots of a cell, across and along.
const SPOTS: usize = TILES / SIDE;
/// Units of CIELAB that a spot is rounded to.
const UNIT: f64 = 1.0;
/// Spots that one task handles.
const AT_ONCE: usize = 64;
/// Spots beside a bead that count as near it: half a column.
const BESIDE: usize = SPOTS / 2;
/// Spots above and below a bead that count as near it: a quarter of a bead.
const ABOVE: usize = SPOTS / 2;

/// The picture in spots.
pub struct Spots {
    lattice: Lattice,
    /// Colour of each spot, row by row from the lower edge.
    labs: Vec<Lab>,
    /// The rounded colours that differ.
    distinct: Vec<PreparedLab>,
    /// Which of them each spot has.
    which: Vec<u32>,
}

/// How near a colour is to what stands in the picture about a bead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nearness {
    /// Least CIEDE2000 to any spot.
    pub any: f32,
    /// The same at equal lightness: how far in hue and chroma.
    pub chromatic: f32,
}

/// How near each of some colours is to each distinct spot.
pub struct NearnessTable<'a> {
    spots: &'a Spots,
    colours: usize,
    table: Vec<Nearness>,
}

impl Spots {
    /// The spots of a band's picture.
    pub fn new(picture: &Mosaic) -> Self {
        let lattice = picture.lattice;
        let (across, along) = (spots_across(&lattice), spots_along(&lattice));
        let tiles = Mosaic::across(&lattice);
        let mean = |x: usize, y: usize| {
            let corner = y * SIDE * tiles + x * SIDE;
            let all = (0..SIDE * SIDE).map(|at| corner + at / SIDE * tiles + at % SIDE);
            let sum = all.fold(Light::new(0.0, 0.0, 0.0), |sum, at| sum + picture.light[at]);
            lab(sum / (SIDE * SIDE) as f64)
        };
        let labs: Vec<Lab> = (0..along * across)
            .into_par_iter()
            .with_min_len(512)
            .map(|at| mean(at % across, at / across))
            .collect();
        let mut known: HashMap<[i16; 3], u32> = HashMap::new();
        let mut distinct = Vec::new();
        let which = labs
            .iter()
            .map(|lab| {
                let whole = [lab.l, lab.a, lab.b].map(|value| (value / UNIT).round() as i16);
                *known.entry(whole).or_insert_with(|| {
                    let [l, a, b] = whole.map(|value| f64::from(value) * UNIT);
                    distinct.push(PreparedLab::new(Lab { l, a, b }));
                    distinct.len() as u32 - 1
                })
            })
            .collect();
        Self {
            lattice,
            labs,
            distinct,
            which,
        }
    }

    /// How near each of `colours` is to each distinct spot.
    pub fn nearness(&self, colours: &[Lab], cancel: &Cancel) -> NearnessTable<'_> {
        let colours: Vec<PreparedLab> = colours.iter().map(|&lab| PreparedLab::new(lab)).collect();
        let near = |spot: &PreparedLab, colour: &PreparedLab| {
            let (any, chromatic) = spot.difference_and_chromatic(colour);
            Nearness {
                any: any as f32,
                chromatic: chromatic as f32,
            }
        };
        let rows = |spots: &[PreparedLab]| -> Vec<Nearness> {
            if cancel.is_over() {
                return vec![FAR; spots.len() * colours.len()];
            }
            let of_spot = |spot| colours.iter().map(move |colour| near(spot, colour));
            spots.iter().flat_map(of_spot).collect()
        };
        NearnessTable {
            spots: self,
            colours: colours.len(),
            table: self
                .distinct
                .par_chunks(AT_ONCE)
                .flat_map_iter(rows)
                .collect(),
        }
    }

    /// Spread of the picture on a bead and half a bead about it: the root of the mean squared
    /// distance in CIELAB from its mean there.
    pub fn spread(&self, bead: usize) -> f64 {
        let (mut count, mut sum, mut squares) = (0.0, [0.0; 3], 0.0);
        self.about(bead, SPOTS / 2, SPOTS, |at| {
            let lab = self.labs[at];
            let values = [lab.l, lab.a, lab.b];
            count += 1.0;
            for (sum, value) in sum.iter_mut().zip(values) {
                *sum += value;
                squares += value * value;
            }
        });
        let mean: f64 = sum.iter().map(|sum| sum * sum / (count * count)).sum();
        (squares / count - mean).max(0.0).sqrt()
    }

    /// The chroma that so large a share of the spots does not exceed.
    pub fn chroma_of(&self, share: f64) -> f64 {
        let chroma = |lab: &Lab| (lab.a * lab.a + lab.b * lab.b).sqrt();
        let mut all: Vec<f64> = self.labs.iter().map(chroma).collect();
        all.sort_by(f64::total_cmp);
        let rank = (all.len() as f64 * share) as usize;
        all.get(rank.min(all.len().saturating_sub(1)))
            .copied()
            .unwrap_or_default()
    }

    /// The share of spots, 0 to 1, that have one of the `count` most frequent colours.
    pub fn share_of_most_frequent(&self, count: usize) -> f64 {
        let mut times = vec![0usize; self.distinct.len()];
        self.which.iter().for_each(|&at| times[at as usize] += 1);
        times.sort_unstable_by(|one, two| two.cmp(one));
        let most: usize = times.iter().take(count).sum();
        most as f64 / self.which.len().max(1) as f64
    }

    /// The spots of a bead, and so many beside it and above and below it.
    fn about(&self, bead: usize, beside: usize, above: usize, mut each: impl FnMut(usize)) {
        let lattice = &self.lattice;
        let (row, column) = lattice.position(bead);
        let (across, along) = (spots_across(lattice), spots_along(lattice) as isize);
        let left = (column.get() as usize - 1) * SPOTS;
        let right = (left + SPOTS + beside).min(across);
        let lower = lattice.half_rows_of(row)[0] as isize * SPOTS as isize - above as isize;
        for y in lower..lower + (2 * SPOTS + 2 * above) as isize {
            let y = if lattice.is_closed() {
                y.rem_euclid(along)
            } else if (0..along).contains(&y) {
                y
            } else {
                continue;
            };
            let start = y as usize * across;
            (start + left.saturating_sub(beside)..start + right).for_each(&mut each);
        }
    }
}

/// Nothing is near.
const FAR: Nearness = Nearness {
    any: f32::INFINITY,
    chromatic: f32::INFINITY,
};

impl NearnessTable<'_> {
    /// How near each colour is to what stands about a bead.
    pub fn of_bead(&self, bead: usize) -> Vec<Nearness> {
        let mut least = vec![FAR; self.colours];
        let mut last = None;
        self.spots.about(bead, BESIDE, ABOVE, |at| {
            let which = self.spots.which[at] as usize;
            // Neighbouring spots are often alike.
            if last.replace(which) == Some(which) {
                return;
            }
            let row = &self.table[which * self.colours..(which + 1) * self.colours];
            for (least, near) in least.iter_mut().zip(row) {
                least.any = lower(least.any, near.any);
                least.chromatic = lower(least.chromatic, near.chromatic);
            }
        });
        least
    }
}

/// The lower of two, which are never NaN.
fn lower(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

/// How many beads of a band are intruders: `given` says which of the `available` colours each has.
pub fn intruders(picture: &Mosaic, available: &[Lab], given: &[usize]) -> usize {
    let spots = Spots::new(picture);
    let table = spots.nearness(available, &Cancel::default());
    let intrudes = |bead: &usize| {
        let near = table.of_bead(*bead);
        let least = near.iter().map(|near| near.any).fold(f32::INFINITY, lower);
        f64::from(near[given[*bead]].any - least) > OVER
    };
    (0..given.len()).into_par_iter().filter(intrudes).count()
}

fn spots_across(lattice: &Lattice) -> usize {
    lattice.columns() as usize * SPOTS
}

fn spots_along(lattice: &Lattice) -> usize {
    lattice.half_rows() as usize * SPOTS
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bead::Bead;
    use crate::colour::ciede2000;
    use crate::lattice::Rows;

    fn picture(closed: bool) -> Mosaic {
        let rows = if closed {
            Rows::closed(8)
        } else {
            Rows::open(8)
        };
        let lattice = Lattice::new(Bead::default(), 5, rows.unwrap()).unwrap();
        let (across, along) = (Mosaic::across(&lattice), Mosaic::along(&lattice));
        let light = |at: usize| {
            let (x, y) = ((at % across) as f64, (at / across) as f64);
            Light::new(0.1 + x / 40.0, 0.2 + y / 60.0, 0.3 + libm::sin(x * y) * 0.2)
        };
        Mosaic {
            lattice,
            light: (0..across * along).map(light).collect(),
        }
    }

    /// The table against every spot whose middle lies in the field of each bead.
    #[test]
    fn the_table_is_the_least_difference_to_the_spots_about_a_bead() {
        for closed in [true, false] {
            let picture = picture(closed);
            let lattice = picture.lattice;
            let spots = Spots::new(&picture);
            let colours = [(20.0, 30.0, -40.0), (70.0, -20.0, 30.0), (50.0, 0.0, 0.0)];
            let colours = colours.map(|(l, a, b)| Lab { l, a, b });
            let table = spots.nearness(&colours, &Cancel::default());
            let (across, along) = (spots_across(&lattice), spots_along(&lattice));
            for bead in 0..lattice.len() {
                let (row, column) = lattice.position(bead);
                let low = f64::from(lattice.half_rows_of(row)[0]);
                let middle = (f64::from(column.get()) - 0.5, low + 1.0);
                let near = table.of_bead(bead);
                for (near, colour) in near.iter().zip(colours) {
                    let mut least = (f64::INFINITY, f64::INFINITY);
                    for at in 0..across * along {
                        let x = ((at % across) as f64 + 0.5) / SPOTS as f64;
                        let mut up = ((at / across) as f64 + 0.5) / SPOTS as f64 - middle.1;
                        if closed {
                            let whole = f64::from(lattice.half_rows());
                            up -= (up / whole).round() * whole;
                        }
                        if (x - middle.0).abs() < 1.0 && up.abs() < 1.5 {
                            let spot = spots.distinct[spots.which[at] as usize].lab;
                            let level = Lab {
                                l: colour.l,
                                ..spot
                            };
                            least.0 = least.0.min(ciede2000(spot, colour));
                            least.1 = least.1.min(ciede2000(level, colour));
                        }
                    }
                    assert!((f64::from(near.any) - least.0).abs() < 1e-4);
                    assert!((f64::from(near.chromatic) - least.1).abs() < 1e-4);
                }
            }
        }
    }

    #[test]
    fn a_red_bead_in_a_blue_picture_is_an_intruder() {
        let mut picture = picture(true);
        picture.light.fill(Light::new(0.1, 0.2, 0.6));
        let colours = [(0.1, 0.2, 0.7), (0.7, 0.1, 0.1)];
        let colours = colours.map(|(r, g, b)| lab(Light::new(r, g, b)));
        let mut given = vec![0; picture.lattice.len()];
        assert_eq!(intruders(&picture, &colours, &given), 0);
        given[7] = 1;
        assert_eq!(intruders(&picture, &colours, &given), 1);
        // The nearest there is never intrudes.
        let red = [colours[1]];
        given.fill(0);
        assert_eq!(intruders(&picture, &red, &given), 0);
    }
}
