//! `upbead print`: the pattern as a booklet on paper.

use crate::chart::{Chart, read};
use crate::error::{Error, Result};
use crate::files::{self, Inputs, Replace, Target};
use crate::output::booklet::{PAPERS, Paper, check_size};
use crate::output::print::{Matter, cover};
use crate::palette::{self, Palette};
use crate::picture::Pixels;
use crate::request::PrintRequest;
use crate::units::decimals;
use crate::warning::Warning;
use crate::words::shown_path;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What `upbead print --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Print the pattern as a booklet, a PDF\n\n\
    Everything that another weaver needs: a cover with what to gather, the chart with a key on \
    each bead, the way of the thread in words and drawings, the rows with boxes to tick, how to \
    find your own size, how to close the band, and the chart at true size to lay the work on. \
    Text can be selected and read aloud.\n\n\
    The words and numbers are those of `upbead weave`, `upbead kit` and `upbead resize`. Print at \
    100%, and measure the ruler.";

/// Options of `upbead print`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    upbead print band.json -o pattern.pdf\n  \
    upbead print band.json --sizes us5..us9 --palette owned.csv --paper letter -o pattern.pdf")]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    /// PDF file, or - for standard output
    ///
    /// Where the booklet is written. Needed. Example: -o pattern.pdf
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,

    /// What you own, CSV or GPL
    ///
    /// A palette with the chart's codes, as for `upbead kit`: the list of beads then says what is
    /// short. None by default. Example: --palette owned.csv
    #[arg(long, value_name = "FILE")]
    palette: Option<PathBuf>,

    /// Picture for the cover
    ///
    /// A photograph of the finished work, in any format that `upbead chart` reads; it is made
    /// smaller as needed. By default the ring is pictured as it will look. Example:
    /// --picture ring.jpg
    #[arg(long, value_name = "PICTURE")]
    picture: Option<PathBuf>,

    /// Replace the booklet if it exists
    ///
    /// Off by default. Example: --force
    #[arg(long)]
    force: bool,

    #[command(flatten)]
    request: PrintRequest,
}

/// Prints one chart's booklet.
pub(crate) fn run(args: &Args) -> Result<()> {
    let typed = args.request.typed()?;
    let paper = typed.paper;
    let target = Target::new(&args.output);
    let replace = if args.force {
        Replace::Yes
    } else {
        Replace::No
    };
    args.keep_inputs(&target)?;
    files::check(&target, replace)?;
    let palette = args.palette()?;
    let chart = read::open(&args.chart)?;
    check_size(&chart).map_err(|error| error.file(&args.chart))?;
    let picture = args.picture(&chart)?;
    let matter = Matter {
        chart,
        file: &args.chart,
        palette: palette.as_ref().map(|(file, palette)| (*file, palette)),
        picture: picture.value,
    };
    let printed = args.request.printed(typed, matter)?;
    files::write(&target, &printed.value.bytes, replace)?;
    let mut warnings = picture.warnings;
    warnings.extend(printed.warnings);
    let (pages, size) = (printed.value.pages, printed.value.bytes.len());
    args.tell(&target, pages, paper, size, &warnings)
}

impl Args {
    /// No input is ever replaced.
    fn keep_inputs(&self, target: &Target) -> Result<()> {
        let gauge = self.request.gauge.file_read();
        let read = [&self.palette, &self.picture, &gauge];
        let read = read.into_iter().flatten().chain([&self.chart]);
        Inputs::new(read.map(PathBuf::as_path)).check_apart(target, "-o")
    }

    fn palette(&self) -> Result<Option<(&Path, Palette)>> {
        let Some(file) = self.palette.as_deref() else {
            return Ok(None);
        };
        if file == Path::new("-") && self.chart == Path::new("-") {
            return Err(
                Error::usage("chart and palette cannot both come from standard input")
                    .option("--palette")
                    .hint("name a file for one of them"),
            );
        }
        Ok(Some((file, palette::read::open(file)?)))
    }

    /// The designer's picture, made small, and what was noticed of it.
    fn picture(&self, chart: &Chart) -> Result<crate::warning::Warned<Option<Pixels>>> {
        let mut noted = crate::warning::Warned {
            value: None,
            warnings: Vec::new(),
        };
        let Some(file) = &self.picture else {
            return Ok(noted);
        };
        let read = || cover(Arc::new(files::read(file)?), chart, &super::decoding());
        let made = read().map_err(|error: Error| error.file(file))?;
        noted.value = Some(made.value);
        noted.warnings = made.warnings;
        Ok(noted)
    }

    /// What was written; where the booklet itself goes to standard output, only the notes.
    fn tell(
        &self,
        target: &Target,
        pages: usize,
        paper: Paper,
        bytes: usize,
        warnings: &[Warning],
    ) -> Result<()> {
        if let Some(path) = target.path() {
            let plural = if pages == 1 { "" } else { "s" };
            let size = decimals(bytes as f64 / 1000.0, 0);
            let sheet = sheet(paper);
            let line = format!(
                "{}: {pages} page{plural} of {sheet}, {size} kB\n",
                shown_path(path)
            );
            files::print(line.as_bytes())?;
        }
        for warning in warnings {
            super::say(&format!("note: {warning}\n"));
        }
        Ok(())
    }
}

fn sheet(paper: Paper) -> &'static str {
    if paper == PAPERS[0] {
        "A4"
    } else {
        "letter paper"
    }
}
