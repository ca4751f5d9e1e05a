//! A palette for people, as aligned text with swatches.

mod worn;

use crate::colour::{Srgb8, read_hex};
use crate::palette::HARD_TO_TELL;
use crate::report::palette::{PairReport, PaletteColourReport, PaletteReport};
use crate::units::{decimals, grouped};
use std::collections::HashMap;
use unicode_width::UnicodeWidthStr;

pub(super) use crate::words::printable;

/// Most pairs that the text lists.
const MOST_LISTED: usize = 20;

/// The palette as text: a line a colour, then the pairs that are alike side by side, then a line
/// for each kind of sight when worn.
///
/// With `swatches` each line starts with the colour itself, in 24-bit escapes; without, the text
/// has no escapes at all. Control characters of the file are shown as `�`. Long cells are cut to
/// 40 columns, and the pairs to 20.
pub fn text(report: &PaletteReport, swatches: bool) -> String {
    let colours = &report.colours;
    let count = match colours.len() {
        1 => "1 colour".to_string(),
        count => format!("{} colours", grouped(count)),
    };
    let mut text = format!("{}: {count}\n\n", printable(&report.name));
    let rows = table(colours);
    for (at, row) in rows.into_iter().enumerate() {
        let swatch = match at.checked_sub(1) {
            None => "    ".to_string(),
            Some(at) => swatch(&colours[at].hex, 4),
        };
        if swatches {
            text += &format!("{swatch}  ");
        }
        text += &row;
        text.push('\n');
    }
    if colours.len() > 1 {
        text.push('\n');
        text += &pairs(report, swatches);
        text += &worn::text(report);
    } else {
        text.push('\n');
    }
    text
}

/// The lines of the table, heads first; columns that no colour fills are left out.
fn table(colours: &[PaletteColourReport]) -> Vec<String> {
    let point = colours.iter().map(|c| fraction(&grams(c)).len()).max();
    let column = |head: &str, cell: &dyn Fn(&PaletteColourReport) -> String| {
        let cells: Vec<String> = colours.iter().map(cell).collect();
        let filled = cells.iter().any(|cell| !cell.trim().is_empty());
        filled.then(|| [vec![head.to_string()], cells].concat())
    };
    let columns = [
        (false, column("code", &|colour| printable(&colour.code))),
        (false, column("name", &|colour| printable(&colour.name))),
        (false, column("hex", &|colour| colour.hex.clone())),
        (
            false,
            column("finish", &|colour| {
                colour.finish.clone().unwrap_or_default()
            }),
        ),
        (
            true,
            column("grams", &|colour| {
                let grams = grams(colour);
                let lacking = point.unwrap_or(0) - fraction(&grams).len();
                grams + &" ".repeat(lacking)
            }),
        ),
    ];
    aligned(
        columns
            .into_iter()
            .filter_map(|(right, cells)| Some((right, cells?)))
            .collect(),
    )
}

/// Lines from columns of cells, each to the right or to the left, two spaces apart.
pub(super) fn aligned(columns: Vec<(bool, Vec<String>)>) -> Vec<String> {
    let lines = columns.first().map_or(0, |(_, cells)| cells.len());
    let mut text = vec![String::new(); lines];
    for (at, (right, cells)) in columns.into_iter().enumerate() {
        let width = cells.iter().map(|cell| cell.width()).max().unwrap_or(0);
        for (line, cell) in text.iter_mut().zip(cells) {
            let pad = " ".repeat(width - cell.width());
            let (before, after) = if right {
                (pad, String::new())
            } else {
                (String::new(), pad)
            };
            let gap = if at > 0 { "  " } else { "" };
            *line += &format!("{gap}{before}{cell}{after}");
        }
    }
    let end = |line: String| line.trim_end().to_string();
    text.into_iter().map(end).collect()
}

/// The pairs that are hard to tell apart side by side.
fn pairs(report: &PaletteReport, swatches: bool) -> String {
    let limit = decimals(report.below, 3);
    if report.pairs_count == 0 {
        let so = if report.below >= HARD_TO_TELL {
            ": none are hard to tell apart"
        } else {
            ""
        };
        return format!("No two colours differ by less than {limit} (CIEDE2000){so}.\n");
    }
    let what = match report.pairs_count {
        1 => "1 pair differs".to_string(),
        count => format!("{} pairs differ", grouped(count)),
    };
    let so = if report.below <= HARD_TO_TELL {
        " and will be hard to tell apart on a band"
    } else {
        ""
    };
    let mut text = format!("{what} by less than {limit} (CIEDE2000){so}:\n\n");
    let listed = &report.pairs[..report.pairs.len().min(MOST_LISTED)];
    let hexes: HashMap<&str, &str> = report
        .colours
        .iter()
        .map(|colour| (colour.code.as_str(), colour.hex.as_str()))
        .collect();
    for (pair, line) in listed.iter().zip(pair_table(listed)) {
        if swatches {
            // Side by side, without a gap, so that one can compare them.
            for code in [&pair.one, &pair.other] {
                text += &swatch(hexes.get(code.as_str()).unwrap_or(&""), 2);
            }
            text += "  ";
        }
        text += &format!("{line}\n");
    }
    text + &unlisted(report, listed.len())
}

fn pair_table(listed: &[PairReport]) -> Vec<String> {
    let words = |word: fn(&PairReport) -> &str| {
        let cells = listed.iter().map(|pair| printable(word(pair)));
        (false, cells.collect())
    };
    let differences = listed.iter().map(|pair| format!("{:.2}", pair.difference));
    aligned(vec![
        (true, differences.collect()),
        words(|pair| &pair.one),
        words(|pair| &pair.one_name),
        (false, vec!["and".to_string(); listed.len()]),
        words(|pair| &pair.other),
        words(|pair| &pair.other_name),
    ])
}

/// Where the pairs are that the text does not list.
fn unlisted(report: &PaletteReport, listed: usize) -> String {
    if report.pairs_count <= listed {
        return String::new();
    }
    let more = grouped(report.pairs_count - listed);
    let them = if report.pairs_count > report.pairs.len() {
        format!("the closest {}", grouped(report.pairs.len()))
    } else {
        "them all".to_string()
    };
    format!("\nand {more} more; --json lists {them}, a smaller --below lists fewer\n")
}

fn swatch(hex: &str, width: usize) -> String {
    let Some(Srgb8 {
        red, green, blue, ..
    }) = read_hex(hex)
    else {
        return " ".repeat(width);
    };
    format!("\u{1b}[48;2;{red};{green};{blue}m{:width$}\u{1b}[0m", "")
}

fn grams(colour: &PaletteColourReport) -> String {
    colour
        .grams
        .map_or(String::new(), |grams| decimals(grams, 2))
}

/// The point and what follows it.
fn fraction(number: &str) -> &str {
    number.find('.').map_or("", |at| &number[at..])
}
