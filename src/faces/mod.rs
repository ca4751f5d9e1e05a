//! Scene and results as bytes and as text for people.

pub mod fit;
pub mod palette;
