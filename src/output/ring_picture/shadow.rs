//! The shadow on the ground in a few steps, with an ordered dither.

use super::palette::brightness;
use crate::colour::Srgb8;

/// Steps of the shadow.
const STEPS: usize = 12;
/// Thresholds of 8 by 8 pixels: B. E. Bayer, "An optimum method for two-level rendition of
/// continuous-tone pictures", IEEE International Conference on Communications, 1973, pages 26-11 to
/// 26-15.
const BAYER: [[u8; 8]; 8] = bayer();

/// Steps from the darkest to the brightest of these colours, evenly in lightness.
pub(super) fn ramp(colours: impl Iterator<Item = Srgb8>) -> Vec<Srgb8> {
    let mut all: Vec<Srgb8> = colours.collect();
    all.sort_by_key(brightness);
    all.dedup();
    let (Some(first), Some(last)) = (all.first(), all.last()) else {
        return Vec::new();
    };
    let (low, high) = (brightness(first), brightness(last));
    let mut ramp: Vec<Srgb8> = (0..STEPS as u32)
        .map(|step| {
            // Finer near the bright end, where steps are seen first.
            let share = f64::from(step) / (STEPS - 1) as f64;
            let share = share * (2.0 - share);
            let wanted = f64::from(low) + f64::from(high - low) * share;
            let off =
                |colour: &&Srgb8| ((f64::from(brightness(colour)) - wanted).abs() * 64.0) as u64;
            *all.iter().min_by_key(off).unwrap_or(last)
        })
        .collect();
    ramp.dedup();
    ramp
}

/// One of the two steps next to a colour, by the pixel's threshold; its index in the ramp.
pub(super) fn dithered(colour: Srgb8, ramp: &[Srgb8], x: usize, y: usize) -> u8 {
    let wanted = brightness(&colour);
    let above = ramp.partition_point(|step| brightness(step) < wanted);
    if above == 0 || above == ramp.len() {
        return above.min(ramp.len() - 1) as u8;
    }
    let (low, high) = (brightness(&ramp[above - 1]), brightness(&ramp[above]));
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
