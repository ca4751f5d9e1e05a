//! What is drawn, in millimetres. No pixels, no pages.
//!
//! By the time a [`Scene`] exists nothing is left to decide: where each bead, line and word stands,
//! how large and in which colour. The output formats only write it down, so that SVG and PNG cannot
//! disagree. `y` grows downwards, as on a page.
//!
//! | item | for |
//! |---|---|
//! | [`Beads`] | many beads of one shape, so that a format can define the shape once |
//! | [`Line`] | marks beside the band, the ruler |
//! | [`Text`] | one line of words or figures |
//! | [`Path`] | thread, arrows and other outlines, drawn or filled |
//! | [`Group`] | items that belong together, with a title for those who cannot see them |

mod accent;
mod beads_only;
mod chart_part;
mod flat;
pub mod font;
mod keys;
mod keys_on_beads;
mod legend;
mod path;
mod placed_band;
mod proposals;
mod relief;
mod row_numbers;
mod stitch_diagram;
mod strip;
mod strung_line;
mod style;
mod viewing;
mod ways;
mod word_column;
mod words;
mod wrap;

pub use accent::{accent, contrast};
pub use beads_only::beads_only;
pub use chart_part::{ChartPart, draw_part};
pub use flat::{FlatOptions, flat};
pub use keys::{bead_keys, keys, legible};
pub use path::{Path, PathStep, Stroke};
pub use proposals::{ProposalCard, RingPlace, proposals};
pub use relief::{Relief, Stop};
pub use stitch_diagram::{StitchDiagram, draw_stitches};
pub use strip::{Laid, strip, swatch};
pub use strung_line::{StrungLine, draw_strung_line};
pub use style::{Style, mix};
pub use viewing::{
    HOLDING_DISTANCE, Panel, VIEWING_DISTANCES, ViewingOptions, draw_from_distances,
};
pub use ways::{PageSize, SheetMark, SheetPart, WayCard, WaysSheet, ways_sheet};
pub use words::{clean, count_of, facts, seam};
pub use wrap::wrap;

use crate::chart::Shade;
use crate::colour::Srgb8;
use crate::units::Mm;

/// A point of a drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// From the left edge.
    pub x: Mm,
    /// From the upper edge.
    pub y: Mm,
}

impl Point {
    /// The point so far from the left and from the upper edge.
    pub const fn new(x: Mm, y: Mm) -> Self {
        Self { x, y }
    }

    /// The point so far to the right of this one and below it.
    pub fn shifted(self, right: Mm, down: Mm) -> Self {
        Self::new(self.x + right, self.y + down)
    }
}

/// What is drawn in a rectangle, from its upper left corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// From the left edge to the right one.
    pub width: Mm,
    /// From the upper edge to the lower one.
    pub height: Mm,
    /// From the back to the front.
    pub items: Vec<Item>,
}

/// A whole drawing, with what it is drawn on and what it shows in words.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// From the left edge to the right one.
    pub width: Mm,
    /// From the upper edge to the lower one.
    pub height: Mm,
    /// The colour it is drawn on; none is transparent.
    pub backdrop: Option<Srgb8>,
    /// What it shows, in a few words.
    pub title: String,
    /// What it shows, for those who cannot see it.
    pub description: String,
    /// What beads are painted with, in the order of the chart's colours.
    pub paints: Vec<Paint>,
    /// From the back to the front.
    pub items: Vec<Item>,
}

/// What a bead is painted with.
#[derive(Debug, Clone, PartialEq)]
pub struct Paint {
    /// Name, colour and finish.
    pub shade: Shade,
    /// How many beads the chart has of it.
    pub count: usize,
    /// A thin line round the bead, where its colour is close to the backdrop's.
    pub outline: Option<Srgb8>,
    /// How the colour changes from the bead's upper edge to its lower one, where beads are shaded;
    /// empty where they are flat.
    pub sheen: Vec<Stop>,
}

/// Something drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// Beads of one shape.
    Beads(Beads),
    /// A straight line.
    Line(Line),
    /// A line of text.
    Text(Text),
    /// Lines and curves.
    Path(Path),
    /// Items that belong together.
    Group(Group),
}

/// Items that belong together.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// What they are.
    pub title: String,
    /// From the back to the front.
    pub items: Vec<Item>,
}

/// The outline of a bead seen from the side: a rectangle with round corners, its hole lying across.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape {
    /// Along the hole.
    pub width: Mm,
    /// Across the hole.
    pub height: Mm,
    /// Radius of the corners; at most half of the smaller side.
    pub corner: Mm,
    /// Width of the line round it where its [`Paint`] has one; the line lies inside the shape.
    pub outline: Mm,
    /// Rim and hole, where beads are shaded.
    pub relief: Option<Relief>,
}

/// Beads of one shape.
#[derive(Debug, Clone, PartialEq)]
pub struct Beads {
    /// Their shape.
    pub shape: Shape,
    /// Where they are, from the upper edge downwards.
    pub placed: Vec<Placed>,
}

/// A bead at its position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    /// Left edge of its shape.
    pub left: Mm,
    /// Upper edge of its shape.
    pub top: Mm,
    /// Its index in [`Scene::paints`].
    pub paint: u16,
}

/// A straight line with flat ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// One end.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// How thick.
    pub thickness: Mm,
    /// Its colour.
    pub colour: Srgb8,
}

/// Which point of a text stands at its position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its left end.
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// How heavy the letters are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// 400.
    Regular,
    /// 600.
    Semibold,
}

/// How figures are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figures {
    /// Each in its own width, as in a sentence.
    Running,
    /// All in one width, so that columns of numbers line up.
    Tabular,
}

/// One line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// Where its anchor is, from the left edge.
    pub x: Mm,
    /// Where the letters stand, from the upper edge.
    pub baseline: Mm,
    /// The letters' size (the em).
    pub size: Mm,
    /// How heavy.
    pub weight: Weight,
    /// Which point stands at `x`.
    pub anchor: Anchor,
    /// How figures are set.
    pub figures: Figures,
    /// Its colour.
    pub colour: Srgb8,
    /// The words; no line breaks, no control characters.
    pub words: String,
}

/// Items with a title for those who cannot see them.
fn group(title: &str, items: Vec<Item>) -> Item {
    Item::Group(Group {
        title: title.to_string(),
        items,
    })
}
