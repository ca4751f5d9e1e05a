//! What a person asked for, in words and figures as they were typed: checked, and turned into the
//! library's options.
//!
//! The command line and the desk both ask through here, so that the same words mean the same and
//! are refused alike. Options are named with their dashes, as the command line has them.

pub mod chart;
pub mod check;
pub mod compare;
pub mod fit;
pub mod gauge;
pub mod hands;
pub mod kit;
mod lossy;
pub mod mend;
pub mod order;
pub mod palette;
pub mod photo;
pub mod propose;
pub mod read;
pub mod refine;
pub mod resize;
mod rounding;
mod schema;
pub mod swap;
mod warnings;
pub mod ways;
pub mod weave;

pub use schema::schema;
pub use warnings::WarningReport;

use crate::error::Error;

/// What is wrong with the value of an option is wrong with the call.
pub fn of_option(error: Error, option: &str) -> Error {
    error.of_option(option)
}

/// A number with four decimals.
fn short(number: f64) -> f64 {
    (number * 1e4).round() / 1e4
}
