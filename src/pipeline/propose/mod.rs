//! Several ways to chart one picture that differ visibly from one another.
//!
//! Each is a request of its own, charted as the verb `chart` would chart it: what the designer
//! asked for holds in all of them, and only what was left open differs. A chart that hardly differs
//! from one before it is left out.
//!
//! | part | holds |
//! |---|---|
//! | `way` | what differs, and how it is named |
//! | `ways` | which ways a picture is offered, and the request of each |
//! | `lengths` | repeats of a motif, and the part of it that is shown larger |
//! | `grounds` | another colour behind a motif |

mod grounds;
mod lengths;
mod way;
mod ways;

pub use way::Way;

use super::chart::chart_decoded;
use super::{Cache, Charted, Decoded, Source, decoded, settings};
use crate::cancel::Cancel;
use crate::chart::Chart;
use crate::colour::{ciede2000, lab, light};
use crate::error::Result;
use crate::palette::{HARD_TO_TELL, Palette};
use crate::quantize::measure::stray;
use crate::request::ChartRequest;
use rayon::prelude::*;
use std::sync::Arc;
use ways::{Basis, Wish};

/// Most proposals at once.
pub const MOST: usize = 6;
/// Fewest where the picture allows them; with fewer, every way has been tried.
pub const FEWEST: usize = 4;
/// Share of the beads that must differ for a chart to be another proposal. Ours: 13 beads of a
/// narrow ring, about one small feature of a motif.
pub const DIFFERENT: f64 = 0.04;
/// Stray beads that a way may have more than the chart as read, as a share of the beads; with more
/// it is proposed only where there are too few others. Ours: 3 on a narrow ring.
pub const MORE_STRAY: f64 = 0.01;

/// A way to chart a picture, and its chart.
pub struct Proposal {
    /// What differs from the others.
    pub way: Way,
    /// The request that [`chart()`](super::chart()) makes the same chart of.
    pub request: ChartRequest,
    /// The chart.
    pub charted: Charted,
}

impl Proposal {
    fn chart(&self) -> &Chart {
        &self.charted.made.value.chart
    }
}

/// Charts a picture in up to [`MOST`] ways; the first is the request as it is.
///
/// A way that the band or the beads in stock do not allow is left out.
///
/// # Errors
/// As [`chart()`](super::chart()).
pub fn propose(source: Source, palette: &Palette, request: &ChartRequest) -> Result<Vec<Proposal>> {
    let shape = request.shape()?;
    settings::settings(request, &shape, palette)?.check(palette)?;
    let bytes = Arc::new(source.bytes);
    let decoded = decoded(source.name, bytes, &shape.lattice, &source.decoding)?;
    propose_decoded(
        &Arc::new(decoded),
        palette,
        request,
        &Cache::default(),
        &source.decoding.cancel,
    )
}

/// As [`propose()`], of a picture that was decoded for bands of this shape; what `cache` holds is
/// not worked out again.
///
/// # Errors
/// As [`propose()`]; and if the work is cancelled.
pub fn propose_decoded(
    decoded: &Arc<Decoded>,
    palette: &Palette,
    request: &ChartRequest,
    cache: &Cache,
    cancel: &Cancel,
) -> Result<Vec<Proposal>> {
    let first = chart_decoded(Arc::clone(decoded), palette, request, cache, cancel.clone())?;
    propose_beside(first, MOST, decoded, palette, request, cache, cancel)
}

/// As [`propose_decoded()`], up to `most` with the chart of the request as it is, which was made
/// before.
///
/// # Errors
/// As [`propose_decoded()`].
pub fn propose_beside(
    first: Charted,
    most: usize,
    decoded: &Arc<Decoded>,
    palette: &Palette,
    request: &ChartRequest,
    cache: &Cache,
    cancel: &Cancel,
) -> Result<Vec<Proposal>> {
    let charted = |request: &ChartRequest| {
        chart_decoded(Arc::clone(decoded), palette, request, cache, cancel.clone())
    };
    let artwork = decoded.artwork(request.picture.crop)?;
    let mut wishes = Basis::new(&artwork, request, &first, palette)?.wishes();
    if decoded.rendered {
        // A band of other rows has a drawing of its own rendered.
        let lattice = request.shape()?.lattice;
        wishes.retain(|wish| wish.request.shape().is_ok_and(|own| own.lattice == lattice));
    }
    let mut kept = vec![Proposal {
        way: Way::AsRead,
        request: request.clone(),
        charted: first,
    }];
    let mut spare = Vec::new();
    let mut left = &wishes[..];
    while kept.len() < FEWEST.min(most) && !left.is_empty() {
        let (now, later) = left.split_at(most.saturating_sub(kept.len()).min(left.len()));
        left = later;
        let chart = |wish: &Wish| cancel.check().and_then(|()| charted(&wish.request));
        let made: Vec<Result<Charted>> = now.par_iter().map(chart).collect();
        cancel.check()?;
        for (wish, made) in now.iter().zip(made) {
            let Ok(charted) = made else { continue };
            let proposal = Proposal {
                way: wish.way.clone(),
                request: wish.request.clone(),
                charted,
            };
            if is_speckled(&proposal, &kept[0]) {
                spare.push(proposal);
            } else {
                keep(&mut kept, proposal);
            }
        }
    }
    for proposal in spare {
        if kept.len() < FEWEST {
            keep(&mut kept, proposal);
        }
    }
    Ok(kept)
}

/// Whether a way has many more stray beads than the chart as read.
fn is_speckled(proposal: &Proposal, first: &Proposal) -> bool {
    let stray = |one: &Proposal| stray(&one.chart().lattice, &one.chart().beads) as f64;
    stray(proposal) > stray(first) + MORE_STRAY * proposal.chart().beads.len() as f64
}

/// Adds a proposal, unless it hardly differs from one that is there.
fn keep(kept: &mut Vec<Proposal>, proposal: Proposal) {
    let another = |one: &Proposal| unlike(one.chart(), proposal.chart()) >= DIFFERENT;
    if kept.iter().all(another) {
        kept.push(proposal);
    }
}

/// The share of beads whose colours can be told apart; all of them in bands of different shapes.
fn unlike(one: &Chart, other: &Chart) -> f64 {
    if one.lattice != other.lattice {
        return 1.0;
    }
    let colours = |chart: &Chart| -> Vec<_> {
        let all = chart.colours.iter();
        all.map(|shade| lab(light(shade.srgb))).collect()
    };
    let (of_one, of_other) = (colours(one), colours(other));
    let differ = |(&one, &other): (&u16, &u16)| {
        ciede2000(of_one[usize::from(one)], of_other[usize::from(other)]) >= HARD_TO_TELL
    };
    let beads = one.beads.iter().zip(&other.beads);
    beads.filter(|pair| differ(*pair)).count() as f64 / one.beads.len() as f64
}
