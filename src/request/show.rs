//! Pictures of a chart: how large, on what backdrop, and what each kind of picture takes.

use super::json::{flag, optional};
use super::values::{length_in, number_in};
use super::{is_none, is_off};
use crate::colour::{Srgb8, read_hex};
use crate::error::{Error, Result};
use crate::units::{Mm, decimals};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::ops::RangeInclusive;
use std::str::FromStr;

/// Scales that are accepted. Ours.
const SCALES: (f64, f64) = (0.1, 50.0);
/// Fewest and most dots per inch. Ours.
pub const DENSITIES: (f64, f64) = (30.0, 1200.0);
/// Fewest and most pixels a side of a ring's picture. Ours.
pub const PIXELS: (u32, u32) = (64, 4096);
/// Frames of a turntable where none are given. Ours.
pub const FRAMES: u32 = 48;
/// Fewest and most frames of a turntable. Ours.
const FRAMES_BETWEEN: RangeInclusive<u32> = 8..=240;
/// Nearest and farthest distance that a band is drawn from. Ours.
const SEEN_BETWEEN: RangeInclusive<f64> = 100.0..=20_000.0;
/// Most bands side by side. Ours.
const MOST_SEEN: usize = 6;

/// How large a picture is, and on what.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct DrawingRequest {
    /// Times true size, or true for true size
    ///
    /// How many times its true size the band is drawn, from 0.1 to 50, or true for true size with
    /// a ruler to check the print. By default a ring's chart is drawn at 3.5, where every row can
    /// be numbered, and a larger band so that it fits a sheet of A3, but not below its true size;
    /// --ring goes by --pixels, and --seen has true size in the hand.
    /// Example: --flat band.png --scale true
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "TIMES", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub scale: Option<Scale>,

    /// Dots per inch of a PNG [300]
    ///
    /// Pixel density, 30 to 1200 dots per inch, recorded in the file so that it prints at its
    /// size. The default is 300, or less where the picture would pass 40 megapixels; a density
    /// that is given is kept or refused. Example: --density 600
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "DPI", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub density: Option<Density>,

    /// Backdrop: white, transparent or a hex colour
    ///
    /// The paper of the picture: white (the default), transparent, or six hex digits. Words are
    /// light on a dark backdrop; on a transparent one they are dark. --turntable and --seen need
    /// a colour. Example: --flat band.png --backdrop 18222B
    #[cfg_attr(feature = "cli", arg(long, value_name = "COLOUR"))]
    #[serde(with = "optional", alias = "ground", skip_serializing_if = "is_none")]
    pub backdrop: Option<Backdrop>,
}

/// How the beads of a flat chart are drawn.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct BeadStyleRequest {
    /// Draw beads as beads, by finish
    ///
    /// Draws each bead of the flat chart as a lit cylinder with its rim and the shadow in its
    /// hole: shiny, matte, transparent, metallic or lustre, as its colour's finish says; shiny
    /// where it says nothing. By default beads are flat, in the exact colour of the palette, which
    /// is better to weave from. Example: --flat band.png --beads
    #[cfg_attr(feature = "cli", arg(long))]
    #[serde(with = "flag", skip_serializing_if = "is_off")]
    pub beads: bool,

    /// Letter each bead with its colour's key
    ///
    /// Writes the short key of the colour on each bead, in black or white, as `upbead print` does,
    /// so that colours can be told apart in grey. Beads that are drawn too small for letters stay
    /// plain. Off by default. Example: --flat band.svg --lettered
    #[cfg_attr(feature = "cli", arg(long))]
    #[serde(with = "flag", skip_serializing_if = "is_off")]
    pub lettered: bool,

    /// Letter all beads but those of the ground
    ///
    /// As --lettered, but the beads of the most frequent colour stay blank, so that the motif
    /// stands out; the table of colours still shows their key. Off by default.
    /// Example: --flat band.svg --blank-ground
    #[cfg_attr(feature = "cli", arg(long))]
    #[serde(with = "flag", skip_serializing_if = "is_off")]
    pub blank_ground: bool,
}

/// How the ring is pictured.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct RingViewRequest {
    /// Pixels a side of the ring's picture
    ///
    /// The ring's picture is square, 64 to 4096 pixels a side. The default is 1200, 480 for
    /// --turntable, or what --scale and --density come to. With --scale the density follows and is
    /// recorded. Example: --ring ring.png --pixels 2000
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "PIXELS", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub pixels: Option<PixelSide>,

    /// Roll the ring by so many degrees [0]
    ///
    /// Rolls the ring about its own axis, from -360 to 360 degrees: at 0, the default, the middle
    /// row faces you; with more, the front goes up. A turntable begins here.
    /// Example: --ring back.png --roll 180
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "DEGREES", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", alias = "turn", skip_serializing_if = "is_none")]
    pub roll: Option<Roll>,

    /// Lay the ring on its side, on a cone
    ///
    /// The ring lies on a cone as thick as a finger, its axis upright, so that a picture or words
    /// along the band are seen level and upright: the chart records how its picture was rotated. By
    /// default the ring stands like a wheel. Example: --ring ring.png --lying
    #[cfg_attr(feature = "cli", arg(long))]
    #[serde(with = "flag", skip_serializing_if = "is_off")]
    pub lying: bool,

    /// Show so much of the ring's side, in degrees [28]
    ///
    /// How far the ring's side is tilted towards you, from -90 to 90 degrees: 0 looks straight at
    /// the band, 28 (the default) shows the inside too, 90 looks through the ring; below 0 it is
    /// the other side. A lying ring is seen from so much above, 0 to 90; 14 is its default.
    /// Example: --ring ring.png --tilt 0
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "DEGREES", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub tilt: Option<Tilt>,
}

/// How the loop of a turntable is made.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct LoopRequest {
    /// Frames of the loop [48]
    ///
    /// Frames in one round, 8 to 240, each shown for a tenth of a second; more make it slower and
    /// smoother, and the file larger. The default is 48. Example: --turntable ring.png --frames 72
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "FRAMES", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub frames: Option<Frames>,
}

/// From where the band is drawn as it looks; the command line takes it with `--seen`.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct SeenRequest {
    /// Distances, at most six.
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub seen: Option<SeenDistances>,
}

impl DrawingRequest {
    /// What the picture is drawn on; none is transparent.
    pub fn backdrop(&self) -> Option<Srgb8> {
        self.backdrop.unwrap_or_default().0
    }

    /// What a picture is drawn on that cannot be transparent.
    ///
    /// # Errors
    /// If the backdrop is transparent; `what` says which picture it is.
    pub fn opaque_backdrop(&self, what: &str) -> Result<Srgb8> {
        self.backdrop().ok_or_else(|| {
            Error::usage(format!("{what} cannot have a transparent backdrop"))
                .option("backdrop")
                .hint("write white or six hex digits, the colour of the page")
        })
    }

    /// Dots per inch.
    pub fn density(&self) -> Option<f64> {
        self.density.map(|density| density.0)
    }
}

impl RingViewRequest {
    /// The ring's own size, scale and density cannot all be given, and a lying ring is seen from
    /// above.
    ///
    /// # Errors
    /// If they are, or it is not.
    pub fn check(&self, drawing: &DrawingRequest) -> Result<()> {
        if self.pixels.is_some() && drawing.scale.is_some() && drawing.density.is_some() {
            return Err(
                Error::usage("pixels, scale and density cannot all be given")
                    .option("pixels")
                    .hint(
                        "leave out [--pixels], [--scale] or [--density]; it follows from the \
                         others",
                    ),
            );
        }
        match self.tilt {
            Some(tilt) if self.lying && tilt.0 < 0.0 => {
                Err(Error::usage("a lying ring is not seen from below")
                    .option("tilt")
                    .hint("give 0 to 90"))
            }
            _ => Ok(()),
        }
    }
}

/// How large the band is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Scale {
    /// So that it is well read: 3.5 times true size, less where the band would outgrow a sheet of
    /// A3.
    #[default]
    Reading,
    /// True size, with a ruler to check it by.
    True,
    /// So many times true size.
    Times(f64),
}

impl FromStr for Scale {
    type Err = Error;

    /// Reads `true` or a number from 0.1 to 50.
    fn from_str(text: &str) -> Result<Self> {
        if text.eq_ignore_ascii_case("true") {
            return Ok(Self::True);
        }
        let times = number_in(text, SCALES.0..=SCALES.1);
        times.map(Self::Times).ok_or_else(|| {
            Error::usage(format!("'{text}' is not a scale")).hint(format!(
                "write true for true size, or how many times true size, from {} to {}",
                SCALES.0, SCALES.1
            ))
        })
    }
}

impl fmt::Display for Scale {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Reading => f.write_str("reading"),
            Self::True => f.write_str("true"),
            Self::Times(times) => f.write_str(&decimals(*times, 6)),
        }
    }
}

/// What a picture is drawn on: a colour, or nothing. White by default.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Backdrop(pub Option<Srgb8>);

impl Default for Backdrop {
    fn default() -> Self {
        Self(Some(Srgb8::new(255, 255, 255)))
    }
}

impl FromStr for Backdrop {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        match text.to_ascii_lowercase().as_str() {
            "white" => Ok(Self::default()),
            "transparent" => Ok(Self(None)),
            digits => read_hex(digits).map(Some).map(Self).ok_or_else(|| {
                Error::usage(format!("'{text}' is not a backdrop"))
                    .hint("write white, transparent or six hex digits, such as 18222B")
            }),
        }
    }
}

impl fmt::Display for Backdrop {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            Some(colour) => f.write_str(&crate::colour::hex(colour)),
            None => f.write_str("transparent"),
        }
    }
}

/// A number of a range with a name of its own.
macro_rules! ranged {
    ($(#[$doc:meta])* $name:ident, $range:expr, $what:literal, $hint:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct $name(pub f64);

        impl FromStr for $name {
            type Err = Error;

            fn from_str(text: &str) -> Result<Self> {
                number_in(text, $range).map(Self).ok_or_else(|| {
                    Error::usage(format!($what, text.trim())).hint($hint)
                })
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&decimals(self.0, 6))
            }
        }
    };
}

ranged!(
    /// Dots per inch, 30 to 1200.
    Density,
    DENSITIES.0..=DENSITIES.1,
    "a density of {} dots per inch is out of range",
    "give 30 to 1200"
);
ranged!(
    /// How far the ring is rolled about its axis, in degrees.
    Roll,
    -360.0..=360.0,
    "a roll of {} degrees is out of range",
    "give -360 to 360"
);
ranged!(
    /// How far the ring's side is tilted towards the viewer, in degrees.
    Tilt,
    -90.0..=90.0,
    "a tilt of {} degrees is out of range",
    "give -90 to 90"
);

/// A whole number of a range with a name of its own.
macro_rules! counted {
    ($(#[$doc:meta])* $name:ident, $range:expr, $what:literal, $hint:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub struct $name(pub u32);

        impl FromStr for $name {
            type Err = Error;

            fn from_str(text: &str) -> Result<Self> {
                let number = text.trim().parse().ok();
                number
                    .filter(|number| $range.contains(number))
                    .map(Self)
                    .ok_or_else(|| Error::usage(format!($what, text.trim())).hint($hint))
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }
    };
}

counted!(
    /// Pixels a side, 64 to 4096.
    PixelSide,
    (PIXELS.0..=PIXELS.1),
    "a picture of {} pixels a side is out of range",
    "give 64 to 4096"
);
counted!(
    /// Frames of a loop, 8 to 240.
    Frames,
    FRAMES_BETWEEN,
    "a loop of {} frames is out of range",
    "give 8 to 240"
);

/// Distances that a band is drawn from, at most six.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenDistances(pub Vec<Mm>);

impl FromStr for SeenDistances {
    type Err = Error;

    /// Reads distances in millimetres, such as `700` or `300,700,2000`.
    fn from_str(text: &str) -> Result<Self> {
        let one = |part: &str| length_in(part, SEEN_BETWEEN);
        let all: Option<Vec<Mm>> = text.split(',').map(one).collect();
        all.filter(|all| all.len() <= MOST_SEEN)
            .map(Self)
            .ok_or_else(|| {
                Error::usage(format!("'{text}' is not a viewing distance")).hint(format!(
                    "write millimetres from {} to {}, such as 700, or up to {MOST_SEEN} of them, \
                     such as 300,700,2000",
                    SEEN_BETWEEN.start(),
                    SEEN_BETWEEN.end()
                ))
            })
    }
}

impl fmt::Display for SeenDistances {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let all: Vec<String> = self.0.iter().map(|mm| decimals(mm.get(), 3)).collect();
        f.write_str(&all.join(","))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_are_read_and_bounded() {
        let read: SeenDistances = "300, 700,2000mm".parse().unwrap();
        assert_eq!(read.to_string(), "300,700,2000");
        for bad in [
            "",
            "0",
            "700,",
            "a",
            "99",
            "NaN",
            "1,2,3",
            "300,300,300,300,300,300,300",
        ] {
            assert!(bad.parse::<SeenDistances>().is_err(), "{bad}");
        }
    }

    #[test]
    fn old_names_are_read_too() {
        let old = serde_json::json!({ "ground": "18222B", "scale": 2 });
        let read: DrawingRequest = serde_json::from_value(old).unwrap();
        assert_eq!(read.backdrop(), Some(Srgb8::new(0x18, 0x22, 0x2B)));
        let old = serde_json::json!({ "turn": 20 });
        let read: RingViewRequest = serde_json::from_value(old).unwrap();
        assert_eq!(read.roll, Some(Roll(20.0)));
    }
}
