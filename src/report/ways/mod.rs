//! Colourways of one design: what each is called, its colours and beads, and what it keeps.

mod read;

pub use read::read;

use super::rounding::in_thousandths as thousandths;
use super::swap::{ChangedPairReport, SubstitutionReport, SwapColourReport};
use crate::chart::{Chart, Shade};
use crate::colour::{ciede2000, hex, light};
use crate::error::{Error, Result};
use crate::palette::{Bounds, Palette, Tone};
use crate::quantize::swap::{
    Pair,
    ways::{Design, Way, kept},
};
use crate::report::mend::pick;
use crate::report::refine::own_colours;
use crate::request::ColourMap;
use schemars::JsonSchema;
use serde::Serialize;
use std::path::{Path, PathBuf};

/// Colourways of a design.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct WaysReport {
    /// Name of the design's file, without folder and ending.
    pub design: String,
    /// Mean contrast of the motif's beads with the ground in the design, as WCAG 2.2 counts it, two
    /// decimals; `null` where there is but one colour.
    pub contrast: Option<f64>,
    /// How many colourways were asked for, where they were suggested.
    pub wanted: Option<usize>,
    /// The picture that shows them all.
    pub sheet: Option<String>,
    /// The same for printing, as PDF.
    pub pages: Option<String>,
    /// The colourways.
    pub ways: Vec<WayReport>,
}

/// One colourway.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct WayReport {
    /// What it is called; `null` for a map of colours.
    pub name: Option<String>,
    /// Where its chart went; none is standard output.
    pub chart: Option<String>,
    /// Beads of another colour than in the design.
    pub changed: usize,
    /// Beads in all.
    pub beads: usize,
    /// Its contrast, as in the design.
    pub contrast: Option<f64>,
    /// What became of each of the design's colours in use, in their order.
    pub colours: Vec<SubstitutionReport>,
    /// Pairs of the design's colours that can no longer be told apart.
    pub together: Vec<ChangedPairReport>,
    /// Pairs of the design's colours in which the lighter is the darker now.
    pub turned: Vec<ChangedPairReport>,
}

/// What colourways are made from.
pub struct Colourways<'a> {
    /// The design.
    pub chart: &'a Chart,
    /// Its name.
    pub design: Design,
    /// More colours than the design's, where a palette is given.
    pub palette: Option<&'a Palette>,
    /// The ways.
    pub ways: Vec<Way>,
}

/// Where colourways went.
#[derive(Debug, Default)]
pub struct WayFiles {
    /// The chart of each; none is standard output.
    pub charts: Vec<Option<PathBuf>>,
    /// The picture of them all.
    pub sheet: Option<PathBuf>,
    /// The same as PDF.
    pub pages: Option<PathBuf>,
}

impl Colourways<'_> {
    /// The charts, in their order.
    pub fn charts(&self) -> Vec<Chart> {
        let ways = self.ways.iter();
        ways.map(|way| way.of(self.chart, &self.design)).collect()
    }

    /// What there is to say of them; `wanted` is how many were asked for.
    pub fn report(&self, files: &WayFiles, wanted: Option<usize>) -> WaysReport {
        let name = |path: &Path| path.to_string_lossy().into_owned();
        let own = kept(self.chart, &self.chart.colours);
        let ways = self.ways.iter().enumerate().map(|(at, way)| {
            let chart = files.charts.get(at).and_then(Option::as_deref);
            self.of_way(way, chart.map(name))
        });
        WaysReport {
            design: self.design.name.clone(),
            contrast: own.contrast.map(hundredths),
            wanted,
            sheet: files.sheet.as_deref().map(name),
            pages: files.pages.as_deref().map(name),
            ways: ways.collect(),
        }
    }

    fn of_way(&self, way: &Way, chart: Option<String>) -> WayReport {
        let kept = kept(self.chart, &way.shades);
        let pairs = |pairs: &[Pair]| -> Vec<ChangedPairReport> {
            let code = |at: usize| self.chart.colours[at].code.clone();
            let report = |pair: &Pair| ChangedPairReport {
                one: code(pair.one),
                other: code(pair.other),
                difference: thousandths(pair.difference),
            };
            pairs.iter().map(report).collect()
        };
        let colours = self.colours(way);
        let changed = colours.iter().filter(|one| one.from != one.to);
        WayReport {
            name: (!way.name.is_empty()).then(|| way.name.clone()),
            chart,
            changed: changed.map(|one| one.beads).sum(),
            beads: self.chart.lattice.len(),
            contrast: kept.contrast.map(hundredths),
            together: pairs(&kept.merged),
            turned: pairs(&kept.reversed),
            colours,
        }
    }

    /// What became of each colour in use.
    fn colours(&self, way: &Way) -> Vec<SubstitutionReport> {
        let bead = self.chart.lattice.bead();
        let stock = self
            .palette
            .map(|palette| (palette, Bounds::of(palette, bead, 1, 0.0)));
        let counts = self.chart.counts();
        // Two that become the same one share its beads.
        let needed = |code: &str| -> u64 {
            let all = way.shades.iter().zip(&counts);
            let own = all.filter(|(shade, _)| shade.code == code);
            own.map(|(_, &count)| count as u64).sum()
        };
        let short = |code: &str| {
            let (palette, bounds) = stock.as_ref()?;
            let at = palette.colours().iter().position(|one| one.code == code)?;
            Some(needed(code).saturating_sub(bounds.most(at)))
        };
        let all = self.chart.colours.iter().zip(&way.shades).zip(&counts);
        all.filter(|(_, count)| **count > 0)
            .map(|((from, to), &beads)| SubstitutionReport {
                difference: thousandths(ciede2000(lab_of(from), lab_of(to))),
                from: of_shade(from),
                to: of_shade(to),
                beads,
                short: short(&to.code).unwrap_or(0),
            })
            .collect()
    }
}

/// The one colourway that a map of colours leads to.
///
/// # Errors
/// If a colour is not known, or is replaced twice.
pub fn mapped(chart: &Chart, map: &ColourMap, palette: Option<&Palette>) -> Result<Way> {
    let own = own_colours(chart)?;
    let mut shades = chart.colours.clone();
    let mut replaced = vec![false; shades.len()];
    for one in &map.0 {
        let at = own.find(&one.old)?;
        if replaced[at] {
            return Err(Error::usage(format!("'{}' is replaced twice", one.old))
                .option("map")
                .hint("name each colour of the chart once"));
        }
        replaced[at] = true;
        shades[at] = pick(chart, palette, &one.new)?;
    }
    Ok(Way {
        name: String::new(),
        shades,
    })
}

fn lab_of(shade: &Shade) -> crate::colour::Lab {
    Tone::new(light(shade.srgb)).lab
}

fn of_shade(shade: &Shade) -> SwapColourReport {
    SwapColourReport {
        code: shade.code.clone(),
        name: shade.name.clone(),
        hex: hex(shade.srgb),
    }
}

fn hundredths(number: f64) -> f64 {
    (number * 100.0).round() / 100.0
}
