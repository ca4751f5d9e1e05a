//! `upbead kit`: what to gather for one band or many, of one chart or several.

use crate::chart::read;
use crate::error::{Error, Result};
use crate::files;
use crate::output::json::document;
use crate::output::kit::{csv, order_csv, order_text, text};
use crate::palette::{self, Palette};
use crate::report::kit::{InStock, KitReport};
use crate::report::order::OrderReport;
use crate::request::{KitRequest, Reader};
use crate::warning::Warned;
use std::path::{Path, PathBuf};

/// What `upbead kit --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Gather beads, thread and needle\n\n\
    Counts the beads of each colour for one band or many, with some to spare, and weighs them; \
    says what you have to buy and what it costs; measures the thread, item by item; and names the \
    needle that goes through the fullest hole. Several charts make one shopping list, for a class \
    or an order.\n\n\
    Colours are matched by code. The palette's per_gram is used before the size's; empty grams \
    mean that you have enough; price is of a gram; per_pack is the grams in a pack, and what to \
    buy is then told in whole packs.";

/// Options of `upbead kit`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  upbead kit band.json\n  \
    upbead kit band.json --palette stock.csv --make 12 --as csv")]
pub(crate) struct Args {
    /// Chart files; - is standard input
    #[arg(value_name = "CHART", required = true)]
    charts: Vec<PathBuf>,

    /// Beads in stock, CSV or GPL
    ///
    /// A palette with the chart's codes, as for `upbead chart`; - is standard input. With it the
    /// kit says what is short and, where the palette has prices, what it costs. A colour that it
    /// does not have is an error; write it with 0 grams. Example: --palette stock.csv
    #[arg(long, value_name = "FILE")]
    palette: Option<PathBuf>,

    #[command(flatten)]
    request: KitRequest,

    /// Format: text or csv
    ///
    /// text (the default) is for people; csv has a header and a row a colour, for a spreadsheet,
    /// and leaves out thread and needle. Example: --as csv
    #[arg(
        long = "as",
        value_name = "FORMAT",
        value_enum,
        hide_possible_values = true
    )]
    format: Option<Format>,

    /// Print JSON, for programs
    ///
    /// All of it, with units in the names; `upbead schema --of kit` describes it, and --of order
    /// that of several charts. Off by default.
    /// Example: upbead kit band.json --json
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum Format {
    Text,
    Csv,
}

/// Prints the kit for one chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    if args.json && args.format.is_some() {
        return Err(Error::usage("JSON is a format of its own")
            .option("as")
            .hint("leave out [--as] or [--json]"));
    }
    if args.json {
        args.request.units.check_fixed("JSON")?;
    } else if let Some(Format::Csv) = args.format {
        args.request.units.check_fixed("CSV")?;
    }
    let palette = args.palette()?;
    let in_stock = palette
        .as_ref()
        .map(|(file, palette)| InStock { file, palette });
    let printed = match &args.charts[..] {
        [chart] => args.one(chart, in_stock)?,
        charts => args.several(charts, in_stock)?,
    };
    files::print(printed.as_bytes())
}

/// CSV, with its warnings told.
fn told(csv: Warned<String>) -> String {
    for warning in &csv.warnings {
        super::say(&format!("note: {warning}\n"));
    }
    csv.value
}

impl Args {
    /// The kit of one chart.
    fn one(&self, chart: &Path, in_stock: Option<InStock>) -> Result<String> {
        let report = KitReport::new(&self.request, &read::open(chart)?, in_stock)?;
        Ok(match self.format {
            _ if self.json => document(&report)?,
            Some(Format::Csv) => told(csv(&report)),
            Some(Format::Text) | None => text(&report),
        })
    }

    /// One shopping list for several charts.
    fn several(&self, charts: &[PathBuf], in_stock: Option<InStock>) -> Result<String> {
        let files: Vec<&Path> = charts.iter().map(PathBuf::as_path).collect();
        let charts = super::open_all(charts)?;
        let report = OrderReport::new(&self.request, &charts, &files, in_stock, Reader::Maker)?;
        Ok(match self.format {
            _ if self.json => document(&report)?,
            Some(Format::Csv) => told(order_csv(&report)),
            Some(Format::Text) | None => order_text(&report),
        })
    }

    fn palette(&self) -> Result<Option<(&Path, Palette)>> {
        let read = |file| Ok((file, palette_in_stock(file, &self.charts)?));
        self.palette.as_deref().map(read).transpose()
    }
}

/// The palette of beads in stock; it cannot come from where the chart does.
pub(super) fn palette_in_stock(file: &Path, charts: &[PathBuf]) -> Result<Palette> {
    if file == Path::new("-") && charts.iter().any(|chart| chart == Path::new("-")) {
        return Err(
            Error::usage("chart and palette cannot both come from standard input")
                .option("palette")
                .hint("name a file for one of them"),
        );
    }
    palette::read::open(file)
}
