//! The guide as text for the terminal and for print.

use crate::report::weave::{Guide, RowReport, RowsLine, WeaveReport};
use crate::units::grouped;
use unicode_width::UnicodeWidthStr;

/// Width of a line, in columns of the terminal.
const LINE: usize = 96;
/// Rows between blank lines, so that the eye keeps its place.
const GROUP: u32 = 10;
/// Between the beads of a row and what stands behind them; names never hold two spaces.
const GAP: &str = "   ";

/// The guide as lines of at most 96 characters, unless a single name is longer.
pub fn text(report: &WeaveReport) -> String {
    let guide = &report.guide;
    let mut out = format!("{}\n{}\n", guide.title, guide.facts);
    key(guide, &mut out);
    begin(report, &mut out);
    rows(report, &mut out);
    for section in &guide.after {
        out += &format!("\n{}\n", section.heading);
        for words in &section.paragraphs {
            paragraph(words, "- ", &mut out);
        }
    }
    out
}

/// How to begin, where the strung rows are written.
fn begin(report: &WeaveReport, out: &mut String) {
    let Some(begin) = &report.guide.begin else {
        return;
    };
    out.push('\n');
    paragraph(&begin.words, "", out);
    let head = format!("String {}: ", report.strung_beads());
    out.push('\n');
    let runs = report.said(&report.strung);
    for (at, line) in lines_of(&runs, LINE - head.len()).iter().enumerate() {
        let before = if at == 0 {
            &head
        } else {
            &" ".repeat(head.len())
        };
        *out += &format!("{before}{line}\n");
    }
    for reading in &begin.reading {
        out.push('\n');
        paragraph(reading, "", out);
    }
}

/// What the keys stand for.
fn key(guide: &Guide, out: &mut String) {
    let wide = |cell: &dyn Fn(usize) -> usize| (0..guide.key.len()).map(cell).max().unwrap_or(0);
    let keys = wide(&|at| guide.key[at].key.width());
    let colours = wide(&|at| guide.key[at].colour.width());
    let counts = wide(&|at| grouped(guide.key[at].count).len());
    if !guide.key.is_empty() {
        out.push('\n');
    }
    for line in &guide.key {
        *out += &format!(
            "{}{}{GAP}{}{}{GAP}{:>counts$}\n",
            line.key,
            pad(&line.key, keys),
            line.colour,
            pad(&line.colour, colours),
            grouped(line.count)
        );
    }
}

fn pad(cell: &str, wide: usize) -> String {
    " ".repeat(wide.saturating_sub(cell.width()))
}

/// Where things stand in the lines of the rows.
struct Columns {
    row: usize,
    count: usize,
    /// Before the beads.
    before: usize,
    /// Room for the beads.
    beads: usize,
}

impl Columns {
    fn of(report: &WeaveReport) -> Self {
        let widest = |cell: &dyn Fn(&RowReport) -> usize| {
            let all = report.rows.iter().map(cell);
            all.max().unwrap_or(0)
        };
        let row = widest(&|row| row.row.to_string().len());
        let count = widest(&|row| row.beads.to_string().len());
        let turn = widest(&|row| row.ends().len());
        // Row, arrow, count, and two spaces twice.
        let before = row + 2 + 1 + count + 2;
        let most = LINE - before - GAP.len() - turn;
        Self {
            row,
            count,
            before,
            beads: widest(&|row| report.said(&row.pick).join(", ").width()).min(most),
        }
    }
}

fn rows(report: &WeaveReport, out: &mut String) {
    let columns = Columns::of(report);
    let mut after = true;
    for line in report.lines() {
        if after || matches!(line, RowsLine::Repeated(_)) {
            out.push('\n');
        }
        let last = match line {
            RowsLine::One(row) => {
                let number = row.row.to_string();
                self::row(report, &columns, &number, row, out);
                row
            }
            RowsLine::Repeated(repeated) => {
                *out += &format!("{}, {}\n", repeated.rows(), repeated.words());
                for row in repeated.pair {
                    self::row(report, &columns, "", row, out);
                }
                repeated.last
            }
        };
        after = last.row.is_multiple_of(GROUP) || matches!(line, RowsLine::Repeated(_));
    }
}

/// A row with what is said of its turn.
fn row(report: &WeaveReport, columns: &Columns, number: &str, row: &RowReport, out: &mut String) {
    let indent = " ".repeat(columns.before);
    let beads = lines_of(&report.said(&row.pick), columns.beads);
    for (at, line) in beads.iter().enumerate() {
        match at {
            0 => *out += &front(number, row, columns),
            _ => out.push_str(&indent),
        }
        out.push_str(line);
        if at + 1 == beads.len() {
            let turn = row.ends();
            *out += &format!("{}{GAP}{turn}", pad(line, columns.beads));
        }
        out.push('\n');
    }
    if let Some(explained) = row.explained() {
        paragraph(explained, &indent, out);
    }
}

fn front(number: &str, row: &RowReport, columns: &Columns) -> String {
    let (arrow, beads) = (row.travel.arrow(), row.beads);
    let (row, count) = (columns.row, columns.count);
    format!("{number:>row$} {arrow} {beads:>count$}  ")
}

/// Runs with commas between them, broken between runs.
fn lines_of(runs: &[String], wide: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for (at, run) in runs.iter().enumerate() {
        let comma = if at + 1 < runs.len() { "," } else { "" };
        let space = usize::from(!line.is_empty());
        if space == 1 && line.width() + space + run.width() + comma.len() > wide {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(run);
        line.push_str(comma);
    }
    lines.push(line);
    lines
}

/// A paragraph broken between words: `first` before its first line, as many spaces before the
/// others.
fn paragraph(words: &str, first: &str, out: &mut String) {
    let indent = " ".repeat(first.width());
    let mut line = first.to_string();
    let mut empty = true;
    for word in kept_together(words) {
        if !empty && line.width() + 1 + word.width() > LINE {
            *out += &format!("{line}\n");
            line = indent.clone();
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(&word);
        empty = false;
    }
    *out += &format!("{line}\n");
}

/// The words of a paragraph; a figure stays with the word before it, and a unit with its figure.
fn kept_together(words: &str) -> Vec<String> {
    let mut kept: Vec<String> = Vec::new();
    for word in words.split(' ') {
        let figure = |at: Option<char>| at.is_some_and(|c| c.is_ascii_digit());
        let unit = word.trim_end_matches([',', '.', ';']);
        let unit = ["m", "mm", "in)", "yd)", "beads"].contains(&unit);
        match kept.last_mut() {
            Some(last) if figure(word.chars().next()) || (unit && figure(last.chars().last())) => {
                *last = format!("{last} {word}")
            }
            _ => kept.push(word.to_string()),
        }
    }
    kept
}
