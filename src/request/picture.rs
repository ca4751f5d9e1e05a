//! Where the picture goes on the band.

use super::is_none;
use super::json::optional;
use super::values::{Count, Crisp};
use crate::error::{Error, Result};
use crate::picture::{Arrangement, Crop, Place, Placement, Position, Rotation, Scaling};
use crate::units::{Mm, decimals};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// Smallest motif that may be asked for, of the largest that fits. Ours.
const SMALLEST: f64 = 0.1;

/// How the picture lies on the band.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[cfg_attr(feature = "cli", command(next_help_heading = "Picture"))]
#[serde(default)]
pub struct PictureRequest {
    /// Where it goes: round, motif or repeat:N
    ///
    /// round lays the picture once all round; motif sets it once on a plain ground, where
    /// --position says; repeat:N shows it N times, an even number of rows each. By default as the
    /// artwork asks: motif where it has a clear or plain ground, repeat where it is a pattern, else
    /// round. Example: --place repeat:4
    #[cfg_attr(feature = "cli", arg(long, value_name = "PLACE"))]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub place: Option<Place>,

    /// Rotate by auto, 0, 90, 180 or 270 degrees
    ///
    /// Degrees clockwise. Upright, the top of the picture is the end of the band. auto takes 0 or
    /// 90, whichever keeps more of the picture, and says so. By default a motif stands upright
    /// unless it becomes half as large again on its side, and a landscape lies along the band.
    /// Example: --rotate 0
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "DEGREES", allow_negative_numbers = true)
    )]
    #[serde(alias = "turn", with = "optional", skip_serializing_if = "is_none")]
    pub rotate: Option<Rotation>,

    /// Scaling: cover, contain or stretch
    ///
    /// How a picture of another shape fills its place: cover fills it and cuts off what does not
    /// fit; contain shows all of the picture on a ground; stretch fills it out of proportion. By
    /// default contain for a motif, cover otherwise. Example: --scaling stretch
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "SCALING", value_enum, hide_possible_values = true)
    )]
    #[serde(alias = "fit", skip_serializing_if = "is_none")]
    pub scaling: Option<Scaling>,

    /// Part of the picture to use, in pixels
    ///
    /// From the left, from the top, width and height, in pixels of the upright picture. By default
    /// all of a motif, one repeat of a pattern, and of a picture that does not fit the part with
    /// most detail and colours. Example: --crop 120,0,300,900
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "X,Y,W,H", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub crop: Option<Crop>,

    /// Plain columns along either edge [0]
    ///
    /// Columns that stay ground along each edge; 0 by default. Example: --margin 1
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "COLUMNS", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub margin: Option<Count>,

    /// Motif's position: best, middle or SCALE,MM,MM
    ///
    /// With --place motif. best (the default) looks for the size, from 0.8 of the largest that
    /// fits, and the place on the beads, within half a bead of the middle, that come nearest to
    /// the picture as the eye sees it; middle is the whole picture, as large as fits, in the
    /// middle; or give a size from 0.1 to 1 and millimetres to the right and up from there, as the
    /// summary states them. Example: --position 0.9,0.2,-0.4
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "POSITION", allow_hyphen_values = true)
    )]
    #[serde(alias = "seat", with = "optional", skip_serializing_if = "is_none")]
    pub position: Option<Position>,

    /// The part of the picture that a found position is of; only in a chart's record.
    #[cfg_attr(feature = "cli", arg(skip))]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub frame: Option<Crop>,

    /// Colour where there is no picture, by code
    ///
    /// The ground behind a motif, and behind transparent parts. By default the colour nearest to
    /// the artwork's own plain ground; on a clear ground a quiet colour that sets a flat drawing
    /// off, or for a picture the lightest or darkest of the palette. Example: --ground quay-58
    #[cfg_attr(feature = "cli", arg(long, value_name = "CODE"))]
    #[serde(skip_serializing_if = "is_none")]
    pub ground: Option<String>,

    /// Favour edges and thin lines: 0 to 1, or 1 if bare
    ///
    /// 0, the default, gives each bead the mean of the picture on it, in which lines thinner than a
    /// bead fade and break. More lets what stands out from its neighbourhood win its bead, in
    /// one colour in place of a blend; 1 (the option without a number) is for line drawings and
    /// small motifs. Example: --crisp
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "CRISP", num_args = 0..=1, default_missing_value = "1",
            allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub crisp: Option<Crisp>,
}

impl PictureRequest {
    /// How the picture lies; a position goes with a motif only.
    ///
    /// # Errors
    /// If a position is given for something else.
    pub fn arrangement(&self) -> Result<Arrangement> {
        let place = self.place.unwrap_or_default();
        if self.position.is_some() && place != Place::Motif {
            return Err(Error::usage("only a motif has a position")
                .option("position")
                .hint("add [--place motif]"));
        }
        Ok(Arrangement {
            place,
            scaling: self.scaling,
            rotation: self.rotate.unwrap_or_default(),
            crop: self.crop,
            margin: self.margin.map_or(0, |count| count.0),
            position: self.position.unwrap_or(Position::Best),
            frame: self.frame,
        })
    }

    /// The same, with what is missing taken from `other`.
    #[must_use]
    pub fn or(&self, other: &Self) -> Self {
        // A position is of the frame in its own part of the picture.
        let moved = self.crop.is_some() && self.crop != other.crop;
        Self {
            place: self.place.or(other.place),
            rotate: self.rotate.or(other.rotate),
            scaling: self.scaling.or(other.scaling),
            crop: self.crop.or(other.crop),
            margin: self.margin.or(other.margin),
            position: self.position.or(other.position.filter(|_| !moved)),
            frame: self.frame.or(other.frame.filter(|_| !moved)),
            ground: self.ground.clone().or_else(|| other.ground.clone()),
            crisp: self.crisp.or(other.crisp),
        }
    }
}

/// Four whole numbers separated by commas: a part of a picture.
pub fn pixels(text: &str) -> Option<Crop> {
    let numbers: Option<Vec<u32>> = text
        .split(',')
        .map(|part| part.trim().parse().ok())
        .collect();
    match numbers?[..] {
        [x, y, width, height] => Some(Crop {
            x,
            y,
            width,
            height,
        }),
        _ => None,
    }
}

impl FromStr for Crop {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        pixels(text).ok_or_else(|| {
            Error::usage(format!("'{text}' is not a part of a picture"))
                .hint("give x,y,width,height in whole pixels, such as 120,0,300,900")
        })
    }
}

impl fmt::Display for Crop {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{},{},{},{}", self.x, self.y, self.width, self.height)
    }
}

impl FromStr for Place {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let place = match text.split_once(':') {
            None if text == "round" => Some(Self::Round),
            None if text == "motif" => Some(Self::Motif),
            Some(("repeat", count)) => count.parse().ok().map(Self::Repeat),
            _ => None,
        };
        place.ok_or_else(|| {
            Error::usage(format!("'{text}' is no place on a band"))
                .hint("write round, motif or repeat:N, such as repeat:4")
        })
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Round => f.write_str("round"),
            Self::Motif => f.write_str("motif"),
            Self::Repeat(count) => write!(f, "repeat:{count}"),
        }
    }
}

impl FromStr for Rotation {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        match text {
            "auto" => Ok(Self::Auto),
            "0" => Ok(Self::Quarters(0)),
            "90" => Ok(Self::Quarters(1)),
            "180" => Ok(Self::Quarters(2)),
            "270" => Ok(Self::Quarters(3)),
            _ => Err(Error::usage(format!("'{text}' is no quarter turn"))
                .hint("write auto, 0, 90, 180 or 270, clockwise")),
        }
    }
}

impl fmt::Display for Rotation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Auto => f.write_str("auto"),
            Self::Quarters(quarters) => (quarters * 90).fmt(f),
        }
    }
}

impl FromStr for Position {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let numbers: Option<Vec<f64>> = text
            .split(',')
            .map(|part| part.trim().parse().ok())
            .collect();
        match (text, numbers.as_deref()) {
            ("best", _) => Ok(Self::Best),
            ("middle", _) => Ok(Self::Middle),
            (_, Some(&[scale, across, along]))
                if (SMALLEST..=1.0).contains(&scale) && across.is_finite() && along.is_finite() =>
            {
                Ok(Self::At(Placement {
                    scale,
                    across: Mm::new(across),
                    along: Mm::new(along),
                }))
            }
            _ => Err(
                Error::usage(format!("'{text}' is no position of a motif")).hint(
                    "write best, middle, or a size from 0.1 to 1 and millimetres to the right and \
                 up, such as 0.9,0.2,-0.4",
                ),
            ),
        }
    }
}

impl fmt::Display for Position {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Middle => f.write_str("middle"),
            Self::Best => f.write_str("best"),
            Self::At(placement) => {
                let numbers = [
                    placement.scale,
                    placement.across.get(),
                    placement.along.get(),
                ];
                f.write_str(&numbers.map(|number| decimals(number, 6)).join(","))
            }
        }
    }
}
