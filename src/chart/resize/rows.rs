//! Rows as a ring: repeats, mirror images, plain stretches.

use super::Stretch;
use crate::chart::Chart;
use crate::lattice::Row;
use std::collections::HashMap;

/// Fewest rows of a plain stretch: of one colour, and of two alternating rows. With fewer, two
/// alternating rows are not yet a pattern. Common practice, no source.
const PLAIN: (usize, usize) = (3, 4);

/// One repeat of a closed band: equal rows have equal numbers.
pub(super) struct Ring<'a> {
    chart: &'a Chart,
    rows: Vec<usize>,
    /// Twice the axis: row `at`, counted from 0, is the mirror image of row `axis - at`. There is
    /// at most one in each repeat.
    axis: Option<usize>,
}

impl<'a> Ring<'a> {
    pub(super) fn of(chart: &'a Chart) -> Self {
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
        Self { chart, rows, axis }
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
    /// that change together: the larger groups first, then by their first row.
    pub(super) fn stretches(&self) -> Vec<Vec<Stretch>> {
        let all = self.plain();
        let Some(longest) = all.iter().max_by_key(|stretch| {
            (
                stretch.rows,
                self.is_solid(stretch),
                std::cmp::Reverse(stretch.first),
            )
        }) else {
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
        groups.sort_by_key(|group| (std::cmp::Reverse(group.len()), group[0].first));
        groups
    }

    /// Every plain stretch, by its first row.
    fn plain(&self) -> Vec<Stretch> {
        let count = self.rows.len();
        let same = |at: usize| self.rows[at % count] == self.rows[(at + 2) % count];
        // Two alternating rows all round have no ends; they are repeats of two rows.
        if (0..count).all(same) {
            return Vec::new();
        }
        let starts = (0..count).filter(|&at| same(at) && !same(at + count - 1));
        starts
            .map(|at| Stretch {
                first: Row::new(at as u32 + 1),
                rows: (at..).take_while(|&at| same(at)).count() as u32 + 2,
            })
            .filter(|stretch| {
                let least = if self.is_solid(stretch) {
                    PLAIN.0
                } else {
                    PLAIN.1
                };
                stretch.rows as usize >= least
            })
            .collect()
    }

    /// Its odd and its even rows.
    fn look(&self, stretch: &Stretch) -> (usize, usize) {
        let first = stretch.first.get() as usize - 1;
        let row = |at: usize| self.rows[at % self.rows.len()];
        if first.is_multiple_of(2) {
            (row(first), row(first + 1))
        } else {
            (row(first + 1), row(first))
        }
    }

    /// Whether it is all of one colour.
    fn is_solid(&self, stretch: &Stretch) -> bool {
        let row = |at: u32| self.chart.row(Row::new(at % self.chart.lattice.rows() + 1));
        let first = stretch.first.get() - 1;
        let colour = row(first)[0];
        row(first)
            .iter()
            .chain(row(first + 1))
            .all(|&bead| bead == colour)
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

/// Adds `pairs` pairs of rows to a stretch, or removes them where negative. `one` holds the rows of
/// a repeat of `period` rows, unchanged up to the stretch's end.
pub(super) fn change(one: &mut Vec<u32>, period: u32, stretch: Stretch, pairs: i64) {
    let first = stretch.first.get() - 1;
    let end = first + stretch.rows;
    // Sources of even and odd rows, counted from 0.
    let even = first.next_multiple_of(2) % period;
    let odd = (first / 2 * 2 + 1) % period;
    let rows = 2 * pairs.unsigned_abs() as usize;
    let more = |from: u32, count: usize| -> Vec<u32> {
        (from..)
            .take(count)
            .map(|at| if at.is_multiple_of(2) { even } else { odd })
            .collect()
    };
    if end <= period {
        let end = end as usize;
        if pairs > 0 {
            drop(one.splice(end..end, more(end as u32, rows)));
        } else {
            drop(one.drain(end - rows..end));
        }
        return;
    }
    // Over the seam half of them go to each side, so that the motif stays in the middle.
    let half = rows / 4 * 2;
    if pairs > 0 {
        one.extend(more(period, rows - half));
        drop(one.splice(0..0, more(0, half)));
    } else {
        let whole = |rows: u32| (rows / 2 * 2) as usize;
        let (front, back) = (whole(end - period), whole(period - first));
        let at_back = (rows - half.min(front)).min(back);
        one.truncate(one.len() - at_back);
        drop(one.drain(..rows - at_back));
    }
}
