//! The weaving guide as text, as Markdown, as JSON and as a page to follow along.
//!
//! All of them are made from one [`WeaveReport`](crate::report::weave::WeaveReport): [`text()`] and
//! [`markdown()`] set its words, [`page()`] shows one row at a time in a browser and keeps the
//! place, [`json()`] is for programs, as [`crate::weave::SCHEMA`] describes it.

mod json;
mod markdown;
mod page;
mod text;

pub use json::json;
pub use markdown::markdown;
pub use page::page;
pub use text::text;
