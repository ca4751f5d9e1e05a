//! `upbead chart`: pictures to charts.

mod design;
mod outputs;

use super::Manner;
use crate::chart::write::write;
use crate::error::{Error, Result};
use crate::files::{self, Replace};
use crate::output::json::document;
use crate::output::{chart as words, preview};
use crate::palette::{Palette, read};
use crate::pipeline::{self, Charted, Options, plain, settings};
use crate::report::chart::{
    AboutBand, ChartDocument, ChartEntry, ChartReport, FailedReport, Files,
};
use crate::request::design::LayersRequest;
use crate::request::{ChartRequest, Shape};
use outputs::Job;
use rayon::prelude::*;
use std::path::{Path, PathBuf};

/// What `upbead chart --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Turn pictures into charts of bands\n\n\
    Reads PNG, JPEG, WebP, GIF (first frame), BMP, TIFF and SVG. Each bead takes the colour of the \
    palette nearest to the mean light on it. A closed band gets the row count that closes round \
    --size; --open makes a flat strip.";

/// Options of `upbead chart`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    upbead chart dusk.jpg --palette mine.csv --size us7 -o dusk.json --preview dusk.png\n  \
    upbead chart bird.png --palette mine.csv --size us7 --place motif --ground navy-1 \
    --colours 5")]
pub(crate) struct Args {
    /// Pictures; - is standard input
    #[arg(value_name = "PICTURE", required_unless_present = "plain")]
    pictures: Vec<PathBuf>,

    /// Palette of your beads: CSV or GIMP palette
    ///
    /// File with the colours to choose from: CSV with the heads code,name,hex (and
    /// finish,grams,per_gram,price if you like), or a GIMP palette. `upbead palette FILE` checks
    /// it. Example: --palette mine.csv
    #[arg(long, short, value_name = "FILE")]
    palette: PathBuf,

    /// Chart file to write, or a folder
    ///
    /// File for the chart; a folder where there are several pictures; - for standard output. By
    /// default the picture's name with .json, in the current folder (standard output, if the
    /// picture comes from standard input). Example: -o band.json
    #[arg(long, short, value_name = "FILE", help_heading = "Output")]
    output: Option<PathBuf>,

    /// Picture of the chart too: .png or .svg
    ///
    /// Draws the flat chart as well: a file ending in .png or .svg, or just png or svg for a file
    /// beside the chart with its name. Off by default. Example: --preview band.png
    #[arg(long, value_name = "FILE|KIND", help_heading = "Output")]
    preview: Option<PathBuf>,

    /// Print what was made as JSON
    ///
    /// Prints one JSON document for other programs in place of text: an object for one picture, an
    /// array for several. Off by default.
    /// Example: upbead chart dusk.jpg --palette mine.csv --size us7 --json
    #[arg(long, help_heading = "Output")]
    json: bool,

    /// Replace files that exist
    ///
    /// Lets the chart and its picture replace files of the same name. Off by default.
    /// Example: -o band.json --force
    #[arg(long, help_heading = "Output")]
    force: bool,

    #[command(flatten)]
    layers: LayersRequest,

    #[command(flatten)]
    request: ChartRequest,
}

/// Makes every chart, reports each, and ends with the worst result.
pub(crate) fn run(args: &Args, manner: Manner) -> Result<()> {
    args.request.check()?;
    if args.request.design.plain && !args.pictures.is_empty() {
        return Err(Error::usage("a plain band has no picture")
            .option("plain")
            .hint("leave out the picture, or [--plain]"));
    }
    args.layers.check()?;
    if let (true, Some(option)) = (args.request.design.plain, args.layers.with_pictures()) {
        return Err(
            Error::usage("a plain band has letters at most, and no other layers")
                .option(option)
                .hint("leave it out, or [--plain]"),
        );
    }
    let shape = args.request.shape()?;
    args.layers.check_on(&shape.lattice)?;
    let jobs = outputs::jobs(args)?;
    let palette = read::open(&args.palette)?;
    args.layers.check_ink(&palette)?;
    let work = Work {
        request: &args.request,
        layers: &args.layers,
        options: settings(&args.request, &shape, &palette)?,
        palette: &palette,
        shape: &shape,
        replace: Replace::from(args.force),
    };
    let prints = jobs.iter().any(Job::prints);
    if args.json && prints {
        return Err(Error::usage(
            "the summary and what was made cannot both go to standard output",
        )
        .option("json")
        .hint("give the chart a file with [--output], and the drawing one with [--preview]"));
    }
    let bar = super::progress::Bar::new(jobs.len(), manner);
    let made: Vec<(PathBuf, Result<ChartReport>)> = jobs
        .into_par_iter()
        .map(|job| {
            let report = work.one(&job);
            bar.step();
            (job.picture, report)
        })
        .collect();
    drop(bar);
    publish(made, args.json, prints)
}

/// What every picture shares.
struct Work<'a> {
    request: &'a ChartRequest,
    layers: &'a LayersRequest,
    options: Options,
    palette: &'a Palette,
    shape: &'a Shape,
    replace: Replace,
}

impl Work<'_> {
    /// Makes one chart; nothing is written before all of it is there.
    fn one(&self, job: &Job) -> Result<ChartReport> {
        job.check(self.replace)?;
        let Charted { made, shape } = self.charted(job)?;
        let chart = &made.value.chart;
        let mut outputs = vec![(&job.chart, write(chart).into_bytes())];
        if let Some((target, kind)) = &job.preview {
            outputs.push((target, preview(chart, *kind)?));
        }
        files::write_all(&outputs, self.replace)?;
        let drawing = job.preview.as_ref().and_then(|(target, _)| target.path());
        let files = Files {
            picture: job.picture.clone(),
            chart: job.chart.path().map(Path::to_path_buf),
            preview: drawing.map(Path::to_path_buf),
        };
        let band = AboutBand {
            ring: shape.ring.as_ref(),
            warnings: &shape.warnings,
        };
        Ok(ChartReport::new(&files, &made, band, self.palette))
    }

    /// A chart of the picture or of layers, or a plain band.
    fn charted(&self, job: &Job) -> Result<Charted> {
        if job.is_plain() {
            if let Some(design) = self.layers.on_plain() {
                return pipeline::chart_plain(&design, self.palette, self.request);
            }
            return Ok(Charted {
                made: plain(self.palette, &self.options),
                shape: self.shape.clone(),
            });
        }
        let bytes = files::read(&job.picture)?;
        if let Some(layers) = design::of(job, &bytes, self.layers, self.request)? {
            let made = layers.chart(job, &bytes, self.palette);
            return made.map_err(|error| error.file_unless_option(&job.picture));
        }
        let source = super::source(job.name(), bytes);
        pipeline::chart(source, self.palette, self.request)
            .map_err(|error| error.file(&job.picture))
    }
}

/// Prints every report, on standard error where standard output carries what was made.
fn publish(made: Vec<(PathBuf, Result<ChartReport>)>, json: bool, prints: bool) -> Result<()> {
    let several = made.len() > 1;
    let mut worst: Option<Error> = None;
    let mut entries = Vec::new();
    for (picture, report) in made {
        match report {
            Ok(report) => entries.push(ChartEntry::Made(Box::new(report))),
            // The reader of the chart has gone away, which is no error.
            Err(error) if error.is_closed_pipe() => {}
            Err(error) => {
                entries.push(ChartEntry::Failed(FailedReport::new(&picture, &error)));
                super::tell(&error);
                let before = worst.as_ref().map_or(0, Error::status);
                if error.status() > before {
                    worst = Some(error.reported());
                }
            }
        }
    }
    let printed = if !json {
        text(&entries)
    } else if several {
        document(&ChartDocument::Several(entries))?
    } else {
        match entries.pop() {
            Some(ChartEntry::Made(report)) => document(&ChartDocument::One(report))?,
            _ => String::new(),
        }
    };
    let printed = if prints {
        super::say(&printed);
        Ok(())
    } else {
        files::print(printed.as_bytes())
    };
    worst.map_or(printed, Err)
}

/// The charts that were made; what is about the band is told once.
fn text(entries: &[ChartEntry]) -> String {
    let made = entries.iter().filter_map(|entry| match entry {
        ChartEntry::Made(report) => Some(report.as_ref()),
        ChartEntry::Failed(_) => None,
    });
    let made: Vec<&ChartReport> = made.collect();
    let texts: Vec<String> = made.iter().map(|report| words::text(report)).collect();
    let about_band = made.last().map(|report| words::about_band(report));
    texts.join("\n") + &about_band.unwrap_or_default()
}
