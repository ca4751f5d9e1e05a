//! A palette from the text of its file, recognised by the first line:
//!
//! | first line | format |
//! |---|---|
//! | `GIMP Palette` | GIMP palette (GPL): red, green, blue and a name a line |
//! | anything else | CSV with a header: `code,name,hex` and perhaps `finish,grams,per_gram,price` |

pub(crate) mod cells;
mod csv;
mod gpl;

pub(crate) use csv::separator;

use super::{Finish, Palette};
use crate::error::{Error, Result, nearest_names};
use crate::files;
use crate::units::grouped;
use crate::words;
use std::path::Path;

/// Most colours of a palette.
pub const MOST_COLOURS: usize = 65_535;

/// Reads a palette file; `-` is standard input. Its name is the file's without folder and ending,
/// unless it names itself.
///
/// # Errors
/// If the file cannot be read or is no palette, with the place in the file.
pub fn open(path: &Path) -> Result<Palette> {
    let text = files::read_text(path, "a palette")?;
    let name = match path.file_stem() {
        Some(stem) if path != Path::new("-") => stem.to_string_lossy().into_owned(),
        _ => "standard input".to_string(),
    };
    read(&text, &name).map_err(|error| error.file(path))
}

/// Reads the text of a palette; `name` is its name where it has none of its own.
///
/// Of CSV, the columns may stand in any order and their heads in any case; spaces round a cell,
/// blank lines and empty rows are dropped, columns that the program does not know are kept. Of GIMP
/// palettes, codes are made from the names: `Sea green` is `sea-green`, a second one `sea-green-2`;
/// a colour without a name is called by its hex.
///
/// # Errors
/// If a cell is not what its column holds, a code stands twice, a row has another number of cells
/// than the header, there is no colour, or more than 65,535. Line and column are those of the cell;
/// the file's name is the caller's to add.
pub fn read(text: &str, name: &str) -> Result<Palette> {
    if text.trim().is_empty() {
        return Err(
            Error::new("the palette is empty").hint("give each colour a line: code,name,hex")
        );
    }
    match text.lines().next().map(str::trim_end) {
        Some(gpl::FIRST_LINE) => gpl::read(text, name),
        _ => csv::read(text, name),
    }
}

/// A word of the user's in quotes, cut to a readable length, without control characters.
pub(crate) fn shown(word: &str) -> String {
    const MOST: usize = 60;
    let mut text: String = words::shown(word).chars().take(MOST).collect();
    if word.chars().nth(MOST).is_some() {
        text.push('…');
    }
    format!("'{text}'")
}

/// `hex` should have been a colour.
pub(crate) fn bad_hex(hex: &str) -> Error {
    Error::new(format!("{} is not a colour", shown(hex)))
        .hint("write six hex digits, such as 2F5D50")
}

/// `word` should have been a finish.
pub(crate) fn unknown_finish(word: &str) -> Error {
    let error = Error::new(format!("{} is not a finish", shown(word)));
    let words = Finish::ALL.map(Finish::word);
    match nearest_names(word, words).first() {
        Some(near) => error.hint(format!(
            "did you mean {near}? The finishes are {}",
            words.join(", ")
        )),
        None => error.hint(format!("the finishes are {}", words.join(", "))),
    }
}

fn too_many() -> Error {
    Error::new(format!(
        "the palette has more than {} colours",
        grouped(MOST_COLOURS)
    ))
    .hint("leave out the colours that you will not use")
}
