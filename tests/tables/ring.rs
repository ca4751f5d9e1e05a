//! Ring sizes against published tables, and the closing formula against cases worked by hand.

use crate::common::{number, table};
use std::f64::consts::PI;
use upbead::bead::Bead;
use upbead::lattice::Rows;
use upbead::ring::{Gauge, Prefer, RingSize, Source};
use upbead::units::Mm;

fn size(text: &str) -> RingSize {
    RingSize::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"))
}

#[track_caller]
fn near(what: &str, actual: f64, expected: f64, tolerance: f64) {
    assert!(
        (actual - expected).abs() <= tolerance + 1e-9,
        "{what}: {actual}, expected {expected} within {tolerance}"
    );
}

/// A UK label as halves above A.
fn halves(label: &str) -> f64 {
    size(&format!("uk-{label}"))
        .circumference()
        .get()
        .mul_add(2.0 / 1.25, -60.0)
}

/// US 3 to 13 in quarter steps, label to millimetres. Tolerances as the table's head states them.
#[test]
fn us_sizes_have_the_published_millimetres() {
    for row in table("reference/ring_sizes.csv") {
        let us = size(&format!("us{}", row["us"]));
        let (diameter, circumference) = (us.diameter().get(), us.circumference().get());
        near("inches", diameter / 25.4, number(&row, "d_in_def"), 1e-9);
        near("diameter", diameter, number(&row, "d_mm_def"), 5e-5);
        near(
            "diameter as printed",
            diameter,
            number(&row, "d_mm_table"),
            0.006,
        );
        near(
            "circumference",
            circumference,
            number(&row, "c_mm_def"),
            5e-5,
        );
        near(
            "circumference as printed",
            circumference,
            PI * number(&row, "d_mm_table"),
            0.02,
        );
    }
}

/// The labels of the other systems for the same diameter: equal where the table computes them by
/// definition, within the head's tolerance where a published chart is transcribed (UK half a
/// letter; Japan one number up to US 12.5, two at 13; circumference less 40 within 0.13).
#[test]
fn us_sizes_have_the_published_labels_of_other_systems() {
    for row in table("reference/ring_sizes.csv") {
        let us = size(&format!("us{}", row["us"]));
        let uk = us.uk().expect("a letter");
        assert_eq!(uk, row["uk_def"], "us{}", row["us"]);
        if !row["uk_table"].is_empty() {
            near("UK as printed", halves(&uk), halves(&row["uk_table"]), 1.0);
        }
        let jp = f64::from(us.jp().expect("a number"));
        near("Japan", jp, number(&row, "jp_def"), 0.0);
        if !row["jp_table"].is_empty() {
            let tolerance = if number(&row, "us") <= 12.5 { 1.0 } else { 2.0 };
            near("Japan as printed", jp, number(&row, "jp_table"), tolerance);
        }
        near("ISO", f64::from(us.iso()), number(&row, "iso_def"), 0.0);
        let eu = us.eu().expect("a number");
        near("continental", eu, number(&row, "cminus40_def"), 1e-9);
        near(
            "continental as printed",
            eu,
            number(&row, "cminus40_table"),
            0.13,
        );
    }
}

/// Millimetres to label: 0.006 mm of diameter is 0.0074 of a US size, and the label has two
/// decimals.
#[test]
fn published_millimetres_have_their_us_size() {
    for row in table("reference/ring_sizes.csv") {
        let expected = number(&row, "us");
        let defined = RingSize::of_diameter(Mm::new(number(&row, "d_mm_def")));
        near(
            "by definition",
            defined.us().expect("a number"),
            expected,
            1e-9,
        );
        let printed = size(&format!("d{}mm", row["d_mm_table"]));
        near(
            "as printed",
            printed.us().expect("a number"),
            expected,
            0.0074 + 0.005,
        );
        let round = size(&format!("{}mm", row["c_mm_def"]));
        near(
            "by circumference",
            round.us().expect("a number"),
            expected,
            1e-9,
        );
    }
}

/// Every scale by itself, both ways. Tolerance: exact on the given quantity, 1e-4 mm on the
/// diameter, 0.005 mm on a computed circumference.
#[test]
fn every_scale_holds_both_ways() {
    for row in table("reference/ring_scales.csv") {
        let (system, label) = (row["system"].as_str(), row["size"].as_str());
        let typed = match system {
            "cminus40" => format!("eu{label}"),
            _ => format!("{system}{label}"),
        };
        let ring = size(&typed);
        let round = if row["given"] == "circumference" {
            1e-9
        } else {
            0.005
        };
        near(
            &typed,
            ring.diameter().get(),
            number(&row, "diameter_mm"),
            1e-4,
        );
        near(
            &typed,
            ring.circumference().get(),
            number(&row, "circumference_mm"),
            round,
        );

        let back = RingSize::of_diameter(Mm::new(number(&row, "diameter_mm")));
        let read = match system {
            "uk" => back.uk(),
            "jp" => back.jp().map(|number| number.to_string()),
            "iso" => Some(back.iso().to_string()),
            _ => back.eu().map(|number| number.to_string()),
        };
        assert_eq!(read.as_deref(), Some(label), "{typed}");
    }
}

fn gauge(spacing: f64) -> Gauge {
    Gauge::of_measures(Bead::default(), Mm::new(spacing), None, Source::Assumed).expect("accepted")
}

fn diameter(spacing: f64, rows: u32) -> f64 {
    let rows = Rows::closed(rows).expect("even");
    gauge(spacing).diameter(rows).get()
}

/// `d = P / sin(π/n) - D` with `n = N/2`, `D = 1.6`, worked by hand:
///
/// - 6 rows, n = 3: sin 60° = √3/2, so d = 2 P/√3 - D; touching: 1.6 (1.154701 - 1) = 0.247521
/// - 8 rows, n = 4: sin 45° = √2/2, so d = √2 P - D; touching: 1.6 (1.414214 - 1) = 0.662742
/// - 12 rows, n = 6: sin 30° = 1/2, so d = 2 P - D; touching: 1.6, one more bead fits in the middle
/// - 60 rows, n = 30: sin 6° = 0.104528463; touching: 15.306836 - 1.6 = 13.706836
/// - 74 rows, n = 37: π/37 = 0.084907909; sin = 0.084907909 - 0.084907909³/6 + 0.084907909⁵/120
///   = 0.084907909 - 0.000102021 + 0.000000037 = 0.084805925;
///   touching: 1.6/0.084805925 - 1.6 = 18.866606 - 1.6 = 17.266606
/// - 74 rows at P = 1.65: 1.65/0.084805925 - 1.6 = 19.456188 - 1.6 = 17.856188
#[test]
fn closed_bands_have_the_diameter_worked_by_hand() {
    near("n = 3", diameter(1.6, 6), 0.247521, 1e-6);
    near("n = 4", diameter(1.6, 8), 0.662742, 1e-6);
    near("n = 6", diameter(1.6, 12), 1.6, 1e-9);
    near("n = 30", diameter(1.6, 60), 13.706836, 1e-6);
    near("n = 37", diameter(1.6, 74), 17.266606, 2e-6);
    near("n = 37, loose", diameter(1.65, 74), 17.856188, 2e-6);
}

/// Rows, and inside diameter in mm with US size at spacings of 1.60 (touching), 1.65 and 1.70 mm:
/// 11/0 beads, computed from the closing geometry by another program. Tolerance: half a unit of the
/// last printed digit.
#[allow(clippy::approx_constant)] // US 3.14 is a size here, no circle.
const CLOSING: [(u32, [(f64, f64); 3]); 12] = [
    (60, [(13.71, 2.55), (14.19, 3.14), (14.66, 3.73)]),
    (64, [(14.72, 3.80), (15.23, 4.43), (15.74, 5.06)]),
    (66, [(15.23, 4.43), (15.76, 5.08), (16.28, 5.72)]),
    (68, [(15.74, 5.05), (16.28, 5.72), (16.82, 6.39)]),
    (70, [(16.25, 5.68), (16.81, 6.37), (17.36, 7.05)]),
    (72, [(16.76, 6.31), (17.33, 7.01), (17.91, 7.72)]),
    (74, [(17.27, 6.93), (17.86, 7.66), (18.45, 8.38)]),
    (76, [(17.78, 7.56), (18.38, 8.30), (18.99, 9.05)]),
    (78, [(18.28, 8.18), (18.91, 8.95), (19.53, 9.71)]),
    (80, [(18.79, 8.81), (19.43, 9.59), (20.07, 10.38)]),
    (84, [(19.81, 10.06), (20.48, 10.88), (21.15, 11.71)]),
    (88, [(20.83, 11.31), (21.53, 12.17), (22.23, 13.04)]),
];

#[test]
fn closed_bands_of_11_have_the_tabled_diameters() {
    for (rows, columns) in CLOSING {
        for (spacing, (mm, us)) in [1.60, 1.65, 1.70].into_iter().zip(columns) {
            let what = format!("{rows} rows at {spacing}");
            near(&what, diameter(spacing, rows), mm, 0.005);
            let size = RingSize::of_diameter(Mm::new(diameter(spacing, rows)));
            near(&what, size.us().expect("a number"), us, 0.0);
        }
    }
}

/// US 7: 74 rows with touching beads; the nearest count is 72 at 1.65 mm and 70 at 1.70.
#[test]
fn us_7_takes_fewer_rows_with_a_looser_hand() {
    let us7 = size("us7").diameter();
    let rows = |spacing, prefer| gauge(spacing).rows_for(us7, prefer).expect("rows").count();
    assert_eq!(rows(1.60, Prefer::Smaller), 74);
    assert_eq!(rows(1.60, Prefer::Larger), 76);
    assert_eq!(rows(1.65, Prefer::Nearest), 72);
    assert_eq!(rows(1.70, Prefer::Nearest), 70);
    // 70 rows are 0.04 mm larger than US 7, which counts as fitting.
    assert_eq!(rows(1.70, Prefer::Smaller), 70);
    assert_eq!(rows(1.71, Prefer::Smaller), 68);
}

/// Two rows are `P/π` of diameter, nearly: 0.51 mm and 0.63 of a US size for touching 11/0 beads;
/// 0.05 mm of spacing is 0.7 of a US size.
#[test]
fn the_finest_step_and_the_effect_of_bead_spacing_are_as_stated() {
    let us = |spacing, rows| {
        let mm = Mm::new(diameter(spacing, rows));
        RingSize::of_diameter(mm).us().expect("a number")
    };
    near(
        "two rows in mm",
        diameter(1.6, 76) - diameter(1.6, 74),
        0.51,
        0.005,
    );
    near(
        "two rows in US sizes",
        us(1.6, 76) - us(1.6, 74),
        0.63,
        0.01,
    );
    near("0.05 mm of spacing", us(1.65, 74) - us(1.60, 74), 0.7, 0.05);
}
