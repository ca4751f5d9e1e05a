//! `upbead compare`: how far a chart looks from its picture.

use super::numbers::{decimal, whole};
use crate::chart::read;
use crate::error::{Error, Result};
use crate::files;
use crate::output::compare::{Compared, json, text};
use crate::pipeline::{Source, compare};
use crate::report::{FitWord, Laid, distances};
use crate::vision::band::DISTANCES;
use std::path::PathBuf;

/// What `upbead compare --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Measure how far a chart looks from its picture\n\nPrints the difference that is left after the eye has blurred both from each distance (S-CIELAB, \
        CIEDE2000), the plain difference bead by bead, and how restless the rows are. The picture lies as it lay when the chart was made; the options lay it \
        otherwise, for charts that do not say.";

/// Options of `upbead compare`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  upbead compare band.json --picture bird.png\n  upbead compare band.json --picture bird.png --seen 500 --json"
)]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    /// The picture that the chart is of
    ///
    /// Any file that `upbead chart` reads, or - for standard input. A note says if it is not the one that the chart names. Needed. Example: --picture bird.png
    #[arg(long, value_name = "FILE")]
    picture: PathBuf,

    /// Distances to look from in mm [300,700,2000]
    ///
    /// 100 to 20,000 mm, parted by commas, at most 8. The default is in the hand, worn, and across a table: 300,700,2000. Example: --seen 500
    #[arg(long, value_name = "MM,..", allow_hyphen_values = true)]
    seen: Option<String>,

    /// Print the figures as JSON
    ///
    /// Prints one JSON document for other programs in place of the table. Off by default. Example: --json
    #[arg(long)]
    json: bool,

    /// Where it goes: round, motif or repeat:N
    ///
    /// As for `upbead chart`. By default as the chart says, or round. Example: --place motif
    #[arg(long, value_name = "PLACE", help_heading = "Picture")]
    place: Option<String>,

    /// Quarter turn: auto, 0, 90, 180 or 270
    ///
    /// As for `upbead chart`. By default as the chart says, or auto. Example: --turn 0
    #[arg(
        long,
        value_name = "DEGREES",
        allow_negative_numbers = true,
        help_heading = "Picture"
    )]
    turn: Option<String>,

    /// Part of the picture to use, in pixels
    ///
    /// As for `upbead chart`. By default as the chart says, or all of it. Example: --crop 120,0,300,900
    #[arg(
        long,
        value_name = "X,Y,W,H",
        allow_hyphen_values = true,
        help_heading = "Picture"
    )]
    crop: Option<String>,

    /// Fit: cover, contain or stretch
    ///
    /// As for `upbead chart`. By default as the chart says, or as suits the place. Example: --fit stretch
    #[arg(
        long,
        value_name = "FIT",
        value_enum,
        hide_possible_values = true,
        help_heading = "Picture"
    )]
    fit: Option<FitWord>,

    /// Plain columns along either edge
    ///
    /// As for `upbead chart`. By default as the chart says, or 0. Example: --margin 1
    #[arg(long, value_name = "COLUMNS", allow_negative_numbers = true, value_parser = whole::<u32>, help_heading = "Picture")]
    margin: Option<u32>,

    /// How crisp the picture was made: 0 to 1
    ///
    /// As for `upbead chart`: 0 measures beside the picture as it is. By default as the chart says, or 0. Example: --crisp 0
    #[arg(long, value_name = "CRISP", allow_negative_numbers = true, value_parser = decimal, help_heading = "Picture")]
    crisp: Option<f64>,

    /// Colour where there is no picture
    ///
    /// A code of the chart, or six hex digits. By default the ground that the chart names, or black. Example: --ground 1C3261
    #[arg(long, value_name = "CODE|HEX", help_heading = "Picture")]
    ground: Option<String>,
}

/// Measures one chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    let seen = args.seen.as_deref().map(distances).transpose()?;
    let seen = seen.unwrap_or(DISTANCES.to_vec());
    if args.chart == args.picture {
        return Err(Error::usage("the chart and its picture cannot be one file")
            .option("--picture")
            .hint("name the picture that the chart was made of"));
    }
    let chart = read::open(&args.chart)?;
    let beside = args.laid().beside(&chart, &args.chart)?;
    let source = Source {
        name: args.picture.display().to_string(),
        bytes: files::read(&args.picture)?,
    };
    let compared =
        compare(source, &chart, &beside, &seen).map_err(|error| error.file(&args.picture))?;
    let told = Compared {
        file: &args.chart,
        picture: &args.picture,
        chart: &chart,
        figures: &compared.value,
        notes: &compared.notes,
    };
    let printed = match args.json {
        true => json(&told),
        false => text(&told),
    };
    files::print(printed.as_bytes())
}

impl Args {
    fn laid(&self) -> Laid<'_> {
        Laid {
            place: self.place.as_deref(),
            turn: self.turn.as_deref(),
            crop: self.crop.as_deref(),
            fit: self.fit,
            margin: self.margin,
            crisp: self.crisp,
            ground: self.ground.as_deref(),
        }
    }
}
