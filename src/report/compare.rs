//! How well a chart matches its picture.

use super::refine::{one_picture, own_colours};
use super::{WarningReport, short};
use crate::chart::Chart;
use crate::colour::{Light, light, read_hex};
use crate::error::{Error, Result};
use crate::palette::read::bad_hex;
use crate::pipeline::{
    CompareOptions, Comparison, Layered, Load, MotifContrast, Source, compare as measure,
    compare_layers, recorded_design, recorded_ground, recorded_picture,
};
use crate::quantize::measure::Measure;
use crate::request::design::Design;
use crate::request::{CompareRequest, Crisp, given};
use crate::scene::facts;
use crate::units::Mm;
use crate::vision::band::DISTANCES;
use crate::vision::contrast::{Legibility, MotifView};
use crate::warning::Warned;
use schemars::JsonSchema;
use serde::Serialize;
use std::path::Path;

/// Figures of a chart beside its picture.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct CompareReport {
    /// The chart's file; `-` is standard input.
    pub chart: String,
    /// The picture's file; `-` is standard input.
    pub picture: String,
    /// The figures.
    #[serde(flatten)]
    pub measure: MeasureReport,
    /// How the motif stands out from its ground.
    pub legible: Option<Legible>,
    /// What was noticed.
    pub warnings: Vec<WarningReport>,
    /// Columns, rows, beads, sides and bead size in words.
    #[serde(skip)]
    pub facts: String,
}

/// How far a band looks from its picture, and how many colour changes it has; CIEDE2000, four
/// decimals.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MeasureReport {
    /// As seen from each distance.
    pub seen: Vec<SeenReport>,
    /// Bead by bead, not filtered.
    pub beads: SpreadReport,
    /// Times that the colour changes within the rows.
    pub colour_changes: usize,
    /// Beads that no bead of the same colour touches.
    pub stray_beads: usize,
}

/// A difference as seen from a distance.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct SeenReport {
    /// The distance.
    pub distance_mm: f64,
    /// Mean difference.
    pub mean: f64,
    /// The difference that 95 of 100 points do not exceed.
    pub p95: f64,
}

/// A mean, and what 95 of 100 do not exceed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct SpreadReport {
    /// Mean.
    pub mean: f64,
    /// What 95 of 100 do not exceed.
    pub p95: f64,
}

/// How a motif stands out from its ground.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Legible {
    /// Code of the ground.
    pub ground: String,
    /// Name of the ground.
    pub name: String,
    /// From each distance.
    pub seen: Vec<StandingReport>,
    /// The distance from which the motif is lost; none if it is still visible at 20 m.
    pub lost_mm: Option<f64>,
}

/// A motif on its ground, from a distance.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct StandingReport {
    /// The distance.
    pub distance_mm: f64,
    /// Mean CIEDE2000 from the ground.
    pub difference: f64,
    /// Mean CIEDE2000 from a blot of the same light.
    pub form: f64,
    /// Ratio of luminances, the lighter over the darker.
    pub contrast: f64,
    /// How it reads.
    pub reads: ReadsReport,
}

/// How a motif reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ReadsReport {
    /// Clearly.
    Well,
    /// With little contrast.
    LowContrast,
    /// Not at all.
    Lost,
}

/// A chart and its picture, as files.
#[derive(Debug, Clone, Copy)]
pub struct Pair<'a> {
    /// The chart.
    pub chart: &'a Chart,
    /// Its file.
    pub file: &'a Path,
    /// The picture's file.
    pub picture: &'a Path,
}

impl CompareReport {
    /// Measures a chart beside a picture.
    ///
    /// # Errors
    /// If the picture cannot be read, does not suit the band, or the chart's record cannot be read.
    pub fn new(pair: Pair, source: Source, request: &CompareRequest) -> Result<Self> {
        if recorded_design(pair.chart).is_ok_and(|design| design.is_some()) {
            return Err(one_picture().file(pair.file));
        }
        let beside = beside(request, pair)?;
        let distances = distances(request);
        let compared = measure(source, pair.chart, &beside, &distances)
            .map_err(|error| error.file(pair.picture))?;
        Ok(Self::of(pair, &compared))
    }

    /// Measures a chart of layers beside their pictures, which `load` reads by name.
    ///
    /// # Errors
    /// As [`CompareReport::new`]; and if the request says how a picture lies.
    pub fn of_layers(
        pair: Pair,
        design: &Design,
        load: &Load,
        request: &CompareRequest,
    ) -> Result<Self> {
        if let Some(option) = given(&request.picture)?.keys().next() {
            return Err(
                Error::usage("a chart of layers says itself how its pictures lie")
                    .option(option)
                    .hint("leave it out"),
            );
        }
        let made = &pair.chart.made;
        let layered = Layered {
            design,
            name: made.source.clone(),
            sha256: made.sha256.clone(),
            load,
        };
        let own = own_colours(pair.chart)?;
        let compared = compare_layers(&layered, pair.chart, &own, &distances(request))
            .map_err(|error| error.file_unless_option(pair.file))?;
        Ok(Self::of(pair, &compared))
    }

    fn of(pair: Pair, compared: &Warned<Comparison>) -> Self {
        let figures = &compared.value;
        Self {
            chart: pair.file.to_string_lossy().into(),
            picture: pair.picture.to_string_lossy().into(),
            measure: (&figures.measure).into(),
            legible: figures.motif.as_ref().map(Legible::from),
            warnings: WarningReport::all(&compared.warnings),
            facts: facts(pair.chart),
        }
    }
}

/// The distances that are asked for, or the usual ones.
fn distances(request: &CompareRequest) -> Vec<Mm> {
    match &request.view.distances {
        Some(distances) => distances.0.clone(),
        None => DISTANCES.to_vec(),
    }
}

/// How the picture lies: as the request says, and otherwise as the chart says.
fn beside(request: &CompareRequest, pair: Pair) -> Result<CompareOptions> {
    let made = recorded_picture(pair.chart).map_err(|error| error.file(pair.file))?;
    let picture = request.picture.or(&made);
    let arrangement = picture.arrangement()?;
    arrangement.check(&pair.chart.lattice)?;
    Ok(CompareOptions {
        arrangement,
        ground: match &request.picture.ground {
            Some(word) => Some(ground(word, pair.chart)?),
            None => recorded_ground(pair.chart),
        },
        // The picture as it is, however crisp the chart was made.
        crisp: request.picture.crisp.map_or(0.0, Crisp::get),
    })
}

/// A code of the chart, or a colour.
fn ground(word: &str, chart: &Chart) -> Result<Light> {
    let shade = chart.colours.iter().find(|shade| shade.code == word);
    let of_code = shade.map(|shade| light(shade.srgb));
    of_code
        .or_else(|| read_hex(word).map(light))
        .ok_or_else(|| {
            bad_hex(word)
                .of_option("ground")
                .hint("give a code of the chart, or six hex digits such as 1C3261")
        })
}

impl From<&Measure> for MeasureReport {
    fn from(measure: &Measure) -> Self {
        let seen = measure.views.iter().map(|apart| SeenReport {
            distance_mm: apart.distance.rounded(),
            mean: short(apart.mean),
            p95: short(apart.p95),
        });
        Self {
            seen: seen.collect(),
            beads: SpreadReport {
                mean: short(measure.beads),
                p95: short(measure.p95),
            },
            colour_changes: measure.changes,
            stray_beads: measure.stray,
        }
    }
}

impl From<&MotifContrast> for Legible {
    fn from(on_ground: &MotifContrast) -> Self {
        Self {
            ground: on_ground.code.clone(),
            name: on_ground.name.clone(),
            seen: on_ground
                .contrast
                .views
                .iter()
                .map(StandingReport::from)
                .collect(),
            lost_mm: on_ground.contrast.lost.map(Mm::rounded),
        }
    }
}

impl From<&MotifView> for StandingReport {
    fn from(standing: &MotifView) -> Self {
        Self {
            distance_mm: standing.distance.rounded(),
            difference: short(standing.difference),
            form: short(standing.form),
            contrast: short(standing.contrast),
            reads: match standing.legibility() {
                Legibility::Well => ReadsReport::Well,
                Legibility::Softly => ReadsReport::LowContrast,
                Legibility::Lost => ReadsReport::Lost,
            },
        }
    }
}
