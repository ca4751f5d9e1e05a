//! The thread through the beads: straight inside them, curved between them, round the bridge where that is caught.

use super::{Place, Step, View};
use crate::colour::Srgb8;
use crate::scene::Item;
use crate::scene::path::{Path, PathStep, Stroke};
use crate::units::Mm;
use std::collections::BTreeMap;

/// How far inside a bead the thread begins to bend, over the bead's length.
const INSET: f64 = 0.13;
/// Room that the passes of a hole share, over the bead's diameter, and most of it between two.
const SHARED: (f64, f64) = (0.56, 0.17);
/// Thickness outside and inside beads.
const THICK: (f64, f64) = (0.52, 0.26);

type Point = (f64, f64);

fn mm((x, y): Point) -> (Mm, Mm) {
    (Mm::new(x), Mm::new(y))
}

/// Draws passes in order, each beside those of the same hole before it.
pub(super) struct Thread<'a> {
    view: &'a View,
    /// Passes of each hole, and how many are drawn.
    all: BTreeMap<Place, usize>,
    done: BTreeMap<Place, usize>,
}

/// A pass as it is drawn: where it enters and leaves, and its way.
#[derive(Debug, Clone, Copy)]
struct Run {
    enter: Point,
    leave: Point,
    way: f64,
}

impl<'a> Thread<'a> {
    pub(super) fn new(view: &'a View, all: BTreeMap<Place, usize>) -> Self {
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
            inside.push(PathStep::Move(mm(run.enter)));
            inside.push(PathStep::Line(mm(run.leave)));
            if let Some(Some(before)) = at.checked_sub(1).map(|at| runs[at]) {
                outside.push(PathStep::Move(mm(before.leave)));
                match steps[at].caught {
                    true => outside.extend(self.round_bridge(&before, run)),
                    false => outside.push(joined(&before, run)),
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
            items.push(line(inside, THICK.1, Some(0.62)));
        }
        if !outside.is_empty() {
            items.push(line(outside, THICK.0, None));
        }
        items
    }

    /// None outside the columns that are shown.
    fn run(&mut self, step: &Step) -> Option<Run> {
        let view = self.view;
        let done = self.done.entry(step.place).or_insert(0);
        let nth = *done;
        *done += 1;
        let (level, column) = step.place;
        let shown = (view.columns.0..=view.columns.1).contains(&column)
            && (view.levels.0..=view.levels.1).contains(&level);
        if !shown {
            return None;
        }
        let (long, wide) = view.bead();
        let count = self.all.get(&step.place).copied().unwrap_or(1);
        let apart = (SHARED.0 / count as f64).min(SHARED.1) * wide;
        let (x, y) = view.centre(step.place);
        // The first pass lies where the work comes from.
        let y = y - (nth as f64 - (count as f64 - 1.0) / 2.0) * apart * view.grows;
        let way = if step.forward { 1.0 } else { -1.0 };
        let reach = long * (0.5 - INSET) * way;
        Some(Run {
            enter: (x - reach, y),
            leave: (x + reach, y),
            way,
        })
    }

    /// Out of the new bead, under the bridge below it from outside, and back.
    fn round_bridge(&self, before: &Run, run: &Run) -> Vec<PathStep> {
        let (_, wide) = self.view.bead();
        let edge = before.leave.0 + INSET * self.view.bead().0 * before.way;
        let (way, down) = (before.way, wide * self.view.grows);
        let at = before.leave.1 + 1.5 * down;
        let point = |out: f64, below: f64| mm((edge + way * out * wide, at + below * down));
        vec![
            PathStep::Curve(point(0.75, -1.45), point(0.85, -0.3), point(0.42, -0.16)),
            PathStep::Curve(point(0.16, -0.08), point(0.08, 0.18), point(0.3, 0.2)),
            PathStep::Curve(point(1.0, 0.26), point(1.15, -1.2), mm(run.enter)),
        ]
    }

    fn ends(&self, runs: &[Option<Run>], colour: Srgb8) -> Vec<Item> {
        let mut items = Vec::new();
        if let Some(Some(first)) = runs.first() {
            let (x, y) = first.enter;
            items.push(Item::Path(Path::filled(
                Path::circle(mm((x, y)), Mm::new(0.72)),
                colour,
            )));
        }
        if let Some(last) = runs.iter().rev().flatten().next() {
            let (x, y) = last.leave;
            let long = self.view.bead().0;
            let tip = x + last.way * (INSET * long + 2.9);
            let back = tip - last.way * 1.9;
            items.push(Item::Path(Path::drawn(
                Path::through(&[mm((x, y)), mm((back, y))]),
                Mm::new(THICK.0),
                colour,
            )));
            items.push(Item::Path(Path::filled(
                Path::through(&[mm((tip, y)), mm((back, y - 0.95)), mm((back, y + 0.95))]),
                colour,
            )));
        }
        items
    }
}

/// From one bead into the next: an S where the way stays the same, a loop where it turns.
fn joined(before: &Run, run: &Run) -> PathStep {
    let (from, to) = (before.leave, run.enter);
    let reach = match before.way == run.way {
        true => ((to.0 - from.0).abs() * 0.6).max(0.5),
        false => 0.6 * (to.1 - from.1).abs() + 1.0,
    };
    PathStep::Curve(
        mm((from.0 + before.way * reach, from.1)),
        mm((to.0 - run.way * reach, to.1)),
        mm(to),
    )
}
