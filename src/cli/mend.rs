//! What the verbs that change a finished chart have in common: the chart that is read, the one that
//! is written, and what is printed.

use crate::chart::{Chart, read, write};
use crate::error::{Error, Result};
use crate::files::{self, Inputs, Replace, Target};
use crate::output::json::document;
use crate::output::mend::text;
use crate::report::mend::MendReport;
use std::path::{Path, PathBuf};

/// Where the changed chart goes, and what is printed.
#[derive(Debug, clap::Args)]
pub(super) struct Output {
    /// Chart file to write; without it, the one read
    ///
    /// By default the chart that is read is changed in place, which needs --force. - is standard
    /// output, and the default where the chart comes from standard input. Example: -o mended.json
    #[arg(short, long, value_name = "FILE", help_heading = "Output")]
    output: Option<PathBuf>,

    /// Change the chart in place, or replace a file
    ///
    /// Lets the changed chart replace the one that it is made of, or a file that -o names. Off by
    /// default. Example: --force
    #[arg(long, help_heading = "Output")]
    force: bool,

    /// Print what changed as JSON
    ///
    /// Prints one JSON document for other programs in place of text. `upbead schema --of mend`
    /// describes it. Off by default. Example: --json
    #[arg(long, help_heading = "Output")]
    json: bool,
}

impl Output {
    /// Reads the chart, changes it, writes it and prints what changed. `also_read` is never written
    /// over.
    pub(super) fn write(
        &self,
        chart: &Path,
        also_read: Option<&Path>,
        change: impl FnOnce(&Chart) -> Result<Chart>,
    ) -> Result<()> {
        let target = self.target(chart)?;
        let replace = Replace::from(self.force);
        if let Some(other) = also_read {
            Inputs::new([other]).check_apart(&target, "-o")?;
        }
        files::check(&target, replace)?;
        let before = read::open(chart)?;
        let after = change(&before).map_err(|error| error.file_unless_option(chart))?;
        files::write(&target, write::write(&after).as_bytes(), replace)?;
        let report = MendReport::new(target.path(), &before, &after);
        let printed = if self.json {
            document(&report)?
        } else {
            text(&report)
        };
        super::publish(&printed, &target)
    }

    fn target(&self, chart: &Path) -> Result<Target> {
        let target = match &self.output {
            Some(output) => Target::new(output),
            None if chart == Path::new("-") => Target::Stdout,
            None if self.force => Target::File(chart.to_path_buf()),
            None => {
                return Err(Error::usage("nothing says where the changed chart goes")
                    .hint("add --force to change the chart in place, or name a file with -o"));
            }
        };
        if self.json && target == Target::Stdout {
            return Err(Error::usage(
                "the chart and what changed cannot both go to standard output",
            )
            .option("--json")
            .hint("give the chart a file with -o"));
        }
        Ok(target)
    }
}
