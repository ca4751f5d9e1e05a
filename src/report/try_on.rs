//! When to try a ring on before it is closed, and which plain rows make it smaller or larger.

use crate::chart::Chart;
use crate::chart::resize::{KEPT, ResizeBy, Resizer, Stretch};
use crate::lattice::{Row, Rows};
use crate::ring::Gauge;
use schemars::JsonSchema;
use serde::Serialize;

/// Gauges that differ by less are the same: charts record a millionth of a millimetre.
const SAME: f64 = 1e-5;

/// A ring is tried on as a strip whose ends just meet, and closed two plain rows at a time more or
/// less; of two counts that go on the snugger is the better one. Common practice, no source.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct TryOnReport {
    /// The row after which to try it on first.
    pub first_row: u32,
    /// The plain rows at the back, two of which can be left out or woven once more; absent where
    /// the design has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plain: Option<PlainRowsReport>,
}

/// A run of plain rows on the ground.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PlainRowsReport {
    /// Its first row.
    pub first: u32,
    /// Its last row; below `first` where it runs on over the seam.
    pub last: u32,
    /// Rows of it that can be left out, an even number.
    pub spare: u32,
}

impl TryOnReport {
    /// Of a ring; none for an open strip.
    pub fn of(chart: &Chart) -> Option<Self> {
        let rows = Rows::closed(chart.lattice.rows()).ok()?;
        if !chart.lattice.is_closed() {
            return None;
        }
        let assumed = Gauge::assumed(chart.lattice.bead());
        let first = if is_measured(chart, &assumed) {
            Rows::closed(rows.count() - 2).unwrap_or(rows)
        } else {
            assumed.first_try(rows)
        };
        Some(Self {
            first_row: first.count(),
            plain: plain(chart),
        })
    }
}

/// Whether the chart was made with a weaver's own gauge.
fn is_measured(chart: &Chart, assumed: &Gauge) -> bool {
    let options = &chart.made.options;
    let spacing = options.iter().find(|(name, _)| name == "pitch_mm");
    let spacing = spacing.and_then(|(_, text)| text.parse::<f64>().ok());
    spacing.is_some_and(|mm| (mm - assumed.spacing().get()).abs() > SAME)
}

/// The longest run of plain rows of the colour that most beads have: the ground, never a solid part
/// of the motif. None where the design repeats, since its repeats would become unequal.
fn plain(chart: &Chart) -> Option<PlainRowsReport> {
    let resizer = Resizer::new(chart).ok()?;
    let ResizeBy::Stretches(groups) = resizer.by() else {
        return None;
    };
    let counts = chart.counts();
    let ground = (0..counts.len()).max_by_key(|&at| (counts[at], std::cmp::Reverse(at)))?;
    let rows = chart.lattice.rows();
    let is_ground = |stretch: &&Stretch| {
        (0..2).all(|at| {
            let row = Row::new((stretch.first.get() - 1 + at) % rows + 1);
            chart
                .row(row)
                .iter()
                .all(|&bead| usize::from(bead) == ground)
        })
    };
    let longest = groups
        .iter()
        .flatten()
        .filter(is_ground)
        .max_by_key(|stretch| stretch.rows)?;
    let spare = (longest.rows - KEPT) / 2 * 2;
    (resizer.repeats() == 1).then(|| PlainRowsReport {
        first: longest.first.get(),
        last: longest.last(rows).get(),
        spare,
    })
}
