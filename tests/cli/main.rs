//! Each verb through the real program.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::disallowed_methods)]

#[path = "../common/mod.rs"]
mod common;
#[path = "../common/pdf.rs"]
mod pdf;

mod bad;
mod chart;
mod check;
mod compare;
mod design;
mod desk;
mod ended;
mod errors;
mod escapes;
mod fit;
mod friendly;
mod help;
mod inputs;
mod kit;
mod legible;
mod letters;
mod links;
mod manual;
mod mend;
mod palette;
mod photo;
mod pictures;
mod print;
mod propose;
mod racing;
mod read;
mod refine;
mod resize;
mod schema;
mod show;
mod stock;
mod swap;
mod transcripts;
mod units;
mod ways;
mod weave;
mod without_arguments;
