//! The closed band as it is pictured, still or turning.

use super::{ground, opaque, scale};
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::error::{Error, Result};
use crate::output::ring_picture::{
    FRAMES, FRAMES_BETWEEN, LoopFormat, animate, encode_loop, encode_still,
};
use crate::output::{DENSITIES, DENSITY};
use crate::render::{Pose, RingScene};
use crate::scene::Scale;
use crate::units::{Mm, decimals};

/// Pixels a side of a still and of a loop where nobody asks for others.
const PIXELS: (u32, u32) = (1200, 480);
/// Fewest and most pixels a side.
const BETWEEN: (u32, u32) = (64, 4096);
/// Millimetres in an inch.
const INCH: f64 = 25.4;

/// What was said of the ring's picture.
#[derive(Debug, Clone, Copy, Default)]
pub struct Worn<'a> {
    /// `--turn`: degrees.
    pub turn: Option<f64>,
    /// `--tilt`: degrees.
    pub tilt: Option<f64>,
    /// `--pixels`.
    pub pixels: Option<u32>,
    /// `--scale`.
    pub scale: Option<&'a str>,
    /// `--density`.
    pub density: Option<f64>,
    /// `--ground`.
    pub ground: Option<&'a str>,
    /// `--frames`, of a loop.
    pub frames: Option<u32>,
}

/// A picture of the ring.
pub struct Round {
    pose: Pose,
    ground: Option<Srgb8>,
    size: Size,
    kind: Kind,
}

enum Kind {
    Still,
    Moving { format: LoopFormat, frames: u32 },
}

/// What was said about the size; the rest follows.
struct Size {
    pixels: Option<u32>,
    times: Option<Scale>,
    density: Option<f64>,
    usual: u32,
}

impl Worn<'_> {
    /// A PNG.
    ///
    /// # Errors
    /// If a figure or word cannot be read or is out of range.
    pub fn still(&self) -> Result<Round> {
        self.round(ground(self.ground)?, PIXELS.0, Kind::Still)
    }

    /// A loop.
    ///
    /// # Errors
    /// As [`Worn::still`], or if the ground is transparent.
    pub fn moving(&self, format: LoopFormat) -> Result<Round> {
        let frames = self.frames.unwrap_or(FRAMES);
        let (least, most) = FRAMES_BETWEEN;
        if !(least..=most).contains(&frames) {
            return Err(Error::usage(format!("{frames} frames make no loop"))
                .option("--frames")
                .hint(format!("give {least} to {most}")));
        }
        let ground = opaque(self.ground, "a loop")?;
        self.round(Some(ground), PIXELS.1, Kind::Moving { format, frames })
    }

    fn round(&self, ground: Option<Srgb8>, usual: u32, kind: Kind) -> Result<Round> {
        let pose = Pose::default();
        let size = Size {
            pixels: self.pixels,
            times: scale(self.scale)?,
            density: self.density,
            usual,
        };
        size.check()?;
        Ok(Round {
            pose: Pose {
                roll: degrees(self.turn, 360.0, "--turn")?.unwrap_or(pose.roll),
                tilt: degrees(self.tilt, 90.0, "--tilt")?.unwrap_or(pose.tilt),
            },
            ground,
            size,
            kind,
        })
    }
}

impl Round {
    /// Pictures that are taken for it.
    pub fn frames(&self) -> usize {
        match self.kind {
            Kind::Still => 1,
            Kind::Moving { frames, .. } => frames as usize,
        }
    }

    /// Its bytes; `taken` is called after each frame of a loop.
    ///
    /// # Errors
    /// If the band is not closed, or the picture is too large.
    pub fn drawn(&self, chart: &Chart, taken: impl Fn() + Sync) -> Result<Vec<u8>> {
        let scene = RingScene::new(chart, self.pose.tilt, self.ground)?;
        let (pixels, per_metre) = self.size.settle(scene.frame().side, chart)?;
        let roll = self.pose.roll;
        match self.kind {
            Kind::Still => encode_still(
                &scene.render(roll, pixels),
                self.ground.is_none(),
                per_metre,
            ),
            Kind::Moving { format, frames } => {
                let step = 360.0 / f64::from(frames);
                let animation = animate(frames, |at| {
                    let picture = scene.render(roll + f64::from(at) * step, pixels);
                    taken();
                    picture
                });
                encode_loop(&animation, format, per_metre)
            }
        }
    }
}

fn degrees(asked: Option<f64>, most: f64, option: &str) -> Result<Option<f64>> {
    match asked {
        Some(asked) if asked.is_nan() || asked.abs() > most => Err(Error::usage(format!(
            "the ring cannot be turned by {} degrees",
            decimals(asked, 2)
        ))
        .option(option)
        .hint(format!("give -{most} to {most}"))),
        other => Ok(other),
    }
}

impl Size {
    fn check(&self) -> Result<()> {
        if self.pixels.is_some() && self.times.is_some() && self.density.is_some() {
            return Err(
                Error::usage("--pixels, --scale and --density cannot all be given")
                    .hint("leave one out; it follows from the other two"),
            );
        }
        let (least, most) = DENSITIES;
        if let Some(density) = self.density
            && !(least..=most).contains(&density)
        {
            return Err(Error::usage(format!(
                "{} dots per inch cannot be drawn",
                decimals(density, 2)
            ))
            .option("--density")
            .hint(format!("give {least} to {most}")));
        }
        self.pixels
            .map_or(Ok(()), |pixels| within(f64::from(pixels), "--pixels"))
    }

    /// Pixels a side, and pixels in a metre, of a picture that shows `side` of the world.
    fn settle(&self, side: Mm, chart: &Chart) -> Result<(usize, u32)> {
        let times = self.times.map(|scale| match scale {
            Scale::Reading => 1.0,
            other => other.times(chart),
        });
        let per_mm = self.density.unwrap_or(DENSITY) / INCH;
        let (pixels, per_mm) = match (self.pixels, times) {
            (None, None) => (f64::from(self.usual), per_mm),
            (Some(pixels), None) => (f64::from(pixels), per_mm),
            (Some(pixels), Some(times)) => {
                (f64::from(pixels), f64::from(pixels) / (side.get() * times))
            }
            (None, Some(times)) => {
                let pixels = (side.get() * times * per_mm).round();
                within(pixels, "--scale")?;
                (pixels, pixels / (side.get() * times))
            }
        };
        Ok((pixels as usize, (per_mm * 1000.0).round() as u32))
    }
}

fn within(pixels: f64, option: &str) -> Result<()> {
    let (least, most) = (f64::from(BETWEEN.0), f64::from(BETWEEN.1));
    match (least..=most).contains(&pixels) {
        true => Ok(()),
        false => Err(Error::usage(format!(
            "a picture of {} pixels a side is not drawn",
            decimals(pixels, 0)
        ))
        .option(option)
        .hint(format!("keep to {least} to {most} pixels"))),
    }
}
