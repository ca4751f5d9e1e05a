//! The kit for people, and for spreadsheets (CSV).

mod csv;
mod table;
mod text;

pub use csv::csv;
pub(super) use table::columns;
pub use text::text;
pub(super) use text::{needle_size, spare_words};
