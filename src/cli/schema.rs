//! `upbead schema`: the JSON Schema of chart files, as it is built in.

use crate::chart::SCHEMA;
use crate::error::Result;
use crate::files;

/// What `upbead schema --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Print the JSON Schema of chart files\n\nIt describes every field in words, for editors that check a file while it is written and for programs of your own. \
        The schema is draft 2020-12; the program checks more than a schema can say, such as the length of each row.";

/// Options.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  upbead schema > chart.schema.json\n  upbead schema | less")]
pub(crate) struct Args {}

pub(crate) fn run(_: &Args) -> Result<()> {
    files::print(SCHEMA.as_bytes())
}
