//! What our own texts say of the band: its measures, and how it closes.

use crate::bead::Bead;
use crate::palette::Finish;

/// What a text says of its band; none where it says nothing.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Stated {
    pub(super) columns: Option<u32>,
    pub(super) closed: Option<bool>,
    pub(super) bead: Option<Bead>,
}

/// `9 columns, 74 rows, 333 beads, 11.7 × 59.2 mm, size 11/0`, and on the next line
/// `row 74 zips to row 1` or `a flat strip, not closed`.
pub(super) fn stated(text: &str) -> Stated {
    let lines: Vec<&str> = text.lines().map(|line| line.trim()).collect();
    let facts = lines.iter().position(|line| is_facts(line));
    let Some(at) = facts else {
        return Stated::default();
    };
    let closed = lines.get(at + 1).and_then(|line| {
        let ring = line.starts_with("row ") && line.ends_with(" zips to row 1");
        let strip = *line == "a flat strip, not closed";
        (ring || strip).then_some(ring)
    });
    let columns = lines[at].split(" columns, ").next();
    Stated {
        columns: columns.and_then(number),
        closed,
        bead: bead(lines[at]),
    }
}

/// A whole number with commas between thousands.
pub(super) fn number(text: &str) -> Option<u32> {
    text.replace(',', "").parse().ok()
}

/// Whether a line has the measures of a band.
pub(super) fn is_facts(line: &str) -> bool {
    let parts = [" columns, ", " rows, ", " beads, ", " mm"];
    line.starts_with(|letter: char| letter.is_ascii_digit())
        && parts.iter().all(|part| line.contains(part))
}

fn bead(facts: &str) -> Option<Bead> {
    if let Some((_, size)) = facts.rsplit_once(", size ") {
        return Bead::parse(size).ok();
    }
    let (_, measures) = facts.rsplit_once(", bead ")?;
    // Inches may stand behind the millimetres.
    Bead::parse(measures.split(" mm").next()?).ok()
}

/// Name and code of `jersey navy (quay-58, opaque)`.
pub(super) fn described(text: &str) -> Option<[&str; 2]> {
    let (name, inside) = text.trim().strip_suffix(')')?.rsplit_once(" (")?;
    let code = match inside.rsplit_once(", ") {
        Some((code, finish)) if Finish::read(finish).is_some() => code,
        _ => inside,
    };
    Some([code, name])
}
