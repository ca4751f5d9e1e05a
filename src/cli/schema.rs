//! `upbead schema`: the JSON Schemas of what the program writes.

use crate::error::{Error, Result, nearest_names};
use crate::output::json::document;
use crate::report::chart::{ChartDocument, ChartReport};
use crate::report::check::CheckReport;
use crate::report::compare::CompareReport;
use crate::report::fit::FitReport;
use crate::report::gauge::GaugeReport;
use crate::report::kit::KitReport;
use crate::report::mend::MendReport;
use crate::report::order::OrderReport;
use crate::report::palette::PaletteReport;
use crate::report::photo::PhotoReport;
use crate::report::propose::ProposeReport;
use crate::report::read::ReadReport;
use crate::report::resize::ResizeReport;
use crate::report::schema;
use crate::report::swap::SwapReport;
use crate::report::ways::WaysReport;
use crate::request::design;
use crate::{chart, files, weave};

/// What `upbead schema --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Print the JSON Schema of a file or report\n\n\
    It describes every field in words, for editors that check a file while it is written and for \
    programs of your own. The schema is draft 2020-12; the program checks more than a schema can \
    say, such as the length of each row of a chart.";

/// Makes a schema.
type Make = fn() -> Result<String>;

/// What there are schemas of: the chart's file, what verbs print with --json, and what the desk
/// answers to its page.
const SCHEMAS: &[(&str, Make)] = &[
    ("chart", || Ok(chart::SCHEMA.to_string())),
    ("design", || Ok(design::SCHEMA.to_string())),
    ("weave", || Ok(weave::SCHEMA.to_string())),
    ("fit", || document(&schema::<FitReport>())),
    ("gauge", || document(&schema::<GaugeReport>())),
    ("resize", || document(&schema::<ResizeReport>())),
    ("kit", || document(&schema::<KitReport>())),
    ("order", || document(&schema::<OrderReport>())),
    ("check", || document(&schema::<CheckReport>())),
    ("chart-report", || document(&schema::<ChartDocument>())),
    ("propose", || document(&schema::<ProposeReport>())),
    ("refine", || document(&schema::<ChartReport>())),
    ("compare", || document(&schema::<CompareReport>())),
    ("mend", || document(&schema::<MendReport>())),
    ("read", || document(&schema::<ReadReport>())),
    ("swap", || document(&schema::<SwapReport>())),
    ("ways", || document(&schema::<WaysReport>())),
    ("palette", || document(&schema::<PaletteReport>())),
    ("photo", || document(&schema::<PhotoReport>())),
    #[cfg(feature = "desk")]
    ("desk", || document(&schema::<crate::desk::Answers>())),
];

/// Options.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  upbead schema > chart.schema.json
  upbead schema --of kit | less")]
pub(crate) struct Args {
    /// Of what: chart, or a verb with --json [chart]
    ///
    /// chart, the default, is the chart file, and design the file of a band made of layers; weave,
    /// fit, resize, kit, check, propose, refine, compare, swap, read and palette are what those
    /// verbs print with --json. chart-report is what `upbead chart --json` prints, order what
    /// `upbead kit --json` prints for several charts, mend what `upbead set`, `shift`, `flip` and
    /// `repeat` print, ways what `upbead swap` prints with --map, --ways or --suggest, gauge what
    /// `upbead fit --remember --json` prints without a size, photo what `upbead palette from-photo
    /// --json` prints, and desk what `upbead desk` answers to its page.
    /// Example: --of weave
    #[arg(long, value_name = "WHAT")]
    of: Option<String>,
}

pub(crate) fn run(args: &Args) -> Result<()> {
    let wanted = args.of.as_deref().unwrap_or(SCHEMAS[0].0);
    match SCHEMAS.iter().find(|(name, _)| *name == wanted) {
        Some((_, make)) => files::print(make()?.as_bytes()),
        None => Err(unknown(wanted)),
    }
}

fn unknown(wanted: &str) -> Error {
    let names: Vec<&str> = SCHEMAS.iter().map(|(name, _)| *name).collect();
    let hint = match nearest_names(wanted, names.iter().copied()).first() {
        Some(near) => format!("did you mean {near}?"),
        None => format!("there are schemas of {}", names.join(", ")),
    };
    Error::usage(format!("there is no schema of '{wanted}'"))
        .option("of")
        .hint(hint)
}
