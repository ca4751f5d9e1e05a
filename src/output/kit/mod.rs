//! The kit for people, and for spreadsheets (CSV).

mod csv;
mod order;
mod table;
mod text;

pub use csv::{csv, order_csv};
pub use order::order_text;
#[cfg(feature = "pdf")]
pub(super) use table::{Beads, Column, columns};
pub use text::text;
#[cfg(feature = "pdf")]
pub(super) use text::{
    PricePart, band, bands, hours, money, needle_size, price_parts, spare_words, time_words,
};
