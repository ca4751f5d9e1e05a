//! A pattern that repeats along the picture, or that may be repeated because its ends meet.

use super::cells::Cells;
use super::flat::{FlatArt, GROUND};
use super::grid::{Size, components};
use crate::picture::Crop;

/// Share of the cells that may differ a period further on, of what differs by chance.
const UNLIKE: f64 = 0.12;
/// Shortest period in cells.
const SHORTEST: usize = 6;
/// Sides from which a picture whose ends meet is a strip.
const STRIP: f64 = 2.2;
/// Share of an end that must be drawn for the pattern to run through it.
const THROUGH: f64 = 0.04;
/// Share of the two ends' cells that must be alike for them to meet.
const MEETING: f64 = 0.9;
/// Periods from which a connected part runs on from one to the next.
const RUNS_ON: f64 = 1.2;
/// Cells at either end that may be spoilt.
const RIM: usize = 2;
/// Share of the picture by which a whole number of periods may differ from it.
const WHOLE: f64 = 0.04;

/// A pattern that repeats.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Period {
    /// Whether it runs from left to right, else from top to bottom.
    pub sideways: bool,
    /// How often the picture shows it, 1 or more.
    pub count: u32,
    /// The part of the picture that holds these.
    pub part: Crop,
    /// Whether it is the same all along, as stripes along the band are.
    pub constant: bool,
}

impl Period {
    /// The first of the periods that the picture shows.
    pub fn first(&self) -> Crop {
        let first = |all: u32| (f64::from(all) / f64::from(self.count)).round().max(1.0) as u32;
        if self.sideways {
            Crop {
                width: first(self.part.width),
                ..self.part
            }
        } else {
            Crop {
                height: first(self.part.height),
                ..self.part
            }
        }
    }
}

/// The pattern along the longer side, else along the shorter.
pub(super) fn find(art: &FlatArt, cells: &Cells) -> Option<Period> {
    let sideways = art.width >= art.height;
    along(art, cells, sideways).or_else(|| along(art, cells, !sideways))
}

fn along(art: &FlatArt, cells: &Cells, sideways: bool) -> Option<Period> {
    let (length, width) = if sideways {
        (art.width, art.height)
    } else {
        (art.height, art.width)
    };
    let line = Lines { art, sideways };
    let chance = line.chance();
    if line.is_constant(length, width) {
        return Some(period(art, cells, sideways, 1.0, length as f64, true));
    }
    let share = |lag: usize| line.unlike(lag, length, width) / chance.max(1e-9);
    let repeated = (SHORTEST..=length / 2).find(|&lag| {
        let own = share(lag);
        own < UNLIKE && own <= share(lag + 1) && own <= share(lag - 1) && stands_out(&share, lag)
    });
    if let Some(lag) = repeated.filter(|&lag| !line.breaks_off(lag, length)) {
        let count = (length as f64 / lag as f64).round();
        let off = (length as f64 - count * lag as f64).abs();
        return Some(if off <= (WHOLE * length as f64).max(count) {
            period(art, cells, sideways, count, length as f64, false)
        } else {
            let count = (length / lag) as f64;
            period(art, cells, sideways, count, count * lag as f64, false)
        });
    }
    let other = Lines {
        art,
        sideways: !sideways,
    };
    let strip = length as f64 >= STRIP * width as f64;
    let full = other.runs_through(width, length);
    // Stripes across may follow one another in any colours.
    let stripes = other.is_constant(width, length);
    let repeats = stripes || ((strip || full) && line.ends_meet(length, width));
    repeats.then(|| period(art, cells, sideways, 1.0, length as f64, false))
}

/// Whether the picture differs clearly from itself at half that lag: else it hardly varies.
fn stands_out(share: &dyn Fn(usize) -> f64, lag: usize) -> bool {
    (1..lag).map(share).fold(0.0, f64::max) > 3.0 * share(lag).max(0.02)
}

fn period(
    art: &FlatArt,
    cells: &Cells,
    sideways: bool,
    count: f64,
    length: f64,
    constant: bool,
) -> Period {
    let part = cells.part;
    let cut = |cells: f64, pixel: f64, all: u32| ((cells * pixel).round() as u32).clamp(1, all);
    let part = if sideways {
        Crop {
            width: cut(length, art.pixel[0], part.width),
            ..part
        }
    } else {
        Crop {
            height: cut(length, art.pixel[1], part.height),
            ..part
        }
    };
    Period {
        sideways,
        count: count as u32,
        part,
        constant,
    }
}

/// The drawing as lines of cells across the way it runs.
struct Lines<'a> {
    art: &'a FlatArt,
    sideways: bool,
}

impl Lines<'_> {
    /// The label of a cell by its place along and across.
    fn label(&self, along: usize, across: usize) -> u8 {
        if self.sideways {
            self.art.at(along, across)
        } else {
            self.art.at(across, along)
        }
    }

    /// The share of cells that differ from those `lag` further on.
    fn unlike(&self, lag: usize, length: usize, width: usize) -> f64 {
        let pairs = (0..length - lag).flat_map(|at| (0..width).map(move |across| (at, across)));
        let unlike =
            pairs.filter(|&(at, across)| self.label(at, across) != self.label(at + lag, across));
        unlike.count() as f64 / ((length - lag) * width).max(1) as f64
    }

    /// The share that would differ if labels lay anywhere.
    fn chance(&self) -> f64 {
        let all = self.art.labels.len() as f64;
        let counts = self.art.counts();
        let alike = counts.iter().map(|&count| (count as f64 / all).powi(2));
        1.0 - alike.sum::<f64>()
    }

    /// Whether it is the same all along.
    fn is_constant(&self, length: usize, width: usize) -> bool {
        let chance = self.chance();
        chance > 0.0 && (1..length).all(|lag| self.unlike(lag, length, width) < 0.02 * chance)
    }

    /// Whether a line that runs on from one period to the next ends before the picture does: then
    /// the picture is a motif, as it would be cut where it is repeated.
    fn breaks_off(&self, lag: usize, length: usize) -> bool {
        let grid = Size {
            width: self.art.width,
            height: self.art.height,
        };
        let drawn: Vec<bool> = self.art.labels.iter().map(|&own| own != GROUND).collect();
        let along = |cell: &usize| {
            if self.sideways {
                cell % grid.width
            } else {
                cell / grid.width
            }
        };
        components(grid, &drawn).iter().any(|part| {
            let first = part.iter().map(along).min().unwrap_or(0);
            let last = part.iter().map(along).max().unwrap_or(0);
            let runs_on = (last - first) as f64 > RUNS_ON * lag as f64;
            runs_on && (first > RIM || last + RIM + 1 < length)
        })
    }

    /// Whether the pattern goes on from one end to the other.
    fn ends_meet(&self, length: usize, width: usize) -> bool {
        let alike = (0..width)
            .filter(|&across| self.label(0, across) == self.label(length - 1, across))
            .count() as f64;
        alike >= MEETING * width as f64 && self.runs_through(length, width)
    }

    /// Whether the pattern is drawn as much at both ends as a little further in: a motif that only
    /// touches the edge is not.
    fn runs_through(&self, length: usize, width: usize) -> bool {
        let drawn = |at: usize| {
            (0..width)
                .filter(|&across| self.label(at, across) != GROUND)
                .count() as f64
        };
        let inner = (length / 30).max(2);
        let (first, last) = (drawn(0), drawn(length - 1));
        let runs = |own: f64, inside: f64| inside <= 1.8 * own && own <= 1.8 * inside.max(1.0);
        first.min(last) >= THROUGH * width as f64
            && runs(first, drawn(inner))
            && runs(last, drawn(length - 1 - inner))
    }
}
