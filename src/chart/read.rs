//! A chart from the text of its file; everything is checked, and each complaint names line and
//! column.
//!
//! Fields that are not known are refused, not skipped: a misspelt `colour` would otherwise be lost
//! without a word, and a field of a later version would make this program show less than the file
//! says.

use super::{Chart, FORMAT, MOST_COLOURS, Made, Shade, VERSION};
use crate::bead::Bead;
use crate::colour::read_hex;
use crate::error::{Error, Result};
use crate::files;
use crate::json::{Fields, Kind, Value};
use crate::lattice::{Lattice, MOST_ROWS, Row, Rows};
use crate::palette::Finish;
use crate::palette::read::{bad_hex, shown, unknown_finish};
use crate::request::check_option;
use crate::units::{Mm, grouped};
use std::collections::HashMap;
use std::path::Path;

/// A chart file, in complaints.
const KIND: Kind = Kind {
    name: "chart",
    schema: "upbead schema",
    other: "name a chart file, as `upbead chart` writes it",
    empty: "`upbead chart` makes one from a picture",
    cut_short: "the file was cut short: copy it again, or make the chart again",
    broken: "correct it there, or make the chart again",
};

/// Reads a chart file; `-` is standard input.
///
/// # Errors
/// If the file cannot be read or is no chart, with the place in the file.
pub fn open(path: &Path) -> Result<Chart> {
    let text = files::read_text(path, "a chart")?;
    read(&text).map_err(|error| error.file(path))
}

/// Reads the text of a chart file, as [`super::SCHEMA`] describes it.
///
/// Colours that no bead has are welcome; lengths of rows, indices and codes must be right.
///
/// # Errors
/// If the text is no chart, or of a version that is not known; line and column are those of the
/// value that is wrong, the file's name is the caller's to add.
pub fn read(text: &str) -> Result<Chart> {
    let document = Value::document(&KIND, text)?;
    let top = document.fields("the chart")?;
    check_format(document, &top)?;
    top.only(&[
        "format", "version", "title", "notes", "bead", "columns", "closed", "colours", "rows",
        "made",
    ])?;
    let optional = |name| {
        top.find(name)
            .map(|value| value.text(&field(name)))
            .transpose()
    };
    let (title, notes) = (optional("title")?, optional("notes")?);
    let colours = colours(top.get("colours")?)?;
    let (lattice, beads) = beads(&top, colours.len())?;
    Ok(Chart {
        lattice,
        colours,
        beads,
        made: made(top.get("made")?)?,
        title,
        notes,
    })
}

/// How a complaint names a field.
fn field(name: &str) -> String {
    format!("'{name}'")
}

/// Whether this is a chart at all, and of a version that can be read.
fn check_format(document: Value, top: &Fields) -> Result<()> {
    let other = KIND.other;
    let Some(format) = top.find("format") else {
        let error = Error::new("this is not a chart: it has no 'format'");
        return Err(document.blame(error).hint(other));
    };
    let word = format.text("'format'")?;
    if word != FORMAT {
        let error = Error::new(format!(
            "this is not a chart: its format is {}, not '{FORMAT}'",
            shown(&word)
        ));
        return Err(format.blame(error).hint(other));
    }
    let value = top.get("version")?;
    match value.whole("'version'")? {
        VERSION => Ok(()),
        version => Err(value
            .blame(Error::new(format!(
                "version {version} of the chart format is not known"
            )))
            .hint(format!(
                "this program reads version {VERSION}; use the upbead that wrote the file"
            ))),
    }
}

fn bead(value: Value) -> Result<Bead> {
    let fields = value.fields("'bead'")?;
    fields.only(&["length_mm", "diameter_mm", "hole_mm"])?;
    let measure = |name| fields.get(name)?.millimetres(&field(name)).map(Mm::new);
    Bead::new(
        measure("length_mm")?,
        measure("diameter_mm")?,
        measure("hole_mm")?,
    )
    .map_err(|error| value.blame(error))
}

fn colours(value: Value) -> Result<Vec<Shade>> {
    let list = value.list("'colours'", MOST_COLOURS)?;
    if list.count > MOST_COLOURS {
        let error = Error::new(format!("{} colours are too many", grouped(list.count)));
        return Err(value
            .blame(error)
            .hint(format!("keep to {}", grouped(MOST_COLOURS))));
    }
    if list.count == 0 {
        return Err(value
            .blame(Error::new("the chart has no colours"))
            .hint("give at least one colour with code, name and hex"));
    }
    let mut seen = HashMap::new();
    let mut colours = Vec::with_capacity(list.items.len());
    for item in list.items {
        let (colour, code) = shade(item)?;
        if let Some(first) = seen.insert(colour.code.clone(), code) {
            let error = Error::new(format!("the code {} stands twice", shown(&colour.code)));
            return Err(code.blame(error).hint(format!(
                "line {} has it too; give each colour a code of its own",
                first.line()
            )));
        }
        colours.push(colour);
    }
    Ok(colours)
}

/// A colour, and where its code stands.
fn shade(value: Value) -> Result<(Shade, Value)> {
    let fields = value.fields("a colour")?;
    fields.only(&["code", "name", "hex", "finish"])?;
    let word = |name| {
        let value = fields.get(name)?;
        let word = value.text(&field(name))?;
        if word.trim().is_empty() {
            Err(value
                .blame(Error::new(format!("the colour's {name} is empty")))
                .hint(format!("give each colour a {name}")))
        } else {
            Ok(word)
        }
    };
    let hex = fields.get("hex")?;
    let digits = hex.text("'hex'")?;
    let finish = match fields.find("finish") {
        None => None,
        Some(value) => {
            let word = value.text("'finish'")?;
            let finish = Finish::ALL.into_iter().find(|finish| finish.word() == word);
            Some(finish.ok_or_else(|| value.blame(unknown_finish(&word)))?)
        }
    };
    let shade = Shade {
        code: word("code")?,
        name: word("name")?,
        srgb: read_hex(&digits).ok_or_else(|| hex.blame(bad_hex(&digits)))?,
        finish,
    };
    Ok((shade, fields.get("code")?))
}

/// The band's shape, and each bead's colour in lattice order.
fn beads(top: &Fields, colours: usize) -> Result<(Lattice, Vec<u16>)> {
    let bead = bead(top.get("bead")?)?;
    let columns = top.get("columns")?;
    let closed = top.get("closed")?.truth("'closed'")?;
    let value = top.get("rows")?;
    let list = value.list("'rows'", MOST_ROWS as usize)?;
    let count = u32::try_from(list.count).unwrap_or(u32::MAX);
    let rows = if closed {
        Rows::closed(count)
    } else {
        Rows::open(count)
    };
    let rows = rows.map_err(|error| value.blame(error))?;
    let lattice = Lattice::new(bead, columns.whole("'columns'")?, rows)
        .map_err(|error| columns.blame(error))?;
    let mut beads = Vec::with_capacity(lattice.len());
    for (number, value) in lattice.all_rows().zip(list.items) {
        let wanted = lattice.beads_in(number);
        match value.small_numbers(wanted) {
            Some(row)
                if row.count == wanted && row.items.iter().all(|&i| usize::from(i) < colours) =>
            {
                beads.extend(row.items);
            }
            _ => return Err(bad_row(value, number, lattice, colours)),
        }
    }
    Ok((lattice, beads))
}

/// What is wrong with a row that is known to be wrong.
fn bad_row(value: Value, number: Row, lattice: Lattice, colours: usize) -> Error {
    let row = format!("row {}", number.get());
    let wanted = lattice.beads_in(number);
    let list = match value.list(&row, wanted) {
        Ok(list) => list,
        Err(error) => return error,
    };
    if list.count != wanted {
        let beads = match list.count {
            1 => "1 bead".to_string(),
            count => format!("{} beads", grouped(count)),
        };
        let columns = lattice.columns();
        return value
            .blame(Error::new(format!("{row} has {beads}, not {wanted}")))
            .hint(format!(
                "of {columns} columns, odd rows have {} beads and even rows {}",
                lattice.beads_in(Row::new(1)),
                lattice.beads_in(Row::new(2))
            ));
    }
    for item in list.items {
        match item.whole(&format!("a bead of {row}")) {
            Ok(index) if (index as usize) < colours => {}
            Ok(index) => {
                return item
                    .blame(Error::new(format!(
                        "{row} names colour {index}, which is not there"
                    )))
                    .hint(match colours {
                        1 => "there is 1 colour, number 0".to_string(),
                        _ => format!("the colours are numbered 0 to {}", colours - 1),
                    });
            }
            Err(error) => return error.hint("give the colour's number, counted from 0"),
        }
    }
    value.blame(Error::new(format!("{row} cannot be read")))
}

fn made(value: Value) -> Result<Made> {
    let fields = value.fields("'made'")?;
    fields.only(&["source", "sha256", "options", "version"])?;
    let text = |name| fields.get(name)?.text(&field(name));
    let sha256 = text("sha256")?;
    let digest = sha256.len() == 64 && sha256.bytes().all(|byte| byte.is_ascii_hexdigit());
    if !(digest || sha256.is_empty()) {
        return Err(fields
            .get("sha256")?
            .blame(Error::new(format!("{} is not a SHA-256", shown(&sha256))))
            .hint("write 64 hex digits, or nothing between the quotes"));
    }
    let options = fields.get("options")?.fields("'options'")?;
    options.bounded()?;
    let options = options
        .all()
        .iter()
        .map(|option| {
            let what = format!("the option {}", shown(&option.name));
            let text = option.value.text(&what)?;
            check_option(&option.name, &text).map_err(|error| option.value.blame(error))?;
            Ok((option.name.clone(), text))
        })
        .collect::<Result<_>>()?;
    Ok(Made {
        source: text("source")?,
        sha256,
        options,
        version: text("version")?,
    })
}
