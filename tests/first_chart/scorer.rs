//! The scorer passes charts that a person would weave, and says what is wrong with others.

use super::score::truth::{Piece, pieces};
use super::score::{ideal, palettes, reasons};
use upbead::chart::{Chart, Shade};
use upbead::colour::ciede2000;
use upbead::lattice::{Column, Row};
use upbead::palette::Palette;

/// The chart of a piece that takes the largest colour on each bead; nothing is wrong with it.
fn good<'a>(all: &'a [Piece], name: &str, palette: &Palette) -> (&'a Piece, Chart) {
    let piece = all.iter().find(|piece| piece.name() == name).unwrap();
    let scored = ideal(piece, palette);
    assert_eq!(scored.reasons, Vec::<String>::new(), "{name}");
    (piece, scored.chart.unwrap())
}

fn said(piece: &Piece, chart: &Chart, palette: &Palette) -> String {
    reasons(piece, chart, palette).join("; ")
}

/// The chart's colour by how many beads it has, the most frequent first.
fn by_count(chart: &Chart) -> Vec<u16> {
    let counts = chart.counts();
    let mut order: Vec<u16> = (0..counts.len() as u16).collect();
    order.sort_by_key(|&at| std::cmp::Reverse(counts[usize::from(at)]));
    order
}

/// Adds a colour of the palette that the chart does not have.
fn with_another(chart: &mut Chart, palette: &Palette) -> u16 {
    let new = |code: &str| chart.colours.iter().all(|shade| shade.code != code);
    let colour = palette
        .colours()
        .iter()
        .find(|colour| new(&colour.code))
        .unwrap();
    chart.colours.push(Shade {
        code: colour.code.clone(),
        name: colour.name.clone(),
        srgb: colour.srgb,
        finish: colour.finish,
    });
    chart.colours.len() as u16 - 1
}

#[test]
fn charts_by_area_pass() {
    let all = pieces();
    let [few, many, _] = &palettes();
    for name in ["heart", "mountains", "lozenges-5", "word-tide"] {
        good(&all, name, few);
    }
    for name in ["boat", "stripes-1", "sail-outline"] {
        good(&all, name, many);
    }
}

#[test]
fn the_place_on_the_band_does_not_matter() {
    let all = pieces();
    let palette = &palettes()[1];
    let (piece, chart) = good(&all, "folk-tulip", palette);
    let mut moved = chart.clone();
    for bead in 0..chart.beads.len() {
        let to = chart.lattice.step(bead, 26, 0).unwrap();
        moved.beads[to] = chart.beads[bead];
    }
    assert_eq!(said(piece, &moved, palette), "");
}

#[test]
fn blends_and_stray_beads_are_counted() {
    let all = pieces();
    let palette = &palettes()[1];
    let (piece, mut chart) = good(&all, "heart", palette);
    let blend = with_another(&mut chart, palette);
    for row in [1, 5, 9] {
        let bead = chart.lattice.index(Row::new(row), Column::new(5)).unwrap();
        chart.beads[bead] = blend;
    }
    let said = said(piece, &chart, palette);
    for part in ["3 colours of 2", "3 blends", "3 stray beads"] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn a_motif_on_its_side_is_turned() {
    let all = pieces();
    let palette = &palettes()[1];
    let piece = all.iter().find(|piece| piece.name() == "heart").unwrap();
    let mut lying = Piece {
        truth: piece.truth.clone(),
        bytes: Vec::new(),
        pixels: image::imageops::rotate90(&piece.pixels),
    };
    lying.truth.axes = vec![super::score::truth::Alike::Rows];
    let chart = ideal(&lying, palette).chart.unwrap();
    assert_eq!(said(&lying, &chart, palette), "");
    assert_eq!(said(piece, &chart, palette), "turned by 90");
}

#[test]
fn a_motif_that_lost_a_third_or_hides_in_its_ground_fails() {
    let all = pieces();
    let palette = &palettes()[1];
    let (piece, chart) = good(&all, "tulip", palette);
    let ground = by_count(&chart)[0];
    let mut cut = chart.clone();
    for (bead, own) in cut.beads.iter_mut().enumerate() {
        if chart.lattice.position(bead).1.get() > 6 {
            *own = ground;
        }
    }
    assert!(
        said(piece, &cut, palette).contains("silhouette"),
        "{}",
        said(piece, &cut, palette)
    );
    let mut hidden = chart.clone();
    let leaf = by_count(&chart)[1];
    hidden
        .beads
        .iter_mut()
        .filter(|own| **own == leaf)
        .for_each(|own| *own = ground);
    let said = said(piece, &hidden, palette);
    assert!(
        said.contains("hides") || said.contains("not whole"),
        "{said}"
    );
}

#[test]
fn another_colour_than_its_own_fails() {
    let all = pieces();
    let palette = &palettes()[1];
    let (piece, mut chart) = good(&all, "star", palette);
    let other = with_another(&mut chart, palette);
    let star = by_count(&chart)[1];
    let shade = chart.colours.remove(usize::from(other));
    chart.colours[usize::from(star)] = shade;
    assert!(
        said(piece, &chart, palette).contains(" as "),
        "{}",
        said(piece, &chart, palette)
    );
}

#[test]
fn clear_ground_has_to_set_the_motif_off() {
    let all = pieces();
    let palette = &palettes()[2];
    let (piece, mut chart) = good(&all, "heart", palette);
    let [ground, own] = [by_count(&chart)[0], by_count(&chart)[1]].map(usize::from);
    let heart = palette.find(&chart.colours[own].code).unwrap();
    let tones = palette.tones();
    let apart = |at: &usize| ciede2000(tones[*at].lab, tones[heart].lab);
    let others = (0..tones.len()).filter(|at| *at != heart);
    let near = others.min_by(|a, b| apart(a).total_cmp(&apart(b))).unwrap();
    chart.colours[ground]
        .code
        .clone_from(&palette.colours()[near].code);
    chart.colours[ground].srgb = palette.colours()[near].srgb;
    assert_eq!(
        said(piece, &chart, palette),
        "the ground is too near #C22F3F"
    );
}

#[test]
fn one_bead_breaks_a_mirror_and_a_repeat() {
    let all = pieces();
    let palette = &palettes()[1];
    let (piece, mut chart) = good(&all, "lozenges-5", palette);
    let [first, second] = [by_count(&chart)[0], by_count(&chart)[1]];
    let bead = chart.lattice.index(Row::new(7), Column::new(3)).unwrap();
    chart.beads[bead] = if chart.beads[bead] == first {
        second
    } else {
        first
    };
    assert!(said(piece, &chart, palette).contains("repeats differ"));
    let (piece, mut chart) = good(&all, "heart", palette);
    let [ground, own] = [by_count(&chart)[0], by_count(&chart)[1]];
    let left = chart.beads.iter().position(|bead| *bead == own).unwrap();
    let row = chart.lattice.position(left).0;
    let next = chart
        .lattice
        .columns_of(row)
        .map(|column| chart.lattice.index(row, column));
    let beside = next
        .flatten()
        .find(|&bead| chart.beads[bead] == ground)
        .unwrap();
    chart.beads[beside] = own;
    assert!(said(piece, &chart, palette).contains("mirrored pair"));
}

#[test]
fn a_broken_stroke_and_a_filled_outline_fail() {
    let all = pieces();
    let palette = &palettes()[1];
    let (piece, chart) = good(&all, "key", palette);
    let [ground, ink] = [by_count(&chart)[0], by_count(&chart)[1]];
    let mut broken = chart.clone();
    let rows: Vec<u32> = (0..chart.beads.len())
        .filter(|&bead| chart.beads[bead] == ink)
        .map(|bead| chart.lattice.position(bead).0.get())
        .collect();
    let middle = (rows[0] + rows[rows.len() - 1]) / 2;
    for (bead, own) in broken.beads.iter_mut().enumerate() {
        if chart.lattice.position(bead).0.get().abs_diff(middle) < 2 {
            *own = ground;
        }
    }
    assert!(said(piece, &broken, palette).contains("2 strokes of 1"));
    let mut filled = chart.clone();
    let bow = rows[rows.len() - 1] - 12;
    for (bead, own) in filled.beads.iter_mut().enumerate() {
        let (row, column) = chart.lattice.position(bead);
        if (bow..bow + 11).contains(&row.get()) && (2..=8).contains(&column.get()) {
            *own = ink;
        }
    }
    let said = said(piece, &filled, palette);
    assert!(said.contains("0 enclosed grounds of 1"), "{said}");
}
