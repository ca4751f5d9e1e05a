//! A chart that was read from something else than a chart file.

use super::WarningReport;
use super::chart::ColourCount;
use super::rounding::thousandths;
use crate::colour::hex;
use crate::palette::Palette;
use crate::reading::{Alternative, ChartRead};
use crate::scene::{facts, seam};
use schemars::JsonSchema;
use serde::Serialize;
use std::path::Path;

/// What was read, and where it went.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ReadReport {
    /// The file that was read; `-` is standard input.
    pub file: String,
    /// What it is: `table`, `words` or `picture`.
    pub kind: String,
    /// The chart's file; none is standard output.
    pub chart: Option<String>,
    /// What the design is called.
    pub title: Option<String>,
    /// Columns.
    pub columns: u32,
    /// Rows.
    pub rows: u32,
    /// Whether it closes into a ring.
    pub closed: bool,
    /// Beads.
    pub beads: usize,
    /// The palette's name.
    pub palette: String,
    /// Colours in the palette.
    pub palette_colours: usize,
    /// The colours in use.
    pub colours: Vec<ColourCount>,
    /// Lines of rows in words in which no row was found.
    pub lines_passed_over: usize,
    /// Beads of a picture that may be of another colour, by rows.
    pub doubtful: Vec<DoubtReport>,
    /// Warnings from decoding a picture.
    pub warnings: Vec<WarningReport>,
    /// Columns, rows, beads, sides and bead size in words.
    #[serde(skip)]
    pub facts: String,
    /// How the ends meet, in words.
    #[serde(skip)]
    pub seam: String,
    /// The kind in words.
    #[serde(skip)]
    pub as_kind: &'static str,
}

/// A bead that may be of another colour.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct DoubtReport {
    /// Its row.
    pub row: u32,
    /// Its column.
    pub column: u32,
    /// The colour that it was given.
    pub chosen: AlternativeReport,
    /// The next one.
    pub other: AlternativeReport,
}

/// A colour that a bead may have.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct AlternativeReport {
    /// Its code.
    pub code: String,
    /// Its name.
    pub name: String,
    /// Its difference (CIEDE2000) from what is drawn, three decimals.
    #[serde(serialize_with = "thousandths")]
    pub difference: f64,
}

impl ReadReport {
    /// Of a chart that was read from `file` in colours of `palette`; `chart` is where it went.
    pub fn new(file: &Path, chart: Option<&Path>, read: &ChartRead, palette: &Palette) -> Self {
        let lattice = &read.chart.lattice;
        let counts = read.chart.colours.iter().zip(read.chart.counts());
        Self {
            file: file.to_string_lossy().into(),
            kind: read.kind.name().to_string(),
            chart: chart.map(|chart| chart.to_string_lossy().into()),
            title: read.chart.title.clone(),
            columns: lattice.columns(),
            rows: lattice.rows(),
            closed: lattice.is_closed(),
            beads: lattice.len(),
            palette: palette.name.clone(),
            palette_colours: palette.colours().len(),
            colours: counts
                .map(|(shade, beads)| ColourCount {
                    code: shade.code.clone(),
                    name: shade.name.clone(),
                    hex: hex(shade.srgb),
                    beads,
                })
                .collect(),
            lines_passed_over: read.passed_over,
            doubtful: read
                .doubts
                .iter()
                .map(|doubt| DoubtReport {
                    row: doubt.row.get(),
                    column: doubt.column.get(),
                    chosen: AlternativeReport::of(&doubt.chosen, palette),
                    other: AlternativeReport::of(&doubt.other, palette),
                })
                .collect(),
            warnings: WarningReport::all(&read.warnings),
            facts: facts(&read.chart),
            seam: seam(&read.chart),
            as_kind: read.kind.words(),
        }
    }
}

impl AlternativeReport {
    fn of(one: &Alternative, palette: &Palette) -> Self {
        let colour = &palette.colours()[one.colour];
        Self {
            code: colour.code.clone(),
            name: colour.name.clone(),
            difference: one.difference,
        }
    }
}
