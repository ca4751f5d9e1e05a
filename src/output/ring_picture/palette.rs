//! The colours of a loop, chosen to suit all of its frames.

use crate::colour::{Oklab, Srgb8, from_oklab, light, oklab, srgb8};
use rayon::prelude::*;

/// Rounds of k-means.
const ROUNDS: usize = 8;
/// Bits of a component by which colours are counted.
const BITS: u32 = 5;

/// A colour that occurs, in Oklab, and its weight.
#[derive(Debug, Clone, Copy)]
struct Sample {
    lab: [f64; 3],
    weight: f64,
}

/// Pixels of nearly one colour: how many, and the sums of red, green and blue.
#[derive(Debug, Clone, Copy, Default)]
struct Bin {
    count: u64,
    sums: [u64; 3],
}

impl Bin {
    fn mean(&self) -> Srgb8 {
        let rounded = |sum| ((sum + self.count / 2) / self.count) as u8;
        let [red, green, blue] = self.sums.map(rounded);
        Srgb8::new(red, green, blue)
    }
}

/// The sum of the components: shadows only lower them together.
pub(super) fn brightness(colour: &Srgb8) -> u32 {
    u32::from(colour.red) + u32::from(colour.green) + u32::from(colour.blue)
}

/// At most so many colours for these pixels: median cut, then k-means, both in Oklab.
pub(super) fn choose_colours(pixels: impl Iterator<Item = Srgb8>, most: usize) -> Vec<Srgb8> {
    let bins = histogram(pixels);
    if bins.len() <= most {
        return bins.iter().map(Bin::mean).collect();
    }
    let sample = |bin: &Bin| Sample {
        lab: to_lab(bin.mean()),
        // Rare colours, such as highlights, count for more than their share.
        weight: (bin.count as f64).sqrt(),
    };
    let samples: Vec<Sample> = bins.iter().map(sample).collect();
    let mut centres = median_cut(&samples, most);
    for _ in 0..ROUNDS {
        centres = k_means_step(&samples, &centres);
    }
    let mut colours: Vec<Srgb8> = centres.into_iter().map(from_lab).collect();
    colours.sort_by_key(|c| (brightness(c), c.red, c.green));
    colours.dedup();
    colours
}

/// The pixels counted by the upper bits of their components; no bin is empty.
fn histogram(pixels: impl Iterator<Item = Srgb8>) -> Vec<Bin> {
    let mut bins = vec![Bin::default(); 1 << (3 * BITS)];
    for colour in pixels {
        let all = [colour.red, colour.green, colour.blue];
        let key = all
            .iter()
            .fold(0, |key, c| key << BITS | usize::from(*c) >> (8 - BITS));
        let bin = &mut bins[key];
        bin.count += 1;
        for (sum, one) in bin.sums.iter_mut().zip(all) {
            *sum += u64::from(one);
        }
    }
    bins.retain(|bin| bin.count > 0);
    bins
}

fn to_lab(colour: Srgb8) -> [f64; 3] {
    let lab = oklab(light(colour));
    [lab.l, lab.a, lab.b]
}

fn from_lab([l, a, b]: [f64; 3]) -> Srgb8 {
    srgb8(from_oklab(Oklab::new(l, a, b)))
}

/// Boxes of samples are halved across their widest side until there are enough: their means.
fn median_cut(samples: &[Sample], most: usize) -> Vec<[f64; 3]> {
    let mut boxes: Vec<Vec<Sample>> = vec![samples.to_vec()];
    while boxes.len() < most {
        let spread = |samples: &Vec<Sample>| {
            let (axis, wide) = widest(samples);
            (axis, wide * samples.iter().map(|s| s.weight).sum::<f64>())
        };
        let best = (0..boxes.len())
            .filter(|at| boxes[*at].len() > 1)
            .map(|at| (at, spread(&boxes[at])))
            .max_by(|(a, (_, one)), (b, (_, other))| one.total_cmp(other).then(b.cmp(a)));
        let Some((at, (axis, _))) = best else { break };
        let mut whole = boxes.swap_remove(at);
        whole.sort_by(|a, b| a.lab[axis].total_cmp(&b.lab[axis]));
        let half = whole.iter().map(|s| s.weight).sum::<f64>() / 2.0;
        let mut sum = 0.0;
        let cut = whole
            .iter()
            .position(|sample| {
                sum += sample.weight;
                sum >= half
            })
            .unwrap_or(0);
        let upper = whole.split_off(cut.clamp(1, whole.len() - 1));
        boxes.push(whole);
        boxes.push(upper);
    }
    boxes.iter().map(|samples| mean(samples)).collect()
}

/// The axis along which samples vary most, and their variance along it.
fn widest(samples: &[Sample]) -> (usize, f64) {
    let mean = mean(samples);
    let sum: f64 = samples.iter().map(|s| s.weight).sum();
    let spread = |axis: usize| {
        let off = |s: &Sample| s.weight * (s.lab[axis] - mean[axis]) * (s.lab[axis] - mean[axis]);
        samples.iter().map(off).sum::<f64>() / sum
    };
    let all = [spread(0), spread(1), spread(2)];
    let axis = (1..3).fold(0, |best, at| if all[at] > all[best] { at } else { best });
    (axis, all[axis])
}

/// The weighted mean.
fn mean(samples: &[Sample]) -> [f64; 3] {
    let sum: f64 = samples.iter().map(|s| s.weight).sum();
    [0, 1, 2].map(|axis| samples.iter().map(|s| s.weight * s.lab[axis]).sum::<f64>() / sum)
}

/// The centres moved to the means of the samples that are nearest to them.
fn k_means_step(samples: &[Sample], centres: &[[f64; 3]]) -> Vec<[f64; 3]> {
    let nearest: Vec<usize> = samples
        .par_iter()
        .map(|s| closest(&s.lab, centres))
        .collect();
    let mut sums = vec![[0.0; 3]; centres.len()];
    let mut weights = vec![0.0; centres.len()];
    for (sample, at) in samples.iter().zip(nearest) {
        for (sum, one) in sums[at].iter_mut().zip(sample.lab) {
            *sum += one * sample.weight;
        }
        weights[at] += sample.weight;
    }
    let moved = |at: usize| {
        if weights[at] > 0.0 {
            sums[at].map(|sum| sum / weights[at])
        } else {
            centres[at]
        }
    };
    (0..centres.len()).map(moved).collect()
}

/// The index of the centre nearest to a colour; of equals, the first.
fn closest(lab: &[f64; 3], centres: &[[f64; 3]]) -> usize {
    let distance = |centre: &[f64; 3]| -> f64 {
        let part = |axis: usize| (centre[axis] - lab[axis]) * (centre[axis] - lab[axis]);
        part(0) + part(1) + part(2)
    };
    let mut best = (0, f64::INFINITY);
    for (index, centre) in centres.iter().enumerate() {
        let distance = distance(centre);
        if distance < best.1 {
            best = (index, distance);
        }
    }
    best.0
}

/// The nearest colour of a palette, looked up at 6 bits a component.
pub(super) struct NearestColour(Vec<u8>);

impl NearestColour {
    pub(super) fn new(palette: &[Srgb8]) -> Self {
        let centres: Vec<[f64; 3]> = palette.iter().map(|c| to_lab(*c)).collect();
        let index = |key: usize| {
            // Zero stays zero and 63 becomes 255.
            let part = |shift: usize| ((key >> shift & 63) * 255 / 63) as u8;
            closest(&to_lab(Srgb8::new(part(12), part(6), part(0))), &centres) as u8
        };
        Self((0..1 << 18).into_par_iter().map(index).collect())
    }

    pub(super) fn index(&self, colour: Srgb8) -> u8 {
        let part = |c: u8| (usize::from(c) * 63 + 127) / 255;
        self.0[part(colour.red) << 12 | part(colour.green) << 6 | part(colour.blue)]
    }
}
