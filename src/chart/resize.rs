//! The same design with another number of rows: rows are added or removed in pairs, away from the
//! motif.
//!
//! Rows of a closed band are a ring. A *plain stretch* is a run of rows in which each row equals
//! the second row after it: all one colour, or two rows that alternate. Between its ends any pair
//! of rows can be added or removed without changing how it looks. What lies between plain stretches
//! is the motif, which stays bead for bead, moved round the band by an even number of rows at most:
//! so left and right stay as they were.
//!
//! A band that repeats is resized as one repeat, which is then repeated as often as before; one
//! whose repeat has no plain stretch, by whole repeats. A band that is mirrored end to end stays
//! so, since stretches that are mirror images of each other change together. The axis goes through
//! the middle of the motif, as before; whether it goes through the last row of the chart too
//! depends on the count.

mod rows;
mod sizes;

pub use sizes::{Planned, SizeGap, plan};

use super::Chart;
use crate::error::{Error, Result};
use crate::lattice::{FEWEST_CLOSED, Lattice, MOST_ROWS, Row, Rows};
use rows::Ring;

/// Fewest rows that a plain stretch keeps: with fewer, the beads on both sides of it would touch.
pub const KEPT: u32 = 2;

/// The size that a chart was resized for, in the record of how it was made.
const RECORDED: &str = "graded";

/// A run of plain rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stretch {
    /// Its first row in the chart.
    pub first: Row,
    /// How many rows it has; it may run on over the seam.
    pub rows: u32,
}

impl Stretch {
    /// Its last row, on a band of `rows` rows.
    pub fn last(&self, rows: u32) -> Row {
        Row::new((self.first.get() + self.rows - 2) % rows + 1)
    }

    /// Pairs of rows that can be removed.
    fn spare(&self) -> u32 {
        (self.rows - KEPT) / 2
    }
}

/// Where rows are added or removed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ResizeBy {
    /// In the plain stretches of one repeat, in groups that change together: mirror images of each
    /// other.
    Stretches(Vec<Vec<Stretch>>),
    /// By whole repeats.
    Repeats,
}

/// A chart's structure: what changes with the number of rows, and what stays.
#[derive(Debug)]
pub struct Resizer<'a> {
    chart: &'a Chart,
    repeats: u32,
    period: u32,
    mirror: Option<Row>,
    by: ResizeBy,
}

impl<'a> Resizer<'a> {
    /// Looks for repeats, mirror images and plain stretches in `chart`.
    ///
    /// # Errors
    /// If the band is open, or its rows neither repeat nor have a plain stretch.
    pub fn new(chart: &'a Chart) -> Result<Self> {
        if !chart.lattice.is_closed() {
            return Err(Error::new("an open strip has no ring size")
                .hint("chart the picture again without [--open]"));
        }
        let ring = Ring::of(chart);
        let repeats = chart.lattice.rows() / ring.period();
        let groups = ring.stretches();
        let by = match (groups.is_empty(), repeats) {
            (false, _) => ResizeBy::Stretches(groups),
            (true, 2..) => ResizeBy::Repeats,
            (true, _) => {
                return Err(Error::new(
                    "there is no place to add or remove rows: the design has no plain stretch and \
                     no repeats",
                )
                .hint("chart the picture again for each size, with [upbead chart] and [--size]"));
            }
        };
        Ok(Self {
            chart,
            repeats,
            period: ring.period(),
            mirror: ring.mirror(),
            by,
        })
    }

    /// Where rows are added or removed.
    pub fn by(&self) -> &ResizeBy {
        &self.by
    }

    /// How often the design repeats; 1 if it does not.
    pub fn repeats(&self) -> u32 {
        self.repeats
    }

    /// Rows of one repeat.
    pub fn period(&self) -> u32 {
        self.period
    }

    /// The first row about which the band is mirrored end to end, if it is.
    pub fn mirror(&self) -> Option<Row> {
        self.mirror
    }

    /// Rows of one repeat that never change.
    pub fn motif_rows(&self) -> u32 {
        match &self.by {
            ResizeBy::Stretches(groups) => {
                let plain: u32 = groups.iter().flatten().map(|stretch| stretch.rows).sum();
                self.period - plain
            }
            ResizeBy::Repeats => self.period,
        }
    }

    /// Rows from one exact count to the next, away from the fewest.
    pub fn step(&self) -> u32 {
        match &self.by {
            ResizeBy::Stretches(groups) => {
                let least = groups.iter().map(Vec::len).min().unwrap_or(1);
                2 * self.repeats * least as u32
            }
            ResizeBy::Repeats => self.period,
        }
    }

    /// The fewest rows that hold the design.
    pub fn fewest(&self) -> u32 {
        let unit = match &self.by {
            ResizeBy::Stretches(groups) => {
                let spare: u32 = groups.iter().flatten().map(Stretch::spare).sum();
                self.repeats * (self.period - 2 * spare)
            }
            ResizeBy::Repeats => self.period,
        };
        match self.by {
            ResizeBy::Repeats => FEWEST_CLOSED.div_ceil(unit) * unit,
            ResizeBy::Stretches(_) => unit.max(FEWEST_CLOSED),
        }
    }

    /// Whether the design can have exactly `rows` rows.
    pub fn is_exact(&self, rows: u32) -> bool {
        rows >= self.fewest() && rows <= MOST_ROWS && self.shares(rows).is_some()
    }

    /// The nearest exact counts below and above `rows`, or `rows` itself twice.
    pub fn near(&self, rows: u32) -> (Option<u32>, Option<u32>) {
        let even = rows / 2 * 2;
        let below = (self.fewest()..=even)
            .rev()
            .step_by(2)
            .find(|&rows| self.is_exact(rows));
        let above = (even..=MOST_ROWS)
            .step_by(2)
            .find(|&rows| self.is_exact(rows));
        (below, above)
    }

    /// Pairs to add to each stretch of each group, or to remove where negative; none if it does not
    /// come out even.
    fn shares(&self, rows: u32) -> Option<Vec<i64>> {
        let ResizeBy::Stretches(groups) = &self.by else {
            return rows.is_multiple_of(self.period).then(Vec::new);
        };
        let (rows, repeats) = (i64::from(rows), i64::from(self.repeats));
        if rows % (2 * repeats) != 0 {
            return None;
        }
        let wanted = rows / repeats - i64::from(self.period);
        let (sign, mut left) = (wanted.signum(), (wanted / 2).unsigned_abs() as usize);
        // Everywhere the same, so that motifs keep their distances; what is left over goes to the
        // larger groups first.
        let mut shares = vec![0i64; groups.len()];
        while left > 0 {
            let before = left;
            for (share, group) in shares.iter_mut().zip(groups) {
                let spare = group.iter().map(Stretch::spare).min().unwrap_or(0);
                let can = sign > 0 || share.abs() < i64::from(spare);
                if can && group.len() <= left {
                    *share += sign;
                    left -= group.len();
                }
            }
            if left == before {
                return None;
            }
        }
        Some(shares)
    }

    /// The design with `rows` rows, with `size` in its record; none if the count is not exact.
    ///
    /// # Errors
    /// If the band would have more beads than can be charted.
    pub fn resized(&self, rows: Rows, size: &str) -> Result<Option<Chart>> {
        let Some(shares) = self.shares(rows.count()) else {
            return Ok(None);
        };
        let lattice = self.chart.lattice;
        let lattice = Lattice::new(lattice.bead(), lattice.columns(), rows)?;
        let one = self.one_repeat(&shares);
        let mut beads = Vec::with_capacity(lattice.len());
        for &row in one.iter().cycle().take(rows.count() as usize) {
            beads.extend_from_slice(self.chart.row(Row::new(row + 1)));
        }
        let mut made = self.chart.made.clone();
        made.options.retain(|(name, _)| name != RECORDED);
        made.options.push((RECORDED.to_string(), size.to_string()));
        Ok(Some(Chart {
            lattice,
            beads,
            made,
            ..self.chart.clone()
        }))
    }

    /// The rows of one repeat, counted from 0, in their new order.
    fn one_repeat(&self, shares: &[i64]) -> Vec<u32> {
        let mut one: Vec<u32> = (0..self.period).collect();
        let ResizeBy::Stretches(groups) = &self.by else {
            return one;
        };
        let mut changes: Vec<(Stretch, i64)> = groups
            .iter()
            .zip(shares)
            .flat_map(|(group, &share)| group.iter().map(move |&stretch| (stretch, share)))
            .collect();
        // From the last row on, so that places before stay right; what runs on over the seam moves
        // all and comes last.
        let over_the_seam =
            |stretch: &Stretch| stretch.first.get() - 1 + stretch.rows > self.period;
        changes
            .sort_by_key(|(stretch, _)| (over_the_seam(stretch), std::cmp::Reverse(stretch.first)));
        for (stretch, share) in changes {
            rows::change(&mut one, self.period, stretch, share);
        }
        one
    }
}
