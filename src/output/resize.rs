//! The graded set: a table of its sizes, for people and as JSON.

mod json;
mod set;

pub use json::json;
pub use set::{about_gauge, set, thread};

use super::palette::{aligned, printable};
use crate::chart::Chart;
use crate::chart::resize::{Grading, Planned, Stretch, Way};
use crate::output::thread::metres;
use crate::ring::Closed;
use crate::units::{Mm, decimals, grouped};
use crate::warning::Warning;
use std::path::{Path, PathBuf};

/// Width of a line of text, in characters.
const LINE: usize = 78;

/// One chart of the set.
#[derive(Debug, Clone)]
pub struct Sized {
    /// The size that it is for.
    pub planned: Planned,
    /// Its rows, and their size.
    pub closed: Closed,
    /// The chart.
    pub chart: Chart,
    /// Where it is written.
    pub file: PathBuf,
    /// All of its thread.
    pub thread: Mm,
}

/// A design and its sizes.
#[derive(Debug, Clone, Copy)]
pub struct Answer<'a> {
    /// The file of the chart that is graded; `-` is standard input.
    pub file: &'a Path,
    /// That chart.
    pub chart: &'a Chart,
    /// How its rows come and go.
    pub grading: &'a Grading<'a>,
    /// The sizes that are written.
    pub sizes: &'a [Sized],
    /// The sizes that are left out.
    pub left_out: &'a [Planned],
    /// What was noticed.
    pub notes: &'a [Warning],
}

/// The set as text: how rows come and go, a column a size, where the charts are, and what to know.
pub fn text(answer: &Answer) -> String {
    let mut text = format!("{}: {}\n", name(answer.file), way(answer));
    for part in parts(answer) {
        text.push('\n');
        for line in table(answer, part) {
            text += &format!("{line}\n");
        }
    }
    if let [first, .., last] = answer.sizes {
        text += &format!(
            "\n{} charts: {} to {}\n",
            answer.sizes.len(),
            printable(&first.file.to_string_lossy()),
            short_name(&last.file)
        );
    } else if let [only] = answer.sizes {
        text += &format!("\n1 chart: {}\n", printable(&only.file.to_string_lossy()));
    }
    for note in notes(answer) {
        text += &format!("note: {note}\n");
    }
    text
}

fn name(file: &Path) -> String {
    match file.to_str() {
        Some("-") => "standard input".to_string(),
        _ => printable(&file.to_string_lossy()),
    }
}

fn short_name(file: &Path) -> String {
    let name = file.file_name().unwrap_or(file.as_os_str());
    printable(&name.to_string_lossy())
}

/// What the design is, and on a line of its own how rows come and go.
pub(super) fn way(answer: &Answer) -> String {
    let grading = answer.grading;
    let (repeats, period) = (grading.repeats(), grading.period());
    let mut design = match (grading.way(), repeats) {
        (Way::Repeats, _) if period == 2 => "two rows in turn".to_string(),
        (Way::Repeats, _) => format!("{repeats} repeats of {period} rows"),
        (Way::Stretches(_), 1) => format!("a motif of {} rows", grading.motif_rows()),
        (Way::Stretches(_), _) => format!(
            "{repeats} repeats of {period} rows, each with a motif of {} rows",
            grading.motif_rows()
        ),
    };
    if let (Some(row), Way::Stretches(_)) = (grading.mirror(), grading.way()) {
        design += &format!(", alike from both ends of row {}", row.get());
    }
    let come_and_go = match grading.way() {
        Way::Repeats if period == 2 => "two at a time".to_string(),
        Way::Repeats => "as whole repeats".to_string(),
        Way::Stretches(groups) => plain(groups, period, repeats),
    };
    format!("{design}\nrows come and go {come_and_go}")
}

/// `in the plain stretch of rows 51 to 25 over the seam`.
fn plain(groups: &[Vec<Stretch>], period: u32, repeats: u32) -> String {
    let mut all: Vec<Stretch> = groups.iter().flatten().copied().collect();
    all.sort_by_key(|stretch| stretch.first);
    let places: Vec<String> = all
        .iter()
        .map(|stretch| {
            let (first, last) = (stretch.first, stretch.last(period));
            let seam = if last < first { " over the seam" } else { "" };
            format!("{} to {}{seam}", first.get(), last.get())
        })
        .collect();
    let (plural, places) = match &places[..] {
        [first @ .., last] if !first.is_empty() => {
            ("es", format!("{} and {last}", first.join(", ")))
        }
        _ => ("", places.concat()),
    };
    let within = if repeats > 1 {
        ", and so in each repeat"
    } else {
        ""
    };
    format!("in the plain stretch{plural} of rows {places}{within}")
}

/// The sizes in parts that fit the line.
fn parts<'a>(answer: &Answer<'a>) -> impl Iterator<Item = &'a [Sized]> + use<'a> {
    let label = labels(answer)
        .iter()
        .map(|label| label.chars().count())
        .max()
        .unwrap_or(0);
    let widest = answer
        .sizes
        .iter()
        .map(|size| size.planned.size.to_string().chars().count().max(5))
        .max()
        .unwrap_or(5);
    answer
        .sizes
        .chunks(((LINE - label.min(LINE)) / (widest + 2)).max(1))
}

/// Colours in use, the one with the most beads first.
fn colours(chart: &Chart) -> Vec<usize> {
    let counts = chart.counts();
    let mut used: Vec<usize> = (0..counts.len()).filter(|&at| counts[at] > 0).collect();
    used.sort_by_key(|&at| std::cmp::Reverse(counts[at]));
    used
}

fn labels(answer: &Answer) -> Vec<String> {
    let heads = ["", "rows", "inside, mm", "US", "beads"].map(str::to_string);
    let names = colours(answer.chart)
        .into_iter()
        .map(|at| format!("  {}", printable(&answer.chart.colours[at].name)));
    let thread = "thread, m".to_string();
    heads.into_iter().chain(names).chain([thread]).collect()
}

/// The lines of one part.
fn table(answer: &Answer, part: &[Sized]) -> Vec<String> {
    aligned(columns(answer, part))
}

/// Labels, then a column for each size: whether it is set to the right, and its cells from the top.
pub(super) fn columns(answer: &Answer, part: &[Sized]) -> Vec<(bool, Vec<String>)> {
    let used = colours(answer.chart);
    let column = |size: &Sized| {
        let counts = size.chart.counts();
        let inexact = if size.planned.gap.is_some() { "*" } else { "" };
        let mut cells = vec![
            size.planned.size.to_string(),
            format!("{}{inexact}", size.closed.rows.count()),
            format!("{:.2}", size.closed.size.diameter().get()),
            size.closed
                .size
                .us()
                .map_or("-".to_string(), |us| format!("{us:.2}")),
            grouped(size.chart.beads.len()),
        ];
        cells.extend(used.iter().map(|&at| grouped(counts[at])));
        cells.push(metres(size.thread));
        (true, cells)
    };
    let mut columns = vec![(false, labels(answer))];
    columns.extend(part.iter().map(column));
    columns
}

/// What to know about the set.
pub(super) fn notes(answer: &Answer) -> Vec<String> {
    let mut notes = Vec::new();
    for size in answer
        .sizes
        .iter()
        .filter(|size| size.planned.gap.is_some())
    {
        let over = size.closed.size.diameter() - size.planned.wanted.size.diameter();
        let than = if over.get() > 0.0 {
            "wider"
        } else {
            "narrower"
        };
        notes.push(format!(
            "* {}: {} rows would fit, and the nearest that keep the design are {}, {} mm {than} inside",
            size.planned.size,
            size.planned.wanted.rows.count(),
            size.closed.rows.count(),
            decimals(over.get().abs(), 2)
        ));
    }
    for same in answer
        .sizes
        .chunk_by(|one, other| one.closed.rows == other.closed.rows)
    {
        let sizes: Vec<String> = same
            .iter()
            .map(|size| size.planned.size.to_string())
            .collect();
        if let [first @ .., last] = &sizes[..]
            && !first.is_empty()
        {
            notes.push(format!(
                "{} and {last} come out alike, {} rows",
                first.join(", "),
                same[0].closed.rows.count()
            ));
        }
    }
    notes.extend(answer.notes.iter().map(Warning::to_string));
    notes
}
