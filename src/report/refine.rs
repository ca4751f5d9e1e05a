//! A chart improved so that it looks more like its picture.

use crate::cancel::Cancel;
use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::palette::{Colour, Palette};
use crate::pipeline::{
    Layered, Load, Options, Outcome, Previous, Source, recorded, remake, remake_layers,
};
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
/// chart is made of layers, the band does not have a bead that is to stay, or the work is
/// cancelled.
pub fn improve(
    job: Improve,
    source: Source,
    request: &RefineRequest,
    cancel: Cancel,
) -> Result<Warned<Outcome>> {
    let options = job.options(request, cancel)?;
    if options.design.is_some() {
        return Err(one_picture().file(job.file));
    }
    remake(source, job.palette, &options, &job.again(request)?)
        .map_err(|error| error.file_unless_option(job.picture))
}

/// Improves a chart of layers beside their pictures, which `load` reads by name.
///
/// # Errors
/// As [`improve`].
pub fn improve_layers(
    job: Improve,
    load: &Load,
    request: &RefineRequest,
    cancel: Cancel,
) -> Result<Warned<Outcome>> {
    let options = job.options(request, cancel)?;
    let design = options.design.clone().unwrap_or_default();
    let made = &job.chart.made;
    let layered = Layered {
        design: &design,
        name: made.source.clone(),
        sha256: made.sha256.clone(),
        load,
    };
    remake_layers(&layered, job.palette, &options, &job.again(request)?)
        .map_err(|error| error.file_unless_option(job.file))
}

/// Why one picture is not enough.
pub(super) fn one_picture() -> Error {
    Error::new("this chart is made of layers, each with its own picture")
        .hint("`upbead refine` and `upbead compare` read all of them on the command line")
}

impl Improve<'_> {
    /// How the chart is made again.
    fn options(&self, request: &RefineRequest, cancel: Cancel) -> Result<Options> {
        let in_chart = |error: Error| error.file_unless_option(self.file);
        let mut options = recorded(self.chart, self.palette).map_err(in_chart)?;
        options.choice.refine = Some(optimised(request, &options));
        options.choice.cancel = cancel;
        // A search is of the picture itself, however the chart came about.
        options.simplify = request.calm.simplify.map_or(0.0, Simplify::get);
        Ok(options)
    }

    /// The chart to start from, and what stays of it.
    fn again(&self, request: &RefineRequest) -> Result<Previous<'_>> {
        Ok(Previous {
            chart: self.chart,
            pinned: request.pinned(&self.chart.lattice)?,
        })
    }
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
        per_pack: None,
        extra: Vec::new(),
    });
    Palette::new("the chart", colours.collect(), Vec::new())
}
