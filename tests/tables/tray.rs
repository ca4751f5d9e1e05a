//! Photographs of trays: published chart patches and beads of known colour, under known lamps.
//! Errors are CIEDE2000.

use crate::common::tray::{Lamp, Tray, bulb, even, window};
use crate::common::{number, repository, table};
use std::sync::Arc;
use upbead::bead::Bead;
use upbead::colour::{Light, ciede2000, lab, light};
use upbead::lattice::{Lattice, Rows};
use upbead::palette::read;
use upbead::palette_photo::{Doubt, Hints, Pile, Point, Spots};
use upbead::picture::{Decoding, decode};

fn piles(photo: Vec<u8>, spots: Spots) -> Vec<Pile> {
    let lattice = Lattice::new(Bead::default(), 9, Rows::closed(74).unwrap()).unwrap();
    let photo = decode(Arc::new(photo), &lattice, &Decoding::default()).unwrap();
    let options = Hints { spots, white: None };
    upbead::palette_photo::read(&photo, &options).unwrap().piles
}

/// Mean and largest difference from what was laid out.
fn errors(piles: &[Pile], truth: &[Light]) -> (f64, f64) {
    assert_eq!(piles.len(), truth.len(), "{piles:#?}");
    let each: Vec<f64> = piles
        .iter()
        .zip(truth)
        .map(|(pile, &truth)| ciede2000(lab(pile.light), lab(truth)))
        .collect();
    let most = each.iter().copied().fold(0.0, f64::max);
    (each.iter().sum::<f64>() / each.len() as f64, most)
}

/// Linear light of the 24 patches: D. Pascale, 2006, Table 3, 16-bit sRGB derived from the maker's
/// published CIELAB.
fn patches() -> Vec<Light> {
    let rows = table("reference/srgb_lab_reference.csv");
    let patches = rows.iter().filter(|row| row["set"] == "colorchecker");
    let encoded = |row, column: &str| number(row, column) / 65_535.0;
    let patches: Vec<Light> = patches
        .map(|row| {
            let [r, g, b] = ["pascale_R16", "pascale_G16", "pascale_B16"].map(|c| encoded(row, c));
            palette::Srgb::new(r, g, b).into_linear()
        })
        .collect();
    assert_eq!(patches.len(), 24, "test file is broken");
    patches
}

/// Six by four patches, as on the chart, but on white paper.
fn chart(patches: &[Light]) -> Tray {
    let mut tray = Tray::new(1200, 800);
    for (at, &patch) in patches.iter().enumerate() {
        let x = 100.0 + 200.0 * (at % 6) as f64;
        let y = 100.0 + 200.0 * (at / 6) as f64;
        tray.patch(x, y, 65.0, patch);
    }
    tray
}

const LAMPS: [(&str, Lamp); 3] = [("even", even), ("bulb", bulb), ("window", window)];

#[test]
fn the_published_patches_come_back_under_every_lamp() {
    let patches = patches();
    let grid = Spots::Grid {
        columns: 6,
        rows: 4,
    };
    for (name, lamp) in LAMPS {
        let photo = chart(&patches).photograph(lamp, 2.0);
        let (mean, most) = errors(&piles(photo, grid.clone()), &patches);
        println!("24 patches, {name}: mean {mean:.2}, most {most:.2}");
        assert!(mean < 0.6 && most < 2.0, "{name}: mean {mean}, most {most}");
    }
}

/// The shipped palette of twelve, as piles that are found by themselves.
fn tin() -> Vec<Light> {
    let text = std::fs::read_to_string(repository("palettes/tin.csv")).unwrap();
    let palette = read::read(&text, "tin").unwrap();
    palette
        .colours()
        .iter()
        .map(|colour| light(colour.srgb))
        .collect()
}

fn laid_out(colours: &[Light]) -> Tray {
    let mut tray = Tray::new(1200, 900);
    for (at, &colour) in colours.iter().enumerate() {
        // Not quite in rows, as a hand lays them.
        let x = 160.0 + 290.0 * (at % 4) as f64 + 13.0 * (at % 3) as f64;
        let y = 160.0 + 290.0 * (at / 4) as f64 + 9.0 * (at % 2) as f64;
        tray.pile(x, y, 75.0, colour);
    }
    tray
}

#[test]
fn piles_of_beads_are_found_and_named_in_reading_order() {
    let colours = tin();
    for (name, lamp) in LAMPS {
        // Much noise once is enough.
        let noises = if name == "bulb" {
            &[1.0, 4.0][..]
        } else {
            &[2.0]
        };
        for &noise in noises {
            let photo = laid_out(&colours).photograph(lamp, noise);
            let found = piles(photo.clone(), Spots::Find);
            let (mean, most) = errors(&found, &colours);
            println!("12 piles, {name}, noise {noise}: mean {mean:.2}, most {most:.2}");
            assert!(mean < 2.0 && most < 4.0, "{name}: mean {mean}, most {most}");
            let spots = found.iter().map(|pile| Point {
                x: pile.x,
                y: pile.y,
            });
            let (mean, most) = errors(&piles(photo, Spots::At(spots.collect())), &colours);
            println!("  at their spots: mean {mean:.2}, most {most:.2}");
            assert!(mean < 2.0 && most < 4.0, "{name}: mean {mean}, most {most}");
        }
    }
}

#[test]
fn doubtful_piles_are_named() {
    let colours = tin();
    let (white, red, green, navy) = (
        Light::new(0.86, 0.86, 0.85),
        colours[3],
        colours[5],
        colours[6],
    );
    let mut tray = Tray::new(1200, 400);
    tray.patch(150.0, 200.0, 70.0, white);
    tray.pile(450.0, 200.0, 75.0, red);
    tray.pile(450.0, 200.0, 52.0, green);
    tray.pile(750.0, 200.0, 75.0, navy);
    let spots = [150.0, 450.0, 750.0, 1050.0].map(|x| Point { x, y: 200.0 });
    let found = piles(tray.photograph(bulb, 1.0), Spots::At(spots.to_vec()));
    assert!(found[0].doubts.contains(&Doubt::LikePaper), "{found:#?}");
    assert!(found[2].doubts.is_empty(), "{found:#?}");
    // Nothing lies there: bare paper.
    assert!(found[3].doubts.contains(&Doubt::LikePaper), "{found:#?}");

    let mut tray = Tray::new(900, 400);
    tray.pile(300.0, 200.0, 75.0, red);
    let mut both = tray;
    both.patch(300.0, 165.0, 36.0, green);
    both.pile(60.0, 200.0, 75.0, navy);
    let found = piles(both.photograph(even, 1.0), Spots::Find);
    assert!(found[0].doubts.contains(&Doubt::AtEdge), "{found:#?}");
    assert!(found[1].doubts.contains(&Doubt::Mixed), "{found:#?}");
}
