//! The kit for people, for spreadsheets (CSV) and for programs (JSON).

mod csv;
mod json;
mod notes;
mod table;
mod text;

pub use csv::csv;
pub use json::json;
pub(super) use notes::notes;
pub(super) use table::columns;
pub use text::text;
pub(super) use text::{needle_size, spare_words};

use super::palette::printable;
use crate::chart::Chart;
use crate::error::Error;
use crate::palette::Palette;
use crate::units::grouped;
use crate::weave::kit::{Kit, Missing};

/// Most colours that an error names.
const MOST_NAMED: usize = 40;

/// A kit, and the chart that it is for.
#[derive(Debug, Clone, Copy)]
pub struct Answer<'a> {
    /// The chart.
    pub chart: &'a Chart,
    /// The palette, where one was given.
    pub palette: Option<&'a Palette>,
    /// What is needed.
    pub kit: &'a Kit,
}

impl Answer<'_> {
    /// `1 ring`, `12 rings`, `2 strips`.
    fn bands(&self, count: u32) -> String {
        let word = match (self.chart.lattice.is_closed(), count) {
            (true, 1) => "ring",
            (true, _) => "rings",
            (false, 1) => "strip",
            (false, _) => "strips",
        };
        format!("{} {word}", grouped(count as usize))
    }

    /// The word for one band.
    fn band(&self) -> &'static str {
        match self.chart.lattice.is_closed() {
            true => "ring",
            false => "strip",
        }
    }
}

/// The error about colours of `chart` that `palette` does not have, each with the nearest that it has.
pub fn missing(chart: &Chart, palette: &Palette, missing: &[Missing]) -> Error {
    let what = match missing.len() {
        1 => "a colour of the chart is".to_string(),
        count => format!("{} colours of the chart are", grouped(count)),
    };
    let mut text = format!("{what} not in this palette");
    for one in missing.iter().take(MOST_NAMED) {
        let (lacking, near) = (&chart.colours[one.colour], &palette.colours()[one.nearest]);
        text += &format!(
            "\n  {} {}: the nearest is {} {}, difference {:.1}",
            printable(&lacking.code),
            printable(&lacking.name),
            printable(&near.code),
            printable(&near.name),
            one.difference
        );
    }
    if missing.len() > MOST_NAMED {
        text += &format!("\n  and {} more", grouped(missing.len() - MOST_NAMED));
    }
    Error::new(text).hint(
        "colours are matched by code: add them to the palette, with 0 grams if you have none, or chart again with this palette",
    )
}
