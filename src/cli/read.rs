//! `upbead read`: a chart from a table, rows in words or a picture of a chart.

use crate::chart::write;
use crate::error::{Error, Result};
use crate::files::{self, Inputs, Replace, Target};
use crate::output::json::document;
use crate::output::read::text;
use crate::palette;
use crate::reading::read;
use crate::report::read::ReadReport;
use crate::request::ReadRequest;
use std::path::{Path, PathBuf};

/// What `upbead read --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Read a chart from a table, rows in words or a picture\n\n\
    For patterns that exist: a table of codes or names, one row a line, with or without blank \
    cells where the stitch has no bead; rows in words, as `upbead weave` writes them or as they \
    are typed; a chart as `upbead show` prints it; a picture of a chart, scanned or from a \
    screen. Beads whose colour is doubtful are listed. The new chart is checked, woven, shown and \
    printed like any other.";

/// Options of `upbead read`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    upbead read rows.txt --palette owned.csv --map N=navy-1,G=bell-09 -o band.json\n  \
    upbead read grid.csv --palette owned.csv --first-row top -o band.json")]
pub(crate) struct Args {
    /// Table, rows or picture, or - for standard input
    #[arg(value_name = "FILE")]
    file: PathBuf,

    /// The colours that the file uses
    ///
    /// A palette, CSV or GPL, with the codes and names that the file uses; - is standard input.
    /// Needed. Example: --palette owned.csv
    #[arg(long, value_name = "FILE")]
    palette: PathBuf,

    #[command(flatten)]
    request: ReadRequest,

    /// Chart file to write
    ///
    /// By default the file's name with the ending .json, in the current folder; - is standard
    /// output. Example: -o band.json
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,

    /// Replace a chart that exists
    ///
    /// Lets the chart replace a file of the same name, but never a file that it is read from. Off
    /// by default. Example: --force
    #[arg(long)]
    force: bool,

    /// Print what was read as JSON
    ///
    /// One JSON document for other programs in place of text; `upbead schema --of read` describes
    /// it. Off by default. Example: upbead read rows.txt --palette owned.csv --json
    #[arg(long)]
    json: bool,
}

/// Reads one chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    let target = args.target();
    let replace = Replace::from(args.force);
    args.check(&target, replace)?;
    let palette = palette::read::open(&args.palette)?;
    let bytes = files::read(&args.file)?;
    let name = args.file.file_name().unwrap_or(args.file.as_os_str());
    let name = name.to_string_lossy();
    let read = read(&name, bytes, &palette, &args.request, &super::decoding())
        .map_err(|error| error.file_unless_option(&args.file))?;
    files::write(&target, write::write(&read.chart).as_bytes(), replace)?;
    let report = ReadReport::new(&args.file, target.path(), &read, &palette);
    let printed = if args.json {
        document(&report)?
    } else {
        text(&report)
    };
    super::publish(&printed, &target)
}

impl Args {
    fn target(&self) -> Target {
        match &self.output {
            Some(output) => Target::new(output),
            None => Target::File(self.unnamed()),
        }
    }

    /// The chart's name where none is given.
    fn unnamed(&self) -> PathBuf {
        let stem = match self.file.file_stem() {
            Some(stem) if self.file != Path::new("-") => stem,
            _ => "band".as_ref(),
        };
        let mut name = stem.to_os_string();
        name.push(".json");
        name.into()
    }

    /// Makes sure that nothing is read twice or written over.
    fn check(&self, target: &Target, replace: Replace) -> Result<()> {
        let stdin = Path::new("-");
        if self.file == stdin && self.palette == stdin {
            return Err(
                Error::usage("rows and palette cannot both come from standard input")
                    .option("--palette")
                    .hint("name a file for one of them"),
            );
        }
        if self.json && *target == Target::Stdout {
            return Err(Error::usage(
                "the chart and what was read cannot both go to standard output",
            )
            .option("--json")
            .hint("give the chart a file with -o"));
        }
        Inputs::new([self.file.as_path(), &self.palette]).check_apart(target, "-o")?;
        files::check(target, replace)
    }
}
