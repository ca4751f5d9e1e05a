//! Problems that are seen in the band, or felt when its beads are picked up.

use super::Finding;
use crate::cancel::Cancel;
use crate::chart::Chart;
use crate::colour::{Lab, Sight, ciede2000, lab, light};
use crate::lattice::Row;
use crate::palette::{HARD_TO_TELL, Pair, Tone, alike};
use crate::vision::single_bead::{SimilarPairs, similar_when_worn};
use std::collections::HashMap;

/// Of the steps inside, the share that a seam may not exceed: one row in twenty may be an edge that
/// is drawn. Ours.
pub const SEAM: f64 = 0.95;
/// A colour with fewer beads means opening a tube for one or two beads. Common practice, no source.
pub const FEW: usize = 3;
/// Changes of colour above the median's that are never too many, however plain the other rows are.
/// Ours.
pub const NARROW: usize = 4;
/// Two steps that differ by less, relatively, are the same edge drawn twice. Ours.
const SAME_EDGE: f64 = 0.01;

fn labs(chart: &Chart) -> Vec<Lab> {
    let shades = chart.colours.iter();
    shades.map(|shade| lab(light(shade.srgb))).collect()
}

/// For the edge above each row of a closed band: mean CIEDE2000 over the pairs of touching beads
/// that it parts. The last is the seam.
fn steps(chart: &Chart) -> Vec<f64> {
    let lattice = &chart.lattice;
    let labs = labs(chart);
    let mut known = HashMap::new();
    let mut apart = |one: usize, other: usize| -> f64 {
        let (one, other) = (chart.beads[one], chart.beads[other]);
        let pair = (one.min(other), one.max(other));
        *known
            .entry(pair)
            .or_insert_with(|| ciede2000(labs[usize::from(pair.0)], labs[usize::from(pair.1)]))
    };
    let rows = lattice.rows();
    let edge = |row: Row| {
        let below = Row::new((row.get() + rows - 2) % rows + 1);
        let touching: [(Row, &[(i64, i64)]); 2] =
            [(row, &[(1, -1), (1, 1), (2, 0)]), (below, &[(2, 0)])];
        let (mut sum, mut count) = (0.0, 0u32);
        for (row, ways) in touching {
            for bead in lattice.span_of(row) {
                for &(up, across) in ways {
                    if let Some(other) = lattice.step(bead, up, across) {
                        sum += apart(bead, other);
                        count += 1;
                    }
                }
            }
        }
        sum / f64::from(count.max(1))
    };
    lattice.all_rows().map(edge).collect()
}

/// The seam, where it is a larger step than nineteen of twenty edges inside, can be seen at all,
/// and is no edge that the design has elsewhere too.
pub(super) fn seam(chart: &Chart) -> Option<Finding> {
    if !chart.lattice.is_closed() {
        return None;
    }
    let mut inside = steps(chart);
    let step = inside.pop()?;
    if inside
        .iter()
        .any(|edge| (edge - step).abs() <= SAME_EDGE * step)
    {
        return None;
    }
    inside.sort_by(f64::total_cmp);
    let limit = inside[((inside.len() as f64 * SEAM).ceil() as usize).clamp(1, inside.len()) - 1];
    (step > limit && step >= HARD_TO_TELL).then_some(Finding::Seam { step, limit })
}

/// The colours of a chart that have beads.
struct InUse {
    colours: Vec<usize>,
    tones: Vec<Tone>,
}

impl InUse {
    fn of(chart: &Chart) -> Self {
        let counts = chart.counts();
        let colours: Vec<usize> = (0..counts.len()).filter(|&at| counts[at] > 0).collect();
        let tone = |&at: &usize| Tone::new(light(chart.colours[at].srgb));
        Self {
            tones: colours.iter().map(tone).collect(),
            colours,
        }
    }

    /// A pair of them, by place among all colours.
    fn pair(&self, pair: Pair) -> Pair {
        Pair {
            one: self.colours[pair.one],
            other: self.colours[pair.other],
            ..pair
        }
    }
}

pub(super) fn alike_in_use(chart: &Chart) -> Vec<Finding> {
    let used = InUse::of(chart);
    // A check is not cancelled.
    let found = alike(&used.tones, HARD_TO_TELL, &Cancel::default()).unwrap_or_default();
    let pairs = found.pairs.into_iter();
    pairs.map(|pair| Finding::Alike(used.pair(pair))).collect()
}

/// Pairs that are apart side by side, but not as single beads when worn, or not to red-weak and
/// green-weak sight: one man in twelve has one of these. Blue-weak sight is rare.
pub(super) fn alike_when_worn(chart: &Chart) -> Vec<Finding> {
    let used = InUse::of(chart);
    let Some(sights) = similar_when_worn(&used.tones, HARD_TO_TELL) else {
        return Vec::new();
    };
    let Some(full) = sights.first() else {
        return Vec::new();
    };
    let side_by_side = |pair: &Pair| {
        ciede2000(used.tones[pair.one].lab, used.tones[pair.other].lab) < HARD_TO_TELL
    };
    let found = |one: &SimilarPairs| {
        let pairs = match one.sight {
            Sight::Full => one.pairs.clone(),
            Sight::Protan | Sight::Deutan => one.only(full),
            Sight::Tritan => Vec::new(),
        };
        let new = pairs.into_iter().filter(|pair| !side_by_side(pair));
        let pairs: Vec<Pair> = new.map(|pair| used.pair(pair)).collect();
        let sight = one.sight;
        (!pairs.is_empty()).then_some(Finding::AlikeWorn { sight, pairs })
    };
    sights.iter().filter_map(found).collect()
}

pub(super) fn few(chart: &Chart) -> Vec<Finding> {
    let counts = chart.counts();
    let few = (0..counts.len()).filter(|&at| (1..FEW).contains(&counts[at]));
    few.map(|colour| Finding::Few {
        colour,
        beads: (0..chart.beads.len())
            .filter(|&bead| usize::from(chart.beads[bead]) == colour)
            .collect(),
    })
    .collect()
}

/// Rows with more changes of colour than the median by far: by more than [`NARROW`], and more than
/// three times as many.
pub(super) fn busy(chart: &Chart) -> Option<Finding> {
    let changes = |row| {
        let beads = chart.row(row);
        beads.windows(2).filter(|pair| pair[0] != pair[1]).count()
    };
    let all: Vec<(Row, usize)> = chart
        .lattice
        .all_rows()
        .map(|row| (row, changes(row)))
        .collect();
    let mut counts: Vec<usize> = all.iter().map(|&(_, count)| count).collect();
    counts.sort_unstable();
    let median = counts[(counts.len() - 1) / 2];
    let limit = median + NARROW.max(2 * median);
    let mut rows: Vec<(Row, usize)> = all
        .into_iter()
        .filter(|&(_, count)| count > limit)
        .collect();
    rows.sort_by_key(|&(row, count)| (std::cmp::Reverse(count), row));
    (!rows.is_empty()).then_some(Finding::Busy {
        rows,
        median,
        limit,
    })
}
