//! A drawing of few flat colours to beads: first which of the drawing's colours each bead shows,
//! then which bead stands for each colour. Nothing is blended.
//!
//! | step | does |
//! |---|---|
//! | `labels` | the colour that covers most of each bead; ground where most of it is ground |
//! | `repair` | every part keeps a bead, strokes stay whole and outlines closed, stray beads go |
//! | `match_beads` | a bead for each colour: its own, the nearest, hue before lightness |

mod labels;
mod match_beads;
mod repair;
#[cfg(test)]
mod tests;

pub use labels::{assign, faults, least_faults, settle};
pub use match_beads::{Choice, MotifColour, Wanted, ground_cost, match_beads};
pub use repair::{Shares, repair};
