//! Items of a scene drawn onto a page.

use super::points;
use super::text::Typeface;
use crate::colour::Srgb8;
use crate::output::booklet::{Document, Place};
use crate::scene::{self, Anchor, Beads, Item, Line, Path, PathStep, Shape, Text};
use crate::units::Mm;
use krilla::color::rgb;
use krilla::geom::{Path as Outline, PathBuilder, Point, Size, Transform};
use krilla::image::Image;
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;

/// Control point of a quarter circle: 4/3 (sqrt 2 - 1), the usual cubic approximation.
const QUARTER: f64 = 0.552_284_8;

/// Draws items onto one page.
pub(super) struct Painter<'a, 'b> {
    surface: &'a mut Surface<'b>,
    document: &'a Document,
    typeface: &'a mut Typeface,
}

fn fill(colour: Srgb8) -> Fill {
    Fill {
        paint: rgb::Color::new(colour.red, colour.green, colour.blue).into(),
        opacity: NormalizedF32::ONE,
        rule: FillRule::NonZero,
    }
}

fn stroke(colour: Srgb8, thickness: Mm) -> Stroke {
    Stroke {
        paint: rgb::Color::new(colour.red, colour.green, colour.blue).into(),
        width: points(thickness),
        ..Stroke::default()
    }
}

impl<'a, 'b> Painter<'a, 'b> {
    pub(super) fn new(
        surface: &'a mut Surface<'b>,
        document: &'a Document,
        typeface: &'a mut Typeface,
    ) -> Self {
        Self {
            surface,
            document,
            typeface,
        }
    }

    pub(super) fn items(&mut self, items: &[Item]) {
        for item in items {
            match item {
                Item::Beads(beads) => self.beads(beads),
                Item::Line(line) => self.line(line),
                Item::Text(text) => self.text(text),
                Item::Path(path) => self.path(path),
                Item::Group(group) => self.items(&group.items),
            }
        }
    }

    pub(super) fn picture(&mut self, image: &Image, place: Place) {
        let Some(size) = Size::from_wh(points(place.width), points(place.height)) else {
            return;
        };
        let place = Transform::from_translate(points(place.corner.x), points(place.corner.y));
        self.surface.push_transform(&place);
        self.surface.draw_image(image.clone(), size);
        self.surface.pop();
    }

    /// One outline for all beads of a shape, moved to each position: repeated drawing commands
    /// compress well.
    fn beads(&mut self, beads: &Beads) {
        let shape = &beads.shape;
        let inner = Shape {
            width: shape.width - shape.outline,
            height: shape.height - shape.outline,
            corner: shape.corner - shape.outline / 2.0,
            ..*shape
        };
        let half = shape.outline / 2.0;
        let (Some(whole), Some(lined)) = (rounded(shape, Mm::new(0.0)), rounded(&inner, half))
        else {
            return;
        };
        let paints = &self.document.paints;
        for (at, paint) in paints.iter().enumerate() {
            let mut placed = beads
                .placed
                .iter()
                .filter(|bead| usize::from(bead.paint) == at)
                .peekable();
            if placed.peek().is_none() {
                continue;
            }
            let outline = match paint.outline {
                Some(colour) => {
                    self.surface.set_stroke(Some(stroke(colour, shape.outline)));
                    &lined
                }
                None => {
                    self.surface.set_stroke(None);
                    &whole
                }
            };
            self.surface.set_fill(Some(fill(paint.shade.srgb)));
            for bead in placed {
                let place = Transform::from_translate(points(bead.left), points(bead.top));
                self.surface.push_transform(&place);
                self.surface.draw_path(outline);
                self.surface.pop();
            }
        }
        self.surface.set_stroke(None);
    }

    fn line(&mut self, line: &Line) {
        let mut path = PathBuilder::new();
        path.move_to(points(line.from.x), points(line.from.y));
        path.line_to(points(line.to.x), points(line.to.y));
        if let Some(path) = path.finish() {
            self.surface.set_fill(None);
            self.surface
                .set_stroke(Some(stroke(line.colour, line.thickness)));
            self.surface.draw_path(&path);
            self.surface.set_stroke(None);
        }
    }

    /// Drawn from its first point, so that equal outlines at different positions are written alike.
    fn path(&mut self, path: &Path) {
        let Some(PathStep::Move(origin)) = path.steps.first().copied() else {
            return;
        };
        let x = |at: &scene::Point| points(at.x - origin.x);
        let y = |at: &scene::Point| points(at.y - origin.y);
        let mut out = PathBuilder::new();
        for step in &path.steps {
            match step {
                PathStep::Move(to) => out.move_to(x(to), y(to)),
                PathStep::Line(to) => out.line_to(x(to), y(to)),
                PathStep::Curve(one, two, to) => {
                    out.cubic_to(x(one), y(one), x(two), y(two), x(to), y(to));
                }
                PathStep::Close => out.close(),
            }
        }
        let Some(out) = out.finish() else { return };
        self.surface.set_fill(path.fill.map(fill));
        self.surface.set_stroke(path.stroke.map(|line| Stroke {
            line_cap: LineCap::Round,
            line_join: LineJoin::Round,
            dash: line.dash.map(|dash| StrokeDash {
                array: vec![points(dash), points(dash)],
                offset: 0.0,
            }),
            ..stroke(line.colour, line.thickness)
        }));
        let place = Transform::from_translate(points(origin.x), points(origin.y));
        self.surface.push_transform(&place);
        self.surface.draw_path(&out);
        self.surface.pop();
        self.surface.set_stroke(None);
    }

    fn text(&mut self, text: &Text) {
        let (font, shaped) = self.typeface.shape(&text.words, text.weight, text.figures);
        if shaped.glyphs.is_empty() {
            return;
        }
        let size = points(text.size);
        let back = match text.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => shaped.width * size / 2.0,
            Anchor::End => shaped.width * size,
        };
        let at = Point::from_xy(points(text.x) - back, points(text.baseline));
        self.surface.set_stroke(None);
        self.surface.set_fill(Some(fill(text.colour)));
        self.surface
            .draw_glyphs(at, &shaped.glyphs, font, &text.words, size, false);
    }
}

/// A rectangle with round corners, its upper left corner as far in and down as `inset` says.
fn rounded(shape: &Shape, inset: Mm) -> Option<Outline> {
    let (left, top) = (points(inset), points(inset));
    let (w, h) = (points(inset + shape.width), points(inset + shape.height));
    let radius = if shape.corner.get() > 0.0 {
        shape.corner
    } else {
        Mm::new(0.0)
    };
    let (r, k) = (points(radius), points(radius * (1.0 - QUARTER)));
    let mut path = PathBuilder::new();
    path.move_to(left + r, top);
    path.line_to(w - r, top);
    path.cubic_to(w - k, top, w, top + k, w, top + r);
    path.line_to(w, h - r);
    path.cubic_to(w, h - k, w - k, h, w - r, h);
    path.line_to(left + r, h);
    path.cubic_to(left + k, h, left, h - k, left, h - r);
    path.line_to(left, top + r);
    path.cubic_to(left, top + k, left + k, top, left + r, top);
    path.close();
    path.finish()
}
