//! The beads on the ring, and which of them a ray hits first.
//!
//! Beads of one column stand round it like rollers, centres on the radius of the closing formula (see [`crate::ring`]); every second column is shifted by
//! half a bead. Each bead stays inside its own cell, a piece of a slab between two half planes through the axis, so that the first bead hit in the order of
//! cells is the nearest.

use super::space::{Ray, V, through_cylinder, through_slab, v};
use crate::chart::Chart;
use crate::lattice::{Column, Row};
use crate::ring::Gauge;
use std::f64::consts::TAU;

/// Radius of a bead's rounded ends, over the smaller side of the bead.
const ROUND: f64 = 0.13;
/// Width of a bead's rim that leads into the hole, over the hole's bore.
const LIP: f64 = 0.12;
/// A distance that counts as touching, in millimetres.
const TOUCH: f64 = 1e-4;

/// What a ray hits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hit {
    /// How far along the ray.
    pub far: f64,
    /// The bead's place in lattice order.
    pub bead: usize,
    /// Where, in the ring's axes.
    pub place: V,
    /// The surface's direction there, in the ring's axes.
    pub normal: V,
    /// How deep in the bead's hole, in bores; 0 on the outside.
    pub hole: f64,
    /// Whether it is the outer end of a bead at the band's edge.
    pub edge: bool,
}

/// The beads of a closed band on their ring, in the ring's axes: x along its axis, z to the front, y up.
#[derive(Debug, Clone)]
pub struct Band<'a> {
    chart: &'a Chart,
    /// Beads round a column.
    round: f64,
    /// From the ring's axis to the beads' centres.
    centre: f64,
    /// Half a bead's diameter, half its length, half its bore, radius of its ends.
    half: (f64, f64, f64, f64),
    columns: f64,
    /// Radians by which row N stands above the front.
    start: f64,
}

impl<'a> Band<'a> {
    /// The band of a closed chart, rolled by `turn` degrees so that row `N/2` faces `turn` degrees up.
    pub fn new(chart: &'a Chart, turn: f64) -> Self {
        let lattice = &chart.lattice;
        let bead = lattice.bead();
        let round = f64::from(lattice.rows() / 2);
        let pitch = Gauge::touching(bead).pitch().get();
        let (diameter, length) = (bead.diameter.get(), bead.length.get());
        Self {
            chart,
            round,
            centre: pitch / (2.0 * libm::sin(std::f64::consts::PI / round)),
            half: (
                diameter / 2.0,
                length / 2.0,
                bead.hole.get() / 2.0,
                diameter.min(length) * ROUND,
            ),
            columns: f64::from(lattice.columns()),
            start: turn.to_radians() - TAU / 2.0,
        }
    }

    /// From the axis to the outermost points of the beads.
    pub fn outer(&self) -> f64 {
        self.centre + self.half.0
    }

    /// From the axis to the innermost points of the beads.
    pub fn inner(&self) -> f64 {
        self.centre - self.half.0
    }

    /// Half the band's width.
    pub fn half_width(&self) -> f64 {
        self.columns * self.half.1
    }

    /// The middle of the bead at `(row, column)`.
    pub fn middle(&self, row: Row, column: Column) -> V {
        let angle = self.start + TAU * f64::from(row.get()) / (2.0 * self.round);
        v(
            (f64::from(column.get()) - 0.5) * 2.0 * self.half.1 - self.half_width(),
            self.centre * libm::sin(angle),
            self.centre * libm::cos(angle),
        )
    }

    /// The first bead that a ray hits.
    pub fn hit(&self, ray: &Ray) -> Option<Hit> {
        let (in_slab, out_slab) = through_slab(ray, self.half_width())?;
        let (in_tube, out_tube) = through_cylinder(ray, self.outer())?;
        let end = out_slab.min(out_tube);
        let mut far = in_slab.max(in_tube).max(0.0) + TOUCH;
        let hollow = through_cylinder(ray, self.inner());
        let cells = 8 * (self.columns + self.round) as usize;
        for _ in 0..cells {
            if far >= end {
                return None;
            }
            if let Some((into, out)) = hollow
                && far > into
                && far < out
            {
                far = out + TOUCH;
                continue;
            }
            let place = ray.at(far);
            let cell = self.cell(place);
            if let Some(hit) = self.hit_in(ray, &cell, far) {
                return Some(hit);
            }
            far = self.leave(ray, &cell, far);
        }
        None
    }

    fn cell(&self, place: V) -> Cell {
        let column = ((place.x + self.half_width()) / (2.0 * self.half.1)).floor();
        let column = column.clamp(0.0, self.columns - 1.0) as u32 + 1;
        // Rows of the column's own parity, two half steps apart.
        let angle = (libm::atan2(place.y, place.z) - self.start) / TAU;
        let turns = angle - angle.floor();
        let rows = 2 * self.round as u32;
        let odd = column % 2;
        let half = (turns * 2.0 * self.round - f64::from(odd)) / 2.0;
        let row = (2 * half.round() as i64 + i64::from(odd)).rem_euclid(i64::from(rows)) as u32;
        let row = if row == 0 { rows } else { row };
        Cell {
            row: Row::new(row),
            column: Column::new(column),
        }
    }

    /// Where a ray leaves a cell that it is in.
    fn leave(&self, ray: &Ray, cell: &Cell, far: f64) -> f64 {
        let (row, column) = (f64::from(cell.row.get()), f64::from(cell.column.get()));
        let mut next = f64::INFINITY;
        let mut consider = |at: f64| {
            if at > far && at < next {
                next = at;
            }
        };
        let (o, d) = (ray.from, ray.along);
        for wall in [column - 1.0, column] {
            consider((wall * 2.0 * self.half.1 - self.half_width() - o.x) / d.x);
        }
        for wall in [row - 1.0, row + 1.0] {
            let angle = self.start + TAU * wall / (2.0 * self.round);
            let (ny, nz) = (libm::cos(angle), -libm::sin(angle));
            consider(-(o.y * ny + o.z * nz) / (d.y * ny + d.z * nz));
        }
        if let Some((into, out)) = through_cylinder(ray, self.inner()) {
            consider(into);
            consider(out);
        }
        next + TOUCH
    }

    fn hit_in(&self, ray: &Ray, cell: &Cell, from: f64) -> Option<Hit> {
        let bead = self.chart.lattice.index(cell.row, cell.column)?;
        let middle = self.middle(cell.row, cell.column);
        let own = Ray {
            from: ray.from - middle,
            along: ray.along,
        };
        let found = self.hit_bead(&own)?;
        // The cell was entered half a touch inside; a hit before that is the same bead.
        if found.far < from - 10.0 * TOUCH {
            return None;
        }
        let outward = (found.normal.x < 0.0 && cell.column.get() == 1)
            || (found.normal.x > 0.0 && f64::from(cell.column.get()) == self.columns);
        Some(Hit {
            bead,
            place: found.place + middle,
            edge: outward,
            ..found
        })
    }

    /// A ray and one bead with its middle at 0: a cylinder about x with rounded ends and a hole.
    fn hit_bead(&self, ray: &Ray) -> Option<Hit> {
        let (radius, length, hole, round) = self.half;
        let (in_tube, out_tube) = through_cylinder(ray, radius)?;
        let (in_slab, out_slab) = through_slab(ray, length)?;
        let end = out_tube.min(out_slab);
        let mut far = in_tube.max(in_slab);
        if far >= end {
            return None;
        }
        // The cylinder with sharp ends is met here; where they are round, the surface lies further in: sphere tracing.
        for _ in 0..40 {
            let place = ray.at(far);
            let across = (place.y * place.y + place.z * place.z).sqrt();
            let q = (across - (radius - round), place.x.abs() - (length - round));
            if q.0 <= 0.0 && q.1 <= round + TOUCH && across < hole {
                return self.hit_hole(ray, far);
            }
            let outside = (q.0.max(0.0), q.1.max(0.0));
            let apart = (outside.0 * outside.0 + outside.1 * outside.1).sqrt()
                + q.0.max(q.1).min(0.0)
                - round;
            if apart < TOUCH {
                return Some(Hit {
                    far,
                    bead: 0,
                    place,
                    normal: self.normal(place, across, outside),
                    hole: 0.0,
                    edge: false,
                });
            }
            far += apart;
            if far >= end {
                return None;
            }
        }
        None
    }

    fn normal(&self, place: V, across: f64, outside: (f64, f64)) -> V {
        let length = (outside.0 * outside.0 + outside.1 * outside.1)
            .sqrt()
            .max(1e-12);
        let radial = v(
            0.0,
            place.y / across.max(1e-12),
            place.z / across.max(1e-12),
        );
        let end = v(place.x.signum(), 0.0, 0.0);
        let normal = radial * (outside.0 / length) + end * (outside.1 / length);
        // The rim leads into the hole.
        let hole = self.half.2;
        let lip = ((across - hole) / (2.0 * hole * LIP)).clamp(0.0, 1.0);
        match outside.0 <= 0.0 && lip < 1.0 {
            true => (end * (0.35 + 0.65 * lip) - radial * (1.0 - lip)).unit(),
            false => normal.unit(),
        }
    }

    /// A ray that goes into the hole meets its wall, or leaves at the other end.
    fn hit_hole(&self, ray: &Ray, from: f64) -> Option<Hit> {
        let (_, length, hole, _) = self.half;
        let (_, out) = through_cylinder(ray, hole)?;
        let place = ray.at(out.max(from));
        // What lies behind the other end is another bead's hole, as dark as this one's end.
        let deep = (length - place.x.abs()).max(0.0).min(2.0 * length);
        let deep = if place.x.abs() > length {
            2.0 * length
        } else {
            deep
        };
        let across = (place.y * place.y + place.z * place.z).sqrt().max(1e-12);
        Some(Hit {
            far: out.max(from),
            bead: 0,
            place,
            normal: v(0.0, -place.y / across, -place.z / across),
            hole: (deep / (2.0 * hole)).max(0.05),
            edge: false,
        })
    }
}

/// The place of one bead.
struct Cell {
    row: Row,
    column: Column,
}
