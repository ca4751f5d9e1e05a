//! Formulas against published numbers.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::disallowed_methods)]

#[path = "../common/mod.rs"]
mod common;

mod colour;
mod kmedian;
mod packing;
mod profiles;
mod refine;
mod ring;
mod sampling;
mod scielab;
mod sight;
mod stock;
mod tray;
