//! The written rows give the chart back, read by a reader that shares no code with the program; and
//! they agree with what weavers know.

mod reader;

use proptest::prelude::*;
use reader::{after, number, read_json, read_markdown, read_text};
use serde_json::Value;
use std::sync::LazyLock;
use upbead::bead::Bead;
use upbead::chart::{Chart, Made, Shade};
use upbead::colour::Srgb8;
use upbead::lattice::{Lattice, Rows};
use upbead::output::weave::{json, markdown, page, text};
use upbead::report::weave::{WeaveReport, WovenBand};
use upbead::request::Keys;
use upbead::request::{Start, WorkFrom};
use upbead::units::LengthUnits;
use upbead::weave::{Frame, Item, SCHEMA, TAIL, Thread, lengths, weave};

static VALID: LazyLock<jsonschema::Validator> = LazyLock::new(|| {
    let schema = serde_json::from_str(SCHEMA).expect("the schema is JSON");
    jsonschema::draft202012::meta::validate(&schema).expect("the schema is a schema");
    jsonschema::validator_for(&schema).expect("the schema compiles")
});

fn woven(chart: &Chart, frame: Frame, keys: Option<Keys>) -> WovenBand<'_> {
    let weave = weave(&chart.lattice, frame);
    WovenBand {
        chart,
        lengths: lengths(&chart.lattice, &weave, Thread::default(), TAIL),
        weave,
        name: None,
        rows: None,
        keys,
        units: LengthUnits::Mm,
    }
}

/// The same document with every number as a fraction: 100 and 100.0 are one number.
fn in_fractions(value: &Value) -> Value {
    match value {
        Value::Number(number) => number.as_f64().unwrap().into(),
        Value::Array(items) => items.iter().map(in_fractions).collect(),
        Value::Object(fields) => {
            let fields = fields.iter();
            fields
                .map(|(name, value)| (name.clone(), in_fractions(value)))
                .collect()
        }
        other => other.clone(),
    }
}

fn chart(lattice: Lattice, names: Vec<String>, colour: impl Fn(u32, u32) -> u16) -> Chart {
    let beads = (0..lattice.len()).map(|at| {
        let (row, column) = lattice.position(at);
        colour(row.get(), column.get())
    });
    let beads = beads.collect();
    let shade = |(at, name): (usize, String)| Shade {
        code: format!("t-{at}"),
        name,
        srgb: Srgb8::new(at as u8, 0, 0),
        finish: None,
    };
    Chart {
        lattice,
        colours: names.into_iter().enumerate().map(shade).collect(),
        beads,
        made: Made::default(),
        title: None,
        notes: None,
    }
}

fn any_chart() -> impl Strategy<Value = Chart> {
    let rows = prop_oneof![
        (2..=60u32).prop_map(|rows| Rows::open(rows).unwrap()),
        (3..=30u32).prop_map(|pairs| Rows::closed(2 * pairs).unwrap()),
    ];
    let name = prop_oneof![
        "[a-z]{2,7}( [a-z]{2,7}){0,2}",
        "(garnet|gold|sea|sea green|Sea Green)",
        "[0-9]{1,2}[a-z]{0,3}",
        "[A-Za-z*_|#]{1,12}",
    ];
    let colours = proptest::collection::vec(name, 1..12);
    (3..=30u32, rows, colours, any::<u64>(), 0..4u32).prop_map(
        |(columns, rows, names, seed, calm)| {
            let lattice = Lattice::new(Bead::default(), columns, rows).unwrap();
            let many = names.len() as u64;
            chart(lattice, names, |row, column| {
                // Runs of some length, so that both short and long ones occur.
                let at = u64::from(row * 31 + (column >> calm)).wrapping_mul(seed | 1);
                ((at >> 24) % many) as u16
            })
        },
    )
}

fn any_frame() -> impl Strategy<Value = (Start, WorkFrom)> {
    (any::<bool>(), any::<bool>()).prop_map(|(left, bottom)| {
        (
            if left { Start::Left } else { Start::Right },
            if bottom {
                WorkFrom::Bottom
            } else {
                WorkFrom::Top
            },
        )
    })
}

/// The code that a word of the rows stands for: by the table of keys, by the code behind a name, or
/// by the name.
fn code_of(chart: &Chart, table: &[(String, String)], word: &str) -> String {
    if let Some((_, colour)) = table.iter().find(|(key, _)| key == word) {
        return after(&colour[colour.rfind(" (").unwrap()..], "(")
            .trim_end_matches(')')
            .to_string();
    }
    let named = |shade: &&Shade| {
        [
            shade.name.clone(),
            format!("{} ({})", shade.name, shade.code),
        ]
        .contains(&word.to_string())
    };
    let fit: Vec<&Shade> = chart.colours.iter().filter(named).collect();
    assert_eq!(fit.len(), 1, "'{word}' is one colour");
    fit[0].code.clone()
}

/// The table on top: from the line after the facts to the next empty one.
fn table(text: &str) -> Vec<(String, String)> {
    let lines = text.lines().skip(4);
    lines
        .take_while(|line| !line.is_empty())
        .filter_map(|line| {
            let mut cells = line
                .split("   ")
                .map(str::trim)
                .filter(|cell| !cell.is_empty());
            Some((cells.next()?.to_string(), cells.next()?.to_string()))
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(256)
    })]


    #[test]
    fn the_rows_give_the_chart_back_bead_for_bead(
        chart in any_chart(),
        (start, from) in any_frame(),
        short in any::<Option<bool>>(),
    ) {
        let Ok(frame) = Frame::new(&chart.lattice, start, from) else {
            return Ok(());
        };
        let keys = short.map(|short| if short { Keys::Short } else { Keys::Names });
        let report = WeaveReport::of(&woven(&chart, frame, keys));
        let printed = text(&report);
        let table = if report.guide.key.is_empty() {
            Vec::new()
        } else {
            table(&printed)
        };
        prop_assert_eq!(table.len(), report.guide.key.len());
        for laid in [read_text(&printed), read_markdown(&markdown(&report))] {
            prop_assert_eq!(laid.len(), chart.lattice.len());
            for at in 0..chart.lattice.len() {
                let (row, column) = chart.lattice.position(at);
                let word = laid[&(row.get(), column.get())].replace('\\', "");
                let code = code_of(&chart, &table, &word);
                prop_assert_eq!(
                    &code,
                    &chart.colours[usize::from(chart.beads[at])].code,
                    "{:?}",
                    (row, column)
                );
            }
        }
        prop_assert!(
            printed.lines().all(|line| line.chars().count() <= 100),
            "{}",
            printed
        );
        prop_assert!(
            printed.lines().all(|line| line == line.trim_end()),
            "{}",
            printed
        );
    }

    #[test]
    fn the_json_gives_the_chart_back_and_is_as_its_schema_says(
        chart in any_chart(),
        (start, from) in any_frame(),
    ) {
        let Ok(frame) = Frame::new(&chart.lattice, start, from) else {
            return Ok(());
        };
        let report = WeaveReport::of(&woven(&chart, frame, None));
        let document: Value = serde_json::from_str(&json(&report)).unwrap();
        prop_assert_eq!(
            in_fractions(&document),
            in_fractions(&serde_json::to_value(&report).unwrap())
        );
        if let Err(error) = VALID.validate(&document) {
            panic!("{error}");
        }
        let laid = read_json(&document);
        prop_assert_eq!(laid.len(), chart.lattice.len());
        for at in 0..chart.lattice.len() {
            let (row, column) = chart.lattice.position(at);
            prop_assert_eq!(
                laid[&(row.get(), column.get())],
                usize::from(chart.beads[at])
            );
        }
        // The thread's items are all of it.
        let thread = document["thread"].as_object().unwrap();
        let sum: f64 = thread
            .iter()
            .filter(|(name, _)| *name != "total_mm")
            .map(|(_, mm)| mm.as_f64().unwrap())
            .sum();
        prop_assert!((sum - thread["total_mm"].as_f64().unwrap()).abs() < 0.005);
        // Each pass is counted in some hole.
        let joins = document["joins"].as_array().unwrap().iter();
        let ends = joins.flat_map(|join| [&join["old_end"], &join["new_start"]]);
        let passes: usize = ["passes", "seam", "thread_end", "tail_end"]
            .iter()
            .map(|list| &document[list])
            .chain(ends)
            .map(|list| list.as_array().unwrap().len())
            .sum();
        let counted: u64 = document["holes"]["passes"]
            .as_object()
            .unwrap()
            .iter()
            .map(|(times, beads)| times.parse::<u64>().unwrap() * beads.as_u64().unwrap())
            .sum();
        prop_assert_eq!(passes as u64, counted);
    }

    /// The page's beads lie where the lattice has them, its steps pick each up once, and in the
    /// colours of their runs.
    #[test]
    fn what_the_page_carries_gives_the_chart_back(
        chart in any_chart(),
        (start, from) in any_frame(),
    ) {
        let Ok(frame) = Frame::new(&chart.lattice, start, from) else {
            return Ok(());
        };
        let html = page(woven(&chart, frame, None)).unwrap();
        let (_, rest) = html.split_once("id=\"work\">").unwrap();
        let document: Value =
            serde_json::from_str(rest.split_once("</script>").unwrap().0).unwrap();
        let band = &document["band"];
        let mut picked = vec![false; chart.lattice.len()];
        for step in document["steps"].as_array().unwrap() {
            let beads = step["beads"]
                .as_array()
                .into_iter()
                .flatten()
                .map(|bead| bead.as_u64().unwrap() as usize);
            let runs = step["runs"].as_array().into_iter().flatten();
            let colours = runs.flat_map(|run| {
                std::iter::repeat_n(run[0].as_u64().unwrap(), run[1].as_u64().unwrap() as usize)
            });
            let (beads, colours): (Vec<usize>, Vec<u64>) = (beads.collect(), colours.collect());
            prop_assert_eq!(beads.len(), colours.len());
            prop_assert_eq!(beads.len(), step["through"].as_array().map_or(0, Vec::len));
            for (bead, colour) in beads.into_iter().zip(colours) {
                prop_assert!(!std::mem::replace(&mut picked[bead], true));
                prop_assert_eq!(u64::from(chart.beads[bead]), colour);
                prop_assert_eq!(band["colour"][bead].as_u64(), Some(colour));
                let (row, column) = chart.lattice.position(bead);
                let (x, y) = chart.lattice.centre(row, column);
                let middle = |edge: &str, size: usize| {
                    band[edge][bead].as_f64().unwrap() + band["bead"][size].as_f64().unwrap() / 2.0
                };
                prop_assert!((middle("left", 0) - x.get()).abs() < 0.002);
                prop_assert!(
                    (band["height"].as_f64().unwrap() - middle("top", 1) - y.get()).abs() < 0.002
                );
            }
        }
        prop_assert!(picked.into_iter().all(|picked| picked));
    }

    /// Common practice, no source: when closing, the up beads of one side face the gaps of the
    /// other.
    #[test]
    fn up_beads_of_one_side_face_the_gaps_of_the_other(columns in 3..=30u32, pairs in 3..=30u32) {
        let ring =
            Lattice::new(Bead::default(), columns, Rows::closed(2 * pairs).unwrap()).unwrap();
        let (last, first) = (
            ring.all_rows().next_back().unwrap(),
            ring.all_rows().next().unwrap(),
        );
        for bead in ring.span_of(last) {
            let beside: Vec<usize> = [-1, 1]
                .into_iter()
                .filter_map(|columns| ring.step(bead, 1, columns))
                .collect();
            prop_assert!(
                beside
                    .iter()
                    .all(|&other| ring.span_of(first).contains(&other))
            );
            // With an even count the bead at the edge has a neighbour on one side only.
            let column = ring.position(bead).1.get();
            let at_edge = column == 1 || column == columns;
            prop_assert_eq!(beside.len(), if at_edge { 1 } else { 2 });
            // The gap is as high as the bead: no bead of row 1 stands in its column.
            prop_assert_eq!(ring.index(first, ring.position(bead).1), None);
        }
    }
}

fn garnet_and_gold(rows: Rows) -> Chart {
    let lattice = Lattice::new(Bead::default(), 9, rows).unwrap();
    let names = vec!["garnet".to_string(), "gold".to_string()];
    chart(lattice, names, |_, column| u16::from(column == 5))
}

fn printed(chart: &Chart) -> String {
    let frame = Frame::new(&chart.lattice, Start::Left, WorkFrom::Bottom).unwrap();
    text(&WeaveReport::of(&woven(chart, frame, None)))
}

/// Common practice, no source.
#[test]
fn nine_columns_with_a_centred_stripe_begin_with_nine_beads_that_read_4_1_4() {
    let text = printed(&garnet_and_gold(Rows::closed(74).unwrap()));
    assert!(
        text.contains("\nString 9: 4 garnet, 1 gold, 4 garnet\n"),
        "{text}"
    );
}

/// Common practice, no source.
#[test]
fn odd_counts_have_the_hard_turn_on_every_other_row_only() {
    // No two rows come again and again, so that each has its line.
    let mut ring = garnet_and_gold(Rows::closed(74).unwrap());
    for (at, colour) in ring.beads.iter_mut().enumerate() {
        *colour ^= u16::from((ring.lattice.position(at).0.get() / 2).is_multiple_of(3));
    }
    let text = printed(&ring);
    let mut hard = Vec::new();
    for line in text
        .lines()
        .filter(|line| line.contains('←') || line.contains('→'))
    {
        let line = line.trim_start();
        if line.starts_with(|c: char| c.is_ascii_digit()) {
            hard.push((
                number(line),
                line.ends_with("odd-count turn") || line.ends_with("figure-eight"),
            ));
        }
    }
    assert_eq!(hard.len(), 72);
    assert!(
        hard.iter().all(|(row, hard)| *hard == (row % 2 == 1)),
        "{hard:?}"
    );
}

fn path(rows: u32) -> (f64, f64) {
    let strip = Lattice::new(Bead::default(), 3, Rows::open(rows).unwrap()).unwrap();
    let frame = Frame::new(&strip, Start::Left, WorkFrom::Bottom).unwrap();
    let lengths = lengths(&strip, &weave(&strip, frame), Thread::default(), TAIL);
    let item = |wanted| {
        lengths
            .items
            .iter()
            .find(|(item, _)| *item == wanted)
            .unwrap()
            .1
            .get()
    };
    (item(Item::Path), item(Item::Seam))
}

/// Worked out with ruler and pencil for three columns of 11/0: beads 1.3 mm long, 1.6 mm across,
/// hole 0.8 mm, thread 0.15 mm.
///
/// The thread has (0.8 - 0.15)/2 = 0.325 mm of play up and down in a hole. Heights of the holes:
/// row 1 at 0.8, row 2 at 1.6, row 3 at 2.4, so that the thread runs between 0.475 and 1.125 in row
/// 1 (a), between 1.275 and 1.925 in row 2 (b), between 2.075 and 2.725 in row 3 (c). Turns are
/// unfolded: each bead is 1.3 mm further on. From a to b the thread climbs 0.15 mm between the
/// beads, from b to c 0.15, from a to c 0.95.
///
/// Strung, a b a: slanting from the middle of the first hole to its upper side, sqrt(1.3² + 0.325²)
/// = 1.340; up 0.15; straight along the lower side of b, 1.3; down 0.15; slanting to the middle of
/// the last hole, 1.340. In all 4.280 mm.
///
/// With row 3 and its figure-eight, a b a, c b c, a b c a b a c: both ends slant, 2 x 1.340; the
/// one b between a and c slants from its lower to its upper side, sqrt(1.3² + 0.65²) = 1.453; ten
/// beads are passed straight, 13.0; between them eight steps of 0.15 and four of 0.95, 5.0. In all
/// 22.133 mm.
#[test]
fn the_thread_of_three_columns_is_as_a_straightedge_finds_it() {
    let (strung, seam) = path(2);
    assert!((strung - 4.280).abs() < 5e-4, "{strung}");
    assert_eq!(seam, 0.0);
    let (with_row_3, _) = path(3);
    assert!((with_row_3 - 22.133).abs() < 6e-4, "{with_row_3}");
}
