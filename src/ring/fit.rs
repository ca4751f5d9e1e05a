//! The even row count that closes round a finger, and its neighbours.
//!
//! `n = N/2` beads stand round each column like rollers of diameter `D`, their centres a spacing
//! `P` apart on a circle of radius `R = P / (2 sin(π/n))`; the inside diameter is `2R - D`. Two
//! rows are the finest step: `P/π` of diameter.

use super::gauge::{Gauge, Hand};
use super::sizes::RingSize;
use crate::error::{Error, Result};
use crate::lattice::{FEWEST_CLOSED, MOST_ROWS, Rows};
use crate::units::Mm;
use crate::warning::{HARDLY, Warning};
use std::f64::consts::PI;

/// Two diameters nearer than this are the same size. Published tables of sizes are rounded to a
/// hundredth of a millimetre, so a band known to fit `us7` also fits `d17.32mm`.
pub const SAME: Mm = Mm::new(0.01);
/// How many neighbouring counts are shown.
const SHOWN: u32 = 7;

/// Which of two even counts round a wanted size to take.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize, serde::Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "lowercase")]
pub enum Prefer {
    /// The largest count that is not larger than the wanted size, or by [`HARDLY`] at most: a
    /// beaded band stretches with wear. Common practice, no source.
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
    /// Where no gauge is set: rows for a loose and for a tight hand.
    pub range: Option<(Rows, Rows)>,
    /// The row at which to try the strip on first.
    pub first_try: Rows,
}

/// How many rows close round `wanted`.
///
/// # Errors
/// If the fewest rows that close are larger than the wanted size already, or it would need more
/// rows than can be charted.
pub fn fit(wanted: &RingSize, gauge: &Gauge, prefer: Prefer) -> Result<Fit> {
    let rows = gauge.rows_for(wanted.diameter(), prefer)?;
    let of_hand = |hand| Gauge::of_hand(gauge.bead(), hand).rows_for(wanted.diameter(), prefer);
    let range = if gauge.is_assumed() {
        Some((of_hand(Hand::Loose)?, of_hand(Hand::Tight)?))
    } else {
        None
    };
    Ok(Fit {
        wanted: wanted.clone(),
        gauge: gauge.clone(),
        prefer,
        chosen: gauge.closed(rows),
        near: gauge.near(rows),
        range,
        first_try: gauge.first_try(rows),
    })
}

impl Gauge {
    /// The even count of rows that closes round an inside diameter of `wanted`.
    ///
    /// With [`Prefer::Smaller`] the diameter is at most `wanted` and two rows more would exceed it,
    /// both within [`HARDLY`].
    ///
    /// # Errors
    /// If no count from 6 to 20,000 does.
    pub fn rows_for(&self, wanted: Mm, prefer: Prefer) -> Result<Rows> {
        if prefer == Prefer::Smaller {
            let within = self.largest_within(wanted + HARDLY)?;
            return within.ok_or_else(|| too_small(self, wanted));
        }
        let below = self.largest_within(wanted + SAME)?;
        if let Some(same) = below
            && self.diameter(same) > wanted - SAME
        {
            return Ok(same);
        }
        let above = Rows::closed(below.map_or(FEWEST_CLOSED, |below| below.count() + 2))?;
        Ok(match below {
            Some(below) if prefer == Prefer::Nearest => {
                let under = wanted - self.diameter(below);
                let over = self.diameter(above) - wanted;
                if under <= over { below } else { above }
            }
            _ => above,
        })
    }

    /// The row at which to try on first a strip that is to have `rows`, its ends just meeting: two
    /// rows before the last, or where no gauge is set the count of a loose hand. Common practice,
    /// no source.
    pub fn first_try(&self, rows: Rows) -> Rows {
        let before = Rows::closed(rows.count() - 2).unwrap_or(rows);
        if !self.is_assumed() {
            return before;
        }
        let loose = Self::of_hand(self.bead(), Hand::Loose);
        let loose = loose.rows_for(self.diameter(rows), Prefer::Smaller);
        loose.map_or(before, |loose| {
            if loose.count() < before.count() {
                loose
            } else {
                before
            }
        })
    }

    /// The largest even count whose diameter does not exceed `most`; none if six rows do.
    fn largest_within(&self, most: Mm) -> Result<Option<Rows>> {
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
        let unknown = self.range.map(|(loose, tight)| Warning::NoGauge {
            rows: (loose.count(), tight.count()),
            spacing: self.gauge.spacing(),
        });
        unknown.into_iter().chain(self.wide(columns)).collect()
    }

    /// Advice for a band that is wider than what the size or the gauge was measured with.
    fn wide(&self, columns: u32) -> Option<Warning> {
        let width = self.gauge.width(columns);
        let known = match self.gauge.known_fit() {
            Some(known) => us_sizes_more(self.gauge.width(known.columns.unwrap_or(columns))),
            None => 0.0,
        };
        let us_sizes = us_sizes_more(width) - known;
        if us_sizes <= 0.0 {
            return None;
        }
        let size = self.wanted.larger(us_sizes);
        let more = self.gauge.rows_for(size.diameter(), self.prefer).ok()?;
        Some(Warning::WideBand {
            width,
            us_sizes,
            size: size.to_string(),
            rows: (self.chosen.rows.count(), more.count()),
        })
    }
}

/// US sizes by which a ring of this width is taken larger than a narrow one.
///
/// Half a size from 6 mm by two size calculators (a third page says 8 mm); one or two Japanese
/// numbers, 0.4 or 0.8 of a US size, for wide flat rings by two goldsmiths. Where the steps between
/// lie is ours.
fn us_sizes_more(width: Mm) -> f64 {
    const STEPS: [(f64, f64); 3] = [(20.0, 1.0), (12.0, 0.75), (6.0, 0.5)];
    let step = STEPS.iter().find(|(from, _)| width.get() >= *from);
    step.map_or(0.0, |&(_, us_sizes)| us_sizes)
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
