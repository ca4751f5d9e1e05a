//! A chart as a picture, as its request says: the flat chart, and the band as it looks from a
//! distance.

use super::{Kind, Picture, png, seen, svg};
use crate::cancel::Cancel;
use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::request::{BeadStyleRequest, DrawingRequest, Scale, SeenRequest};
use crate::scene::{FlatOptions, VIEWING_DISTANCES, ViewingOptions, draw_from_distances, flat};

/// The flat chart.
#[derive(Debug, Clone, Copy)]
pub struct FlatDrawing {
    kind: Kind,
    density: Option<f64>,
    options: FlatOptions,
}

impl FlatDrawing {
    /// As the requests say.
    ///
    /// # Errors
    /// If a density is given for an SVG, which has no pixels.
    pub fn new(kind: Kind, drawing: &DrawingRequest, beads: BeadStyleRequest) -> Result<Self> {
        if kind == Kind::Svg && drawing.density.is_some() {
            return Err(Error::usage("an SVG has no pixels")
                .option("density")
                .hint("leave it out, or draw a PNG"));
        }
        Ok(Self {
            kind,
            density: drawing.density(),
            options: FlatOptions {
                scale: drawing.scale.unwrap_or_default(),
                backdrop: drawing.backdrop(),
                beads: beads.beads,
                lettered: beads.lettered || beads.blank_ground,
                blank_ground: beads.blank_ground,
            },
        })
    }

    /// The chart's bytes; `fewer_dots` is told the density where it is below the usual one.
    ///
    /// # Errors
    /// If the picture is too large.
    pub fn draw(&self, chart: &Chart, fewer_dots: impl Fn(f64)) -> Result<Vec<u8>> {
        let scene = flat(chart, &self.options);
        if self.kind == Kind::Svg {
            return Ok(svg(&scene).into_bytes());
        }
        let picture = png(&scene, self.density)?;
        Ok(told(picture, self.density, fewer_dots))
    }
}

/// The band as it looks from some distances.
#[derive(Debug, Clone)]
pub struct SeenDrawing {
    density: Option<f64>,
    scale: Scale,
    options: ViewingOptions,
}

impl SeenDrawing {
    /// As the requests say.
    ///
    /// # Errors
    /// If the backdrop is transparent.
    pub fn new(drawing: &DrawingRequest, from: &SeenRequest) -> Result<Self> {
        Ok(Self {
            density: drawing.density(),
            scale: drawing.scale.unwrap_or(Scale::True),
            options: ViewingOptions {
                distances: match &from.seen {
                    Some(distances) => distances.0.clone(),
                    None => VIEWING_DISTANCES.to_vec(),
                },
                times: 1.0,
                backdrop: drawing.opaque_backdrop("a band seen from a distance")?,
                bare: false,
            },
        })
    }

    /// The same without words.
    pub fn bare(mut self) -> Self {
        self.options.bare = true;
        self
    }

    /// The picture, a PNG; `fewer_dots` is told the density where it is below the usual one.
    ///
    /// # Errors
    /// If it is too large, or cancelled.
    pub fn draw(
        &self,
        chart: &Chart,
        cancel: &Cancel,
        fewer_dots: impl Fn(f64),
    ) -> Result<Vec<u8>> {
        let options = ViewingOptions {
            times: self.scale.times(chart),
            ..self.options.clone()
        };
        let (scene, panels) = draw_from_distances(chart, &options);
        let picture = seen(&scene, &panels, options.times, self.density, cancel)?;
        Ok(told(picture, self.density, fewer_dots))
    }
}

fn told(picture: Picture, asked: Option<f64>, fewer_dots: impl Fn(f64)) -> Vec<u8> {
    if asked.is_none() && picture.density() < super::DENSITY - 1.0 {
        fewer_dots(picture.density());
    }
    picture.bytes
}
