//! A finished chart in other colours: which ones, or how many ways are suggested.

use crate::error::{Error, Result};
use std::fmt;
use std::str::FromStr;

/// Most colourways that are suggested at once. Ours: a sheet of paper shows nine.
const MOST_WAYS: u32 = 24;

/// What a colourway's record holds: the design's name, the design's SHA-256, its own name.
pub const COLOURWAY: [&str; 3] = ["colourway_of", "colourway_of_sha256", "colourway"];

/// What becomes of a chart's colours.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[non_exhaustive]
pub struct SwapRequest {
    /// Replace just these colours, as OLD=NEW,OLD=NEW
    ///
    /// Each colour by its code or by a name that only one colour has; the new ones come from the
    /// chart or the palette. Colours that are not named stay, and two may change places. None by
    /// default. Example: --map navy-1=quay-09,quay-01=quay-04
    #[cfg_attr(feature = "cli", arg(long, value_name = "COLOURS"))]
    pub map: Option<ColourMap>,

    /// Suggest so many colourways of the palette
    ///
    /// From 1 to 24. Hues change, lighter colours stay lighter, the motif stands out from its
    /// ground about as well, and each differs visibly from the others. None by default.
    /// Example: --suggest 6 --palette owned.csv -o ways.png
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "NUMBER", allow_negative_numbers = true)
    )]
    pub suggest: Option<WayCount>,
}

/// Colours and what takes their places, as they were typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColourMap(pub Vec<Replacement>);

/// A colour and what takes its place, as they were typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Replacement {
    /// The colour of the chart.
    pub old: String,
    /// The colour that takes its place.
    pub new: String,
}

/// How many colourways.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WayCount(pub u32);

impl FromStr for ColourMap {
    type Err = Error;

    /// Reads `old=new,other=new`.
    fn from_str(text: &str) -> Result<Self> {
        let one = |part: &str| {
            let (old, new) = part.split_once('=').unwrap_or((part, ""));
            let (old, new) = (old.trim(), new.trim());
            if old.is_empty() || new.is_empty() {
                return Err(Error::usage(format!(
                    "'{part}' does not say which colour becomes which"
                ))
                .hint("write OLD=NEW, such as navy-1=quay-09, with commas between them"));
            }
            Ok(Replacement {
                old: old.to_string(),
                new: new.to_string(),
            })
        };
        text.split(',').map(one).collect::<Result<_>>().map(Self)
    }
}

impl fmt::Display for ColourMap {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let all = self.0.iter().map(|one| format!("{}={}", one.old, one.new));
        f.write_str(&all.collect::<Vec<_>>().join(","))
    }
}

impl FromStr for WayCount {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let number = text.trim().parse().ok();
        number
            .filter(|count| (1..=MOST_WAYS).contains(count))
            .map(Self)
            .ok_or_else(|| {
                Error::usage(format!("'{text}' is not a number of colourways"))
                    .hint(format!("give a whole number from 1 to {MOST_WAYS}"))
            })
    }
}

impl fmt::Display for WayCount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_map_reads_back_as_it_is_written() {
        let map: ColourMap = "navy-1=quay-09, gull white = tar black".parse().unwrap();
        assert_eq!(map.to_string(), "navy-1=quay-09,gull white=tar black");
        for text in ["", "a", "a=", "=b", "a=b,"] {
            assert!(text.parse::<ColourMap>().is_err(), "{text}");
        }
    }
}
