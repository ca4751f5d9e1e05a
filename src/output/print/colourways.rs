//! Colourways of a pattern: the design in each, and what it needs.

use crate::chart::Chart;
use crate::error::Result;
use crate::output::booklet::PatternWay;
use crate::quantize::swap::ways::{Design, Way};
use crate::report::kit::{InStock, KitReport};
use crate::request::{Keys, KitRequest, WorkRequest};
use crate::scene::clean;
use crate::warning::Warning;

/// The design in the colours of each way; colours that become the same bead are one.
pub(super) fn charts(ways: &[Way], chart: &Chart) -> Vec<Chart> {
    let name = chart.title.as_deref().unwrap_or_default();
    let design = Design::of(chart, name);
    ways.iter().map(|way| way.of(chart, &design)).collect()
}

/// What the maker owns, for a chart in colours of which some need not be known: none where the
/// palette lacks one of them.
pub(super) fn known<'a>(stock: Option<InStock<'a>>, chart: &Chart) -> Option<InStock<'a>> {
    stock.filter(|stock| {
        let own = stock.palette.colours();
        let has = |code: &str| own.iter().any(|colour| colour.code == code);
        chart.colours.iter().all(|shade| has(&shade.code))
    })
}

/// What a booklet shows of the ways of a design, whose colours have these keys.
///
/// # Errors
/// As [`KitReport::new`].
pub(super) fn for_buyer(
    ways: &[Way],
    design: &Chart,
    keys: &[String],
    kit: &KitRequest,
    stock: Option<InStock>,
) -> Result<Vec<PatternWay>> {
    let of = |(way, chart): (&Way, Chart)| {
        Ok(PatternWay {
            name: clean(&way.name),
            kit: KitReport::for_buyer(kit, &chart, known(stock, &chart))?,
            keys: places(way, design, &chart)
                .iter()
                .map(|all| all.iter().map(|&at| keys[at].clone()).collect())
                .collect(),
            chart,
        })
    };
    ways.iter().zip(charts(ways, design)).map(of).collect()
}

/// For each colour of a way's chart, the design's colours that it stands for.
fn places(way: &Way, design: &Chart, chart: &Chart) -> Vec<Vec<usize>> {
    let counts = design.counts();
    let of = |code: &str| {
        let all = way.shades.iter().zip(&counts).enumerate();
        let own = all.filter(|(_, (shade, count))| **count > 0 && shade.code == code);
        own.map(|(at, _)| at).collect()
    };
    chart.colours.iter().map(|own| of(&own.code)).collect()
}

/// Colours of the design that become the same bead in a way.
pub(super) fn merged(ways: &[Way], design: &Chart) -> Vec<Warning> {
    let mut warnings = Vec::new();
    for (way, chart) in ways.iter().zip(charts(ways, design)) {
        for (all, bead) in places(way, design, &chart).iter().zip(&chart.colours) {
            if all.len() > 1 {
                warnings.push(Warning::SameBeadInWay {
                    way: way.name.clone(),
                    colours: all
                        .iter()
                        .map(|&at| design.colours[at].name.clone())
                        .collect(),
                    bead: bead.name.clone(),
                });
            }
        }
    }
    warnings
}

/// How the rows of several colourways are told: by keys, since names would be those of one.
pub(super) fn by_keys(work: WorkRequest, ways: &[Way]) -> WorkRequest {
    let short = (!ways.is_empty()).then_some(Keys::Short);
    WorkRequest {
        keys: work.keys.or(short),
        ..work
    }
}
