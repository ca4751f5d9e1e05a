//! A laid out document as PDF: real text in the embedded typeface, vectors, tags in reading order,
//! title and author.
//!
//! Written to PDF/UA-1 (ISO 14289-1) as far as a program can check it: everything on a page is
//! tagged or decoration, drawings say what they show, the language is stated, the title is shown.
//! The same document gives the same bytes: there is no date in it.

mod draw;
mod picture;
mod tags;
mod text;

use super::booklet::{Document, Ink};
use crate::error::{Error, Result};
use crate::units::{INCH, Mm};
use draw::Painter;
use krilla::configure::{Accessibility, Configuration, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::geom::Point;
use krilla::metadata::Metadata;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::tagging::{Artifact, ArtifactType, ContentTag};
use krilla::{Document as Pdf, SerializeSettings};
use text::Typeface;

/// Points in a millimetre: 72 an inch.
const POINTS: f64 = 72.0 / INCH;

/// A length in points, to the hundredth, so that equal things are written alike.
fn points(mm: Mm) -> f32 {
    ((mm.get() * POINTS * 100.0).round() / 100.0) as f32
}

/// Writes `document`.
///
/// # Errors
/// If it cannot be written as a tagged PDF; a fault of the program.
pub fn pdf(document: &Document) -> Result<Vec<u8>> {
    let mut pdf = Pdf::new_with(SerializeSettings {
        configuration: accessible()?,
        ..SerializeSettings::default()
    });
    pdf.set_metadata(metadata(document));
    let mut typeface = Typeface::new()?;
    let picture = document.picture.as_ref().map(picture::image).transpose()?;
    let (width, height) = (document.paper.width, document.paper.height);
    let size = || {
        PageSettings::from_wh(
            (width.get() * POINTS) as f32,
            (height.get() * POINTS) as f32,
        )
    };
    let mut children: Vec<Vec<tags::Child>> = tags::children(document);
    for page in &document.pages {
        let settings = size().ok_or_else(|| internal("the paper has no size"))?;
        let mut sheet = pdf.start_page_with(settings);
        let mut surface = sheet.surface();
        for mark in &page.marks {
            let tag = match mark.of {
                Some(_) => ContentTag::Other,
                None => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
            };
            let identifier = surface.start_tagged(tag);
            let mut painter = Painter::new(&mut surface, document, &mut typeface);
            match (&mark.ink, &picture) {
                (Ink::Items(items), _) => painter.items(items),
                (Ink::Picture(place), Some(image)) => painter.picture(image, *place),
                (Ink::Picture(_), None) => {}
            }
            surface.end_tagged();
            if let Some(of) = mark.of {
                children[of].push(tags::Child::Mark(identifier));
            }
        }
        surface.finish();
        sheet.finish();
    }
    pdf.set_tag_tree(tags::tree(document, children));
    pdf.set_outline(outline(document));
    pdf.finish()
        .map_err(|cause| internal(&format!("{cause:?}")))
}

fn accessible() -> Result<Configuration> {
    ConfigurationBuilder::new()
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|cause| internal(&format!("{cause:?}")))
}

/// An error that no input should lead to.
fn internal(why: &str) -> Error {
    Error::new(format!("the PDF could not be written: {why}"))
        .hint("this is a fault of the program; send its maker the chart")
}

fn metadata(document: &Document) -> Metadata {
    let metadata = Metadata::new()
        .title(document.title.clone())
        .description(document.subject.clone())
        .language("en".to_string())
        .creator(format!("upbead {}", env!("CARGO_PKG_VERSION")))
        .producer(format!("upbead {}", env!("CARGO_PKG_VERSION")));
    match &document.author {
        Some(author) => metadata.authors(vec![author.clone()]),
        None => metadata,
    }
}

fn outline(document: &Document) -> Outline {
    let mut outline = Outline::new();
    for bookmark in &document.bookmarks {
        let place = Point::from_xy(0.0, points(bookmark.top - Mm::new(6.0)));
        let there = XyzDestination::new(bookmark.page, place);
        outline.push_child(OutlineNode::new(bookmark.words.clone(), there));
    }
    outline
}
