//! What a command changed in a finished chart, for text and JSON alike.

use super::refine::own_colours;
use crate::chart::{Chart, Shade};
use crate::colour::hex;
use crate::error::Result;
use crate::palette::Palette;
use crate::picture::Position;
use crate::request::{Record, RepeatRequest, SetRequest};
use crate::units::Mm;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;
use std::path::Path;

/// What changed in a chart.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct MendReport {
    /// Where the chart went; none is standard output.
    pub chart: Option<String>,
    /// Columns of the band.
    pub columns: u32,
    /// Rows of the band.
    pub rows: u32,
    /// Rows that it had before.
    pub rows_before: u32,
    /// Beads of the band.
    pub beads: usize,
    /// Beads that have another colour than before at their row and column; of a band with another
    /// number of rows, those in the rows that both have.
    pub changed: usize,
    /// The colours of the chart, in its order.
    pub colours: Vec<MendColourReport>,
}

/// A colour, and its beads before and after.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct MendColourReport {
    /// Its code.
    pub code: String,
    /// Its name.
    pub name: String,
    /// Six hex digits.
    pub hex: String,
    /// Beads before.
    pub before: usize,
    /// Beads now.
    pub after: usize,
}

impl MendReport {
    /// Of a chart before and after; `file` is where it went, none is standard output.
    pub fn new(file: Option<&Path>, before: &Chart, after: &Chart) -> Self {
        let rows = before.lattice.rows().min(after.lattice.rows());
        let both = before.lattice.all_rows().take(rows as usize);
        let beads = both.flat_map(|row| before.row(row).iter().zip(after.row(row)));
        let (was, is) = (before.counts(), after.counts());
        let colours = after.colours.iter().enumerate();
        Self {
            chart: file.map(|file| file.to_string_lossy().into()),
            columns: after.lattice.columns(),
            rows: after.lattice.rows(),
            rows_before: before.lattice.rows(),
            beads: after.lattice.len(),
            changed: beads.filter(|(before, after)| before != after).count(),
            colours: colours
                .map(|(at, shade)| MendColourReport {
                    code: shade.code.clone(),
                    name: shade.name.clone(),
                    hex: hex(shade.srgb),
                    before: was.get(at).copied().unwrap_or(0),
                    after: is[at],
                })
                .collect(),
        }
    }
}

/// The chart with beads set as asked for; colours are the chart's, then those of `palette`.
///
/// # Errors
/// If there is no such bead or colour, or the band has no such mirror image.
pub fn set(chart: &Chart, request: &SetRequest, palette: Option<&Palette>) -> Result<Chart> {
    let lattice = &chart.lattice;
    let axes = request.axes(lattice, motif_up(chart)?)?;
    let mut chosen: BTreeMap<usize, usize> = BTreeMap::new();
    let mut shades = Vec::new();
    for part in &request.beads {
        shades.push(pick(chart, palette, &part.colour)?);
        let mut beads = part.beads(lattice)?;
        for &axis in &axes {
            let images = beads.iter().filter_map(|&at| lattice.mirrored(at, axis));
            beads = beads
                .iter()
                .copied()
                .chain(images.collect::<Vec<_>>())
                .collect();
        }
        chosen.extend(beads.into_iter().map(|bead| (bead, shades.len() - 1)));
    }
    let mut set = chart.clone();
    for (at, shade) in shades.iter().enumerate() {
        let beads = chosen.iter().filter(|(_, part)| **part == at);
        let beads: Vec<usize> = beads.map(|(&bead, _)| bead).collect();
        if !beads.is_empty() {
            set.set_beads(&beads, shade)?;
        }
    }
    Ok(set)
}

/// The chart with some of its rows repeated as asked for.
///
/// # Errors
/// If there are no such rows, or they cannot be repeated so.
pub fn repeat(chart: &Chart, request: &RepeatRequest) -> Result<Chart> {
    let (first, last) = request.rows.within(&chart.lattice)?;
    match request.times {
        Some(times) => chart.repeated(first, last, times.0),
        None => chart.filled(first, last),
    }
}

/// A colour of the chart by code or name, or else one of the palette.
///
/// # Errors
/// If there is none, or a name stands for several; the nearest are named.
pub fn pick(chart: &Chart, palette: Option<&Palette>, typed: &str) -> Result<Shade> {
    let own = own_colours(chart)?;
    if let Ok(at) = own.find(typed) {
        return Ok(Shade::from(&own.colours()[at]));
    }
    let others = palette.map_or(&[][..], Palette::colours).iter();
    let others = others.filter(|other| own.colours().iter().all(|own| own.code != other.code));
    let all = own.colours().iter().chain(others).cloned().collect();
    let all = Palette::new("", all, Vec::new())?;
    let found = all.find(typed);
    found
        .map(|at| Shade::from(&all.colours()[at]))
        .map_err(|error| match palette {
            Some(_) => error,
            None => error.detail("other colours than the chart's come from --palette"),
        })
}

/// How far above the middle of the band its motif lies, as its record has it.
fn motif_up(chart: &Chart) -> Result<Mm> {
    let record = Record::read(&chart.made.options)?;
    Ok(match record.request.picture.position {
        Some(Position::At(placement)) => placement.along,
        _ => Mm::new(0.0),
    })
}
