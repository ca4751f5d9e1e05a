//! A chart made again from its picture: what is optimised, and which beads stay.

use super::{calm, distances};
use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::lattice::{Column, Lattice, Row};
use crate::palette::{Colour, Palette};
use crate::pipeline::{Options, recorded};
use crate::quantize::refine;
use crate::vision::band::DISTANCES;

/// What was said of it.
#[derive(Debug, Clone, Copy, Default)]
pub struct Finer<'a> {
    /// `--seen`: distances.
    pub seen: Option<&'a str>,
    /// `--calm`.
    pub calm: Option<f64>,
    /// `--pin`: rows and beads.
    pub pin: Option<&'a str>,
}

/// What a chart is made again with.
pub struct MadeFiner {
    /// As the chart was made, but optimised whole.
    pub options: Options,
    /// Beads that stay, in lattice order.
    pub pinned: Vec<usize>,
}

impl Finer<'_> {
    /// Whether distances and calm can be meant, whatever the chart.
    ///
    /// # Errors
    /// If not.
    pub fn check(&self) -> Result<()> {
        self.seen.map(distances).transpose()?;
        self.calm.map(calm).transpose()?;
        Ok(())
    }

    /// The options of `chart`, optimised whole.
    ///
    /// # Errors
    /// If what was typed cannot be read, or what the chart says of its making.
    pub fn options(&self, chart: &Chart, palette: &Palette) -> Result<MadeFiner> {
        self.check()?;
        let mut options = recorded(chart, palette)?;
        let before = options.choice.fine.take();
        let seen = match self.seen {
            Some(seen) => distances(seen)?,
            None => match &before {
                Some(fine) if !fine.seen.is_empty() => fine.seen.clone(),
                _ => DISTANCES.to_vec(),
            },
        };
        options.choice.fine = Some(refine::Options {
            seen,
            calm: self
                .calm
                .or(before.map(|fine| fine.calm))
                .unwrap_or_default(),
        });
        Ok(MadeFiner {
            options,
            pinned: match self.pin {
                Some(text) => pinned(text, &chart.lattice)?,
                None => Vec::new(),
            },
        })
    }
}

/// The chart's own colours, as a palette.
///
/// # Errors
/// If the chart has none.
pub fn own_colours(chart: &Chart) -> Result<Palette> {
    let colours = chart.colours.iter().map(|shade| Colour {
        code: shade.code.clone(),
        name: shade.name.clone(),
        srgb: shade.srgb,
        finish: shade.finish,
        grams: None,
        per_gram: None,
        price: None,
        extra: Vec::new(),
    });
    Palette::new("the chart", colours.collect(), Vec::new())
}

/// Rows and beads that were typed, as places in lattice order.
fn pinned(text: &str, lattice: &Lattice) -> Result<Vec<usize>> {
    let mut beads = Vec::new();
    for part in text
        .split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty())
    {
        let unknown = || {
            Error::usage(format!("'{part}' names no beads"))
                .option("--pin")
                .hint("give rows, ranges of rows or row:column, such as 12,20..35,40:5")
        };
        let number = |word: &str| word.trim().parse::<u32>().map_err(|_| unknown());
        let row = |number: u32| match (1..=lattice.rows()).contains(&number) {
            true => Ok(Row::new(number)),
            false => Err(Error::usage(format!("there is no row {number}"))
                .option("--pin")
                .hint(format!("the chart has rows 1 to {}", lattice.rows()))),
        };
        if let Some((one, two)) = part.split_once("..") {
            let (one, two) = (number(one)?, number(two)?);
            if one > two {
                return Err(unknown());
            }
            row(one)?;
            row(two)?;
            beads.extend((one..=two).flat_map(|number| lattice.span_of(Row::new(number))));
        } else if let Some((one, two)) = part.split_once(':') {
            let (own, column) = (row(number(one)?)?, number(two)?);
            let bead = lattice.index(own, Column::new(column)).ok_or_else(|| {
                let columns: Vec<String> = lattice
                    .columns_of(own)
                    .take(3)
                    .map(|column| column.get().to_string())
                    .collect();
                Error::usage(format!("row {} has no bead in column {column}", own.get()))
                    .option("--pin")
                    .hint(format!(
                        "it fills the columns {} and so on, to {}",
                        columns.join(", "),
                        lattice.columns()
                    ))
            })?;
            beads.push(bead);
        } else {
            beads.extend(lattice.span_of(row(number(part)?)?));
        }
    }
    Ok(beads)
}
