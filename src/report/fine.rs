//! Distances, calm and crispness, of whatever optimises the whole band or measures it.

use crate::error::{Error, Result};
use crate::units::Mm;
use std::ops::RangeInclusive;

/// Distances that are believed, in millimetres: from a thread's end to across a hall. Ours.
const DISTANCES: RangeInclusive<f64> = 100.0..=20_000.0;
/// Most distances at once.
const MOST: usize = 8;

/// Reads distances in millimetres, parted by commas.
///
/// # Errors
/// If one is no distance, or there are more than 8.
pub fn distances(text: &str) -> Result<Vec<Mm>> {
    let all: Vec<Mm> = text
        .split(',')
        .map(|part| {
            part.trim()
                .parse()
                .ok()
                .filter(|number: &f64| DISTANCES.contains(number))
                .map(Mm::new)
                .ok_or_else(|| {
                    Error::usage(format!("'{}' is not a distance to look from", part.trim()))
                        .option("--seen")
                        .hint("give millimetres from 100 to 20000, such as 700 or 300,700,2000")
                })
        })
        .collect::<Result<_>>()?;
    match all.len() > MOST {
        true => Err(
            Error::usage(format!("{} distances are too many", all.len()))
                .option("--seen")
                .hint(format!("give at most {MOST}")),
        ),
        false => Ok(all),
    }
}

/// Checks a calm.
///
/// # Errors
/// If it is not between 0 and 1.
pub fn calm(calm: f64) -> Result<f64> {
    match (0.0..=1.0).contains(&calm) {
        true => Ok(calm),
        false => Err(Error::usage(format!("a calm of {calm} is out of range"))
            .option("--calm")
            .hint("give a number from 0 to 1")),
    }
}

/// Checks how crisp a picture is to be made.
///
/// # Errors
/// If it is not between 0 and 1.
pub fn crisp(crisp: f64) -> Result<f64> {
    match (0.0..=1.0).contains(&crisp) {
        true => Ok(crisp),
        false => Err(
            Error::usage(format!("a crispness of {crisp} is out of range"))
                .option("--crisp")
                .hint("give a number from 0 to 1"),
        ),
    }
}
