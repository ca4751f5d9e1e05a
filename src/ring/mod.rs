//! Ring sizes, the weaver's gauge, and the rows that close round a finger.
//!
//! A size becomes millimetres in [`RingSize::parse`]; a swatch, a band that fits or a remembered
//! gauge becomes a [`Gauge`]; the two together become a [`Fit`].

mod fit;
mod gauge;
mod gauge_entry;
mod gauge_file;
mod gauge_read;
mod scales;
mod series;
mod sizes;

pub use fit::{Closed, Fit, Prefer, SAME, fit};
pub use gauge::{Gauge, Hand, KnownFit, Source, Swatch};
pub use gauge_file::{GaugeFile, default_path, remember};
pub use series::{Series, Step};
pub use sizes::RingSize;
