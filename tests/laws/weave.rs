//! The list of passes is a faithful simulation of flat peyote stitch, whatever the band.

use proptest::prelude::*;
use std::collections::BTreeSet;
use upbead::bead::Bead;
use upbead::lattice::{Lattice, Rows};
use upbead::request::{OddTurn, Start, WorkFrom};
use upbead::weave::{
    Frame, Item, Pass, TAIL, Thread, Turn, Weave, join_passes, lengths, lengths_by_row, weave,
};

fn any_lattice() -> impl Strategy<Value = Lattice> {
    let open =
        (3..=60u32, 2..=400u32).prop_map(|(columns, rows)| (columns, Rows::open(rows).unwrap()));
    let closed = (3..=60u32, 3..=200u32)
        .prop_map(|(columns, pairs)| (columns, Rows::closed(2 * pairs).unwrap()));
    prop_oneof![open, closed]
        .prop_map(|(columns, rows)| Lattice::new(Bead::default(), columns, rows).unwrap())
}

fn any_work() -> impl Strategy<Value = (Lattice, Weave)> {
    any_work_with(Just(OddTurn::Bridge))
}

fn any_turn() -> impl Strategy<Value = OddTurn> {
    prop_oneof![
        Just(OddTurn::Bridge),
        Just(OddTurn::FigureEight),
        Just(OddTurn::EdgeBead)
    ]
}

fn any_work_with(
    odd_turn: impl Strategy<Value = OddTurn>,
) -> impl Strategy<Value = (Lattice, Weave)> {
    let start = prop_oneof![Just(Start::Left), Just(Start::Right)];
    let from = prop_oneof![Just(WorkFrom::Bottom), Just(WorkFrom::Top)];
    (any_lattice(), start, from, odd_turn).prop_filter_map(
        "a strip that can be begun there",
        |(lattice, start, from, odd_turn)| {
            let frame = Frame::new(&lattice, start, from).ok()?.with_turn(odd_turn);
            Some((lattice, weave(&lattice, frame)))
        },
    )
}

/// Where the needle enters and leaves, in mm.
fn ends(lattice: &Lattice, pass: &Pass) -> ((f64, f64), (f64, f64)) {
    let (row, column) = lattice.position(pass.bead);
    let rectangle = lattice.rectangle(row, column);
    let y = lattice.centre(row, column).1.get();
    let (left, right) = ((rectangle.left.get(), y), (rectangle.right.get(), y));
    if pass.forward {
        (left, right)
    } else {
        (right, left)
    }
}

/// Every pass begins at the mouth where the last ended: on the same upright line between columns,
/// at most a bead's diameter along it. That is the step between two beads of a column, round the
/// edge or in the figure-eight; beside each other it is half of it.
fn follow_each_other(lattice: &Lattice, passes: &[Pass]) -> std::result::Result<(), TestCaseError> {
    let diameter = lattice.bead().diameter.get();
    let period = lattice.picture_height().get();
    for pair in passes.windows(2) {
        let (_, left) = ends(lattice, &pair[0]);
        let (entered, _) = ends(lattice, &pair[1]);
        prop_assert!((left.0 - entered.0).abs() < 1e-9, "{pair:?}");
        let mut apart = (left.1 - entered.1).abs();
        if lattice.is_closed() {
            apart = apart.min((period - apart).abs());
        }
        prop_assert!(apart < diameter + 1e-9, "{apart} between {pair:?}");
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(256)
    })]


    #[test]
    fn every_bead_is_picked_up_once_and_before_it_is_passed(
        (lattice, work) in any_work_with(any_turn()),
    ) {
        let mut held = vec![false; lattice.len()];
        for pass in &work.passes {
            prop_assert_eq!(pass.picked, !held[pass.bead], "{:?}", pass);
            held[pass.bead] = true;
        }
        prop_assert!(held.iter().all(|&held| held));
        let after = work
            .seam
            .iter()
            .chain(&work.thread_end)
            .chain(&work.tail_end);
        prop_assert!(after.clone().all(|pass| !pass.picked));
    }

    #[test]
    fn each_pass_begins_where_the_last_ended((lattice, work) in any_work_with(any_turn())) {
        let whole: Vec<Pass> = work
            .passes
            .iter()
            .chain(&work.seam)
            .chain(&work.thread_end)
            .copied()
            .collect();
        follow_each_other(&lattice, &whole)?;
        follow_each_other(&lattice, &work.tail_end)?;
    }

    /// The old thread's end and the new one's beginning lie in beads that are woven by then, and
    /// the new thread comes out of the bead that the old one came out of, the same way.
    #[test]
    fn a_new_thread_comes_out_where_the_old_one_did(
        (lattice, work) in any_work_with(any_turn()),
        share in 0.0..1.0f64,
    ) {
        prop_assume!(!work.rows.is_empty());
        let after = (share * work.rows.len() as f64) as usize;
        let Some(join) = join_passes(&lattice, work.frame, after) else {
            prop_assert!(after < 6, "after {after}");
            return Ok(());
        };
        let woven = &work.passes[..work.rows[after].passes.end];
        let last = woven[woven.len() - 1];
        let place = |pass: &Pass| (pass.bead, pass.forward);
        prop_assert_eq!(place(&join.leaves), place(&last));
        prop_assert_eq!(join.new_start.last().map(place), Some(place(&last)));
        let held: BTreeSet<usize> = woven.iter().map(|pass| pass.bead).collect();
        let both = join.old_end.iter().chain(&join.new_start);
        prop_assert!(both.into_iter().all(|pass| held.contains(&pass.bead) && !pass.picked));
        follow_each_other(&lattice, &join.new_start)?;
        let out: Vec<Pass> = [last].into_iter().chain(join.old_end).collect();
        follow_each_other(&lattice, &out)?;
    }

    /// Passes of an odd count beyond those across: none for each even row, and for each odd one
    /// after row 1 seven by the figure-eight, three by the edge bead, one by the bridge.
    #[test]
    fn odd_turns_take_the_passes_that_they_are_known_for(
        (lattice, work) in any_work_with(any_turn()),
    ) {
        prop_assume!(lattice.columns() % 2 == 1);
        let odd = work.rows.len().div_ceil(2);
        let across = work.strung.len() + work.rows.len() * (work.strung.len() - 1) + odd;
        let more = match work.frame.odd_turn() {
            OddTurn::Bridge if odd > 0 => 7 + (odd - 1),
            OddTurn::Bridge => 0,
            OddTurn::FigureEight => 7 * odd,
            OddTurn::EdgeBead => 3 * odd,
        };
        prop_assert_eq!(work.passes.len(), across + more);
    }

    #[test]
    fn rows_alternate_and_turn_as_an_odd_or_even_count_requires((lattice, work) in any_work()) {
        let columns = lattice.columns();
        prop_assert_eq!(work.strung.len() as u32, columns);
        prop_assert_eq!(work.rows.len() as u32, lattice.rows() - 2);
        let first = work.passes[0].forward;
        for (at, row) in work.rows.iter().enumerate() {
            prop_assert_eq!(row.forward, (at % 2 == 1) == first, "row {}", at + 3);
            prop_assert!(
                work.passes[row.passes.clone()]
                    .iter()
                    .filter(|pass| pass.picked)
                    .map(|pass| pass.bead)
                    .eq(row.beads.iter().copied())
            );
            prop_assert!(
                row.beads
                    .iter()
                    .all(|&bead| lattice.position(bead).0 == row.row)
            );
        }
        let turns = |turn: Turn| work.rows.iter().filter(|row| row.turn == turn).count();
        let odd = columns % 2 == 1;
        let odd_rows_from_5 = (5..=lattice.rows()).filter(|row| row % 2 == 1).count();
        prop_assert_eq!(
            turns(Turn::FigureEight),
            usize::from(odd && lattice.rows() >= 3)
        );
        prop_assert_eq!(turns(Turn::Bridge), if odd { odd_rows_from_5 } else { 0 });
        prop_assert_eq!(
            work.passes.iter().filter(|pass| pass.caught).count(),
            turns(Turn::Bridge)
        );
        // The bridge is caught at one edge only: the one the work began at.
        let edge = lattice.position(work.strung[0]).1;
        for row in work
            .rows
            .iter()
            .filter(|row| matches!(row.turn, Turn::Bridge | Turn::FigureEight))
        {
            prop_assert_eq!(lattice.position(row.beads[row.beads.len() - 1]).1, edge);
        }
        // The list is the strung beads and then the rows, without gap.
        let mut at = columns as usize;
        for row in &work.rows {
            prop_assert_eq!(row.passes.start, at);
            at = row.passes.end;
        }
        prop_assert_eq!(at, work.passes.len());
    }

    #[test]
    fn the_seam_touches_every_bead_of_both_edges((lattice, work) in any_work()) {
        if !lattice.is_closed() {
            prop_assert!(work.seam.is_empty());
            return Ok(());
        }
        let touched: BTreeSet<usize> = work.seam.iter().map(|pass| pass.bead).collect();
        let outermost = lattice.position(work.strung[work.strung.len() - 1]).0;
        let last = work.rows[work.rows.len() - 1].row;
        for row in [outermost, last] {
            prop_assert!(
                lattice.span_of(row).all(|bead| touched.contains(&bead)),
                "row {row:?}"
            );
        }
        // Once across and once back, whole.
        prop_assert_eq!(work.seam.len() as u32, 2 * lattice.columns());
        let (out, back) = work.seam.split_at(lattice.columns() as usize);
        prop_assert!(out.iter().all(|pass| pass.forward == out[0].forward));
        prop_assert!(back.iter().all(|pass| pass.forward != out[0].forward));
    }

    #[test]
    fn ends_change_direction_at_least_four_times((lattice, work) in any_work()) {
        ends_hold(&lattice, &work)?;
    }

    #[test]
    fn thread_by_row_rises_by_what_a_row_takes_and_ends_at_the_whole_path(
        (lattice, work) in any_work(),
    ) {
        let thread = Thread::default();
        let rows = lengths_by_row(&lattice, &work, thread);
        prop_assert_eq!(rows.len(), work.rows.len());
        let path = lengths(&lattice, &work, thread, TAIL)
            .items
            .iter()
            .find(|(item, _)| *item == Item::Path)
            .unwrap()
            .1;
        prop_assert_eq!(rows.last().copied().unwrap_or(path), path);
        // A row passes through as many beads as it has passes, and the thread is no shorter than
        // they are long.
        let ends = std::iter::once(0.0).chain(rows.iter().map(|length| length.get()));
        let starts: Vec<f64> = ends.collect();
        for (at, row) in work.rows.iter().enumerate() {
            let passes = if at == 0 {
                row.passes.end
            } else {
                row.passes.len()
            };
            let least = passes as f64 * lattice.bead().length.get();
            let taken = starts[at + 1] - starts[at];
            prop_assert!(taken >= least - 1e-2, "row {at}: {taken} < {least}");
            prop_assert!(
                taken <= 2.5 * least + 2.0 * lattice.bead().diameter.get(),
                "row {at}: \
                 {taken} {least}"
            );
        }
    }

    #[test]
    fn starting_at_the_other_edge_mirrors_the_list((lattice, work) in any_work()) {
        if lattice.columns() % 2 == 0 {
            return Ok(());
        }
        let other = match work.frame.start() {
            Start::Left => Start::Right,
            Start::Right => Start::Left,
        };
        let mirrored = weave(
            &lattice,
            Frame::new(&lattice, other, work.frame.work_from()).unwrap(),
        );
        prop_assert_eq!(mirrored.passes.len(), work.passes.len());
        for (one, two) in work.passes.iter().zip(&mirrored.passes) {
            let (row, column) = lattice.position(one.bead);
            let (image_row, image) = lattice.position(two.bead);
            prop_assert_eq!(row, image_row);
            prop_assert_eq!(column.get() + image.get(), lattice.columns() + 1);
            prop_assert_eq!(one.forward, !two.forward);
            prop_assert_eq!((one.picked, one.caught), (two.picked, two.caught));
        }
        let thread = Thread::default();
        let (one, two) = (
            lengths(&lattice, &work, thread, TAIL),
            lengths(&lattice, &mirrored, thread, TAIL),
        );
        prop_assert!((one.total().get() - two.total().get()).abs() < 1e-6);
    }
}

/// At least four changes of direction in either end; none where an edge has a single bead, so that
/// there is nothing to turn into.
fn ends_hold(lattice: &Lattice, work: &Weave) -> std::result::Result<(), TestCaseError> {
    let start = work.seam.last().or(work.passes.last()).copied();
    let one_bead_at_the_edge =
        lattice.rows() == 2 || (lattice.rows() == 3 && lattice.columns().is_multiple_of(2));
    for (end, before) in [(&work.thread_end, start), (&work.tail_end, None)] {
        let all: Vec<Pass> = before.into_iter().chain(end.iter().copied()).collect();
        let changes = all
            .windows(2)
            .filter(|pair| pair[0].forward != pair[1].forward)
            .count();
        if one_bead_at_the_edge {
            prop_assert!(end.is_empty())
        } else {
            prop_assert!(changes >= 4, "{changes}")
        }
    }
    Ok(())
}

#[test]
fn ends_hold_on_every_small_band() {
    let rows = (2..=12)
        .map(|rows| Rows::open(rows).unwrap())
        .chain((3..=6).map(|pairs| Rows::closed(2 * pairs).unwrap()));
    for (rows, columns) in rows.flat_map(|rows| (3..=12).map(move |columns| (rows, columns))) {
        let lattice = Lattice::new(Bead::default(), columns, rows).unwrap();
        for start in [Start::Left, Start::Right] {
            for from in [WorkFrom::Bottom, WorkFrom::Top] {
                if let Ok(frame) = Frame::new(&lattice, start, from) {
                    let held = ends_hold(&lattice, &weave(&lattice, frame));
                    assert!(
                        held.is_ok(),
                        "{columns} x {rows:?} {start:?} {from:?}: {held:?}"
                    );
                }
            }
        }
    }
}

/// Common practice, no source: a nine-column ring of US 7 takes about five feet (1.5 m) of thread,
/// cut with a tail of about four inches (100 mm).
#[test]
fn a_nine_column_ring_of_us_7_takes_about_five_feet_of_thread() {
    let ring = Lattice::new(Bead::default(), 9, Rows::closed(74).unwrap()).unwrap();
    let work = weave(
        &ring,
        Frame::new(&ring, Start::Left, WorkFrom::Bottom).unwrap(),
    );
    let total = lengths(&ring, &work, Thread::default(), TAIL).total().get();
    assert!((1350.0..1650.0).contains(&total), "{total}");
}
