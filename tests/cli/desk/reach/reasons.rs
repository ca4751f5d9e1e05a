//! Why a verb or an option is not on the desk.

use super::Where::{self, No};

/// Why options that speak of files mean nothing here.
pub(super) const DIALOG: Where =
    No("the browser's own dialog says where a file goes, and asks before one is replaced");

/// Why proposals are not written to a file.
pub(super) const SHOWN: Where =
    No("the desk shows the proposals below the band; the one that is taken is saved as any chart");

/// Why the desk has no layers.
pub(super) const LAYERS: Where = No(
    "the desk charts one picture; a chart of layers is opened, mended and woven there as any is",
);

/// Why the desk has no report of what an edit changed.
pub(super) const COUNTED: Where =
    No("the desk shows each edit at once, and lists the beads of each colour");

/// Why a whole pattern is not flipped at once.
pub(super) const ALL_SELECTED: Where =
    No("the desk flips the motif that is selected, which may be the whole band");

/// Why there are no colourways.
pub(super) const WAYS: Where =
    No("the desk shows one chart; each colourway is opened there by itself");

/// Why rows are not repeated by number.
pub(super) const COPIES: Where =
    No("the desk places copies of the motif that is selected where one clicks");

/// Why the desk reads no tables, words and pictures of charts.
pub(super) const NOT_READ_YET: Where =
    No("the desk does not read other files than charts yet; the chart that is read opens there");

/// Why the desk does not ask for prices and the words at the foot.
pub(super) const SHEET: Where =
    No("the desk prints the buyer's pattern of one chart; the maker's sheet is the command line's");
