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
    /// Sine and cosine of the angle of each row, from row 0 (that is row N) to row N + 1.
    angles: Vec<(f64, f64)>,
}

impl<'a> Band<'a> {
    /// The band of a closed chart, rolled by `turn` degrees so that row `N/2` faces `turn` degrees up.
    pub fn new(chart: &'a Chart, turn: f64) -> Self {
        let lattice = &chart.lattice;
        let bead = lattice.bead();
        let round = f64::from(lattice.rows() / 2);
        let pitch = Gauge::touching(bead).pitch().get();
        let (diameter, length) = (bead.diameter.get(), bead.length.get());
        let start = turn.to_radians() - TAU / 2.0;
        let angle = |row: u32| start + TAU * f64::from(row) / (2.0 * round);
        Self {
            chart,
            round,
            angles: (0..=lattice.rows() + 1)
                .map(|row| (libm::sin(angle(row)), libm::cos(angle(row))))
                .collect(),
            centre: pitch / (2.0 * libm::sin(std::f64::consts::PI / round)),
            half: (
                diameter / 2.0,
                length / 2.0,
                bead.hole.get() / 2.0,
                diameter.min(length) * ROUND,
            ),
            columns: f64::from(lattice.columns()),
            start,
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
        let (sine, cosine) = self.angles[row.get() as usize];
        v(
            (f64::from(column.get()) - 0.5) * 2.0 * self.half.1 - self.half_width(),
            self.centre * sine,
            self.centre * cosine,
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
        let mut cell = None;
        for _ in 0..cells {
            if far >= end {
                return None;
            }
            if let Some((into, out)) = hollow
                && far > into
                && far < out
            {
                far = out + TOUCH;
                cell = None;
                continue;
            }
            let place = ray.at(far);
            let here = match cell {
                Some(cell) if self.holds(&cell, place) => cell,
                _ => self.cell(place),
            };
            if let Some(hit) = self.hit_in(ray, &here, far) {
                return Some(hit);
            }
            (far, cell) = self.leave(ray, &here, far, hollow);
        }
        None
    }

    fn cell(&self, place: V) -> Cell {
        let column = ((place.x + self.half_width()) / (2.0 * self.half.1)).floor();
        let column = column.clamp(0.0, self.columns - 1.0) as u32 + 1;
        // Rows of the column's own parity, two half steps apart.
        let angle = (libm::atan2(place.y, place.z) - self.start) / TAU;
        let turns = angle - angle.floor();
        let odd = column % 2;
        let half = (turns * 2.0 * self.round - f64::from(odd)) / 2.0;
        Cell {
            row: self.round_to(2 * half.round() as i64 + i64::from(odd)),
            column,
        }
    }

    /// The row of this number, counted on round the ring.
    fn round_to(&self, row: i64) -> u32 {
        let rows = 2 * self.round as i64;
        (row - 1).rem_euclid(rows) as u32 + 1
    }

    /// Whether a place lies in a cell.
    fn holds(&self, cell: &Cell, place: V) -> bool {
        let x = (place.x + self.half_width()) / (2.0 * self.half.1);
        let column = f64::from(cell.column);
        column - 1.0 <= x
            && x < column
            && self.past(cell.row - 1, place) >= 0.0
            && self.past(cell.row + 1, place) < 0.0
    }

    /// How far a place lies past the half plane through the axis at a row, in millimetres; only its sign counts far from it.
    fn past(&self, row: u32, place: V) -> f64 {
        let (sine, cosine) = self.angles[row as usize];
        place.y * cosine - place.z * sine
    }

    /// Where a ray leaves a cell that it is in, and the cell that comes next unless it is the hollow.
    fn leave(
        &self,
        ray: &Ray,
        cell: &Cell,
        far: f64,
        hollow: Option<(f64, f64)>,
    ) -> (f64, Option<Cell>) {
        let (row, column) = (i64::from(cell.row), cell.column);
        let mut next = (f64::INFINITY, None);
        let mut consider = |at: f64, to: Option<(i64, u32)>| {
            if at > far && at < next.0 {
                next = (at, to);
            }
        };
        let (o, d) = (ray.from, ray.along);
        for (wall, beyond) in [(column - 1, column.wrapping_sub(1)), (column, column + 1)] {
            let x = f64::from(wall) * 2.0 * self.half.1 - self.half_width();
            consider((x - o.x) / d.x, Some((row, beyond)));
        }
        for (wall, beyond) in [(cell.row - 1, row - 2), (cell.row + 1, row + 2)] {
            let (sine, cosine) = self.angles[wall as usize];
            let (ny, nz) = (cosine, -sine);
            let at = -(o.y * ny + o.z * nz) / (d.y * ny + d.z * nz);
            consider(at, Some((beyond, column)));
        }
        if let Some((into, out)) = hollow {
            consider(into, None);
            consider(out, None);
        }
        let (at, to) = next;
        let far = at + TOUCH;
        let to = to.map(|(beyond, to)| {
            // The next column's rows lie half a bead up and down.
            let step = match to == column {
                true => 0,
                false if self.past(cell.row, ray.at(far)) < 0.0 => -1,
                false => 1,
            };
            Cell {
                row: self.round_to(beyond + step),
                column: to,
            }
        });
        (far, to)
    }

    fn hit_in(&self, ray: &Ray, cell: &Cell, from: f64) -> Option<Hit> {
        let (row, column) = (Row::new(cell.row), Column::new(cell.column));
        let bead = self.chart.lattice.index(row, column)?;
        let middle = self.middle(row, column);
        let own = Ray {
            from: ray.from - middle,
            along: ray.along,
        };
        let found = self.hit_bead(&own)?;
        // The cell was entered half a touch inside; a hit before that is the same bead.
        if found.far < from - 10.0 * TOUCH {
            return None;
        }
        let outward = (found.normal.x < 0.0 && cell.column == 1)
            || (found.normal.x > 0.0 && f64::from(cell.column) == self.columns);
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
        // The cylinder with sharp ends is met here; where they are round, the surface lies further in. The distance to a convex body is convex along a ray:
        // Newton's steps towards its zero never go too far.
        for _ in 0..40 {
            let place = ray.at(far);
            let across = (place.y * place.y + place.z * place.z).sqrt();
            let q = (across - (radius - round), place.x.abs() - (length - round));
            if q.0 <= 0.0 && q.1 <= round + TOUCH && across < hole {
                return self.hit_hole(ray, far);
            }
            let outside = (q.0.max(0.0), q.1.max(0.0));
            let out = (outside.0 * outside.0 + outside.1 * outside.1).sqrt();
            let apart = out + q.0.max(q.1).min(0.0) - round;
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
            let radial = (place.y * ray.along.y + place.z * ray.along.z) / across.max(1e-12);
            let along = ray.along.x * place.x.signum();
            let slope = (outside.0 * radial + outside.1 * along) / out;
            if slope >= 0.0 {
                return None;
            }
            far -= apart / slope;
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
#[derive(Debug, Clone, Copy)]
struct Cell {
    row: u32,
    column: u32,
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
    fn tried(band: &Band, ray: &Ray) -> Option<(f64, usize)> {
        let lattice = &band.chart.lattice;
        let hits = (0..lattice.len()).filter_map(|bead| {
            let (row, column) = lattice.position(bead);
            let own = Ray {
                from: ray.from - band.middle(row, column),
                along: ray.along,
            };
            Some((band.hit_bead(&own)?.far, bead))
        });
        hits.min_by(|one, other| one.0.total_cmp(&other.0))
    }

    /// Places spread evenly in a cube of side 2 about 0 (the R3 sequence of M. Roberts, "The unreasonable effectiveness of quasirandom sequences", 2018).
    fn spread(at: u32) -> V {
        let part = |step: f64| {
            let value = 0.5 + step * f64::from(at);
            2.0 * (value - value.floor()) - 1.0
        };
        v(part(0.819_172_5), part(0.671_043_6), part(0.549_700_5))
    }

    #[test]
    fn going_from_cell_to_cell_finds_what_trying_every_bead_finds() {
        for (columns, rows, turn) in [(9, 74, 0.0), (3, 6, 17.0), (4, 8, 100.0), (12, 20, -50.0)] {
            let chart = chart(columns, rows);
            let band = Band::new(&chart, turn);
            let (outer, half) = (band.outer(), band.half_width());
            let mut met = 0;
            for at in 1..=1500 {
                let from = spread(2 * at).unit() * 5.0 * (outer + half);
                let to = spread(2 * at + 1);
                let to = v(to.x * half, to.y * outer, to.z * outer);
                let ray = Ray {
                    from,
                    along: (to - from).unit(),
                };
                let found = band.hit(&ray);
                // What lies behind a hole is not looked for.
                if found.is_some_and(|hit| hit.hole > 0.0) {
                    continue;
                }
                let found = found.map(|hit| (hit.far, hit.bead));
                let wanted = tried(&band, &ray);
                met += usize::from(wanted.is_some());
                assert_eq!(found, wanted, "{columns} x {rows}, ray {at}");
            }
            assert!(met > 500, "{met}");
        }
    }
}
