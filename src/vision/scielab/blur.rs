//! Gaussians over a plane of samples.

use rayon::prelude::*;

/// Spread in samples from which a Gaussian is computed on a coarser grid, and its least spread
/// there.
const COARSE: (f64, f64) = (28.0, 14.0);
/// Where a Gaussian is cut, in spreads: exp(-12.25) is 5e-6.
const REACH: f64 = 3.5;

/// One channel of a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Plane {
    /// Samples across.
    pub width: usize,
    /// From the upper left, row by row.
    pub values: Vec<f32>,
    /// The value everywhere outside.
    pub beyond: f32,
}

/// Samples of `exp(-x^2/s^2)` that sum to 1, from the middle outwards; `spread` in samples.
pub fn kernel(spread: f64) -> Vec<f64> {
    let reach = (spread * REACH).ceil() as usize;
    let mut half: Vec<f64> = (0..=reach)
        .map(|x| {
            let ratio = x as f64 / spread;
            libm::exp(-ratio * ratio)
        })
        .collect();
    let sum: f64 = half[0] + 2.0 * half[1..].iter().sum::<f64>();
    half.iter_mut().for_each(|value| *value /= sum);
    half
}

impl Plane {
    fn height(&self) -> usize {
        self.values.len() / self.width.max(1)
    }

    /// The plane under a Gaussian `exp(-(x^2 + y^2)/s^2)` of sum 1.
    pub fn blurred(&self, spread: f64) -> Self {
        if spread < COARSE.0 {
            return self.blurred_across(spread).blurred_down(spread);
        }
        let step = (spread / COARSE.1).floor() as usize;
        // Means over blocks and linear interpolation between them have a variance of their own:
        // (m^2 - 1)/12 and (m^2 - 1)/6, where a Gaussian has s^2/2.
        let own = (step * step - 1) as f64 / 2.0;
        let rest = (spread * spread - own).sqrt() / step as f64;
        let coarse = self.coarse(step);
        let coarse = coarse.blurred_across(rest).blurred_down(rest);
        self.fine(&coarse, step)
    }

    /// The same along the rows only.
    pub fn blurred_across(&self, spread: f64) -> Self {
        let half = kernel(spread);
        let (reach, width) = (half.len() - 1, self.width);
        let taps = taps(&half);
        let mut values = vec![0.0f32; self.values.len()];
        let rows = values
            .par_chunks_mut(width)
            .zip(self.values.par_chunks(width));
        rows.for_each(|(out, row)| {
            let mut padded = vec![self.beyond; width + 2 * reach];
            padded[reach..reach + width].copy_from_slice(row);
            for (at, tap) in taps.iter().enumerate() {
                add(out, &padded[at..at + width], *tap);
            }
        });
        Self { values, ..*self }
    }

    fn blurred_down(&self, spread: f64) -> Self {
        let half = kernel(spread);
        let (reach, width, height) = (half.len() - 1, self.width, self.height());
        let taps = taps(&half);
        let beyond = vec![self.beyond; width];
        let mut values = vec![0.0f32; self.values.len()];
        values
            .par_chunks_mut(width)
            .enumerate()
            .for_each(|(y, out)| {
                for (at, tap) in taps.iter().enumerate() {
                    let row = match (y + at).checked_sub(reach) {
                        Some(from) if from < height => {
                            &self.values[from * width..(from + 1) * width]
                        }
                        _ => &beyond[..],
                    };
                    add(out, row, *tap);
                }
            });
        Self { values, ..*self }
    }

    /// Means of blocks of `step` by `step`, one more block of the outside all round.
    fn coarse(&self, step: usize) -> Self {
        let (width, height) = (self.width, self.height());
        let blocks = |length: usize| length.div_ceil(step) + 2;
        let (across, down) = (blocks(width), blocks(height));
        let area = (step * step) as f32;
        let mut values = vec![self.beyond; across * down];
        values
            .par_chunks_mut(across)
            .enumerate()
            .for_each(|(block_y, out)| {
                let Some(top) = (block_y * step).checked_sub(step) else {
                    return;
                };
                for (block_x, mean) in out.iter_mut().enumerate().skip(1) {
                    let left = (block_x - 1) * step;
                    let (right, bottom) = ((left + step).min(width), (top + step).min(height));
                    let mut sum = 0.0;
                    let mut count = 0;
                    for y in top..bottom {
                        for value in &self.values[y * width + left.min(width)..y * width + right] {
                            sum += value;
                            count += 1;
                        }
                    }
                    *mean = (sum + self.beyond * (area - count as f32)) / area;
                }
            });
        Self {
            width: across,
            values,
            beyond: self.beyond,
        }
    }

    /// Back onto the grid of `self`, by linear interpolation between the middles of blocks.
    fn fine(&self, coarse: &Self, step: usize) -> Self {
        let place = |at: usize| {
            let from = (at as f64 + 0.5) / step as f64 + 0.5;
            let whole = from.floor();
            (whole as usize, (from - whole) as f32)
        };
        let width = self.width;
        let mut values = vec![0.0f32; self.values.len()];
        values
            .par_chunks_mut(width)
            .enumerate()
            .for_each(|(y, out)| {
                let (row, down) = place(y);
                let above = &coarse.values[row * coarse.width..];
                let below = &coarse.values[(row + 1) * coarse.width..];
                for (x, value) in out.iter_mut().enumerate() {
                    let (column, along) = place(x);
                    let mix = |row: &[f32]| row[column] + (row[column + 1] - row[column]) * along;
                    let (upper, lower) = (mix(above), mix(below));
                    *value = upper + (lower - upper) * down;
                }
            });
        Self { values, ..*self }
    }
}

fn taps(half: &[f64]) -> Vec<f32> {
    let left = half.iter().skip(1).rev();
    left.chain(half).map(|&tap| tap as f32).collect()
}

fn add(out: &mut [f32], row: &[f32], tap: f32) {
    for (out, value) in out.iter_mut().zip(row) {
        *out += tap * value;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A wide Gaussian on a coarse grid against the same one sample by sample.
    #[test]
    fn the_coarse_way_equals_the_plain_way() {
        let (width, height) = (150, 110);
        let value =
            |at: usize| ((at * 7919) % 101) as f32 / 101.0 + f32::from(u8::from(at % width > 70));
        let plane = Plane {
            width,
            values: (0..width * height).map(value).collect(),
            beyond: 1.0,
        };
        for spread in [28.0, 45.0, 61.7] {
            let plain = plane.blurred_across(spread).blurred_down(spread);
            let coarse = plane.blurred(spread);
            let off = plain
                .values
                .iter()
                .zip(&coarse.values)
                .map(|(a, b)| (a - b).abs());
            let worst = off.fold(0.0, f32::max);
            assert!(worst < 2e-3, "{spread}: {worst}");
        }
    }

    #[test]
    fn a_kernel_is_normal() {
        for spread in [0.2, 3.6, 20.0] {
            let half = kernel(spread);
            let sum = half[0] + 2.0 * half[1..].iter().sum::<f64>();
            assert!((sum - 1.0).abs() < 1e-12);
        }
    }
}
