//! Colourways from a table: the design's colours down the side, a way in each column.

use crate::chart::{Chart, Shade};
use crate::error::{Error, Result};
use crate::palette::Palette;
use crate::palette::read::cells::{Cell, Record, Records, Separator};
use crate::palette::read::{separator, shown};
use crate::quantize::swap::ways::Way;
use crate::report::mend::pick;
use crate::report::refine::own_colours;
use std::collections::HashMap;

/// Most colourways of a table. Ours: five sheets of paper.
pub const MOST_WAYS: usize = 60;

/// The colourways in the text of a CSV: the first row names them, the first column names colours of
/// the design, and each other cell the colour in its place. An empty cell, or a colour that is not
/// in the table, stays as it is.
///
/// # Errors
/// If a row has another number of cells than the first, a colour is not known, or a name or a
/// colour stands twice; with line and column.
pub fn read(text: &str, chart: &Chart, palette: Option<&Palette>) -> Result<Vec<Way>> {
    let wanted = "write a first line such as colour,night,dawn, then a line for each colour";
    let mut records = Records::of(text, between(text));
    let first = match records.next() {
        Some(record) => record?,
        None => return Err(Error::new("the table of colourways is empty").hint(wanted)),
    };
    let mut ways = named(&first, chart)?;
    let own = own_colours(chart)?;
    let mut lines: HashMap<usize, usize> = HashMap::new();
    while let Some(record) = records.next() {
        let record = record?;
        check_length(&record, first.cells.len())?;
        let [old, cells @ ..] = record.cells.as_slice() else {
            continue;
        };
        let at = own
            .find(&old.text)
            .map_err(|error| old.blame(error))
            .map_err(|error| error.detail(in_use(chart)))?;
        if let Some(line) = lines.insert(at, old.at.line) {
            let error = Error::new(format!("{} stands twice", shown(&old.text)));
            return Err(old.blame(error).hint(format!(
                "line {line} has it too; give each colour of the design one line"
            )));
        }
        for (way, cell) in ways.iter_mut().zip(cells) {
            if !cell.text.is_empty() {
                let shade = pick(chart, palette, &cell.text);
                way.shades[at] = shade.map_err(|error| cell.blame(error))?;
            }
        }
    }
    if lines.is_empty() {
        return Err(Error::new("the table of colourways has no colours").hint(wanted));
    }
    Ok(ways)
}

/// What stands between cells: tabs where the first line has any, as a spreadsheet copies it.
fn between(text: &str) -> Separator {
    match text.lines().next() {
        Some(first) if first.contains('\t') => Separator::Tab,
        _ => separator(text),
    }
}

/// The ways that the first row names, with the design's own colours.
fn named(first: &Record, chart: &Chart) -> Result<Vec<Way>> {
    let heads = first.cells.get(1..).unwrap_or_default();
    if heads.is_empty() {
        let error = Error::new("the first line names no colourways");
        return Err(first.end.blame(error).hint(
            "write the name of each colourway after the first cell, such as colour,night,dawn",
        ));
    }
    if let Some(cell) = heads.get(MOST_WAYS) {
        let error = Error::new(format!("{} colourways are too many", heads.len()));
        return Err(cell.blame(error).hint(format!("keep to {MOST_WAYS}")));
    }
    let mut ways: Vec<Way> = Vec::new();
    for cell in heads {
        ways.push(Way {
            name: name(cell, &ways)?,
            shades: chart.colours.clone(),
        });
    }
    Ok(ways)
}

fn name(cell: &Cell, before: &[Way]) -> Result<String> {
    if cell.text.is_empty() {
        let error = Error::new("a colourway has no name");
        return Err(cell.blame(error).hint("write a name for it in this cell"));
    }
    if before
        .iter()
        .any(|way| way.name.to_lowercase() == cell.text.to_lowercase())
    {
        let error = Error::new(format!("two colourways are called {}", shown(&cell.text)));
        return Err(cell.blame(error).hint("give each a name of its own"));
    }
    Ok(cell.text.clone())
}

fn check_length(record: &Record, wanted: usize) -> Result<()> {
    let there = record.cells.len();
    if there == wanted {
        return Ok(());
    }
    let error = Error::new(format!("this row has {there} cells, not {wanted}"));
    let error = match record.cells.get(wanted) {
        Some(cell) => cell.blame(error),
        None => record.end.blame(error),
    };
    Err(error.hint("give each row as many cells as the first; an empty cell keeps the colour"))
}

/// The design's colours, for an error.
fn in_use(chart: &Chart) -> String {
    const MOST: usize = 8;
    let named = |shade: &Shade| format!("{} ({})", shade.code, shade.name);
    let colours: Vec<String> = chart.colours.iter().take(MOST).map(named).collect();
    let more = match chart.colours.len().saturating_sub(MOST) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    format!("the design has {}{more}", colours.join(", "))
}
