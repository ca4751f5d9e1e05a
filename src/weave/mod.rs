//! The weave: one list of thread passes, from which rows, turnarounds, thread and closing are read
//! off.
//!
//! Flat peyote stitch. The first `W` beads are strung together and become the two outermost rows;
//! every later bead is picked up, and the needle goes on through the next up bead. With
//! an even number of columns each row ends with an ordinary turn. With an odd number the last bead
//! of every second row has nothing to pass into: the first time it is locked by a figure-eight
//! through the beadwork, later it catches the thread bridge below it.

pub mod check;
mod ends;
mod frame;
mod holes;
mod joins;
pub mod kit;
mod passes;
mod pieces;
mod plan;
mod thread;

/// What the JSON of the work calls itself.
pub const FORMAT: &str = "upbead-weave";
/// The version of that JSON; version 1 had `hand` in place of `start`.
pub const VERSION: u32 = 2;
/// The JSON Schema of the work, draft 2020-12.
pub const SCHEMA: &str = include_str!("schema.json");

pub use frame::Frame;
pub use holes::{NEEDLES, Needle, filled, goes_through, holes, most_passes, needle_for};
pub use joins::{JoinPasses, join_passes};
pub use passes::{Turn, Weave, Work, usual_directions, weave};
pub use pieces::Joins;
pub use plan::Pass;
pub use thread::{
    COMFORTABLE, HANDLING, Item, Lengths, ONE_PIECE, TAIL, Thread, lengths, lengths_by_row,
};
