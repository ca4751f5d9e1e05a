//! `upbead show --seen`: the band as it is seen from afar.

use super::{Args, Drawing, ends_in_png, told};
use crate::chart::Chart;
use crate::cli::Manner;
use crate::error::Result;
use crate::faces::seen;
use crate::files::Target;
use crate::scene::{SEEN, Scale, SeenOptions, distances, seen as scene};
use std::path::PathBuf;

/// The band at some distances.
pub(super) struct Far {
    path: PathBuf,
    density: Option<f64>,
    options: SeenOptions,
    scale: Scale,
}

impl Far {
    /// From distances and a name, or a name alone.
    pub(super) fn new(args: &Args, words: &[String]) -> Result<Self> {
        let (distances, path) = match words {
            [far, path] => (
                distances(far).map_err(|error| error.option("--seen"))?,
                path,
            ),
            _ => (SEEN.to_vec(), &words[0]),
        };
        let path = PathBuf::from(path);
        ends_in_png(&path, "--seen")?;
        Ok(Self {
            path,
            density: args.density,
            options: SeenOptions {
                distances,
                times: 1.0,
                ground: args.opaque("a band that is seen from afar")?,
            },
            scale: args.scale()?.unwrap_or(Scale::True),
        })
    }
}

impl Drawing for Far {
    fn target(&self) -> Target {
        Target::new(&self.path)
    }

    fn drawn(&self, chart: &Chart, _: Manner) -> Result<Vec<u8>> {
        let options = SeenOptions {
            times: self.scale.times(chart),
            ..self.options.clone()
        };
        let (scene, panels) = scene(chart, &options);
        let picture = seen(&scene, &panels, options.times, self.density)?;
        told(&picture, self.density);
        Ok(picture.bytes)
    }
}
