//! Palettes as CSV with a header.

use super::cells::{Cell, Record, Records, Separator};
use super::{MOST_COLOURS, bad_hex, shown, too_many, unknown_finish};
use crate::colour::read_hex;
use crate::error::{Error, Result, nearest_names};
use crate::palette::{Colour, Currency, Finish, Palette};
use crate::units::{Grams, grouped};
use std::collections::HashMap;

/// Heads that a palette needs, and all that the program knows.
const NEEDED: [&str; 3] = ["code", "name", "hex"];
const KNOWN: [&str; 9] = [
    "code", "name", "hex", "finish", "grams", "per_gram", "price", "per_pack", "currency",
];
/// Largest number of grams, of beads in a gram, of money for a gram: more than anyone has, and
/// small enough that sums stay finite.
const MOST: f64 = 1e6;

/// Which cell holds what.
struct Header {
    /// Places of the columns that the program knows.
    known: HashMap<&'static str, usize>,
    /// Places and heads of the other columns.
    extra: Vec<(usize, String)>,
    /// Columns without a head, whose cells must be empty.
    bare: Vec<usize>,
    width: usize,
    separator: Separator,
}

pub(super) fn read(text: &str, name: &str) -> Result<Palette> {
    let separator = separator(text);
    let mut records = Records::of(text, separator);
    let Some(first) = records.next() else {
        return Err(Error::new("the palette is empty").hint("start with a line: code,name,hex"));
    };
    let header = header(&first?, separator)?;
    let mut lines = HashMap::new();
    let mut colours = Vec::new();
    let mut currency = None;
    while let Some(record) = records.next() {
        let row = header.row(record?)?;
        if colours.len() == MOST_COLOURS {
            return Err(row.cells[0].blame(too_many()));
        }
        row.currency(&mut currency)?;
        let colour = row.colour()?;
        let code = row.needed("code")?;
        if let Some(line) = lines.insert(colour.code.clone(), code.at.line) {
            let error = Error::new(format!("the code {} stands twice", shown(&colour.code)));
            return Err(code.blame(error).hint(format!(
                "line {line} has it too; give each colour a code of its own"
            )));
        }
        colours.push(colour);
    }
    let extra = header.extra.into_iter().map(|(_, head)| head).collect();
    let palette = Palette::new(name, colours, extra)?;
    Ok(Palette {
        currency,
        ..palette
    })
}

/// Semicolons where the first line has no other mark between cells.
pub(crate) fn separator(text: &str) -> Separator {
    match Records::of(text, Separator::Comma).next() {
        Some(Ok(first)) if first.cells.len() == 1 && first.cells[0].text.contains(';') => {
            Separator::Semicolon
        }
        _ => Separator::Comma,
    }
}

fn header(record: &Record, separator: Separator) -> Result<Header> {
    check_separated(record)?;
    let mut header = Header {
        known: HashMap::new(),
        extra: Vec::new(),
        bare: Vec::new(),
        width: record.cells.len(),
        separator,
    };
    let mut seen = HashMap::new();
    for (at, cell) in record.cells.iter().enumerate() {
        let head = cell.text.to_lowercase();
        if head.is_empty() {
            header.bare.push(at);
            continue;
        }
        match KNOWN.iter().find(|&&known| known == head) {
            Some(known) => drop(header.known.insert(known, at)),
            None => header.extra.push((at, cell.text.clone())),
        }
        if seen.insert(head, at).is_some() {
            let error = Error::new(format!("{} heads two columns", shown(&cell.text)));
            return Err(cell.blame(error).hint("give each column a head of its own"));
        }
    }
    check_needed(record, &header)?;
    Ok(header)
}

/// Columns that are separated by something else make a header of one cell.
fn check_separated(record: &Record) -> Result<()> {
    let [cell] = &record.cells[..] else {
        return Ok(());
    };
    for (mark, word) in [('\t', "tabs"), ('|', "bars")] {
        if cell.text.contains(mark) {
            let error = Error::new(format!("the columns are separated by {word}"));
            return Err(cell
                .blame(error)
                .hint("use commas, code,name,hex, or semicolons"));
        }
    }
    Ok(())
}

fn check_needed(record: &Record, header: &Header) -> Result<()> {
    let missing: Vec<&str> = NEEDED
        .into_iter()
        .filter(|needed| !header.known.contains_key(needed))
        .collect();
    let first = &record.cells[0];
    if missing.len() == NEEDED.len() {
        let error = Error::new(format!("{} does not start a header", shown(&first.text)));
        return Err(first
            .blame(error)
            .hint("name the columns in the first line: code,name,hex"));
    }
    let Some(missing) = missing.first() else {
        return Ok(());
    };
    let error = Error::new(format!("the column '{missing}' is missing"));
    let others = header.extra.iter().map(|(_, head)| head.as_str());
    let hint = match nearest_names(missing, others).first() {
        Some(near) => format!("is it the one headed {}? Call it '{missing}'", shown(near)),
        None => "name the columns in the first line: code,name,hex".to_string(),
    };
    Err(record.end.blame(error).hint(hint))
}

/// A row with as many cells as the header.
struct Row<'a> {
    header: &'a Header,
    cells: Vec<Cell>,
}

impl Header {
    fn row(&self, record: Record) -> Result<Row<'_>> {
        let cells = record.cells;
        let is = match cells.len() {
            1 => "1 cell".to_string(),
            count => format!("{count} cells"),
        };
        let mark = self.separator.word();
        let error = Error::new(format!("{is} in a row, {} in the header", self.width));
        if let Some(over) = cells.get(self.width) {
            return Err(over
                .blame(error)
                .hint(format!("put quotes round a cell that has a {mark} in it")));
        }
        if cells.len() < self.width {
            return Err(record
                .end
                .blame(error)
                .hint(format!("leave a cell empty, but keep its {mark}")));
        }
        if let Some(&at) = self.bare.iter().find(|&&at| !cells[at].text.is_empty()) {
            let error = Error::new(format!(
                "{} stands in a column without a head",
                shown(&cells[at].text)
            ));
            return Err(cells[at].blame(error).hint("give the column a head"));
        }
        Ok(Row {
            header: self,
            cells,
        })
    }
}

impl Row<'_> {
    /// The cell under `head`, if the palette has the column and the cell is not empty.
    fn filled(&self, head: &str) -> Option<&Cell> {
        let cell = &self.cells[*self.header.known.get(head)?];
        (!cell.text.is_empty()).then_some(cell)
    }

    /// The cell under `head`, which every palette has and no colour may leave empty.
    fn needed(&self, head: &str) -> Result<&Cell> {
        self.filled(head).ok_or_else(|| {
            let at = self.header.known.get(head).copied().unwrap_or(0);
            self.cells[at]
                .blame(Error::new(format!("the colour's {head} is empty")))
                .hint(format!("give each colour a {head}"))
        })
    }

    fn colour(&self) -> Result<Colour> {
        let hex = self.needed("hex")?;
        let finish = self.filled("finish").map(|cell| {
            Finish::read(&cell.text).ok_or_else(|| cell.blame(unknown_finish(&cell.text)))
        });
        let extra = self.header.extra.iter();
        Ok(Colour {
            code: self.needed("code")?.text.clone(),
            name: self.needed("name")?.text.clone(),
            srgb: read_hex(&hex.text).ok_or_else(|| hex.blame(bad_hex(&hex.text)))?,
            finish: finish.transpose()?,
            grams: self.number("grams")?.map(Grams::new),
            per_gram: self.number("per_gram")?,
            price: self.number("price")?,
            per_pack: self.number("per_pack")?.map(Grams::new),
            extra: extra.map(|&(at, _)| self.cells[at].text.clone()).collect(),
        })
    }

    /// Takes the currency of a colour's price; all have the same one.
    fn currency(&self, known: &mut Option<Currency>) -> Result<()> {
        let Some(cell) = self.filled("currency") else {
            return Ok(());
        };
        let read: Currency = cell.text.parse().map_err(|_| {
            let error = Error::new(format!("{} is not a currency", shown(&cell.text)));
            cell.blame(error)
                .hint("write its code or sign, such as EUR or £, at most 5 letters")
        })?;
        match known {
            Some(known) if *known != read => {
                let error = Error::new(format!("{read} after {known}: two currencies"));
                Err(cell
                    .blame(error)
                    .hint("give all prices of a palette in one currency"))
            }
            _ => {
                *known = Some(read);
                Ok(())
            }
        }
    }

    fn number(&self, head: &str) -> Result<Option<f64>> {
        let Some(cell) = self.filled(head) else {
            return Ok(None);
        };
        let allowed = |number: &f64| {
            (0.0..=MOST).contains(number) && (*number > 0.0 || !head.starts_with("per_"))
        };
        let text = match self.header.separator {
            Separator::Comma | Separator::Tab => cell.text.clone(),
            // Its comma is the decimal mark; a point may be one too.
            Separator::Semicolon => cell.text.replace(',', "."),
        };
        match text.parse().ok().filter(allowed) {
            // Not -0.
            Some(number) => Ok(Some(number + 0.0)),
            None => Err(cell.blame(bad_number(&cell.text, head))),
        }
    }
}

fn bad_number(word: &str, head: &str) -> Error {
    let (what, such) = match head {
        "grams" => (
            "a weight in grams",
            "2.5; leave the cell empty if you have enough",
        ),
        "per_gram" => ("a number of beads in a gram", "200"),
        "per_pack" => ("a weight of a pack in grams", "7.5"),
        _ => ("a price of a gram", "0.40"),
    };
    let from = if head.starts_with("per_") {
        "above 0"
    } else {
        "from 0"
    };
    Error::new(format!("{} is not {what}", shown(word))).hint(format!(
        "write a number {from} to {}, with a point and no unit, such as {such}",
        grouped(MOST as usize)
    ))
}
