//! `upbead refine`: a chart made again from its picture, optimised whole.

use super::beside::Beside;
use crate::cancel::Cancel;
use crate::chart::read;
use crate::chart::write::write;
use crate::error::{Error, Result};
use crate::files::{self, Inputs, Replace, Target};
use crate::output::chart as words;
use crate::output::json::document;
use crate::palette::read as palette_read;
use crate::pipeline::recorded_design;
use crate::report::chart::{AboutBand, ChartReport, Files};
use crate::report::refine::{Improve, improve, improve_layers, own_colours};
use crate::request::RefineRequest;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// What `upbead refine --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Improve a chart so that it looks more like its picture at \
    viewing distance\n\n\
    Begins with the chart as it is, mended by hand or not, and changes beads, and swaps \
    neighbours, as long as the band comes nearer to its picture as it is seen from --distances. \
    The options that the chart was made with hold: place, mirror, limit. It never ends further \
    from the picture than it began.";

/// Options of `upbead refine`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    upbead refine band.json --picture bird.png -o finer.json\n  \
    upbead refine band.json --picture bird.png --palette owned.csv --pin 38,40..42 --calm 0.5 \
    -o finer.json")]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    /// The picture that the chart is of
    ///
    /// Any file that `upbead chart` reads. A note says if it is not the one that the chart names.
    /// Of a chart of layers, the design file or one of the pictures: the others are read from the
    /// same folder. Needed. Example: --picture bird.png
    #[arg(long, value_name = "FILE")]
    picture: PathBuf,

    /// Colours to choose from, CSV or GPL
    ///
    /// A palette that has the chart's codes. By default the colours that the chart uses. Example:
    /// --palette owned.csv
    #[arg(long, value_name = "FILE")]
    palette: Option<PathBuf>,

    /// Chart file to write
    ///
    /// By default the chart's name with -refined, in the current folder; - is standard output.
    /// Example: -o finer.json
    #[arg(long, short, value_name = "FILE")]
    output: Option<PathBuf>,

    /// Replace a file that exists
    ///
    /// Lets the new chart replace a file of that name, but not the chart that is read. Off by
    /// default. Example: -o finer.json --force
    #[arg(long)]
    force: bool,

    /// Print what was made as JSON
    ///
    /// Prints one JSON document for other programs in place of text, as `upbead chart --json` does.
    /// Off by default. Example: --json
    #[arg(long)]
    json: bool,

    #[command(flatten)]
    request: RefineRequest,
}

/// Improves one chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    let replace = Replace::from(args.force);
    let target = args.target();
    args.check_names(&target)?;
    files::check(&target, replace)?;
    let chart = read::open(&args.chart)?;
    let palette = match &args.palette {
        Some(path) => palette_read::open(path)?,
        None => own_colours(&chart)?,
    };
    let job = Improve {
        chart: &chart,
        file: &args.chart,
        palette: &palette,
        picture: &args.picture,
    };
    let improved = match recorded_design(&chart).map_err(|error| error.file(&args.chart))? {
        None => {
            let source = super::source(name_of(&args.picture), files::read(&args.picture)?);
            improve(job, source, &args.request, Cancel::default())?
        }
        Some(design) => {
            let beside = Beside(&args.picture);
            beside.check_apart(&design, &target, "-o")?;
            let load = |name: &str| beside.source(name);
            improve_layers(job, &load, &args.request, Cancel::default())?
        }
    };
    let text = write(&improved.value.chart);
    files::write_all(&[(&target, text.into_bytes())], replace)?;
    let made = Files {
        picture: args.picture.clone(),
        chart: target.path().map(Path::to_path_buf),
        preview: None,
    };
    let report = ChartReport::new(&made, &improved, AboutBand::default(), &palette);
    let printed = if args.json {
        document(&report)?
    } else {
        words::text(&report)
    };
    super::publish(&printed, &target)
}

fn name_of(path: &Path) -> String {
    match path.to_str() {
        Some("-") => "standard input".to_string(),
        _ => path
            .file_name()
            .unwrap_or(path.as_os_str())
            .to_string_lossy()
            .into_owned(),
    }
}

impl Args {
    fn target(&self) -> Target {
        if let Some(path) = &self.output {
            return Target::new(path);
        }
        let mut name: OsString = if self.chart == Path::new("-") {
            "band".into()
        } else {
            self.chart
                .file_stem()
                .unwrap_or("band".as_ref())
                .to_os_string()
        };
        name.push("-refined.json");
        Target::File(name.into())
    }

    /// Makes sure that nothing is read twice or written over.
    fn check_names(&self, target: &Target) -> Result<()> {
        let read: Vec<&Path> = [
            Some(&self.picture),
            Some(&self.chart),
            self.palette.as_ref(),
        ]
        .into_iter()
        .flatten()
        .map(PathBuf::as_path)
        .collect();
        if read.iter().filter(|path| **path == Path::new("-")).count() > 1 {
            return Err(Error::usage("standard input can be read only once")
                .hint("name files for the others"));
        }
        if self.json && *target == Target::Stdout {
            return Err(Error::usage(
                "the summary and the chart cannot both go to standard output",
            )
            .option("--json")
            .hint("give the chart a file with -o"));
        }
        Inputs::new(read).check_apart(target, "-o")
    }
}
