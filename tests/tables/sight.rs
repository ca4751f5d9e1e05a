//! Colour-deficient sight against the published matrices.

use crate::common::{number, table};
use upbead::colour::{Light, Sight};

#[test]
fn sight_follows_the_published_matrices() {
    let rows = table("reference/cvd.csv");
    let mut seen = 0;
    for row in rows.iter().filter(|row| row["severity"] == "1.0") {
        let sight = Sight::ALL
            .into_iter()
            .find(|sight| sight.word() == row["type"]);
        let sight = sight.expect("test file is broken");
        let from = ["from_R", "from_G", "from_B"].map(|column| number(row, column));
        // Columns of the matrix one by one, on a grey that keeps the result inside 0..1.
        for (at, factor) in from.into_iter().enumerate() {
            let mut light = [0.4; 3];
            light[at] += 0.1;
            let grey: f64 = from.iter().sum::<f64>() * 0.4;
            let out = sight.seen(Light::new(light[0], light[1], light[2]));
            let out = match row["out"].as_str() {
                "R" => out.red,
                "G" => out.green,
                _ => out.blue,
            };
            assert!((out - grey - 0.1 * factor).abs() < 1e-9, "{row:?}: {out}");
            seen += 1;
        }
    }
    assert_eq!(seen, 27);
    let grey = Light::new(0.3, 0.3, 0.3);
    for sight in Sight::ALL {
        let out = sight.seen(grey);
        assert!(
            (out.red - 0.3).abs() < 1e-6 && (out.blue - 0.3).abs() < 1e-6,
            "greys stay grey"
        );
    }
    let clipped = Sight::Tritan.seen(Light::new(1.0, 0.0, 0.0));
    assert_eq!((clipped.red, clipped.green), (1.0, 0.0));
}
