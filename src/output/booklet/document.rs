//! What a printed document holds, before it is bytes: pages of things at their places, and what
//! each of them means in reading order.

use crate::error::{Error, Result};
use crate::picture::Pixels;
use crate::scene::{Item, Paint, Point};
use crate::units::{LengthUnits, Mm};

/// A sheet of paper, upright.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paper {
    /// As it is called.
    pub name: &'static str,
    /// From the left edge to the right one.
    pub width: Mm,
    /// From the upper edge to the lower one.
    pub height: Mm,
    /// What lengths are written in on it, where nothing else is asked for.
    pub units: LengthUnits,
}

/// A4 by ISO 216: 210 by 297 mm. Letter by ANSI/ASME Y14.1, size A: 8.5 by 11 inches.
pub const PAPERS: [Paper; 2] = [
    Paper {
        name: "a4",
        width: Mm::new(210.0),
        height: Mm::new(297.0),
        units: LengthUnits::Mm,
    },
    Paper {
        name: "letter",
        width: Mm::new(215.9),
        height: Mm::new(279.4),
        units: LengthUnits::Inch,
    },
];

impl Paper {
    /// Reads `a4` or `letter`, in any case.
    ///
    /// # Errors
    /// If it is another word.
    pub fn parse(text: &str) -> Result<Self> {
        let found = PAPERS
            .into_iter()
            .find(|paper| text.trim().eq_ignore_ascii_case(paper.name));
        found.ok_or_else(|| {
            Error::usage(format!("'{text}' is no paper that is known")).hint("write a4 or letter")
        })
    }
}

/// A document.
#[derive(Debug, Clone)]
pub struct Document {
    /// Its sheets.
    pub paper: Paper,
    /// What it is called.
    pub title: String,
    /// Who made it.
    pub author: Option<String>,
    /// What it is, in a sentence.
    pub subject: String,
    /// What beads are painted with.
    pub paints: Vec<Paint>,
    /// Pictures that pages may show.
    pub pictures: Vec<Pixels>,
    /// Its pages.
    pub pages: Vec<Page>,
    /// What things mean; a parent stands before its children, and the order is that of reading.
    pub elements: Vec<Element>,
    /// Places to jump to.
    pub bookmarks: Vec<Bookmark>,
}

/// One side of a sheet.
#[derive(Debug, Clone, Default)]
pub struct Page {
    /// The design that it belongs to, where there are several.
    pub design: Option<String>,
    /// From the back to the front.
    pub marks: Vec<Mark>,
}

/// Things drawn together.
#[derive(Debug, Clone)]
pub struct Mark {
    /// The element that they belong to; none is decoration, which is not read.
    pub of: Option<usize>,
    /// What is drawn.
    pub ink: Ink,
}

/// What is drawn.
#[derive(Debug, Clone)]
pub enum Ink {
    /// Beads, words, lines.
    Items(Vec<Item>),
    /// One of the document's pictures by its place, in a rectangle.
    Picture(usize, Place),
    /// A rectangle to tap that leads elsewhere in the document; nothing is drawn.
    Link(Link),
}

/// Where a picture stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Its upper left corner.
    pub corner: Point,
    /// From left to right.
    pub width: Mm,
    /// From top to bottom.
    pub height: Mm,
}

/// Where a tap leads.
#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    /// Where it can be tapped.
    pub within: Place,
    /// The page that it leads to, from 0.
    pub page: usize,
    /// What is there.
    pub words: String,
}

/// Something that is read.
#[derive(Debug, Clone)]
pub struct Element {
    /// What it is.
    pub role: Role,
    /// What it is part of; none is the document itself.
    pub parent: Option<usize>,
}

/// What an element is.
#[derive(Debug, Clone, PartialEq)]
pub enum Role {
    /// A chapter.
    Section,
    /// A heading of a level, from 1, with its words.
    Heading(u16, String),
    /// A paragraph.
    Paragraph,
    /// A list of items.
    List,
    /// An item, of a label and a body.
    Item,
    /// What an item begins with.
    Label,
    /// What an item says.
    Body,
    /// A table of rows.
    Table,
    /// A row of cells.
    Row,
    /// The head of a column.
    ColumnHead,
    /// The head of a row.
    RowHead,
    /// A cell.
    Cell,
    /// Words that lead elsewhere.
    Link,
    /// A drawing, with what it shows for those who cannot see it.
    Figure(String),
}

/// A place to jump to.
#[derive(Debug, Clone)]
pub struct Bookmark {
    /// What is there.
    pub words: String,
    /// The page, from 0.
    pub page: usize,
    /// From the page's upper edge.
    pub top: Mm,
}
