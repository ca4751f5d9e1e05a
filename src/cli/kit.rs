//! `upbead kit`: what to gather for one band or many.

use crate::chart::read;
use crate::error::{Error, Result};
use crate::files;
use crate::output::kit::{Answer, csv, json, missing, text};
use crate::palette::{self, Palette};
use crate::report::{Gathered, check_thread};
use crate::weave::kit::{Options, kit, owned};
use std::path::{Path, PathBuf};

/// What `upbead kit --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Gather beads, thread and needle\n\nCounts the beads of each colour for one band or many, with some to spare, and weighs them; says what your \
        palette lacks and what it costs; measures the thread, item by item; and names the needle that goes through the fullest hole.\n\n\
        Colours are matched by code. The palette's per_gram goes before the size's; empty grams mean that you have enough; price is of a gram.";

/// Options of `upbead kit`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  upbead kit band.json\n  upbead kit band.json --palette owned.csv --make 12 --as csv"
)]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    /// What you own, CSV or GPL
    ///
    /// A palette with the chart's codes, as for `upbead chart`; - is standard input. With it the kit says what is lacking and, where the palette has
    /// prices, what it costs. A colour that it does not have is an error; write it with 0 grams. Example: --palette owned.csv
    #[arg(long, value_name = "FILE")]
    palette: Option<PathBuf>,

    /// Bands to make [1]
    ///
    /// How many bands of this chart, 1 (the default) to 100,000. Example: --make 12
    #[arg(long, value_name = "COUNT", allow_hyphen_values = true)]
    make: Option<String>,

    /// Beads to spare [10%]
    ///
    /// Percent more of each colour, 0 to 1000, rounded up to whole beads. The default is 10: uneven beads are culled, some break and some roll
    /// away. Example: --spare 25%
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    spare: Option<String>,

    /// Thickness of the thread in mm [0.15]
    ///
    /// From 0.05 to 1 mm, and thinner than the hole. The default, 0.15, is gel-spun thread of 6 lb. A thin thread has more play in the holes, and leaves
    /// more room for the needle. Example: --thread 0.13
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    thread: Option<String>,

    /// Tail at the stopper bead in mm [100]
    ///
    /// Thread left hanging where the work begins, 0 to 1000 mm; 100 is the default. It is woven in at the end, and what that takes is
    /// the least that is reckoned. Example: --tail 150
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    tail: Option<String>,

    /// Format: text or csv
    ///
    /// text (the default) is for people; csv has a header and a row a colour, for a spreadsheet, and leaves out thread and needle. Example: --as csv
    #[arg(
        long = "as",
        value_name = "FORMAT",
        value_enum,
        hide_possible_values = true
    )]
    format: Option<Format>,

    /// Print JSON, for programs
    ///
    /// All of it, with units in the names. Off by default. Example: upbead kit band.json --json
    #[arg(long, conflicts_with = "format")]
    json: bool,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum Format {
    Text,
    Csv,
}

/// Prints the kit for one chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    let options = args.options()?;
    let palette = args.palette()?;
    let chart = read::open(&args.chart)?;
    check_thread(&chart, options.thread)?;
    let owned = match &palette {
        None => None,
        Some((file, palette)) => Some(
            owned(&chart, palette)
                .map_err(|lacking| missing(&chart, palette, &lacking).file(file))?,
        ),
    };
    let answer = Answer {
        chart: &chart,
        palette: palette.as_ref().map(|(_, palette)| palette),
        kit: &kit(&chart, owned.as_ref(), options)?,
    };
    let printed = match (args.json, args.format) {
        (true, _) => json(&answer)?,
        (false, Some(Format::Csv)) => csv(&answer),
        (false, Some(Format::Text) | None) => text(&answer),
    };
    files::print(printed.as_bytes())
}

impl Args {
    fn options(&self) -> Result<Options> {
        let asked = Gathered {
            make: self.make.as_deref(),
            spare: self.spare.as_deref(),
            thread: self.thread.as_deref(),
            tail: self.tail.as_deref(),
            length: None,
        };
        asked.kit()
    }

    fn palette(&self) -> Result<Option<(&Path, Palette)>> {
        let read = |file| Ok((file, owner_palette(file, &self.chart)?));
        self.palette.as_deref().map(read).transpose()
    }
}

/// The owner's palette; it cannot come from where the chart does.
pub(super) fn owner_palette(file: &Path, chart: &Path) -> Result<Palette> {
    if file == Path::new("-") && chart == Path::new("-") {
        return Err(
            Error::usage("chart and palette cannot both come from standard input")
                .option("--palette")
                .hint("name a file for one of them"),
        );
    }
    palette::read::open(file)
}
