//! What must hold for every flat chart.

use super::*;
use crate::bead::Bead;
use crate::chart::{Made, Shade};
use crate::lattice::{Lattice, Rows};
use crate::scene::{Figures, font};

fn chart(columns: u32, rows: Rows, colours: usize) -> Chart {
    let lattice = Lattice::new(Bead::default(), columns, rows).unwrap();
    let shade = |at: usize| Shade {
        code: format!("code-{at}"),
        name: "sea lavender on a slack tide ".repeat(1 + at % 3),
        srgb: Srgb8::new((at * 7 % 256) as u8, (at * 31 % 256) as u8, 200),
        finish: None,
    };
    Chart {
        lattice,
        colours: (0..colours).map(shade).collect(),
        beads: (0..lattice.len()).map(|at| (at % colours) as u16).collect(),
        made: Made::default(),
        title: Some("A band with a title that takes more than one line of its page".into()),
        notes: None,
    }
}

fn gather<'a>(items: &'a [Item], leaves: &mut Vec<&'a Item>) {
    for item in items {
        match item {
            Item::Group(group) => gather(&group.items, leaves),
            leaf => leaves.push(leaf),
        }
    }
}

/// Left, top, right and bottom of everything in a scene, in millimetres.
fn boxes(scene: &Scene) -> Vec<[f64; 4]> {
    let mut leaves = Vec::new();
    gather(&scene.items, &mut leaves);
    let mut boxes = Vec::new();
    for leaf in leaves {
        match leaf {
            Item::Beads(beads) => boxes.extend(beads.placed.iter().map(|bead| {
                let (left, top) = (bead.left.get(), bead.top.get());
                let shape = beads.shape;
                [
                    left,
                    top,
                    left + shape.width.get(),
                    top + shape.height.get(),
                ]
            })),
            Item::Line(line) => boxes.push([
                line.from.x.get(),
                line.from.y.get(),
                line.to.x.get(),
                line.to.y.get(),
            ]),
            Item::Text(text) => boxes.push(text_box(text)),
            Item::Group(_) => {}
            Item::Path(path) => panic!("a flat chart has no paths: {path:?}"),
        }
    }
    boxes
}

fn text_box(text: &Text) -> [f64; 4] {
    let wide = font::width(&text.words, text.size, text.weight, text.figures).get();
    let left = match text.anchor {
        Anchor::Start => text.x.get(),
        Anchor::Middle => text.x.get() - wide / 2.0,
        Anchor::End => text.x.get() - wide,
    };
    let (baseline, size) = (text.baseline.get(), text.size.get());
    [
        left,
        baseline - size * font::CAPITALS,
        left + wide,
        baseline,
    ]
}

#[test]
fn nothing_leaves_the_drawing_and_nothing_lies_on_anything_else() {
    let cases = [
        (chart(9, Rows::closed(74).unwrap(), 5), Scale::Reading),
        (chart(9, Rows::closed(74).unwrap(), 120), Scale::True),
        (chart(3, Rows::open(2).unwrap(), 2), Scale::True),
        (chart(24, Rows::open(31).unwrap(), 40), Scale::Times(0.5)),
        (chart(60, Rows::open(9).unwrap(), 240), Scale::Reading),
    ];
    for (chart, scale) in cases {
        let options = FlatOptions {
            scale,
            ..FlatOptions::default()
        };
        let scene = flat(&chart, &options);
        let boxes = boxes(&scene);
        for [left, top, right, bottom] in &boxes {
            let inside = *left > 5.0 && *top > 5.0 && *right < scene.width.get() - 5.0;
            assert!(inside && *bottom < scene.height.get() - 5.0, "{chart:?}");
        }
        for (at, one) in boxes.iter().enumerate() {
            for other in &boxes[at + 1..] {
                let apart = one[2] <= other[0] + 1e-9
                    || other[2] <= one[0] + 1e-9
                    || one[3] <= other[1] + 1e-9
                    || other[3] <= one[1] + 1e-9;
                assert!(
                    apart || ruler_end(one, other),
                    "{one:?} {other:?} {scale:?}"
                );
            }
        }
    }
}

/// The ruler's ends cross its line.
fn ruler_end(one: &[f64; 4], other: &[f64; 4]) -> bool {
    let thin = |b: &[f64; 4]| b[0] == b[2] || b[1] == b[3];
    thin(one) && thin(other)
}

#[test]
fn many_colours_flow_into_columns_in_place_of_one_long_list() {
    let scene = flat(
        &chart(81, Rows::closed(240).unwrap(), 240),
        &FlatOptions::default(),
    );
    assert!(
        scene.width.get() < 700.0 && scene.height.get() < 700.0,
        "{} {}",
        scene.width,
        scene.height
    );
    let ring = flat(
        &chart(9, Rows::closed(74).unwrap(), 5),
        &FlatOptions::default(),
    );
    assert!(
        ring.height.get() < 297.0 && ring.width.get() < 210.0,
        "a ring fits a page"
    );
}

#[test]
fn scales_are_read_and_bounded() {
    assert_eq!("True".parse::<Scale>().unwrap(), Scale::True);
    assert_eq!("2.5".parse::<Scale>().unwrap(), Scale::Times(2.5));
    for bad in ["", "0", "-1", "51", "NaN", "inf", "1:1", "2x"] {
        assert_eq!(bad.parse::<Scale>().unwrap_err().status(), 2, "{bad}");
    }
    let huge = chart(1000, Rows::open(2000).unwrap(), 2);
    assert_eq!(Scale::Reading.times(&huge), 1.0);
}

#[test]
fn figures_in_columns_are_tabular() {
    let scene = flat(
        &chart(9, Rows::closed(74).unwrap(), 5),
        &FlatOptions::default(),
    );
    let mut leaves = Vec::new();
    gather(&scene.items, &mut leaves);
    let counts = leaves.iter().filter(|leaf| match leaf {
        Item::Text(text) => text.words.starts_with('×') && text.figures == Figures::Tabular,
        _ => false,
    });
    assert_eq!(counts.count(), 5);
}
