//! `upbead schema`: the JSON Schemas of what the program writes, as they are built in.

use crate::error::Result;
use crate::{chart, files, weave};
use clap::ValueEnum;

/// What `upbead schema --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Print the JSON Schema of chart files\n\nIt describes every field in words, for editors that check a file while it is written and for programs of your own. \
        The schema is draft 2020-12; the program checks more than a schema can say, such as the length of each row.";

/// Options.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  upbead schema > chart.schema.json
  upbead schema --of weave | less")]
pub(crate) struct Args {
    /// Of what: chart or weave
    ///
    /// chart, the default, is the chart file; weave is what `upbead weave --json` prints. Example: --of weave
    #[arg(
        long,
        value_name = "WHAT",
        default_value = "chart",
        hide_default_value = true,
        hide_possible_values = true
    )]
    of: What,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum What {
    Chart,
    Weave,
}

pub(crate) fn run(args: &Args) -> Result<()> {
    let schema = match args.of {
        What::Chart => chart::SCHEMA,
        What::Weave => weave::SCHEMA,
    };
    files::print(schema.as_bytes())
}
