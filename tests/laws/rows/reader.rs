//! Readers of the rows, in words and in JSON, that know only what a weaver knows about the stitch.

use serde_json::Value;
use std::collections::HashMap;

/// Where each bead is and what it is called there: `(row, column)`.
pub(super) type Laid = HashMap<(u32, u32), String>;

/// Lays beads that were strung, or picked up in a row, into their places.
fn lay(laid: &mut Laid, places: Vec<(u32, u32)>, words: Vec<String>) {
    assert_eq!(places.len(), words.len());
    for (place, word) in places.into_iter().zip(words) {
        assert!(laid.insert(place, word).is_none(), "{place:?} twice");
    }
}

/// `4 garnet, 1 gold` as five words.
fn beads(runs: &str) -> Vec<String> {
    runs.split(", ")
        .flat_map(|run| {
            let (count, word) = run.split_once(' ').expect("a count and a colour");
            let count = count.parse().expect("a count");
            std::iter::repeat_n(word.to_string(), count)
        })
        .collect()
}

/// The places of the strung beads: the last one belongs to the outermost row, and the rows
/// alternate before it.
fn strung_places(columns: u32, outer: u32, inner: u32, to_right: bool) -> Vec<(u32, u32)> {
    (1..=columns)
        .map(|at| {
            let column = if to_right { at } else { columns + 1 - at };
            let row = if (columns - at).is_multiple_of(2) {
                outer
            } else {
                inner
            };
            (row, column)
        })
        .collect()
}

/// The places of a row's beads: every second column, odd ones in odd rows.
fn row_places(columns: u32, row: u32, to_right: bool) -> Vec<(u32, u32)> {
    let mut places: Vec<(u32, u32)> = (1..=columns)
        .filter(|column| column % 2 == row % 2)
        .map(|column| (row, column))
        .collect();
    if !to_right {
        places.reverse();
    }
    places
}

pub(super) fn number(text: &str) -> u32 {
    let digits: String = text.chars().take_while(char::is_ascii_digit).collect();
    digits
        .parse()
        .unwrap_or_else(|_| panic!("a number in '{text}'"))
}

/// What follows `before` in `text`.
pub(super) fn after<'a>(text: &'a str, before: &str) -> &'a str {
    let at = text
        .find(before)
        .unwrap_or_else(|| panic!("'{before}' in\n{text}"));
    &text[at + before.len()..]
}

/// Rows of the strung beads and their way, from the sentence that says it.
fn strung_as_told(words: &str) -> (u32, u32, bool) {
    let told = after(words, "string rows ");
    let inner = after(told, "and ");
    (
        number(told),
        number(inner),
        after(told, "from the ").starts_with("left"),
    )
}

/// Beads from the front of `lines`, until there are `count`; what stands behind three spaces is not
/// beads.
fn gather(lines: &[&str], first: &str, count: usize) -> Vec<String> {
    let mut runs = String::new();
    for line in std::iter::once(first).chain(lines.iter().map(|line| line.trim_start())) {
        let part = line.split("   ").next().unwrap();
        runs = format!("{runs} {part}").trim().to_string();
        let found = beads(runs.trim_end_matches(','));
        if found.len() >= count {
            return found;
        }
    }
    panic!("fewer than {count} beads in {lines:?}");
}

/// Rows that are woven as the two lines below say: those of the first line, then of the second.
#[derive(Default)]
struct Pairs(Vec<Vec<u32>>);

impl Pairs {
    fn push_all(&mut self, rows: Vec<u32>) {
        assert!(self.0.is_empty());
        let every_other = |from: usize| rows.iter().skip(from).step_by(2).copied().collect();
        self.0 = vec![every_other(1), every_other(0)];
    }

    fn take(&mut self) -> Vec<u32> {
        self.0.pop().expect("rows for these beads")
    }
}

/// The rows of `6 to 25, these two rows 10 times:`, in the order of work.
fn repeated(line: &str) -> Option<Vec<u32>> {
    let (first, rest) = line.trim_start().split_once(" to ")?;
    let first: u32 = first.parse().ok()?;
    let (last, times) = rest.split_once(" these two rows ")?;
    let (last, times) = (number(last), number(times));
    let rows: Vec<u32> = if first < last {
        (first..=last).collect()
    } else {
        (last..=first).rev().collect()
    };
    assert_eq!(rows.len() as u32, 2 * times, "{line}");
    Some(rows)
}

/// Reads the text.
pub(super) fn read_text(text: &str) -> Laid {
    let mut laid = Laid::new();
    let mut pairs = Pairs::default();
    let lines: Vec<&str> = text.lines().collect();
    let columns = number(lines[1]);
    let (outer, inner, to_right) = strung_as_told(&text.replace('\n', " "));
    for (at, line) in lines.iter().enumerate() {
        let rest = &lines[at + 1..];
        if let Some(strung) = line.strip_prefix("String ") {
            assert_eq!(number(strung), columns);
            let first = after(strung, ": ");
            let words = gather(rest, first, columns as usize);
            lay(
                &mut laid,
                strung_places(columns, outer, inner, to_right),
                words,
            );
        }
        if let Some(rows) = repeated(line) {
            pairs.push_all(rows);
        }
        let line = line.trim_start();
        let numbered = line.starts_with(|c: char| c.is_ascii_digit());
        let (row, line) = if numbered {
            line.split_once(' ').unwrap()
        } else {
            ("", line)
        };
        let Some((arrow @ ("←" | "→"), told)) = line.split_once(' ') else {
            continue;
        };
        let told = told.trim_start();
        let count = number(told) as usize;
        let words = gather(rest, after(told, "  "), count);
        let rows = if numbered {
            vec![number(row)]
        } else {
            pairs.take()
        };
        for row in rows {
            let places = row_places(columns, row, arrow == "→");
            lay(&mut laid, places, words.clone());
        }
    }
    laid
}

/// Reads the Markdown.
pub(super) fn read_markdown(text: &str) -> Laid {
    let text = text.replace('\\', "");
    let mut laid = Laid::new();
    let columns = number(text.lines().nth(2).unwrap());
    let (outer, inner, to_right) = strung_as_told(&text);
    let mut pairs = Pairs::default();
    for line in text.lines() {
        if let Some(told) = line.strip_prefix("  - ")
            && told.starts_with(['←', '→'])
        {
            for row in pairs.take() {
                let words = beads(after(told, ": ").split("; *").next().unwrap());
                lay(
                    &mut laid,
                    row_places(columns, row, told.starts_with('→')),
                    words,
                );
            }
        }
        let Some(line) = line.strip_prefix("- [ ] **") else {
            continue;
        };
        if line.starts_with("String") {
            let words = beads(after(line, ":** "));
            lay(
                &mut laid,
                strung_places(columns, outer, inner, to_right),
                words,
            );
            continue;
        }
        if let Some(rows) = repeated(&line.replace("**", "")) {
            pairs.push_all(rows);
            continue;
        }
        let told = after(line, "** ");
        let words = beads(after(told, ": ").split("; *").next().unwrap());
        lay(
            &mut laid,
            row_places(columns, number(line), told.starts_with('→')),
            words,
        );
    }
    laid
}

/// Reads the JSON: beads are where they are passed for the first time, their colours in the order
/// of the runs.
pub(super) fn read_json(json: &Value) -> HashMap<(u32, u32), usize> {
    let whole = |value: &Value| value.as_u64().unwrap() as usize;
    let runs = |list: &Value| -> Vec<usize> {
        let list = list.as_array().unwrap();
        list.iter()
            .flat_map(|run| std::iter::repeat_n(whole(&run["colour"]), whole(&run["count"])))
            .collect()
    };
    let mut colours = runs(&json["strung"]);
    for row in json["rows"].as_array().unwrap() {
        let picked = runs(&row["pick"]);
        assert_eq!(picked.len(), whole(&row["beads"]));
        colours.extend(picked);
    }
    let mut colours = colours.into_iter();
    let mut laid = HashMap::new();
    for pass in json["passes"].as_array().unwrap() {
        let place = (whole(&pass[0]) as u32, whole(&pass[1]) as u32);
        laid.entry(place)
            .or_insert_with(|| colours.next().expect("a colour for each bead"));
    }
    assert_eq!(colours.next(), None);
    laid
}
