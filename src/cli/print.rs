//! `upbead print`: the pattern as a booklet on paper.

use super::gauge_args::MeasuredArgs;
use super::weave::{FromWord, HandWord, KeysWord, frame};
use crate::chart::grade::{Grading, plan};
use crate::chart::{Chart, read};
use crate::drawer::{self, Palette};
use crate::error::{Error, Result};
use crate::faces::booklet::{MOST_LETTERS, PAPERS, Paper, Pattern, booklet, lacking, ways};
use crate::faces::grade::{Answer as Sizes, Sized, set};
use crate::faces::kit::{self, missing};
use crate::faces::pdf;
use crate::faces::weave::{Guide, Keys, Work, guide};
use crate::files::{self, Replace, Target};
use crate::note::Note;
use crate::picture::{Pixels, decode};
use crate::ring::{Closed, Gauge, Source, series};
use crate::sample::shrunk;
use crate::scene::{clean, keys};
use crate::units::decimals;
use crate::weave::kit::{Options, kit, owned};
use crate::weave::{Lengths, TAIL, Thread, Weave, lengths, weave};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Most pixels along the longer side of the picture: 300 dots per inch at the size that it is printed. Ours.
const SHARP: u32 = 900;

/// What `upbead print --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Print the pattern as a booklet, a PDF\n\nEverything that another weaver needs: a cover with what to gather, the chart with a key on each bead, the way of the thread in words and \
        drawings, the rows with boxes to tick, how to close the band, and the chart at true size to lay the work on. Text can be selected and read aloud.\n\n\
        The words and numbers are those of `upbead weave`, `upbead kit` and `upbead grade`. Print at 100%, and measure the ruler.";

/// Options of `upbead print`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  upbead print band.json -o pattern.pdf\n  upbead print band.json --sizes us5..us9 --palette owned.csv --paper letter -o pattern.pdf"
)]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    /// PDF file, or - for standard output
    ///
    /// Where the booklet is written. Needed. Example: -o pattern.pdf
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,

    /// Paper: a4 or letter [a4]
    ///
    /// a4 (the default) is 210 by 297 mm, letter 8.5 by 11 inches. What is drawn at true size is the same on either. Example: --paper letter
    #[arg(
        long,
        value_name = "PAPER",
        default_value = "a4",
        hide_default_value = true
    )]
    paper: String,

    /// Table of sizes, such as us5..us9
    ///
    /// Adds a table with the rows, beads and thread of other ring sizes, as `upbead grade` makes them. Sizes that would break the design are left out, and
    /// named. No table by default. Example: --sizes us5..us9
    #[arg(long, value_name = "SIZES")]
    sizes: Option<String>,

    /// What you own, CSV or GPL
    ///
    /// A palette with the chart's codes, as for `upbead kit`: the list of beads then says what is lacking. None by default. Example: --palette owned.csv
    #[arg(long, value_name = "FILE")]
    palette: Option<PathBuf>,

    /// Title, in place of the chart's
    ///
    /// At most 90 letters. The default is the chart's own title, or its file's name. Example: --title "Harbour dusk"
    #[arg(long, value_name = "WORDS")]
    title: Option<String>,

    /// Who made it
    ///
    /// A name for the cover and the file's author, at most 90 letters. None by default. Example: --by "Kittiwake & Tide"
    #[arg(long, value_name = "NAME")]
    by: Option<String>,

    /// What you want to say on the cover
    ///
    /// A few sentences, at most 600 letters, such as whether others may sell what they make. The default is the chart's own notes. Example: --note "Weave and
    /// sell as many as you like."
    #[arg(long, value_name = "WORDS")]
    note: Option<String>,

    /// Picture for the cover
    ///
    /// A photograph of the finished work, in any format that `upbead chart` reads; it is made smaller as needed. By default the ring is drawn. Example:
    /// --picture ring.jpg
    #[arg(long, value_name = "PICTURE")]
    picture: Option<PathBuf>,

    /// Edge of the stopper bead: left or right
    ///
    /// As for `upbead weave`. The default is left, or right where only that can be begun. Example: --hand right
    #[arg(long, value_name = "HAND", hide_possible_values = true)]
    hand: Option<HandWord>,

    /// End to begin at: bottom or top
    ///
    /// As for `upbead weave`; bottom, row 1, is the default. Example: --from top
    #[arg(
        long,
        value_name = "END",
        default_value = "bottom",
        hide_default_value = true,
        hide_possible_values = true
    )]
    from: FromWord,

    /// Rows by names or by the beads' keys
    ///
    /// names says the palette's names in the rows, short the keys that stand on the beads. The default is names, or short where a name is too long for a row.
    /// Example: --keys short
    #[arg(long, value_name = "WORDS", hide_possible_values = true)]
    keys: Option<KeysWord>,

    /// Replace the booklet if it exists
    ///
    /// Off by default. Example: --force
    #[arg(long)]
    force: bool,

    #[command(flatten)]
    measured: MeasuredArgs,
}

/// Prints one chart's booklet.
pub(crate) fn run(args: &Args) -> Result<()> {
    let typed = args.typed()?;
    let target = Target::new(&args.output);
    let replace = if args.force {
        Replace::Yes
    } else {
        Replace::No
    };
    files::check(&target, replace)?;
    args.keep_inputs(&target)?;
    let palette = args.palette()?;
    let mut chart = read::open(&args.chart)?;
    chart.title = Some(typed.title.unwrap_or_else(|| args.name(&chart)));
    let gauge = args.measured.resolve(chart.lattice.bead())?;
    let made = Made::new(args, &chart, &gauge.value)?;
    let owned = match &palette {
        None => None,
        Some((file, palette)) => Some(
            owned(&chart, palette)
                .map_err(|lacking| missing(&chart, palette, &lacking).file(file))?,
        ),
    };
    let needed = kit(&chart, owned.as_ref(), Options::default())?;
    let sizes = args.sizes(&chart, &gauge.value)?;
    let grading = sizes
        .as_ref()
        .map(|sizes| sizes.grading(&chart))
        .transpose()?;
    let picture = args.picture(&chart)?;
    let note = typed.note.or_else(|| chart.notes.as_deref().map(clean));
    let pattern = Pattern {
        chart: &chart,
        weave: &made.weave,
        lengths: &made.lengths,
        guide: &made.guide,
        kit: kit::Answer {
            chart: &chart,
            palette: palette.as_ref().map(|(_, palette)| palette),
            kit: &needed,
        },
        radius: made
            .ring
            .as_ref()
            .map(|ring| (ring.size.diameter() + chart.lattice.bead().diameter) / 2.0),
        ring: made.ring.clone(),
        sizes: match (&sizes, &grading) {
            (Some(sizes), Some(grading)) => Some(Sizes {
                file: &args.chart,
                chart: &chart,
                grading,
                sizes: &sizes.sized,
                left_out: &[],
                notes: &[],
            }),
            _ => None,
        },
        paper: typed.paper,
        by: typed.by.as_deref(),
        note: note.as_deref(),
        picture: picture.value,
        keys: &made.keys,
        forward: &made.forward,
        accent: Pattern::accent(&chart),
    };
    let document = booklet(&pattern).map_err(|error| error.file(&args.chart))?;
    let bytes = pdf(&document)?;
    files::write(&target, &bytes, replace)?;
    let mut notes = picture.notes;
    notes.extend(gauge.notes);
    if matches!(gauge.value.source(), Source::Touching) && chart.lattice.is_closed() {
        let rows = chart.lattice.rows();
        notes.push(Note::NoGauge { rows: (rows, rows) });
    }
    notes.extend(sizes.map(|sizes| sizes.left_out).unwrap_or_default());
    notes.extend(lacking(&document));
    args.tell(
        &target,
        document.pages.len(),
        typed.paper,
        bytes.len(),
        &notes,
    )
}

/// What was typed in words, checked.
struct Typed {
    paper: Paper,
    title: Option<String>,
    by: Option<String>,
    note: Option<String>,
}

/// The work on the chart, in numbers and in words.
struct Made {
    weave: Weave,
    lengths: Lengths,
    guide: Guide,
    keys: Vec<String>,
    forward: Vec<bool>,
    ring: Option<Closed>,
}

impl Made {
    fn new(args: &Args, chart: &Chart, gauge: &Gauge) -> Result<Self> {
        let lattice = &chart.lattice;
        let weave = weave(lattice, frame(lattice, args.hand, args.from)?);
        let lengths = lengths(lattice, &weave, Thread::default(), TAIL);
        let said = |keys| {
            guide(&Work {
                chart,
                weave: &weave,
                lengths: &lengths,
                file: None,
                rows: None,
                keys,
            })
        };
        // Where names do not suit, the rows take the keys that stand on the beads.
        let guide = match args.keys {
            Some(KeysWord::Names) => said(Some(Keys::Names)),
            Some(KeysWord::Short) => said(Some(Keys::OnBeads)),
            None => match said(None) {
                named if named.key.is_empty() => named,
                _ => said(Some(Keys::OnBeads)),
            },
        };
        let rows = crate::lattice::Rows::closed(lattice.rows()).ok();
        let ring = rows
            .filter(|_| lattice.is_closed())
            .map(|rows| gauge.closed(rows));
        Ok(Self {
            guide,
            keys: keys(chart),
            forward: ways(chart, &weave),
            ring,
            weave,
            lengths,
        })
    }
}

/// The sizes of the table, and those that are left out.
struct Graded {
    sized: Vec<Sized>,
    left_out: Vec<Note>,
}

impl Graded {
    fn grading<'a>(&self, chart: &'a Chart) -> Result<Grading<'a>> {
        Grading::new(chart)
    }
}

impl Args {
    fn typed(&self) -> Result<Typed> {
        let short = |text: &Option<String>, option: &str, what: &str, most: usize| {
            let Some(text) = text.as_deref().map(clean).filter(|text| !text.is_empty()) else {
                return Ok(None);
            };
            let letters = text.chars().count();
            match letters <= most {
                true => Ok(Some(text)),
                false => Err(
                    Error::usage(format!("{what} of {letters} letters is too long"))
                        .option(option)
                        .hint(format!("keep to {most}")),
                ),
            }
        };
        let [title, by, note] = MOST_LETTERS;
        Ok(Typed {
            paper: Paper::parse(&self.paper).map_err(|error| error.option("--paper"))?,
            title: short(&self.title, "--title", "a title", title)?,
            by: short(&self.by, "--by", "a name", by)?,
            note: short(&self.note, "--note", "a note", note)?,
        })
    }

    /// The chart's own title, cut where it is too long for a cover, or its file's name.
    fn name(&self, chart: &Chart) -> String {
        let own = chart.title.as_deref().map(clean);
        let file = || {
            let name = self.chart.file_stem()?.to_str()?;
            (name != "-").then(|| clean(name))
        };
        let named = own.filter(|title| !title.is_empty()).or_else(file);
        let title = named.unwrap_or_else(|| "Peyote band".to_string());
        match title.chars().count() > MOST_LETTERS[0] {
            true => title
                .chars()
                .take(MOST_LETTERS[0] - 1)
                .chain(['…'])
                .collect(),
            false => title,
        }
    }

    /// No input is ever replaced.
    fn keep_inputs(&self, target: &Target) -> Result<()> {
        let Some(path) = target.path() else {
            return Ok(());
        };
        let place = files::place(path);
        let inputs = [
            Some(&self.chart),
            self.palette.as_ref(),
            self.picture.as_ref(),
        ];
        match inputs
            .into_iter()
            .flatten()
            .any(|input| files::place(input) == place)
        {
            true => Err(
                Error::usage("the booklet would replace a file that it is made of")
                    .option("-o")
                    .hint("choose another name"),
            ),
            false => Ok(()),
        }
    }

    fn palette(&self) -> Result<Option<(&Path, Palette)>> {
        let Some(file) = self.palette.as_deref() else {
            return Ok(None);
        };
        if file == Path::new("-") && self.chart == Path::new("-") {
            return Err(
                Error::usage("chart and palette cannot both come from standard input")
                    .option("--palette")
                    .hint("name a file for one of them"),
            );
        }
        Ok(Some((file, drawer::read::open(file)?)))
    }

    /// The designer's picture, made small, and what was noticed of it.
    fn picture(&self, chart: &Chart) -> Result<crate::note::Noted<Option<Pixels>>> {
        let mut noted = crate::note::Noted {
            value: None,
            notes: Vec::new(),
        };
        let Some(file) = &self.picture else {
            return Ok(noted);
        };
        let read = || {
            let picture = decode(Arc::new(files::read(file)?), &chart.lattice)?;
            Ok((shrunk(&picture, SHARP)?, picture.notes))
        };
        let (pixels, notes) = read().map_err(|error: Error| error.file(file))?;
        noted.value = Some(pixels);
        noted.notes = notes;
        Ok(noted)
    }

    fn sizes(&self, chart: &Chart, gauge: &Gauge) -> Result<Option<Graded>> {
        let Some(text) = &self.sizes else {
            return Ok(None);
        };
        let sizes = series(text, 1.0).map_err(|error| error.option("--sizes"))?;
        let in_chart = |error: Error| error.file(&self.chart);
        let grading = Grading::new(chart).map_err(in_chart)?;
        let prefer = self.measured.prefer();
        let planned = plan(&grading, &sizes, gauge, prefer, false).map_err(in_chart)?;
        let left_out = planned
            .iter()
            .filter_map(|planned| planned.left_out(&grading));
        let graded = Graded {
            left_out: left_out
                .map(|error| Note::SizeLeftOut {
                    reason: error.what().to_string(),
                })
                .collect(),
            sized: set(&grading, &planned, |_| PathBuf::new())?,
        };
        if graded.sized.is_empty() {
            return Err(Error::new("the design can be had in none of these sizes")
                .option("--sizes")
                .hint("`upbead grade` says which counts of rows work"));
        }
        Ok(Some(graded))
    }

    /// What was written; where the booklet itself goes to standard output, only the notes.
    fn tell(
        &self,
        target: &Target,
        pages: usize,
        paper: Paper,
        bytes: usize,
        notes: &[Note],
    ) -> Result<()> {
        if let Some(path) = target.path() {
            let plural = if pages == 1 { "" } else { "s" };
            let size = decimals(bytes as f64 / 1000.0, 0);
            let sheet = sheet(paper);
            let line = format!(
                "{}: {pages} page{plural} of {sheet}, {size} kB\n",
                path.display()
            );
            files::print(line.as_bytes())?;
        }
        for note in notes {
            super::say(&format!("note: {note}\n"));
        }
        Ok(())
    }
}

fn sheet(paper: Paper) -> &'static str {
    match paper == PAPERS[0] {
        true => "A4",
        false => "letter paper",
    }
}
