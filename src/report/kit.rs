//! What is gathered for: how many bands, how much to spare, and the thread.

use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::units::{Mm, decimals};
use crate::weave::kit::{MOST_BANDS, MOST_SPARE, Options};
use crate::weave::{COMFORTABLE, Thread, check};
use std::ops::RangeInclusive;

/// Threads that are believed, in millimetres: 0.12 to 0.20 are usual for these beads. Ours.
const THREADS: RangeInclusive<f64> = 0.05..=1.0;
/// Tails that are believed, in millimetres. Ours.
const TAILS: RangeInclusive<f64> = 0.0..=1000.0;
/// Lengths of thread that are believed, in millimetres: shorter ones would be tail and end alone. Ours.
const LENGTHS: RangeInclusive<f64> = 500.0..=20_000.0;

/// What was said of the kit and its check.
#[derive(Debug, Clone, Copy, Default)]
pub struct Gathered<'a> {
    /// `--make`: bands.
    pub make: Option<&'a str>,
    /// `--spare`: percent.
    pub spare: Option<&'a str>,
    /// `--thread`: millimetres.
    pub thread: Option<&'a str>,
    /// `--tail`: millimetres.
    pub tail: Option<&'a str>,
    /// `--length`: millimetres.
    pub length: Option<&'a str>,
}

impl Gathered<'_> {
    /// The options of a kit.
    ///
    /// # Errors
    /// If a figure cannot be read or is out of range.
    pub fn kit(&self) -> Result<Options> {
        let mut options = Options::default();
        if let Some(text) = self.make {
            options.make = bands(text)?;
        }
        if let Some(text) = self.spare {
            options.spare = spare(text)?;
        }
        if let Some(text) = self.thread {
            options.thread.diameter = thread(text)?;
        }
        if let Some(text) = self.tail {
            options.tail = millimetres("--tail", "tail", text, TAILS, "100")?;
        }
        Ok(options)
    }

    /// The options of a check, without a palette yet.
    ///
    /// # Errors
    /// As [`Gathered::kit`].
    pub fn check<'p>(&self) -> Result<check::Options<'p>> {
        let mut options = check::Options::default();
        if let Some(text) = self.thread {
            options.thread.diameter = thread(text)?;
        }
        if let Some(text) = self.length {
            let usual = decimals(COMFORTABLE.get(), 0);
            options.length = millimetres("--length", "length of thread", text, LENGTHS, &usual)?;
        }
        if let Some(text) = self.make {
            options.make = bands(text)?;
        }
        Ok(options)
    }
}

/// A thread has to go through the chart's beads.
///
/// # Errors
/// If it does not.
pub fn check_thread(chart: &Chart, thread: Thread) -> Result<()> {
    let hole = chart.lattice.bead().hole;
    if thread.diameter < hole {
        return Ok(());
    }
    Err(Error::usage(format!(
        "a thread of {} does not go through a hole of {hole}",
        thread.diameter
    ))
    .option("--thread")
    .hint("give a thread that is thinner than the hole"))
}

fn thread(text: &str) -> Result<Mm> {
    millimetres("--thread", "thread", text, THREADS, "0.15")
}

/// The bands that --make asks for.
pub(super) fn bands(text: &str) -> Result<u32> {
    let count = text.trim().parse().ok();
    count
        .filter(|count| (1..=MOST_BANDS).contains(count))
        .ok_or_else(|| {
            Error::usage(format!("'{text}' is not a number of bands to make"))
                .option("--make")
                .hint("give a whole number from 1 to 100\u{202f}000")
        })
}

/// The percentage that --spare asks for.
pub(super) fn spare(text: &str) -> Result<f64> {
    let trimmed = text.trim();
    let number = trimmed.strip_suffix('%').unwrap_or(trimmed).trim_end();
    within(number, 0.0..=MOST_SPARE).ok_or_else(|| {
        Error::usage(format!("'{text}' is not a share of spare beads"))
            .option("--spare")
            .hint("give a percentage from 0 to 1000, such as 10%")
    })
}

/// The length that `option` gives.
fn millimetres(
    option: &str,
    what: &str,
    text: &str,
    believed: RangeInclusive<f64>,
    such_as: &str,
) -> Result<Mm> {
    let (least, most) = (*believed.start(), *believed.end());
    within(text, believed).map(Mm::new).ok_or_else(|| {
        Error::usage(format!("'{text}' is not a {what}"))
            .option(option)
            .hint(format!(
                "give millimetres from {least} to {most}, such as {such_as}"
            ))
    })
}

/// A number of that range; NaN is in none.
fn within(text: &str, range: RangeInclusive<f64>) -> Option<f64> {
    let number = text.trim().parse::<f64>().ok()?;
    range.contains(&number).then_some(number + 0.0)
}
