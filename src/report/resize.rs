//! The same design in other sizes.

mod instruction;

use super::{WarningReport, lossy};
use crate::chart::Chart;
use crate::chart::resize::{Planned, ResizeBy, Resizer, plan};
use crate::error::{Error, Result};
use crate::request::{ResizeRequest, WorkFrom};
use crate::ring::{Closed, Gauge};
use crate::units::Mm;
use crate::warning::{ColourChange, Warning};
use crate::weave::{Frame, TAIL, Thread, lengths, weave};
use schemars::JsonSchema;
use serde::Serialize;
use std::path::{Path, PathBuf};

/// A design in other sizes: what changes with the size, and a chart for each.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[non_exhaustive]
pub struct ResizeReport {
    /// The file of the chart that was resized; `-` is standard input.
    #[serde(skip)]
    pub file: PathBuf,
    /// How often the design repeats; 1 if it does not.
    pub repeats: u32,
    /// Rows of one repeat.
    pub period_rows: u32,
    /// Rows of one repeat that never change.
    pub motif_rows: u32,
    /// The plain stretches of one repeat, where rows are added or removed; empty if whole repeats
    /// are.
    pub plain: Vec<StretchReport>,
    /// Name of the plain rows' colour; null if rows of several colours alternate, or whole repeats
    /// are added or removed.
    pub plain_colour: Option<String>,
    /// The first row about which the band is mirrored end to end; null if it is not.
    pub mirror_row: Option<u32>,
    /// The fewest rows that hold the design.
    pub fewest_rows: u32,
    /// Rows from one count with equal repeats to the next, away from the fewest.
    pub step_rows: u32,
    /// The colours in use, the one with the most beads first, as places in each size's `colours`.
    #[serde(skip)]
    pub by_beads: Vec<usize>,
    /// The sizes with a chart.
    pub sizes: Vec<SizedReport>,
    /// The sizes without one.
    pub left_out: Vec<LeftOutReport>,
    /// What to know.
    pub warnings: Vec<WarningReport>,
}

/// A run of plain rows.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct StretchReport {
    /// Its first row in the chart.
    pub first_row: u32,
    /// How many rows it has; it may continue across the seam.
    pub rows: u32,
}

/// A size, and the chart for it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct SizedReport {
    /// The size that was asked for.
    pub size: String,
    /// The chart's file.
    #[serde(serialize_with = "lossy::path")]
    #[schemars(with = "String")]
    pub file: PathBuf,
    /// The chart's rows.
    pub rows: u32,
    /// Which rows of the design to weave: `rows 1 to 72, then 2 more plain rows`.
    pub weave: String,
    /// The rows that would fit.
    pub wanted_rows: u32,
    /// Whether the design can have the rows that would fit; otherwise the nearest count was taken.
    pub exact: bool,
    /// Inside diameter in mm.
    pub diameter_mm: Mm,
    /// US and Canadian size; null below 0.
    pub us: Option<f64>,
    /// Beads in all.
    pub beads: usize,
    /// Beads of each colour of the chart.
    pub colours: Vec<ResizedColourReport>,
    /// All of the thread in mm.
    pub thread_mm: Mm,
}

/// A colour, and its beads.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ResizedColourReport {
    /// Its code in the palette.
    pub code: String,
    /// Its name.
    pub name: String,
    /// Its beads.
    pub beads: usize,
}

/// A size that is left out, since the design cannot have its rows.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct LeftOutReport {
    /// The size that was asked for.
    pub size: String,
    /// The rows that would fit.
    pub wanted_rows: u32,
    /// Why the design cannot have them, and what would work.
    pub reason: String,
    /// The nearest count below that works; null if there is none.
    pub below: Option<NearestReport>,
    /// The nearest count above that works; null if there is none.
    pub above: Option<NearestReport>,
}

/// A row count that works, and its size.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct NearestReport {
    /// The rows.
    pub rows: u32,
    /// Inside diameter in mm.
    pub diameter_mm: Mm,
    /// US and Canadian size; null below 0.
    pub us: Option<f64>,
}

/// A chart in other sizes.
#[derive(Debug)]
pub struct Resized {
    /// What there is to report.
    pub report: ResizeReport,
    /// A chart for each size of the report, in its order.
    pub charts: Vec<Chart>,
    /// Why each size that is left out is.
    pub left_out: Vec<Error>,
}

impl Resized {
    /// Makes the charts; `file` is the chart's file, and `named` names the file for a size.
    ///
    /// # Errors
    /// If no sizes are given or the gauge cannot be read, or if the chart cannot be resized.
    pub fn new(
        request: &ResizeRequest,
        chart: &Chart,
        file: &Path,
        named: impl Fn(&str) -> PathBuf,
    ) -> Result<Self> {
        let in_chart = |error: Error| error.file(file);
        let sizes = request.sizes.needed()?;
        let gauge = request.gauge.resolve(chart.lattice.bead())?;
        let resizer = Resizer::new(chart).map_err(in_chart)?;
        let (prefer, nearest) = (request.gauge.prefer(), request.sizes.nearest);
        let planned = plan(&resizer, &sizes, &gauge.value, prefer, nearest).map_err(in_chart)?;
        let mut sized = Vec::new();
        let mut charts = Vec::new();
        for planned in &planned {
            let size = planned.size.to_string();
            if let Some(closed) = &planned.taken
                && let Some(chart) = resizer.resized(closed.rows, &size)?
            {
                let weave = instruction::rows_to_weave(&resizer, closed.rows.count());
                let report = SizedReport::new(planned, closed, &chart, named(&size))?;
                sized.push(SizedReport { weave, ..report });
                charts.push(chart);
            }
        }
        let mut warnings = about_sizes(&planned);
        warnings.extend(motif_colours(&resizer, chart, &sized));
        warnings.extend(gauge.warnings);
        warnings.extend(no_gauge(&gauge.value, chart));
        let left_out = planned.iter().filter(|planned| planned.taken.is_none());
        Ok(Self {
            report: ResizeReport {
                file: file.to_path_buf(),
                sizes: sized,
                left_out: left_out
                    .map(|size| LeftOutReport::new(size, &resizer))
                    .collect(),
                warnings: WarningReport::all(&warnings),
                ..ResizeReport::structure(&resizer, chart)
            },
            charts,
            left_out: planned
                .iter()
                .filter_map(|planned| planned.left_out(&resizer))
                .map(in_chart)
                .collect(),
        })
    }
}

impl ResizeReport {
    /// What changes with the size, and what stays.
    fn structure(resizer: &Resizer, chart: &Chart) -> Self {
        let plain = match resizer.by() {
            ResizeBy::Stretches(groups) => groups.as_slice(),
            ResizeBy::Repeats => &[],
        };
        let plain = plain.iter().flatten().map(|stretch| StretchReport {
            first_row: stretch.first.get(),
            rows: stretch.rows,
        });
        let counts = chart.counts();
        let mut by_beads: Vec<usize> = (0..counts.len()).filter(|&at| counts[at] > 0).collect();
        by_beads.sort_by_key(|&at| std::cmp::Reverse(counts[at]));
        Self {
            file: PathBuf::new(),
            repeats: resizer.repeats(),
            period_rows: resizer.period(),
            motif_rows: resizer.motif_rows(),
            plain: plain.collect(),
            plain_colour: resizer.plain_colour().map(|at| name(chart, at)),
            mirror_row: resizer.mirror().map(|row| row.get()),
            fewest_rows: resizer.fewest(),
            step_rows: resizer.step(),
            by_beads,
            sizes: Vec::new(),
            left_out: Vec::new(),
            warnings: Vec::new(),
        }
    }
}

impl SizedReport {
    fn new(planned: &Planned, closed: &Closed, chart: &Chart, file: PathBuf) -> Result<Self> {
        let colours = chart.colours.iter().zip(chart.counts());
        Ok(Self {
            size: planned.size.to_string(),
            file,
            rows: closed.rows.count(),
            weave: String::new(),
            wanted_rows: planned.wanted.rows.count(),
            exact: planned.gap.is_none(),
            diameter_mm: closed.size.diameter(),
            us: closed.size.us(),
            beads: chart.beads.len(),
            colours: colours
                .map(|(shade, beads)| ResizedColourReport {
                    code: shade.code.clone(),
                    name: shade.name.clone(),
                    beads,
                })
                .collect(),
            thread_mm: thread(chart)?,
        })
    }
}

impl LeftOutReport {
    fn new(planned: &Planned, resizer: &Resizer) -> Self {
        let gap = planned.gap.as_ref();
        let reason = planned.reason(resizer).unwrap_or_default();
        let nearest = |closed: &Closed| NearestReport {
            rows: closed.rows.count(),
            diameter_mm: closed.size.diameter(),
            us: closed.size.us(),
        };
        Self {
            size: planned.size.to_string(),
            wanted_rows: planned.wanted.rows.count(),
            reason: match &planned.others()[..] {
                "" => reason,
                others => format!("{reason}; {others} would work"),
            },
            below: gap.and_then(|gap| gap.below.as_ref().map(nearest)),
            above: gap.and_then(|gap| gap.above.as_ref().map(nearest)),
        }
    }
}

/// A colour as a weaver says it.
fn name(chart: &Chart, colour: u16) -> String {
    let shade = chart.colours.get(usize::from(colour));
    shade.map_or(String::new(), |shade| shade.name.clone())
}

/// The colours other than the ground that gain or lose beads; whole repeats change them all, which
/// is said where the rows are.
fn motif_colours(resizer: &Resizer, chart: &Chart, sizes: &[SizedReport]) -> Option<Warning> {
    let whole =
        |size: &&SizedReport| resizer.repeats() > 1 && size.rows.is_multiple_of(resizer.period());
    let sizes: Vec<&SizedReport> = sizes.iter().filter(|size| !whole(size)).collect();
    let counts = chart.counts();
    let others = (0..counts.len()).filter(|&at| resizer.ground().map(usize::from) != Some(at));
    let colours: Vec<ColourChange> = others
        .filter_map(|at| {
            let beads = || sizes.iter().map(|size| size.colours[at].beads);
            let change = ColourChange {
                name: chart.colours[at].name.clone(),
                now: counts[at],
                fewest: beads().min()?,
                most: beads().max()?,
            };
            (change.fewest != change.now || change.most != change.now).then_some(change)
        })
        .collect();
    (!colours.is_empty()).then_some(Warning::MotifColoursChange { colours })
}

/// Sizes that have the nearest count, and sizes that come out the same.
fn about_sizes(planned: &[Planned]) -> Vec<Warning> {
    let taken: Vec<(&Planned, &Closed)> = planned
        .iter()
        .filter_map(|planned| Some((planned, planned.taken.as_ref()?)))
        .collect();
    let inexact = taken.iter().filter(|(planned, _)| planned.gap.is_some());
    let nearest = inexact.map(|(planned, closed)| Warning::NearestRows {
        size: planned.size.to_string(),
        rows: (planned.wanted.rows.count(), closed.rows.count()),
        over: closed.size.diameter() - planned.wanted.size.diameter(),
    });
    let same = taken
        .chunk_by(|(_, one), (_, other)| one.rows == other.rows)
        .filter(|same| same.len() > 1)
        .map(|same| Warning::SameRows {
            sizes: same
                .iter()
                .map(|(planned, _)| planned.size.to_string())
                .collect(),
            rows: same[0].1.rows.count(),
        });
    nearest.chain(same).collect()
}

/// That no gauge is set.
fn no_gauge(gauge: &Gauge, chart: &Chart) -> Option<Warning> {
    // Rows of each size stand in the table; the same count twice makes the warning speak of the
    // gauge alone.
    let rows = chart.lattice.rows();
    gauge.is_assumed().then_some(Warning::NoGauge {
        rows: (rows, rows),
        spacing: gauge.spacing(),
    })
}

/// All of a chart's thread, woven from the lower end with the usual thread.
fn thread(chart: &Chart) -> Result<Mm> {
    let lattice = &chart.lattice;
    let work = weave(lattice, Frame::usual(lattice, WorkFrom::default())?);
    Ok(lengths(lattice, &work, Thread::default(), TAIL).total())
}
