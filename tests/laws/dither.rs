//! Dithering keeps the mean light, shows no seam, and its noise is finer than that of kernels made
//! for other lattices.

use crate::common::{number, table};
use proptest::prelude::*;
use upbead::bead::{Bead, SIZES};
use upbead::cancel::Cancel;
use upbead::colour::{Light, Srgb8, light};
use upbead::lattice::{Axis, Lattice, Rows};
use upbead::palette::Tone;
use upbead::quantize::groups::Groups;
use upbead::quantize::mask::thresholds;
use upbead::quantize::{Dither, Problem, Settings, Share, kernel, quantize, visible_noise};
use upbead::units::Mm;

fn ring(columns: u32, rows: u32) -> Lattice {
    Lattice::new(Bead::default(), columns, Rows::closed(rows).unwrap()).unwrap()
}

fn tones(colours: &[[u8; 3]]) -> Vec<Tone> {
    colours
        .iter()
        .map(|c| Tone::new(light(Srgb8::new(c[0], c[1], c[2]))))
        .collect()
}

fn dithered(
    lattice: &Lattice,
    wanted: Light,
    tones: &[Tone],
    dither: Dither,
    axes: &[Axis],
) -> Vec<usize> {
    let groups = Groups::new(lattice, axes, None);
    let wanted = Problem {
        lattice,
        light: &vec![wanted; lattice.len()],
        fixed: &vec![None; lattice.len()],
        groups: &groups,
    };
    let options = Settings {
        dither,
        ..Settings::default()
    };
    quantize(&wanted, tones, &options).unwrap().value
}

fn mean(tones: &[Tone], chosen: &[usize]) -> [f64; 3] {
    let sum = chosen
        .iter()
        .fold(Light::new(0.0, 0.0, 0.0), |sum, &at| sum + tones[at].light);
    let count = chosen.len() as f64;
    [sum.red / count, sum.green / count, sum.blue / count]
}

/// A mixture of palette colours: what the palette can reach, away from its edge.
fn mixture(tones: &[Tone], weights: &[f64]) -> Light {
    let total: f64 = weights.iter().sum();
    tones
        .iter()
        .zip(weights)
        .fold(Light::new(0.0, 0.0, 0.0), |sum, (tone, weight)| {
            sum + tone.light * (weight / total)
        })
}

const GREYS: [[u8; 3]; 2] = [[17, 17, 17], [250, 250, 246]];
const SEA: [[u8; 3]; 8] = [
    [250, 250, 246],
    [17, 17, 17],
    [205, 38, 38],
    [28, 50, 97],
    [45, 132, 123],
    [200, 154, 63],
    [73, 116, 39],
    [215, 188, 146],
];

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(100)
    })]


    #[test]
    fn diffusion_keeps_the_mean_light_of_flat_colours(share in 0.1..0.9f64) {
        let tones = tones(&GREYS);
        let wanted = mixture(&tones, &[share, 1.0 - share]);
        for lattice in [ring(9, 74), ring(8, 70), ring(31, 120)] {
            let chosen = dithered(&lattice, wanted, &tones, Dither::Diffuse(1.0), &[]);
            let mean = mean(&tones, &chosen);
            for (ours, wanted) in mean
                .into_iter()
                .zip([wanted.red, wanted.green, wanted.blue])
            {
                prop_assert!(
                    (ours - wanted).abs() < 0.01,
                    "{ours} for {wanted} on {lattice:?}"
                );
            }
        }
    }

    #[test]
    fn mixed_colours_are_kept_too(weights in prop::collection::vec(0.02..1.0f64, SEA.len())) {
        let tones = tones(&SEA);
        let wanted = mixture(&tones, &weights);
        let lattice = ring(15, 120);
        // The mask mixes 32 entries a bead: what is left over is about a thirty-second of a step
        // between colours, here up to 1.
        for (dither, tolerance) in [(Dither::Diffuse(1.0), 0.01), (Dither::Mask(1.0), 0.03)] {
            let mean = mean(&tones, &dithered(&lattice, wanted, &tones, dither, &[]));
            for (ours, wanted) in mean
                .into_iter()
                .zip([wanted.red, wanted.green, wanted.blue])
            {
                prop_assert!(
                    (ours - wanted).abs() < tolerance,
                    "{dither:?}: {ours} for {wanted}"
                );
            }
        }
    }

    #[test]
    fn no_strength_is_no_dithering_and_mirrors_hold(
        red in any::<u8>(),
        green in any::<u8>(),
        blue in any::<u8>(),
    ) {
        let tones = tones(&SEA);
        let lattice = ring(9, 40);
        let wanted = light(Srgb8::new(red, green, blue));
        let plain = dithered(&lattice, wanted, &tones, Dither::None, &[]);
        prop_assert_eq!(
            &dithered(&lattice, wanted, &tones, Dither::Diffuse(0.0), &[]),
            &plain
        );
        prop_assert_eq!(
            &dithered(&lattice, wanted, &tones, Dither::Mask(0.0), &[]),
            &plain
        );
        let axes = [Axis::Columns, lattice.ends_axis(Mm::new(0.0))];
        for dither in [Dither::Diffuse(1.0), Dither::Mask(1.0)] {
            let chosen = dithered(&lattice, wanted, &tones, dither, &axes);
            for bead in 0..lattice.len() {
                for axis in axes {
                    prop_assert_eq!(chosen[bead], chosen[lattice.mirrored(bead, axis).unwrap()]);
                }
            }
        }
    }
}

/// Mean of the seven-row window that starts at each row, round the seam.
fn windows(lattice: &Lattice, chosen: &[usize]) -> Vec<f64> {
    let rows = lattice.rows() as usize;
    let by_row: Vec<(f64, f64)> = lattice
        .all_rows()
        .map(|row| {
            let beads = &chosen[lattice.span_of(row)];
            (beads.iter().sum::<usize>() as f64, beads.len() as f64)
        })
        .collect();
    (0..rows)
        .map(|start| {
            let window = (0..7).map(|i| by_row[(start + i) % rows]);
            let (ones, all) = window.fold((0.0, 0.0), |sum, row| (sum.0 + row.0, sum.1 + row.1));
            ones / all
        })
        .collect()
}

#[test]
fn the_seam_cannot_be_found_in_a_flat_colour() {
    let tones = tones(&GREYS);
    let mut worst_inside: f64 = 0.0;
    let mut worst_seam: f64 = 0.0;
    for step in 1..40 {
        let share = f64::from(step) / 40.0;
        for lattice in [ring(9, 74), ring(13, 88), ring(24, 100)] {
            let wanted = mixture(&tones, &[1.0 - share, share]);
            let chosen = dithered(&lattice, wanted, &tones, Dither::Diffuse(1.0), &[]);
            let windows = windows(&lattice, &chosen);
            let off = |start: usize| (windows[start] - share).abs();
            let rows = windows.len();
            worst_inside = (0..rows - 7).map(off).fold(worst_inside, f64::max);
            worst_seam = (rows - 7..rows).map(off).fold(worst_seam, f64::max);
        }
    }
    assert!(
        worst_seam <= worst_inside * 1.25,
        "seam {worst_seam}, inside {worst_inside}"
    );
}

/// The hexagonal kernel of Stevenson and Arce, 1985, falls on this lattice as it stands; it was
/// made for regular hexagons.
#[test]
fn the_derived_kernel_shows_less_noise_than_the_published_hexagonal_one() {
    let published: Vec<Share> = table("reference/dither.csv")
        .iter()
        .filter(|row| row["kernel"] == "stevenson_arce")
        .map(|row| Share {
            rows: number(row, "dy") as i64,
            columns: number(row, "dx") as i64,
            weight: number(row, "weight") / number(row, "divisor"),
        })
        .collect();
    assert_eq!(published.len(), 12, "test file is broken");
    let total: f64 = published.iter().map(|share| share.weight).sum();
    assert!((total - 1.0).abs() < 1e-12, "test file is broken");
    let lattice = ring(9, 74);
    let middle = lattice
        .index(
            upbead::lattice::Row::new(31),
            upbead::lattice::Column::new(5),
        )
        .unwrap();
    for share in &published {
        assert!(
            lattice.step(middle, share.rows, share.columns).is_some(),
            "{share:?} falls between beads"
        );
    }
    for size in SIZES {
        let bead = size.bead;
        // From where a bead's diameter fills 0.05 degrees, the eye's sharpest filter, outwards.
        let merging = bead.diameter.get() / 0.05f64.to_radians().tan();
        for times in [1.0, 1.1, 1.5, 2.0, 3.0] {
            let ours = visible_noise(bead, &kernel(bead), merging * times);
            let theirs = visible_noise(bead, &published, merging * times);
            assert!(
                ours < theirs,
                "{}: {ours} against {theirs} at {times}",
                bead.name()
            );
        }
    }
}

/// Mean distance in mm from each bead under `part` of the thresholds to the nearest other, over
/// that of a perfectly even (hexagonal) spread.
fn evenness(lattice: &Lattice, thresholds: &[f64], part: f64) -> f64 {
    let chosen: Vec<usize> = (0..lattice.len())
        .filter(|&bead| thresholds[bead] < part)
        .collect();
    let bead = lattice.bead();
    let height = lattice.picture_height().get();
    let nearest = |one: usize| {
        let (row, column) = lattice.position(one);
        let (x, y) = lattice.centre(row, column);
        chosen
            .iter()
            .filter(|&&two| two != one)
            .map(|&two| {
                let (row, column) = lattice.position(two);
                let (u, v) = lattice.centre(row, column);
                let up = (y - v).get().abs();
                let up = up.min(height - up);
                ((x - u).get().powi(2) + up * up).sqrt()
            })
            .fold(f64::INFINITY, f64::min)
    };
    let mean: f64 = chosen.iter().map(|&one| nearest(one)).sum::<f64>() / chosen.len() as f64;
    let area = bead.length.get() * bead.diameter.get() / part;
    mean / (2.0 * area / 3.0f64.sqrt()).sqrt()
}

/// Points strewn by chance lie 0.465 of the even distance apart (Poisson: 1/(2 sqrt(density)),
/// against sqrt(2/(sqrt 3 density))); a blue-noise mask far more.
#[test]
fn the_mask_spreads_beads_evenly_at_every_threshold_and_across_the_seam() {
    for lattice in [ring(9, 74), ring(31, 120), ring(81, 240)] {
        let thresholds = thresholds(&lattice, &Cancel::default());
        for part in [0.05, 0.1, 0.2] {
            let even = evenness(&lattice, &thresholds, part);
            assert!(
                even > 0.7,
                "{even} at {part} on {} x {}",
                lattice.columns(),
                lattice.rows()
            );
        }
    }
}
