//! x
pub mod bead;
pub mod chart;
pub mod cli;
pub mod colour;
pub mod drawer;
pub mod error;
pub mod faces;
pub mod files;
pub mod lattice;
pub mod note;
pub mod picture;
pub mod ring;
pub mod sample;
pub mod scene;
pub mod units;
pub mod eye;
pub mod choose;
