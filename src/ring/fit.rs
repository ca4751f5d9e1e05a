//! The even row count that closes round a finger, and its neighbours.
//!
//! `n = N/2` beads stand round each column like rollers of diameter `D`, their centres a spacing
//! `P` apart on a circle of radius `R = P / (2 sin(π/n))`; the inside diameter is `2R - D`. Two
//! rows are the finest step: `P/π` of diameter.

use super::gauge::{Gauge, Source};
use super::sizes::RingSize;
use crate::error::{Error, Result};
use crate::lattice::{FEWEST_CLOSED, MOST_ROWS, Rows};
use crate::units::Mm;
use crate::warning::Warning;
use std::f64::consts::PI;

/// Two diameters nearer than this are the same size. Published tables of sizes are rounded to a
/// hundredth of a millimetre, so a band known to fit `us7` also fits `d17.32mm`.
pub const SAME: Mm = Mm::new(0.01);
/// Width from which a band feels tighter: two size calculators say 6 mm, one page 8 mm.
pub const WIDE: Mm = Mm::new(6.0);
/// How many neighbouring counts are shown.
const SHOWN: u32 = 7;

/// Which of two even counts round a wanted size to take.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize, serde::Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "lowercase")]
pub enum Prefer {
    /// The largest count that is not larger than the wanted size: a beaded band stretches with
    /// wear. Common practice, no source.
    #[default]
    Smaller,
    /// The count whose diameter is nearest; the smaller of two as near.
    Nearest,
    /// The smallest count that is not smaller than the wanted size.
    Larger,
}

/// A closed band of some rows and the size that it has.
#[derive(Debug, Clone, PartialEq)]
pub struct Closed {
    /// Its rows.
    pub rows: Rows,
    /// Its inside size.
    pub size: RingSize,
}

/// The answer: how many rows close round a wanted size.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// What was wanted.
    pub wanted: RingSize,
    /// The gauge.
    pub gauge: Gauge,
    /// Which of two counts was taken.
    pub prefer: Prefer,
    /// The count that was taken, and its size.
    pub chosen: Closed,
    /// Seven neighbouring counts in rising order, the chosen one among them.
    pub near: Vec<Closed>,
    /// Where no gauge is set: rows at the loosest gauge that is common, and at touching beads.
    pub range: Option<(Rows, Rows)>,
}

/// How many rows close round `wanted`.
///
/// # Errors
/// If the fewest rows that close are larger than the wanted size already, or it would need more
/// rows than can be charted.
pub fn fit(wanted: &RingSize, gauge: &Gauge, prefer: Prefer) -> Result<Fit> {
    let rows = gauge.rows_for(wanted.diameter(), prefer)?;
    let range = match gauge.source() {
        Source::Touching => Some((
            Gauge::loosest(gauge.bead()).rows_for(wanted.diameter(), prefer)?,
            rows,
        )),
        _ => None,
    };
    Ok(Fit {
        wanted: wanted.clone(),
        gauge: gauge.clone(),
        prefer,
        chosen: gauge.closed(rows),
        near: gauge.near(rows),
        range,
    })
}

impl Gauge {
    /// The even count of rows that closes round an inside diameter of `wanted`.
    ///
    /// With [`Prefer::Smaller`] the diameter is at most `wanted` and two rows more would exceed it,
    /// both within [`SAME`].
    ///
    /// # Errors
    /// If no count from 6 to 20,000 does.
    pub fn rows_for(&self, wanted: Mm, prefer: Prefer) -> Result<Rows> {
        let below = self.largest_within(wanted)?;
        if let Some(same) = below
            && self.diameter(same) > wanted - SAME
        {
            return Ok(same);
        }
        let above = Rows::closed(below.map_or(FEWEST_CLOSED, |below| below.count() + 2))?;
        match (prefer, below) {
            (Prefer::Larger, _) | (Prefer::Nearest, None) => Ok(above),
            (Prefer::Smaller, Some(below)) => Ok(below),
            (Prefer::Smaller, None) => Err(too_small(self, wanted)),
            (Prefer::Nearest, Some(below)) => {
                let under = wanted - self.diameter(below);
                let over = self.diameter(above) - wanted;
                Ok(if under <= over { below } else { above })
            }
        }
    }

    /// The largest even count whose diameter does not exceed `wanted`, within [`SAME`]; none if six
    /// rows do.
    fn largest_within(&self, wanted: Mm) -> Result<Option<Rows>> {
        let most = wanted + SAME;
        let ratio = self.spacing() / (most + self.bead().diameter);
        // Diameters grow with the rows, so the inverse of the closing formula gives the count up to
        // rounding.
        let round = if ratio < 1.0 {
            PI / libm::asin(ratio)
        } else {
            2.0
        };
        let guess = 2 * round.min(f64::from(MOST_ROWS)) as u32;
        let mut found = None;
        let first = guess.saturating_sub(2).max(FEWEST_CLOSED);
        for count in (first..=guess + 2).step_by(2) {
            let rows = Rows::closed(count)?;
            if self.diameter(rows) <= most {
                found = Some(rows);
            }
        }
        Ok(found)
    }

    /// A closed band of `rows` and its size.
    pub fn closed(&self, rows: Rows) -> Closed {
        Closed {
            rows,
            size: RingSize::of_diameter(self.diameter(rows)),
        }
    }

    /// Seven even counts round `rows` in rising order; fewer where rows end.
    pub fn near(&self, rows: Rows) -> Vec<Closed> {
        let first = rows.count().saturating_sub(SHOWN - 1).max(FEWEST_CLOSED);
        (first..)
            .step_by(2)
            .take(SHOWN as usize)
            .filter_map(|count| Rows::closed(count).ok())
            .map(|rows| self.closed(rows))
            .collect()
    }
}

impl Fit {
    /// How much larger than wanted the chosen band is; negative where it is smaller.
    pub fn over(&self) -> Mm {
        self.chosen.size.diameter() - self.wanted.diameter()
    }

    /// Whether the chosen band has the wanted size, within [`SAME`].
    pub fn is_exact(&self) -> bool {
        self.over().get().abs() <= SAME.get()
    }

    /// What to know about a band of this fit that is `columns` wide.
    pub fn warnings(&self, columns: u32) -> Vec<Warning> {
        let width = self.gauge.width(columns);
        let size = self.wanted.half_a_us_size_more();
        let more = self.gauge.rows_for(size.diameter(), self.prefer);
        let wide = more
            .ok()
            .filter(|_| width >= WIDE)
            .map(|more| Warning::WideBand {
                width,
                size: size.to_string(),
                rows: (self.chosen.rows.count(), more.count()),
            });
        let unknown = self.range.map(|(loose, touching)| Warning::NoGauge {
            rows: (loose.count(), touching.count()),
        });
        unknown.into_iter().chain(wide).collect()
    }
}

fn too_small(gauge: &Gauge, wanted: Mm) -> Error {
    let least = Rows::closed(FEWEST_CLOSED).map(|rows| gauge.diameter(rows));
    let least = least.unwrap_or(gauge.bead().diameter);
    Error::new(format!(
        "no band of these beads is as small as {wanted} inside; the fewest rows that close, \
         {FEWEST_CLOSED}, make {least}"
    ))
    .hint("take smaller beads with [--bead], or a larger size")
}
