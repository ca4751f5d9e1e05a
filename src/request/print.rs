//! The printed pattern: its words and paper, other sizes, and how the work is told.

use super::json::{flag, optional};
use super::named::flat_request;
use super::{
    AmountsRequest, GaugeRequest, PriceRequest, SizesRequest, ThreadRequest, UnitsRequest,
    WorkRequest, is_none, is_off,
};
use crate::error::{Error, Result};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// The printed pattern of a chart.
#[derive(Debug, Clone, Default, PartialEq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[non_exhaustive]
pub struct PrintRequest {
    /// Its words and paper.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub pattern: PatternRequest,
    /// The table of other sizes.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub sizes: SizesRequest,
    /// Where the work begins, and what colours are called.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub work: WorkRequest,
    /// The thread.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub thread: ThreadRequest,
    /// The weaver's gauge.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub gauge: GaugeRequest,
    /// How many bands, for a maker's sheet.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub amounts: AmountsRequest,
    /// Time and price, for a maker's sheet.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub price: PriceRequest,
    /// The units that lengths are written in.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub units: UnitsRequest,
}

/// Who reads what is printed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "kebab-case")]
pub enum Reader {
    /// Another weaver, who follows the pattern.
    #[default]
    Buyer,
    /// The maker: what it takes, and what it costs.
    Maker,
}

/// A year of the pattern, 1000 to 9999.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Year(pub u32);

impl FromStr for Year {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let year = text.trim().parse().ok();
        year.filter(|year| (1000..=9999).contains(year))
            .map(Self)
            .ok_or_else(|| {
                Error::usage(format!("'{text}' is not a year"))
                    .hint("give four digits, such as 2026")
            })
    }
}

impl fmt::Display for Year {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// Words and paper of a printed pattern.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct PatternRequest {
    /// Paper: a4 or letter
    ///
    /// a4 (210 x 297 mm, the default) or letter (8.5 x 11 in). Example: --paper letter
    #[cfg_attr(feature = "cli", arg(long, value_name = "PAPER"))]
    #[serde(skip_serializing_if = "is_none")]
    pub paper: Option<String>,

    /// What the design is called
    ///
    /// At most 90 letters. By default the chart's own title, or its file's name.
    /// Example: --title "Harbour dusk"
    #[cfg_attr(feature = "cli", arg(long, value_name = "WORDS"))]
    #[serde(skip_serializing_if = "is_none")]
    pub title: Option<String>,

    /// Who made it
    ///
    /// Printed on the cover and at the foot of each page; at most 90 letters. Nobody by default.
    /// Example: --by "Kittiwake & Tide"
    #[cfg_attr(feature = "cli", arg(long, value_name = "WORDS"))]
    #[serde(skip_serializing_if = "is_none")]
    pub by: Option<String>,

    /// For whom: buyer or maker [buyer]
    ///
    /// buyer, the default, is the pattern that another weaver follows; it never shows your stock,
    /// costs or what you have to buy. maker is a sheet for yourself: beads with stock and cost,
    /// what to buy, time and price, and no pattern. Example: --for maker --palette stock.csv
    #[cfg_attr(
        feature = "cli",
        arg(
            long = "for",
            value_name = "WHOM",
            value_enum,
            hide_possible_values = true
        )
    )]
    #[serde(rename = "for", skip_serializing_if = "is_none")]
    pub reader: Option<Reader>,

    /// Year of the pattern, at the foot
    ///
    /// Stands before the maker's name at the foot of each page, 1000 to 9999, with the copyright
    /// sign. None by default. Example: --by "Kittiwake & Tide" --year 2026
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "YEAR", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub year: Option<Year>,

    /// Terms of use, at the foot
    ///
    /// What a buyer may do with the pattern, at the foot of each page; at most 90 letters. None by
    /// default. Example: --terms "For your own use; please do not pass it on"
    #[cfg_attr(feature = "cli", arg(long, value_name = "WORDS"))]
    #[serde(skip_serializing_if = "is_none")]
    pub terms: Option<String>,

    /// Version of the pattern, at the foot
    ///
    /// At most 20 letters. By default six digits that are computed from the chart, and differ
    /// wherever the chart does, so that you can tell which one a buyer has. Example: --edition 1.2
    #[cfg_attr(feature = "cli", arg(long, value_name = "WORDS"))]
    #[serde(skip_serializing_if = "is_none")]
    pub edition: Option<String>,

    /// A note on the cover
    ///
    /// At most 600 letters. By default the chart's own notes. Example: --note "For my sister"
    #[cfg_attr(feature = "cli", arg(long, value_name = "WORDS"))]
    #[serde(skip_serializing_if = "is_none")]
    pub note: Option<String>,

    /// No keys on the beads of the ground
    ///
    /// Leaves the beads of the most frequent colour blank on the large chart, so that the motif
    /// stands out; the table of colours still shows their key. Off by default.
    /// Example: --blank-ground
    #[cfg_attr(feature = "cli", arg(long))]
    #[serde(with = "flag", skip_serializing_if = "is_off")]
    pub blank_ground: bool,

    /// Arrows for work turned over after each row
    ///
    /// Every row then has the same arrow in the list of rows, for weavers who turn the work over
    /// after each row and always weave in one direction. The order of picking up is the same. Off
    /// by default: the arrows go back and forth. Example: --turn-over
    #[cfg_attr(feature = "cli", arg(long))]
    #[serde(with = "flag", skip_serializing_if = "is_off")]
    pub turn_over: bool,
}

flat_request!(PrintRequest {
    pattern,
    sizes,
    work,
    thread,
    gauge,
    amounts,
    price,
    units
});
