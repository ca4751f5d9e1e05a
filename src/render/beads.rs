//! The beads on the ring, and which of them a ray hits first.
//!
//! Beads of one column stand round it like rollers, centres on the radius of the closing formula
//! (see [`crate::ring`]); every second column is shifted by half a bead. Each bead stays inside its
//! own cell, a piece of a slab between two half planes through the axis, so that the first bead hit
//! in the order of cells is the nearest.

use super::geometry::{Ray, Span, Vec3, intersect_cylinder, intersect_slab, vec3};
use crate::chart::Chart;
use crate::lattice::{Column, Row};
use std::f64::consts::TAU;

/// Radius of a bead's rounded ends, over the smaller side of the bead.
const ROUNDING: f64 = 0.13;
/// Width of a bead's rim that leads into the hole, over the hole's bore.
const RIM: f64 = 0.12;
/// A distance that counts as touching, in millimetres.
const TOUCH: f64 = 1e-4;

/// What a ray hits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hit {
    /// How far along the ray.
    pub distance: f64,
    /// The bead's index in lattice order.
    pub bead: usize,
    /// Where, in the ring's axes.
    pub point: Vec3,
    /// The surface's direction there, in the ring's axes.
    pub normal: Vec3,
    /// How deep in the bead's hole, in bores; 0 on the outside.
    pub hole_depth: f64,
    /// Whether it is the outer end of a bead at the band's edge.
    pub at_edge: bool,
}

/// One bead about its middle, in millimetres.
#[derive(Debug, Clone, Copy)]
struct BeadShape {
    radius: f64,
    half_length: f64,
    hole_radius: f64,
    /// Radius of its rounded ends.
    rounding: f64,
}

/// The beads of a closed band on their ring, in the ring's axes: x along its axis, z to the front,
/// y up.
#[derive(Debug, Clone)]
pub struct RingBeads<'a> {
    chart: &'a Chart,
    /// Beads round a column.
    round: f64,
    /// From the ring's axis to the beads' centres.
    centre_radius: f64,
    shape: BeadShape,
    columns: f64,
    /// Radians by which row N stands above the front.
    start: f64,
    /// Sine and cosine of the angle of each row, from row 0 (that is row N) to row N + 1.
    angles: Vec<(f64, f64)>,
}

impl<'a> RingBeads<'a> {
    /// The beads of a closed chart, rolled so that row `N/2` faces `roll` degrees up.
    pub fn new(chart: &'a Chart, roll: f64) -> Self {
        let lattice = &chart.lattice;
        let bead = lattice.bead();
        let round = f64::from(lattice.rows() / 2);
        let spacing = bead.diameter.get();
        let (diameter, length) = (bead.diameter.get(), bead.length.get());
        let start = roll.to_radians() - TAU / 2.0;
        let angle = |row: u32| start + TAU * f64::from(row) / (2.0 * round);
        Self {
            chart,
            round,
            angles: (0..=lattice.rows() + 1)
                .map(|row| (libm::sin(angle(row)), libm::cos(angle(row))))
                .collect(),
            centre_radius: spacing / (2.0 * libm::sin(std::f64::consts::PI / round)),
            shape: BeadShape {
                radius: diameter / 2.0,
                half_length: length / 2.0,
                hole_radius: bead.hole.get() / 2.0,
                rounding: diameter.min(length) * ROUNDING,
            },
            columns: f64::from(lattice.columns()),
            start,
        }
    }

    /// From the axis to the outermost points of the beads.
    pub fn outer_radius(&self) -> f64 {
        self.centre_radius + self.shape.radius
    }

    /// From the axis to the innermost points of the beads.
    pub fn inner_radius(&self) -> f64 {
        self.centre_radius - self.shape.radius
    }

    /// Half the band's width.
    pub fn half_width(&self) -> f64 {
        self.columns * self.shape.half_length
    }

    /// The middle of the bead at `(row, column)`.
    pub fn middle(&self, row: Row, column: Column) -> Vec3 {
        let (sine, cosine) = self.angles[row.get() as usize];
        vec3(
            (f64::from(column.get()) - 0.5) * 2.0 * self.shape.half_length - self.half_width(),
            self.centre_radius * sine,
            self.centre_radius * cosine,
        )
    }

    /// The first bead that a ray hits.
    pub fn hit(&self, ray: &Ray) -> Option<Hit> {
        let slab = intersect_slab(ray, self.half_width())?;
        let tube = intersect_cylinder(ray, self.outer_radius())?;
        let end = slab.exit.min(tube.exit);
        let mut distance = slab.entry.max(tube.entry).max(0.0) + TOUCH;
        let hollow = intersect_cylinder(ray, self.inner_radius());
        let cells = 8 * (self.columns + self.round) as usize;
        let mut cell = None;
        for _ in 0..cells {
            if distance >= end {
                return None;
            }
            if let Some(hollow) = hollow
                && distance > hollow.entry
                && distance < hollow.exit
            {
                distance = hollow.exit + TOUCH;
                cell = None;
                continue;
            }
            let point = ray.at(distance);
            let here = match cell {
                Some(cell) if self.holds(&cell, point) => cell,
                _ => self.cell(point),
            };
            if let Some(hit) = self.hit_in(ray, &here, distance) {
                return Some(hit);
            }
            (distance, cell) = self.leave(ray, &here, distance, hollow);
        }
        None
    }

    fn cell(&self, point: Vec3) -> Cell {
        let column = (point.x + self.half_width()) / (2.0 * self.shape.half_length);
        let column = column.floor();
        let column = column.clamp(0.0, self.columns - 1.0) as u32 + 1;
        // Rows of the column's own parity, two half steps apart.
        let angle = (libm::atan2(point.y, point.z) - self.start) / TAU;
        let turns = angle - angle.floor();
        let odd = column % 2;
        let half = (turns * 2.0 * self.round - f64::from(odd)) / 2.0;
        Cell {
            row: self.wrapped(2 * half.round() as i64 + i64::from(odd)),
            column,
        }
    }

    /// The row of this number, counted on round the ring.
    fn wrapped(&self, row: i64) -> u32 {
        let rows = 2 * self.round as i64;
        (row - 1).rem_euclid(rows) as u32 + 1
    }

    /// Whether a point lies in a cell.
    fn holds(&self, cell: &Cell, point: Vec3) -> bool {
        let x = (point.x + self.half_width()) / (2.0 * self.shape.half_length);
        let column = f64::from(cell.column);
        column - 1.0 <= x
            && x < column
            && self.past(cell.row - 1, point) >= 0.0
            && self.past(cell.row + 1, point) < 0.0
    }

    /// How far a point lies past the half plane through the axis at a row, in millimetres; only its
    /// sign counts far from it.
    fn past(&self, row: u32, point: Vec3) -> f64 {
        let (sine, cosine) = self.angles[row as usize];
        point.y * cosine - point.z * sine
    }

    /// Where a ray leaves a cell that it is in, and the cell that comes next unless it is the
    /// hollow.
    fn leave(
        &self,
        ray: &Ray,
        cell: &Cell,
        distance: f64,
        hollow: Option<Span>,
    ) -> (f64, Option<Cell>) {
        let (row, column) = (i64::from(cell.row), cell.column);
        let mut next = (f64::INFINITY, None);
        let mut consider = |at: f64, to: Option<(i64, u32)>| {
            if at > distance && at < next.0 {
                next = (at, to);
            }
        };
        let (o, d) = (ray.origin, ray.direction);
        for (wall, beyond) in [(column - 1, column.wrapping_sub(1)), (column, column + 1)] {
            let x = f64::from(wall) * 2.0 * self.shape.half_length - self.half_width();
            consider((x - o.x) / d.x, Some((row, beyond)));
        }
        for (wall, beyond) in [(cell.row - 1, row - 2), (cell.row + 1, row + 2)] {
            let (sine, cosine) = self.angles[wall as usize];
            let (ny, nz) = (cosine, -sine);
            let at = -(o.y * ny + o.z * nz) / (d.y * ny + d.z * nz);
            consider(at, Some((beyond, column)));
        }
        if let Some(hollow) = hollow {
            consider(hollow.entry, None);
            consider(hollow.exit, None);
        }
        let (at, to) = next;
        let distance = at + TOUCH;
        let to = to.map(|(beyond, to)| {
            // The next column's rows lie half a bead up and down.
            let step = if to == column {
                0
            } else if self.past(cell.row, ray.at(distance)) < 0.0 {
                -1
            } else {
                1
            };
            Cell {
                row: self.wrapped(beyond + step),
                column: to,
            }
        });
        (distance, to)
    }

    fn hit_in(&self, ray: &Ray, cell: &Cell, from: f64) -> Option<Hit> {
        let (row, column) = (Row::new(cell.row), Column::new(cell.column));
        let bead = self.chart.lattice.index(row, column)?;
        let middle = self.middle(row, column);
        let own = Ray {
            origin: ray.origin - middle,
            direction: ray.direction,
        };
        let found = self.shape.hit(&own)?;
        // The cell was entered half a touch inside; a hit before that is the same bead.
        if found.distance < from - 10.0 * TOUCH {
            return None;
        }
        let outward = (found.normal.x < 0.0 && cell.column == 1)
            || (found.normal.x > 0.0 && f64::from(cell.column) == self.columns);
        Some(Hit {
            bead,
            point: found.point + middle,
            at_edge: outward,
            ..found
        })
    }
}

/// The cell of one bead.
#[derive(Debug, Clone, Copy)]
struct Cell {
    row: u32,
    column: u32,
}

/// How far a point is past the centre of the rounding at a bead's end; 0 where it is not.
#[derive(Debug, Clone, Copy)]
struct Beyond {
    /// Away from the bead's axis.
    radial: f64,
    /// Along the axis.
    axial: f64,
}

impl Beyond {
    fn length(&self) -> f64 {
        (self.radial * self.radial + self.axial * self.axial).sqrt()
    }
}

impl BeadShape {
    /// A ray and a bead with its middle at 0: a cylinder about x with rounded ends and a hole.
    fn hit(&self, ray: &Ray) -> Option<Hit> {
        let tube = intersect_cylinder(ray, self.radius)?;
        let slab = intersect_slab(ray, self.half_length)?;
        let end = tube.exit.min(slab.exit);
        let mut distance = tube.entry.max(slab.entry);
        if distance >= end {
            return None;
        }
        // The cylinder with sharp ends is met here; where they are round, the surface lies further
        // in. The distance to a convex body is convex along a ray: Newton's steps towards its zero
        // never go too far.
        for _ in 0..40 {
            let point = ray.at(distance);
            let across = (point.y * point.y + point.z * point.z).sqrt();
            let radial = across - (self.radius - self.rounding);
            let axial = point.x.abs() - (self.half_length - self.rounding);
            if radial <= 0.0 && axial <= self.rounding + TOUCH && across < self.hole_radius {
                return self.hit_hole(ray, distance);
            }
            let beyond = Beyond {
                radial: radial.max(0.0),
                axial: axial.max(0.0),
            };
            let out = beyond.length();
            let apart = out + radial.max(axial).min(0.0) - self.rounding;
            if apart < TOUCH {
                return Some(Hit {
                    distance,
                    bead: 0,
                    point,
                    normal: self.normal(point, across, &beyond),
                    hole_depth: 0.0,
                    at_edge: false,
                });
            }
            let d = ray.direction;
            let outwards = (point.y * d.y + point.z * d.z) / across.max(1e-12);
            let along = d.x * point.x.signum();
            let slope = (beyond.radial * outwards + beyond.axial * along) / out;
            if slope >= 0.0 {
                return None;
            }
            distance -= apart / slope;
            if distance >= end {
                return None;
            }
        }
        None
    }

    /// The surface's direction at a point that is `across` from the bead's axis.
    fn normal(&self, point: Vec3, across: f64, beyond: &Beyond) -> Vec3 {
        let length = beyond.length().max(1e-12);
        let radial = vec3(
            0.0,
            point.y / across.max(1e-12),
            point.z / across.max(1e-12),
        );
        let end = vec3(point.x.signum(), 0.0, 0.0);
        let normal = radial * (beyond.radial / length) + end * (beyond.axial / length);
        // The rim leads into the hole.
        let hole = self.hole_radius;
        let rim = ((across - hole) / (2.0 * hole * RIM)).clamp(0.0, 1.0);
        if beyond.radial <= 0.0 && rim < 1.0 {
            (end * (0.35 + 0.65 * rim) - radial * (1.0 - rim)).unit()
        } else {
            normal.unit()
        }
    }

    /// A ray that goes into the hole meets its wall, or leaves at the other end.
    fn hit_hole(&self, ray: &Ray, from: f64) -> Option<Hit> {
        let (length, hole) = (self.half_length, self.hole_radius);
        let distance = intersect_cylinder(ray, hole)?.exit.max(from);
        let point = ray.at(distance);
        // What lies behind the other end is another bead's hole, as dark as this one's end.
        let depth = if point.x.abs() > length {
            2.0 * length
        } else {
            (length - point.x.abs()).max(0.0).min(2.0 * length)
        };
        let across = (point.y * point.y + point.z * point.z).sqrt().max(1e-12);
        Some(Hit {
            distance,
            bead: 0,
            point,
            normal: vec3(0.0, -point.y / across, -point.z / across),
            hole_depth: (depth / (2.0 * hole)).max(0.05),
            at_edge: false,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bead::Bead;
    use crate::chart::Made;
    use crate::lattice::{Lattice, Rows};

    fn chart(columns: u32, rows: u32) -> Chart {
        let rows = Rows::closed(rows).expect("rows");
        let lattice = Lattice::new(Bead::default(), columns, rows).expect("a lattice");
        Chart {
            beads: vec![0; lattice.len()],
            lattice,
            colours: vec![],
            made: Made::default(),
            title: None,
            notes: None,
        }
    }

    /// The nearest of what the ray hits, every bead tried.
    fn nearest(beads: &RingBeads, ray: &Ray) -> Option<(f64, usize)> {
        let lattice = &beads.chart.lattice;
        let hits = (0..lattice.len()).filter_map(|bead| {
            let (row, column) = lattice.position(bead);
            let own = Ray {
                origin: ray.origin - beads.middle(row, column),
                direction: ray.direction,
            };
            Some((beads.shape.hit(&own)?.distance, bead))
        });
        hits.min_by(|one, other| one.0.total_cmp(&other.0))
    }

    /// Points spread evenly in a cube of side 2 about 0 (the R3 sequence of M. Roberts, "The
    /// unreasonable effectiveness of quasirandom sequences", 2018).
    fn spread(at: u32) -> Vec3 {
        let part = |step: f64| {
            let value = 0.5 + step * f64::from(at);
            2.0 * (value - value.floor()) - 1.0
        };
        vec3(part(0.819_172_5), part(0.671_043_6), part(0.549_700_5))
    }

    #[test]
    fn going_from_cell_to_cell_finds_what_trying_every_bead_finds() {
        for (columns, rows, roll) in [(9, 74, 0.0), (3, 6, 17.0), (4, 8, 100.0), (12, 20, -50.0)] {
            let chart = chart(columns, rows);
            let beads = RingBeads::new(&chart, roll);
            let (outer, half) = (beads.outer_radius(), beads.half_width());
            let mut met = 0;
            for at in 1..=1500 {
                let from = spread(2 * at).unit() * 5.0 * (outer + half);
                let to = spread(2 * at + 1);
                let to = vec3(to.x * half, to.y * outer, to.z * outer);
                let ray = Ray {
                    origin: from,
                    direction: (to - from).unit(),
                };
                let found = beads.hit(&ray);
                // Behind a hole no other bead is looked for.
                if found.is_some_and(|hit| hit.hole_depth > 0.0) {
                    continue;
                }
                let found = found.map(|hit| (hit.distance, hit.bead));
                let wanted = nearest(&beads, &ray);
                met += usize::from(wanted.is_some());
                assert_eq!(found, wanted, "{columns} x {rows}, ray {at}");
            }
            assert!(met > 500, "{met}");
        }
    }
}
