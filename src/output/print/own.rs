//! What the pattern of one chart is made of, before it is laid out.

use super::Typed;
use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::lattice::Rows;
use crate::output::booklet::{Cover, Pattern, PatternWay};
use crate::output::ring_picture::cover_picture;
use crate::report::hands::HandsReport;
use crate::report::kit::KitReport;
use crate::report::resize::{ResizeReport, Resized};
use crate::report::weave::{TurnedOver, WeaveReport, WovenBand};
use crate::request::{PrintRequest, ResizeRequest, WeaveRequest};
use crate::ring::{Closed, Gauge};
use crate::scene::{bead_keys, clean, keys};
use crate::warning::Warning;
use std::path::{Path, PathBuf};

/// A chart woven and measured.
pub(super) struct Own<'a> {
    pub(super) band: WovenBand<'a>,
    pub(super) picture: Option<Cover>,
    pub(super) note: Option<String>,
    pub(super) warnings: Vec<Warning>,
    pub(super) ways: Vec<PatternWay>,
    ring: Option<Closed>,
    hands: Option<HandsReport>,
    sizes: Option<ResizeReport>,
    pub(super) keys: Vec<String>,
    bead_keys: Vec<String>,
    turned_over: Option<TurnedOver>,
    forward: Vec<bool>,
}

impl<'a> Own<'a> {
    /// Of a chart with its title; without a picture for its cover.
    ///
    /// # Errors
    /// If the gauge or sizes cannot be read, or the band cannot be woven.
    pub(super) fn new(
        request: &PrintRequest,
        weaving: &WeaveRequest,
        chart: &'a Chart,
        file: &Path,
    ) -> Result<Self> {
        let gauge = request.gauge.resolve(chart.lattice.bead())?;
        let band = WovenBand::new(chart, weaving, None)?;
        let ring = ring(chart, &gauge.value);
        let mut warnings = gauge.warnings;
        if gauge.value.is_assumed() && chart.lattice.is_closed() {
            let rows = chart.lattice.rows();
            warnings.push(Warning::NoGauge {
                rows: (rows, rows),
                spacing: gauge.value.spacing(),
            });
        }
        let sizes = sizes(request, file, chart)?;
        let left_out = sizes.iter().flat_map(|sizes| &sizes.left_out);
        warnings.extend(left_out.map(|error| Warning::SizeLeftOut {
            reason: error.what().to_string(),
        }));
        let turned_over = TurnedOver::of(&band);
        Ok(Self {
            hands: ring
                .as_ref()
                .map(|ring| HandsReport::of(chart, ring, request.gauge.prefer())),
            ring,
            sizes: sizes.map(|sizes| sizes.report),
            keys: keys(chart),
            bead_keys: bead_keys(chart, request.pattern.blank_ground),
            turned_over: turned_over.filter(|_| request.pattern.turn_over),
            forward: band.weave.directions(chart.lattice.rows()),
            picture: None,
            ways: Vec::new(),
            note: chart.notes.as_deref().map(clean),
            band,
            warnings,
        })
    }

    /// The pattern, with its kit and its work in words.
    pub(super) fn pattern<'b>(
        &'b self,
        typed: &'b Typed,
        kit: &'b KitReport,
        work: &'b WeaveReport,
    ) -> Pattern<'b> {
        Pattern {
            band: &self.band,
            work,
            kit,
            ways: &self.ways,
            hands: self.hands.as_ref(),
            ring: self.ring.as_ref(),
            sizes: self.sizes.as_ref(),
            paper: typed.paper,
            note: self.note.as_deref(),
            picture: self.picture.as_ref(),
            keys: &self.keys,
            bead_keys: &self.bead_keys,
            turned_over: self.turned_over.as_ref(),
            forward: &self.forward,
            accent: Pattern::accent(self.band.chart),
            foot: &typed.foot,
        }
    }
}

/// The ring that a closed band makes.
fn ring(chart: &Chart, gauge: &Gauge) -> Option<Closed> {
    let rows = Rows::closed(chart.lattice.rows()).ok();
    rows.filter(|_| chart.lattice.is_closed())
        .map(|rows| gauge.closed(rows))
}

/// The other sizes, where they are asked for.
fn sizes(request: &PrintRequest, file: &Path, chart: &Chart) -> Result<Option<Resized>> {
    if request.sizes.given()?.is_none() {
        return Ok(None);
    }
    let request = ResizeRequest {
        sizes: request.sizes.clone(),
        gauge: request.gauge.clone(),
    };
    let resized = Resized::new(&request, chart, file, |_| PathBuf::new())?;
    if resized.charts.is_empty() {
        return Err(Error::new("the design can have none of these sizes")
            .option("sizes")
            .hint("[upbead resize] says which row counts work"));
    }
    Ok(Some(resized))
}

/// The ring as it will look, for one of so many designs; none of a strip.
pub(super) fn rendered(chart: &Chart, designs: usize) -> Result<Option<Cover>> {
    if !chart.lattice.is_closed() {
        return Ok(None);
    }
    Ok(Some(Cover::Rendered(cover_picture(chart, designs)?)))
}
