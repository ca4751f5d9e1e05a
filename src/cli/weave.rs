//! `upbead weave`: the rows as a weaver says them.

use super::work_args::WorkArgs;
use crate::chart::Chart;
use crate::chart::read::open;
use crate::error::{Error, Result};
use crate::files::{self, Replace, Target};
use crate::lattice::Row;
use crate::output::weave::{Keys, Work, guide, json, markdown, page, text};
use crate::report::{Span, frame};
use crate::weave::{TAIL, Thread, lengths, weave};
use clap::ValueEnum;
use std::path::{Path, PathBuf};

/// What `upbead weave --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Say the rows, bead by bead, to weave from\n\nRows 1 and 2 are strung together; then each row stands on a line: its way, how many beads, which ones in the \
        order of picking up, and the turn at its end, explained where it comes for the first time. After the rows: how to close the band, \
        weave in the ends, how much thread it takes, and what to do when something goes wrong. --page makes a page of it that shows one row at a time and \
        keeps the place.";

/// Options of `upbead weave`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  upbead weave band.json --rows 20..35 --as markdown\n  upbead weave band.json --page rows.html"
)]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    #[command(flatten)]
    work: WorkArgs,

    /// Only these rows, such as 20..35
    ///
    /// The chart's rows from the first to the last named, both included; 20.. goes on to the last row, ..35 begins at row 1, 20 is one row. They are
    /// told in the order of work. The default is all of them. With --json the passes, seam, thread and holes stay those of the whole band. Example:
    /// --rows 20..35
    #[arg(long, value_name = "ROWS", allow_hyphen_values = true)]
    rows: Option<String>,

    /// What to print: text or markdown
    ///
    /// text, the default, is for the terminal and for plain print; markdown is a document with a box to tick for each row. Example:
    /// --as markdown
    #[arg(
        long = "as",
        value_name = "FORM",
        default_value = "text",
        hide_default_value = true,
        hide_possible_values = true
    )]
    form: FormWord,

    /// Print JSON, for programs
    ///
    /// Prints rows, every pass of the needle, seam, thread and holes as one JSON document in place of words; `upbead schema --of weave` describes it. Off by
    /// default. Example: upbead weave band.json --json
    #[arg(long, conflicts_with_all = ["form", "keys"])]
    json: bool,

    /// Write a page to follow along, .html
    ///
    /// Writes one HTML file for a phone, tablet or computer beside the bead mat: the row at hand with its beads in the order of picking up, the chart
    /// beside it, the turn, and what comes next. It counts bead by bead if you wish, keeps your place in the browser, and never asks anything of a
    /// network. Colours go by their names unless --keys short. - writes it to standard output. Off by default. Example: --page rows.html
    #[arg(long, value_name = "FILE", conflicts_with_all = ["form", "json"])]
    page: Option<PathBuf>,

    /// Replace the page if it exists
    ///
    /// Lets --page replace a file that exists. Off by default. Example: --page rows.html --force
    #[arg(long, requires = "page")]
    force: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum FormWord {
    Text,
    Markdown,
}

/// Prints the guide of one chart, or writes its page.
pub(crate) fn run(args: &Args) -> Result<()> {
    let asked = args.rows.as_deref().map(Span::parse).transpose()?;
    let target = match &args.page {
        None => Target::Stdout,
        Some(path) => args.page_target(path)?,
    };
    let replace = match args.force {
        true => Replace::Yes,
        false => Replace::No,
    };
    files::check(&target, replace)?;
    let chart = open(&args.chart)?;
    let rows = asked
        .map(|asked| asked.within(&chart.lattice))
        .transpose()?;
    files::write(&target, args.told(&chart, rows)?.as_bytes(), replace)
}

impl Args {
    /// A phone opens a page by its ending; and the chart must not be lost to it.
    fn page_target(&self, path: &Path) -> Result<Target> {
        let target = Target::new(path);
        let ending = path.extension().and_then(|ending| ending.to_str());
        let html = ending
            .is_some_and(|ending| ["html", "htm"].contains(&ending.to_ascii_lowercase().as_str()));
        if !html && target != Target::Stdout {
            return Err(
                Error::usage(format!("'{}' does not end as a page does", path.display()))
                    .option("--page")
                    .hint("end its name in .html"),
            );
        }
        if target.path().is_some() && files::place(path) == files::place(&self.chart) {
            return Err(Error::usage(format!(
                "'{}' is read and cannot be written over",
                path.display()
            ))
            .option("--page")
            .hint("choose another name"));
        }
        Ok(target)
    }

    fn told(&self, chart: &Chart, rows: Option<(Row, Row)>) -> Result<String> {
        let begun = frame(&chart.lattice, self.work.hand, self.work.from)?;
        let weave = weave(&chart.lattice, begun);
        let lengths = lengths(&chart.lattice, &weave, Thread::default(), TAIL);
        let work = Work {
            chart,
            weave: &weave,
            lengths: &lengths,
            file: name_of(&self.chart).map(|name| match self.page {
                // A page is called as the design is, not as its file.
                Some(_) => name.strip_suffix(".json").unwrap_or(name),
                None => name,
            }),
            rows,
            keys: self.work.keys.map(Keys::from),
        };
        if self.page.is_some() {
            return page(&work);
        }
        Ok(match (self.json, self.form) {
            (true, _) => json(&work),
            (false, FormWord::Text) => text(&guide(&work)),
            (false, FormWord::Markdown) => markdown(&guide(&work)),
        })
    }
}

/// The file's name without its folder; standard input has none.
fn name_of(path: &Path) -> Option<&str> {
    match path.to_str() {
        Some("-") => None,
        _ => path.file_name()?.to_str(),
    }
}
