//! What helps when something goes wrong, and what to be careful of: once, and short.

use super::WovenBand;

/// How to find and undo a mistake.
pub(super) fn trouble(band: &WovenBand) -> Vec<String> {
    let most = band.holes().into_iter().max();
    vec![
        "Count the beads after each row, against the number before them. One too many is a doubled \
         bead: it leans out of line, and the next row will not lie flat. One too few was skipped, \
         and leaves a gap."
            .to_string(),
        "To undo a row, take the needle off and draw the thread out bead by bead, the way it went \
         in, last bead first, back to the edge. A needle pushed backwards splits the thread."
            .to_string(),
        format!(
            "Never force a needle through a full hole: the bead breaks. Take a finer needle, or go \
             through a neighbour. The fullest hole here takes {} passes of thread.",
            most.unwrap_or(0)
        ),
    ]
}

/// Cautions that hold for all of the work.
pub(super) fn cautions() -> Vec<String> {
    vec![
        "Glass can break and fly: protect your eyes. Needles are thin and sharp: count them before \
         and after. Beads and needles are small parts: keep them from children. Where local rules \
         or those of a class or workshop say more, they come first."
            .to_string(),
    ]
}
