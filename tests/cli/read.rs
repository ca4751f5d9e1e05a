//! `upbead read`: tables and rows in words to charts, our own outputs exactly.

use super::schema::suits;
use crate::common::{Bench, repository};
use serde_json::Value;
use std::fs;
use std::sync::OnceLock;

/// Charts of several shapes beside the palette that they are made in.
fn bench() -> Bench {
    let bench = Bench::new();
    bench.put("tin.csv", fs::read(repository("palettes/tin.csv")).unwrap());
    static MADE: [OnceLock<Vec<u8>>; 4] = [const { OnceLock::new() }; 4];
    let calls = [
        ("tide-line.png", "--columns 9 --size us7"),
        ("kittiwake.png", "--columns 10 --rows 40"),
        ("lighthouse.png", "--columns 6 --rows 31 --open --bead 8"),
        ("anchor.png", "--columns 13 --rows 60 --bead 1.4x1.7x0.7"),
    ];
    for (at, (name, call)) in calls.iter().enumerate() {
        bench.put(name, fs::read(repository("samples").join(name)).unwrap());
        let chart = CHARTS[at];
        let call = format!("chart {name} --palette tin.csv {call} -o {chart}");
        bench.put_once(chart, &MADE[at], || {
            bench.line(&call).ok();
        });
    }
    bench
}

const CHARTS: [&str; 4] = ["ring.json", "even.json", "strip.json", "own.json"];

/// The shape, and the code of each bead by rows.
fn beads(chart: &Value) -> (Value, Value, Vec<Vec<String>>) {
    let code = |at: &Value| {
        let colour = &chart["colours"][at.as_u64().unwrap() as usize];
        colour["code"].as_str().unwrap().to_string()
    };
    let row = |row: &Value| row.as_array().unwrap().iter().map(code).collect();
    let rows = chart["rows"].as_array().unwrap().iter().map(row).collect();
    (chart["closed"].clone(), chart["bead"].clone(), rows)
}

#[track_caller]
fn reads_back(bench: &Bench, call: &str, chart: &str) {
    bench
        .line(&format!(
            "read {call} --palette tin.csv -o back.json --force"
        ))
        .ok();
    let json = |name: &str| serde_json::from_slice(&bench.get(name)).unwrap();
    assert_eq!(beads(&json("back.json")), beads(&json(chart)), "{call}");
}

#[test]
fn rows_in_words_read_back_as_they_were_woven() {
    let bench = bench();
    for chart in CHARTS {
        for options in [
            "",
            " --as markdown",
            " --keys short",
            " --keys names",
            " --from top",
            " --from top --keys short --as markdown",
            " --units inch --tail 200",
        ] {
            let rows = bench.line(&format!("weave {chart}{options}")).ok().out;
            bench.put("rows.txt", rows);
            reads_back(&bench, "rows.txt", chart);
        }
    }
}

#[test]
fn a_chart_that_was_printed_reads_back_with_its_title() {
    let bench = bench();
    for chart in CHARTS {
        bench.put("shown.txt", bench.line(&format!("show {chart}")).ok().out);
        reads_back(&bench, "shown.txt", chart);
    }
    let title = [
        "read",
        "shown.txt",
        "--palette",
        "tin.csv",
        "--title",
        "Low tide",
        "-o",
    ];
    bench.run(&[&title[..], &["titled.json"]].concat()).ok();
    for (verb, file) in [("show", "shown.txt"), ("weave", "rows.md")] {
        bench.put(file, bench.line(&format!("{verb} titled.json")).ok().out);
        bench
            .line(&format!("read {file} --palette tin.csv -o {verb}.json"))
            .ok();
        let chart: Value = serde_json::from_slice(&bench.get(&format!("{verb}.json"))).unwrap();
        assert_eq!(chart["title"], "Low tide", "{verb}");
    }
}

/// The rows of a chart as cells, row 1 last.
fn table(chart: &Value, mark: &str, square: bool) -> String {
    let (_, _, rows) = beads(chart);
    let rows = rows.iter().enumerate().map(|(at, row)| {
        let between = format!("{mark}{mark}");
        match (square, at % 2) {
            (true, 0) => row.join(&between),
            (true, _) => format!("{mark}{}", row.join(&between)),
            (false, _) => row.join(mark),
        }
    });
    let mut lines: Vec<String> = rows.collect();
    lines.reverse();
    lines.join("\n") + "\n"
}

#[test]
fn tables_of_every_form_give_the_same_chart() {
    let bench = bench();
    for chart in CHARTS {
        let json: Value = serde_json::from_slice(&bench.get(chart)).unwrap();
        let bead = match chart {
            "strip.json" => " --open --bead 8",
            "own.json" => " --bead 1.4x1.7x0.7",
            _ => "",
        };
        for mark in [",", ";", "\t"] {
            for square in [false, true] {
                let text = table(&json, mark, square);
                bench.put("table.csv", &text);
                reads_back(&bench, &format!("table.csv{bead}"), chart);
                let mut lines: Vec<&str> = text.lines().collect();
                let count = lines.len();
                let number = |at: usize, line: &&str| format!("{}{mark}{line}", count - at);
                let numbered = lines.iter().enumerate().map(|(at, line)| number(at, line));
                let numbered: Vec<String> = numbered.collect();
                bench.put(
                    "table.csv",
                    format!("Row{mark}1{mark}2\n{}", numbered.join("\n")),
                );
                reads_back(&bench, &format!("table.csv{bead}"), chart);
                lines.reverse();
                bench.put("table.csv", lines.join("\r\n"));
                reads_back(&bench, &format!("table.csv --first-row top{bead}"), chart);
            }
        }
    }
}

/// One band of five columns and six rows in the ways that people write it: `n` jersey navy, `s`
/// sandbar, `w` gull white. Row 3 is `n s w` and row 4 `s n` from the left.
const TYPED: [&str; 9] = [
    "Rows 1 & 2: 2 jersey navy, 1 gull white, 2 jersey navy\nR3: 1 gull white 1 sandbar 1 jersey \
     navy\nR4: 1 sandbar, 1 jersey navy\nR5: 3 sandbar\nR6: 2 jersey navy",
    "N = jersey navy\nS = sandbar\nW = quay-01\n\nrows 1-2: 2N 1W 2N\nRow 3 (R): 1W 1S 1N\n\
     Row 4 (L): 1S, 1N\nRow 5: 3S\nRow 6: 2N",
    "N: jersey navy\nS: sandbar\nW: gull white\nR1+2 (left to right) 2xN, 1xW, 2xN\nR3 → 1xN, \
     1xS, 1xW\nR4 <- N, S\nR5 S, S, S\nR6 N, N",
    "N = quay-58 \nS = dune-42\nW = quay-01\nRows 1 and 2: 2N 1W 2N\n3. 1W 1S 1N\n\
     4. 1S 1N\n5. 3S\n6. 2N",
    "N = quay-58\nS = dune-42\nW = quay-01\nrow 6: N ×2\nrow 5: S x3\nrow 4: N x1, S\nrow 3: N, \
     S, W\nrow 1: N, W, N\nrow 2: N, N",
    "* **Row 1/2:** 2 Jersey Navy; 1 Gull White; 2 Jersey Navy\n* Row 3 (to the left) (3 beads): 1 \
     gull white, 1 sandbar and 1 jersey navy\n* Row 4 (from the left): sandbar, jersey navy\n\
     * Row 5: 3 of sandbar\n* Row 6: 2 jersey navy beads.",
    "A narrow ring for the summer class\n\nString rows 1 and 2 as one.\nRows 1 & 2: 2 quay-58, \
     quay-01, 2 quay-58\nRow 3 goes back.\nRow 3: quay-01, dune-42, quay-58\nRow 4: dune-42, \
     quay-58\nRow 5: 3 dune-42\nRow 6: 2 quay-58",
    "R1: 1 quay-58 1 quay-01 1 quay-58\nR2: 2 quay-58\nR3 (L): 1 quay-58 1 dune-42 1 quay-01\nR4 \
     (L to R): 1 dune-42 1 quay-58\nR5: 3 dune-42\nR6: 2 quay-58",
    "Rows 1 & 2: 2×quay-58, 1×quay-01, 2×quay-58\nRow 3: 1*quay-01, 1 x dune-42, 1x quay-58\n\
     Row 4: dune-42×1, quay-58×1\nRow 5: 3 dune-42\nRow 6: 2 quay-58",
];

#[test]
fn rows_are_read_in_the_ways_that_people_type_them() {
    let bench = bench();
    for rows in TYPED {
        bench.put("rows.txt", rows);
        bench
            .line("read rows.txt --palette tin.csv -o typed.json --force")
            .ok();
        let chart: Value = serde_json::from_slice(&bench.get("typed.json")).unwrap();
        let [n, s, w] = ["quay-58", "dune-42", "quay-01"];
        let expected = [
            vec![n, w, n],
            vec![n, n],
            vec![n, s, w],
            vec![s, n],
            vec![s; 3],
            vec![n; 2],
        ];
        assert_eq!(beads(&chart).2, expected, "{rows}");
    }
}

#[test]
fn directions_and_sides_are_the_caller_s_to_choose() {
    let bench = bench();
    bench.put(
        "rows.txt",
        "Row 1: n s s\nRow 2: n s\nRow 3 (L): n s s\nRow 4: n s\nRow 5: n n s\nRow 6: n s",
    );
    // Names side by side are one name: commas or counts part them.
    let call = "read rows.txt --palette tin.csv --map n=quay-58,s=dune-42 -o x.json --force";
    bench
        .line(call)
        .fails_with(1, "error: rows.txt:1:8: 3 names are not in the palette");
    bench.put(
        "rows.txt",
        "Row 1: n,s,s\nRow 2: n,s\nRow 3 (L): n,s,s\nRow 4: n,s\nRow 5: n,n,s\nRow 6: n,s",
    );
    let rows = |options: &str| {
        bench.line(&format!("{call}{options}")).ok();
        let chart: Value = serde_json::from_slice(&bench.get("x.json")).unwrap();
        let (_, _, rows) = beads(&chart);
        let firsts = rows
            .iter()
            .map(|row| if row[0] == "quay-58" { 'n' } else { 's' });
        firsts.collect::<String>()
    };
    assert_eq!(rows(""), "nsnsns");
    assert_eq!(rows(" --direction right"), "nnnnnn");
    assert_eq!(rows(" --direction left"), "ssnsss");
    assert_eq!(rows(" --sides to"), "nsssns");
    assert_eq!(rows(" --direction right --sides to"), "nnsnnn");
}

#[test]
fn names_that_are_unknown_are_told_all_at_once_and_can_be_mapped() {
    let bench = bench();
    bench.put(
        "rows.txt",
        "Rows 1 & 2: 2 navy 1 N 2 sanbar\nR3: 3 dusk\nR4: 2 navy\nR5: 3 N\nR6: 2 sandbar\n",
    );
    let call = "read rows.txt --palette tin.csv -o band.json";
    bench.line(call).fails(
        1,
        "error: rows.txt:1:13: 4 names are not in the palette\n  \
         'navy' (line 1): near quay-58 jersey navy\n  \
         'N' (line 1): near quay-58 jersey navy\n  \
         'sanbar' (line 1): near dune-42 sandbar\n  \
         'dusk' (line 2)\n\
         hint: say which colour each one is: --map navy=quay-58,..",
    );
    assert!(!bench.path("band.json").exists());
    let map = "--map navy=quay-58,N=quay-01,sanbar=sandbar,dusk=quay-11";
    let run = bench.line(&format!("{call} {map} --json")).ok();
    suits("read", &run.json());
    assert_eq!(run.json()["kind"], "words");
    assert_eq!(run.json()["lines_passed_over"], 0);
    let codes = run.json()["colours"].as_array().unwrap().len();
    assert_eq!(codes, 4);
    for (map, error) in [
        ("navy", "error: --map: 'navy' has no colour\n"),
        (
            "navy=kelp",
            "error: --map: no colour has the code or name 'kelp'\n",
        ),
        (
            "navy=quay-58,navy=quay-01",
            "error: --map: 'navy' stands twice\n",
        ),
    ] {
        let run = bench.line(&format!("{call} --force --map {map}"));
        assert!(
            run.status == Some(2) && run.err.starts_with(error),
            "{}",
            run.told()
        );
    }
}

#[test]
fn a_chart_that_was_read_is_a_chart_like_any_other() {
    let bench = bench();
    bench.put("rows.txt", TYPED[0]);
    let read = bench.line("read rows.txt --palette tin.csv").ok();
    assert!(
        read.out
            .starts_with("rows.json: 5 columns, 6 rows, 15 beads"),
        "{}",
        read.told()
    );
    for verb in ["check", "weave", "show", "kit"] {
        bench.line(&format!("{verb} rows.json")).ok();
    }
    let dash = bench.run_with(
        &["read", "-", "--palette", "tin.csv", "-o", "-"],
        TYPED[0].as_bytes(),
    );
    let chart: Value = serde_json::from_str(&dash.ok().out).unwrap();
    assert_eq!(chart["rows"].as_array().unwrap().len(), 6);
}

#[test]
fn options_of_another_kind_of_file_are_refused() {
    let bench = bench();
    bench.put("rows.txt", TYPED[0]);
    bench.put("table.csv", "n,n\nn,n,n\nn,n\nn,n,n\nn,n\nn,n,n\n");
    for (call, error) in [
        (
            "rows.txt --first-row top",
            "error: --first-row: this is only for a table",
        ),
        (
            "rows.txt --columns 9",
            "error: --columns: this is only for a picture",
        ),
        (
            "table.csv --direction left",
            "error: --direction: this is only for rows in words",
        ),
        (
            "table.csv --sides to",
            "error: --sides: this is only for rows in words",
        ),
    ] {
        let run = bench.line(&format!("read {call} --palette tin.csv -o band.json"));
        assert!(
            run.status == Some(2) && run.err.starts_with(error),
            "{}",
            run.told()
        );
    }
    for (call, error) in [
        (
            "- --palette -",
            "error: --palette: rows and palette cannot both come",
        ),
        (
            "table.csv --palette tin.csv -o - --json",
            "error: --json: the chart and what was read",
        ),
    ] {
        let run = bench.line(&format!("read {call}"));
        assert!(
            run.status == Some(2) && run.err.starts_with(error),
            "{}",
            run.told()
        );
    }
}

/// Flat drawings, at the size of a screen and at true size.
#[test]
fn pictures_of_charts_read_back_as_they_were_drawn() {
    let bench = bench();
    let more = [
        ("fish-hook.png", "--columns 5 --rows 60 -o five.json"),
        ("anchor.png", "--columns 21 --rows 60 -o wide.json"),
    ];
    for (name, call) in more {
        bench.put(name, fs::read(repository("samples").join(name)).unwrap());
        let call = format!("chart {name} --palette tin.csv {call}");
        bench.line(&call).ok();
    }
    for (chart, options) in [
        ("ring.json", "--flat drawn.png --density 100"),
        ("ring.json", "--flat drawn.png --scale true"),
        ("ring.json", "--flat drawn.svg"),
        (
            "even.json",
            "--flat drawn.png --density 100 --backdrop 18222B",
        ),
        ("strip.json", "--flat drawn.png --density 100"),
        ("own.json", "--flat drawn.png --density 120 --lettered"),
        ("five.json", "--flat drawn.png --density 72"),
        ("wide.json", "--flat drawn.png --density 72"),
    ] {
        bench.line(&format!("show {chart} {options} --force")).ok();
        let file = options.split(' ').nth(1).unwrap();
        let shape = match chart {
            "strip.json" => " --open --bead 8",
            "own.json" => " --bead 1.4x1.7x0.7",
            _ => "",
        };
        reads_back(&bench, &format!("{file}{shape}"), chart);
    }
}

#[test]
fn a_picture_without_beads_is_refused_and_nothing_is_written() {
    let bench = bench();
    let call = "read kittiwake.png --palette tin.csv -o band.json";
    bench
        .line(call)
        .fails_with(1, "error: kittiwake.png: no grid of beads is found");
    assert!(!bench.path("band.json").exists());
}

#[test]
fn a_chart_file_is_called_one() {
    let bench = bench();
    bench
        .line("read ring.json --palette tin.csv -o band.json")
        .fails_with(
            1,
            "error: ring.json: this is a chart file, which is read already\n\
             hint: use it as it is, with `upbead show` for one\n",
        );
}

/// A bead of a colour between two of the palette is listed with its place and with both.
#[test]
fn doubtful_beads_are_listed_with_both_colours() {
    let bench = bench();
    let drawn = "show ring.json --flat drawn.svg --force";
    bench.line(drawn).ok();
    let svg = String::from_utf8(bench.get("drawn.svg")).unwrap();
    // The palette lacks the colour that is drawn: two greys on both sides of it stand for it.
    let navy = svg.to_lowercase().contains("1c3261");
    assert!(navy, "navy is drawn");
    bench.put(
        "near.csv",
        "code,name,hex\na,slate,1C4261\nb,ink,1C2261\nw,gull white,FAFAF6\n",
    );
    let read = bench.line("read drawn.svg --palette near.csv -o near.json --json");
    let json = read.ok().json();
    suits("read", &json);
    let doubt = &json["doubtful"][0];
    assert!(doubt["row"].is_u64() && doubt["column"].is_u64(), "{json}");
    assert_ne!(doubt["chosen"]["code"], doubt["other"]["code"]);
}
