//! The printed pattern: its words and paper, other sizes, and how the work is told.

use super::json::flag;
use super::named::flat_request;
use super::{
    GaugeRequest, SizesRequest, ThreadRequest, UnitsRequest, WorkRequest, is_none, is_off,
};
use serde::{Deserialize, Serialize};

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
    /// The units that lengths are written in.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub units: UnitsRequest,
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
    units
});
