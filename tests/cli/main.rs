//! Each verb through the real program.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::disallowed_methods)]

#[path = "../common/mod.rs"]
mod common;

mod bad;
mod chart;
mod check;
mod desk;
mod fit;
mod grade;
mod help;
mod kit;
mod manual;
mod palette;
mod schema;
mod show;
mod weave;
