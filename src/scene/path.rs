//! Lines and curves: thread, arrows, marks.

use super::Point;
use crate::colour::Srgb8;
use crate::units::Mm;

/// One step of the pen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PathStep {
    /// Lifts the pen and sets it down there.
    Move(Point),
    /// Straight on.
    Line(Point),
    /// A cubic curve: two control points, then its end.
    Curve(Point, Point, Point),
    /// Straight back to where the pen was set down.
    Close,
}

/// How a path is drawn: round ends, round corners.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// How thick.
    pub thickness: Mm,
    /// Its colour.
    pub colour: Srgb8,
    /// Length of dashes and of the gaps between them; none is a whole line.
    pub dash: Option<Mm>,
}

/// Lines and curves, filled or drawn or both.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// The steps of the pen; the first is a move.
    pub steps: Vec<PathStep>,
    /// What is inside.
    pub fill: Option<Srgb8>,
    /// The line along it.
    pub stroke: Option<Stroke>,
}

impl Path {
    /// A line along `steps`.
    pub fn drawn(steps: Vec<PathStep>, thickness: Mm, colour: Srgb8) -> Self {
        Self {
            steps,
            fill: None,
            stroke: Some(Stroke {
                thickness,
                colour,
                dash: None,
            }),
        }
    }

    /// The inside of `steps`.
    pub fn filled(steps: Vec<PathStep>, fill: Srgb8) -> Self {
        Self {
            steps,
            fill: Some(fill),
            stroke: None,
        }
    }

    /// The outline of a rectangle, from its upper left corner.
    pub fn rectangle(corner: Point, width: Mm, height: Mm) -> Vec<PathStep> {
        let none = Mm::new(0.0);
        vec![
            PathStep::Move(corner),
            PathStep::Line(corner.shifted(width, none)),
            PathStep::Line(corner.shifted(width, height)),
            PathStep::Line(corner.shifted(none, height)),
            PathStep::Close,
        ]
    }

    /// Straight lines through `points`.
    pub fn through(points: &[Point]) -> Vec<PathStep> {
        let step = |(at, point): (usize, &Point)| match at {
            0 => PathStep::Move(*point),
            _ => PathStep::Line(*point),
        };
        points.iter().enumerate().map(step).collect()
    }

    /// A whole circle.
    pub fn circle(centre: Point, radius: Mm) -> Vec<PathStep> {
        Self::ellipse(centre, radius, radius)
    }

    /// A whole ellipse, its axes upright and level.
    pub fn ellipse(centre: Point, across: Mm, down: Mm) -> Vec<PathStep> {
        /// Control point of a quarter circle: 4/3 (sqrt 2 - 1), the usual cubic approximation.
        const QUARTER: f64 = 0.552_284_8;
        let (a, b) = (across * QUARTER, down * QUARTER);
        let (none, at) = (Mm::new(0.0), |x, y| centre.shifted(x, y));
        vec![
            PathStep::Move(at(across, none)),
            PathStep::Curve(at(across, b), at(a, down), at(none, down)),
            PathStep::Curve(at(-a, down), at(-across, b), at(-across, none)),
            PathStep::Curve(at(-across, -b), at(-a, -down), at(none, -down)),
            PathStep::Curve(at(a, -down), at(across, -b), at(across, none)),
            PathStep::Close,
        ]
    }
}

/// A rectangle with round corners, from its upper left corner.
pub(super) fn rounded(corner: Point, width: Mm, height: Mm, r: Mm) -> Vec<PathStep> {
    use PathStep::{Close, Curve, Line, Move};
    let (left, top) = (corner.x, corner.y);
    let (right, bottom) = (left + width, top + height);
    let (k, at) = (r * 0.448, Point::new);
    vec![
        Move(at(left + r, top)),
        Line(at(right - r, top)),
        Curve(at(right - k, top), at(right, top + k), at(right, top + r)),
        Line(at(right, bottom - r)),
        Curve(
            at(right, bottom - k),
            at(right - k, bottom),
            at(right - r, bottom),
        ),
        Line(at(left + r, bottom)),
        Curve(
            at(left + k, bottom),
            at(left, bottom - k),
            at(left, bottom - r),
        ),
        Line(at(left, top + r)),
        Curve(at(left, top + k), at(left + k, top), at(left + r, top)),
        Close,
    ]
}
