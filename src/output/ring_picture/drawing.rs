//! The ring's picture as its request says: still, or a loop.

use super::{LoopFormat, animate, encode_loop, encode_still};
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::error::{Error, Result};
use crate::output::DENSITY;
use crate::render::{Pose, RingScene};
use crate::request::{
    Density, DrawingRequest, FRAMES, LoopRequest, PIXELS, PixelSide, RingViewRequest, Scale,
};
use crate::units::{INCH, Mm, decimals};

/// Pixels a side of a still where none are given.
const STILL_PIXELS: u32 = 1200;
/// Pixels a side of a loop where none are given.
const LOOP_PIXELS: u32 = 480;

/// A picture of the ring.
#[derive(Debug, Clone)]
pub struct RingDrawing {
    lying: bool,
    roll: f64,
    /// None leaves it to the pose.
    tilt: Option<f64>,
    backdrop: Option<Srgb8>,
    size: Size,
    form: Form,
}

#[derive(Debug, Clone, Copy)]
enum Form {
    Still,
    Loop { format: LoopFormat, frames: u32 },
}

/// The sizes that are given; the rest follows.
#[derive(Debug, Clone, Copy)]
struct Size {
    pixels: Option<PixelSide>,
    scale: Option<Scale>,
    density: Option<Density>,
    usual: u32,
}

impl RingDrawing {
    /// A PNG.
    ///
    /// # Errors
    /// If pixels, scale and density are all given.
    pub fn still(drawing: &DrawingRequest, view: &RingViewRequest) -> Result<Self> {
        let size = Size::new(drawing, view, STILL_PIXELS)?;
        Ok(Self::new(view, drawing.backdrop(), size, Form::Still))
    }

    /// A loop.
    ///
    /// # Errors
    /// As [`RingDrawing::still`], or if the backdrop is transparent.
    pub fn turntable(
        drawing: &DrawingRequest,
        view: &RingViewRequest,
        frames: LoopRequest,
        format: LoopFormat,
    ) -> Result<Self> {
        let backdrop = drawing.opaque_backdrop("a turntable")?;
        let size = Size::new(drawing, view, LOOP_PIXELS)?;
        let frames = frames.frames.map_or(FRAMES, |frames| frames.0);
        let form = Form::Loop { format, frames };
        Ok(Self::new(view, Some(backdrop), size, form))
    }

    fn new(view: &RingViewRequest, backdrop: Option<Srgb8>, size: Size, form: Form) -> Self {
        Self {
            lying: view.lying,
            roll: view.roll.map_or(0.0, |roll| roll.0),
            tilt: view.tilt.map(|tilt| tilt.0),
            backdrop,
            size,
            form,
        }
    }

    /// Pictures that are rendered for it.
    pub fn frames(&self) -> usize {
        match self.form {
            Form::Still => 1,
            Form::Loop { frames, .. } => frames as usize,
        }
    }

    /// Its bytes; `rendered` is called after each frame of a loop.
    ///
    /// # Errors
    /// If the band is not closed, or the picture is too large.
    pub fn draw(&self, chart: &Chart, rendered: impl Fn() + Sync) -> Result<Vec<u8>> {
        let mut pose = if self.lying {
            Pose::lying(chart)
        } else {
            Pose::default()
        };
        pose.tilt = self.tilt.unwrap_or(pose.tilt);
        let scene = RingScene::new(chart, &pose, self.backdrop)?;
        let (pixels, per_metre) = self.size.settle(scene.frame().side, chart)?;
        let roll = self.roll;
        match self.form {
            Form::Still => encode_still(
                &scene.render(roll, pixels),
                self.backdrop.is_none(),
                per_metre,
            ),
            Form::Loop { format, frames } => {
                let step = 360.0 / f64::from(frames);
                let animation = animate(frames, |at| {
                    let picture = scene.render(roll + f64::from(at) * step, pixels);
                    rendered();
                    picture
                });
                encode_loop(&animation, format, per_metre)
            }
        }
    }
}

impl Size {
    fn new(drawing: &DrawingRequest, view: &RingViewRequest, usual: u32) -> Result<Self> {
        view.check(drawing)?;
        Ok(Self {
            pixels: view.pixels,
            scale: drawing.scale,
            density: drawing.density,
            usual,
        })
    }

    /// Pixels a side, and pixels in a metre, of a picture that shows `side` of the world.
    fn settle(&self, side: Mm, chart: &Chart) -> Result<(usize, u32)> {
        let times = self.scale.map(|scale| match scale {
            Scale::Reading => 1.0,
            other => other.times(chart),
        });
        let per_mm = self.density.map_or(DENSITY, |density| density.0) / INCH;
        let given = self.pixels.map(|pixels| f64::from(pixels.0));
        let (pixels, per_mm) = match (given, times) {
            (None, None) => (f64::from(self.usual), per_mm),
            (Some(pixels), None) => (pixels, per_mm),
            (Some(pixels), Some(times)) => (pixels, pixels / (side.get() * times)),
            (None, Some(times)) => {
                let pixels = (side.get() * times * per_mm).round();
                within(pixels)?;
                (pixels, pixels / (side.get() * times))
            }
        };
        Ok((pixels as usize, (per_mm * 1000.0).round() as u32))
    }
}

fn within(pixels: f64) -> Result<()> {
    let (least, most) = PIXELS;
    if (f64::from(least)..=f64::from(most)).contains(&pixels) {
        return Ok(());
    }
    Err(Error::usage(format!(
        "a picture of {} pixels a side is out of range",
        decimals(pixels, 0)
    ))
    .option("scale")
    .hint(format!("keep to {least} to {most} pixels")))
}
