//! A design resized to another number of rows is the same design.

use super::round_trip::SCHEMA;
use proptest::collection::vec;
use proptest::prelude::*;
use upbead::bead::Bead;
use upbead::chart::resize::{KEPT, Resizer};
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
fn beads_in(columns: u32, at: usize) -> usize {
    ((columns + 1 - at as u32 % 2) / 2) as usize
}

fn chart_of(columns: u32, rows: &[Vec<u16>]) -> Chart {
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

/// Motifs of up to 20 rows on plain ground or on two rows in turn, alike from both ends or not, one
/// to four times, begun anywhere.
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
                let turned = 2 * turn.index(rows.len() / 2);
                rows.rotate_left(turned);
                Design {
                    chart: chart_of(columns, &rows),
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

/// Asserts that round the band, from some even row on, each motif is followed by `plain` ground
/// rows.
fn is_the_design(design: &Design, chart: &Chart, plain: usize) -> Result<(), TestCaseError> {
    let mut rows = rows_of(chart);
    let start = rows.iter().position(|row| *row == design.motif[0]);
    let mut start = start.expect("the motif's first row");
    // Mirrored end to end, the last row of a motif looks like its first.
    let whole = |rows: &[Vec<u16>], start: usize| {
        (0..design.motif.len()).all(|at| rows[(start + at) % rows.len()] == design.motif[at])
    };
    if !whole(&rows, start) {
        start = (start + 1..rows.len())
            .find(|&start| whole(&rows, start))
            .expect("a whole motif");
    }
    prop_assert_eq!(start % 2, 0, "an even shift");
    rows.rotate_left(start);
    let one = design.motif.len() + plain;
    prop_assert_eq!(rows.len(), one * design.repeats as usize);
    for (at, row) in rows.iter().enumerate() {
        let wanted = match design.motif.get(at % one) {
            Some(motif) => motif,
            None => &design.ground[at % 2],
        };
        prop_assert_eq!(row, wanted, "row {} from the motif on", at);
    }
    Ok(())
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
        let plain = i64::from(design.plain) + 2 * pairs;
        let rows = i64::from(design.chart.lattice.rows()) + 2 * pairs * i64::from(design.repeats);
        let least = resizer.fewest();
        prop_assert!(
            least == 6
                || least == design.repeats * (design.motif.len() as u32 + KEPT + design.plain % 2)
        );
        if rows < i64::from(least) {
            prop_assert!(rows < 0 || !resizer.is_exact(rows as u32));
            return Ok(());
        }
        let other = resized(&design.chart, rows as u32).expect("any even change of each repeat");
        is_the_design(&design, &other, plain as usize)?;
        prop_assert_eq!(is_mirrored(&other), is_mirrored(&design.chart));
        // Between them no count leaves the repeats equal.
        for more in (2..2 * design.repeats).step_by(2) {
            prop_assert!(!resizer.is_exact(rows as u32 + more));
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
            vec![("graded".to_string(), "us7".to_string())]
        );
    }

    #[test]
    fn rows_that_were_added_can_be_removed_again(design in design(), pairs in 0u32..20) {
        let rows = design.chart.lattice.rows();
        let other = resized(&design.chart, rows + 2 * pairs * design.repeats).unwrap();
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
        let chart = chart_of(columns, &rows);
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
