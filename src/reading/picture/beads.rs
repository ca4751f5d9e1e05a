//! Which beads of an endless staggered grid are there, and the band that they make.

use super::pitch::Lines;
use super::plane::{Change, Plane, encoded, largest};
use crate::colour::Light;
use std::collections::{BTreeMap, BTreeSet};

/// Share of a bead's sides along which an edge is looked for.
const INNER: f64 = 0.5;
/// Shares of its width and height that are its inner part.
const SAMPLED: f64 = 0.6;
/// Pixels of a bead each way that tell what there is, and from which its colour is measured.
pub(super) const FEW: usize = 8;
pub(super) const MANY: usize = 40;
/// Least edge at a bead's side, on the scale of [`Plane`], in a picture without noise and in the
/// noisiest one.
const EDGE: (f32, f32) = (0.025, 0.06);
/// Edge from which all edges count alike.
const STRONG: f32 = 0.15;
/// Difference from the backdrop, on the same scale, from which a bead needs no edges.
const UNLIKE_BACKDROP: f32 = 0.08;
/// Share of a row's or column's beads from which it is one of the band.
const KEPT: f64 = 0.5;
/// Least share of the band's beads that are seen.
const LEAST_SEEN: f64 = 0.8;

/// A bead of the endless grid: its column, and its upper half row.
pub(super) type Cell = (i64, i64);

/// The grid: boundaries of columns, boundaries of half rows, and which beads there are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Endless {
    pub(super) columns: Lines,
    pub(super) halves: Lines,
    /// Whether bead `(0, 0)` is one.
    pub(super) even: bool,
}

/// The band's place on the grid, ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Extent {
    pub(super) left: i64,
    pub(super) right: i64,
    /// Upper half rows of the uppermost and of the lowest row.
    pub(super) top: i64,
    pub(super) bottom: i64,
}

impl Extent {
    pub(super) fn columns(self) -> u32 {
        (self.right - self.left + 1).max(0) as u32
    }

    pub(super) fn rows(self) -> u32 {
        (self.bottom - self.top + 1).max(0) as u32
    }
}

/// A rectangle of pixels, `to` left out.
#[derive(Debug, Clone, Copy)]
struct Window {
    from_x: usize,
    to_x: usize,
    from_y: usize,
    to_y: usize,
}

impl Endless {
    /// Whether the grid has a bead there.
    pub(super) fn has(&self, (column, half): Cell) -> bool {
        ((column + half).rem_euclid(2) == 0) == self.even
    }

    /// The grid on which edges across lie where beads end and not within them.
    pub(super) fn new(
        plane: &Plane,
        columns: Lines,
        halves: Lines,
        within: Option<Extent>,
    ) -> Self {
        let both = Self {
            columns,
            halves,
            even: true,
        };
        let all = within.unwrap_or_else(|| both.whole(plane));
        let mut balance = 0.0;
        for column in all.left..=all.right {
            for half in all.top..=all.bottom + 2 {
                let edge = f64::from(both.edge_above(plane, (column, half)));
                balance += if both.has((column, half)) {
                    edge
                } else {
                    -edge
                };
            }
        }
        Self {
            even: balance >= 0.0,
            ..both
        }
    }

    /// The beads that fit into the picture.
    fn whole(&self, plane: &Plane) -> Extent {
        let last = |lines: Lines, side: usize| {
            let count = (side as f64 - lines.first) / lines.pitch;
            count.floor() as i64
        };
        let first = |lines: Lines| (-lines.first / lines.pitch).ceil() as i64;
        Extent {
            left: first(self.columns),
            right: last(self.columns, plane.width) - 1,
            top: first(self.halves),
            bottom: last(self.halves, plane.height) - 2,
        }
    }

    /// The edge between a bead and the one above it in its column.
    fn edge_above(&self, plane: &Plane, (column, half): Cell) -> f32 {
        let y = self.halves.at(half);
        let reach = (self.halves.pitch * 0.2).max(1.0);
        let window = self.window(plane, column, INNER, y - reach, y + reach + 1.0);
        strongest_line(&plane.down, plane.width, window, true)
    }

    /// The edge at the left of a bead.
    fn edge_left(&self, plane: &Plane, (column, half): Cell) -> f32 {
        let x = self.columns.at(column);
        let reach = (self.columns.pitch * 0.15).max(1.0);
        let middle = self.halves.at(half + 1);
        let tall = self.halves.pitch * INNER;
        let window = Window {
            from_x: pixel(x - reach, plane.width),
            to_x: pixel(x + reach + 1.0, plane.width),
            from_y: pixel(middle - tall, plane.height),
            to_y: pixel(middle + tall, plane.height),
        };
        strongest_line(&plane.across, plane.width, window, false)
    }

    /// The inner width of a column, from `top` to `bottom`.
    fn window(&self, plane: &Plane, column: i64, share: f64, top: f64, bottom: f64) -> Window {
        let middle = self.columns.at(column) + self.columns.pitch / 2.0;
        let wide = self.columns.pitch * share / 2.0;
        Window {
            from_x: pixel(middle - wide, plane.width),
            to_x: pixel(middle + wide, plane.width).max(pixel(middle - wide, plane.width) + 1),
            from_y: pixel(top, plane.height),
            to_y: pixel(bottom, plane.height),
        }
    }

    /// The light of a bead's inner part, of at most so many pixels each way.
    pub(super) fn inner(&self, plane: &Plane, cell: Cell, most: usize) -> Vec<Light> {
        let middle = self.halves.at(cell.1 + 1);
        let tall = self.halves.pitch * SAMPLED;
        let window = self.window(plane, cell.0, SAMPLED, middle - tall, middle + tall);
        let to_y = window.to_y.max(window.from_y + 1).min(plane.height);
        let to_x = window.to_x.min(plane.width);
        let ys = window.from_y.min(to_y)..to_y;
        let xs = window.from_x.min(to_x)..to_x;
        let (down, across) = (ys.len().div_ceil(most), xs.len().div_ceil(most));
        ys.step_by(down.max(1))
            .flat_map(|y| {
                xs.clone()
                    .step_by(across.max(1))
                    .map(move |x| y * plane.width + x)
            })
            .map(|at| plane.light[at])
            .collect()
    }

    /// The middle of a bead on the plane.
    pub(super) fn middle(&self, cell: Cell) -> (f64, f64) {
        (
            self.columns.at(cell.0) + self.columns.pitch / 2.0,
            self.halves.at(cell.1 + 1),
        )
    }

    /// The band: the largest group of beads that touch, without what hangs on at its edges. None
    /// where there is none, or too many of its beads are not seen.
    pub(super) fn band(&self, plane: &Plane, columns: Option<u32>) -> Option<Extent> {
        let seen = self.seen(plane);
        let group = largest_group(&seen);
        let extent = trimmed(&group, columns)?;
        let mut all = 0usize;
        let mut there = 0usize;
        for column in extent.left..=extent.right {
            for half in extent.top..=extent.bottom {
                if self.has((column, half)) {
                    all += 1;
                    there += usize::from(seen.contains(&(column, half)));
                }
            }
        }
        (there as f64 >= LEAST_SEEN * all as f64).then_some(extent)
    }

    /// The mean over a band's beads of the weakest edge at their sides; strong ones count alike.
    pub(super) fn edges(&self, plane: &Plane, extent: Extent) -> f64 {
        let (mut sum, mut count) = (0.0, 0usize);
        for column in extent.left..=extent.right {
            for half in (extent.top..=extent.bottom).filter(|half| self.has((column, *half))) {
                let sides = self.sides(plane, (column, half));
                sum += f64::from(sides.into_iter().fold(STRONG, f32::min));
                count += 1;
            }
        }
        sum / count.max(1) as f64
    }

    /// The pixels of a band.
    pub(super) fn area(&self, extent: Extent) -> f64 {
        let (wide, high) = (f64::from(extent.columns()), f64::from(extent.rows() + 1));
        wide * self.columns.pitch * high * self.halves.pitch
    }

    fn sides(&self, plane: &Plane, cell: Cell) -> [f32; 4] {
        let (column, half) = cell;
        [
            self.edge_above(plane, cell),
            self.edge_above(plane, (column, half + 2)),
            self.edge_left(plane, cell),
            self.edge_left(plane, (column + 1, half)),
        ]
    }

    /// Every bead that is seen.
    fn seen(&self, plane: &Plane) -> BTreeSet<Cell> {
        let all = self.whole(plane);
        let noise = self.noise(plane, all);
        let least = (3.0 * noise).clamp(EDGE.0, EDGE.1);
        let backdrop = backdrop(plane);
        let mut seen = BTreeSet::new();
        for column in all.left..=all.right {
            for half in (all.top..=all.bottom).filter(|half| self.has((column, *half))) {
                let cell = (column, half);
                let unlike = backdrop.is_some_and(|backdrop| self.is_unlike(plane, cell, backdrop));
                let edges = || self.sides(plane, cell).iter().all(|edge| *edge > least);
                if unlike || edges() {
                    seen.insert(cell);
                }
            }
        }
        seen
    }

    /// The median change of light within beads.
    fn noise(&self, plane: &Plane, all: Extent) -> f32 {
        let mut changes = Vec::new();
        for column in all.left..=all.right {
            for half in (all.top..=all.bottom).filter(|half| self.has((column, *half))) {
                changes.push(self.edge_above(plane, (column, half + 1)));
            }
        }
        changes.sort_by(f32::total_cmp);
        changes.get(changes.len() / 2).copied().unwrap_or(0.0)
    }

    /// Whether most of a bead's inner part is not of the backdrop's colour.
    fn is_unlike(&self, plane: &Plane, cell: Cell, backdrop: [f32; 3]) -> bool {
        let inner = self.inner(plane, cell, FEW);
        let unlike = inner.iter().filter(|light| off(encoded(light), backdrop));
        unlike.count() * 4 > inner.len() * 3
    }
}

fn pixel(at: f64, side: usize) -> usize {
    at.round().clamp(0.0, side as f64) as usize
}

/// The strongest mean along a line of a window, level or upright: along an edge all changes are
/// alike, and those of noise cancel out.
fn strongest_line(edges: &[Change], width: usize, window: Window, level: bool) -> f32 {
    let Window {
        from_x,
        to_x,
        from_y,
        to_y,
    } = window;
    let mean = |places: &mut dyn Iterator<Item = usize>| {
        let (mut sum, mut count) = ([0.0; 3], 0u32);
        for at in places {
            for (sum, change) in sum.iter_mut().zip(edges[at]) {
                *sum += change;
            }
            count += 1;
        }
        largest(sum) / count.max(1) as f32
    };
    let mut strongest = 0.0f32;
    if level {
        for y in from_y..to_y {
            strongest = strongest.max(mean(&mut (from_x..to_x).map(|x| y * width + x)));
        }
    } else {
        for x in from_x..to_x {
            strongest = strongest.max(mean(&mut (from_y..to_y).map(|y| y * width + x)));
        }
    }
    strongest
}

/// Whether two colours differ clearly.
fn off(one: [f32; 3], other: [f32; 3]) -> bool {
    one.iter()
        .zip(other)
        .any(|(one, other)| (one - other).abs() > UNLIKE_BACKDROP)
}

/// The colour round the picture's edge, where nearly all of the edge is of one.
fn backdrop(plane: &Plane) -> Option<[f32; 3]> {
    let (width, height) = (plane.width, plane.height);
    // A step from the edge, where a turned picture has colours of its own.
    let (x, y) = (width / 50, height / 50);
    let level = (x..width - x).flat_map(|at| [y * width + at, (height - 1 - y) * width + at]);
    let upright = (y..height - y).flat_map(|at| [at * width + x, at * width + width - 1 - x]);
    let edge: Vec<[f32; 3]> = level
        .chain(upright)
        .map(|at| encoded(&plane.light[at]))
        .collect();
    let median = |channel: usize| {
        let mut all: Vec<f32> = edge.iter().map(|colour| colour[channel]).collect();
        all.sort_by(f32::total_cmp);
        all.get(all.len() / 2).copied().unwrap_or(0.0)
    };
    let middle = [median(0), median(1), median(2)];
    let like = edge.iter().filter(|colour| !off(**colour, middle)).count();
    (like * 10 > edge.len() * 8).then_some(middle)
}

/// The largest group of beads that touch one another.
fn largest_group(seen: &BTreeSet<Cell>) -> BTreeSet<Cell> {
    let mut rest = seen.clone();
    let mut largest = BTreeSet::new();
    while let Some(start) = rest.pop_first() {
        let mut group = BTreeSet::from([start]);
        let mut open = vec![start];
        while let Some((column, half)) = open.pop() {
            for (x, y) in [(0, -2), (0, 2), (-1, -1), (-1, 1), (1, -1), (1, 1)] {
                let next = (column + x, half + y);
                if rest.remove(&next) {
                    group.insert(next);
                    open.push(next);
                }
            }
        }
        if group.len() > largest.len() {
            largest = group;
        }
    }
    largest
}

/// The rectangle of a group's full rows and columns; with `columns`, as many as those.
fn trimmed(group: &BTreeSet<Cell>, columns: Option<u32>) -> Option<Extent> {
    let mut extent = bounds(group)?;
    loop {
        let mut by_column: BTreeMap<i64, f64> = BTreeMap::new();
        let mut by_half: BTreeMap<i64, f64> = BTreeMap::new();
        for &(column, half) in group {
            let inside = (extent.left..=extent.right).contains(&column)
                && (extent.top..=extent.bottom).contains(&half);
            if inside {
                *by_column.entry(column).or_default() += 1.0;
                *by_half.entry(half).or_default() += 1.0;
            }
        }
        // A column has a bead in every second row, a row in every second column.
        let full_column = f64::from(extent.rows()) / 2.0 * KEPT;
        let full_row = (f64::from(extent.columns()) - 1.0) / 2.0 * KEPT;
        let column = |at: i64| by_column.get(&at).copied().unwrap_or(0.0);
        let half = |at: i64| by_half.get(&at).copied().unwrap_or(0.0);
        let over = columns.is_some_and(|wanted| extent.columns() > wanted);
        let before = extent;
        if column(extent.left) < full_column || over && column(extent.left) < column(extent.right) {
            extent.left += 1;
        } else if column(extent.right) < full_column || over {
            extent.right -= 1;
        } else if half(extent.top) <= full_row {
            extent.top += 1;
        } else if half(extent.bottom) <= full_row {
            extent.bottom -= 1;
        }
        if extent.columns() == 0 || extent.rows() == 0 {
            return None;
        }
        if extent == before {
            return Some(extent);
        }
    }
}

fn bounds(group: &BTreeSet<Cell>) -> Option<Extent> {
    let columns = group.iter().map(|cell| cell.0);
    let halves = group.iter().map(|cell| cell.1);
    Some(Extent {
        left: columns.clone().min()?,
        right: columns.max()?,
        top: halves.clone().min()?,
        bottom: halves.max()?,
    })
}
