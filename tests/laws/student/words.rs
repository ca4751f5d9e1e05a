//! The text as a student reads it: the strung beads, a line for each row, and sentences.

/// A row that is to be woven.
#[derive(Debug, Clone)]
pub(super) struct Line {
    pub(super) row: u32,
    pub(super) to_right: bool,
    /// Colours in the order of picking up.
    pub(super) beads: Vec<String>,
    pub(super) turn: String,
    /// Whether a new thread begins after it.
    pub(super) new_thread: bool,
    /// What is said below it, in one line.
    pub(super) how: String,
}

/// All that was read.
#[derive(Debug)]
pub(super) struct Words {
    pub(super) strung: Vec<String>,
    pub(super) lines: Vec<Line>,
    /// First row, last row and times of the rows that are woven several times; the first of them.
    repeated: Vec<u32>,
    waiting: Option<Line>,
    /// Everything in one line.
    all: String,
}

/// Lines joined, with one space between words.
pub(super) fn unbroken(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The first `from` in `text` becomes `to`, even where a line breaks within it.
pub(super) fn replaced(text: &str, from: &str, to: &str) -> String {
    if text.contains(from) {
        return text.replacen(from, to, 1);
    }
    let (first, rest) = from.split_once(' ').expect("several words");
    let ends: Vec<usize> = text
        .match_indices(first)
        .map(|(at, _)| at + first.len())
        .collect();
    let found = ends
        .into_iter()
        .find(|&end| unbroken(&text[end..]).starts_with(rest));
    let end = found.expect("the words");
    let mut after = &text[end..];
    for word in rest.split(' ') {
        after = &after[after.find(word).expect("a word") + word.len()..];
    }
    format!("{}{to}{after}", &text[..end - first.len()])
}

pub(super) fn is_right(side: &str) -> bool {
    match side {
        "right" => true,
        "left" => false,
        other => panic!("'{other}' is no side"),
    }
}

/// Longest word that a gap in a sentence stands for.
const LONG: usize = 30;

/// What stands at each `{}` of `pattern`, whose other words are in `text`.
pub(super) fn follow(text: &str, pattern: &str) -> Vec<String> {
    let start = pattern
        .split("{}")
        .next()
        .expect("words before the first gap");
    let mut found = text
        .match_indices(start)
        .map(|(at, _)| gaps(&text[at..], pattern));
    let told = found.find_map(|told| told);
    told.unwrap_or_else(|| panic!("'{pattern}' in\n{text}"))
}

/// The gaps, if `text` begins with the pattern.
fn gaps(text: &str, pattern: &str) -> Option<Vec<String>> {
    let mut parts = pattern.split("{}");
    let mut rest = text.strip_prefix(parts.next()?)?;
    let mut told = Vec::new();
    for part in parts {
        let end = rest.find(part).filter(|end| *end <= LONG)?;
        told.push(rest[..end].to_string());
        rest = &rest[end + part.len()..];
    }
    Some(told)
}

/// `4 snow, 1 lamp` as five words.
fn beads(runs: &str) -> Vec<String> {
    let run = |run: &str| {
        let (count, word) = run.split_once(' ').expect("a count and a colour");
        let count: usize = count.parse().expect("a count");
        vec![word.to_string(); count]
    };
    runs.split(", ").flat_map(run).collect()
}

impl Words {
    /// Sentences wherever they stand.
    pub(super) fn follow(&self, pattern: &str) -> Vec<String> {
        follow(&self.all, pattern)
    }

    /// The row after this one.
    pub(super) fn after(&self, line: &Line) -> Option<&Line> {
        let at = self.lines.iter().position(|one| one.row == line.row)?;
        self.lines.get(at + 1)
    }

    /// Reads the text.
    pub(super) fn read(text: &str) -> Self {
        let lines: Vec<&str> = text.lines().collect();
        let mut words = Self {
            strung: Vec::new(),
            lines: Vec::new(),
            repeated: Vec::new(),
            waiting: None,
            all: unbroken(text),
        };
        let mut at = 0;
        while at < lines.len() {
            let block = block(&lines[at..]);
            words.take(&lines[at..at + block]);
            at += block;
        }
        words
    }

    /// A line and those that are set further in below it.
    fn take(&mut self, block: &[&str]) {
        if let Some(strung) = block[0].strip_prefix("String ") {
            let (count, runs) = strung.split_once(": ").expect("beads");
            self.strung = beads(&unbroken(&format!("{runs} {}", block[1..].join(" "))));
            assert_eq!(count, self.strung.len().to_string());
            return;
        }
        let head = block[0].trim_start();
        if head.contains("these two rows ") {
            self.repeated = follow(head, "{} to {}, these two rows {} times:")
                .iter()
                .map(|number| number.parse().expect("a number"))
                .collect();
            return;
        }
        let numbered = head.starts_with(|c: char| c.is_ascii_digit());
        let (row, head) = if numbered {
            head.split_once(' ').expect("a row")
        } else {
            ("", head)
        };
        let Some((arrow @ ("←" | "→"), told)) = head.split_once(' ') else {
            return;
        };
        let (count, told) = told.trim_start().split_once("  ").expect("beads");
        // Beads, broken between runs; behind their last line the turn; then what is said.
        let mut runs = String::new();
        let mut turn = None;
        let mut how = String::new();
        for line in std::iter::once(told).chain(block[1..].iter().map(|line| line.trim_start())) {
            if turn.is_some() {
                how = format!("{how} {line}");
                continue;
            }
            let (part, end) = match line.split_once("   ") {
                Some((part, end)) => (part, Some(end.trim())),
                None => (line, None),
            };
            runs = format!("{runs} {part}");
            turn = end.map(String::from);
        }
        let ends = turn.expect("how the row ends");
        let line = Line {
            row: row.parse().unwrap_or(0),
            to_right: arrow == "→",
            beads: beads(&unbroken(&runs)),
            turn: ends.split("; ").next().unwrap_or_default().to_string(),
            new_thread: ends.ends_with("; new thread"),
            how: unbroken(&how),
        };
        assert_eq!(count, line.beads.len().to_string(), "{line:?}");
        if numbered {
            self.lines.push(line);
        } else {
            self.repeat(line);
        }
    }

    /// Of two lines that are woven several times the first waits for the second.
    fn repeat(&mut self, line: Line) {
        let Some(first) = self.waiting.take() else {
            self.waiting = Some(line);
            return;
        };
        let [from, to, times] = self.repeated[..] else {
            panic!("{line:?} without its rows");
        };
        let mut row = from;
        for _ in 0..times {
            for line in [&first, &line] {
                self.lines.push(Line {
                    row,
                    ..line.clone()
                });
                row = if from < to {
                    row + 1
                } else {
                    row.saturating_sub(1)
                };
            }
        }
        assert_eq!(self.lines[self.lines.len() - 1].row, to, "{first:?}");
    }
}

/// How many lines belong to the first one: those after it that are set further in.
fn block(lines: &[&str]) -> usize {
    let deep = |line: &str| line.len() - line.trim_start().len();
    let is_row = |line: &str| {
        let mut words = line.trim_start().split(' ').take(2);
        words.any(|word| ["←", "→"].contains(&word))
    };
    let more = lines[1..]
        .iter()
        .take_while(|line| !line.trim().is_empty() && deep(line) > 3 && !is_row(line));
    1 + more.count()
}
