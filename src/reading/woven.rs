//! Rows as `upbead weave` writes them, as text and as Markdown: the strung rows, a line for each
//! row with an arrow, two rows that come several times, and the table of keys.

use super::layout::{Band, FromText, Given, Laid, Run, Strung, beads};
use super::names::{Names, Position};
use super::stated::{described, is_facts, stated};
use crate::error::{Error, Result};
use crate::lattice::MOST_ROWS;
use crate::request::{ReadKind, ReadRequest};

/// Between the beads of a row and what stands behind them; no name has so many spaces.
const GAP: &str = "   ";
/// Titles that say nothing of the design: that of a guide without one, and a file's name.
const UNTITLED: [&str; 2] = ["Weaving guide", ".json"];

/// Whether a text is one of these.
pub(super) fn is_woven(text: &str) -> bool {
    let mut lines = text.lines().map(plain);
    lines.any(|line| strung(&line).is_some())
}

/// Reads all rows.
///
/// # Errors
/// If a line cannot be read, or rows are missing.
pub(super) fn read(text: &str, request: &ReadRequest, names: &mut Names) -> Result<FromText> {
    let mut reader = Reader {
        names,
        band: Band::default(),
        open: Open::Nothing,
        repeated: None,
    };
    for (at, line) in (1..).zip(text.lines()) {
        reader.line(&plain(line), at)?;
    }
    reader.string_as_told(text);
    reader.names.check()?;
    let (lattice, chosen) = reader.band.lay(request, &stated(text))?;
    Ok(FromText {
        kind: ReadKind::Words,
        laid: Laid { lattice, chosen },
        title: title(text),
        passed_over: 0,
    })
}

/// The first line, where it names the design.
fn title(text: &str) -> Option<String> {
    let first = text.lines().find(|line| !line.trim().is_empty())?.trim();
    let title = without_escapes(first.trim_start_matches("# "));
    let untitled = is_facts(&title) || UNTITLED.iter().any(|end| title.ends_with(end));
    (!untitled).then_some(title)
}

/// A line of Markdown as the text has it; a line of text as it is.
fn plain(line: &str) -> String {
    let start = line.trim_start();
    if let Some(cells) = start.strip_prefix("| ") {
        let cells: Vec<&str> = cells.trim_end_matches(" |").split(" | ").collect();
        return without_escapes(&cells.join(GAP));
    }
    let Some(item) = start.strip_prefix("- [ ] ").or_else(|| {
        let below = start.strip_prefix("- ")?;
        below.starts_with(['←', '→']).then_some(below)
    }) else {
        return line.to_string();
    };
    let item = item.replace("**", "");
    let row = item
        .split_once(" beads: ")
        .or_else(|| item.split_once(" bead: "));
    let Some((head, rest)) = row.filter(|_| item.contains(['←', '→'])) else {
        return without_escapes(&item);
    };
    let (runs, turn) = rest.rsplit_once("; *").unwrap_or((rest, ""));
    format!("{head}  {}{GAP}{turn}", without_escapes(runs))
}

/// Markdown's backslashes taken out.
fn without_escapes(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut letters = text.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '\\' => out.extend(letters.next()),
            letter => out.push(letter),
        }
    }
    out
}

/// The beads behind `String 9: `.
fn strung(line: &str) -> Option<&str> {
    let (count, runs) = line.strip_prefix("String ")?.split_once(": ")?;
    count.parse::<u32>().is_ok().then_some(runs)
}

/// What the next line may go on with.
enum Open {
    Nothing,
    /// The strung rows, after a comma.
    Strung,
    /// The last row: its turn is not written yet.
    Row {
        beads: usize,
    },
}

/// Two rows that come several times.
struct Repeated {
    first: u32,
    last: u32,
    times: u32,
    pair: Vec<Given>,
}

struct Reader<'a, 'b> {
    names: &'a mut Names<'b>,
    band: Band,
    open: Open,
    repeated: Option<Repeated>,
}

impl Reader<'_, '_> {
    fn line(&mut self, line: &str, at: usize) -> Result<()> {
        if let Some(runs) = strung(line) {
            self.strung(runs, line, at)?;
        } else if let Some(row) = Row::of(line) {
            self.row(&row, line, at)?;
        } else if let Some(repeated) = repeated(line) {
            self.repeated = Some(repeated);
        } else if self.goes_on(line) {
            self.go_on(line, at)?;
        } else {
            self.open = Open::Nothing;
            self.key(line);
        }
        Ok(())
    }

    /// `jn   jersey navy (quay-58)   100`.
    fn key(&mut self, line: &str) {
        let parts = line
            .split(GAP)
            .map(str::trim)
            .filter(|part| !part.is_empty());
        let parts: Vec<&str> = parts.collect();
        if let [key, colour, _] = parts[..]
            && let Some(colour) = described(colour)
        {
            self.names.explain(key, &colour);
        }
    }

    fn strung(&mut self, runs: &str, line: &str, at: usize) -> Result<()> {
        let runs = self.runs(runs, line, at)?;
        self.band.strung = Some(Strung {
            numbers: [1, 2],
            runs,
            to_right: None,
            at: Position {
                line: at,
                column: 1,
            },
        });
        self.open = open(line, Open::Strung);
        Ok(())
    }

    fn row(&mut self, row: &Row, line: &str, at: usize) -> Result<()> {
        let (runs, ended) = beads_and_end(row.rest);
        let given = Given {
            number: row.number.unwrap_or(0),
            runs: self.runs(runs, line, at)?,
            to_right: Some(row.to_right),
            at: Position {
                line: at,
                column: 1,
            },
        };
        match (&mut self.repeated, row.number) {
            (Some(repeated), None) => repeated.pair.push(given),
            (None, None) => {
                let error = Error::new("this row has no number").at(at, 1);
                return Err(error.hint("write the row's number before its arrow"));
            }
            (_, Some(_)) => self.band.rows.push(given),
        }
        self.open = if ended {
            Open::Nothing
        } else {
            Open::Row { beads: row.beads }
        };
        if ended {
            self.close(row.beads, at)?;
        }
        Ok(())
    }

    /// Whether the line has more beads of what came before it.
    fn goes_on(&self, line: &str) -> bool {
        let more = line.trim_start().starts_with(|c: char| c.is_ascii_digit());
        more && line.starts_with(' ') && !matches!(self.open, Open::Nothing)
    }

    fn go_on(&mut self, line: &str, at: usize) -> Result<()> {
        let (runs, ended) = beads_and_end(line.trim_start());
        let runs = self.runs(runs, line, at)?;
        match self.open {
            Open::Strung => {
                if let Some(strung) = &mut self.band.strung {
                    strung.runs.extend(runs);
                }
                self.open = open(line, Open::Strung);
            }
            Open::Row { beads } => {
                if let Some(row) = self.last_row() {
                    row.runs.extend(runs);
                }
                if ended {
                    self.open = Open::Nothing;
                    self.close(beads, at)?;
                }
            }
            Open::Nothing => {}
        }
        Ok(())
    }

    fn last_row(&mut self) -> Option<&mut Given> {
        match &mut self.repeated {
            Some(repeated) => repeated.pair.last_mut(),
            None => self.band.rows.last_mut(),
        }
    }

    /// The row is whole: its beads are counted, and two rows that come several times unfold.
    fn close(&mut self, wanted: usize, at: usize) -> Result<()> {
        let is = self.last_row().map_or(0, |row| beads(&row.runs));
        if is != wanted {
            let error = Error::new(format!("this row says {wanted} beads and names {is}"));
            return Err(error.at(at, 1).hint("correct the number or the beads"));
        }
        let whole = self.repeated.take_if(|repeated| repeated.pair.len() == 2);
        let Some(repeated) = whole else {
            return Ok(());
        };
        let Repeated {
            first,
            last,
            times,
            pair,
        } = repeated;
        let numbers: Vec<u32> = if first <= last {
            (first..=last).collect()
        } else {
            (last..=first).rev().collect()
        };
        if numbers.len() as u64 != 2 * u64::from(times) {
            let error = Error::new(format!(
                "rows {first} to {last} are not two rows {times} times"
            ));
            return Err(error.at(at, 1).hint("correct the rows or the times"));
        }
        for (number, row) in numbers.into_iter().zip(pair.iter().cycle()) {
            self.band.rows.push(Given {
                number,
                ..row.clone()
            });
        }
        Ok(())
    }

    /// `4 garnet, 1 gold`: a comma is the end of a run only before a count.
    fn runs(&mut self, text: &str, line: &str, at: usize) -> Result<Vec<Run>> {
        let mut all = Vec::new();
        for run in split(text) {
            let offset = run.as_ptr() as usize - text.as_ptr() as usize;
            let before = line
                .find(text)
                .map_or(0, |begin| line[..begin + offset].chars().count());
            let place = Position {
                line: at,
                column: before + 1,
            };
            let counted = run.split_once(' ').and_then(|(count, name)| {
                let count = count.parse::<usize>().ok().filter(|count| *count > 0)?;
                Some((count, name.trim()))
            });
            let Some((count, name)) = counted else {
                let error = Error::new(format!("{} is no count and colour", super::cut(run)));
                return Err(place.blame(error).hint("write it as 4 garnet"));
            };
            all.push(Run {
                colour: self.names.of(name, place),
                count,
            });
        }
        Ok(all)
    }

    /// The strung rows and their direction, from the sentence that says them.
    fn string_as_told(&mut self, text: &str) {
        let words: Vec<&str> = text.split_whitespace().collect();
        let words = words.join(" ");
        let told = words.split("string rows ").nth(1).and_then(|rest| {
            let (rows, rest) = rest.split_once(" together, from the ")?;
            let (one, two) = rows.split_once(" and ")?;
            let rows = [one.parse().ok()?, two.parse().ok()?];
            Some((rows, rest.starts_with("left")))
        });
        if let (Some(strung), Some((numbers, to_right))) = (&mut self.band.strung, told) {
            strung.numbers = numbers;
            strung.to_right = Some(to_right);
        }
    }
}

/// What may follow a line: more of the same after a comma.
fn open(line: &str, more: Open) -> Open {
    if line.trim_end().ends_with(',') {
        more
    } else {
        Open::Nothing
    }
}

/// The beads, and whether the turn stands behind them.
fn beads_and_end(rest: &str) -> (&str, bool) {
    match rest.split_once(GAP) {
        Some((runs, _)) => (runs, true),
        None => (rest, false),
    }
}

/// Runs between commas; a comma within a name is not followed by a count.
fn split(text: &str) -> Vec<&str> {
    let mut runs = Vec::new();
    let mut begin = 0;
    for (at, _) in text.match_indices(", ") {
        if text[at + 2..].starts_with(|c: char| c.is_ascii_digit()) {
            runs.push(&text[begin..at]);
            begin = at + 2;
        }
    }
    runs.push(text[begin..].trim_end().trim_end_matches(','));
    runs
}

/// `11 to 20, these two rows 5 times:`.
fn repeated(line: &str) -> Option<Repeated> {
    let (rows, rest) = line.split_once(", these two rows ")?;
    let (first, last) = rows.trim().split_once(" to ")?;
    let row = |text: &str| text.parse().ok().filter(|row| *row <= MOST_ROWS);
    Some(Repeated {
        first: row(first)?,
        last: row(last)?,
        times: rest.split(' ').next()?.parse().ok()?,
        pair: Vec::new(),
    })
}

/// A row's line, cut at its arrow.
struct Row<'a> {
    number: Option<u32>,
    to_right: bool,
    /// How many beads it says that it has.
    beads: usize,
    rest: &'a str,
}

impl<'a> Row<'a> {
    fn of(line: &'a str) -> Option<Self> {
        let (before, after) = line.split_once(['←', '→'])?;
        let number = match before.trim() {
            "" => None,
            digits => Some(digits.parse().ok()?),
        };
        let (beads, rest) = after.trim_start().split_once("  ")?;
        Some(Self {
            number,
            to_right: line[before.len()..].starts_with('→'),
            beads: beads.parse().ok()?,
            rest,
        })
    }
}
