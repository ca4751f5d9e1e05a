//! `upbead resize`: the same design in other sizes.

use crate::chart::{read, write};
use crate::error::{Error, Result};
use crate::files::{self, Inputs, Replace, Target};
use crate::output::json::document;
use crate::output::resize::text;
use crate::report::resize::Resized;
use crate::request::ResizeRequest;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// What `upbead resize --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Make a finished chart in other ring sizes\n\n\
    Writes the same design for each size: rows are added or removed in pairs in the plain \
    rows of the ground, away from the motif, which stays bead for bead; mirror images and \
    repeats are kept. A size that would break a repeat or take rows from the motif is left \
    out, with the reason and the row counts that work. The table has the rows, the beads of \
    each colour and the thread for every size, and which rows of this chart to weave for it.";

/// Options of `upbead resize`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  upbead resize band.json --sizes us5..us9 -o sizes
  upbead resize band.json --sizes uk-l,uk-n,uk-p --swatch 40=33.6 -o .")]
pub(crate) struct Args {
    /// Chart file of a closed band, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    #[command(flatten)]
    request: ResizeRequest,

    /// Folder for the charts
    ///
    /// Each size becomes a file there, named like the chart with the size after it:
    /// band-us7.json. The folder has to exist. Needed. Example: -o sizes
    #[arg(short, long, value_name = "FOLDER", help_heading = "Output")]
    output: PathBuf,

    /// Replace charts that exist
    ///
    /// Lets the charts replace files of the same names. Off by default. Example: --force
    #[arg(long, help_heading = "Output")]
    force: bool,

    /// Print the table as JSON
    ///
    /// Prints one JSON document for other programs in place of the table: where rows are added or
    /// removed, and for each size its file, rows, beads and thread. `upbead schema --of resize`
    /// describes it. Off by default. Example: --json
    #[arg(long, help_heading = "Output")]
    json: bool,
}

/// Makes one chart in other sizes.
pub(crate) fn run(args: &Args) -> Result<()> {
    args.request.sizes.needed()?;
    if !args.output.is_dir() {
        return Err(
            Error::usage(format!("there is no folder '{}'", args.output.display()))
                .option("-o")
                .hint("make the folder first"),
        );
    }
    let chart = read::open(&args.chart)?;
    let resized = Resized::new(&args.request, &chart, &args.chart, |size| args.file(size))?;
    args.write(&resized)?;
    let printed = if args.json {
        document(&resized.report)?
    } else {
        text(&resized.report)
    };
    files::print(printed.as_bytes())?;
    let mut result = Ok(());
    for error in resized.left_out {
        super::tell(&error);
        result = Err(error.reported());
    }
    result
}

impl Args {
    fn file(&self, size: &str) -> PathBuf {
        let stem = self.chart.file_stem();
        let mut name: OsString = match stem {
            Some(stem) if self.chart != Path::new("-") => stem.to_os_string(),
            _ => "band".into(),
        };
        name.push(format!("-{size}.json"));
        self.output.join(name)
    }

    fn write(&self, resized: &Resized) -> Result<()> {
        let replace = if self.force {
            Replace::Yes
        } else {
            Replace::No
        };
        let sizes = resized.report.sizes.iter();
        let targets: Vec<Target> = sizes.map(|size| Target::File(size.file.clone())).collect();
        let gauge = self.request.gauge.file_read();
        let read = Inputs::new(
            [Some(&self.chart), gauge.as_ref()]
                .into_iter()
                .flatten()
                .map(PathBuf::as_path),
        );
        for target in &targets {
            let apart = read.check_apart(target, "-o");
            apart.map_err(|error| error.hint("name another folder"))?;
            files::check(target, replace)?;
        }
        let texts: Vec<String> = resized.charts.iter().map(write::write).collect();
        let outputs: Vec<(&Target, &[u8])> = targets
            .iter()
            .zip(&texts)
            .map(|(target, text)| (target, text.as_bytes()))
            .collect();
        files::write_all(&outputs, replace)
    }
}
