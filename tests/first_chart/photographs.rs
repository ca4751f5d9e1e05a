//! Photographs: those that cannot be recognised are told, and plain areas take the place of a
//! search that leaves stray beads.

use super::score::truth::pieces;
use super::score::{request, shipped};
use upbead::chart::Chart;
use upbead::pipeline::{Charted, Source, chart};
use upbead::quantize::measure::stray;
use upbead::request::{ChartRequest, Count, Matching};
use upbead::warning::Warning;

fn charted(name: &str, palette: &str) -> Charted {
    charted_as(name, palette, &request())
}

fn charted_as(name: &str, palette: &str, request: &ChartRequest) -> Charted {
    let all = pieces();
    let piece = all.iter().find(|piece| piece.name() == name);
    let piece = piece.expect("a piece of the set");
    let source = Source::new(name, piece.bytes.clone());
    chart(source, &shipped(palette), request).expect("a chart")
}

/// What is told was found by looking at the charts: a cat's eyes and single pebbles are two beads
/// wide on nine columns.
#[test]
fn pictures_of_small_shapes_are_told_with_the_columns_that_they_need() {
    let told = |name: &str| {
        let warnings = charted(name, "shelf").made.warnings;
        warnings.into_iter().find_map(|warning| match warning {
            Warning::ShapesTooSmall { columns, .. } => Some(columns),
            _ => None,
        })
    };
    for name in ["cat_grey", "pebbles"] {
        let columns = told(name);
        assert!(
            columns.is_some_and(|columns| (14..=24).contains(&columns)),
            "{name} {columns:?}"
        );
    }
    for name in [
        "sky",
        "rainbow",
        "lake",
        "sunset",
        "forest-edge",
        "harbour-lights",
        "buoys",
    ] {
        assert_eq!(told(name), None, "{name}");
    }
}

fn option(chart: &Chart, name: &str) -> Option<String> {
    let mut all = chart.made.options.iter();
    all.find(|(own, _)| own == name)
        .map(|(_, value)| value.clone())
}

fn strays(chart: &Chart) -> usize {
    stray(&chart.lattice, &chart.beads)
}

/// Looked at on six pictures of 81 columns and 240 rows: as good as a search, and woven in longer
/// runs.
#[test]
fn a_large_band_has_plain_areas() {
    let mut open = ChartRequest::default();
    open.ring.columns = Some(Count(41));
    open.band.rows = Some(Count(120));
    open.band.open = true;
    let lake = charted_as("lake", "harbour", &open).made.value;
    assert_eq!(option(&lake.chart, "simplify").as_deref(), Some("0.4"));
    assert_eq!(option(&lake.chart, "refine"), None);
    open.colours.matching = Some(Matching::Nearest);
    open.colours.colours = Some(Count(12));
    let nearest = charted_as("lake", "harbour", &open).made.value;
    assert!(2 * strays(&lake.chart) <= strays(&nearest.chart));
    let ring = charted("lake", "harbour").made.value;
    assert_eq!(option(&ring.chart, "refine").as_deref(), Some("true"));
}

#[test]
fn a_search_that_is_no_nearer_or_speckled_gives_way_to_plain_areas() {
    let sunset = charted("sunset", "harbour").made.value;
    assert_eq!(option(&sunset.chart, "simplify").as_deref(), Some("0.4"));
    assert_eq!(option(&sunset.chart, "refine"), None);
    let mut searched = request();
    searched.colours.refine = true;
    searched.colours.colours = Some(Count(12));
    let searched = charted_as("sunset", "harbour", &searched).made.value;
    assert!(2 * strays(&sunset.chart) <= strays(&searched.chart));
    let forest = charted("forest-edge", "harbour").made.value;
    assert_eq!(option(&forest.chart, "simplify"), None);
    assert_eq!(option(&forest.chart, "refine").as_deref(), Some("true"));
    let [plain, found] = forest.refined.expect("figures of a search");
    assert!(found.views[1].mean <= 0.95 * plain.views[1].mean);
}
