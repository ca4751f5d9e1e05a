//! The contact sheet of colourways: one PNG, or pages as PDF.

use super::contrast;
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::error::{Error, Result};
use crate::output::booklet::{Bookmark, Document, Element, Ink, Mark, PAPERS, Page, Place, Role};
use crate::output::pdf::pdf;
use crate::output::png::{encoded, paint_beads, paint_words, paste, pixels_per_metre};
use crate::output::ring_picture::front_picture;
use crate::picture::Pixels;
use crate::report::ways::WaysReport;
use crate::scene::{PageSize, Scene, SheetMark, WayCard, WaysSheet, clean, ways_sheet};
use crate::units::Mm;
use rayon::prelude::*;
use resvg::tiny_skia::{Color, Pixmap};

/// Dots per inch: sharp on a phone and in print at this size, and small enough to send. Ours.
const DENSITY: f64 = 200.0;

/// The contact sheet of colourways, before it is a file.
pub struct ContactSheet<'a> {
    title: String,
    facts: String,
    cards: Vec<WayCard<'a>>,
    /// The picture of each ring; none of a strip.
    rings: Vec<Option<Pixels>>,
}

impl<'a> ContactSheet<'a> {
    /// Of colourways, whose charts are in their order, below the design's title.
    ///
    /// # Errors
    /// If a ring cannot be drawn.
    pub fn new(report: &WaysReport, title: String, charts: &'a [Chart]) -> Result<Self> {
        let ways = report.ways.iter().zip(charts);
        let cards = ways.map(|(way, chart)| WayCard {
            chart,
            name: way.name.clone().unwrap_or_default(),
            facts: contrast(way.contrast).into_iter().collect(),
        });
        let mut sheet = Self {
            title,
            facts: facts(report, charts),
            cards: cards.collect(),
            rings: Vec::new(),
        };
        sheet.rings = rings(&sheet.laid(None), charts)?;
        Ok(sheet)
    }

    fn laid(&self, page: Option<PageSize>) -> WaysSheet {
        ways_sheet(&self.title, &self.facts, &self.cards, page)
    }

    /// As one picture, as long as it must be.
    ///
    /// # Errors
    /// If it is too large for a picture.
    pub fn png(&self) -> Result<Vec<u8>> {
        picture(&self.title, &self.laid(None), &self.rings)
    }

    /// As pages.
    ///
    /// # Errors
    /// If they cannot be written; a fault of the program.
    pub fn pdf(&self) -> Result<Vec<u8>> {
        let paper = PAPERS[0];
        let pages = self.laid(Some(PageSize {
            width: paper.width,
            height: paper.height,
        }));
        pdf(&document(&self.title, &self.facts, pages, &self.rings))
    }
}

fn facts(report: &WaysReport, charts: &[Chart]) -> String {
    let count = match charts.len() {
        1 => "1 colourway".to_string(),
        more => format!("{more} colourways"),
    };
    let band = charts.first().map(|chart| {
        let lattice = &chart.lattice;
        format!("{} columns by {} rows", lattice.columns(), lattice.rows())
    });
    let design = report.contrast;
    let design =
        design.map(|ratio| format!("motif on ground in the design: contrast {ratio:.1} to 1"));
    let all: Vec<String> = [Some(count), band, design].into_iter().flatten().collect();
    all.join("; ")
}

/// The picture of each ring, by card.
fn rings(sheet: &WaysSheet, charts: &[Chart]) -> Result<Vec<Option<Pixels>>> {
    let side = |at: usize| {
        sheet
            .pages
            .iter()
            .flatten()
            .find_map(|part| match part.mark {
                SheetMark::Ring { card, side, .. } if card == at => Some(side),
                _ => None,
            })
    };
    let ring = |(at, chart): (usize, &Chart)| {
        let side = side(at).map(pixels);
        side.map(|side| front_picture(chart, side as usize))
            .transpose()
    };
    charts.par_iter().enumerate().map(ring).collect()
}

fn scale() -> f64 {
    (DENSITY / crate::units::INCH * 1000.0).round() / 1000.0
}

/// A length in pixels of the picture.
fn pixels(mm: Mm) -> u32 {
    (mm.get() * scale() - 1e-6).ceil().max(1.0) as u32
}

fn picture(title: &str, sheet: &WaysSheet, rings: &[Option<Pixels>]) -> Result<Vec<u8>> {
    let parts = || sheet.pages.iter().flatten();
    let scene = Scene {
        width: sheet.width,
        height: sheet.height,
        backdrop: Some(Srgb8::new(255, 255, 255)),
        title: clean(title),
        description: String::new(),
        paints: sheet.paints.clone(),
        items: parts().flat_map(|part| part.items.clone()).collect(),
    };
    let per_metre = pixels_per_metre(&scene, Some(DENSITY))?;
    let scale = f64::from(per_metre) / 1000.0;
    let too_large = || Error::new("the contact sheet is too large for a picture");
    let mut pixmap =
        Pixmap::new(pixels(scene.width), pixels(scene.height)).ok_or_else(too_large)?;
    pixmap.fill(Color::WHITE);
    for part in parts() {
        if let SheetMark::Ring { card, corner, .. } = part.mark
            && let Some(ring) = &rings[card]
        {
            let start = |mm: Mm| (mm.get() * scale).round() as usize;
            paste(&mut pixmap, ring, start(corner.x), start(corner.y));
        }
    }
    paint_beads(&scene, scale, &mut pixmap);
    paint_words(&scene, scale, &mut pixmap)?;
    encoded(&pixmap, true, per_metre)
}

fn document(title: &str, facts: &str, sheet: WaysSheet, rings: &[Option<Pixels>]) -> Document {
    let mut document = Document {
        paper: PAPERS[0],
        title: clean(title),
        author: None,
        subject: clean(facts),
        paints: sheet.paints,
        pictures: Vec::new(),
        pages: Vec::new(),
        elements: Vec::new(),
        bookmarks: Vec::new(),
    };
    let mut place = Vec::with_capacity(rings.len());
    for ring in rings {
        place.push(document.pictures.len());
        document.pictures.extend(ring.clone());
    }
    for (page, parts) in sheet.pages.into_iter().enumerate() {
        let mut marks = Vec::with_capacity(parts.len());
        let mut name = String::new();
        for part in parts {
            if let SheetMark::Name(words) = &part.mark {
                name.clone_from(words);
            }
            if let SheetMark::Title(words) = &part.mark {
                document.bookmarks.push(Bookmark {
                    words: words.clone(),
                    page,
                    top: Mm::new(0.0),
                });
            }
            let ink = match &part.mark {
                SheetMark::Ring { card, corner, side } => Ink::Picture(
                    place[*card],
                    Place {
                        corner: *corner,
                        width: *side,
                        height: *side,
                    },
                ),
                _ => Ink::Items(part.items),
            };
            marks.push(Mark {
                of: Some(document.elements.len()),
                ink,
            });
            document.elements.push(Element {
                role: role(part.mark, &name),
                parent: None,
            });
        }
        document.pages.push(Page {
            marks,
            design: None,
        });
    }
    document
}

fn role(mark: SheetMark, name: &str) -> Role {
    match mark {
        SheetMark::Title(words) => Role::Heading(1, words),
        SheetMark::Name(words) => Role::Heading(2, words),
        SheetMark::Words => Role::Paragraph,
        SheetMark::Drawing(shows) => Role::Figure(shows),
        SheetMark::Ring { .. } => Role::Figure(format!("{name}: the ring as it will look.")),
    }
}
