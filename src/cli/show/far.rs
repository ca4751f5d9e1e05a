//! `upbead show --seen`: the band as it is seen from afar.

use super::{Args, Drawing, ends_in_png, told};
use crate::chart::Chart;
use crate::cli::Manner;
use crate::error::Result;
use crate::files::Target;
use crate::report;
use std::path::PathBuf;

/// The band at some distances.
pub(super) struct Far {
    path: PathBuf,
    density: Option<f64>,
    asked: report::Far,
}

impl Far {
    /// From distances and a name, or a name alone.
    pub(super) fn new(args: &Args, words: &[String]) -> Result<Self> {
        let (from, path) = match words {
            [from, path] => (Some(from.as_str()), path),
            _ => (None, &words[0]),
        };
        let (scale, ground) = (args.scale.as_deref(), args.ground.as_deref());
        let asked = report::Far::new(from, scale, ground, args.density)?;
        let path = PathBuf::from(path);
        ends_in_png(&path, "--seen")?;
        Ok(Self {
            path,
            density: args.density,
            asked,
        })
    }
}

impl Drawing for Far {
    fn target(&self) -> Target {
        Target::new(&self.path)
    }

    fn drawn(&self, chart: &Chart, _: Manner) -> Result<Vec<u8>> {
        let picture = self.asked.drawn(chart)?;
        told(&picture, self.density);
        Ok(picture.bytes)
    }
}
