//! The thread through the beads: straight inside them, curved between them, round the bridge where
//! that is caught.

use super::{Position, Step, View};
use crate::colour::Srgb8;
use crate::scene::path::{Path, PathStep, Stroke};
use crate::scene::{Item, Point};
use crate::units::Mm;
use std::collections::BTreeMap;

/// How far inside a bead the thread begins to bend, over the bead's length.
const INSET: f64 = 0.13;
/// Room that the passes of a hole share, over the bead's diameter.
const SHARED: f64 = 0.56;
/// Most of it between two passes.
const MOST_APART: f64 = 0.17;
/// Thickness outside beads.
const OUTSIDE: f64 = 0.52;
/// Thickness inside beads.
const INSIDE: f64 = 0.26;

fn mm(x: f64, y: f64) -> Point {
    Point::new(Mm::new(x), Mm::new(y))
}

/// Draws passes in order, each beside those of the same hole before it.
pub(super) struct Thread<'a> {
    view: &'a View,
    /// Passes of each hole, and how many are drawn.
    all: BTreeMap<Position, usize>,
    done: BTreeMap<Position, usize>,
}

/// A pass as it is drawn, level through its bead.
#[derive(Debug, Clone, Copy)]
struct Run {
    /// Where it enters, from the left edge.
    enter: f64,
    /// Where it leaves.
    leave: f64,
    /// From the upper edge.
    y: f64,
    /// 1 to the right, -1 to the left.
    direction: f64,
}

impl<'a> Thread<'a> {
    pub(super) fn new(view: &'a View, all: BTreeMap<Position, usize>) -> Self {
        Self {
            view,
            all,
            done: BTreeMap::new(),
        }
    }

    /// The thread of `steps`; with `ends` a dot where it begins and an arrow where it goes on.
    pub(super) fn draw(&mut self, steps: &[Step], colour: Srgb8, ends: bool) -> Vec<Item> {
        let runs: Vec<Option<Run>> = steps.iter().map(|step| self.run(step)).collect();
        let mut outside = Vec::new();
        let mut inside = Vec::new();
        for (at, run) in runs.iter().enumerate() {
            let Some(run) = run else { continue };
            inside.push(PathStep::Move(mm(run.enter, run.y)));
            inside.push(PathStep::Line(mm(run.leave, run.y)));
            if let Some(Some(before)) = at.checked_sub(1).map(|at| runs[at]) {
                outside.push(PathStep::Move(mm(before.leave, before.y)));
                if steps[at].caught {
                    outside.extend(self.round_bridge(&before, run));
                } else {
                    outside.push(joined(&before, run));
                }
            }
        }
        let line = |steps: Vec<PathStep>, thickness: f64, dash: Option<f64>| {
            Item::Path(Path {
                steps,
                fill: None,
                stroke: Some(Stroke {
                    thickness: Mm::new(thickness),
                    colour,
                    dash: dash.map(Mm::new),
                }),
            })
        };
        let mut items = Vec::new();
        if ends {
            items.extend(self.ends(&runs, colour));
        }
        if !inside.is_empty() {
            items.push(line(inside, INSIDE, Some(0.62)));
        }
        if !outside.is_empty() {
            items.push(line(outside, OUTSIDE, None));
        }
        items
    }

    /// None outside the columns that are shown.
    fn run(&mut self, step: &Step) -> Option<Run> {
        let view = self.view;
        let at = step.position;
        let done = self.done.entry(at).or_insert(0);
        let nth = *done;
        *done += 1;
        if !(view.columns.contains(&at.column) && view.levels.contains(&at.level)) {
            return None;
        }
        let (long, wide) = view.bead();
        let count = self.all.get(&at).copied().unwrap_or(1);
        let apart = (SHARED / count as f64).min(MOST_APART) * wide;
        let (x, y) = view.centre(at);
        // The first pass is drawn on the side that the work comes from.
        let y = y - (nth as f64 - (count as f64 - 1.0) / 2.0) * apart * view.grows;
        let direction = if step.forward { 1.0 } else { -1.0 };
        let reach = long * (0.5 - INSET) * direction;
        Some(Run {
            enter: x - reach,
            leave: x + reach,
            y,
            direction,
        })
    }

    /// Out of the new bead, under the bridge below it from outside, and back.
    fn round_bridge(&self, before: &Run, run: &Run) -> Vec<PathStep> {
        let (_, wide) = self.view.bead();
        let edge = before.leave + INSET * self.view.bead().0 * before.direction;
        let (direction, down) = (before.direction, wide * self.view.grows);
        let at = before.y + 1.5 * down;
        let point = |out: f64, below: f64| mm(edge + direction * out * wide, at + below * down);
        vec![
            PathStep::Curve(point(0.75, -1.45), point(0.85, -0.3), point(0.42, -0.16)),
            PathStep::Curve(point(0.16, -0.08), point(0.08, 0.18), point(0.3, 0.2)),
            PathStep::Curve(point(1.0, 0.26), point(1.15, -1.2), mm(run.enter, run.y)),
        ]
    }

    fn ends(&self, runs: &[Option<Run>], colour: Srgb8) -> Vec<Item> {
        let mut items = Vec::new();
        if let Some(Some(first)) = runs.first() {
            let dot = Path::circle(mm(first.enter, first.y), Mm::new(0.72));
            items.push(Item::Path(Path::filled(dot, colour)));
        }
        if let Some(last) = runs.iter().rev().flatten().next() {
            let (x, y) = (last.leave, last.y);
            let long = self.view.bead().0;
            let tip = x + last.direction * (INSET * long + 2.9);
            let back = tip - last.direction * 1.9;
            let shaft = Path::through(&[mm(x, y), mm(back, y)]);
            let head = Path::through(&[mm(tip, y), mm(back, y - 0.95), mm(back, y + 0.95)]);
            items.push(Item::Path(Path::drawn(shaft, Mm::new(OUTSIDE), colour)));
            items.push(Item::Path(Path::filled(head, colour)));
        }
        items
    }
}

/// From one bead into the next: an S where the direction stays the same, a loop where it turns.
fn joined(before: &Run, run: &Run) -> PathStep {
    let reach = if before.direction == run.direction {
        ((run.enter - before.leave).abs() * 0.6).max(0.5)
    } else {
        0.6 * (run.y - before.y).abs() + 1.0
    };
    PathStep::Curve(
        mm(before.leave + before.direction * reach, before.y),
        mm(run.enter - run.direction * reach, run.y),
        mm(run.enter, run.y),
    )
}
