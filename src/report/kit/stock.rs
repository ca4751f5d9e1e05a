//! What is in stock, and colours that it does not have.

use crate::chart::Chart;
use crate::error::Error;
use crate::palette::Palette;
use crate::units::grouped;
use crate::weave::kit::Missing;
use crate::words::printable;
use std::path::Path;

/// Most characters that the colours which an error names take: an error is short.
const MOST_LETTERS: usize = 250;

/// A palette and the file that it is from.
#[derive(Debug, Clone, Copy)]
pub struct InStock<'a> {
    /// The file.
    pub file: &'a Path,
    /// The palette.
    pub palette: &'a Palette,
}

/// The error about colours of `chart` that `palette` does not have, each with the nearest that it
/// has.
pub fn not_in_palette(chart: &Chart, palette: &Palette, missing: &[Missing]) -> Error {
    let what = match missing.len() {
        1 => "a colour of the chart is".to_string(),
        count => format!("{} colours of the chart are", grouped(count)),
    };
    let mut error = Error::new(format!("{what} not in this palette"));
    let (mut left, mut named) = (MOST_LETTERS, 0);
    for one in missing {
        let (own, near) = (&chart.colours[one.colour], &palette.colours()[one.nearest]);
        let line = format!(
            "{} {}: the nearest is {} {}, difference {:.1}",
            printable(&own.code),
            printable(&own.name),
            printable(&near.code),
            printable(&near.name),
            one.difference
        );
        let Some(rest) = left.checked_sub(line.chars().count()) else {
            break;
        };
        error = error.detail(line);
        (left, named) = (rest, named + 1);
    }
    if named < missing.len() {
        error = error.detail(format!("and {} more", grouped(missing.len() - named)));
    }
    error.hint(
        "colours are matched by code: add them to the palette, with 0 grams if you have none, or \
         chart again with this palette",
    )
}
