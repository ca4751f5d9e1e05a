//! Properties that must hold for any input.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::disallowed_methods)]

#[path = "../common/mod.rs"]
mod common;

mod calm;
mod cancel;
mod dither;
mod fit;
mod fuzz_corpus;
mod kit;
mod lattice;
mod layers;
mod legible;
mod memory;
mod mend;
mod nearest;
mod other_sizes;
mod ranges;
mod repeat;
mod resize;
mod round_trip;
mod rows;
mod samples;
mod scans;
mod stock;
mod student;
mod ways;
mod weave;
