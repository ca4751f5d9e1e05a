//! A pattern in rows that are not a whole number of its repeats is found, and one in rows that are
//! is left alone: stripes, twills, chevrons, diamonds and zigzags in many row counts.

use serde_json::json;
use upbead::report::check::FindingKind;
use upbead::{Chart, CheckRequest, check};

const COLUMNS: i64 = 9;
/// Far more rows than any repeat here has.
const LONG: i64 = 400;

/// A pattern without end: which colour is in a row and a column.
type Pattern = Box<dyn Fn(i64, i64) -> i64>;

/// Distance from the nearest multiple of `period`.
fn wave(at: i64, period: i64) -> i64 {
    let at = at.rem_euclid(period);
    at.min(period - at)
}

fn patterns() -> Vec<(String, Pattern)> {
    let mut all: Vec<(String, Pattern)> = Vec::new();
    for (wide, narrow) in [(1, 2), (2, 2), (3, 2), (3, 4), (5, 3), (6, 6), (8, 10)] {
        let colour = move |row: i64, _| i64::from(row.rem_euclid(wide + narrow) < wide);
        all.push((format!("stripes of {wide} and {narrow}"), Box::new(colour)));
    }
    // Along the two diagonals of the lattice one goes up by `steep` and by `flat`: where they
    // differ much the pattern is first seen straight above itself after many rows.
    for (steep, flat, of) in [
        (1, 0, 3),
        (1, 0, 4),
        (1, 0, 7),
        (2, 1, 9),
        (3, 1, 11),
        (5, 2, 23),
    ] {
        let colour = move |row: i64, column: i64| {
            let (right, left) = ((row + column) / 2, (row - column).div_euclid(2));
            i64::from((steep * right + flat * left).rem_euclid(of) < of / 2)
        };
        all.push((format!("twill {steep}:{flat} of {of}"), Box::new(colour)));
    }
    for period in [6, 8, 10, 14] {
        let colour = move |row: i64, column: i64| {
            i64::from((row + (column - 5).abs()).rem_euclid(period) < period / 2)
        };
        all.push((format!("chevron of {period}"), Box::new(colour)));
    }
    for period in [8, 12, 16, 18] {
        let colour = move |row: i64, column: i64| {
            i64::from(wave(row, period) + (column - 5).abs() < period / 3)
        };
        all.push((format!("diamond of {period}"), Box::new(colour)));
    }
    for period in [6, 10, 12, 16] {
        let colour = move |row: i64, column: i64| {
            i64::from((column - 3 - wave(row, period) / 2).rem_euclid(5) < 2)
        };
        all.push((format!("zigzag of {period}"), Box::new(colour)));
    }
    all
}

fn fits(pattern: &Pattern, rows: i64) -> bool {
    (1..=LONG).all(|row| {
        (1..=COLUMNS)
            .filter(|column| (row + column) % 2 == 0)
            .all(|column| pattern(row, column) == pattern(row + rows, column))
    })
}

fn chart(pattern: &Pattern, rows: i64) -> Chart {
    let of_row = |row: i64| -> Vec<i64> {
        let filled = (1..=COLUMNS).filter(|column| (row + column) % 2 == 0);
        filled.map(|column| pattern(row, column)).collect()
    };
    let text = json!({
        "format": "upbead-chart",
        "version": 1,
        "bead": { "length_mm": 1.3, "diameter_mm": 1.6, "hole_mm": 0.8 },
        "columns": COLUMNS,
        "closed": true,
        "colours": [
            { "code": "n", "name": "jersey navy", "hex": "1C3261" },
            { "code": "w", "name": "gull white", "hex": "FAFAF6" },
        ],
        "rows": (1..=rows).map(of_row).collect::<Vec<_>>(),
        "made": { "source": "", "sha256": "", "options": {}, "version": "" },
    });
    Chart::read(&text.to_string()).unwrap()
}

/// The row counts from 58 to 76 that a ring of a usual size has: 250 bands.
#[test]
fn rows_that_break_a_repeat_are_found_and_no_others() {
    let (mut broken, mut whole) = (0, 0);
    for (name, pattern) in patterns() {
        for rows in (58..=76).step_by(2) {
            let what = format!("{name} in {rows} rows");
            let report = check(&chart(&pattern, rows), None, &CheckRequest::default()).unwrap();
            let kind = |wanted| report.findings.iter().find(|found| found.kind == wanted);
            assert!(kind(FindingKind::Seam).is_none(), "{what}");
            let Some(found) = kind(FindingKind::Repeat) else {
                assert!(
                    fits(&pattern, rows),
                    "{what} is broken, and nothing was found"
                );
                whole += 1;
                continue;
            };
            assert!(!fits(&pattern, rows), "{what} is whole: {}", found.text);
            broken += 1;
            // Every count that is named fits, and none that is nearer was left out.
            let named = found.more.fitting.clone().unwrap();
            let mut expected: Vec<i64> = (6..LONG)
                .step_by(2)
                .filter(|count| fits(&pattern, *count))
                .collect();
            expected.sort_by_key(|count| ((count - rows).abs(), *count));
            expected.truncate(named.len());
            assert_eq!(
                named,
                expected.iter().map(|&n| n as u32).collect::<Vec<_>>(),
                "{what}"
            );
        }
    }
    assert_eq!(broken + whole, 250);
    assert!(broken > 180 && whole > 30, "{broken} broken, {whole} whole");
}
