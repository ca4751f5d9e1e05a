//! A chart made from one that exists: what the file is, and how its rows are meant.

use super::json::{flag, list, optional};
use super::named::given;
use super::values::Count;
use super::{is_none, is_off};
use crate::bead::Bead;
use crate::error::{Error, Result};
use serde::{Deserialize, Serialize};

/// What a chart is read from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "lowercase")]
pub enum ReadKind {
    /// Codes or names, one row a line.
    Table,
    /// Rows in words.
    Words,
    /// A picture of a chart.
    Picture,
}

/// Which line of a table is row 1.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "lowercase")]
pub enum FirstRow {
    /// The last line.
    #[default]
    Bottom,
    /// The first line.
    Top,
}

/// The direction of rows that name none.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "lowercase")]
pub enum RowDirection {
    /// Back and forth, as they are woven.
    #[default]
    Alternate,
    /// Each from left to right.
    Right,
    /// Each from right to left.
    Left,
}

/// What the side that is named behind a row's number says.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "lowercase")]
pub enum RowSides {
    /// The side that the row starts from.
    #[default]
    From,
    /// The side that the row goes to.
    To,
}

/// What the file is, and how its rows are meant.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct ReadRequest {
    /// What the file is: table, words or picture
    ///
    /// table is codes or names, one row a line; words is rows as `upbead weave` writes them or as
    /// one types them, R3: 2 navy 1 gold 2 navy; picture is a drawing or a scan of a chart. By
    /// default the file shows which it is. Example: --kind table
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "KIND", value_enum, hide_possible_values = true)
    )]
    #[serde(skip_serializing_if = "is_none")]
    pub kind: Option<ReadKind>,

    /// Colours for other names, such as N=quay-58
    ///
    /// What names and letters of the file stand for, each with the code or name of a palette
    /// colour. It goes before names of the palette. None by default.
    /// Example: --map navy=quay-58,G=bell-09
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "NAME=CODE,..", value_delimiter = ',')
    )]
    #[serde(with = "list", skip_serializing_if = "Vec::is_empty")]
    pub map: Vec<String>,

    /// Line of a table that is row 1: bottom or top
    ///
    /// bottom, the default, has row 1 in the last line, as `upbead show` prints it; top has it in
    /// the first. A column headed `row` with the rows' numbers decides by itself.
    /// Example: --first-row top
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "END", value_enum, hide_possible_values = true)
    )]
    #[serde(skip_serializing_if = "is_none")]
    pub first_row: Option<FirstRow>,

    /// Rows in words: alternate, right or left
    ///
    /// The direction of rows that name none. alternate, the default, is back and forth, as they
    /// are woven: the beads are in the order of picking up. right has each row from left to right
    /// as the chart shows it, left from right to left. Example: --direction right
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "WAY", value_enum, hide_possible_values = true)
    )]
    #[serde(skip_serializing_if = "is_none")]
    pub direction: Option<RowDirection>,

    /// Side named behind a row: from or to
    ///
    /// What L and R behind a row's number say, as in Row 3 (L): from, the default, is the side
    /// that the row starts from; to is the side that it goes to. Arrows, and words such as `to the
    /// left`, need no choice. Example: --sides to
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "WAY", value_enum, hide_possible_values = true)
    )]
    #[serde(skip_serializing_if = "is_none")]
    pub sides: Option<RowSides>,

    /// Columns of the chart in a picture
    ///
    /// From 3 to 1000, where the picture alone does not show where the chart ends. By default they
    /// are counted. Example: --columns 9
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "COUNT", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub columns: Option<Count>,

    /// A flat strip that is not closed
    ///
    /// For cuffs and bookmarks: any number of rows, odd or even. By default the band closes into a
    /// ring, and has an even number of rows, unless the file says that it does not.
    /// Example: --open
    #[cfg_attr(feature = "cli", arg(long))]
    #[serde(with = "flag", skip_serializing_if = "is_off")]
    pub open: bool,

    /// Bead size [11], or its measures in mm
    ///
    /// Size of the cylinder beads: 11, 10, 8 or 15, or length x diameter x hole in millimetres. By
    /// default what the file says, or 11. Example: --bead 8
    #[cfg_attr(feature = "cli", arg(long, value_name = "SIZE|LxDxH"))]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub bead: Option<Bead>,

    /// What the design is called
    ///
    /// Kept in the chart. By default what the file calls itself, if it does.
    /// Example: --title "Harbour dusk"
    #[cfg_attr(feature = "cli", arg(long, value_name = "WORDS"))]
    #[serde(skip_serializing_if = "is_none")]
    pub title: Option<String>,
}

/// Options that only some kinds of file use.
const OF_KINDS: [(&str, &[ReadKind]); 5] = [
    ("map", &[ReadKind::Table, ReadKind::Words]),
    ("first_row", &[ReadKind::Table]),
    ("direction", &[ReadKind::Words]),
    ("sides", &[ReadKind::Words]),
    ("columns", &[ReadKind::Picture]),
];

impl ReadKind {
    /// The word of the option.
    pub fn name(self) -> &'static str {
        match self {
            Self::Table => "table",
            Self::Words => "words",
            Self::Picture => "picture",
        }
    }

    /// As a sentence names it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Table => "a table",
            Self::Words => "rows in words",
            Self::Picture => "a picture",
        }
    }
}

impl ReadRequest {
    /// Makes sure that no option is given that this kind of file does not use.
    ///
    /// # Errors
    /// If one is.
    pub fn check(&self, kind: ReadKind) -> Result<()> {
        let given = given(self)?;
        let wrong = OF_KINDS
            .iter()
            .find(|(option, kinds)| given.contains_key(*option) && !kinds.contains(&kind));
        let Some((option, kinds)) = wrong else {
            return Ok(());
        };
        let kinds: Vec<&str> = kinds.iter().map(|kind| kind.words()).collect();
        let what = format!(
            "this is only for {}, and the file is read as {}",
            kinds.join(" and "),
            kind.words()
        );
        Err(Error::usage(what)
            .option(option)
            .hint("leave it out, or say what the file is with [--kind]"))
    }
}
