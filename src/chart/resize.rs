//! The same design with another number of rows: rows are added or removed in pairs, in the ground
//! away from the motif.
//!
//! Rows of a closed band are a ring. A *plain stretch* is a run of ground rows: of the ground's one
//! colour, or two rows that alternate across the seam, at the back of the ring. Between its ends
//! any pair of rows can be added or removed without changing how it looks. What lies between plain
//! stretches is the motif, which stays bead for bead, moved round the band by an even number of
//! rows at most: so left and right stay as they were. A part of the motif is never made longer or
//! shorter, however plain it is.
//!
//! The ground is the colour that the chart's record names; else that of a run of rows across the
//! seam; else the most frequent colour, which is a guess ([`Resizer::ground`]), and none in a band
//! that repeats.
//!
//! A band of layers whose borders repeat changes by whole repeats of theirs, in rows without a
//! motif: the ground and the borders give, motifs stay whole.
//!
//! A band that repeats keeps whole repeats where the count allows; else each repeat is resized
//! alike; else one pair or more at the back makes the size, where the gap there is long enough for
//! it. A band that is mirrored end to end stays so, since stretches that are mirror images of each
//! other change together. The axis goes through the middle of the motif, as before; whether it goes
//! through the last row of the chart too depends on the count.

mod changes;
mod layers;
mod rows;
mod sizes;

pub use changes::{AddedRows, RowChanges, RowRange};
pub use sizes::{Planned, SizeGap, plan};

use super::Chart;
use crate::error::{Error, Result};
use crate::lattice::{FEWEST_CLOSED, Lattice, MOST_ROWS, Row, Rows};
use crate::request::design;
use changes::{Change, centring, changed_rows, removed_at_end};
use layers::Layers;
use rows::Ring;

/// Fewest rows that a plain stretch keeps: with fewer, the beads on both sides of it would touch.
pub const KEPT: u32 = 2;

/// A plain gap between repeats that has this many rows may be longer or shorter at the back by a
/// quarter: this is how sizes are made. Common practice, no source.
pub const GAP: u32 = 8;
/// One over the share of a gap by which the one at the back may differ.
pub const GAP_DIFFERENCE: u32 = 4;

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

    /// How often `step` rows can be removed.
    fn spare(&self, step: u32) -> u32 {
        self.rows.saturating_sub(KEPT) / step
    }

    /// Rows before it, and rows up to its end, counted on over the seam.
    fn span(&self) -> (u32, u32) {
        let before = self.first.get() - 1;
        (before, before + self.rows)
    }

    /// A row of it for each row of a repeat of `step` rows, which divides the band's `count`.
    fn like(&self, count: u32, step: u32) -> Vec<Row> {
        let before = self.span().0;
        let of = |at: u32| before + (at + step - before % step) % step;
        (0..step).map(|at| Row::new(of(at) % count + 1)).collect()
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
    ground: Option<u16>,
    by: ResizeBy,
    /// Rows that are added or removed together: a pair, or a repeat of a design's borders.
    unit: u32,
    layers: Option<Layers>,
}

/// What makes a row count.
enum Plan {
    /// Whole repeats.
    Repeats(u32),
    /// Units of rows for each stretch of each group, in every repeat, and for the stretch at the
    /// back besides; removed where negative.
    Units { shares: Vec<i64>, at_back: i64 },
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
        let layers = Layers::of(chart)?;
        let ring = Ring::of(chart, layers.as_ref());
        let repeats = chart.lattice.rows() / ring.period();
        let groups = ring.stretches();
        let by = match (groups.is_empty(), repeats) {
            (false, _) => ResizeBy::Stretches(groups),
            (true, 2..) => ResizeBy::Repeats,
            (true, _) => {
                return Err(Error::new(
                    "there is no place to add or remove rows: the design has no plain rows of its \
                     ground and no repeats, only rows of its motif",
                )
                .hint("chart the picture again for each size, with [upbead chart] and [--size]"));
            }
        };
        Ok(Self {
            chart,
            repeats,
            period: ring.period(),
            mirror: ring.mirror(),
            ground: ring.known_ground(),
            by,
            unit: ring.unit(),
            layers,
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

    /// The ground's place in the chart's colours; none where it is a guess.
    pub fn ground(&self) -> Option<u16> {
        self.ground
    }

    /// Rows that are added or removed together: 2, or a repeat of the borders of a design.
    pub fn unit(&self) -> u32 {
        self.unit
    }

    fn groups(&self) -> &[Vec<Stretch>] {
        match &self.by {
            ResizeBy::Stretches(groups) => groups,
            ResizeBy::Repeats => &[],
        }
    }

    /// The one colour of the plain rows; none where rows of several colours alternate, or whole
    /// repeats are added.
    pub fn plain_colour(&self) -> Option<u16> {
        let stretch = self.groups().first()?.first()?;
        let rows = stretch.like(self.chart.lattice.rows(), self.unit);
        let mut beads = rows.iter().flat_map(|row| self.chart.row(*row));
        let colour = *beads.clone().next()?;
        beads.all(|&bead| bead == colour).then_some(colour)
    }

    /// Rows of one repeat that never change.
    pub fn motif_rows(&self) -> u32 {
        let plain: u32 = self.groups().iter().flatten().map(|plain| plain.rows).sum();
        self.period - plain
    }

    /// Rows from one count with equal repeats to the next, away from the fewest.
    pub fn step(&self) -> u32 {
        match &self.by {
            ResizeBy::Stretches(groups) => {
                let least = groups.iter().map(Vec::len).min().unwrap_or(1);
                self.unit * self.repeats * least as u32
            }
            ResizeBy::Repeats => self.period,
        }
    }

    /// The fewest rows that hold the design.
    pub fn fewest(&self) -> u32 {
        let mut counts = (FEWEST_CLOSED..=MOST_ROWS).step_by(2);
        counts
            .find(|&rows| self.is_exact(rows))
            .unwrap_or(self.chart.lattice.rows())
    }

    /// Whether the design can have exactly `rows` rows.
    pub fn is_exact(&self, rows: u32) -> bool {
        (FEWEST_CLOSED..=MOST_ROWS).contains(&rows) && self.plan(rows).is_some()
    }

    /// The nearest exact counts below and above `rows`, or `rows` itself twice.
    pub fn near(&self, rows: u32) -> (Option<u32>, Option<u32>) {
        let even = rows / 2 * 2;
        let below = (FEWEST_CLOSED..=even)
            .rev()
            .step_by(2)
            .find(|&rows| self.is_exact(rows));
        let above = (even..=MOST_ROWS)
            .step_by(2)
            .find(|&rows| self.is_exact(rows));
        (below, above)
    }

    /// How `rows` rows come about; none if they do not.
    fn plan(&self, rows: u32) -> Option<Plan> {
        if !rows.is_multiple_of(2) {
            return None;
        }
        if self.repeats > 1 && rows.is_multiple_of(self.period) {
            return Some(Plan::Repeats(rows / self.period));
        }
        if self.groups().is_empty() {
            return None;
        }
        let more = i64::from(rows) - i64::from(self.chart.lattice.rows());
        let unit = i64::from(self.unit);
        if more % unit != 0 {
            return None;
        }
        let wanted = more / unit;
        let repeats = i64::from(self.repeats);
        // As many for each repeat as leaves the fewest for the back.
        let each = -(repeats - 2 * wanted).div_euclid(2 * repeats);
        let at_back = wanted - each * repeats;
        if at_back != 0 && !self.gives_at_back(each, at_back) {
            return None;
        }
        let shares = self.shares(each)?;
        Some(Plan::Units { shares, at_back })
    }

    /// Whether the gap at the back, changed by `each` pairs like all, can differ by `at_back` more.
    fn gives_at_back(&self, each: i64, at_back: i64) -> bool {
        if self.unit != 2 {
            return false;
        }
        // Two gaps in a repeat would no longer be alike.
        let [group] = self.groups() else {
            return false;
        };
        let [stretch] = group[..] else {
            return false;
        };
        let (before, end) = stretch.span();
        let gap = i64::from(stretch.rows) + 2 * each;
        let difference = 2 * at_back.abs() * i64::from(GAP_DIFFERENCE);
        if end <= self.period || gap < i64::from(GAP) || difference > gap {
            return false;
        }
        // The seam stays inside the gap.
        let removed = 2 * (each + at_back).min(0).unsigned_abs() as u32;
        let at_end = removed_at_end(&stretch, removed, self.period);
        self.period - before > at_end && end - self.period > removed - at_end
    }

    /// Units to add to each stretch of each group, or to remove where negative, `each` in all; none
    /// if it does not come out even.
    fn shares(&self, each: i64) -> Option<Vec<i64>> {
        let groups = self.groups();
        let spare = |group: &[Stretch]| {
            group
                .iter()
                .map(|one| one.spare(self.unit))
                .min()
                .unwrap_or(0)
        };
        let (sign, mut left) = (each.signum(), each.unsigned_abs() as usize);
        let most: usize = groups
            .iter()
            .map(|group| group.len() * spare(group) as usize)
            .sum();
        if sign < 0 && left > most {
            return None;
        }
        // Everywhere the same, so that motifs keep their distances; what is left over goes to the
        // larger groups first, then to the one at the back.
        let mut shares = vec![0i64; groups.len()];
        while left > 0 {
            let before = left;
            for (share, group) in shares.iter_mut().zip(groups) {
                let can = sign > 0 || share.abs() < i64::from(spare(group));
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

    /// The stretches of the whole band that change.
    fn stretch_changes(&self, shares: &[i64], at_back: i64) -> Vec<Change> {
        let one = self
            .groups()
            .iter()
            .zip(shares)
            .flat_map(|(group, &units)| {
                let pairs = units * i64::from(self.unit / 2);
                let change = move |&stretch: &Stretch| Change { stretch, pairs };
                group.iter().map(change)
            });
        let last = self.repeats - 1;
        let all = (0..self.repeats).flat_map(|repeat| {
            one.clone().map(move |Change { stretch, pairs }| Change {
                stretch: Stretch {
                    first: Row::new(stretch.first.get() + repeat * self.period),
                    ..stretch
                },
                pairs: pairs + if repeat == last { at_back } else { 0 },
            })
        });
        all.filter(|change| change.pairs != 0).collect()
    }

    /// What is woven otherwise than the chart has it, for `rows` rows; none if the count is not
    /// exact.
    pub fn changes(&self, rows: u32) -> Option<RowChanges> {
        Some(self.changes_and_centring(rows)?.0)
    }

    fn changes_and_centring(&self, rows: u32) -> Option<(RowChanges, i64)> {
        let count = self.chart.lattice.rows();
        Some(match self.plan(rows)? {
            Plan::Repeats(times) if times != self.repeats => {
                let period = self.period;
                (RowChanges::Repeats { period, times }, 0)
            }
            Plan::Repeats(_) => (changed_rows(&[], count, self.unit), 0),
            Plan::Units { shares, at_back } => {
                let changes = self.stretch_changes(&shares, at_back);
                {
                    let rows = changed_rows(&changes, count, self.unit);
                    (rows, centring(&changes, count))
                }
            }
        })
    }

    /// The design with `rows` rows, with `size` in its record; none if the count is not exact.
    ///
    /// # Errors
    /// If the band would have more beads than can be charted.
    pub fn resized(&self, rows: Rows, size: &str) -> Result<Option<Chart>> {
        let Some((changes, centring)) = self.changes_and_centring(rows.count()) else {
            return Ok(None);
        };
        let lattice = self.chart.lattice;
        let lattice = Lattice::new(lattice.bead(), lattice.columns(), rows)?;
        let mut order = changes.rows(self.chart.lattice.rows());
        let moved = centring.rem_euclid(order.len().max(1) as i64) as usize;
        order.rotate_right(moved);
        let design = self.layers.as_ref().map(|layers| layers.resized(&order));
        let mut beads = Vec::with_capacity(lattice.len());
        for row in order {
            beads.extend_from_slice(self.chart.row(row));
        }
        let mut made = self.chart.made.clone();
        made.options.retain(|(name, _)| name != RECORDED);
        for (name, value) in &mut made.options {
            if let Some(design) = design.as_ref().filter(|_| name == design::RECORDED) {
                *value = design.to_text();
            }
        }
        made.options.push((RECORDED.to_string(), size.to_string()));
        Ok(Some(Chart {
            lattice,
            beads,
            made,
            ..self.chart.clone()
        }))
    }
}
