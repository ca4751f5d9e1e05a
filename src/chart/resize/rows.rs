//! Rows as a ring: repeats, mirror images, plain stretches.

use super::Stretch;
use super::layers::Layers;
use crate::chart::Chart;
use crate::lattice::Row;
use std::collections::HashMap;

/// Fewest rows of two that alternate: with fewer they are not yet a pattern. Also of one colour
/// across the seam to be the ground, and of a ground that is a guess. Ours.
const PATTERN: u32 = 4;
/// Fewest rows of a known ground that others can be added to. Ours.
const PAIR: u32 = 2;

/// One repeat of a closed band: equal rows have equal numbers.
pub(super) struct Ring<'a> {
    chart: &'a Chart,
    rows: Vec<usize>,
    /// Twice the axis: row `at`, counted from 0, is the mirror image of row `axis - at`. There is
    /// at most one in each repeat.
    axis: Option<usize>,
    /// The ground's colour.
    ground: u16,
    /// Whether it is more than a guess.
    is_known: bool,
    /// The layers of a design whose borders repeat.
    layers: Option<&'a Layers>,
}

impl<'a> Ring<'a> {
    pub(super) fn of(chart: &'a Chart, layers: Option<&'a Layers>) -> Self {
        let mut known = HashMap::new();
        let all: Vec<usize> = chart
            .lattice
            .all_rows()
            .map(|row| {
                let next = known.len();
                *known.entry(chart.row(row)).or_insert(next)
            })
            .collect();
        let count = all.len();
        let period = (2..count)
            .step_by(2)
            .filter(|period| count.is_multiple_of(*period))
            .find(|period| (0..count - period).all(|at| all[at] == all[at + period]))
            .unwrap_or(count);
        let rows = all[..period].to_vec();
        let axis = (0..period)
            .step_by(2)
            .find(|axis| (0..period).all(|at| rows[at] == rows[(axis + period - at) % period]));
        let mut ring = Self {
            chart,
            rows,
            axis,
            ground: 0,
            is_known: false,
            layers: layers.filter(|layers| layers.unit > 2),
        };
        let known = chart.recorded_ground().or_else(|| ring.across_the_seam());
        let counts = chart.counts();
        let most = (0..counts.len()).max_by_key(|&at| (counts[at], std::cmp::Reverse(at)));
        ring.is_known = known.is_some();
        ring.ground = known.unwrap_or(most.unwrap_or(0) as u16);
        ring
    }

    /// The ground's colour, where it is more than a guess.
    pub(super) fn known_ground(&self) -> Option<u16> {
        self.is_known.then_some(self.ground)
    }

    /// The colour of the rows across the seam, if they are of one.
    fn across_the_seam(&self) -> Option<u16> {
        let count = self.rows.len();
        let colour = self.one_colour(0)?;
        let alike = |at: &usize| self.one_colour(*at) == Some(colour);
        let front = (0..count).take_while(alike).count();
        let back = (0..count).rev().take_while(alike).count();
        (back > 0 && front < count && front + back >= PATTERN as usize).then_some(colour)
    }

    /// The colour of a row, counted from 0 and on over the seam, if it has but one.
    fn one_colour(&self, at: usize) -> Option<u16> {
        let row = self.chart.row(Row::new((at % self.rows.len()) as u32 + 1));
        let colour = *row.first()?;
        row.iter().all(|&bead| bead == colour).then_some(colour)
    }

    /// Rows that are added or removed together.
    pub(super) fn unit(&self) -> u32 {
        self.layers.map_or(2, |layers| layers.unit)
    }

    /// Rows of the shortest repeat.
    pub(super) fn period(&self) -> u32 {
        self.rows.len() as u32
    }

    /// The row that the axis goes through.
    pub(super) fn mirror(&self) -> Option<Row> {
        self.axis.map(|axis| Row::new(axis as u32 / 2 + 1))
    }

    /// The plain stretches that look like the longest one and are at least half as long, in groups
    /// that change together: the larger groups first, then the one at the back, then by their first
    /// row.
    pub(super) fn stretches(&self) -> Vec<Vec<Stretch>> {
        let all: Vec<Stretch> = match self.layers {
            Some(layers) => self.bordered(layers),
            None => self
                .ground_rows()
                .into_iter()
                .chain(self.pattern())
                .collect(),
        };
        let Some(longest) = all
            .iter()
            .max_by_key(|stretch| (stretch.rows, std::cmp::Reverse(stretch.first)))
        else {
            return Vec::new();
        };
        let ground: Vec<Stretch> = all
            .iter()
            .copied()
            .filter(|stretch| {
                2 * stretch.rows >= longest.rows && self.look(stretch) == self.look(longest)
            })
            .collect();
        let mut groups: Vec<Vec<Stretch>> = Vec::new();
        for &stretch in &ground {
            let image = self.image(stretch);
            match groups
                .iter_mut()
                .find(|group| group[0] == image && image != stretch)
            {
                Some(group) => group.push(stretch),
                None => groups.push(vec![stretch]),
            }
        }
        groups.sort_by_key(|group| {
            let is_at_back = self.is_over_the_seam(&group[0]);
            (std::cmp::Reverse(group.len()), !is_at_back, group[0].first)
        });
        groups
    }

    /// Every run of ground rows. Where the ground is a guess, a stripe of a repeat is none.
    fn ground_rows(&self) -> Vec<Stretch> {
        let repeats = self.rows.len() < self.chart.lattice.rows() as usize;
        if !self.is_known && repeats {
            return Vec::new();
        }
        let least = if self.is_known { PAIR } else { PATTERN };
        let mut runs = self.runs(|at| self.one_colour(at) == Some(self.ground));
        runs.retain(|run| run.rows >= least);
        runs
    }

    /// Two rows that alternate across the seam: the pattern of a ground that has several colours.
    fn pattern(&self) -> Option<Stretch> {
        let count = self.rows.len();
        let same = |at: usize| self.rows[at % count] == self.rows[(at + 2) % count];
        let mut runs = self.runs(same).into_iter().map(|run| Stretch {
            rows: run.rows + 2,
            ..run
        });
        runs.find(|run| {
            let first = run.first.get() as usize - 1;
            let solid = self.one_colour(first).is_some()
                && self.one_colour(first) == self.one_colour(first + 1);
            !solid && run.rows >= PATTERN && self.is_over_the_seam(run)
        })
    }

    /// The rows between the motifs of a design, as long as they repeat as its borders do.
    fn bordered(&self, layers: &Layers) -> Vec<Stretch> {
        let count = self.rows.len();
        if count < self.chart.lattice.rows() as usize {
            return Vec::new();
        }
        let step = layers.unit as usize;
        let is_open = |at: usize| !layers.motif[at % count];
        let same = |at: usize| {
            is_open(at) && is_open(at + step) && self.rows[at] == self.rows[(at + step) % count]
        };
        let whole = |at: usize| (0..step).all(|more| is_open(at + more));
        let runs = self.runs(|at| same(at) && whole(at)).into_iter();
        let longer = runs.map(|run| Stretch {
            rows: run.rows + layers.unit,
            ..run
        });
        longer.collect()
    }

    /// The runs of rows for which something holds, by their first row. None if it holds for all:
    /// they have no ends, and are repeats of two rows.
    fn runs(&self, holds: impl Fn(usize) -> bool) -> Vec<Stretch> {
        let count = self.rows.len();
        let held: Vec<bool> = (0..count).map(holds).collect();
        let starts = (0..count).filter(|&at| held[at] && !held[(at + count - 1) % count]);
        starts
            .map(|at| Stretch {
                first: Row::new(at as u32 + 1),
                rows: (at..).take_while(|&at| held[at % count]).count() as u32,
            })
            .collect()
    }

    fn is_over_the_seam(&self, stretch: &Stretch) -> bool {
        stretch.span().1 > self.rows.len() as u32
    }

    /// Its odd and its even rows.
    fn look(&self, stretch: &Stretch) -> (usize, usize) {
        // Stretches of a design all show its borders.
        if self.layers.is_some() {
            return (0, 0);
        }
        let first = stretch.first.get() as usize - 1;
        let row = |at: usize| self.rows[at % self.rows.len()];
        if first.is_multiple_of(2) {
            (row(first), row(first + 1))
        } else {
            (row(first + 1), row(first))
        }
    }

    /// Its mirror image, itself if there is no axis.
    fn image(&self, stretch: Stretch) -> Stretch {
        let Some(axis) = self.axis else {
            return stretch;
        };
        let count = self.rows.len();
        let last = stretch.first.get() as usize - 1 + stretch.rows as usize - 1;
        Stretch {
            first: Row::new(((axis + 2 * count - last) % count) as u32 + 1),
            rows: stretch.rows,
        }
    }
}
