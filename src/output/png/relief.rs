//! Shaded beads in pixels: the same gradients and shadows as in SVG.

use crate::scene::{Relief, Scene, Shape};
use crate::units::Mm;
use resvg::tiny_skia::{
    Color, FillRule, GradientStop, LinearGradient, Paint, Path, PathBuilder, PixmapMut, Point,
    SpreadMode, Transform,
};

/// Brushes and shapes of one kind of bead.
pub(super) struct Stamps {
    sheens: Vec<Option<Paint<'static>>>,
    rim: Option<Paint<'static>>,
    hole: Paint<'static>,
    holes: Option<Path>,
}

impl Stamps {
    pub(super) fn new(scene: &Scene, shape: &Shape, relief: &Relief, scale: f64) -> Self {
        let pixels = |mm: Mm| (mm.get() * scale) as f32;
        let (width, height) = (pixels(shape.width), pixels(shape.height));
        let sheen = |paint: &crate::scene::Paint| {
            let stops = paint.sheen.iter().map(|stop| {
                let c = stop.colour;
                let colour = Color::from_rgba8(c.red, c.green, c.blue, 255);
                GradientStop::new(stop.at as f32, colour)
            });
            gradient(Point::from_xy(0.0, height), stops.collect())
        };
        let shadow = |at: f64, cover: f64| {
            let cover = Color::from_rgba(0.0, 0.0, 0.0, cover as f32).unwrap_or(Color::BLACK);
            GradientStop::new(at as f32, cover)
        };
        let edge = relief.rim / shape.width;
        let rim = vec![
            shadow(0.0, relief.rim_cover),
            shadow(edge, 0.0),
            shadow(1.0 - edge, 0.0),
            shadow(1.0, relief.rim_cover),
        ];
        let mut hole = Paint::default();
        hole.set_color(
            Color::from_rgba(0.0, 0.0, 0.0, relief.hole_cover as f32).unwrap_or(Color::BLACK),
        );
        Self {
            sheens: scene.paints.iter().map(sheen).collect(),
            rim: gradient(Point::from_xy(width, 0.0), rim),
            hole,
            holes: holes(shape, relief, scale),
        }
    }

    /// Paints one bead, its upper left corner moved to a place.
    pub(super) fn stamp(
        &self,
        paint: usize,
        place: Transform,
        body: &Path,
        strip: &mut PixmapMut<'_>,
    ) {
        for brush in [&self.sheens[paint], &self.rim].into_iter().flatten() {
            strip.fill_path(body, brush, FillRule::Winding, place, None);
        }
        if let Some(holes) = &self.holes {
            strip.fill_path(holes, &self.hole, FillRule::Winding, place, None);
        }
    }
}

/// A brush from 0 to `end`, in the coordinates of the path it fills.
fn gradient(end: Point, stops: Vec<GradientStop>) -> Option<Paint<'static>> {
    let shader = LinearGradient::new(
        Point::from_xy(0.0, 0.0),
        end,
        stops,
        SpreadMode::Pad,
        Transform::identity(),
    )?;
    Some(Paint {
        shader,
        ..Paint::default()
    })
}

/// Half an ellipse at either end.
fn holes(shape: &Shape, relief: &Relief, scale: f64) -> Option<Path> {
    /// Control point of a quarter circle: 4/3 (sqrt 2 - 1), the usual cubic approximation.
    const QUARTER: f32 = 0.552_284_8;
    let pixels = |mm: Mm| (mm.get() * scale) as f32;
    let (width, height) = (pixels(shape.width), pixels(shape.height));
    let (deep, bore) = (pixels(relief.hole_depth), pixels(relief.hole_height));
    let (upper, middle, lower) = ((height - bore) / 2.0, height / 2.0, (height + bore) / 2.0);
    let (k, half) = (deep * QUARTER, bore / 2.0 * QUARTER);
    let mut path = PathBuilder::new();
    for (edge, inward) in [(0.0, 1.0), (width, -1.0)] {
        path.move_to(edge, upper);
        path.cubic_to(
            edge + k * inward,
            upper,
            edge + deep * inward,
            middle - half,
            edge + deep * inward,
            middle,
        );
        path.cubic_to(
            edge + deep * inward,
            middle + half,
            edge + k * inward,
            lower,
            edge,
            lower,
        );
        path.close();
    }
    path.finish()
}
