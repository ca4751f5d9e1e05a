//! A text of any kind: which it is, and the band that it describes.

use super::layout::FromText;
use super::names::Names;
use super::{printed, table, typed, woven};
use crate::error::{Error, Result};
use crate::palette::Palette;
use crate::request::{ReadKind, ReadRequest};

/// Reads a text: as its kind, or as what it shows itself to be.
///
/// # Errors
/// If it describes no band, or names colours that the palette does not have.
pub(super) fn read(text: &str, palette: &Palette, request: &ReadRequest) -> Result<FromText> {
    if text.trim().is_empty() {
        return Err(Error::new("the file is empty")
            .hint("give each row a line: R3: 2 navy, 1 gold, 2 navy; or a table of codes"));
    }
    let woven = woven::is_woven(text);
    let kind = request.kind.unwrap_or_else(|| {
        if woven || typed::is_typed(text) && !printed::is_printed(text) {
            ReadKind::Words
        } else {
            ReadKind::Table
        }
    });
    request.check(kind)?;
    let mut names = Names::new(palette, &request.map)?;
    let read = match kind {
        ReadKind::Words if woven => woven::read(text, request, &mut names)?,
        ReadKind::Words => typed::read(text, request, &mut names)?,
        _ if printed::is_printed(text) => {
            let (laid, title) = printed::read(text, request, &mut names)?;
            FromText::table(laid, title)
        }
        _ => FromText::table(table::read(text, request, &mut names)?, None),
    };
    Ok(read)
}
