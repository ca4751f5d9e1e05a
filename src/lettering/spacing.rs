//! Glyphs to a line of text, with even spacing on the staggered lattice.
//!
//! Letters move by whole beads. The next letter stands as near as three rules allow: a bead of
//! ground is between any two beads of them; the mean clear distance over the lines of a capital is
//! at least so much, which sets straight stems further apart than round or slanting ones; and a
//! letter reaches under its neighbour by one bead at most.

use super::alphabet::{Alphabet, Glyph, Point, extent};
use super::text::Item;
use super::{Direction, Height};
use std::collections::BTreeMap;

/// Columns of the widest letter across the band.
pub(super) const FRAME: i32 = 7;

/// A bead of a line of text: half rows on in the reading direction, and columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Inked {
    /// Half rows in the reading direction.
    pub(super) along: i32,
    /// Columns: from the top of a capital along the band, from the left across it.
    pub(super) column: i32,
}

/// A line of text; all beads have an even `along + column`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Line {
    /// Its beads.
    pub(super) beads: Vec<Inked>,
}

impl Line {
    /// First and last half row.
    pub(super) fn along(&self) -> (i32, i32) {
        self.extent(|bead| bead.along)
    }

    /// First and last column.
    pub(super) fn columns(&self) -> (i32, i32) {
        self.extent(|bead| bead.column)
    }

    fn extent(&self, of: impl Fn(&Inked) -> i32 + Copy) -> (i32, i32) {
        let values = self.beads.iter().map(of);
        let least = values.clone().min().unwrap_or(0);
        (least, values.max().unwrap_or(0))
    }
}

/// Distances in half rows. Ours, by looking at words of each alphabet at their true size.
struct Spacing {
    /// Mean clear distance over the lines of a capital.
    mean: f64,
    /// Clear distances count up to this.
    most: i32,
    /// How far the first bead of a letter is beyond the last one of the letter before, at least.
    beyond: i32,
    /// The same beside a point, a dash or an apostrophe.
    beyond_point: i32,
    /// Clear distance between words.
    space: i32,
}

impl Spacing {
    fn of(alphabet: &Alphabet) -> Self {
        let large = alphabet.lines == Height::Nine.columns() as i32;
        match alphabet.direction {
            Direction::Across => Self {
                mean: 0.0,
                most: 6,
                beyond: 4,
                beyond_point: 4,
                space: 8,
            },
            Direction::Along if large => Self {
                mean: 4.0,
                most: 6,
                beyond: 0,
                beyond_point: 6,
                space: 8,
            },
            Direction::Along => Self {
                mean: 3.2,
                most: 6,
                beyond: 0,
                beyond_point: 6,
                space: 6,
            },
        }
    }
}

/// Sets glyphs one after another.
pub(super) fn set(items: &[Item], alphabet: &Alphabet) -> Line {
    let spacing = Spacing::of(alphabet);
    let mut line = Line::default();
    let mut space = 0;
    let mut after_point = true;
    for item in items {
        match item {
            Item::Space => space = spacing.space,
            Item::Glyph(glyph) => {
                let is_point = is_point(glyph, alphabet);
                let glyph = turned(glyph, alphabet.direction);
                let least = match line.along().1 {
                    last if space > 0 => last + 2 + space,
                    last if is_point || after_point => last + spacing.beyond_point,
                    last => last + spacing.beyond,
                };
                let by = shift(&line, &glyph, alphabet, least);
                after_point = is_point;
                line.beads.extend(glyph.into_iter().map(|bead| Inked {
                    along: bead.along + by,
                    ..bead
                }));
                space = 0;
            }
        }
    }
    line
}

/// The beads of a glyph as those of a line; across the band it is centred in the widest.
fn turned(glyph: &Glyph, direction: Direction) -> Vec<Inked> {
    let (left, right) = extent(&glyph.points, |point| point.x);
    let inset = (FRAME - 1 - left - right).div_euclid(2);
    let inked = |point: &Point| match direction {
        Direction::Along => Inked {
            along: point.x,
            column: point.y,
        },
        Direction::Across => Inked {
            along: point.y,
            column: point.x + inset,
        },
    };
    glyph.points.iter().map(inked).collect()
}

/// Whether a glyph has fewer lines than half a capital.
fn is_point(glyph: &Glyph, alphabet: &Alphabet) -> bool {
    let (top, bottom) = extent(&glyph.points, |point| point.y);
    2 * (bottom - top + 1) < alphabet.lines
}

/// How far the next glyph moves on, so that its first bead is at `least` or beyond.
fn shift(line: &Line, glyph: &[Inked], alphabet: &Alphabet, least: i32) -> i32 {
    let spacing = Spacing::of(alphabet);
    let parity = glyph.first().map_or(0, |bead| bead.along + bead.column);
    let first = glyph.iter().map(|bead| bead.along).min().unwrap_or(0);
    if line.beads.is_empty() {
        return parity.rem_euclid(2) - first.div_euclid(2) * 2;
    }
    let before = edges(&line.beads, |one, other| one.max(other));
    let after = edges(glyph, |one, other| one.min(other));
    let lines = match alphabet.direction {
        Direction::Along => 0..alphabet.lines,
        Direction::Across => 0..FRAME,
    };
    let mut by = least - first;
    by += (by + parity).rem_euclid(2);
    while !is_clear(&before, &after, by) || is_tight(&before, &after, by, lines.clone(), &spacing) {
        by += 2;
    }
    by
}

/// The outermost bead of each column.
fn edges(beads: &[Inked], of: impl Fn(i32, i32) -> i32) -> BTreeMap<i32, i32> {
    let mut edges = BTreeMap::new();
    for bead in beads {
        let edge = edges.entry(bead.column).or_insert(bead.along);
        *edge = of(*edge, bead.along);
    }
    edges
}

/// Whether a bead of ground is between any two beads.
fn is_clear(before: &BTreeMap<i32, i32>, after: &BTreeMap<i32, i32>, by: i32) -> bool {
    after.iter().all(|(column, along)| {
        let far = |column: i32, least: i32| {
            let edge = before.get(&column);
            edge.is_none_or(|edge| along + by - edge >= least)
        };
        far(*column, 4) && far(column - 1, 3) && far(column + 1, 3)
    })
}

/// Whether the mean clear distance is too short.
fn is_tight(
    before: &BTreeMap<i32, i32>,
    after: &BTreeMap<i32, i32>,
    by: i32,
    lines: std::ops::Range<i32>,
    spacing: &Spacing,
) -> bool {
    let clear = |line: i32| match (before.get(&line), after.get(&line)) {
        (Some(edge), Some(along)) => (along + by - edge - 2).min(spacing.most),
        _ => spacing.most,
    };
    let count = f64::from(lines.len() as u32);
    let sum: i32 = lines.map(clear).sum();
    f64::from(sum) < spacing.mean * count
}
