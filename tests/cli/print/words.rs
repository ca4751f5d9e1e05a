//! What the booklet says, in reading order.

use super::{panel, pdftotext, print, ring};
use crate::common::Bench;
use crate::pdf::Pdf;
use serde_json::Value;

#[path = "../../laws/rows/reader.rs"]
#[allow(dead_code)]
mod reader;

/// The rows as a screen reader meets them, set as the text of `upbead weave` so that its reader can
/// take them.
fn rows_as_text(pdf: &Pdf) -> String {
    let facts = pdf.info(b"Subject").expect("the band's measures");
    let begin = pdf
        .elements
        .iter()
        .find(|e| e.role == "P" && e.words.contains("stopper bead"));
    let mut text = format!("title\n{facts}\n{}\n", begin.expect("how to begin").words);
    let rows = pdf.chapter("Row by row");
    let labels = rows.iter().filter(|e| e.role == "Lbl");
    let bodies = rows.iter().filter(|e| e.role == "LBody");
    for (label, body) in labels.zip(bodies) {
        let beads = body.words.split(';').next().unwrap();
        if label.words.starts_with("String") {
            text += &format!("{}: {beads}\n", label.words)
        } else if body.words.contains("these two rows") {
            text += &format!("{}, {beads}\n", label.words)
        } else {
            text += &format!("{}  {beads}   turn\n", label.words)
        }
    }
    text
}

fn chart(bench: &Bench) -> Value {
    serde_json::from_str(&bench.text("band.json")).unwrap()
}

/// Bead for bead, and in the order of work.
fn gives_the_chart(bench: &Bench, pdf: &Pdf, word_of: impl Fn(usize) -> String) {
    let chart = chart(bench);
    let laid = reader::read_text(&rows_as_text(pdf));
    let mut count = 0;
    for (row, beads) in chart["rows"].as_array().unwrap().iter().enumerate() {
        let row = row as u32 + 1;
        for (at, colour) in beads.as_array().unwrap().iter().enumerate() {
            let column = 2 * at as u32 + 2 - row % 2;
            let word = word_of(colour.as_u64().unwrap() as usize);
            assert_eq!(laid[&(row, column)], word, "row {row}, column {column}");
            count += 1;
        }
    }
    assert_eq!(laid.len(), count);
}

#[test]
fn rows_read_aloud_give_the_chart_back() {
    let bench = ring();
    let chart = chart(&bench);
    let name = |colour: usize| {
        chart["colours"][colour]["name"]
            .as_str()
            .unwrap()
            .to_string()
    };
    for options in [
        &[][..],
        &["--start", "right"],
        &["--from", "top", "--paper", "letter"],
    ] {
        gives_the_chart(&bench, &print(&bench, options), name);
    }
    let numbers: Vec<u32> = print(&bench, &[])
        .chapter("Row by row")
        .iter()
        .filter(|e| e.role == "Lbl" && !e.words.starts_with("String"))
        .flat_map(|e| rows_of(&e.words))
        .collect();
    assert_eq!(numbers, (3..=74).collect::<Vec<_>>());
}

/// The rows that a line is about: `12 → 4`, or `6 to 25` before the two rows `→ 4` and `← 5`.
fn rows_of(label: &str) -> Vec<u32> {
    let mut words = label.split(' ');
    let Some(first) = words.next().and_then(|word| word.parse().ok()) else {
        return Vec::new();
    };
    match (words.next(), words.next()) {
        (Some("to"), Some(last)) => last.parse().map_or(vec![], |last| (first..=last).collect()),
        (Some("←" | "→"), _) => vec![first],
        _ => Vec::new(),
    }
}

/// Keys in the rows are those of the table of what is needed, and those on the beads.
#[test]
fn a_panel_s_keys_and_rows_give_the_chart_back() {
    let bench = panel();
    let pdf = print(&bench, &[]);
    let chart = chart(&bench);
    let keys = keys(&pdf);
    let key = |colour: usize| keys[chart["colours"][colour]["name"].as_str().unwrap()].clone();
    gives_the_chart(&bench, &pdf, key);
    // The parts cover all rows and columns, two shared with the next.
    let mut parts: Vec<[u32; 4]> = Vec::new();
    for figure in pdf.chapter("Chart").iter().filter(|e| e.role == "Figure") {
        let alt = figure.alt.as_ref().unwrap();
        let numbers: Vec<u32> = alt
            .split(|c: char| !c.is_ascii_digit())
            .filter_map(|n| n.parse().ok())
            .collect();
        parts.push(numbers.try_into().unwrap_or_else(|_| panic!("{alt}")));
    }
    for row in 1..=240 {
        for column in 1..=81 {
            let shown = parts
                .iter()
                .filter(|[a, b, c, d]| (*a..=*b).contains(&row) && (*c..=*d).contains(&column));
            assert!(
                (1..=4).contains(&shown.count()),
                "row {row}, column {column}"
            );
        }
    }
}

/// Key by name, from the table of what is needed.
fn keys(pdf: &Pdf) -> std::collections::HashMap<String, String> {
    let mut keys = std::collections::HashMap::new();
    for row in table(pdf, "beads") {
        if row.len() > 2 && !row[0].is_empty() {
            keys.insert(row[2].clone(), row[0].clone());
        }
    }
    keys
}

/// Rows of the first table whose heads include this one; the heads are left out.
pub(super) fn table(pdf: &Pdf, head: &str) -> Vec<Vec<String>> {
    let tables: Vec<usize> = (0..pdf.elements.len())
        .filter(|&at| pdf.elements[at].role == "Table")
        .collect();
    for at in tables {
        let depth = pdf.elements[at].depth;
        let end = pdf.elements[at + 1..].iter().position(|e| e.depth <= depth);
        let inside = &pdf.elements[at + 1..end.map_or(pdf.elements.len(), |end| at + 1 + end)];
        let mut rows: Vec<Vec<String>> = Vec::new();
        for element in inside {
            match element.role.as_str() {
                "TR" => rows.push(Vec::new()),
                "TH" | "TD" => rows
                    .last_mut()
                    .expect("a row")
                    .push(element.words.trim().to_string()),
                other => panic!("{other} in a table"),
            }
        }
        if rows[0].iter().any(|cell| cell == head) {
            return rows.split_off(1);
        }
    }
    panic!("no table with {head}");
}

#[test]
fn the_beads_and_the_thread_are_those_of_the_kit() {
    let bench = ring();
    let pdf = print(&bench, &["--palette", "tin.csv"]);
    let kit = bench
        .run(&["kit", "band.json", "--palette", "tin.csv", "--json"])
        .ok()
        .json();
    let rows = table(&pdf, "with spare");
    let colours = kit["colours"].as_array().unwrap();
    assert_eq!(rows.len(), colours.len() + 1, "{rows:?}");
    for (row, colour) in rows.iter().zip(colours) {
        let told = [&colour["code"], &colour["name"]].map(|v| v.as_str().unwrap().to_string());
        assert_eq!(row[1..3], told);
        assert_eq!(row[3], colour["beads"].to_string());
        assert_eq!(row[4], colour["beads_with_spare"].to_string());
    }
    let words = pdf
        .elements
        .iter()
        .map(|e| e.words.as_str())
        .collect::<Vec<_>>()
        .join("\n");
    let text = bench.run(&["weave", "band.json"]).ok().out;
    let thread = text
        .lines()
        .skip_while(|l| *l != "Thread")
        .nth(1)
        .unwrap()
        .trim_start_matches("- ");
    let thread = thread.split(':').next().unwrap();
    assert!(words.contains(thread), "{thread}\n{words}");
}

/// A booklet's reader has no options to set and no palette to change.
#[test]
fn notes_of_the_kit_are_plain_instructions() {
    let bench = ring();
    let text = bench.text("band.json").replace(
        "\"length_mm\": 1.3, \"diameter_mm\": 1.6, \"hole_mm\": 0.8",
        "\"length_mm\": 1, \"diameter_mm\": 1.3, \"hole_mm\": 0.65",
    );
    bench.put("band.json", text);
    let pdf = print(&bench, &[]);
    let words: Vec<&str> = pdf.elements.iter().map(|e| e.words.as_str()).collect();
    let words = words.join("\n");
    let note = "400 beads a gram is computed from measures of 15/0 without a source: weigh 100 of \
        yours to be sure.";
    assert!(words.contains(note), "{words}");
    assert!(
        !words.contains("--") && !words.contains("per_gram"),
        "{words}"
    );
}

#[test]
fn other_sizes_are_those_of_the_resize_verb() {
    let bench = ring();
    let pdf = print(&bench, &["--sizes", "us5..us9"]);
    bench.put("sizes/none", "");
    let resized = bench
        .run(&[
            "resize",
            "band.json",
            "--sizes",
            "us5..us9",
            "-o",
            "sizes",
            "--json",
        ])
        .ok()
        .json();
    let rows = table(&pdf, "us7");
    for (at, size) in resized["sizes"].as_array().unwrap().iter().enumerate() {
        assert_eq!(rows[0][at + 1], size["rows"].to_string(), "{rows:?}");
        assert_eq!(rows[3][at + 1], size["beads"].to_string(), "{rows:?}");
    }
    assert_eq!(
        (rows[0][0].as_str(), rows[3][0].as_str()),
        ("rows", "beads")
    );
}

#[test]
fn title_maker_and_note_are_on_the_cover_and_in_the_file() {
    let bench = ring();
    let options = [
        "--title",
        "Möwe über Θάλασσα и море",
        "--by",
        "Tide & Thrift",
        "--note",
        "Weave and sell as many as you like.",
    ];
    let pdf = print(&bench, &options);
    assert_eq!(pdf.info(b"Title").unwrap(), options[1]);
    assert_eq!(pdf.info(b"Author").unwrap(), options[3]);
    assert_eq!(heading(&pdf), options[1]);
    assert!(
        pdf.elements
            .iter()
            .any(|e| e.words.ends_with("by Tide & Thrift"))
    );
    assert!(pdf.elements.iter().any(|e| e.words == options[5]));
    let plain = print(&bench, &[]);
    // Without a title the file's name serves.
    assert_eq!(plain.info(b"Title").unwrap(), "Band");
    assert_eq!(plain.info(b"Author"), None);
}

/// A letter that the typeface lacks is a square to the eye, itself to the ear, and named in a note.
#[test]
fn letters_beyond_the_typeface_are_named_and_not_lost() {
    let bench = ring();
    let run = bench
        .run(&["print", "band.json", "--title", "海 and sea", "-o", "a.pdf"])
        .ok();
    let note = "note: the typeface has Latin, Greek and Cyrillic letters only: □ is printed in \
        place of 海\n";
    assert!(run.err.contains(note), "{}", run.told());
    let pdf = Pdf::read(&bench.get("a.pdf"));
    assert_eq!(heading(&pdf), "海 and sea");
}

/// The words of the one heading of level 1.
fn heading(pdf: &Pdf) -> &str {
    let all: Vec<_> = pdf.elements.iter().filter(|e| e.role == "H1").collect();
    assert_eq!(all.len(), 1);
    &all[0].words
}

/// Four repeats of 18 rows cannot have the 74 rows of us8.
#[test]
fn a_size_that_does_not_work_is_left_out_and_named() {
    let bench = ring();
    let tide = std::fs::read(crate::common::repository("samples/tide-line.png")).unwrap();
    bench.put("tide.png", tide);
    let chart = [
        "chart",
        "--match",
        "nearest",
        "tide.png",
        "--palette",
        "tin.csv",
        "--rows",
        "72",
        "--place",
        "repeat:4",
        "--mirror",
        "columns",
        "--colours",
        "5",
        "--force",
        "-o",
        "band.json",
    ];
    bench.run(&chart).ok();
    let run = bench
        .run(&["print", "band.json", "--sizes", "us7,us8", "-o", "a.pdf"])
        .ok();
    let note = "note: us8 closes with 74 rows, which is not a whole number of 18-row repeats; this \
        size is not in the table of sizes\n";
    assert!(run.err.contains(note), "{}", run.told());
    let rows = table(&Pdf::read(&bench.get("a.pdf")), "us7");
    assert_eq!(rows[0], ["rows", "72"]);
    bench
        .run(&["print", "band.json", "--sizes", "us8", "-o", "b.pdf"])
        .fails(
            1,
            "error: --sizes: the design can have none of these sizes\n\
             hint: `upbead resize` says which row counts work",
        );
}

/// Names in letters that the typeface lacks would all be squares: their keys come from the codes.
#[test]
fn keys_never_look_alike() {
    let bench = ring();
    let chart = bench
        .text("band.json")
        .replace("jersey navy", "海")
        .replace("gull white", "空");
    bench.put("band.json", chart);
    let keys = keys(&print(&bench, &[]));
    assert_eq!((keys["海"].as_str(), keys["空"].as_str()), ("q5", "q0"));
}

/// A general-purpose tool reads the same: `pdftotext` of poppler, in the order of the page's
/// content. Where it is not installed this holds nothing.
#[test]
fn pdftotext_finds_every_row_in_order() {
    let bench = ring();
    bench.run(&["print", "band.json", "-o", "a.pdf"]).ok();
    let Some(text) = pdftotext(&bench, &["-raw"]) else {
        return;
    };
    let rows = text.split("Row by row").nth(1).unwrap();
    let numbers: Vec<u32> = rows
        .lines()
        .flat_map(|line| rows_of(line.trim_start_matches('\u{c}')))
        .collect();
    assert_eq!(numbers, (3..=74).collect::<Vec<_>>(), "{text}");
}

/// The rows are the same, and so is the chart; only the arrows of the list differ.
#[test]
fn arrows_for_work_that_is_turned_over_all_point_one_way() {
    let bench = ring();
    let labels = |options: &[&str]| -> Vec<String> {
        let pdf = print(&bench, options);
        let rows = pdf.chapter("Row by row");
        let words = rows.iter().filter(|e| e.role == "Lbl");
        words.map(|e| e.words.trim().to_string()).collect()
    };
    let (usual, turned) = (labels(&[]), labels(&["--turn-over"]));
    assert!(usual.iter().any(|label| label.contains('→')), "{usual:?}");
    assert!(
        !turned.iter().any(|label| label.contains('→')),
        "{turned:?}"
    );
    let to_left = |label: &String| label.replace('→', "←");
    assert_eq!(usual.iter().map(to_left).collect::<Vec<_>>(), turned);
    let right = print(&bench, &["--turn-over", "--start", "right"]);
    let told = |pdf: &Pdf, words: &str| pdf.elements.iter().any(|e| e.words.contains(words));
    assert!(told(&right, "every row goes to the right"));
    assert!(!told(&print(&bench, &[]), "every row goes to the"));
}
