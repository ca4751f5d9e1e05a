//! Colour conversions and differences against published and independent tables.

use crate::common::{number, table};
use upbead::colour::{Lab, Light, ciede2000, lab, light, oklab, read_hex, srgb8, xyz};

fn pair(row: &std::collections::BTreeMap<String, String>) -> (Lab, Lab) {
    let lab = |which: &str| Lab {
        l: number(row, &format!("L{which}")),
        a: number(row, &format!("a{which}")),
        b: number(row, &format!("b{which}")),
    };
    (lab("1"), lab("2"))
}

/// The 34 pairs of Sharma, Wu, Dalal 2005, Table 1, in both orders.
#[test]
fn ciede2000_agrees_with_the_published_pairs() {
    let rows = table("reference/ciede2000_sharma2005.csv");
    assert_eq!(rows.len(), 34, "test file is broken");
    for row in rows {
        let (one, two) = pair(&row);
        for (one, two) in [(one, two), (two, one)] {
            let ours = ciede2000(one, two);
            assert!(
                (ours - number(&row, "dE00")).abs() < 1e-4,
                "{row:?}: {ours}"
            );
            // Pairs 10 and 14 are exactly 180 degrees apart: there the last bit decides.
            assert!(
                (ours - number(&row, "dE00_computed")).abs() < 1e-9,
                "{row:?}: {ours}"
            );
        }
    }
}

/// Strong pairs for every case of the mean-hue and hue-difference rules, from two independent
/// libraries.
#[test]
fn ciede2000_agrees_with_independent_libraries_on_strong_pairs() {
    let rows = table("ciede2000_strong.csv");
    assert!(rows.len() >= 200, "test file is broken");
    for row in rows {
        let (one, two) = pair(&row);
        let expected = number(&row, "dE00");
        assert!((ciede2000(one, two) - expected).abs() < 1e-9, "{row:?}");
        assert!((ciede2000(two, one) - expected).abs() < 1e-9, "{row:?}");
    }
}

#[test]
fn lab_and_xyz_agree_with_the_standards() {
    for row in table("reference/srgb_lab_reference.csv") {
        let encoded = read_hex(&row["hex"]).expect("test file is broken");
        let light = light(encoded);
        for (ours, column) in [
            (light.red, "R_lin"),
            (light.green, "G_lin"),
            (light.blue, "B_lin"),
        ] {
            assert!((ours - number(&row, column)).abs() < 1e-7, "{row:?}");
        }
        for (ours, column) in xyz(light).into_iter().zip(["X", "Y", "Z"]) {
            assert!((ours - number(&row, column)).abs() < 1e-6, "{row:?}");
        }
        let lab = lab(light);
        for (ours, column) in [(lab.l, "L_D65"), (lab.a, "a_D65"), (lab.b, "b_D65")] {
            assert!((ours - number(&row, column)).abs() < 1e-3, "{row:?}");
        }
        assert_eq!(srgb8(light), encoded);
    }
}

/// Oklab with the matrices of the article's reference code (the `palette` crate): Ottosson's table,
/// primaries, CSS Color 4.
#[test]
fn oklab_agrees_with_published_values() {
    let mut seen = 0;
    for row in table("reference/oklab_reference.csv") {
        let tolerance = number(&row, "tolerance");
        let input = [
            number(&row, "in1"),
            number(&row, "in2"),
            number(&row, "in3"),
        ];
        let output = [
            number(&row, "out1"),
            number(&row, "out2"),
            number(&row, "out3"),
        ];
        let ours = match row["kind"].as_str() {
            kind if kind.starts_with("srgb8_to_oklab") => {
                let rgb = input.map(|level| level as u8);
                let ours = oklab(light(upbead::colour::Srgb8::new(rgb[0], rgb[1], rgb[2])));
                [ours.l, ours.a, ours.b]
            }
            // From Oklab back to the percentages: the forward conversion of the published sRGB must
            // return to the published Oklab.
            "oklab_to_srgb_percent" => {
                let linear: [f64; 3] = output.map(|percent| {
                    let c: f64 = percent / 100.0;
                    if c <= 0.04045 {
                        c / 12.92
                    } else {
                        ((c + 0.055) / 1.055).powf(2.4)
                    }
                });
                let ours = oklab(Light::new(linear[0], linear[1], linear[2]));
                for (ours, published) in [ours.l, ours.a, ours.b].into_iter().zip(input) {
                    // A percentage rounded to 1e-3 moves Oklab by at most about 1e-4 above black.
                    assert!(
                        (ours - published).abs() < 2e-3 + tolerance / 50.0,
                        "{row:?}: {ours}"
                    );
                }
                seen += 1;
                continue;
            }
            _ => continue,
        };
        seen += 1;
        for (ours, published) in ours.into_iter().zip(output) {
            assert!((ours - published).abs() < tolerance, "{row:?}: {ours}");
        }
    }
    assert!(seen > 50, "only {seen} rows of the table were used");
}
