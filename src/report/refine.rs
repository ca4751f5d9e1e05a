//! A chart improved so that it looks more like its picture.

use crate::cancel::Cancel;
use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::palette::{Colour, Palette};
use crate::pipeline::{Options, Outcome, Previous, Source, recorded, remake};
use crate::quantize::refine;
use crate::request::{Calm, RefineRequest, Simplify};
use crate::vision::band::DISTANCES;
use crate::warning::Warned;
use std::path::Path;

/// A chart and what it is improved with.
#[derive(Debug, Clone, Copy)]
pub struct Improve<'a> {
    /// The chart as it is.
    pub chart: &'a Chart,
    /// Its file.
    pub file: &'a Path,
    /// The colours to choose from.
    pub palette: &'a Palette,
    /// The picture's file.
    pub picture: &'a Path,
}

/// Improves a chart beside its picture.
///
/// # Errors
/// If the chart's record or the picture cannot be read, the palette lacks the chart's colours, the
/// band does not have a bead that is to stay, or the work is cancelled.
pub fn improve(
    job: Improve,
    source: Source,
    request: &RefineRequest,
    cancel: Cancel,
) -> Result<Warned<Outcome>> {
    let in_chart = |error: Error| error.file_unless_option(job.file);
    let mut options = recorded(job.chart, job.palette).map_err(in_chart)?;
    let pinned = request.pinned(&job.chart.lattice)?;
    options.choice.refine = Some(optimised(request, &options));
    options.choice.cancel = cancel;
    // A search is of the picture itself, however the chart came about.
    options.simplify = request.calm.simplify.map_or(0.0, Simplify::get);
    let again = Previous {
        chart: job.chart,
        pinned,
    };
    remake(source, job.palette, &options, &again)
        .map_err(|error| error.file_unless_option(job.picture))
}

/// As the request says, and otherwise as the chart was made.
fn optimised(request: &RefineRequest, made: &Options) -> refine::Goal {
    let before = made.choice.refine.as_ref();
    let seen = match &request.view.distances {
        Some(distances) => distances.0.clone(),
        None => match before {
            Some(fine) if !fine.distances.is_empty() => fine.distances.clone(),
            _ => DISTANCES.to_vec(),
        },
    };
    let calm = request.calm.calm.map(Calm::get);
    refine::Goal {
        distances: seen,
        calm: calm
            .or(before.map(|fine| fine.calm))
            .unwrap_or_else(refine::usual_calm),
    }
}

/// The chart's own colours, as a palette.
///
/// # Errors
/// If the chart has none.
pub fn own_colours(chart: &Chart) -> Result<Palette> {
    let colours = chart.colours.iter().map(|shade| Colour {
        code: shade.code.clone(),
        name: shade.name.clone(),
        srgb: shade.srgb,
        finish: shade.finish,
        grams: None,
        per_gram: None,
        price: None,
        extra: Vec::new(),
    });
    Palette::new("the chart", colours.collect(), Vec::new())
}
