//! `upbead swap`: a finished chart in the colours of another palette.

use crate::chart::{read, write};
use crate::error::{Error, Result};
use crate::files::{self, Inputs, Replace, Target};
use crate::output::json::document;
use crate::output::swap::text;
use crate::palette;
use crate::quantize::swap::swap;
use crate::report::swap::{Swap, SwapReport};
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// What `upbead swap --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Move a finished chart onto another palette\n\n\
    Each colour of the chart becomes another bead of the palette, all of them chosen together: as \
    near as can be over all beads, colours that were told apart stay so, and lighter ones stay \
    lighter, as far as the palette allows. The beads stay where they are. Each substitution is \
    listed with its difference (CIEDE2000) and its beads.";

/// Options of `upbead swap`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    upbead swap band.json --palette owned.csv\n  \
    upbead swap band.json --palette owned.csv -o mine.json --json")]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    /// The colours to move to, CSV or GPL
    ///
    /// A palette with at least as many colours as the chart uses; - is standard input. Its grams,
    /// where stated, say which of them are too few. Needed. Example: --palette owned.csv
    #[arg(long, value_name = "FILE")]
    palette: PathBuf,

    /// Chart file to write
    ///
    /// By default the chart's name with the palette's after it, in the current folder:
    /// band-owned.json; - is standard output. Example: -o mine.json
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,

    /// Replace a chart that exists
    ///
    /// Lets the new chart replace a file of the same name, but never the chart that it is made of.
    /// Off by default. Example: --force
    #[arg(long)]
    force: bool,

    /// Print what became of the colours as JSON
    ///
    /// One JSON document for other programs in place of text. Off by default. Example: upbead swap
    /// band.json --palette owned.csv --json
    #[arg(long)]
    json: bool,
}

/// Swaps the colours of one chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    let target = args.target();
    let replace = Replace::from(args.force);
    args.check(&target, replace)?;
    let palette = palette::read::open(&args.palette)?;
    let old = read::open(&args.chart)?;
    let swapped = swap(&old, &palette).map_err(|error| error.file(&args.chart))?;
    files::write(&target, write::write(&swapped.chart).as_bytes(), replace)?;
    let report = SwapReport::new(&Swap {
        file: target.path(),
        old: &old,
        palette: &palette,
        swapped: &swapped,
    });
    let printed = if args.json {
        document(&report)?
    } else {
        text(&report)
    };
    super::publish(&printed, &target)
}

impl Args {
    fn target(&self) -> Target {
        if let Some(output) = &self.output {
            return Target::new(output);
        }
        let stem = |path: &Path, unnamed: &str| {
            if path == Path::new("-") {
                unnamed.into()
            } else {
                path.file_stem().unwrap_or(unnamed.as_ref()).to_os_string()
            }
        };
        let mut name: OsString = stem(&self.chart, "band");
        name.push("-");
        name.push(stem(&self.palette, "swapped"));
        name.push(".json");
        Target::File(name.into())
    }

    /// Makes sure that nothing is read twice or written over.
    fn check(&self, target: &Target, replace: Replace) -> Result<()> {
        let stdin = Path::new("-");
        if self.chart == stdin && self.palette == stdin {
            return Err(
                Error::usage("chart and palette cannot both come from standard input")
                    .option("--palette")
                    .hint("name a file for one of them"),
            );
        }
        if self.json && *target == Target::Stdout {
            return Err(Error::usage(
                "the chart and what became of it cannot both go to standard output",
            )
            .option("--json")
            .hint("give the chart a file with -o"));
        }
        Inputs::new([self.chart.as_path(), &self.palette]).check_apart(target, "-o")?;
        files::check(target, replace)
    }
}
