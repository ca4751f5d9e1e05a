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

use super::booklet::{Document, Ink, Link};
use crate::error::{Error, Result};
use crate::units::{INCH, Mm};
use draw::Painter;
use krilla::annotation::{Annotation, LinkAnnotation, Target};
use krilla::configure::{Accessibility, Configuration, ConfigurationBuilder, PdfVersion};
use krilla::destination::XyzDestination;
use krilla::geom::{Point, Rect};
use krilla::image::Image;
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
    let pictures = document.pictures.iter().map(picture::image);
    let pictures: Vec<Image> = pictures.collect::<Result<_>>()?;
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
        let mut links = Vec::new();
        for mark in &page.marks {
            if let Ink::Link(link) = &mark.ink {
                links.push((mark.of, link));
                continue;
            }
            let tag = match mark.of {
                Some(_) => ContentTag::Other,
                None => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
            };
            let identifier = surface.start_tagged(tag);
            let mut painter = Painter::new(&mut surface, document, &mut typeface);
            match &mark.ink {
                Ink::Items(items) => painter.items(items),
                Ink::Picture(at, place) => painter.picture(&pictures[*at], *place),
                Ink::Link(_) => {}
            }
            surface.end_tagged();
            if let Some(of) = mark.of {
                children[of].push(tags::Child::Mark(identifier));
            }
        }
        surface.finish();
        for (of, link) in links {
            let identifier = sheet.add_tagged_annotation(annotation(link)?);
            if let Some(of) = of {
                children[of].push(tags::Child::Mark(identifier));
            }
        }
        sheet.finish();
    }
    pdf.set_tag_tree(tags::tree(document, children));
    pdf.set_outline(outline(document));
    pdf.finish()
        .map_err(|cause| internal(&format!("{cause:?}")))
}

/// PDF/UA-1 in PDF 1.5: ISO 14289-1, 6.1 takes any version to 1.7. From 1.6 the library writes
/// `Suspects false`, which is the default anyway, and for which poppler prints a syntax error.
fn accessible() -> Result<Configuration> {
    ConfigurationBuilder::new()
        .with_version(PdfVersion::Pdf15)
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|cause| internal(&format!("{cause:?}")))
}

/// A link, with words for those who cannot see where it leads.
fn annotation(link: &Link) -> Result<Annotation> {
    let place = link.within;
    let (left, top) = (points(place.corner.x), points(place.corner.y));
    let within = Rect::from_xywh(left, top, points(place.width), points(place.height))
        .ok_or_else(|| internal("a link has no size"))?;
    let there = XyzDestination::new(link.page, Point::from_xy(0.0, 0.0));
    let target = Target::Destination(there.into());
    let words = Some(link.words.clone());
    Ok(Annotation::new_link(
        LinkAnnotation::new(within, target),
        words,
    ))
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
