//! `upbead compare`: how well a chart matches its picture.

use super::beside::Beside;
use crate::chart::read;
use crate::error::{Error, Result};
use crate::files;
use crate::output::compare::text;
use crate::output::json::document;
use crate::pipeline::recorded_design;
use crate::report::compare::{CompareReport, Pair};
use crate::request::CompareRequest;
use std::path::PathBuf;

/// What `upbead compare --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Measure how well a chart matches its picture\n\n\
    Prints the difference that is left after the eye has blurred both from each distance \
    (S-CIELAB, CIEDE2000), the plain difference bead by bead, and the colour changes and stray \
    beads. The picture lies as it did when the chart was made; the options place it otherwise, for \
    charts that do not say.";

/// Options of `upbead compare`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    upbead compare band.json --picture bird.png\n  \
    upbead compare band.json --picture bird.png --distances 500 --json")]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    /// The picture that the chart is of
    ///
    /// Any file that `upbead chart` reads, or - for standard input. A note says if it is not the
    /// one that the chart names. Of a chart of layers, the design file or one of the pictures: the
    /// others are read from the same folder. Needed. Example: --picture bird.png
    #[arg(long, value_name = "FILE")]
    picture: PathBuf,

    /// Print the figures as JSON
    ///
    /// Prints one JSON document for other programs in place of the table. Off by default. Example:
    /// --json
    #[arg(long)]
    json: bool,

    #[command(flatten)]
    request: CompareRequest,
}

/// Measures one chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    if args.chart == args.picture {
        return Err(Error::usage("the chart and its picture cannot be one file")
            .option("picture")
            .hint("name the picture that the chart was made from"));
    }
    let chart = read::open(&args.chart)?;
    let pair = Pair {
        chart: &chart,
        file: &args.chart,
        picture: &args.picture,
    };
    let report = match recorded_design(&chart).map_err(|error| error.file(&args.chart))? {
        None => {
            let name = args.picture.display().to_string();
            let source = super::source(name, files::read(&args.picture)?);
            CompareReport::new(pair, source, &args.request)?
        }
        Some(design) => {
            let beside = Beside(&args.picture);
            let load = |name: &str| beside.source(name);
            CompareReport::of_layers(pair, &design, &load, &args.request)?
        }
    };
    let printed = if args.json {
        document(&report)?
    } else {
        text(&report)
    };
    files::print(printed.as_bytes())
}
