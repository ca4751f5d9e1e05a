//! The cover: what it is called, how it looks, what it measures, what is needed.

use super::document::{Ink, Place, Role};
use super::setter::Setter;
use super::skill::skill;
use super::table::{Column, Table};
use super::{Cover, Pattern};
use crate::output::kit::{self, columns, needle_size, spare_words};
use crate::picture::Pixels;
use crate::report::kit::KitReport;
use crate::scene::{Item, Laid, Point, strip, swatch};
use crate::units::{Mm, decimals, grouped, metres_to_cut};

/// What stands below the table where there are colourways.
const OTHERS: &str = "The beads of the other colourways are listed under “Colourways”.";
/// Side of the picture's square.
const PICTURE: f64 = 74.0;
/// Highest band that lies along the page below the title.
const BANNER: f64 = 46.0;
/// Heights of a line of the table, the roomy one first.
const LEADINGS: [f64; 4] = [6.0, 5.5, 5.0, 4.6];
/// Side of the square that a bead beside words fits.
pub(super) const SWATCH: f64 = 4.4;

pub(super) fn cover(setter: &mut Setter, pattern: &Pattern) {
    title(setter, pattern);
    banner(setter, pattern);
    let top = setter.y;
    let high = picture(setter, pattern, top);
    let left = setter.look.left + Mm::new(PICTURE + 9.0);
    setter.column(left, setter.look.left + setter.look.width - left);
    facts(setter, pattern);
    setter.whole();
    let below = top + high + Mm::new(5.0);
    if setter.y < below {
        setter.y = below;
    }
    needed(setter, pattern);
}

fn title(setter: &mut Setter, pattern: &Pattern) {
    let kind = if pattern.band.chart.lattice.is_closed() {
        "A ring in flat peyote stitch"
    } else {
        "A strip in flat peyote stitch"
    };
    let line = match &pattern.foot.by {
        Some(by) => format!("{kind}, by {by}"),
        None => kind.to_string(),
    };
    titled(setter, &pattern.work.guide.title, &line);
}

/// A title, and a line below it that says what it is of.
pub(super) fn titled(setter: &mut Setter, title: &str, line: &str) {
    let look = setter.look;
    let level = 1 + setter.depth();
    let of = setter.element(Role::Heading(level, title.to_string()), None);
    setter.set(of, title, look.title);
    let mut quiet = look.body;
    quiet.colour = look.style.muted;
    setter.space(0.6);
    setter.paragraph(line, quiet);
    setter.space(3.0);
}

/// The whole band along the page, so that a picture laid along it stands upright. Too wide a band
/// is left out, but for one whose picture is seen only so.
fn banner(setter: &mut Setter, pattern: &Pattern) {
    let lattice = &pattern.band.chart.lattice;
    let whole = setter.look.width / lattice.flat_height();
    let scale = whole.min(Mm::new(BANNER) / lattice.width());
    if lattice.rows() < 12 || (scale < whole && !pattern.band.chart.is_lengthwise()) {
        return;
    }
    let high = lattice.width() * scale;
    let laid = Laid::lying(pattern.band.chart);
    let end = laid.row_1();
    let shows = format!("The whole band lying along the page, row 1 at the {end}.");
    let drawing = strip(pattern.band.chart, scale, laid);
    let corner = Point::new(setter.look.left, setter.y);
    setter.figure(&drawing, corner, shows);
    setter.y = setter.y + high + Mm::new(8.0);
}

/// The designer's picture, or the ring as it will look, or the strip. Returns its height.
fn picture(setter: &mut Setter, pattern: &Pattern, top: Mm) -> Mm {
    let left = setter.look.left;
    let side = Mm::new(PICTURE);
    if let Some(cover) = pattern.picture {
        let title = &pattern.work.guide.title;
        let shows = match cover {
            Cover::Finished(_) => format!("A picture of the finished work: {title}."),
            Cover::Rendered(_) if pattern.band.chart.is_lengthwise() => {
                format!("{title}: the closed ring as it will look, lying on a stand.")
            }
            Cover::Rendered(_) => {
                format!("{title}: the closed ring as it will look, seen from the side.")
            }
        };
        return set_picture(setter, cover.pixels(), Point::new(left, top), shows);
    }
    let lattice = &pattern.band.chart.lattice;
    let across = side / lattice.width();
    let scale = across.min(side / lattice.flat_height()).min(4.0);
    let drawing = strip(pattern.band.chart, scale, Laid::Upright);
    let shows = "The strip, row 1 at the bottom.";
    setter.figure(&drawing, Point::new(left, top), shows.to_string());
    drawing.height
}

/// A picture as large as the cover has it. Returns its height.
pub(super) fn set_picture(
    setter: &mut Setter,
    pixels: &Pixels,
    corner: Point,
    shows: String,
) -> Mm {
    let (w, h) = (f64::from(pixels.width), f64::from(pixels.height));
    let scale = PICTURE / w.max(h);
    let place = Place {
        corner,
        width: Mm::new(w * scale),
        height: Mm::new(h * scale),
    };
    let of = setter.element(Role::Figure(shows), None);
    setter.document.pictures.push(pixels.clone());
    let at = setter.document.pictures.len() - 1;
    setter.put(Some(of), Ink::Picture(at, place));
    place.height
}

/// Measures, skill and tools, each with its label.
fn facts(setter: &mut Setter, pattern: &Pattern) {
    let lattice = &pattern.band.chart.lattice;
    let mut facts: Vec<(&str, String)> = Vec::new();
    if let Some(closed) = &pattern.ring {
        let size = &closed.size;
        let us = size
            .us()
            .map_or(String::new(), |us| format!("US {}, ", decimals(us, 2)));
        facts.push((
            "Size",
            format!("{us}ISO {}: {} inside", size.iso(), size.diameter()),
        ));
    }
    let long = if lattice.is_closed() { "round" } else { "long" };
    let tenths = |mm: Mm| decimals(mm.get(), 1);
    facts.push((
        "Finished",
        format!(
            "{} mm wide, {} mm {long}",
            tenths(lattice.width()),
            tenths(lattice.picture_height())
        ),
    ));
    facts.push((
        "Rows",
        format!(
            "{} rows of {} columns, {} beads",
            grouped(lattice.rows() as usize),
            grouped(lattice.columns() as usize),
            grouped(lattice.len())
        ),
    ));
    facts.push(("Skill", skill(pattern.band.chart, &pattern.band.weave)));
    facts.extend(materials(pattern));
    for (_, words) in &mut facts {
        *words = pattern.band.units.beside(words);
    }
    // Of several designs the first page has them.
    if let Some(terms) = pattern.foot.terms.as_ref().filter(|_| setter.depth() == 0) {
        facts.push(("Terms", terms.clone()));
    }
    if let Some(note) = pattern.note {
        facts.push(("Note", note.to_string()));
    }
    list(setter, &facts);
}

/// Thread, tools and the kind of beads.
fn materials(pattern: &Pattern) -> [(&'static str, String); 3] {
    let thread = format!(
        "{} m of {}",
        metres_to_cut(pattern.band.lengths.total()),
        pattern.band.lengths.thread.described()
    );
    let tools = format!(
        "beading needle, {}; small scissors; bead mat",
        needle_size(pattern.kit)
    );
    let bead = pattern.band.chart.lattice.bead();
    let size = match bead.size() {
        Some(_) => format!("size {}, ", bead.name()),
        None => String::new(),
    };
    let beads = format!(
        "cylinder beads, {size}{} × {} mm",
        bead.length.get(),
        bead.diameter.get()
    );
    [("Thread", thread), ("Tools", tools), ("Beads", beads)]
}

/// Labels in a column of their own, and what they stand for.
fn list(setter: &mut Setter, facts: &[(&str, String)]) {
    let body = setter.look.body;
    let mut label = body;
    label.colour = setter.look.style.muted;
    let (left, width, indent) = (setter.left, setter.width, Mm::new(19.0));
    let of = setter.element(Role::List, None);
    for (name, words) in facts {
        let item = setter.element(Role::Item, Some(of));
        let head = setter.element(Role::Label, Some(item));
        let baseline = setter.y + body.baseline();
        let text = setter.line(left, baseline, (*name).to_string(), label);
        setter.mark(head, vec![text]);
        let says = setter.element(Role::Body, Some(item));
        setter.column(left + indent, width - indent);
        setter.set(says, words, body);
        setter.column(left, width);
        setter.space(1.7);
    }
}

/// The beads of each colour, and what else to know.
fn needed(setter: &mut Setter, pattern: &Pattern) {
    setter.heading("What you need");
    let colours = &pattern.kit.colours;
    let swatch = |row: usize, at: Point| {
        let colour = colours[row].colour as u16;
        vec![Item::Beads(swatch(
            pattern.band.chart,
            colour,
            Mm::new(SWATCH),
            at,
        ))]
    };
    let told = below(pattern);
    let table = Table {
        columns: keyed(pattern.kit, pattern.keys),
        indent: Mm::new(8.0),
        before: Some(&swatch),
        leading: leading(setter, colours.len() + 1, &told),
    };
    setter.table(&table);
    let small = setter.look.small;
    for words in told {
        setter.paragraph(&words, small);
    }
}

/// The columns of a kit's table, the key of each colour first.
pub(super) fn keyed(kit: &KitReport, keys: &[String]) -> Vec<Column> {
    let cells = kit.colours.iter().map(|one| keys[one.colour].clone());
    let key = Column {
        right: false,
        head: "key".to_string(),
        cells: cells.collect(),
        sum: String::new(),
    };
    let others = table_columns(columns(kit));
    [key].into_iter().chain(others).collect()
}

/// The columns of a kit as those of a table; one row needs no sum.
pub(super) fn table_columns(columns: Vec<kit::Column>) -> Vec<Column> {
    let several = columns.first().is_some_and(|column| column.cells.len() > 1);
    let column = |column: kit::Column| Column {
        right: column.right,
        head: column.head,
        cells: column.cells,
        sum: if several { column.sum } else { String::new() },
    };
    columns.into_iter().map(column).collect()
}

/// What is said below the table.
fn below(pattern: &Pattern) -> Vec<String> {
    let spare = spare_words(pattern.kit.spare_percent);
    let spare = (spare != "none").then(|| format!("With spare: {spare}."));
    let warnings = pattern.kit.warnings.iter();
    let units = pattern.band.units;
    let warnings = warnings.map(|warning| sentence(&units.beside(&warning.instruction())));
    let ways = (!pattern.ways.is_empty()).then(|| OTHERS.to_string());
    ways.into_iter().chain(spare).chain(warnings).collect()
}

/// The roomiest height of a line with which the table and what is said below it end on this page;
/// where none is, that of a long table.
pub(super) fn leading(setter: &Setter, lines: usize, told: &[String]) -> Mm {
    let room = setter.room() - beside_lines(setter, told);
    let fits = |leading: &f64| Mm::new(leading * lines as f64) <= room;
    Mm::new(LEADINGS.into_iter().find(fits).unwrap_or(LEADINGS[2]))
}

/// Room of a table of so many lines, as close as they may stand, and of what is said below it.
pub(super) fn table_room(setter: &Setter, lines: usize, told: &[String]) -> Mm {
    beside_lines(setter, told) + Mm::new(LEADINGS[3] * lines as f64)
}

/// Room of all but the lines.
fn beside_lines(setter: &Setter, told: &[String]) -> Mm {
    /// Heads, rules and what lies between.
    const REST: f64 = 5.0;
    let small = setter.look.small;
    let words = told.iter().map(|words| setter.paragraph_room(words, small));
    words.fold(small.leading + Mm::new(REST), |sum, high| sum + high)
}

/// With a capital at its head and a full stop at its end.
pub(super) fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(char::to_uppercase);
    let mut text: String = first.into_iter().flatten().chain(letters).collect();
    if !text.ends_with(['.', '!', '?']) {
        text.push('.');
    }
    text
}
