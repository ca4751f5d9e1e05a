//! `upbead print`: the pattern as a booklet on paper.

use super::kit::palette_in_stock;
use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::files::{self, Inputs, Replace, Target};
use crate::output::booklet::{PAPERS, Paper, check_size};
use crate::output::print::{Matter, Printed, cover};
use crate::palette::Palette;
use crate::picture::Pixels;
use crate::quantize::swap::ways::Way;
use crate::report::ways;
use crate::request::{PrintRequest, Reader};
use crate::units::decimals;
use crate::warning::{Warned, Warning};
use crate::words::shown_path;
use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What `upbead print --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Print the pattern as a booklet, a PDF\n\n\
    Everything that another weaver needs: a cover with what to gather, the chart with a key on \
    each bead, the way of the thread in words and drawings, the rows with boxes to tick, how to \
    find your own size, how to close the band, and the chart at true size to lay the work on. \
    Text can be selected and read aloud.\n\n\
    The words and numbers are those of `upbead weave`, `upbead kit` and `upbead resize`. Print at \
    100%, and measure the ruler.\n\n\
    Several charts make one booklet with contents, a part for each design, and what they have in \
    common told once; with a folder as -o they make a booklet each. --for maker prints a sheet for \
    yourself instead: stock, costs, what to buy, time and price.";

/// Options of `upbead print`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    upbead print band.json --sizes us5..us9 --paper letter -o pattern.pdf\n  \
    upbead print band.json --for maker --palette stock.csv --make 12 -o sheet.pdf")]
pub(crate) struct Args {
    /// Chart files; - is standard input
    #[arg(value_name = "CHART", required = true)]
    charts: Vec<PathBuf>,

    /// PDF file or a folder; - is standard output
    ///
    /// Where the booklet is written. Several charts make one booklet in a file, and a booklet each
    /// in a folder that exists. Needed. Example: -o pattern.pdf, or -o booklets
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,

    /// What you own, CSV or GPL
    ///
    /// A palette with the chart's codes, as for `upbead kit`. A pattern takes only its beads in a
    /// gram; a maker's sheet says what is in stock, what is short and what it costs. None by
    /// default.
    /// Example: --palette owned.csv
    #[arg(long, value_name = "FILE")]
    palette: Option<PathBuf>,

    /// A table of colourways, CSV
    ///
    /// As for `upbead swap`, with colours of the chart and of --palette. The one chart goes by the
    /// keys on its beads, and pages after the cover show each colourway: its strip, what each key
    /// stands for, and the amounts. A maker's sheet is then of one band in each colourway. For one
    /// chart only; none by default. Example: --ways ways.csv
    #[arg(long, value_name = "FILE")]
    ways: Option<PathBuf>,

    /// Picture for the cover
    ///
    /// A photograph of the finished work, in any format that `upbead chart` reads; it is made
    /// smaller as needed. By default the ring is pictured as it will look. Example:
    /// --picture ring.jpg
    #[arg(long, value_name = "PICTURE")]
    picture: Option<PathBuf>,

    /// Replace booklets that exist
    ///
    /// Off by default. Example: --force
    #[arg(long)]
    force: bool,

    #[command(flatten)]
    request: PrintRequest,
}

/// Prints one booklet, or one for each chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    let typed = args.request.typed()?;
    let paper = typed.paper;
    let replace = if args.force {
        Replace::Yes
    } else {
        Replace::No
    };
    args.check_picture(typed.reader)?;
    args.check_ways()?;
    let targets = args.targets()?;
    let requests = args.requests(targets.len())?;
    for target in &targets {
        args.keep_inputs(target)?;
        files::check(target, replace)?;
    }
    let palette = args.palette()?;
    let charts = super::open_all(&args.charts)?;
    for (chart, file) in charts.iter().zip(&args.charts) {
        check_size(chart).map_err(|error| error.file(file))?;
    }
    let ways = args.ways(&charts[0], palette.as_ref().map(|(_, palette)| palette))?;
    let picture = args.picture(&charts[0])?;
    let files: Vec<&Path> = args.charts.iter().map(PathBuf::as_path).collect();
    let matters = apart(charts, files, targets.len())
        .into_iter()
        .map(|(charts, files)| Matter {
            charts,
            files,
            palette: palette.as_ref().map(|(file, palette)| (*file, palette)),
            ways: ways.clone(),
            picture: picture.value.clone(),
        });
    let printed = requests.iter().zip(matters);
    let printed = printed.map(|(request, matter)| request.printed(typed.clone(), matter));
    let printed: Vec<Warned<Printed>> = printed.collect::<Result<_>>()?;
    let bytes = printed.iter().map(|one| &one.value.bytes);
    let outputs: Vec<(&Target, &Vec<u8>)> = targets.iter().zip(bytes).collect();
    files::write_all(&outputs, replace)?;
    let mut warnings = picture.warnings;
    for (target, printed) in targets.iter().zip(printed) {
        tell(target, &printed.value, paper)?;
        warnings.extend(printed.warnings);
    }
    let mut told: Vec<Warning> = Vec::new();
    for warning in warnings {
        if !told.contains(&warning) {
            super::say(&format!("note: {warning}\n"));
            told.push(warning);
        }
    }
    Ok(())
}

/// Charts for each document: all for one, or one for each.
fn apart(charts: Vec<Chart>, files: Vec<&Path>, documents: usize) -> Vec<(Vec<Chart>, Vec<&Path>)> {
    if documents == 1 {
        return vec![(charts, files)];
    }
    let pairs = charts.into_iter().zip(files);
    pairs
        .map(|(chart, file)| (vec![chart], vec![file]))
        .collect()
}

impl Args {
    /// A maker's sheet has no picture.
    fn check_picture(&self, reader: Reader) -> Result<()> {
        if self.picture.is_some() && reader == Reader::Maker {
            return Err(Error::usage("this is only for a pattern")
                .option("picture")
                .hint("leave it out"));
        }
        Ok(())
    }

    /// Colourways are of one chart, and their table comes from a place of its own.
    fn check_ways(&self) -> Result<()> {
        let Some(table) = &self.ways else {
            return Ok(());
        };
        if self.charts.len() > 1 {
            return Err(Error::usage(format!(
                "colourways are of one design, and {} charts are named",
                self.charts.len()
            ))
            .option("ways")
            .hint("print each design with its own table, or leave the table out"));
        }
        let others = [Some(&self.charts[0]), self.palette.as_ref()];
        if table == Path::new("-") && others.contains(&Some(table)) {
            return Err(
                Error::usage("two files cannot both come from standard input")
                    .option("ways")
                    .hint("name a file for one of them"),
            );
        }
        Ok(())
    }

    /// The colourways of the table.
    fn ways(&self, chart: &Chart, palette: Option<&Palette>) -> Result<Vec<Way>> {
        let Some(table) = &self.ways else {
            return Ok(Vec::new());
        };
        let text = files::read_text(table, "a table of colourways")?;
        ways::read(&text, chart, palette).map_err(|error| error.file(table))
    }

    /// A request for each document: of several, each has its own number of bands.
    fn requests(&self, documents: usize) -> Result<Vec<PrintRequest>> {
        let mut requests = vec![self.request.clone(); documents];
        let make = self.request.amounts.make.as_ref();
        if let Some(make) = make.filter(|_| documents > 1) {
            for (request, bands) in requests.iter_mut().zip(make.of(documents)?) {
                request.amounts.make = Some(bands.into());
            }
        }
        Ok(requests)
    }

    /// One file, or one for each chart in a folder.
    ///
    /// # Errors
    /// If the folder is missing, two files would have the same name, or what is given for one
    /// booklet is given for several.
    fn targets(&self) -> Result<Vec<Target>> {
        let several = self.charts.len() > 1;
        if !self.output.is_dir() {
            let target = Target::new(&self.output);
            let named = target.path().and_then(Path::extension).is_some();
            if several && target != Target::Stdout && !named && !self.output.exists() {
                return Err(Error::new("there is no such folder")
                    .file(&self.output)
                    .hint("make the folder first, or end the name of one booklet in .pdf"));
            }
            return Ok(vec![target]);
        }
        let for_one = [
            ("title", self.request.pattern.title.is_some()),
            ("picture", self.picture.is_some()),
        ];
        if let Some((option, _)) = for_one.iter().find(|(_, given)| several && *given) {
            return Err(
                Error::usage(format!("one {option} is given for several booklets"))
                    .option(option)
                    .hint("leave it out, or name a file with [--output] for one booklet of all"),
            );
        }
        let mut written = BTreeSet::new();
        let target = |chart: &PathBuf| {
            let stem = chart.file_stem().filter(|stem| *stem != "-");
            let path = self
                .output
                .join(stem.unwrap_or(OsStr::new("band")))
                .with_added_extension("pdf");
            if written.insert(files::place(&path)) {
                return Ok(Target::File(path));
            }
            Err(
                Error::usage(format!("two booklets would be called '{}'", path.display()))
                    .option("-o")
                    .hint("print charts of the same name one by one"),
            )
        };
        self.charts.iter().map(target).collect()
    }

    /// No input is ever replaced.
    fn keep_inputs(&self, target: &Target) -> Result<()> {
        let gauge = self.request.gauge.file_read();
        let read = [&self.palette, &self.ways, &self.picture, &gauge];
        let read = read.into_iter().flatten().chain(&self.charts);
        Inputs::new(read.map(PathBuf::as_path)).check_apart(target, "-o")
    }

    fn palette(&self) -> Result<Option<(&Path, Palette)>> {
        let Some(file) = self.palette.as_deref() else {
            return Ok(None);
        };
        Ok(Some((file, palette_in_stock(file, &self.charts)?)))
    }

    /// The designer's picture, made small, and what was noticed of it.
    fn picture(&self, chart: &Chart) -> Result<Warned<Option<Pixels>>> {
        let mut noted = Warned {
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
}

/// What was written; nothing where the booklet itself goes to standard output.
fn tell(target: &Target, printed: &Printed, paper: Paper) -> Result<()> {
    let Some(path) = target.path() else {
        return Ok(());
    };
    let pages = printed.pages;
    let plural = if pages == 1 { "" } else { "s" };
    let size = decimals(printed.bytes.len() as f64 / 1000.0, 0);
    let sheet = sheet(paper);
    let line = format!(
        "{}: {pages} page{plural} of {sheet}, {size} kB\n",
        shown_path(path)
    );
    files::print(line.as_bytes())
}

fn sheet(paper: Paper) -> &'static str {
    if paper == PAPERS[0] {
        "A4"
    } else {
        "letter paper"
    }
}
