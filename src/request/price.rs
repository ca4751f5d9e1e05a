//! What a band costs: the currency, the time that weaving takes, pay, other materials and markup.

use super::is_none;
use super::json::optional;
use super::values::number_in;
use crate::error::{Error, Result};
use crate::palette::{Currency, Palette};
use crate::units::decimals;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// Fewest and most beads a minute. Ours.
const PACES: (f64, f64) = (0.5, 200.0);
/// Largest amount of money. Ours: so that sums stay exact to the hundredth.
const MOST_MONEY: f64 = 1e6;
/// Largest markup, in percent. Ours.
const MOST_MARKUP: f64 = 1000.0;

/// Time and price. Every figure is the maker's own: none has a default.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct PriceRequest {
    /// Currency of prices, such as EUR or £
    ///
    /// Written beside costs and prices; at most 5 letters or signs. By default the palette's
    /// column currency, if it has one. Example: --currency EUR
    #[cfg_attr(feature = "cli", arg(long, value_name = "CURRENCY"))]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub currency: Option<Currency>,

    /// Beads that you weave in a minute
    ///
    /// From 0.5 to 200; tells how long the weaving takes, without closing and weaving in. None by
    /// default: weave a few rows with a clock, since hands differ. Example: --pace 12
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "BEADS", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub pace: Option<Pace>,

    /// Pay for an hour of work
    ///
    /// With --pace: the work is a part of the price, 0 to 1,000,000. None by default.
    /// Example: --pace 12 --hourly 18
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "MONEY", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub hourly: Option<Money>,

    /// Other materials for one band, in money
    ///
    /// What thread, box and card cost for one band, 0 to 1,000,000; a part of the price. None by
    /// default. Example: --materials 0.80
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "MONEY", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub materials: Option<Money>,

    /// Percent added to the cost for the price
    ///
    /// From 0 to 1000; 100 doubles the cost. None by default: the price is the cost.
    /// Example: --hourly 18 --pace 12 --markup 40%
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "PERCENT", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub markup: Option<Markup>,
}

impl PriceRequest {
    /// Whether a price is asked for.
    pub fn is_price(&self) -> bool {
        self.hourly.is_some() || self.materials.is_some() || self.markup.is_some()
    }

    /// Checks that what the figures are taken from is there too.
    ///
    /// # Errors
    /// If pay is given without a pace, a markup without any cost, or a currency without any price.
    pub fn check(&self, palette: Option<&Palette>) -> Result<()> {
        if self.hourly.is_some() && self.pace.is_none() {
            return Err(
                Error::usage("pay for an hour needs the time that the work takes")
                    .option("hourly")
                    .hint("add [--pace], the beads that you weave in a minute"),
            );
        }
        let priced = |palette: &Palette| palette.colours().iter().any(|one| one.price.is_some());
        let beads = palette.is_some_and(priced);
        if self.currency.is_some() && !beads && !self.is_price() {
            return Err(Error::usage("a currency needs prices")
                .option("currency")
                .hint("add [--palette] with prices, [--materials], or [--pace] and [--hourly]"));
        }
        if self.markup.is_some() && self.hourly.is_none() && self.materials.is_none() && !beads {
            return Err(Error::usage("a markup needs a cost to be added to")
                .option("markup")
                .hint("add [--palette] with prices, [--materials], or [--pace] and [--hourly]"));
        }
        Ok(())
    }
}

/// A number of a range with a name of its own.
macro_rules! ranged {
    (
        $(#[$doc:meta])*
        $name:ident, $least:expr, $most:expr, $sign:expr, $what:literal, $hint:literal
    ) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct $name(pub f64);

        impl FromStr for $name {
            type Err = Error;

            fn from_str(text: &str) -> Result<Self> {
                number_in(text.trim_end_matches($sign), $least..=$most).map(Self).ok_or_else(|| {
                    Error::usage(format!(concat!("'{}' is not ", $what), text)).hint($hint)
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
    /// Beads woven in a minute.
    Pace,
    PACES.0,
    PACES.1,
    [' '],
    "a number of beads a minute",
    "give 0.5 to 200, such as 12"
);
ranged!(
    /// An amount of money.
    Money,
    0.0,
    MOST_MONEY,
    [' '],
    "an amount of money",
    "give 0 to 1,000,000, with a point and no currency, such as 18.50"
);
ranged!(
    /// Percent added to the cost; written with or without the sign.
    Markup,
    0.0,
    MOST_MARKUP,
    ['%', ' '],
    "a markup",
    "give a percentage from 0 to 1000, such as 40%"
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_out_of_range_are_refused() {
        assert!("0.4".parse::<Pace>().is_err() && "-1".parse::<Money>().is_err());
        assert!("1001%".parse::<Markup>().is_err() && "NaN".parse::<Money>().is_err());
        assert!("18%".parse::<Money>().is_err());
        assert_eq!("40 %".parse::<Markup>().unwrap().to_string(), "40");
        assert_eq!("18.50".parse::<Money>().unwrap().to_string(), "18.5");
    }

    #[test]
    fn pay_needs_a_pace_and_a_markup_a_cost() {
        let pay = PriceRequest {
            hourly: Some(Money(18.0)),
            ..PriceRequest::default()
        };
        assert!(pay.check(None).is_err());
        let markup = PriceRequest {
            markup: Some(Markup(40.0)),
            ..PriceRequest::default()
        };
        assert!(markup.check(None).is_err());
        let currency = PriceRequest {
            currency: "EUR".parse().ok(),
            ..PriceRequest::default()
        };
        assert!(currency.check(None).is_err());
        let both = PriceRequest {
            materials: Some(Money(0.8)),
            ..markup
        };
        assert!(both.check(None).is_ok() && both.is_price());
    }
}
