//! What a band costs: plain sums, each part as it is shown, so that a reader can add them up.

use crate::request::PriceRequest;
use schemars::JsonSchema;
use serde::Serialize;

/// How long the weaving takes, in whole minutes, rounded up.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct TimeReport {
    /// Beads woven in a minute, as given.
    pub beads_per_minute: f64,
    /// Minutes for one band: its beads over the pace.
    pub minutes_each: u64,
    /// Minutes for all bands.
    pub minutes: u64,
}

/// The price of one band. Every part is rounded to 1/100, and the sums are those of the parts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PriceReport {
    /// Its beads, with the spare ones; null where no price is known.
    pub beads: Option<f64>,
    /// Other materials, as given.
    pub materials: Option<f64>,
    /// Pay for an hour, as given.
    pub hourly: Option<f64>,
    /// Pay for the minutes of one band.
    pub work: Option<f64>,
    /// Beads, other materials and work together.
    pub cost: f64,
    /// Percent added, as given.
    pub markup_percent: Option<f64>,
    /// What that comes to.
    pub markup: Option<f64>,
    /// Cost and markup together: the price of one band.
    pub price: f64,
    /// The price of all bands.
    pub all: f64,
}

impl TimeReport {
    /// The time for bands of so many beads; none where no pace is given.
    pub fn of(request: &PriceRequest, beads: u64, make: u32) -> Option<Self> {
        let beads_per_minute = request.pace?.0;
        let minutes_each = (beads as f64 / beads_per_minute - 1e-9).ceil() as u64;
        Some(Self {
            beads_per_minute,
            minutes_each,
            minutes: minutes_each * u64::from(make),
        })
    }
}

impl PriceReport {
    /// The price of a band, of which `make` are made and the beads of all cost `beads`; none where
    /// no price is asked for.
    pub fn of(
        request: &PriceRequest,
        beads: Option<f64>,
        make: u32,
        time: Option<&TimeReport>,
    ) -> Option<Self> {
        if !request.is_price() {
            return None;
        }
        let beads = beads.map(|cost| hundredths(cost / f64::from(make)));
        let materials = request.materials.map(|money| hundredths(money.0));
        let hourly = request.hourly.map(|money| money.0);
        let work = hourly.zip(time).map(|(hourly, time)| {
            let hours = time.minutes_each as f64 / 60.0;
            hundredths(hourly * hours)
        });
        let parts = [beads, materials, work].into_iter().flatten();
        let cost: i64 = parts.sum();
        let markup_percent = request.markup.map(|markup| markup.0);
        let markup = markup_percent.map(|percent| (cost as f64 * percent / 100.0).round() as i64);
        let price = cost + markup.unwrap_or(0);
        Some(Self {
            beads: beads.map(money),
            materials: materials.map(money),
            hourly,
            work: work.map(money),
            cost: money(cost),
            markup_percent,
            markup: markup.map(money),
            price: money(price),
            all: money(price * i64::from(make)),
        })
    }
}

fn hundredths(amount: f64) -> i64 {
    (amount * 100.0).round() as i64
}

fn money(hundredths: i64) -> f64 {
    hundredths as f64 / 100.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::request::{Markup, Money, Pace};

    /// 324 beads at 12 a minute are 27 minutes; 27/60 of 18.00 are 8.10; with 0.07 and 0.80 that is
    /// 8.97, 40% of it 3.588, so 3.59, together 12.56; twelve are 150.72.
    #[test]
    fn a_price_is_the_sum_of_what_is_shown() {
        let request = PriceRequest {
            pace: Some(Pace(12.0)),
            hourly: Some(Money(18.0)),
            materials: Some(Money(0.8)),
            markup: Some(Markup(40.0)),
            currency: None,
        };
        let time = TimeReport::of(&request, 324, 12).unwrap();
        assert_eq!((time.minutes_each, time.minutes), (27, 324));
        let price = PriceReport::of(&request, Some(0.78), 12, Some(&time)).unwrap();
        assert_eq!((price.beads, price.work), (Some(0.07), Some(8.1)));
        assert_eq!((price.cost, price.markup), (8.97, Some(3.59)));
        assert_eq!((price.price, price.all), (12.56, 150.72));
        let none = PriceRequest::default();
        assert_eq!(PriceReport::of(&none, Some(0.78), 12, None), None);
    }
}
