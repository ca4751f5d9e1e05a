//! What stands in the way of weaving a chart well, for text, JSON and the desk alike.

mod words;

use super::kit::{check_thread, thread};
use crate::chart::Chart;
use crate::error::Result;
use crate::lattice::Row;
use crate::palette::{HARD_TO_TELL, Palette};
use crate::request::CheckRequest;
use crate::scene::facts;
use crate::units::Mm;
use crate::weave::check::{FEW, Finding, Options, check};
use crate::words::Sentence;
use schemars::JsonSchema;
use serde::Serialize;

/// Pairs of colours that one finding lists.
const MOST_PAIRS: usize = 1000;

/// What was found in a chart.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[non_exhaustive]
pub struct CheckReport {
    /// Columns of the band.
    pub columns: u32,
    /// Rows of the band.
    pub rows: u32,
    /// Beads of the band.
    pub beads: usize,
    /// How many findings there are.
    pub count: usize,
    /// What was found; findings of a kind stand together.
    pub findings: Vec<FindingReport>,
    /// The band's measures in words.
    #[serde(skip)]
    pub facts: String,
}

/// One thing that was found: where, what was measured and its limit, and what to do about it.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[non_exhaustive]
pub struct FindingReport {
    /// What kind of thing.
    pub kind: FindingKind,
    /// The rows that it is about.
    pub rows: Vec<u32>,
    /// The beads that it is about.
    pub beads: Vec<BeadPlace>,
    /// The colours that it is about, by code; two by two where it is about pairs.
    pub colours: Vec<String>,
    /// What was measured; `null` where nothing is.
    pub measure: Option<Figure>,
    /// The most, or for few beads the fewest, that would be no finding.
    pub limit: Option<Figure>,
    /// What both are in.
    pub unit: Option<&'static str>,
    /// What was found, and where.
    pub text: String,
    /// What to do about it, as the command line says it.
    pub hint: String,
    /// The same in parts, for faces that write options their own way.
    pub hint_parts: Sentence,
    /// More that goes with its kind.
    #[serde(flatten)]
    pub more: More,
}

/// Kinds of findings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum FindingKind {
    /// The motif does not run on over the seam.
    Seam,
    /// The rows are not a whole number of the pattern's repeats.
    Repeat,
    /// Two colours look almost the same.
    Alike,
    /// Colours look almost the same when worn, to full or to colour-deficient sight.
    AlikeWorn,
    /// A colour has hardly a bead.
    Few,
    /// Stray beads.
    Alone,
    /// Rows with many colour changes.
    Busy,
    /// Too few beads of a colour in stock.
    Short,
    /// A colour that the palette does not have.
    NotInPalette,
    /// A thread that is too long to sew with.
    Thread,
    /// Holes that get too full.
    Holes,
}

/// A whole number or a fraction.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum Figure {
    /// Counted.
    Count(u64),
    /// Measured, to 1/1000.
    Real(f64),
}

/// Where a bead stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct BeadPlace {
    /// Its row.
    pub row: u32,
    /// Its column.
    pub column: u32,
}

/// What only some kinds of findings have.
#[derive(Debug, Clone, Default, Serialize, JsonSchema)]
pub struct More {
    /// Colour changes of each of `rows`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub changes: Option<Vec<usize>>,
    /// Colour changes of the median row.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub median: Option<usize>,
    /// Row counts that are a whole number of repeats, nearest first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fitting: Option<Vec<u32>>,
    /// The kind of sight: `full`, `protan` (red-weak) or `deutan` (green-weak).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sight: Option<&'static str>,
    /// Code of the nearest colour that the palette has.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nearest: Option<String>,
    /// Beads that have to be bought, without spare ones.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub short: Option<u64>,
    /// The longest piece of thread, with its tail.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub piece_mm: Option<Mm>,
    /// The finest usual needle.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub needle: Option<&'static str>,
}

/// A chart that is checked, perhaps with the palette that is in stock.
#[derive(Debug, Clone, Copy)]
struct Checked<'a> {
    chart: &'a Chart,
    palette: Option<&'a Palette>,
}

impl CheckReport {
    /// What is found in `chart`; with a palette, also what of it is not in stock.
    ///
    /// # Errors
    /// If the thread does not go through the beads, bands are counted without a palette, or the
    /// band cannot be woven.
    pub fn new(request: &CheckRequest, chart: &Chart, palette: Option<&Palette>) -> Result<Self> {
        request.check(palette)?;
        check_thread(chart, request.thread)?;
        let usual = Options::default();
        let options = Options {
            thread: thread(request.thread),
            length: request.length.map_or(usual.length, |length| length.0),
            palette,
            make: request.make.map_or(usual.make, |bands| bands.0),
        };
        let findings = check(chart, &options)?;
        let checked = Checked { chart, palette };
        let lattice = &chart.lattice;
        Ok(Self {
            columns: lattice.columns(),
            rows: lattice.rows(),
            beads: lattice.len(),
            count: findings.len(),
            findings: findings.iter().map(|found| checked.report(found)).collect(),
            facts: facts(chart),
        })
    }
}

impl Checked<'_> {
    fn report(self, finding: &Finding) -> FindingReport {
        let hint = Sentence::from(words::hint(self.chart, finding));
        let (measure, limit) = measured(finding);
        FindingReport {
            kind: kind(finding),
            rows: self.rows(finding),
            beads: self.beads(finding),
            colours: self.colours(finding),
            measure,
            limit,
            unit: unit(finding),
            text: words::text(self, finding),
            hint: hint.to_string(),
            hint_parts: hint,
            more: self.more(finding),
        }
    }

    fn rows(self, finding: &Finding) -> Vec<u32> {
        match finding {
            Finding::Seam { .. } | Finding::Repeat { .. } => vec![self.chart.lattice.rows(), 1],
            Finding::Busy { rows, .. } => rows.iter().map(|(row, _)| row.get()).collect(),
            Finding::Long { joins, .. } => joins.iter().map(|row| row.get()).collect(),
            _ => {
                let at = |&bead: &usize| self.chart.lattice.position(bead).0;
                let mut rows: Vec<Row> = places(finding).iter().map(at).collect();
                rows.sort_unstable();
                rows.dedup();
                rows.into_iter().map(Row::get).collect()
            }
        }
    }

    fn beads(self, finding: &Finding) -> Vec<BeadPlace> {
        let at = |&bead: &usize| {
            let (row, column) = self.chart.lattice.position(bead);
            BeadPlace {
                row: row.get(),
                column: column.get(),
            }
        };
        places(finding).iter().map(at).collect()
    }

    fn colours(self, finding: &Finding) -> Vec<String> {
        let code = |colour: usize| self.chart.colours[colour].code.clone();
        match finding {
            Finding::Alike(pair) => vec![code(pair.one), code(pair.other)],
            Finding::AlikeWorn { pairs, .. } => {
                let pairs = pairs.iter().take(MOST_PAIRS);
                pairs
                    .flat_map(|pair| [code(pair.one), code(pair.other)])
                    .collect()
            }
            Finding::Few { colour, .. } | Finding::Short { colour, .. } => vec![code(*colour)],
            Finding::NotInPalette(missing) => vec![code(missing.colour)],
            _ => Vec::new(),
        }
    }

    fn more(self, finding: &Finding) -> More {
        let none = More::default();
        match finding {
            Finding::Busy { rows, median, .. } => More {
                changes: Some(rows.iter().map(|&(_, changes)| changes).collect()),
                median: Some(*median),
                ..none
            },
            Finding::AlikeWorn { sight, .. } => More {
                sight: Some(sight.word()),
                ..none
            },
            Finding::Repeat { fitting, .. } => More {
                fitting: Some(fitting.clone()),
                ..none
            },
            Finding::NotInPalette(missing) => More {
                nearest: self
                    .palette
                    .map(|palette| palette.colours()[missing.nearest].code.clone()),
                ..none
            },
            Finding::Short { short, .. } => More {
                short: Some(*short),
                ..none
            },
            Finding::Long { piece, .. } => More {
                piece_mm: Some(*piece),
                ..none
            },
            Finding::Full { needle, .. } => More {
                needle: Some(needle.name),
                ..none
            },
            _ => none,
        }
    }
}

fn kind(finding: &Finding) -> FindingKind {
    match finding {
        Finding::Seam { .. } => FindingKind::Seam,
        Finding::Repeat { .. } => FindingKind::Repeat,
        Finding::Alike(_) => FindingKind::Alike,
        Finding::AlikeWorn { .. } => FindingKind::AlikeWorn,
        Finding::Few { .. } => FindingKind::Few,
        Finding::Stray { .. } => FindingKind::Alone,
        Finding::Busy { .. } => FindingKind::Busy,
        Finding::Short { .. } => FindingKind::Short,
        Finding::NotInPalette(_) => FindingKind::NotInPalette,
        Finding::Long { .. } => FindingKind::Thread,
        Finding::Full { .. } => FindingKind::Holes,
    }
}

/// What was measured, and its limit.
fn measured(finding: &Finding) -> (Option<Figure>, Option<Figure>) {
    let count = |number: usize| Some(Figure::Count(number as u64));
    let real = |number: f64| Some(Figure::Real((number * 1000.0).round() / 1000.0));
    match finding {
        Finding::Seam { step, limit } => (real(*step), real(*limit)),
        Finding::Repeat { period, .. } => (Some(Figure::Count(u64::from(*period))), None),
        Finding::Alike(pair) => (real(pair.difference), real(HARD_TO_TELL)),
        Finding::AlikeWorn { pairs, .. } => (
            pairs.first().and_then(|pair| real(pair.difference)),
            real(HARD_TO_TELL),
        ),
        Finding::Few { beads, .. } => (count(beads.len()), count(FEW)),
        Finding::Stray { beads, .. } => (count(beads.len()), count(0)),
        Finding::Busy { rows, limit, .. } => (
            rows.first().and_then(|&(_, changes)| count(changes)),
            count(*limit),
        ),
        Finding::Short { needed, short, .. } => (
            Some(Figure::Count(*needed)),
            Some(Figure::Count(needed - short)),
        ),
        Finding::NotInPalette(missing) => (real(missing.difference), None),
        Finding::Long { length, limit, .. } => (real(length.get()), real(limit.get())),
        Finding::Full { passes, limit, .. } => {
            (count(usize::from(*passes)), count(usize::from(*limit)))
        }
    }
}

fn unit(finding: &Finding) -> Option<&'static str> {
    Some(match finding {
        Finding::Seam { .. }
        | Finding::Alike(_)
        | Finding::AlikeWorn { .. }
        | Finding::NotInPalette(_) => "CIEDE2000",
        Finding::Few { .. } | Finding::Stray { .. } | Finding::Short { .. } => "beads",
        Finding::Busy { .. } => "changes",
        Finding::Repeat { .. } => "rows",
        Finding::Long { .. } => "mm",
        Finding::Full { .. } => "passes",
    })
}

/// The beads that a finding names, in lattice order.
fn places(finding: &Finding) -> &[usize] {
    match finding {
        Finding::Few { beads, .. } | Finding::Stray { beads, .. } | Finding::Full { beads, .. } => {
            beads
        }
        _ => &[],
    }
}
