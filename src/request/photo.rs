//! A photograph of bead piles: where the piles and the paper are.

use super::is_none;
use super::json::optional;
use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::lattice::{Lattice, Rows};
use crate::palette_photo::{Hints, MOST_PILES, Point, Spots};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// Where the piles and the paper are on a photograph.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct PhotoRequest {
    /// Piles on a grid, such as 6x4
    ///
    /// Columns and rows of piles that share the whole photograph evenly; each is looked for in the
    /// middle of its place. By default the piles are found without help. Example: --grid 6x4
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "COLUMNSxROWS", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub grid: Option<PileGrid>,

    /// Middles of the piles, in pixels
    ///
    /// From the left and from the top of the upright photograph, separated by semicolons. By
    /// default the piles are found without help. Example: --spots "120,80;340,90;560,85"
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "X,Y;..", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub spots: Option<PileSpots>,

    /// A place of bare paper, in pixels
    ///
    /// For photographs that show little paper, or much that is lighter than it. By default the
    /// paper is found without help. Example: --white 40,25
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "X,Y", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub white: Option<Place>,
}

impl PhotoRequest {
    /// The options of reading the photograph.
    ///
    /// # Errors
    /// If both a grid and spots are given.
    pub fn options(&self) -> Result<Hints> {
        let spots = match (self.grid, &self.spots) {
            (Some(_), Some(_)) => {
                return Err(
                    Error::usage("a grid and spots cannot both say where the piles are")
                        .option("spots")
                        .hint("leave out [--grid] or [--spots]"),
                );
            }
            (Some(PileGrid { columns, rows }), None) => Spots::Grid { columns, rows },
            (None, Some(PileSpots(places))) => {
                Spots::At(places.iter().copied().map(point).collect())
            }
            (None, None) => Spots::Find,
        };
        Ok(Hints {
            spots,
            white: self.white.map(point),
        })
    }
}

fn point(place: Place) -> Point {
    Point {
        x: place.x,
        y: place.y,
    }
}

/// The band for which a drawing of piles is rendered; photographs have their own pixels.
///
/// # Errors
/// None: its shape is within all limits.
pub fn photo_band() -> Result<Lattice> {
    Lattice::new(Bead::default(), 100, Rows::open(160)?)
}

/// Piles in columns and rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PileGrid {
    columns: usize,
    rows: usize,
}

impl FromStr for PileGrid {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let side = |text: &str| text.trim().parse::<usize>().ok().filter(|&side| side > 0);
        let sides = text.split_once(['x', 'X', '×']);
        sides
            .and_then(|(columns, rows)| {
                let (columns, rows) = (side(columns)?, side(rows)?);
                Some(Self { columns, rows })
            })
            .filter(|grid| grid.columns.saturating_mul(grid.rows) <= MOST_PILES)
            .ok_or_else(|| {
                Error::usage(format!("'{text}' is not a grid of piles"))
                    .hint("give columns and rows, such as 6x4; 1000 piles at most")
            })
    }
}

impl fmt::Display for PileGrid {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}x{}", self.columns, self.rows)
    }
}

/// Middles of piles.
#[derive(Debug, Clone, PartialEq)]
pub struct PileSpots(Vec<Place>);

impl FromStr for PileSpots {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let bad = |part: &str| {
            Error::usage(format!("'{part}' is not a spot"))
                .hint("give pixels from the left and from the top, such as \"120,80;340,90\"")
        };
        let parts = text.split(';').map(str::trim);
        let parts: Vec<&str> = parts.filter(|part| !part.is_empty()).collect();
        if parts.is_empty() || parts.len() > MOST_PILES {
            return Err(bad(text));
        }
        let places = parts
            .iter()
            .map(|part| Place::read(part).ok_or_else(|| bad(part)));
        places.collect::<Result<_>>().map(Self)
    }
}

impl fmt::Display for PileSpots {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let places: Vec<String> = self.0.iter().map(Place::to_string).collect();
        f.write_str(&places.join(";"))
    }
}

/// A place on a photograph, in pixels from the left and from the top.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    x: f64,
    y: f64,
}

impl Place {
    fn read(text: &str) -> Option<Self> {
        let (x, y) = text.split_once(',')?;
        let number = |text: &str| text.trim().parse::<f64>().ok().filter(|n| n.is_finite());
        Some(Self {
            x: number(x)?,
            y: number(y)?,
        })
    }
}

impl FromStr for Place {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        Self::read(text).ok_or_else(|| {
            Error::usage(format!("'{text}' is not a place"))
                .hint("give pixels from the left and from the top, such as 40,25")
        })
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{},{}", self.x, self.y)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_reads_back() {
        let request = PhotoRequest {
            spots: Some(" 120,80; 340.5,90;".parse().unwrap()),
            white: Some("40, 25".parse().unwrap()),
            ..PhotoRequest::default()
        };
        let written = serde_json::to_value(&request).unwrap();
        assert_eq!(written["spots"], "120,80;340.5,90");
        let read: PhotoRequest = serde_json::from_value(written).unwrap();
        assert_eq!(read, request);
    }
}
