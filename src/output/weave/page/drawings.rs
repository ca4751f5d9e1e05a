//! Drawings of the steps that words alone do not show, as pictures that the page carries.

use crate::colour::Srgb8;
use crate::output::svg::svg;
use crate::report::weave::WovenBand;
use crate::request::WorkFrom;
use crate::scene::{
    Drawing, Scene, StitchDiagram, StrungLine, accent, draw_stitches, draw_strung_line,
};
use crate::weave::JoinPasses;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde::Serialize;

/// Paper white: the drawings keep their own ground in the dark.
const WHITE: Srgb8 = Srgb8::new(255, 255, 255);
/// Most columns of a drawing.
const COLUMNS: u32 = 9;

/// A picture with what it shows in words.
#[derive(Serialize)]
pub(super) struct Picture {
    source: String,
    shows: String,
}

/// The stopper bead, the strung line and the first stitches of the row after it.
pub(super) fn strung_line(band: &WovenBand) -> Option<Picture> {
    let first = band.weave.passes.first()?;
    band.weave.rows.first()?;
    let drawing = draw_strung_line(&StrungLine {
        beads: band.weave.strung.len(),
        to_right: first.forward,
        up: band.weave.frame.work_from() == WorkFrom::Bottom,
        accent: accent(band.chart, WHITE),
    });
    let shows = "The strung beads in a line, the stopper bead at one end with its tail. At the \
        other end the first stitches of the next row, before the thread is pulled.";
    Some(picture(drawing, shows))
}

/// How a new thread comes in.
pub(super) fn join(band: &WovenBand, passes: &JoinPasses) -> Picture {
    let drawing = draw_stitches(&StitchDiagram {
        chart: band.chart,
        weave: &band.weave,
        before: &[passes.leaves],
        now: &passes.new_start,
        whole: true,
        columns: COLUMNS,
        accent: accent(band.chart, WHITE),
    });
    picture(
        drawing,
        "The new thread on its way through the beadwork, as the words say.",
    )
}

fn picture(drawing: Drawing, shows: &str) -> Picture {
    let scene = Scene {
        width: drawing.width,
        height: drawing.height,
        backdrop: Some(WHITE),
        title: String::new(),
        description: shows.to_string(),
        paints: Vec::new(),
        items: drawing.items,
    };
    Picture {
        source: format!("data:image/svg+xml;base64,{}", STANDARD.encode(svg(&scene))),
        shows: shows.to_string(),
    }
}
