//! How many steps it takes to draw a drawing, and how many pages are held meanwhile, about: both
//! counted before anything is drawn.
//!
//! A step is about a nanosecond. What each thing takes was measured; the limits are ours.

use super::counts::{number, too_much, within};
use crate::error::Result;
use resvg::tiny_skia::{PathSegment, Point, Rect};
use resvg::usvg::filter::{Filter, Kind};
use resvg::usvg::{Group, Node, Path};
use std::collections::HashMap;

/// Most steps in all, in millions.
const MOST_STEPS: u64 = 4_000;
/// Parts of the wanted scale that are tried.
const PARTS: [f64; 5] = [1.0, 0.7, 0.5, 0.35, 0.25];
/// Most octaves of a turbulence: each halves its size, so that later ones show nothing.
const MOST_OCTAVES: u64 = 16;
/// Most primitives of the filters of one element.
const MOST_PRIMITIVES: usize = 100;
/// Steps for a pixel of a layer that is made, filled and put on the page.
const LAYER: f64 = 40.0;
/// Steps for a pixel of a filter's primitive, or of an octave.
const PRIMITIVE: f64 = 60.0;
/// Steps for a pixel of a mask's or a filter's cell.
const CELL: f64 = 3.0;
/// A stroke's outline has about so many times the segments of its path.
const STROKE: f64 = 2.0;

/// The page in pixels, and how many of them a unit of the drawing is.
#[derive(Debug, Clone, Copy)]
pub(super) struct Page {
    pub(super) width: f64,
    pub(super) height: f64,
    pub(super) scale: f64,
}

/// What it takes to draw something.
#[derive(Debug, Clone, Copy, Default)]
struct Load {
    steps: f64,
    /// Pages held at a time, as a share: a layer may be smaller, or up to 25 times as large.
    pages: f64,
}

impl Load {
    fn of_steps(steps: f64) -> Self {
        Self { steps, pages: 0.0 }
    }

    /// One after the other: what the first held is free again.
    fn then(self, next: Self) -> Self {
        Self {
            steps: self.steps + next.steps,
            pages: self.pages.max(next.pages),
        }
    }
}

/// The finest scale, of `most` or a part of it, at which the drawing does not take too many steps.
///
/// # Errors
/// If it takes too many at the coarsest, or a filter has too many parts.
pub(super) fn scale(root: &Group, most: Page) -> Result<f64> {
    let mut millions = 0;
    for part in PARTS {
        let page = Page {
            width: most.width * part,
            height: most.height * part,
            scale: most.scale * part,
        };
        millions = (load(root, page)?.steps / 1e6) as u64;
        if millions <= MOST_STEPS {
            return Ok(page.scale);
        }
    }
    Err(too_much(format!(
        "the SVG takes {} million steps to draw, coarse as it is; at most {} million are allowed",
        number(millions),
        number(MOST_STEPS)
    )))
}

/// How many pages its layers and filters hold at a time.
///
/// # Errors
/// If a filter has too many parts.
pub(super) fn pages(root: &Group, page: Page) -> Result<f64> {
    load(root, page).map(|load| load.pages)
}

fn load(root: &Group, page: Page) -> Result<Load> {
    let known = HashMap::new();
    Work { page, known }.of_group(root)
}

struct Work {
    page: Page,
    /// Of shared parts, which are drawn each time but walked once.
    known: HashMap<*const Group, Load>,
}

impl Work {
    fn of_group(&mut self, group: &Group) -> Result<Load> {
        if let Some(&load) = self.known.get(&std::ptr::from_ref(group)) {
            return Ok(load);
        }
        let area = self.area(group.abs_layer_bounding_box().to_rect());
        let pixels = area.pixels();
        let mut load = Load::default();
        for child in group.children() {
            load = load.then(self.of_node(child)?);
        }
        let effects = group.filters().iter().map(|one| one.primitives().len());
        within(
            effects.sum::<usize>() as u64,
            MOST_PRIMITIVES as u64,
            "filter effects on one element",
        )?;
        for filter in group.filters() {
            load = load.then(self.of_filter(filter, area)?);
        }
        let clip = group.clip_path().map(|clip| clip.root());
        let mask = group.mask().map(|mask| mask.root());
        for root in clip.into_iter().chain(mask) {
            load = load.then(self.of_layer(pixels, root)?);
        }
        if group.should_isolate() {
            load.steps += LAYER * pixels;
            load.pages += self.share(pixels);
        }
        self.known.insert(std::ptr::from_ref(group), load);
        Ok(load)
    }

    fn of_node(&mut self, node: &Node) -> Result<Load> {
        match node {
            Node::Group(group) => self.of_group(group),
            Node::Text(text) => self.of_group(text.flattened()),
            Node::Path(path) => Ok(self.of_path(path).then(self.of_subroots(node)?)),
            Node::Image(image) => {
                let shown = Load::of_steps(LAYER * self.pixels(image.abs_bounding_box()));
                Ok(shown.then(self.of_subroots(node)?))
            }
        }
    }

    /// Patterns and drawings inside.
    fn of_subroots(&mut self, node: &Node) -> Result<Load> {
        let mut roots = Ok(Load::default());
        node.subroots(|root| {
            if let Ok(load) = roots {
                let pixels = self.pixels(root.abs_layer_bounding_box().to_rect());
                roots = self.of_layer(pixels, root).map(|more| load.then(more));
            }
        });
        roots
    }

    /// Something that is drawn on a layer of its own of so many pixels.
    fn of_layer(&mut self, pixels: f64, root: &Group) -> Result<Load> {
        let mut load = self.of_group(root)?;
        load.steps += LAYER * pixels;
        load.pages += self.share(pixels);
        Ok(load)
    }

    /// Pixels filled; and each segment sorted among those that cross its row.
    fn of_path(&self, path: &Path) -> Load {
        let pixels = self.pixels(path.abs_stroke_bounding_box());
        let (mut last, mut start) = (Point::zero(), Point::zero());
        let (mut segments, mut rise) = (0.0, 0.0);
        for segment in path.data().segments() {
            let end = match segment {
                PathSegment::MoveTo(to) => {
                    start = to;
                    last = to;
                    continue;
                }
                PathSegment::LineTo(to)
                | PathSegment::QuadTo(_, to)
                | PathSegment::CubicTo(_, _, to) => to,
                PathSegment::Close => start,
            };
            segments += 1.0;
            rise += f64::from((end.y - last.y).abs());
            last = end;
        }
        let height = f64::from(path.data().bounds().height()).max(f64::MIN_POSITIVE);
        let mut sorting = segments * (1.0 + rise / height);
        if path.stroke().is_some() {
            sorting *= 1.0 + STROKE;
        }
        Load::of_steps(2.0 * (pixels + sorting))
    }

    /// A filter keeps what each of its primitives makes.
    fn of_filter(&mut self, filter: &Filter, area: Area) -> Result<Load> {
        let pixels = area.pixels();
        let mut load = Load::default();
        for primitive in filter.primitives() {
            let each = match primitive.kind() {
                Kind::Turbulence(kind) => {
                    let octaves = u64::from(kind.num_octaves());
                    within(octaves, MOST_OCTAVES, "octaves of turbulence")?;
                    PRIMITIVE * (1 + octaves) as f64
                }
                Kind::Morphology(kind) => {
                    let reach = |radius: f32, side: f64| {
                        (2.0 * f64::from(radius) * self.page.scale + 1.0).min(side)
                    };
                    let across = reach(kind.radius_x().get(), area.across);
                    let down = reach(kind.radius_y().get(), area.down);
                    PRIMITIVE + CELL * across * down
                }
                Kind::ConvolveMatrix(kind) => PRIMITIVE + CELL * kind.matrix().data().len() as f64,
                Kind::Image(image) => {
                    load = load.then(self.of_group(image.root())?);
                    PRIMITIVE
                }
                _ => PRIMITIVE,
            };
            load.steps += each * pixels;
        }
        load.pages += self.share(pixels) * (filter.primitives().len() + 3) as f64;
        Ok(load)
    }

    /// So many pixels as a share of the page.
    fn share(&self, pixels: f64) -> f64 {
        pixels / (self.page.width * self.page.height)
    }

    fn pixels(&self, part: Rect) -> f64 {
        self.area(part).pixels()
    }

    /// A part of the drawing in pixels: what lies far outside the page is not drawn. Layers reach
    /// two pages beyond it.
    fn area(&self, part: Rect) -> Area {
        let scale = self.page.scale;
        let span = |from: f32, to: f32, side: f64| {
            let from = (f64::from(from) * scale).max(-2.0 * side);
            let to = (f64::from(to) * scale).min(3.0 * side);
            (to - from).max(0.0)
        };
        Area {
            across: span(part.left(), part.right(), self.page.width),
            down: span(part.top(), part.bottom(), self.page.height),
        }
    }
}

/// Sides in pixels.
#[derive(Debug, Clone, Copy)]
struct Area {
    across: f64,
    down: f64,
}

impl Area {
    fn pixels(self) -> f64 {
        self.across * self.down
    }
}
