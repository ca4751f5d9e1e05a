//! What to gather for bands, and what to check before they are woven.

use super::json::optional;
use super::named::flat_request;
use super::values::{Bands, Makes, OddTurn, Percent, length_in};
use super::{PriceRequest, UnitsRequest, is_none};
use crate::error::{Error, Result};
use crate::palette::Palette;
use crate::units::{Mm, decimals};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::ops::RangeInclusive;
use std::str::FromStr;

/// Thickness of thread that is accepted, in millimetres: 0.12 to 0.20 are usual for these beads.
/// Ours.
const THICKNESSES: RangeInclusive<f64> = 0.05..=1.0;
/// Tails that are accepted, in millimetres. Ours.
const TAILS: RangeInclusive<f64> = 0.0..=1000.0;
/// Lengths of thread that are accepted, in millimetres: shorter ones would be tail and end alone.
/// Ours.
const LENGTHS: RangeInclusive<f64> = 500.0..=20_000.0;

/// What to gather.
#[derive(Debug, Clone, Default, PartialEq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[non_exhaustive]
pub struct KitRequest {
    /// For how many bands.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub amounts: AmountsRequest,
    /// The thread.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub thread: ThreadRequest,
    /// Time and price.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub price: PriceRequest,
    /// The units that lengths are written in.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub units: UnitsRequest,
}

/// How many bands, and how many beads to spare.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct AmountsRequest {
    /// Bands to make [1]
    ///
    /// How many bands of each chart, 1 (the default) to 100,000; or a number for each chart, in
    /// their order. Example: --make 12, or for three charts --make 12,4,8
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "COUNT", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub make: Option<Makes>,

    /// Spare beads [10%]
    ///
    /// Percent more of each colour, 0 to 1000, rounded up to whole beads. The default is 10: uneven
    /// beads are culled, some break and some roll away. Example: --spare 25%
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "PERCENT", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub spare: Option<Percent>,
}

/// The thread that a band is woven with, and how it turns.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct ThreadRequest {
    /// Thickness of the thread in mm [0.15]
    ///
    /// From 0.05 to 1 mm, and thinner than the hole. The default, 0.15, is gel-spun thread of 6 lb.
    /// A thin thread leaves more room for the needle; the length to cut depends on it too.
    /// Example: --thread 0.13
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "MM", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub thread: Option<Thickness>,

    /// Tail at the stopper bead in mm [100]
    ///
    /// Thread left hanging where the work begins, 0 to 1000 mm; 100 is the default. It is woven in
    /// at the end, so it is made at least as long as that takes. Example: --tail 150
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "MM", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub tail: Option<Tail>,

    /// Odd count: bridge, figure-eight or edge-bead
    ///
    /// How the needle turns at the edge where the last bead has no bead to go into. bridge, the
    /// default: a figure-eight once, then under the thread bridge, which takes the least thread.
    /// figure-eight: a figure-eight every time, the firmest edge. edge-bead: twice through the edge
    /// bead before it, every time. Example: --odd-turn edge-bead
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "TURN", value_enum, hide_possible_values = true)
    )]
    #[serde(skip_serializing_if = "is_none")]
    pub odd_turn: Option<OddTurn>,
}

flat_request!(KitRequest {
    amounts,
    thread,
    price,
    units
});

impl From<ThreadRequest> for KitRequest {
    /// One band with the usual spare beads.
    fn from(thread: ThreadRequest) -> Self {
        Self {
            thread,
            ..Self::default()
        }
    }
}

/// What to check a chart against.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct CheckRequest {
    /// Bands to make [1]
    ///
    /// With --palette: how many bands of this chart your beads have to be enough for, 1 (the
    /// default) to 100,000. Example: --palette stock.csv --make 12
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "COUNT", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub make: Option<Bands>,

    /// Thickness of the thread in mm [0.15]
    ///
    /// From 0.05 to 1 mm, and thinner than the hole. The default, 0.15, is gel-spun thread of 6 lb.
    /// A thick one fills the holes sooner. Example: --thread 0.2
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "MM", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub thread: Option<Thickness>,

    /// Longest comfortable thread in mm [1400]
    ///
    /// The length of thread that you are used to, 500 to 20,000 mm, without the tail that hangs.
    /// The default is 1400, as a craft reference has it. A band that takes more is woven with
    /// joins, and the rows to join at are named. Example: --length 2000
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "MM", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub length: Option<ThreadLength>,
}

impl CheckRequest {
    /// Bands to make are compared with the beads in stock, so there has to be a palette.
    ///
    /// # Errors
    /// If there is none.
    pub fn check(&self, palette: Option<&Palette>) -> Result<()> {
        if self.make.is_some() && palette.is_none() {
            return Err(Error::usage("the beads in stock are not checked")
                .option("make")
                .hint("add [--palette], or leave [--make] out"));
        }
        Ok(())
    }
}

/// A length in a range with a name of its own.
macro_rules! length {
    ($(#[$doc:meta])* $name:ident, $range:ident, $what:literal, $give:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct $name(pub Mm);

        impl FromStr for $name {
            type Err = Error;

            fn from_str(text: &str) -> Result<Self> {
                length_in(text, $range).map(Self).ok_or_else(|| {
                    Error::usage(format!(concat!("'{}' is not a ", $what), text))
                        .hint(concat!("give millimetres from ", $give))
                })
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&decimals(self.0.get(), 6))
            }
        }
    };
}

length!(
    /// How thick a thread is.
    Thickness,
    THICKNESSES,
    "thread",
    "0.05 to 1, such as 0.15"
);
length!(
    /// Thread left hanging at the stopper bead.
    Tail,
    TAILS,
    "tail",
    "0 to 1000, such as 100"
);
length!(
    /// How long a thread may be.
    ThreadLength,
    LENGTHS,
    "length of thread",
    "500 to 20,000, such as 1400"
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_out_of_range_are_refused_with_the_range() {
        let refused = "20001".parse::<ThreadLength>().unwrap_err().to_string();
        assert_eq!(
            refused,
            "'20001' is not a length of thread\n\
             hint: give millimetres from 500 to 20,000, such as 1400"
        );
        let refused = "NaN".parse::<Thickness>().unwrap_err().to_string();
        assert!(
            refused.ends_with("from 0.05 to 1, such as 0.15"),
            "{refused}"
        );
        assert!("20000".parse::<ThreadLength>().is_ok() && "1000.5".parse::<Tail>().is_err());
        assert_eq!("4in".parse::<Tail>().unwrap().to_string(), "101.6");
        assert_eq!(
            "1.5 yd".parse::<ThreadLength>().unwrap().to_string(),
            "1371.6"
        );
        assert_eq!("0".parse::<Tail>().unwrap().to_string(), "0");
        assert_eq!(" 0.130".parse::<Thickness>().unwrap().to_string(), "0.13");
    }
}
