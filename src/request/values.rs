//! Types of option values: how each is read, its range, and how it is written.

use crate::error::{Error, Result};
use crate::units::{Mm, decimals, length};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::ops::RangeInclusive;
use std::str::FromStr;

/// Viewing distances that are accepted, in millimetres: from close work to across a hall. Ours.
const DISTANCES: RangeInclusive<f64> = 100.0..=20_000.0;
/// Most distances at once. Ours.
const MOST_DISTANCES: usize = 8;
/// Most bands at once. Ours.
pub const MOST_BANDS: u32 = 100_000;
/// Most spare beads, in percent. Ours.
pub const MOST_SPARE: f64 = 1000.0;

/// A number of that range; NaN is in none.
pub fn number_in(text: &str, range: RangeInclusive<f64>) -> Option<f64> {
    let number = text.trim().parse::<f64>().ok()?;
    // Minus zero is written as zero.
    range.contains(&number).then_some(number + 0.0)
}

/// A length of that range, in millimetres where it has no unit.
pub fn length_in(text: &str, range: RangeInclusive<f64>) -> Option<Mm> {
    let length = length(text)?;
    range
        .contains(&length.get())
        .then(|| Mm::new(length.get() + 0.0))
}

/// A share from 0 to 1 with a name of its own.
macro_rules! share {
    ($(#[$doc:meta])* $name:ident, $what:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct $name(f64);

        impl $name {
            /// Of a number from 0 to 1.
            ///
            /// # Errors
            /// If it is out of range.
            pub fn new(share: f64) -> Result<Self> {
                share.to_string().parse()
            }

            /// The number, 0 to 1.
            pub fn get(self) -> f64 {
                self.0
            }
        }

        impl FromStr for $name {
            type Err = Error;

            fn from_str(text: &str) -> Result<Self> {
                number_in(text, 0.0..=1.0).map(Self).ok_or_else(|| {
                    Error::usage(format!(concat!($what, " of {} is out of range"), text.trim()))
                        .hint("give a number from 0 to 1")
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

share!(
    /// How strongly dithering carries errors on.
    Strength,
    "a strength"
);
share!(
    /// How much equal neighbours are preferred, for fewer colour changes.
    Calm,
    "a calm"
);
share!(
    /// How far edges and thin lines are favoured.
    Crisp,
    "a crispness"
);
share!(
    /// How far a picture is merged into plain areas.
    Simplify,
    "a simplification"
);

/// A whole number, 0 or more.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Count(pub u32);

impl FromStr for Count {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let text = text.trim();
        text.parse().map(Self).map_err(|_| {
            let digits = text.bytes().all(|byte| byte.is_ascii_digit()) && !text.is_empty();
            if digits {
                Error::usage(format!("{text} is too large"))
            } else {
                Error::usage(format!("'{text}' is not a whole number"))
                    .hint("give a whole number, 0 or more")
            }
        })
    }
}

impl fmt::Display for Count {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// Viewing distances, separated by commas.
#[derive(Debug, Clone, PartialEq)]
pub struct Distances(pub Vec<Mm>);

impl Distances {
    /// Of distances in their range, 8 at most.
    ///
    /// # Errors
    /// If one is out of range, or there are too many.
    pub fn new(all: Vec<Mm>) -> Result<Self> {
        if all.len() > MOST_DISTANCES {
            return Err(
                Error::usage(format!("{} distances are too many", all.len()))
                    .hint(format!("give at most {MOST_DISTANCES}")),
            );
        }
        let outside = |distance: &&Mm| !DISTANCES.contains(&distance.get());
        match all.iter().find(outside) {
            Some(distance) => Err(not_a_distance(&distance.get().to_string())),
            None => Ok(Self(all)),
        }
    }
}

fn not_a_distance(text: &str) -> Error {
    Error::usage(format!("'{text}' is not a viewing distance"))
        .hint("give millimetres from 100 to 20000, such as 700 or 300,700,2000")
}

impl FromStr for Distances {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let all: Vec<Mm> = text
            .split(',')
            .map(|part| length_in(part, DISTANCES).ok_or_else(|| not_a_distance(part.trim())))
            .collect::<Result<_>>()?;
        Self::new(all)
    }
}

impl fmt::Display for Distances {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let all: Vec<String> = self.0.iter().map(|mm| decimals(mm.get(), 3)).collect();
        f.write_str(&all.join(","))
    }
}

/// How many equal bands are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bands(pub u32);

impl FromStr for Bands {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let count = text.trim().parse().ok();
        count
            .filter(|count| (1..=MOST_BANDS).contains(count))
            .map(Self)
            .ok_or_else(|| {
                Error::usage(format!("'{text}' is not a number of bands to make"))
                    .hint("give a whole number from 1 to 100,000")
            })
    }
}

impl fmt::Display for Bands {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// How many bands of each chart: one number for all, or one for each.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Makes(Vec<Bands>);

impl Makes {
    /// The number for each of so many charts.
    ///
    /// # Errors
    /// If there are several numbers, and not as many as charts.
    pub fn of(&self, charts: usize) -> Result<Vec<Bands>> {
        match &self.0[..] {
            [one] => Ok(vec![*one; charts]),
            all if all.len() == charts => Ok(all.to_vec()),
            all => Err(Error::usage(format!(
                "{} numbers of bands for {charts} chart{}",
                all.len(),
                if charts == 1 { "" } else { "s" }
            ))
            .option("make")
            .hint("give one number for all charts, or one for each in their order")),
        }
    }
}

impl From<Bands> for Makes {
    fn from(bands: Bands) -> Self {
        Self(vec![bands])
    }
}

impl FromStr for Makes {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let all: Result<Vec<Bands>> = text.split(',').map(str::parse).collect();
        all.map(Self)
    }
}

impl fmt::Display for Makes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let all: Vec<String> = self.0.iter().map(Bands::to_string).collect();
        f.write_str(&all.join(","))
    }
}

/// Spare beads, in percent; written with or without the sign.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Percent(pub f64);

impl FromStr for Percent {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        percentage(text).map(Self).ok_or_else(|| {
            Error::usage(format!("'{text}' is not a share of spare beads"))
                .hint("give a percentage from 0 to 1000, such as 10%")
        })
    }
}

impl fmt::Display for Percent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&decimals(self.0, 6))
    }
}

/// A percentage with or without its sign, if it is one of spare beads.
pub fn percentage(text: &str) -> Option<f64> {
    let text = text.trim();
    let number = text.strip_suffix('%').unwrap_or(text).trim_end();
    number_in(number, 0.0..=MOST_SPARE)
}

/// How an odd count turns at the edge where the new edge bead has no bead to go into.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "kebab-case")]
pub enum OddTurn {
    /// A figure-eight at the end of row 3, then under the thread bridge.
    #[default]
    Bridge,
    /// A figure-eight every time.
    FigureEight,
    /// Twice through the edge bead before it, every time.
    EdgeBead,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_out_of_range_are_refused() {
        for text in ["7", "-3", "NaN", "inf", "", "half"] {
            let refused = text.parse::<Calm>().unwrap_err();
            assert_eq!(refused.what(), format!("a calm of {text} is out of range"));
        }
        assert_eq!("0.25".parse::<Calm>().unwrap().to_string(), "0.25");
        assert!("40".parse::<Strength>().is_err() && "0".parse::<Distances>().is_err());
        assert!("1e9".parse::<Count>().is_err() && "4294967296".parse::<Count>().is_err());
    }

    #[test]
    fn what_is_written_reads_back() {
        assert_eq!(
            "12in, 28in".parse::<Distances>().unwrap().to_string(),
            "304.8,711.2"
        );
        for text in ["300,700,2000", "700"] {
            assert_eq!(text.parse::<Distances>().unwrap().to_string(), text);
        }
        assert_eq!(" 10 %".parse::<Percent>().unwrap().to_string(), "10");
    }
}
