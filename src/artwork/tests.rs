use super::cells::Cells;
use super::flat::FlatArt;
use super::period;
use super::*;
use crate::colour::Light;

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
