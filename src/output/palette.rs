//! A palette for people, as aligned text with swatches, and for programs, as JSON.

mod worn;

use crate::colour::{Srgb8, hex};
use crate::palette::{Alike, Colour, HARD_TO_TELL, Pair, Palette, Tone};
use crate::units::{decimals, grouped};
use crate::vision::single_bead::SimilarPairs;
use serde::Serialize;
use unicode_width::UnicodeWidthStr;

pub(super) use crate::words::printable;

/// Most pairs that the text lists.
const MOST_LISTED: usize = 20;

/// The palette as text: a line a colour, then the pairs of `alike`, which differ by less than `below`, then a line for each kind of sight in `worn`.
///
/// With `swatches` each line starts with the colour itself, in 24-bit escapes; without, the text has no escapes at all. Control characters of
/// the file are shown as `�`. Long cells are cut to 40 columns, and the pairs to 20.
pub fn text(
    palette: &Palette,
    alike: &Alike,
    worn: Option<&[SimilarPairs]>,
    below: f64,
    swatches: bool,
) -> String {
    let colours = palette.colours();
    let count = match colours.len() {
        1 => "1 colour".to_string(),
        count => format!("{} colours", grouped(count)),
    };
    let mut text = format!("{}: {count}\n\n", printable(&palette.name));
    let rows = table(colours);
    for (at, row) in rows.into_iter().enumerate() {
        let swatch = match at.checked_sub(1) {
            None => "    ".to_string(),
            Some(at) => swatch(colours[at].srgb, 4),
        };
        if swatches {
            text += &format!("{swatch}  ");
        }
        text += &row;
        text.push('\n');
    }
    text.push('\n');
    text += &pairs(colours, alike, below, swatches);
    text += &worn::text(colours, worn, below);
    text
}

/// The lines of the table, heads first; columns that no colour fills are left out.
fn table(colours: &[Colour]) -> Vec<String> {
    let point = colours.iter().map(|c| fraction(&grams(c)).len()).max();
    let column = |head: &str, cell: &dyn Fn(&Colour) -> String| {
        let cells: Vec<String> = colours.iter().map(cell).collect();
        let filled = cells.iter().any(|cell| !cell.trim().is_empty());
        filled.then(|| [vec![head.to_string()], cells].concat())
    };
    let columns = [
        (false, column("code", &|colour| printable(&colour.code))),
        (false, column("name", &|colour| printable(&colour.name))),
        (false, column("hex", &|colour| hex(colour.srgb))),
        (
            false,
            column("finish", &|colour| {
                colour.finish.map_or(String::new(), |f| f.to_string())
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
            let (before, after) = match right {
                true => (pad, String::new()),
                false => (String::new(), pad),
            };
            let gap = if at > 0 { "  " } else { "" };
            *line += &format!("{gap}{before}{cell}{after}");
        }
    }
    let end = |line: String| line.trim_end().to_string();
    text.into_iter().map(end).collect()
}

/// What is said about pairs that are hard to tell apart.
fn pairs(colours: &[Colour], alike: &Alike, below: f64, swatches: bool) -> String {
    if colours.len() < 2 {
        return String::new();
    }
    let limit = decimals(below, 3);
    if alike.count == 0 {
        let so = match below >= HARD_TO_TELL {
            true => ": none are hard to tell apart",
            false => "",
        };
        return format!("No two colours differ by less than {limit} (CIEDE2000){so}.\n");
    }
    let what = match alike.count {
        1 => "1 pair differs".to_string(),
        count => format!("{} pairs differ", grouped(count)),
    };
    let so = match below <= HARD_TO_TELL {
        true => " and will be hard to tell apart on a band",
        false => "",
    };
    let mut text = format!("{what} by less than {limit} (CIEDE2000){so}:\n\n");
    let listed = &alike.pairs[..alike.pairs.len().min(MOST_LISTED)];
    let words = |pick: fn(&Pair) -> usize, word: fn(&Colour) -> &str| {
        let cells = listed
            .iter()
            .map(|pair| printable(word(&colours[pick(pair)])));
        (false, cells.collect())
    };
    let differences = listed.iter().map(|pair| format!("{:.2}", pair.difference));
    let lines = aligned(vec![
        (true, differences.collect()),
        words(|pair| pair.one, |colour| &colour.code),
        words(|pair| pair.one, |colour| &colour.name),
        (false, vec!["and".to_string(); listed.len()]),
        words(|pair| pair.other, |colour| &colour.code),
        words(|pair| pair.other, |colour| &colour.name),
    ]);
    for (pair, line) in listed.iter().zip(lines) {
        if swatches {
            // Side by side, without a gap: so the eye can judge for itself.
            text += &swatch(colours[pair.one].srgb, 2);
            text += &swatch(colours[pair.other].srgb, 2);
            text += "  ";
        }
        text += &format!("{line}\n");
    }
    if alike.count > listed.len() {
        let more = grouped(alike.count - listed.len());
        let them = match alike.count > alike.pairs.len() {
            true => format!("the closest {}", grouped(alike.pairs.len())),
            false => "them".to_string(),
        };
        text += &format!("\nand {more} more; --json lists {them}, a smaller --below fewer\n");
    }
    text
}

fn swatch(colour: Srgb8, width: usize) -> String {
    let Srgb8 {
        red, green, blue, ..
    } = colour;
    format!("\u{1b}[48;2;{red};{green};{blue}m{:width$}\u{1b}[0m", "")
}

fn grams(colour: &Colour) -> String {
    colour
        .grams
        .map_or(String::new(), |grams| decimals(grams.get(), 2))
}

/// The point and what follows it.
fn fraction(number: &str) -> &str {
    number.find('.').map_or("", |at| &number[at..])
}

#[derive(Serialize)]
struct Document<'a> {
    name: &'a str,
    colours: Vec<ColourOut<'a>>,
    below: f64,
    pairs: Vec<PairOut<'a>>,
    pairs_count: usize,
    worn: Option<worn::Out<'a>>,
}

#[derive(Serialize)]
struct ColourOut<'a> {
    code: &'a str,
    name: &'a str,
    hex: String,
    finish: Option<&'static str>,
    grams: Option<f64>,
    per_gram: Option<f64>,
    price: Option<f64>,
    extra: serde_json::Map<String, serde_json::Value>,
    lab: [f64; 3],
}

#[derive(Serialize)]
struct PairOut<'a> {
    one: &'a str,
    other: &'a str,
    difference: f64,
}

/// The palette as JSON, with a final line end: `name`; `colours` with all fields, `null` where not stated, and `lab` (CIELAB, D65, to 1/1000);
/// `below`; `pairs` by code with their `difference` (CIEDE2000, to 1/1000), closest first; and `pairs_count`.
///
/// Of more than 100,000 pairs the closest are listed, and `pairs_count` counts all.
///
/// `worn` has for each kind of `sight` the `pairs` of beads of size 11 at `distance_mm` that differ by less than `below`, and how many of them are `lost`: full
/// sight tells those apart. It is `null` for more than 1,500 colours.
pub fn json(
    palette: &Palette,
    tones: &[Tone],
    alike: &Alike,
    worn: Option<&[SimilarPairs]>,
    below: f64,
) -> String {
    let colours = palette.colours();
    let document = Document {
        name: &palette.name,
        colours: colours
            .iter()
            .zip(tones)
            .map(|(colour, tone)| colour_out(palette, colour, tone))
            .collect(),
        below,
        pairs: pairs_out(colours, &alike.pairs),
        pairs_count: alike.count,
        worn: worn.map(|worn| worn::out(colours, worn)),
    };
    // Maps with text keys and finite numbers: nothing here can fail to be JSON.
    let text = serde_json::to_string_pretty(&document).unwrap_or_default();
    text + "\n"
}

fn pairs_out<'a>(colours: &'a [Colour], pairs: &[Pair]) -> Vec<PairOut<'a>> {
    let out = |pair: &Pair| PairOut {
        one: &colours[pair.one].code,
        other: &colours[pair.other].code,
        difference: thousandths(pair.difference),
    };
    pairs.iter().map(out).collect()
}

fn colour_out<'a>(palette: &Palette, colour: &'a Colour, tone: &Tone) -> ColourOut<'a> {
    let extra = palette.extra.iter().zip(&colour.extra);
    ColourOut {
        code: &colour.code,
        name: &colour.name,
        hex: hex(colour.srgb),
        finish: colour.finish.map(|finish| finish.word()),
        grams: colour.grams.map(|grams| grams.get()),
        per_gram: colour.per_gram,
        price: colour.price,
        extra: extra
            .map(|(head, cell)| (head.clone(), cell.as_str().into()))
            .collect(),
        lab: [tone.lab.l, tone.lab.a, tone.lab.b].map(thousandths),
    }
}

fn thousandths(number: f64) -> f64 {
    // Not -0.
    (number * 1000.0).round() / 1000.0 + 0.0
}
