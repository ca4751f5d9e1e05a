//! Other sizes of any band: what is said of them is enough, and nothing changes unsaid.

use super::resize::{beads_in, chart_of};
use proptest::collection::vec;
use proptest::prelude::*;
use std::path::{Path, PathBuf};
use upbead::chart::Chart;
use upbead::lattice::Row;
use upbead::report::resize::{Resized, SizedReport};
use upbead::request::ResizeRequest;

/// Colours of the parts; a motif row's own are above these.
const COLOURS: u16 = 4;

/// A run of rows of a band.
#[derive(Debug, Clone)]
enum Part {
    /// All of one colour.
    Plain(u16),
    /// One colour with a line of another along the band: a stem, or a hem.
    Line(u16, u16, usize),
    /// Rows that differ.
    Motif(u16),
}

/// Bands of up to eight runs of rows, one to three times, with a ground in the record or not.
fn band() -> impl Strategy<Value = Chart> {
    let part = prop_oneof![
        3 => (0..COLOURS).prop_map(Part::Plain),
        2 => (0..COLOURS, 0..COLOURS, 0usize..6)
            .prop_map(|(on, line, at)| Part::Line(on, line, at)),
        3 => (0..COLOURS).prop_map(Part::Motif),
    ];
    let parts = vec((part, 1usize..18), 1..8);
    (
        3u32..14,
        parts,
        1usize..=3,
        proptest::option::of(0..COLOURS),
    )
        .prop_map(|(columns, parts, repeats, ground)| {
            let mut one: Vec<Vec<u16>> = Vec::new();
            for (part, rows) in parts {
                for _ in 0..rows {
                    one.push(row(&part, columns, one.len()));
                }
            }
            if one.len() % 2 == 1 {
                one.push(row(&Part::Motif(0), columns, one.len()));
            }
            let repeats = repeats.max(6usize.div_ceil(one.len()));
            let rows: Vec<Vec<u16>> = (0..repeats).flat_map(|_| one.clone()).collect();
            let mut chart = chart_of(columns, &rows);
            if let Some(ground) = ground {
                chart.made.options = vec![("ground".to_string(), format!("c{ground}"))];
            }
            chart
        })
}

/// Row `at` of a band, counted from 0.
fn row(part: &Part, columns: u32, at: usize) -> Vec<u16> {
    let beads = beads_in(columns, at);
    match *part {
        Part::Plain(colour) => vec![colour; beads],
        Part::Line(on, line, column) => {
            let mut row = vec![on; beads];
            row[column % beads] = line;
            row
        }
        Part::Motif(on) => {
            let mut row = vec![on; beads];
            row[at % beads] = COLOURS + (at % 50) as u16;
            row
        }
    }
}

fn resized(chart: &Chart, nearest: bool) -> Option<Resized> {
    let mut request = ResizeRequest::default();
    request.sizes.sizes = Some("us3..us13".parse().unwrap());
    request.sizes.nearest = nearest;
    request.gauge.swatch = Some("40=33.6".parse().unwrap());
    Resized::new(&request, chart, Path::new("band.json"), |_| PathBuf::new()).ok()
}

/// What a student makes of a sentence such as `rows 3 to 70 without rows 15 and 16, with 2 more
/// plain rows after each of rows 4, 18 and 40, then 2 more rows like rows 1 and 2`.
#[derive(Default)]
struct Sentence {
    first: u32,
    last: u32,
    out: Vec<[u32; 2]>,
    /// The row before, how many, and the rows that they are like, if they are not plain.
    more: Vec<(u32, u32, Vec<u32>)>,
    times: u32,
}

fn numbers(words: &str) -> Vec<u32> {
    let numbers = words.split(' ').filter_map(|word| word.parse().ok());
    numbers.collect()
}

impl Sentence {
    fn read(words: &str) -> Self {
        let mut read = Self {
            times: 1,
            ..Self::default()
        };
        for part in words.split(", ") {
            let starts_with_digit = part.starts_with(|c: char| c.is_ascii_digit());
            if let Some(times) = part.strip_suffix(" times") {
                read.times = times.parse().unwrap();
            } else if let Some(range) = part.strip_prefix("rows ") {
                let (range, out) = range.split_once(" without rows ").unwrap_or((range, ""));
                let range = numbers(range);
                (read.first, read.last) = (range[0], range[1]);
                read.leave_out(out);
            } else if !starts_with_digit {
                let (more, place) = part.split_once(" after ").unwrap_or((part, ""));
                let more = numbers(more);
                let place = if place.is_empty() {
                    vec![read.last]
                } else {
                    numbers(place)
                };
                read.add(&place, more[0], &more[1..]);
            } else if let Some((_, count, like)) = read.more.last().cloned() {
                read.add(&numbers(part), count, &like);
            } else {
                read.leave_out(part);
            }
        }
        read
    }

    fn leave_out(&mut self, range: &str) {
        self.out.extend(
            numbers(range)
                .chunks_exact(2)
                .map(|ends| [ends[0], ends[1]]),
        );
    }

    fn add(&mut self, after: &[u32], count: u32, like: &[u32]) {
        self.more
            .extend(after.iter().map(|&row| (row, count, like.to_vec())));
    }
}

/// The rows that a student weaves who has the chart and one sentence.
fn woven(chart: &Chart, words: &str) -> Vec<Vec<u16>> {
    let sentence = Sentence::read(words);
    let row = |at: u32| chart.row(Row::new(at)).to_vec();
    let mut rows = Vec::new();
    for at in (0..sentence.times).flat_map(|_| sentence.first..=sentence.last) {
        if !sentence
            .out
            .iter()
            .any(|[first, last]| (*first..=*last).contains(&at))
        {
            rows.push(row(at));
        }
        for (_, count, like) in sentence.more.iter().filter(|(after, ..)| *after == at) {
            let like = match like[..] {
                // Plain rows are like those that stand there.
                [] => plain_pair(chart, at),
                _ => like.clone(),
            };
            for _ in 0..*count {
                let odd = rows.len() % 2 == 0;
                let one = like.iter().find(|row| (*row % 2 == 1) == odd).unwrap();
                rows.push(row(*one));
            }
        }
    }
    rows
}

/// Two rows of one colour next to the end of row `at`.
fn plain_pair(chart: &Chart, at: u32) -> Vec<u32> {
    let count = chart.lattice.rows();
    let plain = |row: u32| {
        let row = chart.row(Row::new(row));
        row.iter().all(|bead| *bead == row[0]).then_some(row[0])
    };
    let pairs = [
        [at - 1, at],
        [at, at % count + 1],
        [at % count + 1, at % count + 2],
    ];
    let found = pairs.into_iter().find(|[one, other]| {
        *one > 0 && *other <= count && plain(*one).is_some() && plain(*one) == plain(*other)
    });
    found.expect("plain rows").to_vec()
}

/// Whether two bands are the same ring: one is the other moved round by an even number of rows.
fn is_same_ring(one: &[Vec<u16>], other: &Chart) -> bool {
    let rows: Vec<&[u16]> = other.lattice.all_rows().map(|row| other.row(row)).collect();
    let count = rows.len();
    one.len() == count
        && (0..count)
            .step_by(2)
            .any(|from| (0..count).all(|at| one[at] == rows[(from + at) % count]))
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(600)
    })]

    #[test]
    fn no_colour_but_the_ground_changes_unsaid(chart in band(), nearest: bool) {
        let Some(made) = resized(&chart, nearest) else {
            return Ok(());
        };
        let said: String = made.report.warnings.iter().map(|one| one.text().to_string()).collect();
        let recorded = chart.recorded_ground().map(usize::from);
        for (report, other) in made.report.sizes.iter().zip(&made.charts) {
            prop_assert_eq!(report.rows % 2, 0);
            // More or fewer repeats have more or fewer of every colour.
            let repeats = made.report.repeats;
            if repeats > 1 && report.rows.is_multiple_of(made.report.period_rows) {
                continue;
            }
            let before = chart.counts();
            for (colour, beads) in other.counts().into_iter().enumerate() {
                let name = &chart.colours[colour].name;
                let is_ground = match recorded {
                    Some(ground) => ground == colour,
                    None => made.report.plain_colour.as_ref() == Some(name),
                };
                let is_said = is_ground || said.contains(&format!("{name} ("));
                prop_assert!(beads == before[colour] || is_said, "{name}: {said}");
            }
        }
    }

    #[test]
    fn the_rows_named_for_a_size_make_its_chart(chart in band(), nearest: bool) {
        let Some(made) = resized(&chart, nearest) else {
            return Ok(());
        };
        for (SizedReport { size, weave, .. }, other) in made.report.sizes.iter().zip(&made.charts) {
            let woven = woven(&chart, weave);
            prop_assert!(is_same_ring(&woven, other), "{size}: {weave}");
        }
    }
}
