//! A few stitches as beads and thread, read off the list of passes: thread that is there already is
//! pale, thread of this step is dark.
//!
//! Beads are drawn from the side. Inside a bead the thread is a thin dashed line, between beads a
//! thick one; where several passes share a hole they are drawn side by side. Rows are unrolled, so
//! that a seam is drawn as if the band went on.

mod thread;

use super::path::{Path, PathStep, Stroke, rounded};
use super::style::{Style, mix};
use super::{Anchor, Drawing, Figures, Item, Point, Text};
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::lattice::{Column, Lattice, Row};
use crate::request::WorkFrom;
use crate::units::Mm;
use crate::weave::{Pass, Weave};
use std::collections::{BTreeMap, HashSet};
use std::ops::RangeInclusive;
use thread::Thread;

/// Most width and most height that the beads of a drawing fill, in millimetres.
const WIDEST: f64 = 54.0;
const TALLEST: f64 = 68.0;
/// Least and greatest length of a bead as drawn, in millimetres.
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
pub struct StitchDiagram<'a> {
    /// The band.
    pub chart: &'a Chart,
    /// How it is woven.
    pub weave: &'a Weave,
    /// Thread that is there already.
    pub before: &'a [Pass],
    /// The passes of this step.
    pub now: &'a [Pass],
    /// Whether all beads are there; else those that are picked up by these passes, or before them.
    pub whole: bool,
    /// Most columns; of more, those where the needle starts are shown.
    pub columns: u32,
    /// Colour of the beads that are new.
    pub accent: Srgb8,
}

/// A position in the unrolled band.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
struct Position {
    /// A row counted on round the seam.
    level: i64,
    column: u32,
}

/// Draws the stitches.
pub fn draw_stitches(diagram: &StitchDiagram) -> Drawing {
    let view = View::of(diagram);
    let style = Style::on(None, 1.0);
    let mut items = view.beads(diagram, &style);
    let pale = mix(Srgb8::new(255, 255, 255), style.ink, 0.46);
    let mut used = BTreeMap::new();
    for step in view.before.iter().chain(&view.now) {
        *used.entry(step.position).or_insert(0usize) += 1;
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
    position: Position,
    forward: bool,
    caught: bool,
}

/// Which part of the unrolled band is shown, and how large.
struct View {
    lattice: Lattice,
    /// 1 where the work grows upwards, else -1.
    grows: f64,
    columns: RangeInclusive<u32>,
    levels: RangeInclusive<i64>,
    /// The beads that are drawn.
    there: HashSet<usize>,
    /// Those that are picked up in this step.
    fresh: HashSet<usize>,
    before: Vec<Step>,
    now: Vec<Step>,
    scale: f64,
}

impl View {
    fn of(diagram: &StitchDiagram) -> Self {
        let lattice = diagram.chart.lattice;
        let now = unrolled(&lattice, diagram.now.iter(), None);
        let anchor = now.first().map(|step| step.position.level);
        let mut before = unrolled(&lattice, diagram.before.iter().rev(), anchor);
        before.reverse();
        let columns = shown_columns(&lattice, &now, diagram.columns);
        let grows = match diagram.weave.frame.work_from() {
            WorkFrom::Bottom => 1,
            WorkFrom::Top => -1,
        };
        let levels = shown_levels(&now, grows);
        let picked = |passes: &[Pass]| -> HashSet<usize> {
            let picked = passes.iter().filter(|pass| pass.picked);
            picked.map(|pass| pass.bead).collect()
        };
        let fresh = picked(diagram.now);
        let across = WIDEST / f64::from(columns.end() + 1 - columns.start());
        let high = (levels.end() - levels.start() + 2) as f64 / 2.0;
        let down = TALLEST / high * (lattice.bead().length / lattice.bead().diameter);
        let long = across.min(down).clamp(LENGTH.0, LENGTH.1);
        let mut there = if diagram.whole {
            (0..lattice.len()).collect()
        } else {
            picked(diagram.before)
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

    /// The middle of a bead at a position, from the left and from the upper edge.
    fn centre(&self, at: Position) -> (f64, f64) {
        let (long, wide) = self.bead();
        let x = MARGIN + (f64::from(at.column - self.columns.start()) + 0.5) * long;
        let y = TOP + ((self.levels.end() - at.level) as f64 / 2.0 + 0.5) * wide;
        (x, y)
    }

    fn width(&self) -> Mm {
        let columns = f64::from(self.columns.end() + 1 - self.columns.start());
        Mm::new(columns * self.bead().0 + 2.0 * MARGIN)
    }

    fn height(&self) -> Mm {
        let levels = (self.levels.end() - self.levels.start()) as f64 / 2.0 + 1.0;
        Mm::new(levels * self.bead().1 + 2.0 * TOP)
    }

    /// The bead at a position, if it is there by now.
    fn at(&self, at: Position) -> Option<usize> {
        let rows = i64::from(self.lattice.rows());
        let row = if self.lattice.is_closed() {
            (at.level - 1).rem_euclid(rows) + 1
        } else {
            at.level
        };
        let row = u32::try_from(row).ok()?;
        let bead = self.lattice.index(Row::new(row), Column::new(at.column))?;
        self.there.contains(&bead).then_some(bead)
    }

    /// The beads that are shown, from the top down.
    fn shown(&self) -> impl Iterator<Item = (Position, usize)> + '_ {
        let levels = self.levels.clone().rev();
        levels.flat_map(move |level| {
            let positions = self
                .columns
                .clone()
                .map(move |column| Position { level, column });
            positions.filter_map(|at| Some((at, self.at(at)?)))
        })
    }

    fn beads(&self, diagram: &StitchDiagram, style: &Style) -> Vec<Item> {
        let white = Srgb8::new(255, 255, 255);
        let now: HashSet<Position> = self.now.iter().map(|step| step.position).collect();
        let outline = |at: Position, bead: usize| {
            let fresh = self.fresh.contains(&bead) && now.contains(&at);
            let (fill, line, thickness) = if fresh {
                (mix(white, diagram.accent, 0.34), diagram.accent, 0.35)
            } else {
                (
                    mix(white, style.ink, 0.06),
                    mix(white, style.ink, 0.34),
                    0.22,
                )
            };
            Item::Path(Path {
                steps: self.outline(at),
                fill: Some(fill),
                stroke: Some(Stroke {
                    thickness: Mm::new(thickness),
                    colour: line,
                    dash: None,
                }),
            })
        };
        self.shown().map(|(at, bead)| outline(at, bead)).collect()
    }

    /// The outline of a bead at a position.
    fn outline(&self, at: Position) -> Vec<PathStep> {
        let (long, wide) = self.bead();
        let gap = 0.05 * long.min(wide);
        let (x, y) = self.centre(at);
        let corner = Point::new(
            Mm::new(x - long / 2.0 + gap / 2.0),
            Mm::new(y - wide / 2.0 + gap / 2.0),
        );
        let (width, height) = (Mm::new(long - gap), Mm::new(wide - gap));
        rounded(corner, width, height, Mm::new(0.7))
    }

    /// Each level's row at the side where the band goes on, or where the needle does not turn.
    fn numbers(&self, style: &Style) -> Vec<Item> {
        let more_at_left = *self.columns.start() > 1;
        let more_at_right = *self.columns.end() < self.lattice.columns();
        let at_left = if more_at_left != more_at_right {
            more_at_left
        } else {
            self.now.last().is_none_or(|step| step.forward)
        };
        let size = Mm::new(2.0);
        let mut rows: BTreeMap<i64, u32> = BTreeMap::new();
        for (at, bead) in self.shown() {
            rows.insert(at.level, self.lattice.position(bead).0.get());
        }
        let (anchor, x) = if at_left {
            (Anchor::End, Mm::new(MARGIN - NUMBERS))
        } else {
            (Anchor::Start, self.width() - Mm::new(MARGIN - NUMBERS))
        };
        let number = |(level, row): (i64, u32)| {
            let column = *self.columns.start();
            let (_, y) = self.centre(Position { level, column });
            Item::Text(Text {
                anchor,
                figures: Figures::Tabular,
                colour: style.muted,
                ..style.text(x, Mm::new(y + 0.72), size, row.to_string())
            })
        };
        rows.into_iter().map(number).collect()
    }
}

/// Passes with their levels: the first near `anchor`, each other one the nearer way round from the
/// one before.
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
            position: Position {
                level,
                column: column.get(),
            },
            forward: pass.forward,
            caught: pass.caught,
        });
    }
    steps
}

/// The levels that are passed and those next to them.
fn shown_levels(now: &[Step], grows: i64) -> RangeInclusive<i64> {
    // A bridge lies between the edge beads two and four rows back.
    let bridged = now.iter().filter(|step| step.caught);
    let bridged = bridged.map(|step| step.position.level - 4 * grows);
    let levels = now.iter().map(|step| step.position.level).chain(bridged);
    let lowest = levels.clone().min().unwrap_or(1);
    let highest = levels.max().unwrap_or(1);
    lowest - 1..=highest + 1
}

/// The columns that are passed and those beside them, at most so many: of more, those near the
/// start.
fn shown_columns(lattice: &Lattice, now: &[Step], most: u32) -> RangeInclusive<u32> {
    let columns = now.iter().map(|step| step.position.column);
    let first = columns.clone().min().unwrap_or(1);
    let last = columns.max().unwrap_or(1);
    let first = first.saturating_sub(BESIDE).max(1);
    let last = (last + BESIDE).min(lattice.columns());
    if last - first < most {
        return first..=last;
    }
    let start = now.first().map_or(1, |step| step.position.column);
    if start - first <= last - start {
        first..=first + most - 1
    } else {
        last + 1 - most..=last
    }
}
