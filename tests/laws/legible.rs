//! Lines one bead wide stay whole if the picture is made crisp, and what crispness must not change.

mod lines;

use crate::common::repository;
use proptest::prelude::*;
use std::sync::Arc;
use upbead::bead::Bead;
use upbead::cancel::Cancel;
use upbead::colour::Light;
use upbead::lattice::{Lattice, Rows};
use upbead::picture::{Arrangement, Decoding, Place, Placement, Position, decode, plan};
use upbead::sample::crisp::{Tiles, crisp};
use upbead::sample::{SummedArea, sample_tiles};
use upbead::units::Mm;

const PARTS: usize = 4;

fn lattice(columns: u32, rows: u32, closed: bool) -> Lattice {
    let rows = if closed {
        Rows::closed(rows)
    } else {
        Rows::open(rows)
    };
    Lattice::new(Bead::default(), columns, rows.unwrap()).unwrap()
}

/// Tiles of a band, each of one of three colours or a blend, from numbers.
fn tiles(lattice: &Lattice, numbers: &[f64]) -> Vec<Light> {
    let count = lattice.columns() as usize * lattice.half_rows() as usize * PARTS * PARTS;
    let across = lattice.columns() as usize * PARTS;
    (0..count)
        .map(|at| {
            // Squares of three tiles, so that lines and corners arise.
            let (x, y) = (at % across / 3, at / across / 3);
            let number = numbers[(x * 31 + y * 17) % numbers.len()];
            match number {
                n if n < 0.5 => Light::new(0.9, 0.88, 0.8),
                n if n < 0.8 => Light::new(0.02, 0.03, 0.1),
                n => Light::new(n, 0.2, 0.3 * n),
            }
        })
        .collect()
}

/// The mean on each bead, by counting its half rows.
fn means(lattice: &Lattice, tiles: &[Light]) -> Vec<Light> {
    let across = lattice.columns() as usize * PARTS;
    (0..lattice.len())
        .map(|bead| {
            let (row, column) = lattice.position(bead);
            let mut sum = Light::new(0.0, 0.0, 0.0);
            for half in lattice.half_rows_of(row) {
                for y in 0..PARTS {
                    for x in 0..PARTS {
                        let column = (column.get() as usize - 1) * PARTS + x;
                        sum += tiles[(half as usize * PARTS + y) * across + column];
                    }
                }
            }
            sum / (2 * PARTS * PARTS) as f64
        })
        .collect()
}

fn crisped(lattice: &Lattice, light: &[Light], strength: f64) -> Vec<Light> {
    let all = Tiles {
        lattice,
        parts: PARTS,
        light,
    };
    crisp(&all, &means(lattice, light), strength, &Cancel::default())
}

fn near(one: Light, other: Light) -> bool {
    let apart = one - other;
    [apart.red, apart.green, apart.blue]
        .into_iter()
        .all(|number| number.abs() < 1e-9)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]


    #[test]
    fn without_crispness_a_bead_is_the_mean(
        numbers in prop::collection::vec(0.0..1.0f64, 37),
        columns in 3u32..12,
    ) {
        let lattice = lattice(columns, 12, true);
        let light = tiles(&lattice, &numbers);
        prop_assert_eq!(crisped(&lattice, &light, 0.0), means(&lattice, &light));
    }

    #[test]
    fn a_flat_picture_stays_as_it_is(
        red in 0.0..1.0f64,
        green in 0.0..1.0f64,
        blue in 0.0..1.0f64,
        strength in 0.0..=1.0f64,
        closed: bool,
    ) {
        let lattice = lattice(7, 12, closed);
        let light =
            vec![Light::new(red, green, blue); 7 * lattice.half_rows() as usize * PARTS * PARTS];
        prop_assert_eq!(crisped(&lattice, &light, strength), means(&lattice, &light));
    }

    #[test]
    fn a_bead_is_never_lighter_or_darker_than_what_lies_on_it(
        numbers in prop::collection::vec(0.0..1.0f64, 37),
        strength in 0.0..=1.0f64,
    ) {
        let lattice = lattice(9, 14, true);
        let light = tiles(&lattice, &numbers);
        let most = light
            .iter()
            .fold(0.0f64, |most, light| most.max(light.green));
        let least = light
            .iter()
            .fold(1.0f64, |least, light| least.min(light.green));
        for bead in crisped(&lattice, &light, strength) {
            prop_assert!(bead.green >= least - 1e-12 && bead.green <= most + 1e-12);
        }
    }

    /// A closed band has no seam: turned by two rows, it comes out turned by two rows.
    #[test]
    fn the_seam_is_treated_like_any_other_place(
        numbers in prop::collection::vec(0.0..1.0f64, 41),
        pairs in 1usize..6,
    ) {
        let lattice = lattice(9, 12, true);
        let light = tiles(&lattice, &numbers);
        let mut turned = light.clone();
        turned.rotate_right(pairs * 2 * 9 * PARTS * PARTS);
        let mut expected = crisped(&lattice, &light, 0.4);
        expected.rotate_right(pairs * 9);
        for (one, other) in crisped(&lattice, &turned, 0.4).into_iter().zip(expected) {
            prop_assert!(near(one, other), "{one:?} {other:?}");
        }
    }

    /// What a search for a seat sees is what the chart will show.
    #[test]
    fn a_sheet_is_placed_as_the_picture_is(
        scale in 0.4..1.0f64,
        across in -1.0..1.0f64,
        along in -4.0..4.0f64,
        quarters in 0u32..4,
    ) {
        let lattice = lattice(9, 40, true);
        let bytes = std::fs::read(repository("samples/kittiwake.png")).unwrap();
        let picture = decode(Arc::new(bytes), &lattice, &Decoding::default()).unwrap();
        let free = 0.5 * (1.0 - scale) * 11.7;
        let how = Arrangement {
            place: Place::Motif,
            rotation: upbead::picture::Rotation::Quarters(quarters),
            position: Position::At(Placement {
                scale,
                across: Mm::new(across * free),
                along: Mm::new(along),
            }),
            ..Arrangement::default()
        };
        let plan = plan(picture.upright(), picture.orientation, &lattice, &how).unwrap();
        let sheet = SummedArea::new(&picture, &plan.tiles[0].window, &Cancel::default()).unwrap();
        let exact = sample_tiles(&picture, &plan, &lattice, 4, &Cancel::default()).unwrap();
        for (one, other) in sheet
            .sample_tiles(&plan, &lattice, 4)
            .into_iter()
            .zip(exact)
        {
            prop_assert!(
                near(one.light, other.light) && (one.alpha - other.alpha).abs() < 1e-9,
                "{one:?} {other:?}"
            );
        }
    }
}
