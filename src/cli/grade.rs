//! `upbead grade`: the same design for other sizes.

use super::gauge_args::MeasuredArgs;
use crate::chart::resize::{Grading, Planned, plan};
use crate::chart::{read, write};
use crate::error::{Error, Result};
use crate::files::{self, Replace, Target};
use crate::output::resize::{Answer, Sized, about_gauge, json, set, text};
use crate::ring::series;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// What `upbead grade --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Grade a design for other sizes\n\nWrites the same design for each size: rows are added or dropped in pairs in the plain stretch away from the \
        motif, which stays bead for bead; mirror images and repeats are kept. A size that would break a repeat is left out, and the counts that work are \
        named. The table says rows, beads of each colour and thread for every size.";

/// Options of `upbead grade`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  upbead grade band.json --sizes us5..us9 -o sizes\n  upbead grade band.json --sizes uk-l,uk-n,uk-p --swatch 40=33.6 -o ."
)]
pub(crate) struct Args {
    /// Chart file of a closed band, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    /// Sizes, such as us5..us9 or us6,us7.5
    ///
    /// Ring sizes as for `upbead fit`, parted by commas; FROM..TO stands for the sizes of that scale between the two, both included. At most 60. Needed.
    /// Example: --sizes us5..us9,us10.5
    #[arg(long, value_name = "SIZES")]
    sizes: String,

    /// Step of a range of sizes: 1 or 0.5 [1]
    ///
    /// Whole sizes (1, the default) or halves (0.5) between the ends of a range. Example: --sizes us6..us8 --step 0.5
    #[arg(long, value_name = "STEP", allow_hyphen_values = true)]
    step: Option<String>,

    /// Folder for the charts
    ///
    /// Each size becomes a file there, named like the chart with the size after it: band-us7.json. The folder has to exist. Needed. Example: -o sizes
    #[arg(short, long, value_name = "FOLDER")]
    output: PathBuf,

    /// Take the nearest rows where a size is not exact
    ///
    /// Where repeats or a mirror image allow only some counts of rows, a size between them is left out and the call fails; with this it gets the nearest
    /// count. Off by default, since it is then another size. Example: --nearest
    #[arg(long)]
    nearest: bool,

    /// Replace charts that exist
    ///
    /// Lets the charts replace files of the same names. Off by default. Example: --force
    #[arg(long)]
    force: bool,

    /// Print the table as JSON
    ///
    /// Prints one JSON document for other programs in place of the table: how rows come and go, and for each size its file, rows, beads and thread.
    /// Off by default. Example: --json
    #[arg(long)]
    json: bool,

    #[command(flatten)]
    measured: MeasuredArgs,
}

/// Grades one chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    let sizes = series(&args.sizes, args.step()?).map_err(|error| error.option("--sizes"))?;
    if !args.output.is_dir() {
        return Err(
            Error::usage(format!("there is no folder '{}'", args.output.display()))
                .option("-o")
                .hint("make the folder first"),
        );
    }
    let chart = read::open(&args.chart)?;
    let in_chart = |error: Error| error.file(&args.chart);
    let gauge = args.measured.resolve(chart.lattice.bead())?;
    let grading = Grading::new(&chart).map_err(in_chart)?;
    let prefer = args.measured.prefer();
    let planned = plan(&grading, &sizes, &gauge.value, prefer, args.nearest).map_err(in_chart)?;
    let sized = set(&grading, &planned, |size| args.file(size))?;
    args.write(&sized)?;
    let left_out: Vec<Planned> = planned
        .into_iter()
        .filter(|planned| planned.taken.is_none())
        .collect();
    let answer = Answer {
        file: &args.chart,
        chart: &chart,
        grading: &grading,
        sizes: &sized,
        left_out: &left_out,
        notes: &about_gauge(gauge.notes, &gauge.value, &chart),
    };
    let printed = match (args.json, sized.is_empty()) {
        (true, _) => json(&answer),
        (false, true) => String::new(),
        (false, false) => text(&answer),
    };
    files::print(printed.as_bytes())?;
    let mut result = Ok(());
    for error in left_out
        .iter()
        .filter_map(|planned| planned.left_out(&grading))
    {
        let error = in_chart(error);
        super::tell(&error);
        result = Err(error.told());
    }
    result
}

impl Args {
    fn step(&self) -> Result<f64> {
        crate::report::step(self.step.as_deref())
    }

    fn file(&self, size: &str) -> PathBuf {
        let mut name: OsString = match self.chart == Path::new("-") {
            true => "band".into(),
            false => self
                .chart
                .file_stem()
                .unwrap_or("band".as_ref())
                .to_os_string(),
        };
        name.push(format!("-{size}.json"));
        self.output.join(name)
    }

    fn write(&self, sized: &[Sized]) -> Result<()> {
        let replace = match self.force {
            true => Replace::Yes,
            false => Replace::No,
        };
        let targets: Vec<Target> = sized
            .iter()
            .map(|size| Target::File(size.file.clone()))
            .collect();
        for target in &targets {
            files::check(target, replace)?;
            let own = target
                .path()
                .is_some_and(|path| files::place(path) == files::place(&self.chart));
            if own {
                return Err(
                    Error::usage("a size would replace the chart that it is made of")
                        .option("-o")
                        .hint("name another folder"),
                );
            }
        }
        let texts: Vec<String> = sized.iter().map(|size| write::write(&size.chart)).collect();
        let outputs: Vec<(&Target, &[u8])> = targets
            .iter()
            .zip(&texts)
            .map(|(target, text)| (target, text.as_bytes()))
            .collect();
        files::write_all(&outputs, replace)
    }
}
