use super::cells::Cells;
use super::flat::{FlatArt, GROUND};
use super::period;
use super::stroke::Strokes;
use super::*;
use crate::bead::Bead;
use crate::colour::Light;
use crate::lattice::{Lattice, Rows};
use crate::picture::{Arrangement, Orientation, Place, Size, plan};

/// Cells a side of a bead in these drawings.
const BEAD: f32 = 10.0;

/// A drawing of label 1 where `drawn` says so.
fn art(width: usize, height: usize, drawn: impl Fn(usize, usize) -> bool) -> FlatArt {
    let cells = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
    FlatArt {
        width,
        height,
        labels: cells.map(|(x, y)| u8::from(drawn(x, y))).collect(),
        colours: vec![Light::new(0.1, 0.2, 0.3)],
        pixel: [1.0; 2],
        origin: [0.0; 2],
    }
}

/// The cells that [`period::find`] needs: their size.
fn cells(art: &FlatArt) -> Cells {
    Cells {
        part: Crop {
            x: 0,
            y: 0,
            width: art.width as u32,
            height: art.height as u32,
        },
        width: art.width,
        height: art.height,
        cells: Vec::new(),
        pixel: [1.0; 2],
    }
}

/// Cells of the drawing in one line across.
fn across(art: &FlatArt, y: usize) -> usize {
    (0..art.width).filter(|&x| art.at(x, y) != GROUND).count()
}

#[test]
fn a_thin_line_is_made_as_wide_as_is_asked_and_a_wide_one_is_left_alone() {
    for (wide, asked, least) in [(4, 0.0, 4), (4, 0.43, 6), (4, 0.53, 8), (12, 0.53, 12)] {
        let line = art(60, 60, |x, _| (24..24 + wide).contains(&x));
        let grown = Strokes::find(&line, BEAD).thickened(&line, asked);
        let found = across(&grown, 30);
        assert!(
            (least..least + 2).contains(&found),
            "{wide} {asked}: {found}"
        );
    }
}

#[test]
fn the_stalk_of_a_leaf_is_a_stroke_and_the_leaf_is_not() {
    let leaf = art(80, 100, |x, y| {
        let blade = (20..60).contains(&x) && y < 40;
        blade || ((38..42).contains(&x) && y < 90)
    });
    let strokes = Strokes::find(&leaf, BEAD);
    let drawn: Vec<&Vec<usize>> = strokes
        .all()
        .filter(|(label, _)| *label != GROUND)
        .map(|(_, cells)| cells)
        .collect();
    assert_eq!(drawn.len(), 1);
    let rows = drawn[0].iter().map(|cell| cell / leaf.width);
    assert!(rows.clone().min().unwrap() > 30 && rows.max().unwrap() >= 88);
}

#[test]
fn lozenges_repeat_and_a_wave_that_ends_within_the_picture_does_not() {
    let lozenges = art(200, 40, |x, y| (x % 40).abs_diff(20) + y.abs_diff(20) < 16);
    let found = period::find(&lozenges, &cells(&lozenges)).unwrap();
    assert_eq!((found.count, found.sideways), (5, true));
    let wave = |first: usize| {
        art(240, 60, move |x, y| {
            let middle = 30.0 + 14.0 * libm::sin(x as f64 / 40.0 * std::f64::consts::TAU);
            (first..240 - first).contains(&x) && (y as f64 - middle).abs() < 4.0
        })
    };
    let through = wave(0);
    assert_eq!(period::find(&through, &cells(&through)).unwrap().count, 6);
    let ends = wave(10);
    assert_eq!(period::find(&ends, &cells(&ends)), None);
}

#[test]
fn parts_on_the_band_cover_what_the_drawing_does() {
    let dots = art(90, 120, |x, y| {
        let inside = |left: usize| (left..left + 20).contains(&x) && (50..70).contains(&y);
        inside(10) || inside(60)
    });
    let lattice = Lattice::new(Bead::default(), 9, Rows::closed(12).unwrap()).unwrap();
    let size = Size {
        width: 90,
        height: 120,
    };
    let how = Arrangement {
        place: Place::Round,
        ..Arrangement::default()
    };
    let plan = plan(size, Orientation::default(), &lattice, &how).unwrap();
    for tables in Tables::of_widths(&dots, BEAD) {
        let coverage = tables.coverage(&plan, &lattice);
        let parts = tables.parts(&plan, &lattice);
        let drawn: Vec<&Part> = parts.iter().filter(|part| part.label == 1).collect();
        assert_eq!(drawn.len(), 2);
        for part in drawn {
            assert!((part.area - 4.0).abs() < 0.01 && !part.open);
            for &(bead, share) in &part.beads {
                // Cells belong to parts by their middles.
                assert!((coverage.of(bead)[1] - share).abs() < 0.1);
            }
        }
    }
}
