//! The first beads on their thread, before anything stands up: the stopper bead at the tail, the
//! strung beads in a line, and the first stitches of the row after them.

use super::path::{Path, PathStep, Stroke, rounded};
use super::style::{Style, mix};
use super::{Anchor, Drawing, Figures, Item, Point, Text};
use crate::colour::Srgb8;
use crate::units::Mm;

/// Length and thickness of a bead as drawn, in millimetres.
const LONG: f64 = 5.0;
const THICK: f64 = 5.6;
/// Most beads of the line that are drawn; of more, as many at the far end, and two at the stopper.
const MOST: usize = 9;
/// From the stopper bead to the first one.
const GAP: f64 = 3.6;
/// The tail that is drawn, and the room at the other end.
const TAIL: f64 = 8.0;
const ROOM: f64 = 7.0;
/// Stitches of the next row that are drawn.
const STITCHES: usize = 2;

/// What is drawn.
#[derive(Debug, Clone, Copy)]
pub struct StrungLine {
    /// How many beads are strung.
    pub beads: usize,
    /// Whether they are strung towards the right.
    pub to_right: bool,
    /// Whether the work grows up the page.
    pub up: bool,
    /// Colour of the beads that are new.
    pub accent: Srgb8,
}

/// Draws the line, the stopper bead with its tail, and the first stitches of the next row.
pub fn draw_strung_line(line: &StrungLine) -> Drawing {
    Layout::of(line).draw()
}

/// Where things are, counted from the tail; mirrored only when they are written down.
struct Layout<'a> {
    line: &'a StrungLine,
    style: Style,
    /// The nth bead from the stopper that each drawn bead is; a gap is none.
    shown: Vec<Option<usize>>,
}

impl<'a> Layout<'a> {
    fn of(line: &'a StrungLine) -> Self {
        let all = 0..line.beads;
        let shown = if line.beads <= MOST {
            all.map(Some).collect()
        } else {
            let far = all.clone().skip(line.beads - (MOST - 3));
            all.take(2)
                .map(Some)
                .chain([None])
                .chain(far.map(Some))
                .collect()
        };
        Self {
            line,
            style: Style::on(None, 1.0),
            shown,
        }
    }

    fn width(&self) -> f64 {
        TAIL + LONG + GAP + self.shown.len() as f64 * LONG + ROOM
    }

    /// A point so far from the tail's end, and so far towards where the work grows from the line.
    fn at(&self, along: f64, out: f64) -> Point {
        let x = if self.line.to_right {
            along
        } else {
            self.width() - along
        };
        let y = if self.line.up {
            1.7 * THICK - out
        } else {
            1.1 * THICK + out
        };
        Point::new(Mm::new(x), Mm::new(y))
    }

    /// The middle of the nth drawn bead of the line.
    fn middle(&self, nth: usize) -> f64 {
        TAIL + LONG + GAP + (nth as f64 + 0.5) * LONG
    }

    fn draw(&self) -> Drawing {
        let mut items = Vec::new();
        items.extend(self.stopper());
        for (nth, bead) in self.shown.iter().enumerate() {
            match bead {
                Some(_) => items.push(self.bead(self.middle(nth), 0.0, false)),
                None => items.extend(self.dots(nth)),
            }
        }
        for stitch in 0..self.stitches() {
            items.push(self.bead(self.middle(self.new_bead(stitch)), THICK, true));
        }
        items.push(self.thread_of_line());
        items.extend(self.thread_of_stitches());
        items.extend(self.words());
        Drawing {
            width: Mm::new(self.width()),
            height: Mm::new(2.8 * THICK),
            items,
        }
    }

    fn stitches(&self) -> usize {
        STITCHES.min(self.shown.len() / 2)
    }

    /// Below which bead of the line, counted as drawn, a new bead lies.
    fn new_bead(&self, stitch: usize) -> usize {
        self.shown.len() - 1 - 2 * stitch
    }

    fn bead(&self, along: f64, out: f64, fresh: bool) -> Item {
        let white = Srgb8::new(255, 255, 255);
        let (fill, line, thickness) = if fresh {
            (mix(white, self.line.accent, 0.34), self.line.accent, 0.35)
        } else {
            let ink = self.style.ink;
            (mix(white, ink, 0.06), mix(white, ink, 0.34), 0.22)
        };
        let middle = self.at(along, out);
        let corner = middle.shifted(Mm::new(0.12 - LONG / 2.0), Mm::new(0.12 - THICK / 2.0));
        let (width, height) = (Mm::new(LONG - 0.24), Mm::new(THICK - 0.24));
        Item::Path(Path {
            steps: rounded(corner, width, height, Mm::new(0.7)),
            fill: Some(fill),
            stroke: Some(Stroke {
                thickness: Mm::new(thickness),
                colour: line,
                dash: None,
            }),
        })
    }

    /// The stopper bead with the thread that goes through it a second time, and the tail.
    fn stopper(&self) -> Vec<Item> {
        let middle = TAIL + LONG / 2.0;
        let bead = self.bead(middle, 0.0, false);
        let (near, far) = (middle - LONG / 2.0, middle + LONG / 2.0);
        let round = vec![
            PathStep::Move(self.at(far, 0.5)),
            PathStep::Curve(
                self.at(far + 2.2, 0.9),
                self.at(far + 1.0, -0.86 * THICK),
                self.at(middle, -0.72 * THICK),
            ),
            PathStep::Curve(
                self.at(near - 1.4, -0.62 * THICK),
                self.at(near - 1.8, -0.5),
                self.at(near, -0.5),
            ),
        ];
        let tail = vec![
            PathStep::Move(self.at(near, 0.5)),
            PathStep::Curve(
                self.at(near - 3.0, 0.5),
                self.at(3.6, -2.6),
                self.at(0.6, -0.8),
            ),
        ];
        let through = [0.5, -0.5].map(|out| [self.at(near, out), self.at(far, out)]);
        let through = through
            .iter()
            .flat_map(|ends| Path::through(ends))
            .collect();
        let colour = self.thread_colour();
        vec![
            bead,
            dashed(through, colour),
            Item::Path(Path::drawn(round, Mm::new(0.52), colour)),
            Item::Path(Path::drawn(tail, Mm::new(0.52), colour)),
        ]
    }

    /// Thread that is there already.
    fn thread_colour(&self) -> Srgb8 {
        mix(Srgb8::new(255, 255, 255), self.style.ink, 0.46)
    }

    fn dots(&self, nth: usize) -> Vec<Item> {
        let dot = |at: f64| {
            let centre = self.at(self.middle(nth) + at, 0.0);
            Item::Path(Path::filled(
                Path::circle(centre, Mm::new(0.4)),
                self.style.muted,
            ))
        };
        [-1.3, 0.0, 1.3].map(dot).to_vec()
    }

    /// Through the strung beads, from the stopper bead to the last one.
    fn thread_of_line(&self) -> Item {
        let mut steps = Vec::new();
        let first = self.middle(0) - LONG / 2.0;
        steps.extend(Path::through(&[
            self.at(first - GAP, -0.5),
            self.at(first, 0.0),
        ]));
        for (nth, _) in self
            .shown
            .iter()
            .enumerate()
            .filter(|(_, bead)| bead.is_some())
        {
            let middle = self.middle(nth);
            let ends = [middle - LONG / 2.0, middle + LONG / 2.0];
            steps.extend(Path::through(&ends.map(|along| self.at(along, 0.0))));
        }
        dashed(steps, self.thread_colour())
    }

    /// Out of the last bead, through a new bead, skip one, through the next, and so on.
    fn thread_of_stitches(&self) -> Vec<Item> {
        let ink = self.style.ink;
        let last = self.middle(self.shown.len() - 1) + LONG / 2.0;
        let start = self.at(last, 0.0);
        let mut outside = vec![
            PathStep::Move(start),
            PathStep::Curve(
                self.at(last + 3.4, 0.0),
                self.at(last + 3.4, THICK),
                self.at(last, THICK),
            ),
        ];
        let mut inside = Vec::new();
        let mut end = self.at(last, 0.0);
        for stitch in 0..self.stitches() {
            let new = self.middle(self.new_bead(stitch));
            let (enter, leave) = (new + LONG / 2.0, new - LONG / 2.0);
            inside.extend(Path::through(&[
                self.at(enter, THICK),
                self.at(leave, THICK),
            ]));
            let through = [leave, leave - LONG].map(|along| self.at(along, 0.9));
            outside.push(PathStep::Move(self.at(leave, THICK)));
            outside.push(PathStep::Curve(
                self.at(leave - 1.6, THICK),
                self.at(leave + 1.6, 0.9),
                through[0],
            ));
            inside.extend(Path::through(&through));
            end = through[1];
            if stitch + 1 < self.stitches() {
                let next = leave - LONG;
                outside.push(PathStep::Move(end));
                outside.push(PathStep::Curve(
                    self.at(next - 1.6, 0.9),
                    self.at(next + 1.6, THICK),
                    self.at(next, THICK),
                ));
            }
        }
        let dot = Path::circle(start, Mm::new(0.72));
        let mut items = vec![
            dashed(inside, ink),
            Item::Path(Path::drawn(outside, Mm::new(0.52), ink)),
            Item::Path(Path::filled(dot, ink)),
        ];
        items.extend(self.arrow(end));
        items
    }

    /// The needle goes on from there, up between two beads.
    fn arrow(&self, from: Point) -> Vec<Item> {
        let ahead = if self.line.to_right { -1.0 } else { 1.0 };
        let on = if self.line.up { -1.0 } else { 1.0 };
        let point = |x: f64, y: f64| from.shifted(Mm::new(ahead * x), Mm::new(on * y));
        let shaft = vec![
            PathStep::Move(from),
            PathStep::Curve(point(1.2, 0.0), point(1.0, 1.6), point(1.4, 2.6)),
        ];
        let head = Path::through(&[point(1.9, 4.6), point(0.6, 2.9), point(2.4, 2.4)]);
        vec![
            Item::Path(Path::drawn(shaft, Mm::new(0.52), self.style.ink)),
            Item::Path(Path::filled(head, self.style.ink)),
        ]
    }

    /// Below the beads: tail and stopper bead.
    fn words(&self) -> Vec<Item> {
        let word = |along: f64, words: &str| {
            let at = self.at(along, -0.5 * THICK);
            let down = if self.line.up { 2.9 } else { -1.4 };
            Item::Text(Text {
                anchor: Anchor::Middle,
                figures: Figures::Running,
                colour: self.style.muted,
                ..self
                    .style
                    .text(at.x, at.y + Mm::new(down), Mm::new(2.2), words)
            })
        };
        vec![
            word(1.8, "tail"),
            word(TAIL + LONG / 2.0 + 2.6, "stopper bead"),
        ]
    }
}

/// Thread inside beads.
fn dashed(steps: Vec<PathStep>, colour: Srgb8) -> Item {
    Item::Path(Path {
        steps,
        fill: None,
        stroke: Some(Stroke {
            thickness: Mm::new(0.26),
            colour,
            dash: Some(Mm::new(0.62)),
        }),
    })
}
