//! A picture made smaller, upright, in plain sRGB: the mean of linear light over each new pixel.

use super::pixel_run::{PixelRun, RunSums};
use crate::colour::{Light, srgb8};
use crate::error::Result;
use crate::picture::{Picture, Pixels};

/// `picture` upright with its longer side at most `most` pixels; transparent parts lie on white.
///
/// Its colour profile is honoured. A picture that is smaller keeps its size.
///
/// # Errors
/// If the picture's colour profile fails.
pub fn downscale(picture: &Picture, most: u32) -> Result<Pixels> {
    let upright = picture.upright();
    let (wide, high) = (upright.width, upright.height);
    let longer = wide.max(high).max(1);
    let side = |side: u32| {
        if longer > most {
            ((f64::from(side) * f64::from(most) / f64::from(longer)).round() as u32).max(1)
        } else {
            side.max(1)
        }
    };
    let (wide, high) = (side(wide), side(high));
    let (across, down) = if picture.orientation.swap {
        (high, wide)
    } else {
        (wide, high)
    };
    let bins = |stored: u32, bins: u32| -> Vec<PixelRun> {
        let step = f64::from(stored) / f64::from(bins);
        let bin = |at: u32| {
            PixelRun::new(
                f64::from(at) * step,
                (f64::from(at + 1) * step).min(f64::from(stored)),
            )
        };
        (0..bins).map(bin).collect()
    };
    let columns = bins(picture.width, across);
    let mut stored: Vec<[u8; 3]> = Vec::with_capacity((across * down) as usize);
    for row in bins(picture.height, down) {
        let mut sums = RunSums::new(picture, &columns);
        let mut rows = 0.0;
        for (at, weight) in row.weights() {
            sums.add_row(at, weight)?;
            rows += weight;
        }
        let area = rows * f64::from(picture.width) / f64::from(across);
        stored.extend(sums.cells.iter().map(|cell| on_white(picture, cell, area)));
    }
    let mut rgb = Vec::with_capacity(stored.len() * 3);
    let turn = picture.orientation;
    for y in 0..high {
        for x in 0..wide {
            let (a, b) = if turn.swap { (y, x) } else { (x, y) };
            let a = if turn.flip_x { across - 1 - a } else { a };
            let b = if turn.flip_y { down - 1 - b } else { b };
            rgb.extend(stored[(b * across + a) as usize]);
        }
    }
    Ok(Pixels {
        width: wide,
        height: high,
        rgb,
    })
}

/// Mean light over `area`, on white.
fn on_white(picture: &Picture, cell: &[f64; 4], area: f64) -> [u8; 3] {
    let alpha = (cell[3] / area).min(1.0);
    let light = picture
        .reading
        .light([cell[0] / area, cell[1] / area, cell[2] / area]);
    let clear = 1.0 - alpha;
    let seen = srgb8(Light::new(
        light.red + clear,
        light.green + clear,
        light.blue + clear,
    ));
    [seen.red, seen.green, seen.blue]
}
