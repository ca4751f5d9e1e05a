//! The chart pages: large, with keys on the beads, and at true size with a ruler.

use super::Pattern;
use super::cover::SWATCH;
use super::document::Role;
use super::look::Kind;
use super::setter::{Setter, larger};
use super::split::{Cut, Piece};
use crate::scene::{
    Anchor, ChartPart, Drawing, Figures, Item, Line, Point, Text, draw_part, font, seam, swatch,
};
use crate::units::Mm;

/// Smallest side of a bead that carries a key, and largest that is drawn.
const BEAD: (f64, f64) = (3.5, 5.6);
/// Width of the colours beside a chart.
const BESIDE: f64 = 62.0;
/// Between two parts side by side.
const APART: f64 = 6.0;
/// Most colours that are named below a part.
const NAMED: usize = 20;
/// Room for a key, and for a count.
const KEY: f64 = 9.0;
const COUNT: f64 = 12.0;
/// What to do with the chart at true size.
const LAY: [&str; 2] = [
    "Lay your work on this chart as it grows. First measure the ruler: if it is not 20 mm long, \
     the printer has changed the size; print again at 100%, without fitting to the page.",
    "If your beads come out wider or longer than these, your hand or your beads differ, and so \
     will the size.",
];
/// Narrowest column of words beside the chart at true size.
const MEASURE: f64 = 44.0;
/// Room that the ruler takes.
const RULER_HIGH: f64 = 9.0;
/// Length of the ruler.
const RULER: u32 = 20;

/// The chart to work from; whether the one at true size found room beside it.
pub(super) fn charts(setter: &mut Setter, pattern: &Pattern) -> bool {
    setter.page();
    setter.chapter("Chart", Mm::new(0.0));
    let lattice = &pattern.band.chart.lattice;
    let smaller = lattice
        .bead()
        .length
        .get()
        .min(lattice.bead().diameter.get());
    let larger = lattice
        .bead()
        .length
        .get()
        .max(lattice.bead().diameter.get());
    let (least, most) = (BEAD.0 / smaller, BEAD.1 / larger * 1.12);
    let gutter = as_part(pattern, whole(pattern), 3.0).gutter();
    let ends = as_part(pattern, whole(pattern), 3.0).ends();
    let wide = setter.width - gutter * 2.0;
    let high = setter.room() - ends * 2.0 - Mm::new(1.0);
    let cut = Cut::new(lattice, wide - Mm::new(BESIDE), high, least..=most);
    if cut.all().len() == 1 {
        return one(setter, pattern, cut.scale);
    }
    // What is said of colourways takes a line more.
    let more = if pattern.ways.is_empty() { 0.0 } else { 1.0 };
    let below = Mm::new(24.0) + setter.look.small.leading * more;
    let cut = Cut::new(lattice, wide, high - below, least..=most);
    many(setter, pattern, &cut);
    false
}

fn whole(pattern: &Pattern) -> Piece {
    use crate::lattice::{Column, Row};
    let lattice = &pattern.band.chart.lattice;
    Piece {
        rows: (Row::new(1), Row::new(lattice.rows())),
        columns: (Column::new(1), Column::new(lattice.columns())),
        again: (0, 0),
    }
}

fn as_part<'a>(pattern: &'a Pattern, piece: Piece, scale: f64) -> ChartPart<'a> {
    ChartPart {
        chart: pattern.band.chart,
        rows: piece.rows,
        columns: piece.columns,
        scale,
        keys: Some(pattern.bead_keys),
        forward: Some(pattern.forward),
        again: piece.again,
        accent: pattern.accent,
    }
}

/// How to read the numbers and marks.
fn reading(pattern: &Pattern, cut: bool) -> Vec<String> {
    let lattice = &pattern.band.chart.lattice;
    let mut words = vec![
        "Row 1 is at the bottom. A number stands on the side from which its row is read, with an \
         arrow for the direction; that is so too if you turn the work over after each row. Every \
         tenth row has a mark on both sides."
            .to_string(),
    ];
    if lattice.centre_column().is_some() {
        words.push("The triangles show the centre column.".to_string());
    }
    if lattice.is_closed() {
        words.push(format!(
            "The zigzag lines are the seam: {}.",
            seam(pattern.band.chart)
        ));
    }
    if !pattern.ways.is_empty() {
        words.push(
            "The colours here are those of the first page; for another colourway read the keys in \
             its table under “Colourways”."
                .to_string(),
        );
    }
    if cut {
        words.push(
            "Rows whose numbers stand in brackets are on the next part too, and so are two \
             columns where the band is cut across."
                .to_string(),
        );
    }
    words
}

/// A part for those who cannot see it.
fn shows(pattern: &Pattern, piece: Piece) -> String {
    let (first, last) = (piece.rows.0.get(), piece.rows.1.get());
    let (left, right) = (piece.columns.0.get(), piece.columns.1.get());
    let columns = if (left, right) == (1, pattern.band.chart.lattice.columns()) {
        String::new()
    } else {
        format!(", columns {left} to {right}")
    };
    format!(
        "Chart of rows {first} to {last}{columns}. The same beads stand in words under “Row by \
         row”."
    )
}

/// The whole chart on one page, its colours beside it, and below these the chart at true size where
/// there is room.
fn one(setter: &mut Setter, pattern: &Pattern, scale: f64) -> bool {
    let top = setter.y;
    let piece = whole(pattern);
    let drawing = draw_part(&as_part(pattern, piece, scale));
    let corner = Point::new(setter.look.left, top);
    setter.figure(&drawing, corner, shows(pattern, piece));
    let bottom = top + drawing.height;
    let left = setter.look.left + drawing.width + Mm::new(10.0);
    let right = setter.look.left + setter.look.width;
    setter.column(left, right - left);
    setter.space(4.6);
    let page = setter.document.pages.len();
    setter.heading("Colours");
    colours(setter, pattern);
    setter.space(5.0);
    let small = setter.look.small;
    for words in reading(pattern, false) {
        setter.paragraph(&words, small);
    }
    let laid = setter.document.pages.len() == page && true_size_beside(setter, pattern);
    setter.whole();
    if setter.document.pages.len() == page && setter.y < bottom {
        setter.y = bottom;
    }
    if laid || setter.room() < true_room(pattern) {
        return laid;
    }
    true_size(setter, pattern);
    true
}

/// The colours in use with key, name and count, one below the other.
fn colours(setter: &mut Setter, pattern: &Pattern) {
    let body = setter.look.body;
    let list = setter.element(Role::List, None);
    let counts = pattern.band.chart.counts();
    for (colour, count) in counts.iter().enumerate().filter(|(_, count)| **count > 0) {
        setter.need(Mm::new(7.0));
        let item = setter.element(Role::Item, Some(list));
        entry(setter, pattern, colour, Mm::new(COUNT), item, body);
        let end = setter.look.left + setter.look.width;
        let body_of = setter.element(Role::Body, Some(item));
        let number = Item::Text(Text {
            x: end,
            baseline: setter.y + Mm::new(3.2) + body.size * (font::CAPITALS / 2.0),
            size: body.size,
            weight: body.weight,
            anchor: Anchor::End,
            figures: Figures::Tabular,
            colour: setter.look.style.muted,
            words: crate::units::grouped(*count),
        });
        setter.mark(body_of, vec![number]);
        setter.y = setter.y + Mm::new(6.4);
    }
}

/// A bead of the colour, its key and its name, with some room kept behind it; the cursor stays.
fn entry(setter: &mut Setter, pattern: &Pattern, colour: usize, kept: Mm, item: usize, kind: Kind) {
    let middle = setter.y + Mm::new(3.2);
    let bead = swatch(
        pattern.band.chart,
        colour as u16,
        Mm::new(SWATCH),
        Point::new(setter.left, middle),
    );
    setter.decorate(vec![Item::Beads(bead)]);
    let baseline = middle + kind.size * (font::CAPITALS / 2.0);
    let key = setter.element(Role::Label, Some(item));
    let x = setter.left + Mm::new(7.0);
    let text = setter.line(
        x,
        baseline,
        format!("{} ", pattern.keys[colour]),
        kind.bold(),
    );
    setter.mark(key, vec![text]);
    let name = setter.element(Role::Body, Some(item));
    let words = crate::scene::clean(&pattern.band.chart.colours[colour].name);
    let room = setter.width - Mm::new(7.0 + KEY) - kept;
    let mut lines = crate::scene::wrap(&words, kind.size, kind.weight, room);
    if lines.len() > 1 {
        lines[0] += "…";
    }
    let text = setter.line(x + Mm::new(KEY), baseline, lines.swap_remove(0), kind);
    setter.mark(name, vec![text]);
}

/// The chart in parts, side by side where they are narrow.
fn many(setter: &mut Setter, pattern: &Pattern, cut: &Cut) {
    let small = setter.look.small;
    let pieces = cut.all();
    setter.paragraph(&reading(pattern, true).join(" "), small);
    let parts: Vec<ChartPart> = pieces
        .iter()
        .map(|piece| as_part(pattern, *piece, cut.scale))
        .collect();
    let wide = |part: &ChartPart| part.band_width() + part.gutter() * 2.0;
    let widest = parts.iter().map(wide).fold(Mm::new(1.0), larger);
    let abreast = ((setter.width + Mm::new(APART)) / (widest + Mm::new(APART)) + 1e-9) as usize;
    for (at, group) in pieces.chunks(abreast.max(1)).enumerate() {
        let drawings: Vec<Drawing> = group
            .iter()
            .map(|piece| draw_part(&as_part(pattern, *piece, cut.scale)))
            .collect();
        let high = drawings.iter().map(|d| d.height).fold(Mm::new(0.0), larger);
        if at > 0 || setter.room() < high + Mm::new(6.0) {
            setter.page();
        }
        caption(setter, group);
        let top = setter.y;
        let mut x = setter.look.left;
        for (piece, drawing) in group.iter().zip(&drawings) {
            // All stand on one line at the foot, since work grows upwards.
            setter.figure(
                drawing,
                Point::new(x, top + high - drawing.height),
                shows(pattern, *piece),
            );
            x = x + drawing.width + Mm::new(APART);
        }
        setter.y = top + high + Mm::new(2.0);
        named(setter, pattern, group);
    }
}

/// Which rows and columns a page shows.
fn caption(setter: &mut Setter, group: &[Piece]) {
    let first = group[0];
    let last = group[group.len() - 1];
    let mut words = format!("Rows {} to {}", first.rows.0.get(), last.rows.1.get());
    if first.columns.0.get() > 1 || first.columns.1 != last.columns.1 || group.len() == 1 {
        words += &format!(
            ", columns {} to {}",
            first.columns.0.get(),
            last.columns.1.get()
        );
    }
    setter.heading(&words);
}

/// The colours of a page, in columns below it.
fn named(setter: &mut Setter, pattern: &Pattern, group: &[Piece]) {
    let lattice = &pattern.band.chart.lattice;
    let mut used = vec![false; pattern.band.chart.colours.len()];
    for piece in group {
        for row in piece.rows.0.get()..=piece.rows.1.get() {
            let row = crate::lattice::Row::new(row);
            for (column, colour) in lattice.columns_of(row).zip(pattern.band.chart.row(row)) {
                if (piece.columns.0..=piece.columns.1).contains(&column) {
                    used[usize::from(*colour)] = true;
                }
            }
        }
    }
    let used: Vec<usize> = (0..used.len()).filter(|&at| used[at]).collect();
    let kind = setter.look.small;
    if used.len() > NAMED {
        setter.paragraph(
            "The keys stand in the table of what you need, on the first pages.",
            kind,
        );
        return;
    }
    let across = 4usize;
    let width = setter.look.width / across as f64;
    let list = setter.element(Role::List, None);
    let top = setter.y;
    let deep = used.len().div_ceil(across);
    for (at, colour) in used.into_iter().enumerate() {
        let (column, line) = (at / deep, at % deep);
        setter.column(setter.look.left + width * column as f64, width);
        setter.y = top + Mm::new(4.6 * line as f64);
        let item = setter.element(Role::Item, Some(list));
        entry(setter, pattern, colour, Mm::new(1.0), item, kind);
    }
    setter.whole();
    setter.y = top + Mm::new(4.6 * deep as f64);
}

/// Room for the chapter of the chart at true size, if it is not cut.
fn true_room(pattern: &Pattern) -> Mm {
    /// For the heading, the words and the ruler.
    const ABOVE: f64 = 57.0;
    let ends = plain(pattern, whole(pattern)).ends();
    pattern.band.chart.lattice.flat_height() + ends * 2.0 + Mm::new(ABOVE)
}

/// A part at true size, without keys.
fn plain<'a>(pattern: &'a Pattern, piece: Piece) -> ChartPart<'a> {
    ChartPart {
        keys: None,
        forward: None,
        ..as_part(pattern, piece, 1.0)
    }
}

/// The chart at true size in the column beside the large one, if there is room: at the left of
/// words and ruler, or below them where the column is narrow.
fn true_size_beside(setter: &mut Setter, pattern: &Pattern) -> bool {
    let drawing = draw_part(&plain(pattern, whole(pattern)));
    let body = setter.look.body;
    let (left, width) = (setter.left, setter.width);
    let across = drawing.width + Mm::new(8.0);
    let is_wide = width >= across + Mm::new(MEASURE);
    if !is_wide && width < larger(drawing.width, Mm::new(MEASURE)) {
        return false;
    }
    let indent = if is_wide { across } else { Mm::new(0.0) };
    setter.column(left + indent, width - indent);
    let lay = LAY.map(|words| pattern.band.units.beside(words));
    let told = lay.iter().map(|words| setter.paragraph_room(words, body));
    let told = told.fold(Mm::new(RULER_HIGH), |sum, high| sum + high);
    setter.column(left, width);
    let below = if is_wide {
        Mm::new(0.0)
    } else {
        told + Mm::new(5.0)
    };
    let high = larger(below + drawing.height, told);
    let (above, head) = (Mm::new(8.0), setter.look.heading.leading + Mm::new(1.5));
    if setter.room() < above + head + high {
        return false;
    }
    setter.y = setter.y + above;
    setter.bookmark("True size");
    setter.head("True size");
    let top = setter.y + Mm::new(0.7);
    setter.column(left + indent, width - indent);
    setter.y = top;
    for words in &lay {
        setter.paragraph(words, body);
    }
    ruler(setter, Point::new(setter.left, setter.y + Mm::new(5.0)));
    let shows = format!("{} At true size.", shows(pattern, whole(pattern)));
    setter.figure(&drawing, Point::new(left, top + below), shows);
    setter.y = top + high;
    true
}

/// The chart at true size, to lay a swatch on, with a ruler beside it.
pub(super) fn true_size(setter: &mut Setter, pattern: &Pattern) {
    let lattice = &pattern.band.chart.lattice;
    let ends = plain(pattern, whole(pattern)).ends();
    setter.chapter("True size", true_room(pattern));
    let body = setter.look.body;
    for words in LAY {
        setter.paragraph(&pattern.band.units.beside(words), body);
    }
    setter.space(2.0);
    ruler(
        setter,
        Point::new(setter.look.left, setter.y + Mm::new(5.0)),
    );
    setter.space(13.0);
    let gutter = plain(pattern, whole(pattern)).gutter();
    let (wide, high) = (setter.width - gutter * 2.0, setter.room() - ends * 2.0);
    // At true size the scale is given, and parts are as many as needed.
    let cut = Cut::new(lattice, wide, high, 1.0..=1.0);
    let mut x = setter.look.left;
    let mut high = Mm::new(0.0);
    for piece in cut.all() {
        let drawing = draw_part(&plain(pattern, piece));
        if x + drawing.width > setter.look.left + setter.look.width + Mm::new(0.01) {
            setter.page();
            x = setter.look.left;
            high = Mm::new(0.0);
        }
        setter.figure(
            &drawing,
            Point::new(x, setter.y),
            format!("{} At true size.", shows(pattern, piece)),
        );
        x = x + drawing.width + Mm::new(APART);
        high = larger(high, drawing.height);
    }
    setter.y = setter.y + high + Mm::new(2.0);
}

/// Millimetres from 0, which is at `start`, to 20.
fn ruler(setter: &mut Setter, start: Point) {
    let Point { x, y } = start;
    let style = setter.look.style;
    let line = |from: Point, to: Point, thickness| {
        Item::Line(Line {
            from,
            to,
            thickness: Mm::new(thickness),
            colour: style.ink,
        })
    };
    let end = x + Mm::new(f64::from(RULER));
    let mut items = vec![line(start, Point::new(end, y), 0.2)];
    for at in 0..=RULER {
        let long = match (at % 10, at % 5) {
            (0, _) => 3.4,
            (_, 0) => 2.6,
            _ => 1.7,
        };
        let mark = start.shifted(Mm::new(f64::from(at)), Mm::new(0.0));
        items.push(line(mark, mark.shifted(Mm::new(0.0), Mm::new(-long)), 0.14));
    }
    for at in [0, 10, 20] {
        items.push(Item::Text(Text {
            anchor: Anchor::Middle,
            figures: Figures::Tabular,
            ..style.text(
                x + Mm::new(f64::from(at)),
                y + Mm::new(3.0),
                Mm::new(2.2),
                at.to_string(),
            )
        }));
    }
    items.push(Item::Text(style.text(
        end + Mm::new(4.0),
        y,
        Mm::new(2.65),
        "20 mm",
    )));
    let drawing = Drawing {
        width: Mm::new(40.0),
        height: Mm::new(8.0),
        items,
    };
    setter.figure(
        &drawing,
        Point::new(Mm::new(0.0), Mm::new(0.0)),
        "A ruler of 20 mm.".to_string(),
    );
}
