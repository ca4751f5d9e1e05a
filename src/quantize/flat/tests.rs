use super::*;
use crate::artwork::{Coverage, GROUND, Part};
use crate::bead::Bead;
use crate::lattice::{Column, Lattice, Row, Rows};
use crate::quantize::groups::Groups;

/// A row and a column.
type Place = [u32; 2];

fn band() -> Lattice {
    Lattice::new(Bead::default(), 9, Rows::closed(12).unwrap()).unwrap()
}

fn bead([row, column]: Place) -> usize {
    band().index(Row::new(row), Column::new(column)).unwrap()
}

/// What labels 1 and on cover of some beads; all else is ground.
fn coverage(labels: usize, covered: &[(Place, u8, f32)]) -> Coverage {
    let mut shares = vec![0.0; band().len() * labels];
    for &(place, label, share) in covered {
        shares[bead(place) * labels + usize::from(label)] = share;
    }
    for own in shares.chunks_exact_mut(labels) {
        own[0] = 1.0 - own[1..].iter().sum::<f32>();
    }
    Coverage { labels, shares }
}

fn part(label: u8, covered: &[(Place, f32)]) -> Part {
    let mut beads: Vec<(usize, f32)> = covered
        .iter()
        .map(|&(place, share)| (bead(place), share))
        .collect();
    beads.sort_by_key(|&(bead, _)| bead);
    Part {
        label,
        stroke: false,
        area: beads.iter().map(|(_, share)| share).sum(),
        open: false,
        beads,
    }
}

/// The labels of a drawing that is covered as its parts say, and how many of those failed.
fn repaired(coverage: &Coverage, parts: &[Part]) -> (Vec<u8>, usize) {
    let groups = Groups::alone(band().len());
    let mut labels = assign(coverage, &groups);
    let shares = Shares {
        drawn: coverage,
        coverage,
    };
    let failed = repair(&mut labels, &shares, parts, &band(), &groups);
    (labels, failed)
}

#[test]
fn a_part_of_half_a_bead_keeps_one_and_a_smaller_one_does_not() {
    for (second, kept) in [(0.2, true), (0.05, false)] {
        let coverage = coverage(2, &[([5, 5], 1, 0.4), ([7, 5], 1, second)]);
        let parts = [part(1, &[([5, 5], 0.4), ([7, 5], second)])];
        let (labels, failed) = repaired(&coverage, &parts);
        assert_eq!(labels[bead([5, 5])] == 1, kept);
        assert_eq!(failed, 0);
    }
}

#[test]
fn an_outline_is_closed_where_its_ground_would_run_out() {
    let around = [[4, 4], [8, 4], [5, 3], [5, 5], [7, 3]];
    let mut covered: Vec<(Place, f32)> = around.iter().map(|&place| (place, 1.0)).collect();
    covered.push(([7, 5], 0.45));
    let all: Vec<(Place, u8, f32)> = covered.iter().map(|&(at, share)| (at, 1, share)).collect();
    let coverage = coverage(2, &all);
    let inside = part(GROUND, &[([6, 4], 1.0), ([7, 5], 0.2)]);
    let (labels, failed) = repaired(&coverage, &[inside.clone(), part(1, &covered)]);
    assert_eq!(labels[bead([7, 5])], 1);
    assert_eq!(labels[bead([6, 4])], GROUND);
    assert_eq!(failed, 0);
    // Where the outline covers nothing it stays open, which is counted.
    let (labels, failed) = repaired(
        &self::coverage(2, &all[..5]),
        &[inside, part(1, &covered[..5])],
    );
    assert_eq!(labels[bead([7, 5])], GROUND);
    assert_eq!(failed, 1);
}

#[test]
fn a_stroke_is_joined_beside_a_small_part_and_not_through_it() {
    let stroke = [([5, 3], 0.9), ([5, 5], 0.9), ([4, 4], 0.25), ([6, 4], 0.3)];
    let mut covered: Vec<(Place, u8, f32)> =
        stroke.iter().map(|&(at, share)| (at, 1, share)).collect();
    covered.push(([6, 4], 2, 0.7));
    let (labels, failed) = repaired(
        &coverage(3, &covered),
        &[part(1, &stroke), part(2, &[([6, 4], 0.7)])],
    );
    assert_eq!(labels[bead([4, 4])], 1);
    assert_eq!(labels[bead([6, 4])], 2);
    assert_eq!(failed, 0);
}

#[test]
fn a_bead_between_two_lines_goes_to_the_ground() {
    let line = |column: u32| [1, 3, 5, 7, 9, 11].map(|row| ([row, column], 1.0));
    let mut first = line(3).to_vec();
    first.push(([6, 4], 0.55));
    let lines = [first, line(5).to_vec()];
    let covered = lines.iter().flatten().map(|&(at, share)| (at, 1, share));
    let covered: Vec<(Place, u8, f32)> = covered.collect();
    let parts = lines.map(|line| part(1, &line));
    let (labels, failed) = repaired(&coverage(2, &covered), &parts);
    assert_eq!(labels[bead([6, 4])], GROUND);
    assert_eq!(failed, 0);
}

#[test]
fn a_stroke_that_no_bead_shows_is_a_fault() {
    let covered = [([5, 5], 0.4), ([7, 5], 0.4), ([9, 5], 0.4)];
    let all = covered.map(|(at, share)| (at, 1, share));
    let body = [([1, 5], 1.0), ([3, 5], 1.0), ([2, 4], 1.0), ([2, 6], 1.0)];
    let drawn = body.map(|(at, share)| (at, 1, share));
    let stalk = Part {
        stroke: true,
        ..part(1, &covered)
    };
    let whole = part(1, &[&body[..], &covered[..]].concat());
    let coverage = coverage(2, &[&drawn[..], &all[..]].concat());
    let (labels, failed) = repaired(&coverage, &[whole.clone(), stalk]);
    assert_eq!(labels[bead([7, 5])], GROUND);
    assert_eq!(failed, 1);
    assert_eq!(repaired(&coverage, &[whole]).1, 0);
    let [one, none] = [1, 0].map(|failed| faults(&coverage, &labels, &band(), failed));
    assert!(one > none + 1.0, "{one} {none}");
}
