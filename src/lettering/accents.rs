//! Accents on capitals: a letter keeps its height, and the accent takes columns above or below it.

use super::alphabet::{Accent, Glyph, Point, extent};
use super::{Alphabet, Direction};

/// U+030A: it rests on a letter that ends in one bead, as on A.
const RING: char = '\u{030A}';
/// U+0328: it hangs from the right foot of its letter.
const OGONEK: char = '\u{0328}';

/// The middle column of accents that are drawn for letters across the band.
const CENTRE: i32 = 2;

/// Clear lines between a letter and the accent above it.
const fn gap(direction: Direction) -> i32 {
    match direction {
        Direction::Along => 1,
        Direction::Across => 2,
    }
}

impl Alphabet {
    /// `base` with an accent; none if the alphabet does not have that one.
    pub(super) fn accented(&self, base: &Glyph, mark: char) -> Option<Glyph> {
        let accent = self.accents.get(&mark)?;
        let placed = if accent.is_above {
            self.above(base, mark, accent)
        } else {
            self.below(base, mark, accent)
        };
        let mut points = base.points.clone();
        points.extend(placed);
        points.sort_unstable();
        points.dedup();
        Some(Glyph { points })
    }

    fn above(&self, base: &Glyph, mark: char, accent: &Accent) -> Vec<Point> {
        let top = base.extent(|point| point.y).0;
        let is_pointed = base.points.iter().filter(|point| point.y == top).count() == 1;
        let gap = if mark == RING && is_pointed && self.direction == Direction::Along {
            0
        } else {
            gap(self.direction)
        };
        let (left, right) = base.extent(|point| point.x);
        let lines = |drawing: &Glyph| drawing.extent(|point| point.y).1 + 1;
        self.best(base, accent, left + right, |drawing| {
            top - gap - lines(drawing)
        })
    }

    fn below(&self, base: &Glyph, mark: char, accent: &Accent) -> Vec<Point> {
        let foot = base.extent(|point| point.y).1.min(self.lines - 1);
        let points = base.points.iter().copied();
        let last: Vec<Point> = points.filter(|point| point.y == foot).collect();
        let (left, right) = extent(&last, |point| point.x);
        match accent.drawings.first() {
            Some(drawing) if mark == OGONEK => {
                let upper = drawing.points.iter().filter(|point| point.y == 0);
                let end = upper.map(|point| point.x).max().unwrap_or(0);
                moved(drawing, right - 1 - end, foot + 1)
            }
            _ => self.best(base, accent, left + right, |_| foot + 1),
        }
    }

    /// The drawing that comes nearest to having its middle at half of `middle`, its first line at
    /// `line`. Across the band it keeps its columns, and moves away by a row where its beads
    /// would lie between beads.
    fn best(
        &self,
        base: &Glyph,
        accent: &Accent,
        middle: i32,
        line: impl Fn(&Glyph) -> i32,
    ) -> Vec<Point> {
        let parity = base.points.first().map_or(0, |point| point.parity());
        let placed = accent.drawings.iter().flat_map(|drawing| {
            let (left, right) = drawing.extent(|point| point.x);
            let y = line(drawing);
            let own = drawing.points.first().map_or(0, |point| point.parity());
            let from = (middle - left - right).div_euclid(2);
            let away = if accent.is_above { -1 } else { 1 };
            let across = (middle - 2 * CENTRE).div_euclid(2);
            let places: Vec<(i32, i32)> = match self.direction {
                Direction::Along => (from - 1..=from + 2).map(|x| (x, y)).collect(),
                Direction::Across => vec![(across, y), (across, y + away)],
            };
            let on_beads = places
                .into_iter()
                .filter(move |(x, y)| (x + y + own - parity) % 2 == 0);
            on_beads.map(move |(x, y)| ((2 * x + left + right - middle).abs(), x, y, drawing))
        });
        // Of equally good ones the first: further left.
        let best = placed.min_by_key(|&(off, ..)| off);
        best.map_or(Vec::new(), |(_, x, y, drawing)| moved(drawing, x, y))
    }
}

fn moved(drawing: &Glyph, x: i32, y: i32) -> Vec<Point> {
    let points = drawing.points.iter();
    points.map(|point| point.moved(x, y)).collect()
}
