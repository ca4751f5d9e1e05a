//! The options that say how the work is told, shared by the verbs that tell it.

use crate::report::{FromWord, HandWord, KeysWord};

/// Edge, end, and what colours are called.
#[derive(Debug, Clone, Copy, clap::Args)]
pub(crate) struct WorkArgs {
    /// Edge of the stopper bead: left or right
    ///
    /// The edge at which the stopper bead lies and from which the first beads are strung. The default is left, or right where only that can
    /// be begun: a strip with an even number of columns has one edge for each end. Example: --hand right
    #[arg(long, value_name = "HAND", hide_possible_values = true)]
    pub(crate) hand: Option<HandWord>,

    /// End to begin at: bottom or top
    ///
    /// The end of the chart that is woven first; bottom, row 1, is the default. With top the rows come from the last one down, numbered as
    /// in the chart. Example: --from top
    #[arg(
        long,
        value_name = "END",
        default_value = "bottom",
        hide_default_value = true,
        hide_possible_values = true
    )]
    pub(crate) from: FromWord,

    /// Call colours by names or by short keys
    ///
    /// names says the palette's names in the rows, short a key that is made of each name: a table on top tells them, and in a booklet they stand on
    /// the beads. The default is names, or short where two names are alike or a name is too long for a row. Example: --keys short
    #[arg(long, value_name = "WORDS", hide_possible_values = true)]
    pub(crate) keys: Option<KeysWord>,
}
