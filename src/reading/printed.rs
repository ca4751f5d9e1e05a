//! A chart as `upbead show` prints it in plain characters: a line a row with its number, a mark a
//! bead, and below it what each mark stands for.

use super::layout::Laid;
use super::names::{Names, Position};
use super::stated::{described, is_facts, stated};
use super::table::{Entry, Line, lay};
use crate::error::{Error, Result};
use crate::request::ReadRequest;

/// Between a mark and its count.
const TIMES: &str = " × ";

/// Whether a text is a chart of this kind.
pub(super) fn is_printed(text: &str) -> bool {
    let mut lines = text.lines();
    lines.any(|line| explained(line).is_some()) && text.lines().any(|line| is_facts(line.trim()))
}

/// Reads the chart, and its title if it has one.
///
/// # Errors
/// If a line cannot be read, or the rows do not make a band.
pub(super) fn read(
    text: &str,
    request: &ReadRequest,
    names: &mut Names,
) -> Result<(Laid, Option<String>)> {
    let mut wide = 1;
    for line in text.lines() {
        if let Some((mark, colour)) = explained(line) {
            wide = mark.chars().count();
            names.explain(mark, &colour);
        }
    }
    let mut rows = Vec::new();
    let mut title = None;
    for (at, line) in (1..).zip(text.lines()) {
        if explained(line).is_some() || is_facts(line.trim()) {
            break;
        }
        match row(line, wide, at) {
            Some(numbered) => rows.push(numbered),
            None if rows.is_empty() && !line.trim().is_empty() => {
                title.get_or_insert(line.trim().to_string());
            }
            None => {}
        }
    }
    // The last row is printed first.
    rows.reverse();
    for (wanted, (number, line)) in (1..).zip(&rows) {
        if *number != wanted {
            let error = Error::new(format!("row {wanted} is missing"));
            return Err(line
                .at
                .blame(error)
                .hint("print the chart again, and leave its rows whole"));
        }
    }
    let lines: Vec<Line> = rows.into_iter().map(|(_, line)| line).collect();
    if lines.is_empty() {
        return Err(Error::new("there are no rows").hint("print the chart again, with its rows"));
    }
    Ok((lay(&lines, request, &stated(text), names)?, title))
}

/// `k × 26  kelp green (quay-55, matte)`: the mark, and code and name.
fn explained(line: &str) -> Option<(&str, [&str; 2])> {
    let (mark, rest) = line.split_once(TIMES)?;
    let (count, colour) = rest.trim_start().split_once("  ")?;
    let counted = count
        .bytes()
        .all(|byte| byte.is_ascii_digit() || byte == b',');
    (counted && !mark.is_empty() && !mark.contains(' ')).then_some(())?;
    Some((mark, described(colour)?))
}

/// `11  g   k   k   g` as its number and a cell for each column, of marks so wide.
fn row(line: &str, wide: usize, at: usize) -> Option<(u32, Line)> {
    let letters: Vec<char> = line.chars().collect();
    let digits = line.trim_start().split(' ').next()?;
    let number = digits.parse().ok()?;
    let gutter = line.find(digits)? + digits.len();
    let rest = letters.get(gutter..).unwrap_or_default();
    let begin = rest.get(0..2)?;
    // A blank, then a blank before each mark.
    (begin == [' ', ' ']).then_some(())?;
    let cells = rest[1..]
        .chunks(wide + 1)
        .enumerate()
        .map(|(cell, letters)| Entry {
            text: letters.iter().collect::<String>().trim().to_string(),
            at: Position {
                line: at,
                column: gutter + 3 + cell * (wide + 1),
            },
        });
    let at = Position {
        line: at,
        column: 1,
    };
    Some((
        number,
        Line {
            cells: cells.collect(),
            at,
        },
    ))
}
