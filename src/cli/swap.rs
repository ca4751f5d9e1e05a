//! `upbead swap`: a finished chart in the colours of another palette.

mod ways;

use crate::chart::{read, write};
use crate::error::{Error, Result};
use crate::files::{self, Inputs, Replace, Target};
use crate::output::json::document;
use crate::output::swap::text;
use crate::palette;
use crate::quantize::swap::swap;
use crate::report::swap::{Swap, SwapReport};
use crate::request::SwapRequest;
use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};

/// What `upbead swap --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Move a finished chart onto another palette\n\n\
    Each colour of the chart becomes another bead of the palette, all of them chosen together: as \
    near as can be over all beads, colours that were told apart stay so, and lighter ones stay \
    lighter, as far as the palette allows. The beads stay where they are. Each substitution is \
    listed with its difference (CIEDE2000) and its beads.\n\n\
    With --map just the colours that you name are replaced. With --ways a table makes many \
    colourways at once, with --suggest the program chooses them from your palette; both write a \
    chart for each and a contact sheet, PNG or PDF, with ring, strip, name and beads. A \
    colourway's chart names the design that it is of.";

/// Options of `upbead swap`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    upbead swap band.json --palette owned.csv -o mine.json\n  \
    upbead swap band.json --suggest 6 --palette owned.csv -o ways.png")]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    /// The colours to move to, CSV or GPL
    ///
    /// A palette with at least as many colours as the chart uses; - is standard input. Its grams,
    /// where stated, say which of them are too few. With --map and --ways it has the colours that
    /// the chart does not have yet. Needed, but for those two. Example: --palette owned.csv
    #[arg(long, value_name = "FILE")]
    palette: Option<PathBuf>,

    #[command(flatten)]
    request: SwapRequest,

    /// A table of colourways, CSV
    ///
    /// The first line names the colourways: colour,night,dawn. Each further line begins with a
    /// colour of the chart; the other cells have the colour in its place in each colourway, by code
    /// or by a name that only one colour has. An empty cell, or a colour without a line, stays.
    /// None by default. Example: --ways ways.csv -o ways.png
    #[arg(long, value_name = "FILE")]
    ways: Option<PathBuf>,

    /// Chart to write, or sheet or folder of colourways
    ///
    /// By default the chart's name with the palette's after it, in the current folder:
    /// band-owned.json; - is standard output. --ways and --suggest need it: a contact sheet that
    /// ends in .png or .pdf, beside which the charts go, or a folder that exists, which gets charts
    /// and both sheets. Example: -o mine.json, or -o ways.png
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
    /// One JSON document for other programs in place of text, as `upbead schema --of swap`
    /// describes it, or --of ways for --map, --ways and --suggest. Off by default. Example: --json
    #[arg(long)]
    json: bool,
}

/// Where colourways go.
struct Place {
    /// The folder of the charts.
    folder: PathBuf,
    /// The sheet as a picture.
    sheet: Option<PathBuf>,
    /// The sheet as pages.
    pages: Option<PathBuf>,
}

/// Swaps the colours of one chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    args.check_one_way()?;
    if let Some(map) = &args.request.map {
        return ways::map(args, map);
    }
    if args.ways.is_some() || args.request.suggest.is_some() {
        return ways::several(args);
    }
    let Some(palette) = &args.palette else {
        return Err(
            Error::usage("nothing says which colours take the place of the chart's")
                .hint("add [--palette], [--map], [--ways] or [--suggest]"),
        );
    };
    let target = args.target();
    let replace = Replace::from(args.force);
    args.check(&target, replace)?;
    let palette = palette::read::open(palette)?;
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
        let mut name = self.stem();
        name.push("-");
        name.push(match &self.palette {
            Some(palette) if self.request.map.is_none() => stem(palette, "swapped"),
            _ => "swapped".into(),
        });
        name.push(".json");
        Target::File(name.into())
    }

    /// The chart's name without folder and ending.
    fn stem(&self) -> OsString {
        stem(&self.chart, "band")
    }

    /// The chart's name with something after it.
    fn named(&self, end: &str) -> OsString {
        let mut name = self.stem();
        name.push(end);
        name
    }

    /// Where colourways go: a folder that gets all, or a sheet with the charts beside it.
    fn place(&self) -> Result<Place> {
        let Some(output) = self.output.as_deref() else {
            return Err(Error::usage("nothing says where the colourways go")
                .option("-o")
                .hint("name a folder or a sheet with -o, such as -o ways or -o ways.png"));
        };
        let ending = output.extension().and_then(OsStr::to_str);
        let ending = ending.map(str::to_lowercase).unwrap_or_default();
        if output.is_dir() {
            let sheet = |ending| Some(output.join(self.named(ending)));
            return Ok(Place {
                folder: output.to_path_buf(),
                sheet: sheet("-ways.png"),
                pages: sheet("-ways.pdf"),
            });
        }
        let only = |wanted: &str| (ending == wanted).then(|| output.to_path_buf());
        let (sheet, pages) = (only("png"), only("pdf"));
        if sheet.is_some() || pages.is_some() {
            return Ok(Place {
                folder: output.parent().unwrap_or(Path::new("")).to_path_buf(),
                sheet,
                pages,
            });
        }
        Err(
            Error::usage(format!("there is no folder '{}'", output.display()))
                .option("-o")
                .hint("make the folder first, or name a sheet that ends in .png or .pdf"),
        )
    }

    /// Makes sure that colours are chosen in one way.
    fn check_one_way(&self) -> Result<()> {
        let given = [
            ("map", self.request.map.is_some()),
            ("ways", self.ways.is_some()),
            ("suggest", self.request.suggest.is_some()),
        ];
        let mut given = given.iter().filter(|(_, given)| *given);
        match (given.next(), given.next()) {
            (Some((one, _)), Some((other, _))) => Err(Error::usage(format!(
                "--{one} and --{other} cannot both choose the colours"
            ))
            .option(other)
            .hint("leave one of them out")),
            _ => Ok(()),
        }
    }

    /// Makes sure that nothing is read twice or written over.
    fn check(&self, target: &Target, replace: Replace) -> Result<()> {
        self.check_stdin()?;
        if self.json && *target == Target::Stdout {
            return Err(Error::usage(
                "the chart and what became of it cannot both go to standard output",
            )
            .option("--json")
            .hint("give the chart a file with -o"));
        }
        let read = [Some(&self.chart), self.palette.as_ref()];
        let read = read.into_iter().flatten().map(PathBuf::as_path);
        Inputs::new(read).check_apart(target, "-o")?;
        files::check(target, replace)
    }

    /// Makes sure that standard input is read once.
    fn check_stdin(&self) -> Result<()> {
        let stdin = Path::new("-");
        let others = [
            ("palette", self.palette.as_deref()),
            ("table", self.ways.as_deref()),
        ];
        let mut read = others.iter().filter(|(_, path)| *path == Some(stdin));
        let (first, option, second) = match (self.chart == stdin, read.next(), read.next()) {
            (true, Some((other, _)), _) => ("chart", other, other),
            (false, Some((one, _)), Some((other, _))) => (*one, other, other),
            _ => return Ok(()),
        };
        let option = if *option == "table" { "ways" } else { option };
        Err(Error::usage(format!(
            "{first} and {second} cannot both come from standard input"
        ))
        .option(option)
        .hint("name a file for one of them"))
    }
}

/// A file's name without folder and ending, or what standard input is called.
fn stem(path: &Path, unnamed: &str) -> OsString {
    if path == Path::new("-") {
        unnamed.into()
    } else {
        path.file_stem().unwrap_or(unnamed.as_ref()).to_os_string()
    }
}
