//! A table: one row a line, with a cell for each bead or for each column.
//!
//! | cells | what they are |
//! |---|---|
//! | only the beads of the row | staggered: of 9 columns 5, then 4 |
//! | one a column, blank where the stitch has no bead | square |
//!
//! The separator is a comma, a semicolon or a tab.

use super::layout::{Band, Given, Laid, Run, lattice, wrong_length};
use super::names::{Names, Position};
use super::stated::Stated;
use crate::error::{Error, Result};
use crate::lattice::{Column, Lattice, MOST_ROWS, Row};
use crate::palette::read::cells::{Record, Records, Separator};
use crate::palette::read::shown;
use crate::request::{FirstRow, ReadRequest};
use crate::units::grouped;

/// The head of the column that has the rows' numbers.
const NUMBERS: &str = "row";

/// A line of the table: its cells without blank ones at its end.
#[derive(Debug)]
pub(super) struct Line {
    pub(super) cells: Vec<Entry>,
    pub(super) at: Position,
}

/// A cell; empty where there is no bead.
#[derive(Debug)]
pub(super) struct Entry {
    pub(super) text: String,
    pub(super) at: Position,
}

/// Reads a table.
///
/// # Errors
/// If it is no table, or its rows do not make a band.
pub(super) fn read(text: &str, request: &ReadRequest, names: &mut Names) -> Result<Laid> {
    let separator = separator(text);
    let mut records = Records::of(text, separator);
    let mut lines = Vec::new();
    let mut numbered = false;
    while let Some(record) = records.next() {
        let record = record?;
        if lines.is_empty() && !numbered && is_head(&record) {
            numbered = true;
            continue;
        }
        if lines.len() > MOST_ROWS as usize {
            let most = grouped(MOST_ROWS as usize);
            return Err(record.cells[0]
                .blame(Error::new(format!("the table has more than {most} rows")))
                .hint(format!("a band has at most {most} rows")));
        }
        lines.push(record);
    }
    if lines.is_empty() {
        return Err(Error::new("the table is empty")
            .hint("give each row a line, with a code or a name for each bead"));
    }
    let lines = if numbered {
        by_number(lines)?
    } else {
        let first = request.first_row.unwrap_or_default();
        if first == FirstRow::Bottom {
            lines.reverse();
        }
        lines.into_iter().map(|record| line(record, 0)).collect()
    };
    lay(&lines, request, &Stated::default(), names)
}

/// The mark that most of the first line is separated by.
fn separator(text: &str) -> Separator {
    let first = text.lines().find(|line| !line.trim().is_empty());
    let first = first.unwrap_or_default();
    let count = |separator: Separator| first.matches(separator.mark()).count();
    let marks = [Separator::Tab, Separator::Semicolon, Separator::Comma];
    let most = marks.into_iter().max_by_key(|one| count(*one));
    most.unwrap_or(Separator::Comma)
}

fn is_head(record: &Record) -> bool {
    record.cells[0].text.eq_ignore_ascii_case(NUMBERS)
}

/// The cells from number `from` on.
fn line(record: Record, from: usize) -> Line {
    let at = record.cells[0].at;
    let cells = record.cells.into_iter().skip(from);
    let mut cells: Vec<Entry> = cells
        .map(|cell| Entry {
            at: cell.at,
            text: cell.text,
        })
        .collect();
    while cells.last().is_some_and(|cell| cell.text.is_empty()) {
        cells.pop();
    }
    Line { cells, at }
}

/// The lines by the numbers in their first cells.
fn by_number(records: Vec<Record>) -> Result<Vec<Line>> {
    let count = records.len();
    let mut rows: Vec<Option<Line>> = (0..count).map(|_| None).collect();
    for record in records {
        let cell = &record.cells[0];
        let number = cell
            .text
            .parse::<usize>()
            .ok()
            .filter(|at| (1..=count).contains(at));
        let Some(number) = number else {
            let error = Error::new(format!("{} is no row of this table", shown(&cell.text)));
            return Err(cell.blame(error).hint(format!(
                "number its {} rows from 1 to {}, or take the column headed '{NUMBERS}' out",
                grouped(count),
                grouped(count)
            )));
        };
        if rows[number - 1].is_some() {
            let error = Error::new(format!("row {number} comes twice"));
            return Err(cell.blame(error).hint("give each row a number of its own"));
        }
        rows[number - 1] = Some(line(record, 1));
    }
    Ok(rows.into_iter().flatten().collect())
}

/// Lays lines, row 1 first, into their places.
///
/// # Errors
/// If their lengths do not make a band.
pub(super) fn lay(
    lines: &[Line],
    request: &ReadRequest,
    stated: &Stated,
    names: &mut Names,
) -> Result<Laid> {
    let inner = |line: &Line| line.cells.iter().any(|cell| cell.text.is_empty());
    if lines.iter().any(inner) {
        square(lines, request, stated, names)
    } else {
        staggered(lines, request, stated, names)
    }
}

/// Each line has only the beads of its row.
fn staggered(
    lines: &[Line],
    request: &ReadRequest,
    stated: &Stated,
    names: &mut Names,
) -> Result<Laid> {
    let rows = (1..).zip(lines).map(|(number, line)| Given {
        number,
        runs: line
            .cells
            .iter()
            .map(|cell| Run {
                colour: names.of(&cell.text, cell.at),
                count: 1,
            })
            .collect(),
        to_right: Some(true),
        at: line.at,
    });
    let band = Band {
        strung: None,
        rows: rows.collect(),
    };
    names.check()?;
    let (lattice, chosen) = band.lay(request, stated)?;
    Ok(Laid { lattice, chosen })
}

/// Each line has a cell for each column.
fn square(
    lines: &[Line],
    request: &ReadRequest,
    stated: &Stated,
    names: &mut Names,
) -> Result<Laid> {
    let widest = lines.iter().map(|line| line.cells.len()).max();
    let columns = stated.columns.unwrap_or(widest.unwrap_or(0) as u32);
    let lattice = lattice(request, stated, columns, lines.len() as u32)?;
    let mut chosen = Vec::with_capacity(lattice.len());
    for (row, line) in lattice.all_rows().zip(lines) {
        check_row(&lattice, row, line)?;
        let beads = line.cells.iter().filter(|cell| !cell.text.is_empty());
        chosen.extend(beads.map(|cell| names.of(&cell.text, cell.at)));
    }
    names.check()?;
    Ok(Laid { lattice, chosen })
}

/// That beads stand where the row has them, and nowhere else.
fn check_row(lattice: &Lattice, row: Row, line: &Line) -> Result<()> {
    let number = row.get();
    let filled = |column: &u32| {
        let cell = line.cells.get(*column as usize - 1);
        cell.is_some_and(|cell| !cell.text.is_empty())
    };
    let is_bead = |column: &u32| lattice.index(row, Column::new(*column)).is_some();
    let all = 1..=lattice.columns().max(line.cells.len() as u32);
    let Some(wrong) = all.clone().find(|column| filled(column) != is_bead(column)) else {
        return Ok(());
    };
    let is = all.clone().filter(filled).count();
    let wanted = lattice.beads_in(row);
    if number == 1
        && all
            .clone()
            .all(|column| filled(&column) != is_bead(&column))
    {
        return Err(line.at.blame(Error::new("row 1 begins in column 2")).hint(
            "row 1 is an outer row: begin with the row before or after it, or say with \
             [--first-row] which end of the table is row 1",
        ));
    }
    if is != wanted {
        return Err(line.at.blame(wrong_length(lattice, number, is, wanted)));
    }
    let at = line
        .cells
        .get(wrong as usize - 1)
        .map_or(line.at, |cell| cell.at);
    let error = if filled(&wrong) {
        Error::new(format!(
            "row {number} has a bead in column {wrong}, between two of its beads"
        ))
    } else {
        Error::new(format!("row {number} has no bead in column {wrong}"))
    };
    Err(at
        .blame(error)
        .hint("odd rows fill the odd columns, even rows the even ones"))
}
