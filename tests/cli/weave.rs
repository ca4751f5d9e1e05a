//! `upbead weave`.

mod bad_call;
mod page;
mod try_on;

use crate::common::{Bench, golden};
use serde_json::Value;
use std::process::Stdio;
use upbead::bead::Bead;
use upbead::chart::{Chart, Made, Shade, write::write};
use upbead::colour::read_hex;
use upbead::lattice::{Lattice, Rows};
use upbead::palette::Finish;
use upbead::weave::SCHEMA;

fn shade(code: &str, name: &str, hex: &str, finish: Option<Finish>) -> Shade {
    Shade {
        code: code.to_string(),
        name: name.to_string(),
        srgb: read_hex(hex).expect("hex"),
        finish,
    }
}

/// Garnet with a gold wave, white beads at the foot, and a colour that is never used.
fn band(columns: u32, rows: Rows) -> Chart {
    let lattice = Lattice::new(Bead::default(), columns, rows).unwrap();
    let beads = (0..lattice.len()).map(|at| {
        let (row, column) = lattice.position(at);
        let wave = (row.get() + 3) % 6 / 2 + 2;
        match (row.get(), column.get()) {
            (1, _) => 2,
            (_, column) if column.abs_diff(wave) < 2 => 1,
            _ => 0,
        }
    });
    Chart {
        lattice,
        colours: vec![
            shade("quay-55", "garnet", "7B1E2B", Some(Finish::Matte)),
            shade("bell-08", "gold", "CDA048", Some(Finish::Metallic)),
            shade("quay-01", "gull white", "FAFAF6", None),
            shade("quay-99", "a colour that is never used", "FF0000", None),
        ],
        beads: beads.collect(),
        made: Made::default(),
        title: None,
        notes: None,
    }
}

fn ring() -> Chart {
    Chart {
        title: Some("Garnet * wave".to_string()),
        ..band(7, Rows::closed(12).unwrap())
    }
}

fn strip() -> Chart {
    band(6, Rows::open(9).unwrap())
}

fn bench(chart: &Chart) -> Bench {
    let bench = Bench::new();
    bench.put("band.json", write(chart));
    bench
}

#[track_caller]
fn valid(document: &serde_json::Value) {
    let schema = serde_json::from_str(SCHEMA).expect("the schema is JSON");
    let validator = jsonschema::validator_for(&schema).expect("the schema compiles");
    if let Err(error) = validator.validate(document) {
        panic!("{error}");
    }
}

/// The rows that a text tells, as the numbers in front of their arrows.
fn told(text: &str) -> Vec<u32> {
    let numbered = |line: &str| {
        let (row, rest) = line.trim_start().split_once(' ')?;
        rest.starts_with(['←', '→']).then(|| row.parse().ok())?
    };
    text.lines().filter_map(numbered).collect()
}

#[test]
fn a_small_ring_in_words_and_numbers() {
    let bench = bench(&ring());
    let run = bench.run(&["weave", "band.json"]).ok();
    golden("weave/ring.txt", &run.bytes);
    assert_eq!(run.err, "");
}

#[test]
fn a_small_ring_as_markdown() {
    let bench = bench(&ring());
    let run = bench.run(&["weave", "band.json", "--as", "markdown"]).ok();
    golden("weave/ring.md", &run.bytes);
}

#[test]
fn a_small_ring_as_json() {
    let bench = bench(&ring());
    let run = bench.run(&["weave", "band.json", "--json"]).ok();
    valid(&run.json());
    golden("weave/ring.json", &run.bytes);
}

#[test]
fn a_strip_with_an_even_count_in_words_and_numbers() {
    let bench = bench(&strip());
    let run = bench.run(&["weave", "band.json"]).ok();
    golden("weave/strip.txt", &run.bytes);
}

#[test]
fn a_strip_with_short_keys_from_the_top_as_markdown() {
    let bench = bench(&strip());
    let options = ["--from", "top", "--keys", "short", "--as", "markdown"];
    let run = bench.run(&[&["weave", "band.json"], &options[..]].concat());
    golden("weave/strip.md", &run.ok().bytes);
}

#[test]
fn a_strip_as_json() {
    let bench = bench(&strip());
    let run = bench.run(&["weave", "band.json", "--json"]).ok();
    valid(&run.json());
    golden("weave/strip.json", &run.bytes);
}

#[test]
fn standard_input_is_read_and_has_no_name() {
    let bench = Bench::new();
    let run = bench.run_with(&["weave", "-"], write(&strip()).as_bytes());
    assert!(run.ok().out.starts_with("Weaving guide\n6 columns, "));
    assert_eq!(bench.listing(), "");
}

#[test]
fn the_file_is_named_where_there_is_no_title() {
    let bench = bench(&strip());
    let path = bench.path("band.json");
    let run = bench.run(&["weave", path.to_str().unwrap()]).ok();
    assert!(run.out.starts_with("band.json\n"), "{}", run.out);
}

#[test]
fn the_starting_corner_can_be_chosen() {
    let bench = bench(&ring());
    let begin = |options: &[&str]| {
        let run = bench.run(&[&["weave", "band.json"], options].concat()).ok();
        let words = run.out.replace('\n', " ");
        let at = words.find("it lies").unwrap();
        (
            words[at..].split_inclusive('.').take(2).collect::<String>(),
            told(&run.out)[0],
        )
    };
    let usual = begin(&[]);
    assert_eq!(usual, begin(&["--start", "left", "--from", "bottom"]));
    assert_eq!(
        usual,
        (
            "it lies at the left edge. Then string rows 1 and 2 together, from the left to the \
             right."
                .to_string(),
            3
        )
    );
    assert_eq!(
        begin(&["--start", "right", "--from", "top"]),
        (
            "it lies at the right edge. Then string rows 11 and 10 together, from the right to the \
             left."
                .to_string(),
            9
        )
    );
}

/// Row 12 of an odd count has no bead at the edge, so that a ring begun at the top begins at row
/// 11.
#[test]
fn a_ring_that_begins_a_row_further_on_says_which_row_comes_last() {
    let bench = bench(&ring());
    let text = bench.run(&["weave", "band.json", "--from", "top"]).ok().out;
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("Row 12 comes last here"), "{text}");
    assert_eq!(told(&text), [9, 8, 7, 6, 5, 4, 3, 2, 1, 12]);
    assert!(
        words.contains("the up beads of row 12 face the gaps of row 11"),
        "{text}"
    );
    let usual = bench.run(&["weave", "band.json"]).ok().out;
    assert!(!usual.contains("comes last here"), "{usual}");
}

#[test]
fn only_the_rows_asked_for_are_written_in_the_order_of_work() {
    let bench = bench(&ring());
    for (options, rows) in [
        (&["--rows", "4..6"][..], &[4, 5, 6][..]),
        (&["--rows", "11.."], &[11, 12]),
        (&["--rows", "..4"], &[3, 4]),
        (&["--rows", "5"], &[5]),
        (&["--rows", "4..6", "--from", "top"], &[6, 5, 4]),
        (&["--rows", "1..2"], &[]),
    ] {
        let run = bench.run(&[&["weave", "band.json"], options].concat()).ok();
        assert_eq!(told(&run.out), rows, "{options:?}\n{}", run.out);
        // What comes before and after is told with the rows that it belongs to.
        let begins =
            options[1].starts_with("..") || options[1].starts_with('1') && options[1] != "11..";
        assert_eq!(run.out.contains("\nString 7: "), begins, "{options:?}");
        assert_eq!(
            run.out.contains("\nClose the band\n"),
            options[1] == "11..",
            "{options:?}"
        );
    }
    let text = bench
        .run(&["weave", "band.json", "--rows", "7..9"])
        .ok()
        .out;
    // A turn is explained where it comes first in what is told.
    assert!(
        text.contains("bridge of\n") || text.contains("bridge of thread"),
        "{text}"
    );
}

#[test]
fn json_has_the_rows_asked_for_and_the_passes_of_all() {
    let bench = bench(&ring());
    let whole = bench.run(&["weave", "band.json", "--json"]).ok().json();
    let part = bench
        .run(&["weave", "band.json", "--json", "--rows", "4..6"])
        .ok()
        .json();
    valid(&part);
    assert_eq!(
        part["rows"].as_array().unwrap()[..],
        whole["rows"].as_array().unwrap()[1..4]
    );
    for name in [
        "strung",
        "passes",
        "seam",
        "thread_end",
        "tail_end",
        "thread",
        "holes",
    ] {
        assert_eq!(part[name], whole[name], "{name}");
    }
}

#[test]
fn names_that_clash_or_are_long_become_keys_with_a_table() {
    let mut chart = ring();
    chart.colours[1].name = "Garnet".to_string();
    let clash = bench(&chart)
        .run(&["weave", "band.json", "--rows", "4"])
        .ok()
        .out;
    assert!(
        clash.contains("\ngar    garnet (quay-55, matte) "),
        "{clash}"
    );
    assert!(
        clash.contains("\ngarn   Garnet (bell-08, metallic) "),
        "{clash}"
    );
    assert!(clash.contains("1 garn,"), "{clash}");
    assert!(!clash.contains("never used"), "{clash}");

    let named = bench(&chart)
        .run(&["weave", "band.json", "--rows", "4", "--keys", "names"])
        .ok()
        .out;
    assert!(named.contains("1 Garnet (bell-08)"), "{named}");

    chart.colours[1].name = "gilded lantern".to_string();
    let fits = bench(&chart).run(&["weave", "band.json"]).ok().out;
    assert!(fits.contains("1 gilded lantern"), "{fits}");
    chart.colours[1].name = "gilded lanterns".to_string();
    let long = bench(&chart).run(&["weave", "band.json"]).ok().out;
    assert!(
        long.contains("1 gl,") && long.contains("\ngl    gilded lanterns (bell-08, metallic) "),
        "{long}"
    );
}

/// One system of keys: the letters on the beads of a drawing are those of the rows.
#[test]
fn the_keys_of_the_rows_are_the_letters_on_the_beads() {
    let bench = bench(&ring());
    let text = bench
        .run(&["weave", "band.json", "--keys", "short"])
        .ok()
        .out;
    bench
        .run(&[
            "show",
            "band.json",
            "--flat",
            "a.svg",
            "--lettered",
            "--scale",
            "5",
        ])
        .ok();
    let drawing = bench.text("a.svg");
    let table = text.lines().skip(4).take_while(|line| !line.is_empty());
    let keys: Vec<&str> = table.filter_map(|line| line.split(' ').next()).collect();
    assert_eq!(keys, ["gar", "gol", "gw"], "{text}");
    for key in keys {
        assert!(
            drawing.contains(&format!(">{key}</text>")),
            "{key}\n{drawing}"
        );
    }
}

#[test]
fn names_cannot_break_lines_or_turn_into_markdown() {
    let mut chart = ring();
    chart.colours[1].name = "go\nld\u{1b}[31m".to_string();
    chart.title = Some("A <b>title</b>\nof *two* lines".to_string());
    let run = bench(&chart)
        .run(&["weave", "band.json", "--as", "markdown"])
        .ok();
    assert!(!run.out.contains('\u{1b}'));
    assert!(
        run.out
            .starts_with("# A \\<b\\>title\\</b\\> of \\*two\\* lines\n"),
        "{}",
        run.out
    );
    assert!(run.out.contains("go ld \\[31m"), "{}", run.out);
}

#[test]
fn a_turn_is_explained_once() {
    let bench = bench(&ring());
    let text = bench
        .run(&["weave", "band.json"])
        .ok()
        .out
        .replace('\n', " ");
    for words in [
        "locks it, this one time",
        "there is no up bead for the new edge bead",
    ] {
        assert_eq!(
            text.split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
                .matches(words)
                .count(),
            1,
            "{words}"
        );
    }
}

#[test]
fn strips_of_two_and_three_rows_are_written_too() {
    for (columns, rows) in [(3, 2), (3, 3), (4, 2), (4, 3), (1000, 2)] {
        let bench = bench(&band(columns, Rows::open(rows).unwrap()));
        let run = bench.run(&["weave", "band.json"]).ok();
        assert_eq!(told(&run.out).len() as u32, rows - 2);
        assert!(run.out.contains("\nWeave in the ends\n"), "{}", run.out);
        valid(&bench.run(&["weave", "band.json", "--json"]).ok().json());
    }
}

#[test]
fn a_closed_pipe_is_no_error() {
    let bench = bench(&band(81, Rows::closed(2000).unwrap()));
    for options in [&[][..], &["--as", "markdown"], &["--json"]] {
        let mut child = bench
            .command(&[&["weave", "band.json"], options].concat())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(0));
        assert!(output.stderr.is_empty());
    }
}

/// Every row alike, so long that one piece of thread does not do.
fn long() -> Chart {
    let mut chart = band(9, Rows::closed(200).unwrap());
    chart.beads.fill(0);
    chart
}

/// The table of what each face says of the thread: total, and how many pieces.
#[test]
fn kit_and_guide_take_the_same_thread() {
    for chart in [ring(), long()] {
        let bench = bench(&chart);
        for options in [
            &[][..],
            &["--thread", "0.2", "--tail", "250"],
            &["--odd-turn", "edge-bead"],
            &["--odd-turn", "figure-eight", "--thread", "0.13"],
        ] {
            let call = |verb: &str| {
                let run = bench.run(&[&[verb, "band.json", "--json"], options].concat());
                run.ok().json()
            };
            let (weave, kit) = (call("weave"), call("kit"));
            valid(&weave);
            assert_eq!(
                weave["thread"]["total_mm"], kit["thread"]["each_mm"],
                "{options:?}"
            );
            assert_eq!(
                weave["holes"]["most"], kit["holes"]["most_passes"],
                "{options:?}"
            );
            let text = bench
                .run(&[&["weave", "band.json"], options].concat())
                .ok()
                .out;
            let joins = kit["thread"]["joins_each"].as_u64().unwrap();
            assert_eq!(
                text.contains(&format!("Cut {} pieces of thread", joins + 1)),
                joins > 0,
                "{options:?}"
            );
            assert_eq!(
                text.matches("; new thread\n").count() as u64,
                joins,
                "{options:?}"
            );
        }
    }
    let total = |options: &[&str]| {
        let bench = bench(&ring());
        let run = bench.run(&[&["weave", "band.json", "--json"], options].concat());
        run.ok().json()["thread"]["total_mm"].as_f64().unwrap()
    };
    let usual = total(&[]);
    assert!(total(&["--tail", "250"]) - usual > 149.0);
    assert!(total(&["--odd-turn", "edge-bead"]) > usual);
    assert!(total(&["--odd-turn", "figure-eight"]) > total(&["--odd-turn", "edge-bead"]));
}

/// Both ends of each join go through beads again.
#[test]
fn the_passes_of_joins_are_counted_in_the_holes() {
    let run = bench(&long()).run(&["weave", "band.json", "--json"]);
    let document = run.ok().json();
    valid(&document);
    let passes = |lists: &Value| lists.as_array().unwrap().len() as u64;
    let joins = document["joins"].as_array().unwrap();
    let of_join = |join: &Value| passes(&join["old_end"]) + passes(&join["new_start"]);
    let extra: u64 = joins.iter().map(of_join).sum();
    assert!(joins.len() > 1 && extra > 20, "{joins:?}");
    let lists = ["passes", "seam", "thread_end", "tail_end"];
    let others: u64 = lists.iter().map(|list| passes(&document[list])).sum();
    let holes = document["holes"]["passes"].as_object().unwrap().iter();
    let counted =
        holes.map(|(times, beads)| times.parse::<u64>().unwrap() * beads.as_u64().unwrap());
    assert_eq!(counted.sum::<u64>(), others + extra);
}

#[test]
fn a_thread_that_fills_the_hole_and_a_turn_of_another_count_are_refused() {
    let bench = bench(&strip());
    bench
        .run(&["weave", "band.json", "--odd-turn", "bridge"])
        .fails(
            2,
            "error: --odd-turn: 6 columns are an even count: every row ends with the ordinary \
             turn\nhint: leave --odd-turn out",
        );
    let thick = bench.run(&["weave", "band.json", "--thread", "0.9"]);
    assert_eq!(thick.status, Some(2), "{}", thick.told());
    assert!(
        thick.err.starts_with("error: --thread: "),
        "{}",
        thick.told()
    );
}

/// Said once in the text, and each a step of its own on the page.
#[test]
fn rows_that_come_again_are_said_once() {
    let bench = bench(&long());
    let text = bench.run(&["weave", "band.json"]).ok().out;
    assert!(text.contains("these two rows "), "{text}");
    assert!(told(&text).len() < 20, "{text}");
    let page = bench.run(&["weave", "band.json", "--page", "-"]).ok().out;
    let rows = page.matches("{\"kind\":\"row\"").count();
    assert_eq!(rows, 198);
    assert!(page.contains("are the same two rows, "), "{text}");
    assert!(page.contains("{\"kind\":\"sewn\",\"name\":\"Join a new thread\""));
}
