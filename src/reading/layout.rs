//! Rows of beads to their places on the lattice.

use super::names::Position;
use super::stated::Stated;
use crate::error::{Error, Result};
use crate::lattice::{COLUMNS, Column, Lattice, MOST_BEADS, MOST_ROWS, Row, Rows};
use crate::request::{ReadKind, ReadRequest};
use crate::units::grouped;
use std::collections::{BTreeMap, BTreeSet};

/// Beads in their places.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Laid {
    pub(super) lattice: Lattice,
    /// For each bead, in lattice order, its colour's place in the palette.
    pub(super) chosen: Vec<usize>,
}

/// What was read from a text.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FromText {
    pub(super) kind: ReadKind,
    pub(super) laid: Laid,
    /// What the text calls the design.
    pub(super) title: Option<String>,
    /// Lines in which no row was found.
    pub(super) passed_over: usize,
}

impl FromText {
    /// From a table.
    pub(super) fn table(laid: Laid, title: Option<String>) -> Self {
        Self {
            kind: ReadKind::Table,
            laid,
            title,
            passed_over: 0,
        }
    }
}

/// Beads of one colour side by side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Run {
    /// The colour's place in the palette.
    pub(super) colour: usize,
    pub(super) count: usize,
}

/// A row as it is given.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Given {
    pub(super) number: u32,
    pub(super) runs: Vec<Run>,
    /// The direction in which the beads are named; none where it is the one in which they are
    /// woven.
    pub(super) to_right: Option<bool>,
    pub(super) at: Position,
}

/// Two rows that are strung together, a bead for each column.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Strung {
    pub(super) numbers: [u32; 2],
    pub(super) runs: Vec<Run>,
    /// None where it is the one in which row 3 can follow.
    pub(super) to_right: Option<bool>,
    pub(super) at: Position,
}

/// All rows of a band.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Band {
    pub(super) strung: Option<Strung>,
    pub(super) rows: Vec<Given>,
}

/// How many beads the runs have.
pub(super) fn beads(runs: &[Run]) -> usize {
    runs.iter().map(|run| run.count).sum()
}

fn colours(runs: &[Run]) -> impl Iterator<Item = usize> + '_ {
    runs.iter()
        .flat_map(|run| std::iter::repeat_n(run.colour, run.count))
}

/// The band's shape, from its columns and rows.
///
/// # Errors
/// If it cannot be woven so; a ring needs an even number of rows.
pub(super) fn lattice(
    request: &ReadRequest,
    stated: &Stated,
    columns: u32,
    rows: u32,
) -> Result<Lattice> {
    let closed = !request.open && stated.closed.unwrap_or(true);
    let strip = Rows::open(rows)?;
    let rows = if closed {
        Rows::closed(rows).map_err(|error| {
            Error::new(error.what()).hint(
                "check that no row is missing; for a flat strip add [--open]: a ring needs an even \
                 count of at least 6",
            )
        })?
    } else {
        strip
    };
    let bead = request.bead.or(stated.bead).unwrap_or_default();
    Lattice::new(bead, columns, rows)
}

impl Band {
    /// Each bead's place in the palette, in lattice order.
    ///
    /// # Errors
    /// If rows are missing, or come twice, or have another length than their columns ask for.
    pub(super) fn lay(
        &self,
        request: &ReadRequest,
        stated: &Stated,
    ) -> Result<(Lattice, Vec<usize>)> {
        let count = self.count()?;
        let columns = match stated.columns {
            Some(columns) => columns,
            None => self.columns(count)?,
        };
        let flat = flat(columns, count)?;
        for row in &self.rows {
            check_length(&flat, row)?;
        }
        let lattice = lattice(request, stated, columns, count)?;
        let mut chosen = vec![0; lattice.len()];
        if let Some(strung) = &self.strung {
            strung.lay(&lattice, &mut chosen)?;
        }
        for row in &self.rows {
            let span = lattice.span_of(Row::new(row.number));
            let places = &mut chosen[span];
            for (place, colour) in places.iter_mut().zip(colours(&row.runs)) {
                *place = colour;
            }
            if !row
                .to_right
                .unwrap_or_else(|| self.is_woven_to_right(&lattice, row.number))
            {
                places.reverse();
            }
        }
        Ok((lattice, chosen))
    }

    /// Back and forth: after strung rows in the other direction than they, else from the left.
    fn is_woven_to_right(&self, lattice: &Lattice, number: u32) -> bool {
        let is_outer = lattice.index(Row::new(number), Column::new(1)).is_some();
        match &self.strung {
            Some(strung) => strung.is_to_right(lattice) != is_outer,
            None => is_outer,
        }
    }

    /// The number of rows, each of which is there once.
    fn count(&self) -> Result<u32> {
        let mut seen = BTreeMap::new();
        if let Some(strung) = &self.strung {
            for number in strung.numbers {
                seen.insert(number, strung.at);
            }
        }
        for row in &self.rows {
            if let Some(first) = seen.insert(row.number, row.at) {
                let error = Error::new(format!("row {} comes twice", row.number));
                let hint = format!("line {} has it too; number each row once", first.line);
                return Err(row.at.blame(error).hint(hint));
            }
        }
        let Some((&last, &at)) = seen.last_key_value() else {
            return Err(Error::new("there are no rows").hint("give each row a line of its own"));
        };
        if last > MOST_ROWS || seen.contains_key(&0) {
            let error = Error::new("a row's number is out of range");
            let hint = format!(
                "number the rows from 1 to {} at most",
                grouped(MOST_ROWS as usize)
            );
            return Err(at.blame(error).hint(hint));
        }
        let missing: Vec<String> = (1..=last)
            .filter(|number| !seen.contains_key(number))
            .map(|number| number.to_string())
            .collect();
        match missing.len() {
            0 => Ok(last),
            1 => Err(Error::new(format!("row {} is missing", missing[0]))
                .hint(format!("rows up to {last} are there; write it too"))),
            count => {
                let some = missing[..count.min(5)].join(", ");
                let more = if count > 5 { ", .." } else { "" };
                Err(
                    Error::new(format!("{count} rows are missing: {some}{more}"))
                        .hint(format!("rows up to {last} are there; write the others too")),
                )
            }
        }
    }

    /// The number of columns that suits most rows.
    fn columns(&self, count: u32) -> Result<u32> {
        let mut candidates: BTreeSet<u32> = BTreeSet::new();
        let strung = self
            .strung
            .as_ref()
            .map(|strung| within(beads(&strung.runs)));
        candidates.extend(strung);
        let lengths: BTreeSet<usize> = self.rows.iter().map(|row| beads(&row.runs)).collect();
        for length in lengths {
            let twice = 2 * within(length);
            candidates.extend(twice.saturating_sub(1)..=twice + 1);
        }
        let suits = |columns: u32, shift: u32| {
            let flat = flat(columns, count + shift).ok()?;
            let strung = usize::from(strung == Some(columns)) * 2;
            let fits =
                |row: &&Given| beads(&row.runs) == flat.beads_in(Row::new(row.number + shift));
            Some(strung + self.rows.iter().filter(fits).count())
        };
        let most = |shift: u32| {
            let candidates = candidates.iter();
            // Of two that suit as many rows the wider one, which misses a bead and has none over.
            candidates
                .filter_map(|&one| Some((suits(one, shift)?, one)))
                .max()
        };
        let Some((rows, columns)) = most(0) else {
            return Err(self.unwoven());
        };
        if most(1).is_some_and(|(shifted, _)| shifted > rows) {
            return Err(self.shifted());
        }
        Ok(columns)
    }

    /// The rows are too short or too long for any band.
    fn unwoven(&self) -> Error {
        let at = self
            .rows
            .first()
            .map_or(Position { line: 1, column: 1 }, |row| row.at);
        let length = self.rows.first().map_or(0, |row| beads(&row.runs));
        let error = Error::new(format!("rows of {} cannot be woven", counted(length)));
        at.blame(error).hint(format!(
            "a band has {} to {} columns, and a row has a bead in every second one",
            COLUMNS.0,
            grouped(COLUMNS.1 as usize)
        ))
    }

    fn shifted(&self) -> Error {
        let row = &self.rows[0];
        let error = Error::new("row 1 has fewer beads than row 2");
        row.at.blame(error).hint(
            "row 1 is an outer row, which has one bead more: begin with the row before or after \
             it, or at the other end of the chart ([--first-row] for a table)",
        )
    }
}

/// A number of beads that can be computed with; what is beyond any band stays so.
fn within(count: usize) -> u32 {
    count.min(MOST_BEADS) as u32
}

/// The band before it is known whether it closes.
fn flat(columns: u32, rows: u32) -> Result<Lattice> {
    Lattice::new(Default::default(), columns, Rows::open(rows)?)
}

fn counted(count: usize) -> String {
    match count {
        1 => "1 bead".to_string(),
        count => format!("{} beads", grouped(count)),
    }
}

/// What is wrong where a row has another number of beads than its columns ask for.
fn check_length(lattice: &Lattice, row: &Given) -> Result<()> {
    let (is, wanted) = (beads(&row.runs), lattice.beads_in(Row::new(row.number)));
    if is == wanted {
        return Ok(());
    }
    Err(row.at.blame(wrong_length(lattice, row.number, is, wanted)))
}

/// Row, length and wanted length; the place is the caller's to add.
pub(super) fn wrong_length(lattice: &Lattice, number: u32, is: usize, wanted: usize) -> Error {
    let columns = lattice.columns();
    Error::new(format!("row {number} has {}, not {wanted}", counted(is))).hint(format!(
        "of {columns} columns, odd rows have {} beads and even rows {}",
        lattice.beads_in(Row::new(1)),
        lattice.beads_in(Row::new(2))
    ))
}

impl Strung {
    /// Unless it is told, the last bead strung is one of row 1, above which row 3 begins.
    fn is_to_right(&self, lattice: &Lattice) -> bool {
        let last = Column::new(lattice.columns());
        let ends_in_row_1 = lattice.index(Row::new(1), last).is_some();
        self.to_right.unwrap_or(ends_in_row_1)
    }

    fn lay(&self, lattice: &Lattice, chosen: &mut [usize]) -> Result<()> {
        let columns = lattice.columns();
        let [one, two] = self.numbers;
        let is = beads(&self.runs);
        if is != columns as usize {
            let error = Error::new(format!(
                "rows {one} and {two} have {}, not {columns}",
                counted(is)
            ));
            let hint = format!("they are strung together: a bead for each of {columns} columns");
            return Err(self.at.blame(error).hint(hint));
        }
        let to_right = self.is_to_right(lattice);
        for (at, colour) in (1..=columns).zip(colours(&self.runs)) {
            let column = if to_right { at } else { columns + 1 - at };
            let index = |row| lattice.index(Row::new(row), Column::new(column));
            if let Some(bead) = index(one).or_else(|| index(two)) {
                chosen[bead] = colour;
            }
        }
        Ok(())
    }
}
