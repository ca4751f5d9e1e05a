//! The part of a photograph to keep where not all of it fits: where its detail and colour are.

use super::cells::{Cells, apart_squared};
use crate::picture::Crop;

/// Cells over which a difference counts as detail; finer is grain.
const STEP: usize = 3;
/// How much more the middle counts than the edges. Ours: of two parts with as much detail, the
/// designer had the middle one in view.
const MIDDLE: f64 = 0.3;
/// How much more a picture must change downwards than sideways to lie in layers.
const LAYERS: f64 = 1.25;

/// The detail of each cell: the difference from the cells a little to the right and below, and from
/// the picture's mean colour.
pub(super) fn detail(cells: &Cells) -> Vec<f32> {
    let mut mean = [0.0_f64; 3];
    let seen = cells.cells.iter().filter(|cell| !cell.clear);
    let all = seen.clone().count().max(1) as f64;
    for cell in seen {
        (0..3).for_each(|at| mean[at] += f64::from(cell.point[at]) / all);
    }
    let mean = mean.map(|value| value as f32);
    let (width, height) = (cells.width, cells.height);
    let of = |at: usize| {
        let cell = &cells.cells[at];
        if cell.clear {
            return 0.0;
        }
        let (x, y) = (at % width, at / width);
        let beside = (x + STEP < width).then(|| at + STEP);
        let below = (y + STEP < height).then(|| at + STEP * width);
        let near = [beside, below].into_iter().flatten();
        let edges: f32 = near
            .map(|other| {
                apart_squared(&cell.point, &cells.cells[other].point)
                    .sqrt()
                    .min(40.0)
            })
            .sum();
        edges + 0.5 * apart_squared(&cell.point, &mean).sqrt().min(40.0)
    };
    (0..width * height).map(of).collect()
}

/// The window of `width` by `height` pixels with most detail.
pub(super) fn best(detail: &[f32], across: usize, part: &Crop, width: f64, height: f64) -> Crop {
    let down = detail.len() / across.max(1);
    let columns: Vec<f64> = (0..across)
        .map(|x| (0..down).map(|y| f64::from(detail[y * across + x])).sum())
        .collect();
    let rows: Vec<f64> = (0..down)
        .map(|y| (0..across).map(|x| f64::from(detail[y * across + x])).sum())
        .collect();
    let side = |sums: &[f64], all: u32, kept: f64| {
        let wanted = (kept.round() as u32).clamp(1, all);
        let cells = (f64::from(wanted) * sums.len() as f64 / f64::from(all)).round() as usize;
        let first = best_run(sums, cells.clamp(1, sums.len()));
        let start = (first as f64 * f64::from(all) / sums.len() as f64).round() as u32;
        (start.min(all - wanted), wanted)
    };
    let (x, width) = side(&columns, part.width, width);
    let (y, height) = side(&rows, part.height, height);
    Crop {
        x: part.x + x,
        y: part.y + y,
        width,
        height,
    }
}

/// Where the run of so many sums begins that has most, the middle counting more.
fn best_run(sums: &[f64], cells: usize) -> usize {
    let all = sums.len();
    let free = (all - cells) as f64;
    let of = |first: usize| -> f64 {
        let off = if free > 0.0 {
            (2.0 * first as f64 / free - 1.0).abs()
        } else {
            0.0
        };
        sums[first..first + cells].iter().sum::<f64>() * (1.0 - MIDDLE * off * off)
    };
    (0..=all - cells)
        .max_by(|&one, &other| of(one).total_cmp(&of(other)).then(other.cmp(&one)))
        .unwrap_or(0)
}

/// Whether the picture lies in layers: its rows differ from one another more than its columns.
pub(super) fn is_level(cells: &Cells) -> bool {
    let (width, height) = (cells.width, cells.height);
    let spread = |lines: usize, each: usize, of: &dyn Fn(usize, usize) -> usize| {
        let means: Vec<[f32; 3]> = (0..lines)
            .map(|line| {
                let mut sum = [0.0_f32; 3];
                for at in 0..each {
                    let cell = &cells.cells[of(line, at)];
                    (0..3).for_each(|part| sum[part] += cell.point[part]);
                }
                sum.map(|sum| sum / each as f32)
            })
            .collect();
        let mut middle = [0.0_f32; 3];
        for mean in &means {
            (0..3).for_each(|part| middle[part] += mean[part] / lines as f32);
        }
        let apart = means.iter().map(|mean| apart_squared(mean, &middle));
        f64::from(apart.sum::<f32>()) / lines as f64
    };
    let down = spread(height, width, &|row, at| row * width + at);
    let sideways = spread(width, height, &|column, at| at * width + column);
    down > LAYERS * LAYERS * sideways
}
