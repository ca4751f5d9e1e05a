//! One palette for all frames, and the frames in it.

use crate::colour::{Encoder, Srgb8, light, oklab};
use crate::render::Photograph;
use rayon::prelude::*;

/// Most colours of a loop: enough that shading looks smooth, few enough that the file stays small.
pub const MOST_COLOURS: usize = 64;
/// Of these, steps of the shadow on the ground.
const SHADOW: usize = 12;
/// Rounds in which the colours settle.
const ROUNDS: usize = 8;
/// Bits of a component by which colours are counted.
const BITS: u32 = 5;
/// The ordered grid of 8 by 8 after B. E. Bayer, "An optimum method for two-level rendition of continuous-tone pictures", 1973 (from memory).
const BAYER: [[u8; 8]; 8] = bayer();

/// A loop in one palette.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reel {
    /// Pixels a side.
    pub side: usize,
    /// At most 256 colours.
    pub palette: Vec<Srgb8>,
    /// For each frame and pixel, the colour's place in the palette.
    pub frames: Vec<Vec<u8>>,
}

/// A picture in 8 bits, before it has its palette.
struct Plain {
    side: usize,
    colours: Vec<Srgb8>,
    on_ring: Vec<bool>,
}

/// Frames in one palette that suits all of them; `take` makes frame number `at`.
pub fn reel(count: u32, take: impl Fn(u32) -> Photograph + Sync) -> Reel {
    let table = Encoder::new();
    let plain: Vec<Plain> = (0..count)
        .into_par_iter()
        .map(|at| {
            let photograph = take(at);
            let colour = |p: &[f32; 4]| table.srgb8([p[0], p[1], p[2]]);
            Plain {
                side: photograph.side,
                colours: photograph.pixels.iter().map(colour).collect(),
                on_ring: photograph.on_ring,
            }
        })
        .collect();
    let side = plain[0].side;
    let still = ground(&plain);
    let shadow = ramp(&still, &plain[0].colours);
    let mut palette = chosen(&plain, &still, MOST_COLOURS - shadow.len());
    let own = palette.len();
    palette.extend(&shadow);
    let nearest = Lookup::new(&palette[..own]);
    let frames = plain
        .par_iter()
        .map(|frame| {
            let code = |at: usize| match still[at] {
                true => own as u8 + dithered(frame.colours[at], &shadow, at % side, at / side),
                false => nearest.of(frame.colours[at]),
            };
            (0..frame.colours.len()).map(code).collect()
        })
        .collect();
    Reel {
        side,
        palette,
        frames,
    }
}

/// The pixels that show the ground in every frame, and the same colour.
fn ground(frames: &[Plain]) -> Vec<bool> {
    let first = &frames[0];
    (0..first.colours.len())
        .map(|at| {
            frames
                .iter()
                .all(|frame| !frame.on_ring[at] && frame.colours[at] == first.colours[at])
        })
        .collect()
}

/// Colours of the ground from its darkest to its brightest, evenly in lightness.
fn ramp(still: &[bool], colours: &[Srgb8]) -> Vec<Srgb8> {
    let mut seen: Vec<Srgb8> = colours
        .iter()
        .zip(still)
        .filter(|(_, still)| **still)
        .map(|(colour, _)| *colour)
        .collect();
    seen.sort_by_key(level);
    seen.dedup();
    let (Some(first), Some(last)) = (seen.first(), seen.last()) else {
        return Vec::new();
    };
    let (low, high) = (level(first), level(last));
    let mut ramp: Vec<Srgb8> = (0..SHADOW as u32)
        .map(|step| {
            // Finer near the bright end, where steps are seen first.
            let share = f64::from(step) / (SHADOW - 1) as f64;
            let share = share * (2.0 - share);
            let wanted = f64::from(low) + f64::from(high - low) * share;
            let off = |colour: &&Srgb8| ((f64::from(level(colour)) - wanted).abs() * 64.0) as u64;
            *seen.iter().min_by_key(off).unwrap_or(last)
        })
        .collect();
    ramp.dedup();
    ramp
}

/// The sum of the components: shadows only lower them together.
fn level(colour: &Srgb8) -> u32 {
    u32::from(colour.red) + u32::from(colour.green) + u32::from(colour.blue)
}

/// One of the two steps next to a colour, by its place.
fn dithered(colour: Srgb8, ramp: &[Srgb8], x: usize, y: usize) -> u8 {
    let wanted = level(&colour);
    let above = ramp.partition_point(|step| level(step) < wanted);
    if above == 0 || above == ramp.len() {
        return above.min(ramp.len() - 1) as u8;
    }
    let (low, high) = (level(&ramp[above - 1]), level(&ramp[above]));
    let share = f64::from(wanted - low) / f64::from((high - low).max(1));
    let threshold = (f64::from(BAYER[y % 8][x % 8]) + 0.5) / 64.0;
    (above - usize::from(share < threshold)) as u8
}

const fn bayer() -> [[u8; 8]; 8] {
    let mut grid = [[0; 8]; 8];
    let mut y = 0;
    while y < 8 {
        let mut x = 0;
        while x < 8 {
            // The bits of x xor y and y, interleaved from the lowest up.
            let (mixed, mut value, mut bit) = (x ^ y, 0, 0);
            while bit < 3 {
                value = value << 2 | ((mixed >> bit & 1) << 1) | (y >> bit & 1);
                bit += 1;
            }
            grid[y][x] = value as u8;
            x += 1;
        }
        y += 1;
    }
    grid
}

/// A colour that occurs, in Oklab, and how often.
#[derive(Debug, Clone, Copy)]
struct Wish {
    at: [f64; 3],
    weight: f64,
}

/// Colours for the ring: boxes are halved across their widest side, then settle on the means of what is nearest (k-means in Oklab).
fn chosen(frames: &[Plain], still: &[bool], most: usize) -> Vec<Srgb8> {
    let mut counts = vec![(0u64, [0u64; 3]); 1 << (3 * BITS)];
    for frame in frames {
        let ring = frame.colours.iter().zip(still);
        for (colour, _) in ring.filter(|(_, still)| !**still) {
            let all = [colour.red, colour.green, colour.blue];
            let key = all
                .iter()
                .fold(0, |key, c| key << BITS | usize::from(*c) >> (8 - BITS));
            counts[key].0 += 1;
            for (sum, one) in counts[key].1.iter_mut().zip(all) {
                *sum += u64::from(one);
            }
        }
    }
    counts.retain(|(count, _)| *count > 0);
    let wishes: Vec<Wish> = counts
        .iter()
        .map(|(count, sums)| Wish {
            at: place(mean(*count, sums)),
            // Rare colours, such as highlights, count for more than their share.
            weight: (*count as f64).sqrt(),
        })
        .collect();
    let exact: Vec<Srgb8> = counts.iter().map(|(c, s)| mean(*c, s)).collect();
    if exact.len() <= most {
        return exact;
    }
    let mut centres = halved(&wishes, most);
    for _ in 0..ROUNDS {
        centres = settled(&wishes, &centres);
    }
    let mut colours: Vec<Srgb8> = centres.into_iter().map(colour).collect();
    colours.sort_by_key(|c| (level(c), c.red, c.green));
    colours.dedup();
    colours
}

fn mean(count: u64, sums: &[u64; 3]) -> Srgb8 {
    let [red, green, blue] = sums.map(|sum| ((sum + count / 2) / count) as u8);
    Srgb8::new(red, green, blue)
}

fn place(colour: Srgb8) -> [f64; 3] {
    let lab = oklab(light(colour));
    [lab.l, lab.a, lab.b]
}

fn colour([l, a, b]: [f64; 3]) -> Srgb8 {
    crate::colour::srgb8(crate::colour::from_oklab(crate::colour::Oklab::new(
        l, a, b,
    )))
}

fn halved(wishes: &[Wish], most: usize) -> Vec<[f64; 3]> {
    let mut boxes: Vec<Vec<Wish>> = vec![wishes.to_vec()];
    while boxes.len() < most {
        let spread = |wishes: &Vec<Wish>| {
            let (axis, wide) = widest(wishes);
            (axis, wide * wishes.iter().map(|w| w.weight).sum::<f64>())
        };
        let best = (0..boxes.len())
            .filter(|at| boxes[*at].len() > 1)
            .map(|at| (at, spread(&boxes[at])))
            .max_by(|(a, (_, one)), (b, (_, other))| one.total_cmp(other).then(b.cmp(a)));
        let Some((at, (axis, _))) = best else { break };
        let mut whole = boxes.swap_remove(at);
        whole.sort_by(|a, b| a.at[axis].total_cmp(&b.at[axis]));
        let half = whole.iter().map(|w| w.weight).sum::<f64>() / 2.0;
        let mut sum = 0.0;
        let cut = whole
            .iter()
            .position(|wish| {
                sum += wish.weight;
                sum >= half
            })
            .unwrap_or(0);
        let upper = whole.split_off(cut.clamp(1, whole.len() - 1));
        boxes.push(whole);
        boxes.push(upper);
    }
    boxes.iter().map(|wishes| middle(wishes)).collect()
}

/// The axis along which wishes vary most, and by how much.
fn widest(wishes: &[Wish]) -> (usize, f64) {
    let mid = middle(wishes);
    let sum: f64 = wishes.iter().map(|w| w.weight).sum();
    let spread = |axis: usize| {
        let off = |w: &Wish| w.weight * (w.at[axis] - mid[axis]) * (w.at[axis] - mid[axis]);
        wishes.iter().map(off).sum::<f64>() / sum
    };
    let all = [spread(0), spread(1), spread(2)];
    let axis = (1..3).fold(0, |best, at| if all[at] > all[best] { at } else { best });
    (axis, all[axis])
}

fn middle(wishes: &[Wish]) -> [f64; 3] {
    let sum: f64 = wishes.iter().map(|w| w.weight).sum();
    [0, 1, 2].map(|axis| wishes.iter().map(|w| w.weight * w.at[axis]).sum::<f64>() / sum)
}

fn settled(wishes: &[Wish], centres: &[[f64; 3]]) -> Vec<[f64; 3]> {
    let nearest: Vec<usize> = wishes.par_iter().map(|w| closest(&w.at, centres)).collect();
    let mut sums = vec![([0.0; 3], 0.0); centres.len()];
    for (wish, at) in wishes.iter().zip(nearest) {
        let (sum, weight) = &mut sums[at];
        for (sum, one) in sum.iter_mut().zip(wish.at) {
            *sum += one * wish.weight;
        }
        *weight += wish.weight;
    }
    let moved = |((sum, weight), centre): (([f64; 3], f64), &[f64; 3])| match weight > 0.0 {
        true => sum.map(|sum| sum / weight),
        false => *centre,
    };
    sums.into_iter().zip(centres).map(moved).collect()
}

fn closest(at: &[f64; 3], centres: &[[f64; 3]]) -> usize {
    let far = |centre: &[f64; 3]| -> f64 {
        let part = |axis: usize| (centre[axis] - at[axis]) * (centre[axis] - at[axis]);
        part(0) + part(1) + part(2)
    };
    let mut best = (0, f64::INFINITY);
    for (index, centre) in centres.iter().enumerate() {
        let far = far(centre);
        if far < best.1 {
            best = (index, far);
        }
    }
    best.0
}

/// The nearest colour of a palette, looked up at 6 bits a component.
struct Lookup(Vec<u8>);

impl Lookup {
    fn new(palette: &[Srgb8]) -> Self {
        let centres: Vec<[f64; 3]> = palette.iter().map(|c| place(*c)).collect();
        let of = |key: usize| {
            // Zero stays zero and 63 becomes 255.
            let part = |shift: usize| ((key >> shift & 63) * 255 / 63) as u8;
            closest(&place(Srgb8::new(part(12), part(6), part(0))), &centres) as u8
        };
        Self((0..1 << 18).into_par_iter().map(of).collect())
    }

    fn of(&self, colour: Srgb8) -> u8 {
        let part = |c: u8| (usize::from(c) * 63 + 127) / 255;
        self.0[part(colour.red) << 12 | part(colour.green) << 6 | part(colour.blue)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_grid_has_each_threshold_once_and_spreads_them() {
        let mut all: Vec<u8> = BAYER.iter().flatten().copied().collect();
        all.sort_unstable();
        assert_eq!(all, (0..64).collect::<Vec<u8>>());
        assert_eq!(BAYER[0][..2], [0, 32]);
    }

    #[test]
    fn a_dithered_field_has_the_mean_of_its_colour() {
        let ramp: Vec<Srgb8> = [100, 140, 200].map(|l| Srgb8::new(l, l, l)).to_vec();
        for wanted in [100, 110, 131, 140, 170, 200] {
            let of =
                |at: usize| dithered(Srgb8::new(wanted, wanted, wanted), &ramp, at % 8, at / 8);
            let sum: f64 = (0..64)
                .map(|at| f64::from(ramp[usize::from(of(at))].red))
                .sum();
            assert!(
                (sum / 64.0 - f64::from(wanted)).abs() < 1.0,
                "{wanted}: {}",
                sum / 64.0
            );
        }
    }
}
