//! Photographs: those that cannot be recognised are told, and plain areas take the place of a
//! search that leaves stray beads.

use super::score::truth::pieces;
use super::score::{request, shipped};
use upbead::chart::Chart;
use upbead::pipeline::{Charted, Source, chart};
use upbead::quantize::measure::stray;
use upbead::request::{ChartRequest, Count};
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

#[test]
fn a_search_that_is_no_nearer_or_speckled_gives_way_to_plain_areas() {
    let option = |chart: &Chart, name: &str| {
        let mut all = chart.made.options.iter();
        all.find(|(own, _)| own == name)
            .map(|(_, value)| value.clone())
    };
    let sunset = charted("sunset", "harbour").made.value;
    assert_eq!(option(&sunset.chart, "simplify").as_deref(), Some("0.4"));
    assert_eq!(option(&sunset.chart, "refine"), None);
    let mut searched = request();
    searched.colours.refine = true;
    searched.colours.colours = Some(Count(12));
    let searched = charted_as("sunset", "harbour", &searched).made.value;
    let strays = |chart: &Chart| stray(&chart.lattice, &chart.beads);
    assert!(2 * strays(&sunset.chart) <= strays(&searched.chart));
    let forest = charted("forest-edge", "harbour").made.value;
    assert_eq!(option(&forest.chart, "simplify"), None);
    assert_eq!(option(&forest.chart, "refine").as_deref(), Some("true"));
    let [plain, found] = forest.refined.expect("figures of a search");
    assert!(found.views[1].mean <= 0.95 * plain.views[1].mean);
}
