//! `upbead weave`: the rows, written out to weave from.

use crate::chart::Chart;
use crate::chart::read::open;
use crate::error::{Error, Result};
use crate::files::{self, Inputs, Replace, Target};
use crate::output::weave::{json, markdown, page, text};
use crate::report::weave::{WeaveReport, WovenBand};
use crate::request::WeaveRequest;
use clap::ValueEnum;
use std::path::{Path, PathBuf};

/// What `upbead weave --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Write the rows out, bead by bead\n\n\
    Rows 1 and 2 are strung together; then each row has a line: its direction, how many beads, \
    which ones in the order of picking up, and the turn at its end, explained where it comes for \
    the first time. After the rows: when to try a ring on and which plain rows change its size, \
    how to close the band, weave in the ends, how much thread it takes, and what to do when \
    something goes wrong. --page makes a page of it that shows one row at a time and keeps the \
    place.";

/// Options of `upbead weave`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  upbead weave band.json --rows 20..35 --as markdown\n  \
        upbead weave band.json --page rows.html"
)]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    #[command(flatten)]
    request: WeaveRequest,

    /// What to print: text or markdown
    ///
    /// text, the default, is for the terminal and for plain print; markdown is a document with a
    /// box to tick for each row. Example: --as markdown
    #[arg(
        long = "as",
        value_name = "FORM",
        value_enum,
        hide_possible_values = true
    )]
    form: Option<Form>,

    /// Print JSON, for programs
    ///
    /// Prints rows, every pass of the needle, seam, thread and holes as one JSON document in place
    /// of words; `upbead schema --of weave` describes it. Off by default.
    /// Example: upbead weave band.json --json
    #[arg(long)]
    json: bool,

    /// Write a page to follow along, .html
    ///
    /// Writes one HTML file for a phone, tablet or computer beside the bead mat: the row at hand
    /// with its beads in the order of picking up, the chart beside it, the turn, and what comes
    /// next. It counts bead by bead if you wish, keeps your place in the browser, and never asks
    /// anything of a network. Colours go by their names unless --keys short. - writes it to
    /// standard output. Off by default. Example: --page rows.html
    #[arg(long, value_name = "FILE")]
    page: Option<PathBuf>,

    /// Replace the page if it exists
    ///
    /// Lets --page replace a file that exists. Off by default. Example: --page rows.html --force
    #[arg(long)]
    force: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Form {
    Text,
    Markdown,
}

/// Prints the guide of one chart, or writes its page.
pub(crate) fn run(args: &Args) -> Result<()> {
    args.check()?;
    let target = match &args.page {
        None => Target::Stdout,
        Some(path) => args.page_target(path)?,
    };
    let replace = if args.force {
        Replace::Yes
    } else {
        Replace::No
    };
    files::check(&target, replace)?;
    let written = args.written(&open(&args.chart)?)?;
    files::write(&target, written.as_bytes(), replace)
}

impl Args {
    /// One output at a time.
    fn check(&self) -> Result<()> {
        let two = |option: &str, what: &str, other: &str| {
            Err(Error::usage(format!("{what} is a form of its own"))
                .option(option)
                .hint(format!("leave out [--{option}] or [--{other}]")))
        };
        match (&self.form, self.json, &self.page) {
            (Some(_), true, _) => two("as", "JSON", "json"),
            (Some(_), false, Some(_)) => two("as", "a page", "page"),
            (None, true, Some(_)) => two("json", "a page", "page"),
            (None, true, None) => self.request.check_json(),
            (_, false, None) if self.force => Err(Error::usage("only a page can be replaced")
                .option("force")
                .hint("add [--page], or leave [--force] out")),
            _ => Ok(()),
        }
    }

    /// A phone opens a page by its ending; and the chart must not be lost to it.
    fn page_target(&self, path: &Path) -> Result<Target> {
        let target = Target::new(path);
        let ending = path.extension().and_then(|ending| ending.to_str());
        let html = ending
            .is_some_and(|ending| ["html", "htm"].contains(&ending.to_ascii_lowercase().as_str()));
        if !html && target != Target::Stdout {
            return Err(
                Error::usage(format!("'{}' does not end as a page does", path.display()))
                    .option("page")
                    .hint("end its name in .html"),
            );
        }
        Inputs::new([self.chart.as_path()]).check_apart(&target, "page")?;
        Ok(target)
    }

    fn written(&self, chart: &Chart) -> Result<String> {
        let name = name_of(&self.chart).map(|name| match self.page {
            // A page is called as the design is, not as its file.
            Some(_) => name.strip_suffix(".json").unwrap_or(name),
            None => name,
        });
        let band = WovenBand::new(chart, &self.request, name)?;
        if self.page.is_some() {
            return page(band);
        }
        let report = WeaveReport::of(&band);
        Ok(match self.form {
            _ if self.json => json(&report),
            Some(Form::Markdown) => markdown(&report),
            Some(Form::Text) | None => text(&report),
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
