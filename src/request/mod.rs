//! Every option once: its type, range, default and help.
//!
//! A group of options is a struct. The command line flattens it (clap, behind the feature `cli`),
//! the desk reads it from JSON and a chart's record is written from it; all three read values by
//! [`FromStr`](std::str::FromStr) and so refuse the same ones in the same words.
//!
//! | group | holds |
//! |---|---|
//! | [`RingRequest`], [`BandRequest`] | ring size and columns; rows that were counted |
//! | [`BeadRequest`], [`GaugeRequest`] | the bead, and how the weaver's beads stand |
//! | [`PictureRequest`] | where the picture goes on the band |
//! | [`ColourRequest`], [`CalmRequest`] | which colours the beads may have, how calm the band is |
//! | [`design`] | a band made of layers |
//! | [`DistanceRequest`] | from where it is seen |
//! | [`ChartRequest`] | all of these: a chart |
//! | [`RefineRequest`], [`CompareRequest`] | a chart improved, or measured, beside its picture |
//! | [`FitRequest`], [`RememberRequest`] | the rows for a ring size; keeping a gauge |
//! | [`SetRequest`], [`ShiftRequest`] | beads set in a finished chart, or its pattern shifted |
//! | [`FlipRequest`], [`RepeatRequest`] | the pattern flipped, or some of its rows repeated |
//! | [`SwapRequest`] | a finished chart in other colours |
//! | [`SizesRequest`], [`ResizeRequest`] | several sizes; a chart in each of them |
//! | [`KitRequest`], [`CheckRequest`] | what to gather, and what to check against |
//! | [`PriceRequest`] | what a band costs: currency, time, pay, materials, markup |
//! | [`ThreadRequest`] | the thread that a band is woven with |
//! | [`UnitsRequest`] | the units that lengths are written in |
//! | [`WorkRequest`], [`WeaveRequest`] | where the work begins, bead keys, which rows |
//! | [`ReadRequest`] | a chart that exists, and how its rows are meant |
//! | [`PaletteRequest`], [`PhotoRequest`] | a palette printed, or made from a photograph |
//! | [`DrawingRequest`], [`BeadStyleRequest`] | a picture's size and backdrop, and its beads |
//! | [`RingViewRequest`], [`LoopRequest`], [`SeenRequest`] | the ring; the band from afar |

// Help names a default in brackets, `[9]`, which is no link.
#![allow(rustdoc::broken_intra_doc_links)]

mod band;
mod chart;
mod colours;
mod compare;
pub mod design;
mod fit;
mod gauge;
mod json;
mod kit;
mod mend;
mod named;
mod palette;
mod photo;
mod picture;
mod price;
mod print;
mod read;
mod record;
mod refine;
mod shape;
mod show;
mod sizes;
mod swap;
mod units;
mod values;
mod work;

pub use band::BandRequest;
pub use chart::{ChartRequest, DesignRequest};
pub use colours::{
    CalmRequest, ColourRequest, DistanceRequest, DitherKind, Matching, Mirror, STRENGTH,
};
pub use compare::CompareRequest;
pub use fit::{FitRequest, RingRequest};
pub use gauge::{BeadRequest, GaugeRequest, RememberRequest};
pub use json::{flag, list, optional};
pub use kit::{
    AmountsRequest, CheckRequest, KitRequest, Tail, Thickness, ThreadLength, ThreadRequest,
};
pub use mend::{
    BeadsToSet, FlipRequest, FlipWay, NumberRange, RepeatRequest, SetRequest, ShiftRequest, Steps,
    Times,
};
pub use named::{Named, given, single};
pub use palette::{Difference, PaletteRequest};
pub use photo::{PhotoRequest, PileGrid, PileSpots, Place, photo_band};
pub use picture::{PictureRequest, pixels};
pub use price::{Markup, Money, Pace, PriceRequest};
pub use print::{PatternRequest, PrintRequest, Reader, Year};
pub use read::{FirstRow, ReadKind, ReadRequest, RowDirection, RowSides};
pub use record::{Record, check_option};
pub use refine::{PinRequest, Pins, RefineRequest};
pub use shape::Shape;
pub use show::{
    Backdrop, BeadStyleRequest, DENSITIES, Density, DrawingRequest, FRAMES, Frames, LoopRequest,
    PIXELS, PixelSide, RingViewRequest, Roll, Scale, SeenDistances, SeenRequest, Tilt,
};
pub use sizes::{ResizeRequest, SizesRequest};
pub use swap::{COLOURWAY, ColourMap, SwapRequest, WayCount};
pub use units::UnitsRequest;
pub use values::{
    Bands, Calm, Count, Crisp, Distances, MOST_BANDS, MOST_SPARE, Makes, OddTurn, Percent,
    Simplify, Strength, number_in, percentage,
};
pub use work::{Keys, RowsRequest, Span, Start, WeaveRequest, WorkFrom, WorkRequest};

/// Columns of a band where none are given.
const COLUMNS: u32 = 9;

/// An option of a request that was not given is not written.
pub(crate) fn is_none<T>(value: &Option<T>) -> bool {
    value.is_none()
}

/// A switch that is off is not written.
pub(crate) fn is_off(switch: &bool) -> bool {
    !*switch
}
