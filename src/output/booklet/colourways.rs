//! Colourways in a booklet: one chart by keys, and for each way a table of what the keys stand for,
//! with the amounts, beside the strip as it will look.

use super::Pattern;
use super::cover::{SWATCH, keyed};
use super::setter::{Setter, larger};
use super::table::Table;
use crate::chart::Chart;
use crate::output::kit::spare_words;
use crate::report::kit::KitReport;
use crate::scene::{Item, Laid, Point, clean, strip, swatch};
use crate::units::{Mm, decimals};
use crate::words::listed;

/// Height of the tallest strip, and width of the widest, where it stands beside its table.
const TALLEST: f64 = 46.0;
const WIDEST: f64 = 24.0;
/// Width of a strip that lies beside its table, and true length of the longest that does.
const LYING: f64 = 58.0;
const LONGEST: f64 = 80.0;
/// From a strip to its table, beside it or below it.
const APART: f64 = 9.0;
const BELOW: f64 = 2.5;
/// Height of a line.
const LEADING: f64 = 5.6;
/// What takes a line's height beside the colours: heads, rules, sums.
const BESIDES: f64 = 3.0;
/// After a colourway.
const AFTER: f64 = 6.0;

/// A colourway of the design that a booklet is of.
#[derive(Debug)]
pub struct PatternWay {
    /// What it is called.
    pub name: String,
    /// The design in its colours; colours that become the same bead are one.
    pub chart: Chart,
    /// What is needed for it.
    pub kit: KitReport,
    /// For each of its colours the keys of the design that stand for it.
    pub keys: Vec<Vec<String>>,
}

/// Where each way's paints begin among the document's, to which they are added.
fn paints(setter: &mut Setter, ways: &[PatternWay]) -> Vec<u16> {
    let style = setter.look.style;
    let paints = &mut setter.document.paints;
    let mut begin = Vec::with_capacity(ways.len());
    for way in ways {
        begin.push(paints.len() as u16);
        paints.extend(style.paints(&way.chart, false));
    }
    begin
}

/// All colourways, after the cover; nothing where there are none.
pub(super) fn colourways(setter: &mut Setter, pattern: &Pattern) {
    if pattern.ways.is_empty() {
        return;
    }
    let begin = paints(setter, pattern.ways);
    setter.page();
    setter.chapter("Colourways", Mm::new(0.0));
    let body = setter.look.body;
    let scale = scale(pattern.band.chart, setter.width);
    for words in told(pattern, scale) {
        setter.paragraph(&words, body);
    }
    setter.space(3.0);
    for (way, first) in pattern.ways.iter().zip(begin) {
        setter.paint_from(first);
        one(setter, way, scale);
    }
    setter.paint_from(0);
}

/// How the colourways are used, and how their strips lie.
fn told(pattern: &Pattern, scale: f64) -> [String; 2] {
    let drawn = if scale < 1.0 {
        format!("drawn at {} of true size", decimals(scale, 2))
    } else {
        "drawn at true size".to_string()
    };
    let spare = spare_words(pattern.kit.spare_percent);
    let spare = if spare == "none" {
        String::new()
    } else {
        format!(" With spare: {spare}.")
    };
    [
        "Chart, rows and thread are the same for every colourway; only the beads differ. Choose \
         one and keep its table beside the chart: where a bead or a row has a key, use the colour \
         that stands beside that key here."
            .to_string(),
        format!(
            "The other pages are in the colours of the first page, and the keys are short for \
             their names. Strips are {drawn}, row 1 at the {}.{spare}",
            Laid::level(pattern.band.chart).row_1()
        ),
    ]
}

/// True size where it fits.
fn scale(chart: &Chart, room: Mm) -> f64 {
    let (wide, long) = (chart.lattice.width(), chart.lattice.flat_height());
    let longest = match Laid::level(chart) {
        Laid::Upright => Mm::new(TALLEST),
        _ if above(chart) => room,
        _ => Mm::new(LYING),
    };
    (longest / long).min(Mm::new(WIDEST) / wide).min(1.0)
}

/// Whether a strip stands above its table: a long one that lies.
fn above(chart: &Chart) -> bool {
    Laid::level(chart) != Laid::Upright && chart.lattice.flat_height() > Mm::new(LONGEST)
}

/// One colourway: its name, its strip, and its table beside that or below.
fn one(setter: &mut Setter, way: &PatternWay, scale: f64) {
    let band = strip(&way.chart, scale, Laid::level(&way.chart));
    let table_high = Mm::new((way.kit.colours.len() as f64 + BESIDES) * LEADING);
    let head = setter.look.heading.leading + Mm::new(0.8);
    let high = if above(&way.chart) {
        band.height + Mm::new(BELOW) + table_high
    } else {
        larger(band.height, table_high)
    };
    setter.need(head + high);
    setter.head(&way.name);
    let top = setter.y + Mm::new(1.0);
    let shows = format!(
        "{}: the flat strip, row 1 at the {}.",
        clean(&way.name),
        Laid::level(&way.chart).row_1()
    );
    setter.figure(&band, Point::new(setter.look.left, top), shows);
    if above(&way.chart) {
        setter.y = top + band.height + Mm::new(BELOW);
        table(setter, way);
    } else {
        let page = setter.document.pages.len();
        let indent = band.width + Mm::new(APART);
        setter.column(setter.look.left + indent, setter.look.width - indent);
        table(setter, way);
        setter.whole();
        // A long table may have gone on to another page.
        if setter.document.pages.len() == page {
            setter.y = larger(setter.y, top + band.height);
        }
    }
    setter.space(AFTER);
}

fn table(setter: &mut Setter, way: &PatternWay) {
    let swatch = |row: usize, at: Point| {
        let colour = way.kit.colours[row].colour as u16;
        vec![Item::Beads(swatch(&way.chart, colour, Mm::new(SWATCH), at))]
    };
    let keys: Vec<String> = way.keys.iter().map(|keys| keys.join(", ")).collect();
    setter.table(&Table {
        columns: keyed(&way.kit, &keys),
        indent: Mm::new(8.0),
        before: Some(&swatch),
        leading: Mm::new(LEADING),
    });
    let small = setter.look.small;
    for keys in way.keys.iter().filter(|keys| keys.len() > 1) {
        setter.paragraph(
            &format!("The keys {} are the same bead here.", listed(keys)),
            small,
        );
    }
}
