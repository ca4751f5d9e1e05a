//! `upbead check`: what would make a weaver curse, before a needle is threaded.

use crate::chart::read;
use crate::error::{Error, Result};
use crate::files;
use crate::output::check::{Checked, json, text};
use crate::palette;
use crate::report::{Gathered, check_thread};
use crate::weave::check::{Options, check};
use std::path::PathBuf;

/// What `upbead check --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Find what would make you curse, before you thread a needle\n\nLooks for a seam that breaks the motif, colours that are hard to tell apart, \
        colours with hardly a bead, beads that stand alone, rows that change colour far more often than the others, beads that you lack, a thread that is \
        too long to sew with, and holes that get too full. Each finding has its place and what to do about it; a chart without any is told so in one line.";

/// Options of `upbead check`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  upbead check band.json\n  upbead check band.json --palette owned.csv --make 12"
)]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    /// What you own, CSV or GPL
    ///
    /// A palette with the chart's codes, as for `upbead chart`: colours that it lacks, or has too few grams of, are found too. Empty grams mean that you
    /// have enough. Left out, nothing is said about it. Example: --palette owned.csv
    #[arg(long, value_name = "FILE")]
    palette: Option<PathBuf>,

    /// Bands to make [1]
    ///
    /// How many bands of this chart your beads have to be enough for, 1 (the default) to 100,000. Example: --make 12
    #[arg(
        long,
        value_name = "COUNT",
        requires = "palette",
        allow_hyphen_values = true
    )]
    make: Option<String>,

    /// Thickness of the thread in mm [0.15]
    ///
    /// From 0.05 to 1 mm, and thinner than the hole. The default, 0.15, is gel-spun thread of 6 lb. A thick one fills the holes sooner.
    /// Example: --thread 0.2
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    thread: Option<String>,

    /// Longest comfortable thread in mm [1400]
    ///
    /// The length of thread that you are used to sew with, 500 to 20,000 mm, without the tail that hangs. The default is 1400, as a craft reference has it. A
    /// band that takes more is to be joined, and the rows are named. Example: --length 2000
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    length: Option<String>,

    /// Fail if anything is found
    ///
    /// Ends with status 1 if there is a finding, for scripts that go through many charts. Off by default: findings are advice. Example: --strict
    #[arg(long)]
    strict: bool,

    /// Print JSON, for programs
    ///
    /// Prints one JSON document: columns, rows, beads, and each finding with its kind, place, measure, limit and hint. Off by default.
    /// Example: upbead check band.json --json
    #[arg(long)]
    json: bool,
}

/// Checks one chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    let palette = args.palette()?;
    let mut options = args.options()?;
    options.palette = palette.as_ref();
    let chart = read::open(&args.chart)?;
    check_thread(&chart, options.thread)?;
    let findings = check(&chart, &options)?;
    let checked = Checked {
        file: &args.chart,
        chart: &chart,
        palette: palette.as_ref(),
        findings: &findings,
    };
    let printed = match args.json {
        true => json(&checked),
        false => text(&checked),
    };
    files::print(printed.as_bytes())?;
    match args.strict && !findings.is_empty() {
        // What was found stands on standard output; here only the status is left to say.
        true => Err(Error::new("something was found").told()),
        false => Ok(()),
    }
}

impl Args {
    fn options(&self) -> Result<Options<'static>> {
        let asked = Gathered {
            make: self.make.as_deref(),
            thread: self.thread.as_deref(),
            length: self.length.as_deref(),
            ..Gathered::default()
        };
        asked.check()
    }

    fn palette(&self) -> Result<Option<palette::Palette>> {
        let read = |file| super::kit::owner_palette(file, &self.chart);
        self.palette.as_deref().map(read).transpose()
    }
}
