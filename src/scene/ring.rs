//! A closed band as a ring, drawn with lines: each bead a cylinder in its place on the circle of the fit, seen from the side and a little from above.
//!
//! Parallel projection. What is further away is drawn first; each bead has a body, a light stripe, a dark one, and the end that faces the eye with its hole.

use super::layout::between;
use super::part::Drawing;
use super::path::{Path, PathStep};
use super::{
    Item,
    PathStep::{Close, Curve, Line, Move},
};
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::units::Mm;
use std::f64::consts::PI;

/// How far the ring is turned about the upright axis and tipped towards the eye, in radians.
const TURNED: (f64, f64) = (0.52, 0.20);
/// Beads up to which each has its stripes.
const DETAILED: usize = 900;
/// Control point of a quarter of an ellipse: 4/3 (sqrt 2 - 1), the usual cubic approximation.
const QUARTER: f64 = 0.552_284_8;

/// Draws the ring, `wide` and at most `high`; `radius` is that of the circle through the beads' centres. The row `front` faces the eye.
pub fn ring(chart: &Chart, radius: Mm, (wide, high): (Mm, Mm), front: f64) -> Drawing {
    let eye = Eye::new();
    let lattice = &chart.lattice;
    let (rows, half) = (
        f64::from(lattice.rows()),
        f64::from(lattice.columns()) / 2.0,
    );
    let (length, diameter) = (lattice.bead().length.get(), lattice.bead().diameter.get());
    let mut beads: Vec<Bead> = (0..lattice.len())
        .map(|at| {
            let (row, column) = lattice.position(at);
            let angle = (f64::from(row.get()) - front) / rows * 2.0 * PI;
            let along = (f64::from(column.get()) - 0.5 - half) * length;
            let out = (libm::sin(angle), libm::cos(angle));
            let middle = [along, radius.get() * out.0, radius.get() * out.1];
            let (x, y, depth) = eye.sees(middle);
            Bead {
                x,
                y,
                depth,
                colour: chart.colours[usize::from(chart.beads[at])].srgb,
                faces: eye.sees([0.0, out.0, out.1]).2,
                up: out.0,
            }
        })
        .collect();
    // Of beads as far away the order is that of the lattice: sorting is stable.
    beads.sort_by(|a, b| a.depth.total_cmp(&b.depth));
    let reach = |value: fn(&Bead) -> f64| {
        let all = beads.iter().map(value);
        all.fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)))
    };
    let room = (length + diameter) * 0.62;
    let (x, y) = (reach(|b| b.x), reach(|b| b.y));
    let (across, down) = (x.1 - x.0 + 2.0 * room, y.1 - y.0 + 2.0 * room);
    let scale = (wide.get() / across).min(high.get() / down);
    let place = |bead: &Bead| ((bead.x - x.0 + room) * scale, (bead.y - y.0 + room) * scale);
    let drawn = Cylinder {
        half: length / 2.0 * scale * 0.97,
        radius: diameter / 2.0 * scale * 0.97,
        hole: lattice.bead().hole.get() / 2.0 * scale,
        eye,
        detailed: lattice.len() <= DETAILED,
    };
    let mut items = Vec::new();
    for bead in &beads {
        drawn.draw(place(bead), bead, &mut items);
    }
    Drawing {
        width: Mm::new(across * scale),
        height: Mm::new(down * scale),
        items,
    }
}

struct Bead {
    x: f64,
    y: f64,
    depth: f64,
    colour: Srgb8,
    /// How much its outer side faces the eye, -1 to 1.
    faces: f64,
    /// How much its outer side looks up.
    up: f64,
}

/// The eye: what is along the finger, upwards and towards it becomes right, down and depth.
#[derive(Clone, Copy)]
struct Eye {
    turn: (f64, f64),
    tip: (f64, f64),
}

impl Eye {
    fn new() -> Self {
        let pair = |angle| (libm::sin(angle), libm::cos(angle));
        Self {
            turn: pair(TURNED.0),
            tip: pair(TURNED.1),
        }
    }

    fn sees(&self, [along, up, near]: [f64; 3]) -> (f64, f64, f64) {
        let x = along * self.turn.1 - near * self.turn.0;
        let depth = along * self.turn.0 + near * self.turn.1;
        let y = up * self.tip.1 - depth * self.tip.0;
        (x, -y, depth * self.tip.1 + up * self.tip.0)
    }
}

struct Cylinder {
    half: f64,
    radius: f64,
    hole: f64,
    eye: Eye,
    detailed: bool,
}

impl Cylinder {
    fn draw(&self, (x, y): (f64, f64), bead: &Bead, items: &mut Vec<Item>) {
        let (ax, ay, toward) = self.eye.sees([1.0, 0.0, 0.0]);
        let flat = (ax * ax + ay * ay).sqrt();
        // Along the hole as seen, and across it, upwards.
        let (t, n) = ((ax / flat, ay / flat), (ay / flat, -ax / flat));
        let frame = Frame {
            origin: (x, y),
            t,
            n,
        };
        let (h, r) = (self.half * flat, self.radius);
        let minor = r * toward.abs();
        // From above and from the left; the inside of the ring is in its own shade.
        let light = match bead.faces > 0.0 {
            true => 0.10 * bead.up + 0.16 * bead.faces - 0.10,
            false => -0.34 - 0.12 * bead.up,
        };
        let base = shaded(bead.colour, light);
        let fill = |steps: Vec<PathStep>, colour| Item::Path(Path::filled(steps, colour));
        items.push(fill(frame.body(h, r, minor), base));
        if self.detailed {
            items.push(fill(frame.stripe(h, -r, -0.42 * r), shaded(base, -0.22)));
            if bead.faces > 0.0 {
                let shine = shaded(base, 0.2 + 0.2 * bead.up.max(0.0));
                items.push(fill(frame.stripe(h, 0.3 * r, 0.62 * r), shine));
            }
        }
        items.push(fill(frame.end(h, r, minor), shaded(base, -0.16)));
        let hole = self.hole;
        items.push(fill(
            frame.end(h, hole, hole * toward.abs()),
            shaded(base, -0.62),
        ));
    }
}

/// Lighter (towards white) or darker (towards black) by a share of the way.
fn shaded(colour: Srgb8, by: f64) -> Srgb8 {
    let (to, share) = match by > 0.0 {
        true => (Srgb8::new(255, 255, 255), by),
        false => (Srgb8::new(12, 12, 20), -by),
    };
    between(colour, to, share)
}

/// A bead's own axes on the drawing: along its hole and across it.
struct Frame {
    origin: (f64, f64),
    t: (f64, f64),
    n: (f64, f64),
}

impl Frame {
    fn at(&self, along: f64, across: f64) -> (Mm, Mm) {
        (
            Mm::new(self.origin.0 + along * self.t.0 + across * self.n.0),
            Mm::new(self.origin.1 + along * self.t.1 + across * self.n.1),
        )
    }

    /// Half an ellipse round the end at `along`, from one side to the other, outwards by `minor`.
    fn half_round(&self, along: f64, from: f64, minor: f64) -> [PathStep; 2] {
        let (a, b) = (from * QUARTER, minor * QUARTER);
        [
            Curve(
                self.at(along + b, from),
                self.at(along + minor, a),
                self.at(along + minor, 0.0),
            ),
            Curve(
                self.at(along + minor, -a),
                self.at(along + b, -from),
                self.at(along, -from),
            ),
        ]
    }

    fn body(&self, h: f64, r: f64, minor: f64) -> Vec<PathStep> {
        let mut steps = vec![Move(self.at(-h, r)), Line(self.at(h, r))];
        steps.extend(self.half_round(h, r, minor));
        steps.push(Line(self.at(-h, -r)));
        steps.extend(self.half_round(-h, -r, -minor));
        steps.push(Close);
        steps
    }

    fn stripe(&self, h: f64, from: f64, to: f64) -> Vec<PathStep> {
        vec![
            Move(self.at(-h, from)),
            Line(self.at(h, from)),
            Line(self.at(h, to)),
            Line(self.at(-h, to)),
            Close,
        ]
    }

    /// The end that faces the eye.
    fn end(&self, h: f64, r: f64, minor: f64) -> Vec<PathStep> {
        let mut steps = vec![Move(self.at(h, r))];
        steps.extend(self.half_round(h, r, minor));
        steps.extend(self.half_round(h, -r, -minor));
        steps.push(Close);
        steps
    }
}
