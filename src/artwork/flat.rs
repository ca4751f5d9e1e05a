//! The flat colours of a drawing, and which of them each cell has.
//!
//! A drawing's colours are narrow peaks in CIELAB: nearly all cells that look like their neighbours
//! lie close to the middle of one. A photograph's or gradient's colours spread evenly. The blends
//! that antialiasing leaves between two areas are no colours of the drawing.

use super::cells::{Cell, Cells, Point, apart_squared};
use super::grid::{Size, components};
use crate::colour::{Light, Srgb8, light, srgb8};
use std::collections::HashMap;

/// The label of the ground; the drawing's own colours follow.
pub const GROUND: u8 = 0;
/// Cells of which neighbours on both sides differ by less lie in an area or along an edge.
const STEADY: f32 = 4.0;
/// A peak's colours are within this of its middle.
const NEAR: f32 = 8.0;
/// Its core is within this.
const CORE: f32 = 4.5;
/// Side of the bins in which peaks are looked for.
const BIN: f32 = 2.0;
/// Share of the steady cells that must be in cores.
const IN_CORES: f64 = 0.9;
/// Share of all cells that must be steady.
const MOSTLY_STEADY: f64 = 0.45;
/// Most colours of a drawing; one with more is made as continuous tone.
const MOST: usize = 14;
/// Smallest share of a colour, and fewest cells.
const LEAST: (f64, u32) = (0.0025, 10);
/// A colour this close to the line between two others may be their blend.
const BLEND: f32 = 9.0;
/// Blends of two colours that are compared with a third.
const STEPS: u32 = 20;
/// Share of a colour's cells that are surrounded by it, below which it may be a blend.
const SOLID: f64 = 0.35;
/// Peaks closer than this are one colour with an uneven print.
const SAME: f32 = 6.5;
/// Cells around an unsteady one among whose colours it takes its own.
const REACH: usize = 3;

/// A drawing as areas of few flat colours.
#[derive(Debug, Clone, PartialEq)]
pub struct FlatArt {
    /// Cells across.
    pub width: usize,
    /// Cells down.
    pub height: usize,
    /// The label of each cell, from the top: [`GROUND`], or one more than a place in `colours`.
    pub labels: Vec<u8>,
    /// The colours of labels 1 and on.
    pub colours: Vec<Light>,
    /// Pixels of the upright picture in a cell, across and down.
    pub pixel: [f64; 2],
    /// Where the first cell begins, in pixels of the upright picture.
    pub origin: [f64; 2],
}

/// A colour of many cells.
#[derive(Debug, Clone, Copy)]
struct Peak {
    middle: Point,
    light: Light,
    cells: u32,
    core: u32,
}

/// The flat colours of the cells, if they are a drawing; transparent cells are ground.
pub(super) fn find(cells: &Cells) -> Option<FlatArt> {
    let steady = steady(cells);
    let seen = cells.cells.iter().filter(|cell| !cell.clear).count();
    let lying = steady.iter().filter(|steady| **steady).count();
    if (lying as f64) < MOSTLY_STEADY * seen as f64 || seen == 0 {
        return None;
    }
    let peaks = peaks(cells, &steady);
    let core: u32 = peaks.iter().map(|peak| peak.core).sum();
    if f64::from(core) < IN_CORES * lying as f64 {
        return None;
    }
    let peaks = with_separate_areas(cells, &steady, merged(peaks));
    let peaks = without_blends(cells, &steady, peaks);
    if peaks.is_empty() || peaks.len() > MOST {
        return None;
    }
    let labels = labels(cells, &peaks);
    let colours = peaks.iter().map(|peak| peak.light).collect();
    Some(FlatArt {
        width: cells.width,
        height: cells.height,
        labels,
        colours,
        pixel: cells.pixel,
        origin: [f64::from(cells.part.x), f64::from(cells.part.y)],
    })
}

/// Whether a cell is like its neighbours on two opposite sides.
fn steady(cells: &Cells) -> Vec<bool> {
    let (width, height) = (cells.width, cells.height);
    let like = |one: usize, other: usize| {
        let (one, other) = (&cells.cells[one], &cells.cells[other]);
        !other.clear && apart_squared(&one.point, &other.point) < STEADY * STEADY
    };
    let of = |at: usize| {
        let (x, y) = (at % width, at / width);
        if cells.cells[at].clear {
            return false;
        }
        let side = x > 0 && x + 1 < width;
        let end = y > 0 && y + 1 < height;
        (side && like(at, at - 1) && like(at, at + 1))
            || (end && like(at, at - width) && like(at, at + width))
            || (side && end && like(at, at - width - 1) && like(at, at + width + 1))
            || (side && end && like(at, at - width + 1) && like(at, at + width - 1))
    };
    (0..width * height).map(of).collect()
}

/// Counts and sums of the colours in one bin.
#[derive(Default, Clone, Copy)]
struct Bin {
    count: u32,
    sum: [f64; 3],
    light: Light,
}

impl Bin {
    fn add(&mut self, cell: &Cell) {
        self.count += 1;
        (0..3).for_each(|at| self.sum[at] += f64::from(cell.point[at]));
        self.light += cell.light;
    }
}

/// The peaks among the steady cells, largest first.
fn peaks(cells: &Cells, steady: &[bool]) -> Vec<Peak> {
    let mut bins: HashMap<[i16; 3], Bin> = HashMap::new();
    for (cell, _) in cells
        .cells
        .iter()
        .zip(steady)
        .filter(|(_, steady)| **steady)
    {
        let key = cell.point.map(|value| (value / BIN).round() as i16);
        let bin = bins.entry(key).or_default();
        bin.add(cell);
    }
    let mut bins: Vec<([i16; 3], Bin)> = bins.into_iter().collect();
    bins.sort_unstable_by_key(|(key, bin)| (std::cmp::Reverse(bin.count), *key));
    let mut left: Vec<(Point, Bin)> = bins
        .into_iter()
        .map(|(_, bin)| (mean(&[bin]), bin))
        .collect();
    let all: u32 = left.iter().map(|(_, bin)| bin.count).sum();
    let least = ((f64::from(all) * LEAST.0) as u32).max(LEAST.1);
    let mut found = Vec::new();
    while let Some(&(mut middle, _)) = left.first() {
        let within = |middle: &Point, reach: f32, left: &[(Point, Bin)]| -> Vec<Bin> {
            let near = left
                .iter()
                .filter(|(point, _)| apart_squared(point, middle) <= reach * reach);
            near.map(|(_, bin)| *bin).collect()
        };
        for _ in 0..4 {
            middle = mean(&within(&middle, CORE, &left));
        }
        let core = within(&middle, CORE, &left);
        let peak = Peak {
            middle,
            light: mean_light(&core),
            cells: count(&within(&middle, NEAR, &left)),
            core: count(&core),
        };
        let before = left.len();
        left.retain(|(point, _)| apart_squared(point, &middle) > NEAR * NEAR);
        if left.len() == before {
            left.remove(0);
        }
        if peak.cells >= least {
            found.push(peak);
        }
        if found.len() > 3 * MOST {
            break;
        }
    }
    found.sort_by_key(|peak| std::cmp::Reverse(peak.cells));
    found
}

fn count(bins: &[Bin]) -> u32 {
    bins.iter().map(|bin| bin.count).sum()
}

fn mean(bins: &[Bin]) -> Point {
    let all = f64::from(count(bins).max(1));
    let sum = |at: usize| bins.iter().map(|bin| bin.sum[at]).sum::<f64>();
    std::array::from_fn(|at| (sum(at) / all) as f32)
}

fn mean_light(bins: &[Bin]) -> Light {
    let mut sum = Light::new(0.0, 0.0, 0.0);
    bins.iter().for_each(|bin| sum += bin.light);
    sum / f64::from(count(bins).max(1))
}

/// Peaks that are nearly one colour become one: that of the larger.
fn merged(peaks: Vec<Peak>) -> Vec<Peak> {
    let mut kept: Vec<Peak> = Vec::new();
    for peak in peaks {
        let near = |kept: &&mut Peak| {
            apart_squared(&kept.middle, &peak.middle) < SAME * SAME && peak.cells * 8 < kept.cells
        };
        match kept.iter_mut().find(near) {
            Some(larger) => larger.cells += peak.cells,
            None => kept.push(peak),
        }
    }
    kept
}

/// The peaks, and those of areas that lie apart from a peak's others and differ from it: pale spots
/// in a motif on a pale ground.
fn with_separate_areas(cells: &Cells, steady: &[bool], peaks: Vec<Peak>) -> Vec<Peak> {
    let own = own_peaks(cells, steady, &peaks);
    let grid = Size {
        width: cells.width,
        height: cells.height,
    };
    let mut all = peaks.clone();
    for (at, peak) in peaks.iter().enumerate() {
        let mask: Vec<bool> = own.iter().map(|own| *own == Some(at)).collect();
        let areas = components(grid, &mask).into_iter();
        let areas = areas.filter(|area| area.len() >= LEAST.1 as usize);
        for found in areas.map(|area| Peak::of(cells, &area)) {
            let apart = |peak: &Peak| apart_squared(&peak.middle, &found.middle) > CORE * CORE;
            if apart(peak) && all[peaks.len()..].iter().all(apart) {
                all.push(found);
            }
        }
    }
    all
}

impl Peak {
    /// Of the cells of one area.
    fn of(cells: &Cells, area: &[usize]) -> Self {
        let mut bin = Bin::default();
        for cell in area.iter().map(|&at| &cells.cells[at]) {
            bin.add(cell);
        }
        Self {
            middle: mean(&[bin]),
            light: mean_light(&[bin]),
            cells: bin.count,
            core: bin.count,
        }
    }
}

/// The peaks without those that only lie where two others meet.
fn without_blends(cells: &Cells, steady: &[bool], peaks: Vec<Peak>) -> Vec<Peak> {
    let solid = solidity(cells, steady, &peaks);
    let mut kept: Vec<Peak> = Vec::new();
    for (peak, solid) in peaks.into_iter().zip(solid) {
        let blend = |one: &Peak| {
            kept.iter().any(|other| {
                !std::ptr::eq(one, other) && is_between(&peak.middle, one.light, other.light)
            })
        };
        if solid >= SOLID || !kept.iter().any(blend) {
            kept.push(peak);
        }
    }
    kept
}

/// For each steady cell the peak that it belongs to.
fn own_peaks(cells: &Cells, steady: &[bool], peaks: &[Peak]) -> Vec<Option<usize>> {
    let steady = cells.cells.iter().zip(steady);
    steady
        .map(|(cell, steady)| {
            let near = steady.then(|| nearest(&cell.point, peaks))?;
            (apart_squared(&cell.point, &peaks[near].middle) <= NEAR * NEAR).then_some(near)
        })
        .collect()
}

/// Of each peak's cells, the share whose four neighbours are the peak's too.
fn solidity(cells: &Cells, steady: &[bool], peaks: &[Peak]) -> Vec<f64> {
    let own = own_peaks(cells, steady, peaks);
    let (width, height) = (cells.width, cells.height);
    let mut counts = vec![(0_u32, 0_u32); peaks.len()];
    for (at, peak) in own.iter().enumerate() {
        let Some(peak) = *peak else { continue };
        counts[peak].1 += 1;
        let (x, y) = (at % width, at / width);
        let inner = x > 0 && y > 0 && x + 1 < width && y + 1 < height;
        let like = |other: usize| own[other] == Some(peak);
        if inner && like(at - 1) && like(at + 1) && like(at - width) && like(at + width) {
            counts[peak].0 += 1;
        }
    }
    let share = |(inner, all): (u32, u32)| f64::from(inner) / f64::from(all.max(1));
    counts.into_iter().map(share).collect()
}

fn nearest(point: &Point, peaks: &[Peak]) -> usize {
    let apart = |peak: &Peak| apart_squared(point, &peak.middle);
    (0..peaks.len())
        .min_by(|&one, &other| apart(&peaks[one]).total_cmp(&apart(&peaks[other])))
        .unwrap_or(0)
}

/// Whether a colour lies between two others, mixed as light or as the numbers of a file.
fn is_between(point: &Point, one: Light, other: Light) -> bool {
    let [first, second] = [one, other].map(|light| {
        let code = srgb8(light);
        [code.red, code.green, code.blue].map(f64::from)
    });
    (1..STEPS).any(|step| {
        let share = f64::from(step) / f64::from(STEPS);
        let between = |at: usize| first[at] * (1.0 - share) + second[at] * share;
        let [red, green, blue] = [0, 1, 2].map(|at| between(at).round() as u8);
        let mixed = [
            one * (1.0 - share) + other * share,
            light(Srgb8::new(red, green, blue)),
        ];
        let near = |light| apart_squared(&super::cells::point(light), point) < BLEND * BLEND;
        mixed.into_iter().any(near)
    })
}

/// The label of each cell: its own colour where it is near one, else the nearest of those around.
fn labels(cells: &Cells, peaks: &[Peak]) -> Vec<u8> {
    let (width, height) = (cells.width, cells.height);
    let sure: Vec<Option<usize>> = cells
        .cells
        .iter()
        .map(|cell| {
            let near = (!cell.clear).then(|| nearest(&cell.point, peaks))?;
            (apart_squared(&cell.point, &peaks[near].middle) <= CORE * CORE).then_some(near)
        })
        .collect();
    let around = |at: usize| {
        let (x, y) = (at % width, at / width);
        let rows = y.saturating_sub(REACH)..(y + REACH + 1).min(height);
        let columns = x.saturating_sub(REACH)..(x + REACH + 1).min(width);
        let point = &cells.cells[at].point;
        let near = rows.flat_map(|y| columns.clone().map(move |x| (x, y)));
        near.filter_map(|(x, y)| sure[y * width + x])
            .min_by(|&one, &other| {
                let apart = |peak: usize| apart_squared(point, &peaks[peak].middle);
                apart(one).total_cmp(&apart(other)).then(one.cmp(&other))
            })
    };
    (0..cells.cells.len())
        .map(|at| {
            if cells.cells[at].clear {
                return GROUND;
            }
            let own = sure[at].or_else(|| around(at));
            own.unwrap_or_else(|| nearest(&cells.cells[at].point, peaks)) as u8 + 1
        })
        .collect()
}

impl FlatArt {
    pub(super) fn at(&self, x: usize, y: usize) -> u8 {
        self.labels[y * self.width + x]
    }

    /// The drawing with the colour of its plain ground as the label of the ground.
    pub(super) fn on_ground(mut self, plain: Light) -> Self {
        let Some(at) = self.nearest_to(plain) else {
            return self;
        };
        self.colours.remove(at);
        let own = at as u8 + 1;
        for label in &mut self.labels {
            if *label == own {
                *label = GROUND;
            } else if *label > own {
                *label -= 1;
            }
        }
        self
    }

    fn nearest_to(&self, light: Light) -> Option<usize> {
        let wanted = super::cells::point(light);
        let apart = |at: &usize| apart_squared(&super::cells::point(self.colours[*at]), &wanted);
        (0..self.colours.len()).min_by(|one, other| apart(one).total_cmp(&apart(other)))
    }

    /// The drawing in at most `most` colours beside the ground: the least area goes to the colour
    /// nearest to its own, until they are few enough.
    pub fn limited(&self, most: usize) -> Self {
        let mut art = self.clone();
        while art.colours.len() > most.max(1) {
            let counts = art.counts();
            let least = (0..art.colours.len()).min_by_key(|&at| counts[at + 1]);
            let Some(least) = least else { break };
            let light = art.colours.remove(least);
            let other = art.nearest_to(light).unwrap_or(0) as u8 + 1;
            let own = least as u8 + 1;
            for label in &mut art.labels {
                if *label == own {
                    *label = other;
                } else if *label > own {
                    *label -= 1;
                }
            }
        }
        art
    }

    /// Cells of each label, the ground first.
    pub fn counts(&self) -> Vec<u64> {
        let mut counts = vec![0; self.colours.len() + 1];
        self.labels
            .iter()
            .for_each(|&label| counts[usize::from(label)] += 1);
        counts
    }

    /// Cells that are not ground.
    pub fn drawn(&self) -> u64 {
        self.labels.iter().filter(|&&label| label != GROUND).count() as u64
    }
}
