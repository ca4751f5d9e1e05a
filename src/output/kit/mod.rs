//! The kit for people, and for spreadsheets (CSV).

mod csv;
mod table;
mod text;

pub use csv::csv;
#[cfg(feature = "pdf")]
pub(super) use table::columns;
pub use text::text;
#[cfg(feature = "pdf")]
pub(super) use text::{needle_size, spare_words};
