//! How old and new ends are woven in where one piece of thread takes over from another.

use super::frame::Frame;
use super::plan::{NeedlePlace, Pass, Plan};
use crate::lattice::Lattice;

/// The ends of the two threads where one takes over from the other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JoinPasses {
    /// The last pass of the old thread; the new one comes out with it too.
    pub leaves: Pass,
    /// The passes that weave in the end of the old thread, from there.
    pub old_end: Vec<Pass>,
    /// The passes by which the new thread comes in, up to that bead and out of it.
    pub new_start: Vec<Pass>,
}

/// The passes of a join after a place in [`Weave::rows`](super::Weave::rows); none where so few
/// rows are woven that there is nothing to weave into.
pub fn join_passes(lattice: &Lattice, frame: Frame, after: usize) -> Option<JoinPasses> {
    let mut plan = Plan::new(lattice, frame);
    let row = after as u32 + 3;
    let needle = plan.after_row(row);
    plan.woven = Some(i64::from(row.min(lattice.rows())));
    let reversed = NeedlePlace {
        forward: !needle.forward,
        ..needle
    };
    let old_end = plan.weave_in(needle, false);
    // A thread that goes out by the other side of the bead, followed from its end.
    let mut new_start: Vec<Pass> = plan.weave_in(reversed, false);
    new_start.reverse();
    for pass in &mut new_start {
        pass.forward = !pass.forward;
    }
    plan.passes.clear();
    plan.pass_at(needle);
    let leaves = *plan.passes.first()?;
    new_start.push(leaves);
    (!old_end.is_empty() && new_start.len() > 1).then_some(JoinPasses {
        leaves,
        old_end,
        new_start,
    })
}
