//! The band as it is seen from afar.

use super::{opaque, scale};
use crate::cancel::Cancel;
use crate::chart::Chart;
use crate::error::Result;
use crate::output::{Picture, seen};
use crate::scene::{SEEN, Scale, SeenOptions, distances, seen as scene};

/// The band at some distances.
#[derive(Debug, Clone)]
pub struct Far {
    density: Option<f64>,
    options: SeenOptions,
    scale: Scale,
    cancel: Cancel,
}

impl Far {
    /// From the distances of `--seen`, if any were typed, and `--scale`, `--ground` and `--density`.
    ///
    /// # Errors
    /// If one of them cannot be read.
    pub fn new(
        from: Option<&str>,
        times: Option<&str>,
        on: Option<&str>,
        density: Option<f64>,
    ) -> Result<Self> {
        let from = from.map(distances).transpose();
        Ok(Self {
            density,
            options: SeenOptions {
                distances: from
                    .map_err(|error| error.option("--seen"))?
                    .unwrap_or(SEEN.to_vec()),
                times: 1.0,
                ground: opaque(on, "a band that is seen from afar")?,
                bare: false,
            },
            scale: scale(times)?.unwrap_or(Scale::True),
            cancel: Cancel::default(),
        })
    }

    /// The same as long as somebody waits.
    pub fn cancelled_by(mut self, cancel: Cancel) -> Self {
        self.cancel = cancel;
        self
    }

    /// The same without words.
    pub fn bare(mut self) -> Self {
        self.options.bare = true;
        self
    }

    /// The picture, a PNG.
    ///
    /// # Errors
    /// If it is too large.
    pub fn drawn(&self, chart: &Chart) -> Result<Picture> {
        let options = SeenOptions {
            times: self.scale.times(chart),
            ..self.options.clone()
        };
        let (scene, panels) = scene(chart, &options);
        seen(&scene, &panels, options.times, self.density, &self.cancel)
    }
}
