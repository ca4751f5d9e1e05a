//! `upbead propose`: several ways to chart a picture.

use super::publish;
use crate::chart::Chart;
use crate::chart::write::write;
use crate::error::{Error, Result};
use crate::files::{self, Inputs, Replace, Target};
use crate::output::json::document;
use crate::output::propose::{sheet, text};
use crate::output::{Kind, chart as words};
use crate::palette::{Palette, read};
use crate::pipeline::{Proposal, propose, settings};
use crate::report::chart::{AboutBand, ChartReport, Files};
use crate::report::propose::{ProposalFiles, ProposeReport};
use crate::request::{
    BandRequest, BeadRequest, CalmRequest, ChartRequest, ColourRequest, DistanceRequest,
    GaugeRequest, PictureRequest, RingRequest,
};
use std::path::{Path, PathBuf};

/// What `upbead propose --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Show several ways to chart a picture\n\n\
    Charts the picture in four to six ways that differ visibly: as read, on another ground, in \
    fewer colours, calmer, repeated, larger, another part of it and so on, as the artwork allows. \
    What you ask for holds in all of them. Each is listed with its colours, its figures and the \
    command that makes it; -o shows them side by side in one picture, --take writes the chart of \
    one.";

/// Options of `upbead propose`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    upbead propose bird.png --palette mine.csv --size us7 -o proposals.png\n  \
    upbead propose bird.png --palette mine.csv --size us7 --take 3 -o band.json")]
pub(crate) struct Args {
    /// Picture, or - for standard input
    #[arg(value_name = "PICTURE")]
    picture: PathBuf,

    /// Palette of your beads: CSV or GIMP palette
    ///
    /// File with the colours to choose from, as for `upbead chart`. Needed.
    /// Example: --palette mine.csv
    #[arg(long, short, value_name = "FILE")]
    palette: PathBuf,

    /// Picture of the proposals, or with --take a chart
    ///
    /// A .png file that shows each proposal as flat chart and as ring, with its number, colours,
    /// figures and command. None by default. With --take the file for the chart, or - for standard
    /// output; by default the picture's name with .json, in the current folder.
    /// Example: -o proposals.png
    #[arg(long, short, value_name = "FILE", help_heading = "Output")]
    output: Option<PathBuf>,

    /// Write the chart of the proposal of this number
    ///
    /// From 1, as they are numbered in the list and in the picture. The chart is the one that the
    /// proposal's command makes, and is told as `upbead chart` tells it. By default no chart is
    /// written. Example: --take 3 -o band.json
    #[arg(
        long,
        value_name = "NUMBER",
        allow_negative_numbers = true,
        help_heading = "Output"
    )]
    take: Option<usize>,

    /// Print the proposals as JSON
    ///
    /// Prints one JSON document for other programs in place of the list; with --take what `upbead
    /// chart --json` prints. Off by default.
    /// Example: upbead propose dusk.jpg --palette mine.csv --size us7 --json
    #[arg(long, help_heading = "Output")]
    json: bool,

    /// Replace files that exist
    ///
    /// Lets the picture of the proposals or the chart replace a file of the same name. Off by
    /// default. Example: -o proposals.png --force
    #[arg(long, help_heading = "Output")]
    force: bool,

    #[command(flatten)]
    ring: RingRequest,
    #[command(flatten)]
    band: BandRequest,
    #[command(flatten)]
    bead: BeadRequest,
    #[command(flatten)]
    gauge: GaugeRequest,
    #[command(flatten)]
    placed: PictureRequest,
    #[command(flatten)]
    colours: ColourRequest,
    #[command(flatten)]
    view: DistanceRequest,
    #[command(flatten)]
    calm: CalmRequest,
}

/// Charts the picture in several ways; shows them, or writes the one that is taken.
pub(crate) fn run(args: &Args) -> Result<()> {
    let request = args.request();
    request.check()?;
    let target = args.target()?;
    let replace = Replace::from(args.force);
    if let Some(target) = &target {
        args.check(target, replace)?;
    }
    let palette = read::open(&args.palette)?;
    settings(&request, &request.shape()?, &palette)?;
    let source = super::source(args.name(), files::read(&args.picture)?);
    let proposals =
        propose(source, &palette, &request).map_err(|error| error.file(&args.picture))?;
    match (args.take, target) {
        (Some(number), Some(target)) => {
            let taken = taken(&proposals, number)?;
            args.write_chart(taken, &target, replace, &palette)
        }
        (_, target) => args.show(&proposals, target.as_ref(), replace, &palette),
    }
}

/// The proposal of a number.
fn taken(proposals: &[Proposal], number: usize) -> Result<&Proposal> {
    let place = number.checked_sub(1);
    place.and_then(|at| proposals.get(at)).ok_or_else(|| {
        Error::usage(format!("there is no proposal {number}"))
            .option("take")
            .hint(match proposals.len() {
                1 => "there is only 1".to_string(),
                all => format!("give a number from 1 to {all}"),
            })
    })
}

fn chart(proposal: &Proposal) -> &Chart {
    &proposal.charted.made.value.chart
}

impl Args {
    fn request(&self) -> ChartRequest {
        ChartRequest {
            ring: self.ring.clone(),
            band: self.band.clone(),
            bead: self.bead.clone(),
            gauge: self.gauge.clone(),
            picture: self.placed.clone(),
            colours: self.colours.clone(),
            view: self.view.clone(),
            calm: self.calm.clone(),
            ..ChartRequest::default()
        }
    }

    /// The picture's name without its folder.
    fn name(&self) -> String {
        if self.is_stdin() {
            return "standard input".to_string();
        }
        let name = self.picture.file_name();
        name.unwrap_or(self.picture.as_os_str())
            .to_string_lossy()
            .into_owned()
    }

    fn is_stdin(&self) -> bool {
        self.picture == Path::new("-")
    }

    /// Where the chart that is taken goes, or the picture of all; none if only the list is wanted.
    fn target(&self) -> Result<Option<Target>> {
        let wrong = |what: String, hint: &str| Err(Error::usage(what).option("-o").hint(hint));
        let Some(output) = &self.output else {
            return Ok(self.take.map(|_| self.usual_chart()));
        };
        let picture = Kind::of(output).ok().filter(|_| !files::is_stdout(output));
        let shown = output.display();
        match (self.take, picture) {
            (Some(_), Some(_)) => wrong(
                format!("'{shown}' would be a picture, and a chart is JSON"),
                "end its name in .json, or leave out [--take]",
            ),
            (None, Some(Kind::Png)) | (Some(_), None) => Ok(Some(Target::new(output))),
            (None, _) => wrong(
                format!("'{shown}' is not the name of a PNG"),
                "end the name in .png; [--take NUMBER] writes a chart",
            ),
        }
    }

    fn usual_chart(&self) -> Target {
        let stem = self.picture.file_stem().filter(|_| !self.is_stdin());
        match stem {
            None => Target::Stdout,
            Some(stem) => Target::File(Path::new(stem).with_extension("json")),
        }
    }

    /// Makes sure that nothing is read twice or written over.
    fn check(&self, target: &Target, replace: Replace) -> Result<()> {
        if self.json && *target == Target::Stdout {
            return Err(Error::usage(
                "the summary and the chart cannot both go to standard output",
            )
            .option("json")
            .hint("give the chart a file with [--output]"));
        }
        let gauge = self.gauge.file_read();
        let read = [self.picture.as_path(), &self.palette];
        Inputs::new(read.into_iter().chain(gauge.as_deref())).check_apart(target, "-o")?;
        files::check(target, replace)
    }

    fn write_chart(
        &self,
        taken: &Proposal,
        target: &Target,
        replace: Replace,
        palette: &Palette,
    ) -> Result<()> {
        files::write(target, write(chart(taken)).as_bytes(), replace)?;
        let shape = &taken.charted.shape;
        let of_chart = Files {
            picture: self.picture.clone(),
            chart: target.path().map(Path::to_path_buf),
            preview: None,
        };
        let band = AboutBand {
            ring: shape.ring.as_ref(),
            warnings: &shape.warnings,
        };
        let report = ChartReport::new(&of_chart, &taken.charted.made, band, palette);
        let printed = if self.json {
            document(&report)?
        } else {
            words::text(&report) + &words::about_band(&report)
        };
        publish(&printed, target)
    }

    fn show(
        &self,
        proposals: &[Proposal],
        target: Option<&Target>,
        replace: Replace,
        palette: &Palette,
    ) -> Result<()> {
        let of_proposals = ProposalFiles {
            picture: &self.picture,
            palette: &self.palette,
            sheet: target.and_then(Target::path),
            gauge: self.gauge.gauge.as_deref(),
        };
        let report = ProposeReport::new(of_proposals, proposals, palette)?;
        if let Some(target) = target {
            let charts: Vec<&Chart> = proposals.iter().map(chart).collect();
            files::write(target, &sheet(&report, &charts)?, replace)?;
        }
        let printed = if self.json {
            document(&report)?
        } else {
            text(&report)
        };
        files::print(printed.as_bytes())
    }
}
