//! What a person asked for, in words and figures as they were typed: checked, and turned into the library's options.
//!
//! The command line and the desk both ask through here, so that the same words mean the same and are refused alike. Options are named with their
//! dashes, as the command line has them.

mod again;
mod band;
mod below;
mod booklet;
mod colours;
mod design;
mod drawing;
mod far;
mod fine;
mod gauge;
mod kit;
mod laid;
mod piles;
mod round;
mod sizes;
mod span;
mod warnings;
mod words;
mod work;

pub use again::{Finer, MadeFiner, own_colours};
pub use band::{Band, Shape};
pub use below::below;
pub use booklet::{Booklet, Matter, Printed, Typed, cover};
pub use design::{Design, DitherWord, FitWord, MirrorWord, STRENGTH};
pub use drawing::{flat_options, ground, opaque, scale};
pub use far::Far;
pub use fine::{calm, crisp, distances};
pub use gauge::{Measured, PreferWord, as_typed, remember};
pub use kit::{Gathered, check_thread};
pub use laid::Laid;
pub use piles::{Piles, as_fine_as_needed};
pub use round::{Round, Worn};
pub use sizes::step;
pub use span::Span;
pub use warnings::WarningReport;
pub use words::{crop, place, seat, turn};
pub use work::{FromWord, HandWord, KeysWord, frame};

use crate::error::Error;

/// What is wrong with the value of an option is wrong with the call.
pub fn of_option(error: Error, option: &str) -> Error {
    error.of_option(option)
}
