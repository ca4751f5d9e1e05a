//! The rows in columns of words, each with a box to tick.

use super::Pattern;
use super::document::Role;
use super::setter::{Setter, larger};
use crate::colour::Srgb8;
use crate::report::weave::{Repeated, RowReport, RowsLine};
use crate::scene::{Anchor, Figures, Item, Path, Point, Stroke, Text, font};
use crate::units::Mm;

/// Between two columns.
const APART: f64 = 8.0;
/// Side of the box.
const BOX: f64 = 2.3;
/// From the box to the row's number, and from the arrow to the words.
const SPACE: f64 = 1.6;
/// After every tenth row.
const GROUP: f64 = 2.0;
/// Least room in which rows begin on a page that has something else.
const LEAST: f64 = 24.0;
/// How rows that are written once are read.
const REPEATED: &str = " Two rows that come again and again are written once, with a box for each \
    row.";
/// What the mark at one row's end stands for.
const TRY_ON: &str = " Where a row says try on, see Your size.";

/// What the end of a column does not part: a row, or two that are woven several times with what
/// stands over them.
type Block = Vec<Entry>;

/// One row, broken into lines.
struct Entry {
    /// Its number, way and count, such as `12 → 4`.
    label: String,
    lines: Vec<String>,
    /// What to do at its end; behind the last line, or on a line of its own.
    turn: String,
    turn_apart: bool,
    /// Room for box and label.
    indent: Mm,
    /// Boxes to tick: one beside the label; more of them on lines of their own; or none.
    boxes: usize,
    /// Lines that the boxes take.
    box_lines: usize,
    after: Mm,
}

/// All rows.
pub(super) fn rows(setter: &mut Setter, pattern: &Pattern) {
    let intro = intro(pattern);
    let small = setter.look.small;
    let told = intro
        .iter()
        .map(|words| setter.paragraph_room(words, small));
    let head = told.fold(Mm::new(2.0), |sum, high| sum + high);
    let (here, columns, entries) = closest(setter, pattern, head);
    if !here && setter.y > setter.look.top {
        setter.page();
    }
    setter.chapter("Row by row", Mm::new(0.0));
    for words in intro {
        setter.paragraph(&words, small);
    }
    setter.space(2.0);
    let list = setter.element(Role::List, None);
    let mut from = 0;
    while from < entries.len() {
        let heights: Vec<Mm> = entries[from..]
            .iter()
            .map(|e| block_high(setter, e))
            .collect();
        let filled = filled(&heights, columns, setter.room());
        let top = setter.y;
        let mut lowest = top;
        for (column, range) in filled.iter().enumerate() {
            let width =
                (setter.look.width - Mm::new(APART * (columns - 1) as f64)) / columns as f64;
            setter.column(
                setter.look.left + (width + Mm::new(APART)) * column as f64,
                width,
            );
            setter.y = top;
            for entry in entries[from + range.start..from + range.end]
                .iter()
                .flatten()
            {
                set(setter, entry, list);
            }
            if lowest < setter.y {
                lowest = setter.y;
            }
        }
        from += filled.last().map_or(1, |range| range.end.max(1));
        setter.whole();
        setter.y = lowest;
        if from < entries.len() {
            setter.page();
        }
    }
    setter.space(2.0);
}

/// How the rows are read.
fn intro(pattern: &Pattern) -> Vec<String> {
    let mut lines = pattern.work.lines().into_iter();
    let direction = match &pattern.turned_over {
        Some(turned_over) => format!(
            "always to the {}, since you turn the work over",
            turned_over.to.word()
        ),
        None => "← to the left, → to the right".to_string(),
    };
    let mut how = format!(
        "Tick each row when it is done. A line has the row, its direction ({direction}), how many \
         beads it has, and which ones in the order of picking up; then the turn at its end."
    );
    if lines.any(|line| matches!(line, RowsLine::Repeated(_))) {
        how += REPEATED;
    }
    if pattern.hands.is_some() {
        how += TRY_ON;
    }
    let mut words = vec![how];
    if !pattern.work.guide.key.is_empty() {
        let ways = match pattern.ways {
            [] => "",
            _ => " What each stands for is in the table of your colourway.",
        };
        words.push(format!(
            "Colours go by the keys that stand on the beads.{ways}"
        ));
    }
    words
}

/// The rows set as openly as the fewest pages allow, and whether they begin on this page. A page of
/// their own comes first, to lay beside the mat; then a little less room between lines, smaller
/// type, and last what is left of this page.
fn closest(setter: &mut Setter, pattern: &Pattern, head: Mm) -> (bool, usize, Vec<Block>) {
    /// Size of the letters, and line height over it: the open one first.
    const TRIES: [(f64, f64); 5] = [
        (3.05, 1.36),
        (3.05, 1.31),
        (3.05, 1.26),
        (2.9, 1.3),
        (2.9, 1.25),
    ];
    let whole = setter.look.bottom - setter.look.top;
    let own = whole - setter.chapter_room(true) - head;
    let left = setter.room() - setter.chapter_room(false) - head;
    let mut best: Option<(usize, bool, (f64, f64))> = None;
    for here in [false, true] {
        if here && left < Mm::new(LEAST) {
            continue;
        }
        for (size, leading) in TRIES {
            setter.look.rows.size = Mm::new(size);
            setter.look.rows.leading = Mm::new(size * leading);
            let (columns, entries) = entries(setter, pattern);
            let heights: Vec<Mm> = entries.iter().map(|one| block_high(setter, one)).collect();
            if here && heights.iter().any(|high| *high > left) {
                continue;
            }
            let first = if here { left } else { own };
            // Pages turned until the last row.
            let turned = pages(&heights, columns, first, whole) - usize::from(here);
            if best.is_none_or(|(fewest, ..)| turned < fewest) {
                best = Some((turned, here, (size, leading)));
            }
        }
    }
    let (_, here, (size, leading)) = best.unwrap_or((1, false, TRIES[0]));
    setter.look.rows.size = Mm::new(size);
    setter.look.rows.leading = Mm::new(size * leading);
    let (columns, entries) = entries(setter, pattern);
    (here, columns, entries)
}

/// How many pages the rows take, with room `first` on the first and `whole` on each other.
fn pages(heights: &[Mm], columns: usize, first: Mm, whole: Mm) -> usize {
    let (mut from, mut pages) = (0, 0);
    while from < heights.len() {
        let room = if pages == 0 { first } else { whole };
        from += fill(&heights[from..], columns, room)
            .last()
            .map_or(1, |range| range.end.max(1));
        pages += 1;
    }
    pages
}

/// Two columns or three, whichever takes less room; one where most rows would be broken into many
/// lines.
fn entries(setter: &mut Setter, pattern: &Pattern) -> (usize, Vec<Block>) {
    /// Most lines of a row, and the share of rows that may have more.
    const LINES: (usize, f64) = (3, 0.15);
    let mut best: Option<(Mm, usize, Vec<Block>)> = None;
    for columns in [3, 2] {
        let entries = broken(setter, pattern, columns);
        let lines = |entry: &&Entry| entry.lines.len() + usize::from(entry.turn_apart) > LINES.0;
        let all = || entries.iter().flatten();
        let long = all().filter(lines).count() as f64;
        let heights = entries.iter().map(|one| block_high(setter, one));
        let room = heights.fold(Mm::new(0.0), |sum, high| sum + high) / columns as f64;
        let better = best.as_ref().is_none_or(|(least, ..)| room < *least);
        if long <= LINES.1 * all().count() as f64 && better {
            best = Some((room, columns, entries));
        }
    }
    match best {
        Some((_, columns, entries)) => (columns, entries),
        None => (1, broken(setter, pattern, 1)),
    }
}

fn broken(setter: &mut Setter, pattern: &Pattern, columns: usize) -> Vec<Block> {
    let width = (setter.look.width - Mm::new(APART * (columns - 1) as f64)) / columns as f64;
    let usual = pattern.work.rows.iter().map(|row| label(pattern, row));
    let usual = usual
        .map(|label| indent(setter, &label))
        .fold(Mm::new(0.0), larger);
    let mut entries = Vec::new();
    let entry = |label: String, runs: &[String], turn: &str| {
        let indent = larger(indent(setter, &label), usual);
        Entry::new(setter, label, runs, turn, indent, width - indent)
    };
    let work = pattern.work;
    if work.guide.begin.is_some() {
        let label = format!("String {}", work.strung_beads());
        let strung = entry(label, &work.said(&work.strung), "");
        entries.push(vec![Entry {
            after: Mm::new(GROUP),
            ..strung
        }]);
    }
    let woven = |label: String, row: &RowReport| {
        let tenth = if row.row.is_multiple_of(10) {
            GROUP
        } else {
            0.0
        };
        Entry {
            after: Mm::new(tenth),
            ..entry(label, &work.said(&row.pick), &row.ends())
        }
    };
    for line in work.lines() {
        match line {
            RowsLine::One(row) => entries.push(vec![woven(label(pattern, row), row)]),
            RowsLine::Repeated(repeated) => {
                let [first, second] = repeated.pair.map(|row| woven(again(pattern, row), row));
                entries.push(vec![
                    heading(&repeated, usual),
                    first.with_boxes(0, width),
                    second.with_boxes(2 * repeated.times, width),
                ]);
            }
        }
    }
    entries
}

impl Entry {
    /// A row with a box; `indent` is kept for box and label, `room` is for its words.
    fn new(
        setter: &Setter,
        label: String,
        runs: &[String],
        turn: &str,
        indent: Mm,
        room: Mm,
    ) -> Self {
        let body = setter.look.rows;
        let end = if turn.is_empty() { "" } else { ";" };
        let wide = |words: &str| font::width(words, body.size, body.weight, Figures::Running);
        let lines = told(runs, end, |words| wide(words) <= room);
        let lines: Vec<String> = lines
            .iter()
            .flat_map(|line| crate::scene::wrap(line, body.size, body.weight, room))
            .collect();
        let turn = match turn {
            "" => String::new(),
            turn => format!(" {turn}"),
        };
        let last = lines.last().map_or(Mm::new(0.0), |line| wide(line));
        Self {
            label,
            turn_apart: last + wide(&turn) > room,
            lines,
            turn,
            indent,
            boxes: 1,
            box_lines: 0,
            after: Mm::new(0.0),
        }
    }

    /// The same in a column of that width, with no box, or with many below its words.
    fn with_boxes(self, boxes: usize, width: Mm) -> Self {
        Self {
            boxes,
            box_lines: boxes.div_ceil(boxes_abreast(width - self.indent)),
            after: Mm::new(if boxes > 0 { GROUP } else { 0.0 }),
            ..self
        }
    }

    /// The boxes below its words.
    fn box_items(&self, setter: &Setter, top: Mm) -> Vec<Item> {
        let abreast = boxes_abreast(setter.width - self.indent);
        let first = self.lines.len() + usize::from(self.turn_apart);
        let tick = |nth: usize| {
            let x = setter.left + self.indent + Mm::new((BOX + SPACE) * (nth % abreast) as f64);
            let down = setter.look.rows.leading * (first + nth / abreast) as f64;
            tick_box(Point::new(x, top + down), setter.look.style.muted)
        };
        (0..self.boxes).map(tick).collect()
    }
}

/// What stands over two rows that are woven several times.
fn heading(repeated: &Repeated, indent: Mm) -> Entry {
    Entry {
        label: repeated.rows(),
        lines: vec![repeated.words()],
        turn: String::new(),
        turn_apart: false,
        indent,
        boxes: 0,
        box_lines: 0,
        after: Mm::new(0.0),
    }
}

/// How many boxes stand on a line: an even number, so that the two rows stay together.
fn boxes_abreast(width: Mm) -> usize {
    let all = (width.get() / (BOX + SPACE)) as usize;
    (all / 2 * 2).clamp(2, 20)
}

/// The label of a row that is woven several times.
fn again(pattern: &Pattern, row: &RowReport) -> String {
    let turned_over = pattern.turned_over;
    let to = turned_over.map_or(row.travel, |turned_over| turned_over.to);
    format!("{} {}", to.arrow(), row.beads)
}

fn label(pattern: &Pattern, row: &RowReport) -> String {
    format!("{} {}", row.row, again(pattern, row))
}

/// Runs with commas between them, broken between runs.
fn told(runs: &[String], end: &str, fits: impl Fn(&str) -> bool) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for (at, run) in runs.iter().enumerate() {
        let mark = if at + 1 < runs.len() { "," } else { end };
        match lines.last_mut() {
            Some(line) if fits(&format!("{line} {run}{mark}")) => *line += &format!(" {run}{mark}"),
            _ => lines.push(format!("{run}{mark}")),
        }
    }
    lines
}

/// Room for the box and the label.
fn indent(setter: &Setter, label: &str) -> Mm {
    let kind = setter.look.rows.bold();
    let wide = font::width(label, kind.size, kind.weight, Figures::Tabular);
    Mm::new(BOX + 2.0 * SPACE) + wide
}

fn block_high(setter: &Setter, block: &Block) -> Mm {
    let heights = block.iter().map(|entry| high(setter, entry));
    heights.fold(Mm::new(0.0), |sum, high| sum + high)
}

fn high(setter: &Setter, entry: &Entry) -> Mm {
    let lines = entry.lines.len() + usize::from(entry.turn_apart) + entry.box_lines;
    setter.look.rows.leading * lines as f64 + Mm::new(0.6) + entry.after
}

/// Which entries each column takes: as many as fit the page, or level columns where all of them do.
fn filled(heights: &[Mm], columns: usize, room: Mm) -> Vec<std::ops::Range<usize>> {
    let all = fill(heights, columns, room);
    if all.last().is_none_or(|range| range.end < heights.len()) {
        return all;
    }
    let total = heights.iter().fold(Mm::new(0.0), |sum, high| sum + *high);
    let mut limit = total / columns as f64;
    while limit < room {
        let level = fill(heights, columns, limit);
        if level.last().is_some_and(|range| range.end == heights.len()) {
            return level;
        }
        limit = limit + Mm::new(1.0);
    }
    all
}

/// Entries in order; each column takes one at least, so that a huge one is never lost.
fn fill(heights: &[Mm], columns: usize, room: Mm) -> Vec<std::ops::Range<usize>> {
    let mut ranges = Vec::new();
    let mut at = 0;
    for _ in 0..columns {
        let start = at;
        let mut used = Mm::new(0.0);
        while at < heights.len() && (at == start || used + heights[at] <= room) {
            used = used + heights[at];
            at += 1;
        }
        ranges.push(start..at);
    }
    ranges
}

fn tick_box(corner: Point, colour: Srgb8) -> Item {
    Item::Path(Path {
        steps: Path::rectangle(corner, Mm::new(BOX), Mm::new(BOX)),
        fill: None,
        stroke: Some(Stroke {
            thickness: Mm::new(0.2),
            colour,
            dash: None,
        }),
    })
}

fn set(setter: &mut Setter, entry: &Entry, list: usize) {
    let body = setter.look.rows;
    let style = setter.look.style;
    let left = setter.left;
    let baseline = setter.y + body.baseline();
    let top = baseline - body.size * (font::CAPITALS / 2.0) - Mm::new(BOX / 2.0);
    if entry.boxes == 1 {
        setter.decorate(vec![tick_box(Point::new(left, top), style.muted)]);
    }
    let item = setter.element(Role::Item, Some(list));
    let head = setter.element(Role::Label, Some(item));
    let words = left + entry.indent;
    let text = Item::Text(Text {
        x: words - Mm::new(SPACE),
        baseline,
        size: body.size,
        weight: crate::scene::Weight::Semibold,
        anchor: Anchor::End,
        figures: Figures::Tabular,
        colour: body.colour,
        words: entry.label.clone(),
    });
    setter.mark(head, vec![text]);
    let says = setter.element(Role::Body, Some(item));
    let mut items = Vec::new();
    let mut y = baseline;
    let last = entry.lines.len() - 1;
    for (at, line) in entry.lines.iter().enumerate() {
        let space = if at < last || entry.turn_apart {
            " "
        } else {
            ""
        };
        items.push(setter.line(words, y, format!("{line}{space}"), body));
        if at < last {
            y = y + body.leading;
        }
    }
    if !entry.turn.is_empty() {
        let mut quiet = body;
        quiet.colour = style.muted;
        let x = if entry.turn_apart {
            y = y + body.leading;
            words
        } else {
            words + font::width(&entry.lines[last], body.size, body.weight, Figures::Running)
        };
        let turn = if entry.turn_apart {
            entry.turn.trim_start()
        } else {
            &entry.turn
        };
        items.push(setter.line(x, y, turn.to_string(), quiet));
    }
    setter.mark(says, items);
    if entry.boxes > 1 {
        setter.decorate(entry.box_items(setter, top));
    }
    setter.y = setter.y + high(setter, entry);
}
