//! A design resized to another number of rows is the same design.

use super::round_trip::SCHEMA;
use proptest::collection::vec;
use proptest::prelude::*;
use upbead::bead::Bead;
use upbead::chart::resize::{GAP, GAP_DIFFERENCE, KEPT, Resizer};
use upbead::chart::{self, Chart, Made, Shade};
use upbead::colour::Srgb8;
use upbead::lattice::{Lattice, Rows};

/// Colours of grounds and fillings; the first bead of each motif row has a colour above these, a
/// row's own, so that a motif holds no plain stretch.
const PLAIN: u16 = 3;

/// A band of motifs on a ground, with what is known about it.
#[derive(Debug, Clone)]
struct Design {
    chart: Chart,
    /// Rows of a motif, in order.
    motif: Vec<Vec<u16>>,
    /// Even and odd ground rows, counted from 0.
    ground: [Vec<u16>; 2],
    /// Plain rows between two motifs.
    plain: u32,
    repeats: u32,
}

/// How many beads row `at`, counted from 0, has.
pub(crate) fn beads_in(columns: u32, at: usize) -> usize {
    ((columns + 1 - at as u32 % 2) / 2) as usize
}

pub(crate) fn chart_of(columns: u32, rows: &[Vec<u16>]) -> Chart {
    let lattice = Lattice::new(
        Bead::default(),
        columns,
        Rows::closed(rows.len() as u32).unwrap(),
    )
    .unwrap();
    let colours = (0..64u8).map(|at| Shade {
        code: format!("c{at}"),
        name: format!("colour {at}"),
        srgb: Srgb8::new(4 * at, 0, 0),
        finish: None,
    });
    Chart {
        lattice,
        colours: colours.collect(),
        beads: rows.concat(),
        made: Made::default(),
        title: None,
        notes: None,
    }
}

/// Motifs of up to 20 rows on a plain ground that the record names, begun anywhere, or on two rows
/// that alternate across the seam; alike from both ends or not, one to four times.
fn design() -> impl Strategy<Value = Design> {
    let shape = (3u32..14, 1usize..20, 4u32..40, 1u32..=4);
    (
        shape,
        any::<bool>(),
        any::<bool>(),
        any::<prop::sample::Index>(),
        vec(0..PLAIN, 400),
    )
        .prop_map(
            |((columns, length, plain, repeats), mirrored, solid, turn, fill)| {
                // Mirrored end to end, a motif has a middle row, and so an odd count.
                let length = if mirrored { length | 1 } else { length };
                let plain = plain + (length as u32 + plain) % 2;
                let mut fill = fill.into_iter().cycle();
                let mut motif: Vec<Vec<u16>> = (0..length)
                    .map(|at| {
                        let mut row: Vec<u16> = fill.by_ref().take(beads_in(columns, at)).collect();
                        row[0] = PLAIN + at as u16;
                        row
                    })
                    .collect();
                if mirrored {
                    for at in 0..length / 2 {
                        motif[length - 1 - at] = motif[at].clone();
                    }
                }
                let ground = [0, 1].map(|at| {
                    if solid {
                        vec![0; beads_in(columns, at)]
                    } else {
                        fill.by_ref().take(beads_in(columns, at)).collect()
                    }
                });
                let between = (length..length + plain as usize).map(|at| ground[at % 2].clone());
                let one: Vec<Vec<u16>> = motif.iter().cloned().chain(between).collect();
                let mut rows: Vec<Vec<u16>> = (0..repeats).flat_map(|_| one.clone()).collect();
                let half = rows.len() / 2;
                if solid {
                    rows.rotate_left(2 * turn.index(half));
                } else {
                    rows.rotate_right(2 + 2 * turn.index(plain as usize / 2 - 1));
                }
                let mut chart = chart_of(columns, &rows);
                if solid {
                    chart.made.options = vec![("ground".to_string(), "c0".to_string())];
                }
                Design {
                    chart,
                    motif,
                    ground,
                    plain,
                    repeats,
                }
            },
        )
}

fn rows_of(chart: &Chart) -> Vec<Vec<u16>> {
    let rows = chart.lattice.all_rows();
    rows.map(|row| chart.row(row).to_vec()).collect()
}

/// The plain rows after each motif, and whether the seam lies among them. Asserts that the motifs
/// are whole, an even number of rows apart from their places, and that nothing else is there.
fn gaps(design: &Design, chart: &Chart) -> Result<Vec<(usize, bool)>, TestCaseError> {
    let rows = rows_of(chart);
    let (count, length) = (rows.len(), design.motif.len());
    let is_whole =
        |start: usize| (0..length).all(|at| rows[(start + at) % count] == design.motif[at]);
    // Mirrored end to end, the last row of a motif looks like its first.
    let starts: Vec<usize> = (0..count)
        .step_by(2)
        .filter(|&start| is_whole(start))
        .collect();
    prop_assert!(
        !starts.is_empty(),
        "a whole motif, moved by an even number of rows"
    );
    let mut gaps = Vec::new();
    for (at, &start) in starts.iter().enumerate() {
        let next = starts.get(at + 1).copied().unwrap_or(starts[0] + count);
        for row in start + length..next {
            let ground = &design.ground[(row - start) % 2];
            prop_assert_eq!(&rows[row % count], ground, "row {}", row % count + 1);
        }
        let has_seam = start + length < count && next > count;
        gaps.push((next - start - length, has_seam));
    }
    Ok(gaps)
}

/// Whether some axis through a row mirrors the band end to end.
fn is_mirrored(chart: &Chart) -> bool {
    let rows = rows_of(chart);
    let count = rows.len();
    (0..count)
        .step_by(2)
        .any(|axis| (0..count).all(|at| rows[at] == rows[(axis + count - at) % count]))
}

fn resized(chart: &Chart, rows: u32) -> Option<Chart> {
    let resizer = Resizer::new(chart).unwrap();
    assert_eq!(
        resizer.is_exact(rows),
        resizer
            .resized(Rows::closed(rows).unwrap(), "us7")
            .unwrap()
            .is_some()
            && rows >= resizer.fewest()
    );
    resizer.resized(Rows::closed(rows).unwrap(), "us7").unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(400)
    })]


    #[test]
    fn the_motif_stays_bead_for_bead_and_the_repeats_stay_equal(
        design in design(),
        pairs in -20i64..20,
    ) {
        let resizer = Resizer::new(&design.chart).unwrap();
        prop_assert_eq!(resizer.repeats(), design.repeats);
        prop_assert_eq!(resizer.motif_rows() as usize, design.motif.len());
        prop_assert_eq!(resizer.mirror().is_some(), is_mirrored(&design.chart));
        let (period, repeats) = (resizer.period(), design.repeats);
        let plain = i64::from(design.plain) + 2 * pairs;
        let rows = i64::from(design.chart.lattice.rows()) + 2 * pairs * i64::from(repeats);
        let least = resizer.fewest();
        let shortest = repeats * (design.motif.len() as u32 + KEPT + design.plain % 2);
        prop_assert!(least <= shortest.max(6) && (repeats > 1 || least == shortest.max(6)));
        if rows < i64::from(shortest.max(6)) {
            let exact = rows > 0 && resizer.is_exact(rows as u32);
            prop_assert!(!exact || repeats > 1);
            return Ok(());
        }
        let rows = rows as u32;
        let other = resized(&design.chart, rows).expect("any even change of each repeat");
        let whole = repeats > 1 && rows.is_multiple_of(period);
        let (repeats, plain) = if whole {
            (rows / period, design.plain as usize)
        } else {
            (repeats, plain as usize)
        };
        let found = gaps(&design, &other)?;
        prop_assert_eq!(found.len(), repeats as usize);
        prop_assert!(found.iter().all(|(gap, _)| *gap == plain), "{found:?}");
        prop_assert_eq!(is_mirrored(&other), is_mirrored(&design.chart));
        // Between them a count leaves the repeats equal, or one gap differs: that at the back.
        for more in (2..2 * design.repeats).step_by(2) {
            let Some(other) = resized(&design.chart, rows + more) else {
                continue;
            };
            let mut found = gaps(&design, &other)?;
            if (rows + more).is_multiple_of(period) {
                prop_assert!(found.iter().all(|(gap, _)| *gap == design.plain as usize));
                continue;
            }
            let back = found.iter().position(|(_, has_seam)| *has_seam);
            let (back, _) = found.remove(back.expect("a gap at the back"));
            let gap = found[0].0;
            prop_assert!(found.iter().all(|other| other.0 == gap), "{found:?}");
            prop_assert!(gap >= GAP as usize);
            prop_assert!(GAP_DIFFERENCE as usize * gap.abs_diff(back) <= gap);
            prop_assert_eq!(is_mirrored(&other), is_mirrored(&design.chart));
        }
    }

    /// A plain ground that is known is all that changes: every other colour keeps its beads.
    #[test]
    fn only_the_ground_gains_or_loses_beads(design in design(), pairs in -20i64..20) {
        let resizer = Resizer::new(&design.chart).unwrap();
        let rows = i64::from(design.chart.lattice.rows()) + 2 * pairs;
        let (Some(ground), Some(rows)) = (resizer.ground(), u32::try_from(rows).ok()) else {
            return Ok(());
        };
        let Some(other) = (rows >= 6).then(|| resized(&design.chart, rows)).flatten() else {
            return Ok(());
        };
        let repeats = rows / resizer.period();
        let whole = design.repeats > 1 && rows.is_multiple_of(resizer.period());
        let counts = design.chart.counts().into_iter().zip(other.counts());
        let times = |now: usize| now / design.repeats as usize * repeats as usize;
        for (colour, (now, then)) in counts.enumerate() {
            let expected = if whole { times(now) } else { now };
            let is_ground = colour == usize::from(ground);
            prop_assert!(is_ground || then == expected, "colour {colour}");
        }
    }

    #[test]
    fn a_resized_chart_is_a_valid_chart(design in design(), pairs in 0u32..20) {
        let rows = design.chart.lattice.rows() + 2 * pairs * design.repeats;
        let other = resized(&design.chart, rows).unwrap();
        let text = chart::write::write(&other);
        prop_assert!(SCHEMA.is_valid(&serde_json::from_str(&text).unwrap()));
        prop_assert_eq!(chart::read::read(&text).unwrap(), other.clone());
        prop_assert_eq!(
            other.made.options,
            [&design.chart.made.options[..], &[("graded".to_string(), "us7".to_string())]].concat()
        );
    }

    #[test]
    fn rows_that_were_added_can_be_removed_again(design in design(), pairs in 0u32..20) {
        let rows = design.chart.lattice.rows();
        let more = rows + 2 * pairs * design.repeats;
        // Whole repeats could be removed as rows of each.
        let whole = more.is_multiple_of(rows / design.repeats)
            || rows.is_multiple_of(more / design.repeats);
        prop_assume!(design.repeats == 1 || !whole);
        let other = resized(&design.chart, more).unwrap();
        let again = resized(&other, rows).unwrap();
        prop_assert_eq!(again.beads, design.chart.beads);
    }

    /// Two motifs with plain stretches between them that are mirror images of each other: both
    /// change, or none.
    #[test]
    fn two_sides_stay_mirrored(
        columns in 3u32..14,
        lengths in (0usize..8, 0usize..8),
        plain in 4usize..20,
        pairs in 0usize..10,
    ) {
        let row = |at: usize, own: u16| {
            let mut row = vec![0; beads_in(columns, at)];
            row[0] = own;
            row
        };
        let (one, two) = (2 * lengths.0 + 1, 2 * lengths.1 + 1);
        let mut rows: Vec<Vec<u16>> = Vec::new();
        for (length, first) in [(one, 10), (two, 30)] {
            let start = rows.len();
            rows.extend(
                (0..length).map(|at| row(start + at, first + at.min(length - 1 - at) as u16)),
            );
            let start = rows.len();
            rows.extend((start..start + plain).map(|at| row(at, 0)));
        }
        let mut chart = chart_of(columns, &rows);
        chart.made.options = vec![("ground".to_string(), "c0".to_string())];
        prop_assert!(is_mirrored(&chart));
        let count = rows.len() as u32;
        let resizer = Resizer::new(&chart).unwrap();
        prop_assert_eq!((resizer.repeats(), resizer.step()), (1, 4));
        prop_assert!(!resizer.is_exact(count + 2));
        let other = resized(&chart, count + 4 * pairs as u32).unwrap();
        prop_assert!(is_mirrored(&other));
        prop_assert_eq!(resized(&other, count).unwrap().beads, chart.beads);
    }
}

/// Stripes: two alternating rows all round are repeats of two rows, and any even count will do.
#[test]
fn stripes_come_in_any_even_count() {
    let rows: Vec<Vec<u16>> = (0..40)
        .map(|at| vec![at as u16 % 2; beads_in(9, at)])
        .collect();
    let chart = chart_of(9, &rows);
    let resizer = Resizer::new(&chart).unwrap();
    assert_eq!(
        (resizer.repeats(), resizer.period(), resizer.fewest()),
        (20, 2, 6)
    );
    let other = resized(&chart, 74).unwrap();
    assert!(
        rows_of(&other)
            .iter()
            .enumerate()
            .all(|(at, row)| row[0] == at as u16 % 2)
    );
}

/// A repeat without a plain stretch comes whole.
#[test]
fn repeats_without_a_plain_stretch_are_added_or_dropped_whole() {
    let rows: Vec<Vec<u16>> = (0..72)
        .map(|at| vec![at as u16 % 18; beads_in(9, at)])
        .collect();
    let chart = chart_of(9, &rows);
    let resizer = Resizer::new(&chart).unwrap();
    assert_eq!(
        (resizer.repeats(), resizer.fewest(), resizer.near(76)),
        (4, 18, (Some(72), Some(90)))
    );
    assert_eq!(rows_of(&resized(&chart, 90).unwrap())[72..], rows[..18]);
    assert!(resized(&chart, 74).is_none());
}

#[test]
fn a_design_without_a_plain_place_says_so() {
    let rows: Vec<Vec<u16>> = (0..40).map(|at| vec![at as u16; beads_in(9, at)]).collect();
    let error = Resizer::new(&chart_of(9, &rows)).unwrap_err().to_string();
    assert!(
        error.starts_with("there is no place to add or remove rows"),
        "{error}"
    );
}

/// A stem, a solid tower and a hem: plain, but parts of the motif.
#[test]
fn a_plain_part_of_the_motif_never_grows() {
    let stem = |at: usize| {
        let mut row = vec![0; beads_in(9, at)];
        if at.is_multiple_of(2) {
            row[2] = 1;
        }
        row
    };
    // 30 rows of stem, 20 of flower, 6 of ground round the seam.
    let flower = |at: usize| {
        let mut row = stem(at);
        row[0] = 10 + at as u16 % 50;
        row
    };
    let ground = |at: usize| vec![0; beads_in(9, at)];
    let tower = |at: usize| vec![2; beads_in(9, at)];
    let band = |part: &dyn Fn(usize) -> Vec<u16>| -> Chart {
        let rows: Vec<Vec<u16>> = (0..56)
            .map(|at| match at {
                0..4 | 54.. => ground(at),
                4..34 => part(at),
                _ => flower(at),
            })
            .collect();
        chart_of(9, &rows)
    };
    for (part, name) in [
        (&stem as &dyn Fn(usize) -> Vec<u16>, "stem"),
        (&tower, "tower"),
    ] {
        let chart = band(part);
        let resizer = Resizer::new(&chart).unwrap();
        assert_eq!(resizer.ground(), Some(0), "{name}");
        // Two plain rows have to stay.
        assert_eq!(resizer.fewest(), 52, "{name}");
        for rows in [52, 54, 58, 80] {
            let (now, then) = (chart.counts(), resized(&chart, rows).unwrap().counts());
            assert_eq!(now[1..], then[1..], "{name}, {rows} rows");
        }
    }
}
