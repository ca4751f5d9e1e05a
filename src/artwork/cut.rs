//! The part of a photograph to keep where not all of it fits: where its detail and colour are.

use super::cells::{Cell, Cells, apart_squared};
use crate::picture::Crop;

/// Cells over which a difference counts as detail; finer is grain.
const STEP: usize = 3;
/// How much more the middle counts than the edges. Ours: of two parts with as much detail, the
/// designer had the middle one in view.
const MIDDLE: f64 = 0.3;
/// Side of the bins in CIELAB that make one colour. Ours.
const BIN: f32 = 16.0;
/// How much more a picture must change downwards than sideways to lie in layers.
const LAYERS: f64 = 1.25;

/// The detail of each cell: the difference from the cells a little to the right and below, and from
/// the picture's mean colour.
fn detail(cells: &Cells) -> Vec<f32> {
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

/// What each part of a picture shows: its detail and its colours.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Content {
    detail: Vec<f32>,
    /// The colour of each cell, of those in `shares`; none of a clear cell.
    colours: Vec<Option<u16>>,
    /// The share of the picture that each colour has.
    shares: Vec<f64>,
    across: usize,
}

impl Content {
    pub(super) fn of(cells: &Cells) -> Self {
        let mut found: Vec<[i16; 3]> = Vec::new();
        let mut counts: Vec<f64> = Vec::new();
        let mut colour = |cell: &Cell| {
            if cell.clear {
                return None;
            }
            let bin = cell.point.map(|value| (value / BIN).round() as i16);
            let at = found.iter().position(|own| *own == bin).unwrap_or_else(|| {
                found.push(bin);
                counts.push(0.0);
                found.len() - 1
            });
            counts[at] += 1.0;
            Some(at as u16)
        };
        let colours: Vec<Option<u16>> = cells.cells.iter().map(&mut colour).collect();
        let all: f64 = counts.iter().sum::<f64>().max(1.0);
        Self {
            detail: detail(cells),
            colours,
            shares: counts.into_iter().map(|count| count / all).collect(),
            across: cells.width,
        }
    }

    /// The window of `width` by `height` pixels of the `part` with most detail, and with colours in
    /// the shares that they have in the picture.
    pub(super) fn best(&self, part: &Crop, width: f64, height: f64) -> Crop {
        let down = self.detail.len() / self.across.max(1);
        let columns: Vec<Vec<usize>> = (0..self.across)
            .map(|x| (0..down).map(|y| y * self.across + x).collect())
            .collect();
        let rows: Vec<Vec<usize>> = (0..down)
            .map(|y| (0..self.across).map(|x| y * self.across + x).collect())
            .collect();
        let side = |lines: &[Vec<usize>], all: u32, kept: f64| {
            let wanted = (kept.round() as u32).clamp(1, all);
            let cells = (f64::from(wanted) * lines.len() as f64 / f64::from(all)).round() as usize;
            let first = self.best_run(lines, cells.clamp(1, lines.len()));
            let start = (first as f64 * f64::from(all) / lines.len() as f64).round() as u32;
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

    /// Where the run of so many lines begins that shows most, the middle counting more.
    fn best_run(&self, lines: &[Vec<usize>], count: usize) -> usize {
        let free = (lines.len() - count) as f64;
        let middling = |first: usize| {
            let off = if free > 0.0 {
                (2.0 * first as f64 / free - 1.0).abs()
            } else {
                0.0
            };
            1.0 - MIDDLE * off * off
        };
        let mut shown = Shown::new(self);
        lines[..count]
            .iter()
            .for_each(|line| shown.count(line, 1.0));
        let mut best = (shown.worth() * middling(0), 0);
        for first in 1..=lines.len() - count {
            shown.count(&lines[first - 1], -1.0);
            shown.count(&lines[first + count - 1], 1.0);
            let worth = shown.worth() * middling(first);
            if worth > best.0 {
                best = (worth, first);
            }
        }
        best.1
    }
}

/// What some lines of a picture show.
struct Shown<'a> {
    content: &'a Content,
    detail: f64,
    counts: Vec<f64>,
}

impl<'a> Shown<'a> {
    fn new(content: &'a Content) -> Self {
        Self {
            content,
            detail: 0.0,
            counts: vec![0.0; content.shares.len()],
        }
    }

    /// Adds the cells of a line so many times.
    fn count(&mut self, line: &[usize], times: f64) {
        for &cell in line {
            self.detail += times * f64::from(self.content.detail[cell]);
            if let Some(colour) = self.content.colours[cell] {
                self.counts[usize::from(colour)] += times;
            }
        }
    }

    /// Their detail, and how much their colours are those of the picture: the coefficient of
    /// A. Bhattacharyya, "On a measure of divergence between two multinomial populations",
    /// Sankhyā 7(4), 1946.
    fn worth(&self) -> f64 {
        let all: f64 = self.counts.iter().sum::<f64>().max(1.0);
        let shares = self.counts.iter().zip(&self.content.shares);
        let alike: f64 = shares
            .map(|(count, share)| libm::sqrt(count / all * share))
            .sum();
        self.detail * alike
    }
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
