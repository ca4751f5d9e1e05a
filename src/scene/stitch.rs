//! A few stitches as beads and thread, read off the list of passes: what lies there already is pale, what is done now is dark.
//!
//! Beads are drawn from the side. Inside a bead the thread is a thin dashed line, between beads a thick one; where several passes share a hole they lie side by side.
//! Rows are unrolled, so that a seam is drawn as if the band went on.

mod thread;

use super::layout::{Style, between};
use super::part::Drawing;
use super::path::{Path, Stroke};
use super::{Anchor, Figures, Item, Text};
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::lattice::{Column, Lattice, Row};
use crate::units::Mm;
use crate::weave::{Pass, Start, Weave};
use std::collections::{BTreeMap, HashSet};
use thread::Thread;

/// Width and height that the beads of a drawing fill at most, and the least and the greatest length of a bead, in millimetres.
const ROOM: (f64, f64) = (54.0, 68.0);
const LENGTH: (f64, f64) = (5.0, 7.4);
/// Columns shown on either side of those that the needle passes.
const BESIDE: u32 = 2;
/// Room round the beads for the thread and the row numbers.
const MARGIN: f64 = 8.0;
/// The same above and below.
const TOP: f64 = 1.5;
/// From the beads to the row numbers, past the point of the arrow.
const NUMBERS: f64 = 4.4;

/// What is drawn.
#[derive(Debug, Clone, Copy)]
pub struct Stitch<'a> {
    /// The band.
    pub chart: &'a Chart,
    /// How it is woven.
    pub weave: &'a Weave,
    /// Thread that lies there already.
    pub before: &'a [Pass],
    /// What is done now.
    pub now: &'a [Pass],
    /// Whether all beads are there; else those that are picked up by these passes, or before them.
    pub whole: bool,
    /// Most columns; of more, those where the needle starts are shown.
    pub columns: u32,
    /// Colour of the beads that are new.
    pub accent: Srgb8,
}

/// A bead in the unrolled band: its column and its level, a row counted on round the seam.
type Place = (i64, u32);

/// Draws the stitches.
pub fn stitch(stitch: &Stitch) -> Drawing {
    let view = View::of(stitch);
    let style = Style::on(None, 1.0);
    let mut items = view.beads(stitch, &style);
    let pale = between(Srgb8::new(255, 255, 255), style.ink, 0.46);
    let mut used = BTreeMap::new();
    for place in view.before.iter().chain(&view.now) {
        *used.entry(place.place).or_insert(0usize) += 1;
    }
    let mut thread = Thread::new(&view, used);
    items.extend(thread.draw(&view.before, pale, false));
    items.extend(thread.draw(&view.now, style.ink, true));
    items.extend(view.numbers(&style));
    Drawing {
        width: view.width(),
        height: view.height(),
        items,
    }
}

/// A pass in the unrolled band.
#[derive(Debug, Clone, Copy)]
struct Step {
    place: Place,
    forward: bool,
    caught: bool,
}

/// Which part of the unrolled band is shown, and how large.
struct View {
    lattice: Lattice,
    /// 1 where the work grows upwards, else -1.
    grows: f64,
    columns: (u32, u32),
    levels: (i64, i64),
    there: HashSet<usize>,
    fresh: HashSet<usize>,
    before: Vec<Step>,
    now: Vec<Step>,
    scale: f64,
}

impl View {
    fn of(stitch: &Stitch) -> Self {
        let lattice = stitch.chart.lattice;
        let now = unrolled(&lattice, stitch.now.iter(), None);
        let anchor = now.first().map(|step| step.place.0);
        let mut before = unrolled(&lattice, stitch.before.iter().rev(), anchor);
        before.reverse();
        let columns = shown(&lattice, &now, stitch.columns);
        let grows = match stitch.weave.frame.start() {
            Start::Bottom => 1,
            Start::Top => -1,
        };
        // A bridge lies between the edge beads two and four rows back.
        let bridged = now.iter().filter(|step| step.caught);
        let bridged = bridged.map(|step| step.place.0 - 4 * grows);
        let levels = now.iter().map(|step| step.place.0).chain(bridged);
        let levels = (
            levels.clone().min().unwrap_or(1) - 1,
            levels.max().unwrap_or(1) + 1,
        );
        let picked = |passes: &[Pass]| -> HashSet<usize> {
            let picked = passes.iter().filter(|pass| pass.picked);
            picked.map(|pass| pass.bead).collect()
        };
        let fresh = picked(stitch.now);
        let across = ROOM.0 / f64::from(columns.1 + 1 - columns.0);
        let high = (levels.1 - levels.0 + 2) as f64 / 2.0;
        let down = ROOM.1 / high * (lattice.bead().length / lattice.bead().diameter);
        let long = across.min(down).clamp(LENGTH.0, LENGTH.1);
        let mut there = match stitch.whole {
            true => (0..lattice.len()).collect(),
            false => picked(stitch.before),
        };
        there.extend(&fresh);
        Self {
            lattice,
            grows: grows as f64,
            columns,
            levels,
            there,
            fresh,
            before,
            now,
            scale: long / lattice.bead().length.get(),
        }
    }

    /// Length and diameter of a bead as drawn.
    fn bead(&self) -> (f64, f64) {
        let bead = self.lattice.bead();
        (
            bead.length.get() * self.scale,
            bead.diameter.get() * self.scale,
        )
    }

    /// The middle of a place.
    fn centre(&self, (level, column): Place) -> (f64, f64) {
        let (long, wide) = self.bead();
        let x = MARGIN + (f64::from(column - self.columns.0) + 0.5) * long;
        let y = TOP + ((self.levels.1 - level) as f64 / 2.0 + 0.5) * wide;
        (x, y)
    }

    fn width(&self) -> Mm {
        let columns = f64::from(self.columns.1 + 1 - self.columns.0);
        Mm::new(columns * self.bead().0 + 2.0 * MARGIN)
    }

    fn height(&self) -> Mm {
        let levels = (self.levels.1 - self.levels.0) as f64 / 2.0 + 1.0;
        Mm::new(levels * self.bead().1 + 2.0 * TOP)
    }

    /// The bead at a place, if it is there by now.
    fn at(&self, (level, column): Place) -> Option<usize> {
        let rows = i64::from(self.lattice.rows());
        let row = match self.lattice.is_closed() {
            true => (level - 1).rem_euclid(rows) + 1,
            false => level,
        };
        let row = u32::try_from(row).ok()?;
        let bead = self.lattice.index(Row::new(row), Column::new(column))?;
        self.there.contains(&bead).then_some(bead)
    }

    fn places(&self) -> impl Iterator<Item = (Place, usize)> + '_ {
        (self.levels.0..=self.levels.1)
            .rev()
            .flat_map(move |level| {
                (self.columns.0..=self.columns.1)
                    .filter_map(move |column| Some(((level, column), self.at((level, column))?)))
            })
    }

    fn beads(&self, stitch: &Stitch, style: &Style) -> Vec<Item> {
        let (long, wide) = self.bead();
        let gap = 0.05 * long.min(wide);
        let white = Srgb8::new(255, 255, 255);
        let now: HashSet<Place> = self.now.iter().map(|step| step.place).collect();
        let mut items = Vec::new();
        for (place, bead) in self.places() {
            let (x, y) = self.centre(place);
            let fresh = self.fresh.contains(&bead) && now.contains(&place);
            let fill = match fresh {
                true => between(white, stitch.accent, 0.34),
                false => between(white, style.ink, 0.06),
            };
            let line = match fresh {
                true => stitch.accent,
                false => between(white, style.ink, 0.34),
            };
            let corner = (
                Mm::new(x - long / 2.0 + gap / 2.0),
                Mm::new(y - wide / 2.0 + gap / 2.0),
            );
            items.push(Item::Path(Path {
                steps: rounded(
                    corner,
                    Mm::new(long - gap),
                    Mm::new(wide - gap),
                    Mm::new(0.7),
                ),
                fill: Some(fill),
                stroke: Some(Stroke {
                    thickness: Mm::new(if fresh { 0.35 } else { 0.22 }),
                    colour: line,
                    dash: None,
                }),
            }));
        }
        items
    }

    /// Each level's row at the side where the band goes on, or where the needle does not turn.
    fn numbers(&self, style: &Style) -> Vec<Item> {
        let at_left = match (self.columns.0 > 1, self.columns.1 < self.lattice.columns()) {
            (true, false) => true,
            (false, true) => false,
            _ => self.now.last().is_none_or(|step| step.forward),
        };
        let size = Mm::new(2.0);
        let mut rows: BTreeMap<i64, u32> = BTreeMap::new();
        for ((level, _), bead) in self.places() {
            rows.insert(level, self.lattice.position(bead).0.get());
        }
        let x = match at_left {
            true => Mm::new(MARGIN - NUMBERS),
            false => self.width() - Mm::new(MARGIN - NUMBERS),
        };
        let number = |(level, row): (i64, u32)| {
            let (_, y) = self.centre((level, self.columns.0));
            Item::Text(Text {
                anchor: if at_left { Anchor::End } else { Anchor::Start },
                figures: Figures::Tabular,
                colour: style.muted,
                ..style.text(x, Mm::new(y + 0.72), size, row.to_string())
            })
        };
        rows.into_iter().map(number).collect()
    }
}

/// Passes with their levels: the first near `anchor`, each other one the nearer way round from the one before.
fn unrolled<'a>(
    lattice: &Lattice,
    passes: impl Iterator<Item = &'a Pass>,
    anchor: Option<i64>,
) -> Vec<Step> {
    let rows = i64::from(lattice.rows());
    let mut last = anchor;
    let mut steps = Vec::new();
    for pass in passes {
        let (row, column) = lattice.position(pass.bead);
        let mut level = i64::from(row.get());
        if let (Some(last), true) = (last, lattice.is_closed()) {
            // Round to the nearest whole turn, halves upwards.
            level += (2 * (last - level) + rows).div_euclid(2 * rows) * rows;
        }
        last = Some(level);
        steps.push(Step {
            place: (level, column.get()),
            forward: pass.forward,
            caught: pass.caught,
        });
    }
    steps
}

/// The columns that are passed and those beside them, at most so many: of more, those near the start.
fn shown(lattice: &Lattice, now: &[Step], most: u32) -> (u32, u32) {
    let columns = now.iter().map(|step| step.place.1);
    let first = columns.clone().min().unwrap_or(1);
    let last = columns.max().unwrap_or(1);
    let first = first.saturating_sub(BESIDE).max(1);
    let last = (last + BESIDE).min(lattice.columns());
    if last - first < most {
        return (first, last);
    }
    let start = now.first().map_or(1, |step| step.place.1);
    match start - first <= last - start {
        true => (first, first + most - 1),
        false => (last + 1 - most, last),
    }
}

/// A rectangle with round corners.
fn rounded((left, top): (Mm, Mm), width: Mm, height: Mm, r: Mm) -> Vec<super::PathStep> {
    use super::PathStep::{Close, Curve, Line, Move};
    let (right, bottom) = (left + width, top + height);
    let k = r * 0.448;
    vec![
        Move((left + r, top)),
        Line((right - r, top)),
        Curve((right - k, top), (right, top + k), (right, top + r)),
        Line((right, bottom - r)),
        Curve(
            (right, bottom - k),
            (right - k, bottom),
            (right - r, bottom),
        ),
        Line((left + r, bottom)),
        Curve((left + k, bottom), (left, bottom - k), (left, bottom - r)),
        Line((left, top + r)),
        Curve((left, top + k), (left + k, top), (left + r, top)),
        Close,
    ]
}
