//! Charts changed by command: what is undone is as before.

use super::resize::{beads_in, chart_of};
use proptest::collection::vec;
use proptest::prelude::*;
use upbead::chart::Chart;
use upbead::lattice::{Flip, Row, Shift};

/// A closed band in four colours.
fn any_chart() -> impl Strategy<Value = Chart> {
    (3u32..12, 3usize..20).prop_flat_map(|(columns, pairs)| {
        let rows: Vec<_> = (0..2 * pairs)
            .map(|at| vec(0u16..4, beads_in(columns, at)))
            .collect();
        rows.prop_map(move |rows| chart_of(columns, &rows))
    })
}

proptest! {
    #[test]
    fn a_shift_is_undone_by_the_opposite_one(
        chart in any_chart(), up in -50i64..50, right in -20i64..20,
    ) {
        let shift = Shift { up: 2 * up, right: 2 * right };
        let back = Shift { up: -2 * up, right: -2 * right };
        let there = chart.shifted(shift).unwrap();
        prop_assert_eq!(there.counts(), chart.counts());
        prop_assert_eq!(there.shifted(back).unwrap(), chart.clone());
        let round = Shift { up: i64::from(chart.lattice.rows()), right: 0 };
        prop_assert_eq!(chart.shifted(round).unwrap(), chart);
    }

    #[test]
    fn a_flip_undoes_itself_and_both_are_one_after_the_other(chart in any_chart()) {
        for flip in [Flip::Columns, Flip::Rows, Flip::Both] {
            if let Ok(flipped) = chart.flipped(flip) {
                prop_assert_eq!(flipped.counts(), chart.counts());
                prop_assert_eq!(&flipped.flipped(flip).unwrap(), &chart);
            }
        }
        if let Ok(sides) = chart.flipped(Flip::Columns) {
            prop_assert_eq!(sides.flipped(Flip::Rows).unwrap(), chart.flipped(Flip::Both).unwrap());
        }
    }

    #[test]
    fn beads_set_and_set_back_are_as_before(
        chart in any_chart(), any in any::<prop::sample::Index>(),
    ) {
        let bead = any.index(chart.beads.len());
        let mut changed = chart.clone();
        changed.set_beads(&[bead], &chart.colours[0]).unwrap();
        prop_assert_eq!(changed.beads[bead], 0);
        let own = &chart.colours[usize::from(chart.beads[bead])];
        changed.set_beads(&[bead], own).unwrap();
        prop_assert_eq!(changed, chart);
    }

    #[test]
    fn repeated_rows_follow_one_another(chart in any_chart(), first in 1u32..5, times in 3u32..6) {
        let last = first + 1;
        let band = chart.repeated(Row::new(first), Row::new(last), times).unwrap();
        prop_assert_eq!(band.lattice.rows(), 2 * times);
        for row in band.lattice.all_rows() {
            let from = if row.get() % 2 == first % 2 { first } else { last };
            prop_assert_eq!(band.row(row), chart.row(Row::new(from)));
        }
        // The whole band once is the band.
        let rows = chart.lattice.rows();
        prop_assert_eq!(chart.filled(Row::new(1), Row::new(rows)).unwrap(), chart);
    }
}
