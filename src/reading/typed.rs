//! Rows as a person types them: a number, perhaps a direction, and the beads.
//!
//! | part | written as |
//! |---|---|
//! | row | `R3:`, `Row 3`, `row 3.`, `3)`, `3 →`, `Rows 1 & 2`, `rows 1-2`, `Rows 5, 7 and 9` |
//! | direction | `(L)`, `(left to right)`, `to the left`, `→`, `<-`; after the number |
//! | beads | `2 navy, 1 gold`, `2 navy 1 gold`, `2N, 1G`, `2xN`, `navy x2`, `navy, gold` |
//! | a name's colour | `N = jersey navy`, `N: jersey navy`, on a line of its own |
//!
//! Rows 1 and 2 of one line are strung together, a bead for each column; other rows of one line
//! are alike. Lines that begin as none of these are passed over and counted.

mod head;
mod runs;

use super::layout::{Band, FromText, Given, Laid, Run, Strung};
use super::names::{Names, Position};
use super::stated::stated;
use crate::error::{Error, Result};
use crate::request::{ReadKind, ReadRequest, RowDirection, RowSides};
use head::{Head, Stated};

/// The rows that are strung together.
const STRUNG: [u32; 2] = [1, 2];

/// Whether a text has such rows: one line says `row`, or several begin with a number.
pub(super) fn is_typed(text: &str) -> bool {
    let heads = text.lines().filter_map(Head::of);
    let mut numbered = 0;
    for head in heads {
        numbered += 1;
        if head.says_row || numbered > 1 {
            return true;
        }
    }
    false
}

/// Reads all rows.
///
/// # Errors
/// If a row cannot be read, or rows are missing.
pub(super) fn read(text: &str, request: &ReadRequest, names: &mut Names) -> Result<FromText> {
    let mut explained = vec![false; text.lines().count()];
    for (explained, line) in explained.iter_mut().zip(text.lines()) {
        if let Some((name, colour)) = legend(line) {
            *explained = names.explain(name, &colour);
        }
    }
    let mut reader = Reader {
        request,
        names,
        band: Band::default(),
    };
    let mut passed_over = 0;
    for (at, line) in (1..).zip(text.lines()) {
        if explained[at - 1] || line.trim().is_empty() {
            continue;
        }
        refuse_repeats(line, at)?;
        match Head::of(line) {
            Some(head) => reader.row(&head, line, at)?,
            None => passed_over += 1,
        }
    }
    reader.names.check()?;
    let (lattice, chosen) = reader.band.lay(request, &stated(text))?;
    Ok(FromText {
        kind: ReadKind::Words,
        laid: Laid { lattice, chosen },
        title: None,
        passed_over,
    })
}

/// `N = jersey navy (quay-58)`, `N: jersey navy`: the name, and what it may be called in the
/// palette.
fn legend(line: &str) -> Option<(&str, Vec<&str>)> {
    const LONGEST: usize = 30;
    let (name, colour) = line.split_once(['=', ':'])?;
    let (name, colour) = (name.trim(), colour.trim());
    let fits = !name.is_empty() && name.chars().count() <= LONGEST && !colour.is_empty();
    (fits && Head::of(line).is_none()).then_some(())?;
    let described = super::stated::described(colour);
    Some((name, described.map_or(vec![colour], |both| both.to_vec())))
}

/// Rows that a line tells to weave again would be lost.
fn refuse_repeats(line: &str, at: usize) -> Result<()> {
    let start = line.trim_start().to_lowercase();
    if start.starts_with("repeat") && start.contains("row") {
        let error = Error::new("repeated rows are not read").at(at, 1);
        return Err(error.hint("write each of the rows out, with its number"));
    }
    Ok(())
}

struct Reader<'a, 'b> {
    request: &'a ReadRequest,
    names: &'a mut Names<'b>,
    band: Band,
}

impl Reader<'_, '_> {
    fn row(&mut self, head: &Head, line: &str, at: usize) -> Result<()> {
        let column = line[..line.len() - head.rest.len()].chars().count() + 1;
        let place = Position { line: at, column };
        let runs = runs::read(head.rest, place, self.names)?;
        let stated = head.stated.map(|stated| self.to_right(stated));
        let row = Position {
            line: at,
            column: 1,
        };
        if head.numbers == STRUNG {
            return self.strung(runs, stated, row);
        }
        for &number in &head.numbers {
            self.band.rows.push(Given {
                number,
                runs: runs.clone(),
                to_right: stated.or_else(|| self.unstated()),
                at: row,
            });
        }
        Ok(())
    }

    fn strung(&mut self, runs: Vec<Run>, stated: Option<bool>, at: Position) -> Result<()> {
        if self.band.strung.is_some() {
            let error = Error::new("rows 1 and 2 come twice");
            return Err(at.blame(error).hint("number each row once"));
        }
        let to_right = stated.or_else(|| self.unstated());
        self.band.strung = Some(Strung {
            numbers: STRUNG,
            runs,
            to_right,
            at,
        });
        Ok(())
    }

    /// The direction of a row that names none, unless it is the one in which it is woven.
    fn unstated(&self) -> Option<bool> {
        match self.request.direction.unwrap_or_default() {
            RowDirection::Right => Some(true),
            RowDirection::Left => Some(false),
            RowDirection::Alternate => None,
        }
    }

    fn to_right(&self, stated: Stated) -> bool {
        match stated {
            Stated::ToRight(to_right) => to_right,
            Stated::Side { right } => match self.request.sides.unwrap_or_default() {
                RowSides::From => !right,
                RowSides::To => right,
            },
        }
    }
}
