//! The lattice: every bead once, neighbours both ways, a closed band without end.

use proptest::prelude::*;
use upbead::bead::Bead;
use upbead::lattice::{Axis, Column, Lattice, Row, Rows};

fn any_lattice() -> impl Strategy<Value = Lattice> {
    let open =
        (3..60u32, 2..200u32).prop_map(|(columns, rows)| (columns, Rows::open(rows).unwrap()));
    let closed = (3..60u32, 3..100u32)
        .prop_map(|(columns, pairs)| (columns, Rows::closed(2 * pairs).unwrap()));
    prop_oneof![open, closed]
        .prop_map(|(columns, rows)| Lattice::new(Bead::default(), columns, rows).unwrap())
}

fn cases(count: u32) -> ProptestConfig {
    ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(count)
    }
}

proptest! {
    #![proptest_config(cases(300))]


    #[test]
    fn every_bead_is_in_exactly_one_row(lattice in any_lattice()) {
        let mut seen = 0;
        for row in lattice.all_rows() {
            let columns: Vec<Column> = lattice.columns_of(row).collect();
            prop_assert_eq!(columns.len(), lattice.beads_in(row));
            prop_assert_eq!(lattice.span_of(row), seen..seen + columns.len());
            for column in columns {
                prop_assert_eq!(column.get() % 2, row.get() % 2);
                prop_assert_eq!(lattice.index(row, column), Some(seen));
                prop_assert_eq!(lattice.position(seen), (row, column));
                seen += 1;
            }
        }
        prop_assert_eq!(seen, lattice.len());
        // Two rows hold a bead for each column.
        prop_assert_eq!(
            lattice.beads_in(Row::new(1)) + lattice.beads_in(Row::new(2)),
            lattice.columns() as usize
        );
    }

    #[test]
    fn neighbours_are_neighbours_both_ways_at_the_distance_of_their_centres(
        lattice in any_lattice(),
    ) {
        let bead = lattice.bead();
        let beside = (bead.length.get().powi(2) + bead.diameter.get().powi(2) / 4.0).sqrt();
        for index in 0..lattice.len() {
            let neighbours: Vec<_> = lattice.neighbours(index).collect();
            prop_assert!(neighbours.len() <= 6);
            for neighbour in neighbours {
                prop_assert!(neighbour.index != index);
                prop_assert!(
                    lattice
                        .neighbours(neighbour.index)
                        .any(|back| back.index == index && back.distance == neighbour.distance)
                );
                let distance = neighbour.distance.get();
                prop_assert!(
                    (distance - bead.diameter.get()).abs() < 1e-12
                        || (distance - beside).abs() < 1e-12
                );
            }
        }
    }

    #[test]
    fn a_closed_band_comes_back_to_the_same_bead(lattice in any_lattice(), turns in -3..=3i64) {
        let rows = i64::from(lattice.rows());
        for index in 0..lattice.len() {
            let round = lattice.step(index, turns * rows, 0);
            let there = lattice.is_closed() || turns == 0;
            prop_assert_eq!(round, there.then_some(index));
        }
        if lattice.is_closed() {
            // Away from the edges every bead has all six neighbours, at the seam too.
            for index in 0..lattice.len() {
                let (_, column) = lattice.position(index);
                let inside = column.get() > 1 && column.get() < lattice.columns();
                prop_assert_eq!(
                    lattice.neighbours(index).count(),
                    if inside { 6 } else { 4 }
                );
            }
        }
    }

    #[test]
    fn beads_cover_the_band_without_gap_or_overlap(lattice in any_lattice()) {
        let half = lattice.bead().diameter.get() / 2.0;
        let mut covered = vec![0u32; lattice.len()];
        for half_row in 0..lattice.half_rows() {
            for column in (1..=lattice.columns()).map(Column::new) {
                let Some(bead) = lattice.covering(half_row, column) else {
                    let edge = half_row == 0 || half_row + 1 == lattice.half_rows();
                    prop_assert!(!lattice.is_closed() && edge);
                    continue;
                };
                covered[bead] += 1;
                let (row, own) = lattice.position(bead);
                prop_assert_eq!(own, column);
                prop_assert!(lattice.half_rows_of(row).contains(&half_row));
                let rectangle = lattice.rectangle(row, column);
                let middle = (f64::from(half_row) + 0.5) * half;
                let period = lattice.picture_height().get();
                let inside = |y: f64| y > rectangle.bottom.get() && y < rectangle.top.get();
                prop_assert!(inside(middle) || (lattice.is_closed() && inside(middle + period)));
            }
        }
        prop_assert!(covered.iter().all(|&times| times == 2));
    }

    #[test]
    fn a_mirror_image_of_a_mirror_image_is_the_bead(
        lattice in any_lattice(), half_beads in -300..300i32,
    ) {
        let up = lattice.bead().diameter * (f64::from(half_beads) / 2.0);
        for axis in [Axis::Columns, lattice.ends_axis(up)] {
            let possible = lattice.check_mirror(axis).is_ok();
            for index in 0..lattice.len() {
                let image = lattice.mirrored(index, axis);
                prop_assert_eq!(image.is_some(), possible);
                if let Some(image) = image {
                    prop_assert_eq!(lattice.mirrored(image, axis), Some(index));
                }
            }
        }
    }

    #[test]
    fn the_ends_axis_runs_through_the_row_at_that_height_and_the_opposite_one(
        lattice in any_lattice(), half_beads in -300..300i32,
    ) {
        let half = lattice.bead().diameter / 2.0;
        let up = half * f64::from(half_beads);
        let Axis::Rows(middle) = lattice.ends_axis(up) else {
            return Err(TestCaseError::fail("another axis"));
        };
        let (_, y) = lattice.centre(middle, Column::new(1));
        let off = (y - lattice.picture_height() / 2.0).get() / half.get();
        // Without the last digits.
        let off = (off * 2.0).round() / 2.0;
        if !lattice.is_closed() {
            prop_assert!(off == 0.0 || off == -0.5, "{}", off);
            return Ok(());
        }
        let round = f64::from(lattice.rows());
        prop_assert_eq!((off - f64::from(half_beads)).rem_euclid(round), 0.0);
        for index in 0..lattice.len() {
            let (row, _) = lattice.position(index);
            let from = i64::from(row.get()) - i64::from(middle.get());
            let is_on_axis = from.rem_euclid(i64::from(lattice.rows() / 2)) == 0;
            let is_own = lattice.mirrored(index, Axis::Rows(middle)) == Some(index);
            prop_assert_eq!(is_own, is_on_axis);
        }
    }

    #[test]
    fn odd_counts_refuse_to_close_and_name_their_even_neighbours(pairs in 3..9_999u32) {
        let rows = 2 * pairs + 1;
        let error = Rows::closed(rows).unwrap_err();
        let hint = error.remedy().unwrap().to_string();
        prop_assert!(
            hint.contains(&format!("use {} or {};", rows - 1, rows + 1)),
            "{}",
            hint
        );
        prop_assert!(Rows::closed(rows - 1).is_ok() && Rows::closed(rows + 1).is_ok());
        prop_assert!(Rows::open(rows).is_ok());
    }
}
