//! Which colours the beads may have, and what they are optimised for.

use super::json::{flag, list, optional};
use super::values::{Bands, Calm, Count, Distances, Percent, Simplify, Strength};
use super::{is_none, is_off};
use crate::error::{Error, Result};
use crate::lattice::{Axis, Lattice};
use crate::units::Mm;
use serde::{Deserialize, Serialize};

/// Strength of dithering where none is given. Over 16 real pictures as seen at 700 mm, diffusion at
/// half strength came nearer (mean CIEDE2000 7.7) than none (8.3).
pub const STRENGTH: f64 = 0.5;

/// How neighbouring beads mix.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "lowercase")]
pub enum DitherKind {
    /// Not at all.
    #[default]
    None,
    /// By error diffusion.
    Diffuse,
    /// By a threshold mask.
    Mask,
}

/// How beads get their colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "lowercase")]
pub enum Matching {
    /// Each bead the colour nearest to the mean light on it.
    Nearest,
    /// Each bead the colour of the drawing that covers most of it.
    Flat,
}

/// Which mirror images a chart has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "lowercase")]
pub enum Mirror {
    /// None, whatever the artwork is.
    #[default]
    None,
    /// Left and right.
    Columns,
    /// Both ends.
    Rows,
    /// Both.
    Both,
}

impl Mirror {
    /// Left and right alike, both ends alike, as far as the band has such mirror images.
    pub fn possible(lattice: &Lattice, sides: bool, ends: bool) -> Self {
        let has = |axis: Axis| lattice.check_mirror(axis).is_ok();
        let ends = ends && has(lattice.ends_axis(Mm::new(0.0)));
        match (sides && has(Axis::Columns), ends) {
            (false, false) => Self::None,
            (true, false) => Self::Columns,
            (false, true) => Self::Rows,
            (true, true) => Self::Both,
        }
    }

    /// Whether left and right are alike.
    pub fn sides(self) -> bool {
        matches!(self, Self::Columns | Self::Both)
    }

    /// Whether both ends are alike.
    pub fn ends(self) -> bool {
        matches!(self, Self::Rows | Self::Both)
    }

    /// The axes of symmetry of a band whose motif lies `up` above its middle: the ends are alike
    /// about the motif's own middle.
    pub fn axes(self, lattice: &Lattice, up: Mm) -> Vec<Axis> {
        let sides = self.sides().then_some(Axis::Columns);
        let ends = self.ends().then(|| lattice.ends_axis(up));
        sides.into_iter().chain(ends).collect()
    }
}

/// Which colours the beads may have.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[cfg_attr(feature = "cli", command(next_help_heading = "Colours"))]
#[serde(default)]
pub struct ColourRequest {
    /// Most colours to use
    ///
    /// The best so many colours of the palette, chosen for the whole band; a ground counts as one.
    /// 1 or more. By default 12 for pictures of continuous tone, else no limit.
    /// Example: --colours 6
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "COLOURS", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub colours: Option<Count>,

    /// Colours to keep in, by code or name
    ///
    /// Codes or names that count among --colours whatever else is chosen. None by default.
    /// Example: --keep quay-11,quay-01
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "CODE,..", value_delimiter = ',')
    )]
    #[serde(with = "list", skip_serializing_if = "Vec::is_empty")]
    pub keep: Vec<String>,

    /// Colours to leave out, by code or name
    ///
    /// Codes or names that must not be used. None by default. Example: --without quay-09
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "CODE,..", value_delimiter = ',')
    )]
    #[serde(with = "list", skip_serializing_if = "Vec::is_empty")]
    pub without: Vec<String>,

    /// Use no more beads than the palette has
    ///
    /// The palette's grams bound how many beads of each colour the chart may use; empty grams mean
    /// enough. Beads in a gram are the palette's per_gram, or those of the bead's size. The chart
    /// is the best that these beads allow, and --refine and --calm keep to them; too few in all is
    /// an error. Off by default. Example: --from-stock
    #[cfg_attr(feature = "cli", arg(long))]
    #[serde(with = "flag", skip_serializing_if = "is_off")]
    pub from_stock: bool,

    /// Bands that the stock must be enough for [1]
    ///
    /// With --from-stock: how many bands of this chart you want to weave, 1 (the default) to
    /// 100,000. Example: --from-stock --make 3
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "COUNT", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub make: Option<Bands>,

    /// Beads of each colour to leave over [0%]
    ///
    /// With --from-stock: percent more of each colour that must be in stock, 0 (the default) to
    /// 1000; `upbead kit` adds 10, for uneven and broken beads. Example: --from-stock --spare 10%
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "PERCENT", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub spare: Option<Percent>,

    /// Let neighbours mix: none, diffuse or mask
    ///
    /// none, the default, takes the nearest colour; diffuse hands each bead's error on to its
    /// neighbours, for soft gradients; mask decides by an even grain, the same everywhere, which
    /// leaves no trails. Both bring more colour changes to weave. Example: --dither diffuse
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "WAY", value_enum, hide_possible_values = true)
    )]
    #[serde(skip_serializing_if = "is_none")]
    pub dither: Option<DitherKind>,

    /// Strength of dithering, 0 to 1 [0.5]
    ///
    /// 0 changes nothing, 1 keeps the mean light of every part; the default is 0.5.
    /// Example: --dither diffuse --strength 1
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "STRENGTH", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub strength: Option<Strength>,

    /// How beads get their colours: nearest or flat
    ///
    /// By default as the artwork asks for: drawings in a few flat colours by flat, all else by
    /// --refine. flat finds the drawing's own colours, gives each a bead, and each bead the colour
    /// that covers most of it. nearest chooses nothing by the artwork: each bead takes the colour
    /// nearest to the mean light on it, all round unless --place says otherwise.
    /// Example: --match nearest
    #[cfg_attr(
        feature = "cli",
        arg(
            long = "match",
            value_name = "WAY",
            value_enum,
            hide_possible_values = true
        )
    )]
    #[serde(rename = "match", skip_serializing_if = "is_none")]
    pub matching: Option<Matching>,

    /// Mirror image: columns, rows, both or none
    ///
    /// columns makes left and right alike (odd counts only; the centre column stays its own), rows
    /// makes both ends alike, both does both. Mirrored beads choose their colour together. On a
    /// ring, rows mirrors a motif about the row through its middle; the best --position may be one
    /// row off the middle of the band. By default as a flat drawing is; none keeps it as it is
    /// drawn. Example: --mirror columns
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "WAY", value_enum, hide_possible_values = true)
    )]
    #[serde(skip_serializing_if = "is_none")]
    pub mirror: Option<Mirror>,

    /// Improve the whole band for viewing distance
    ///
    /// Changes beads, swaps neighbours and, under --colours, the choice of colours, as long as the
    /// band comes nearer to the picture as it is seen from --distances. By default for pictures of
    /// continuous tone, in 12 colours at most. Example: --refine --calm
    #[cfg_attr(feature = "cli", arg(long))]
    #[serde(with = "flag", skip_serializing_if = "is_off")]
    pub refine: bool,
}

/// How far away the band is looked at from.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[cfg_attr(feature = "cli", command(next_help_heading = "Colours"))]
#[serde(default)]
pub struct DistanceRequest {
    /// Viewing distances, in mm [300,700,2000]
    ///
    /// Viewing distances to optimise for, or to measure from: 100 to 20,000 mm, separated by
    /// commas, at most 8; each counts as much. The default is in the hand, worn, and across a
    /// table: 300,700,2000; for a chart that is refined, those that it was made for.
    /// Example: --distances 700
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "MM,..", allow_hyphen_values = true)
    )]
    #[serde(alias = "seen", with = "optional", skip_serializing_if = "is_none")]
    pub distances: Option<Distances>,
}

/// How much equal neighbours are preferred.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[cfg_attr(feature = "cli", command(next_help_heading = "Colours"))]
#[serde(default)]
pub struct CalmRequest {
    /// Fewer colour changes: 0 to 1, or 0.5 if bare
    ///
    /// Prefers equal neighbours where the picture has no edge, so that fewer stray beads are left:
    /// 0 not at all, 0.5 (the option without a number) so that it weaves easily, 1 for large plain
    /// areas, in tenths. The default is 0.4 with --refine and 0 without; for a chart that is
    /// refined, what it was made with. Example: --calm 0.3
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "CALM", num_args = 0..=1, default_missing_value = "0.5",
            allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub calm: Option<Calm>,

    /// Merge a picture into plain areas: 0 to 1
    ///
    /// Before colours are chosen, neighbouring beads that differ little become one area with a
    /// short outline: little at 0.2, only the main shapes at 1. Figures are of the picture as it
    /// is. By default 0.4 for a photograph that a search does not bring nearer without stray
    /// beads, else 0; a chart that is refined is not merged unless this says so. Example:
    /// --simplify 0.5
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "SIMPLIFY", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub simplify: Option<Simplify>,
}

impl ColourRequest {
    /// Makes sure that options which need another one have it.
    ///
    /// # Errors
    /// If one has not; or if no colour at all is allowed.
    pub fn check(&self) -> Result<()> {
        if self.colours == Some(Count(0)) {
            return Err(Error::usage("a band has at least one colour")
                .option("colours")
                .hint("allow 1 or more, or leave the limit out"));
        }
        let of_stock = [
            ("make", self.make.is_some()),
            ("spare", self.spare.is_some()),
        ];
        if let Some((option, _)) = of_stock.iter().find(|(_, given)| *given)
            && !self.from_stock
        {
            return Err(Error::usage("the beads in stock are not counted")
                .option(option)
                .hint("add [--from-stock]"));
        }
        if self.matching == Some(Matching::Flat) && (self.refine || self.dither.is_some()) {
            return Err(Error::usage("flat colours are not mixed")
                .option("match")
                .hint("leave out [--dither] and [--refine], or [--match flat]"));
        }
        if self.strength.is_some() && self.dither.unwrap_or_default() == DitherKind::None {
            return Err(Error::usage("there is no dithering to give a strength to")
                .option("strength")
                .hint("add [--dither diffuse] or [--dither mask]"));
        }
        Ok(())
    }
}
