//! Where the work begins, between the request and the weave.

use crate::error::Result;
use crate::lattice::Lattice;
use crate::request::{Start, WorkFrom, WorkRequest};
use crate::weave::{self, Frame, Hand};

/// The frame that is asked for, or the usual one.
///
/// # Errors
/// If the work cannot begin there.
pub(super) fn frame(lattice: &Lattice, request: &WorkRequest) -> Result<Frame> {
    let from = match request.from.unwrap_or_default() {
        WorkFrom::Bottom => weave::Start::Bottom,
        WorkFrom::Top => weave::Start::Top,
    };
    let hand = match request.start {
        Some(Start::Left) => Hand::Left,
        Some(Start::Right) => Hand::Right,
        None => Frame::usual_hand(lattice, from),
    };
    Frame::new(lattice, hand, from)
}

/// The edge of the stopper bead, and the end that is woven first.
pub(super) fn begun(frame: &Frame) -> (Start, WorkFrom) {
    let start = match frame.hand() {
        Hand::Left => Start::Left,
        Hand::Right => Start::Right,
    };
    let from = match frame.start() {
        weave::Start::Bottom => WorkFrom::Bottom,
        weave::Start::Top => WorkFrom::Top,
    };
    (start, from)
}
