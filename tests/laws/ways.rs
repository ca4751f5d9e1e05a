//! Suggested colourways: whatever the design and the palette, what is light stays light, and the
//! motif stands out. Lightness (CIELAB) and contrast (WCAG 2) are those of the library `palette`.

use super::common::repository;
use super::resize::{beads_in, chart_of};
use ::palette::color_difference::Wcag21RelativeContrast;
use ::palette::{IntoColor, Lab, Srgb};
use proptest::collection::vec;
use proptest::prelude::*;
use std::fs;
use upbead::Palette;
use upbead::chart::{Chart, Shade};
use upbead::quantize::swap::LIGHTER;
use upbead::quantize::swap::suggest::suggest;
use upbead::quantize::swap::ways::{Design, Way};

/// Rounding of the two libraries.
const ROUNDING: f64 = 1e-3;

fn owned(name: &str) -> Palette {
    let text = fs::read_to_string(repository("palettes").join(name)).unwrap();
    Palette::read(&text, name).unwrap()
}

/// A closed band in up to six colours of the palette, most of it in the first.
fn any_design() -> impl Strategy<Value = Chart> {
    let shape = (3u32..10, 4usize..12, 2u16..7);
    shape.prop_flat_map(|(columns, pairs, colours)| {
        let bead = prop_oneof![2 => Just(0u16), 1 => 0..colours];
        let rows: Vec<_> = (0..2 * pairs)
            .map(|at| vec(bead.clone(), beads_in(columns, at)))
            .collect();
        let shades = proptest::sample::subsequence((0..48).collect::<Vec<usize>>(), 6);
        let shades = shades.prop_shuffle();
        (rows, shades).prop_map(move |(rows, shades)| {
            let mut chart = chart_of(columns, &rows);
            let all = owned("shelf.csv");
            let shade = |at: &usize| Shade::from(&all.colours()[*at]);
            chart.colours = shades.iter().map(shade).collect();
            chart
        })
    })
}

fn encoded(shade: &Shade) -> Srgb<f64> {
    let srgb = shade.srgb;
    Srgb::new(srgb.red, srgb.green, srgb.blue).into_format()
}

fn lightness(shade: &Shade) -> f64 {
    let lab: Lab<::palette::white_point::D65, f64> = encoded(shade).into_color();
    lab.l
}

/// Mean contrast of the beads that are not of the most frequent colour.
fn contrast(chart: &Chart, shades: &[Shade]) -> Option<f64> {
    let ground = chart.most_frequent();
    let others = chart.beads.iter().map(|&at| usize::from(at));
    let others: Vec<usize> = others.filter(|&at| at != ground).collect();
    let one = |at: &usize| encoded(&shades[*at]).relative_contrast(encoded(&shades[ground]));
    let sum: f64 = others.iter().map(one).sum();
    (!others.is_empty()).then(|| sum / others.len() as f64)
}

fn holds(chart: &Chart, way: &Way) -> Result<(), TestCaseError> {
    let counts = chart.counts();
    let used: Vec<usize> = (0..counts.len()).filter(|&at| counts[at] > 0).collect();
    for &one in &used {
        for &other in &used {
            let lighter = |all: &[Shade]| lightness(&all[one]) - lightness(&all[other]);
            if lighter(&chart.colours) >= LIGHTER + ROUNDING {
                prop_assert!(
                    lighter(&way.shades) >= -ROUNDING,
                    "{one} and {other}: {way:?}"
                );
            }
            let same = way.shades[one].code == way.shades[other].code;
            prop_assert_eq!(same, one == other);
        }
    }
    if let (Some(before), Some(now)) = (
        contrast(chart, &chart.colours),
        contrast(chart, &way.shades),
    ) {
        prop_assert!(
            now >= (0.7 * before).min(3.0) - ROUNDING,
            "{before} to {now}"
        );
    }
    let design = Design::of(chart, "any");
    let woven = way.of(chart, &design);
    for (new, old) in woven.beads.iter().zip(&chart.beads) {
        let new = &woven.colours[usize::from(*new)];
        prop_assert_eq!(&new.code, &way.shades[usize::from(*old)].code);
    }
    prop_assert_eq!(
        woven.made.option("colourway_of_sha256"),
        Some(design.sha256.as_str())
    );
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn suggested_colourways_keep_light_and_dark_and_the_motif_apart(
        chart in any_design(), many in any::<bool>(),
    ) {
        let palette = owned(if many { "harbour.csv" } else { "shelf.csv" });
        match suggest(&chart, &palette, 6) {
            Ok(ways) => {
                for way in &ways {
                    holds(&chart, way)?;
                }
            }
            // A design can be such that no other colours keep it.
            Err(error) => prop_assert!(error.what().contains("another look"), "{error}"),
        }
    }
}

#[test]
fn a_design_on_a_plain_ground_has_six_colourways_in_a_large_palette() {
    let rows: Vec<Vec<u16>> = (0..24)
        .map(|at| vec![u16::from(at % 6 == 0); beads_in(9, at)])
        .collect();
    let mut chart = chart_of(9, &rows);
    let tin = owned("tin.csv");
    let shade = |code| Shade::from(&tin.colours()[tin.find(code).unwrap()]);
    chart.colours = ["jersey navy", "gull white"].map(shade).to_vec();
    let ways = suggest(&chart, &owned("harbour.csv"), 6).unwrap();
    assert_eq!(ways.len(), 6);
    for way in &ways {
        holds(&chart, way).unwrap();
    }
}
