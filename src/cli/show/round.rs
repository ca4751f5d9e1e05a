//! `upbead show --ring` and `--turntable`: the closed band, still or turning.

use super::{Args, Drawing, ends_in_png};
use crate::chart::Chart;
use crate::cli::Manner;
use crate::cli::progress::Bar;
use crate::error::Result;
use crate::files::Target;
use crate::output::ring_picture::LoopFormat;
use crate::report::{Round as Asked, Worn};
use std::path::{Path, PathBuf};

/// A picture of the ring.
pub(super) struct Round {
    path: PathBuf,
    asked: Asked,
}

impl Round {
    pub(super) fn still(args: &Args, path: &Path) -> Result<Self> {
        ends_in_png(path, "--ring")?;
        Ok(Self {
            path: path.to_path_buf(),
            asked: worn(args).still()?,
        })
    }

    pub(super) fn moving(args: &Args, path: &Path) -> Result<Self> {
        let format = LoopFormat::of(path).map_err(|error| error.option("--turntable"))?;
        Ok(Self {
            path: path.to_path_buf(),
            asked: worn(args).moving(format)?,
        })
    }
}

fn worn(args: &Args) -> Worn<'_> {
    Worn {
        turn: args.turn,
        tilt: args.tilt,
        pixels: args.pixels,
        scale: args.scale.as_deref(),
        density: args.density,
        ground: args.ground.as_deref(),
        frames: args.frames,
    }
}

impl Drawing for Round {
    fn target(&self) -> Target {
        Target::new(&self.path)
    }

    fn drawn(&self, chart: &Chart, manner: Manner) -> Result<Vec<u8>> {
        let frames = self.asked.frames();
        let bar = (frames > 1).then(|| Bar::of(frames, "drawn", manner));
        self.asked.drawn(chart, || {
            if let Some(bar) = &bar {
                bar.step();
            }
        })
    }
}
