//! Sets type onto pages: a cursor that moves down, and what each line means.

use super::document::{Bookmark, Document, Element, Ink, Mark, Page, Role};
use super::look::{Kind, Look};
use crate::scene::{Anchor, Drawing, Figures, Item, Line, Point, Text, wrap};
use crate::units::Mm;

/// Sets a document page by page.
pub(super) struct Setter {
    pub(super) document: Document,
    pub(super) look: Look,
    /// Where the next line begins, from the page's upper edge.
    pub(super) y: Mm,
    /// Left edge and width of what is set.
    pub(super) left: Mm,
    pub(super) width: Mm,
    /// The chapter that headings and paragraphs belong to.
    section: Option<usize>,
    /// The design that chapters belong to, where there are several.
    design: Option<usize>,
    /// Its title.
    title: Option<String>,
    /// The first of the document's paints that are those of the chart which is drawn.
    paint: u16,
}

impl Setter {
    pub(super) fn new(document: Document, look: Look) -> Self {
        let mut setter = Self {
            y: look.top,
            left: look.left,
            width: look.width,
            document,
            look,
            section: None,
            design: None,
            title: None,
            paint: 0,
        };
        setter.page();
        setter
    }

    /// Goes on at the top of a new page.
    pub(super) fn page(&mut self) {
        self.document.pages.push(Page {
            design: self.title.clone(),
            ..Page::default()
        });
        self.y = self.look.top;
    }

    /// Room down to the lower margin.
    pub(super) fn room(&self) -> Mm {
        self.look.bottom - self.y
    }

    /// Goes on to a new page unless so much room is left.
    pub(super) fn need(&mut self, room: Mm) {
        if self.room() < room && self.y > self.look.top {
            self.page();
        }
    }

    pub(super) fn space(&mut self, millimetres: f64) {
        self.y = self.y + Mm::new(millimetres);
    }

    /// Sets in a part of the width, such as a column; back with [`Setter::whole`].
    pub(super) fn column(&mut self, left: Mm, width: Mm) {
        self.left = left;
        self.width = width;
    }

    pub(super) fn whole(&mut self) {
        self.left = self.look.left;
        self.width = self.look.width;
    }

    /// A new element, part of `parent` or else of the chapter.
    pub(super) fn element(&mut self, role: Role, parent: Option<usize>) -> usize {
        let parent = parent.or(self.section);
        self.document.elements.push(Element { role, parent });
        self.document.elements.len() - 1
    }

    /// Things on the page, part of an element.
    pub(super) fn mark(&mut self, of: usize, items: Vec<Item>) {
        self.put(Some(of), Ink::Items(items));
    }

    /// Things on the page that are not read.
    pub(super) fn decorate(&mut self, items: Vec<Item>) {
        self.put(None, Ink::Items(items));
    }

    pub(super) fn put(&mut self, of: Option<usize>, mut ink: Ink) {
        if let Ink::Items(items) = &mut ink {
            repaint_all(items, self.paint);
        }
        if let Some(page) = self.document.pages.last_mut() {
            page.marks.push(Mark { of, ink });
        }
    }

    /// Draws in paints of the document from this one on.
    pub(super) fn paint_from(&mut self, paint: u16) {
        self.paint = paint;
    }

    /// Begins a design of several on a new page: its chapters belong to it, and their headings
    /// stand below its own.
    pub(super) fn begin_design(&mut self, words: &str) {
        self.end_design();
        self.title = Some(words.to_string());
        self.page();
        self.bookmark(words);
        self.design = Some(self.element(Role::Section, None));
        self.section = self.design;
    }

    /// What comes next belongs to no design.
    pub(super) fn end_design(&mut self) {
        self.design = None;
        self.title = None;
        self.section = None;
    }

    /// How far headings stand below those of a booklet of one design.
    pub(super) fn depth(&self) -> u16 {
        u16::from(self.design.is_some())
    }

    /// Begins a chapter with its heading, on a new page unless so much room is left.
    pub(super) fn chapter(&mut self, words: &str, room: Mm) {
        self.whole();
        match self.y > self.look.top && self.room() < room {
            true => self.page(),
            false if self.y > self.look.top => self.space(10.0),
            false => {}
        }
        self.section = self.design;
        self.section = Some(self.element(Role::Section, None));
        self.bookmark(words);
        let rule = Line {
            from: Point::new(self.left, self.y),
            to: Point::new(self.left + Mm::new(11.0), self.y),
            thickness: Mm::new(1.1),
            colour: self.look.accent,
        };
        self.decorate(vec![Item::Line(rule)]);
        self.space(3.2);
        let level = 2 + self.depth();
        let of = self.element(Role::Heading(level, words.to_string()), None);
        let kind = self.look.chapter;
        self.set(of, words, kind);
        self.space(2.6);
    }

    /// A place to jump to: a chapter, or a design where there are several.
    pub(super) fn bookmark(&mut self, words: &str) {
        if self.design.is_some() {
            return;
        }
        let bookmark = Bookmark {
            words: words.to_string(),
            page: self.document.pages.len() - 1,
            top: self.y,
        };
        self.document.bookmarks.push(bookmark);
    }

    /// Room that a chapter's heading takes, with what is left above it where it does not begin a
    /// page.
    pub(super) fn chapter_room(&self, begins: bool) -> Mm {
        let above = if begins { 0.0 } else { 10.0 };
        self.look.chapter.leading + Mm::new(above + 3.2 + 2.6)
    }

    /// Room that a paragraph takes.
    pub(super) fn paragraph_room(&self, words: &str, kind: Kind) -> Mm {
        kind.leading * (self.lines(words, kind).len() as f64 + 0.4)
    }

    /// A heading within a chapter, or on the cover.
    pub(super) fn heading(&mut self, words: &str) {
        self.need(Mm::new(22.0));
        self.head(words);
    }

    /// A heading where room for it and for what follows is known to be left.
    pub(super) fn head(&mut self, words: &str) {
        let level = if self.section == self.design { 2 } else { 3 } + self.depth();
        let of = self.element(Role::Heading(level, words.to_string()), None);
        let kind = self.look.heading;
        self.set(of, words, kind);
        self.space(0.8);
    }

    /// A paragraph.
    pub(super) fn paragraph(&mut self, words: &str, kind: Kind) {
        let of = self.element(Role::Paragraph, None);
        self.set(of, words, kind);
        self.space(kind.leading.get() * 0.4);
    }

    /// Words in lines, over as many pages as they need.
    pub(super) fn set(&mut self, of: usize, words: &str, kind: Kind) {
        let lines = self.lines(words, kind);
        let last = lines.len() - 1;
        let mut items = Vec::new();
        let mut fits = self.fitting(lines.len(), kind);
        for (at, mut line) in lines.into_iter().enumerate() {
            if at == fits {
                if !items.is_empty() {
                    self.mark(of, std::mem::take(&mut items));
                }
                self.page();
                fits = at + self.fitting(last + 1 - at, kind);
            }
            // A space at the end keeps words apart when the lines are read as one.
            if at < last {
                line.push(' ');
            }
            let baseline = self.y + kind.baseline();
            items.push(self.line(self.left, baseline, line, kind));
            self.y = self.y + kind.leading;
        }
        if !items.is_empty() {
            self.mark(of, items);
        }
    }

    /// How many of so many lines are set before the page ends: never one line alone on either page.
    fn fitting(&self, lines: usize, kind: Kind) -> usize {
        let fits = (self.room() / kind.leading + 1e-9).max(0.0) as usize;
        match (fits >= lines, self.y > self.look.top) {
            (true, _) => lines,
            (false, true) if lines <= 3 || fits < 2 => 0,
            (false, _) if fits + 1 == lines => fits.saturating_sub(1).max(1),
            (false, _) => fits.max(1),
        }
    }

    /// How words break in the width.
    pub(super) fn lines(&self, words: &str, kind: Kind) -> Vec<String> {
        wrap(words, kind.size, kind.weight, self.width)
    }

    /// A line of words from its left end.
    pub(super) fn line(&self, x: Mm, baseline: Mm, words: String, kind: Kind) -> Item {
        Item::Text(Text {
            x,
            baseline,
            size: kind.size,
            weight: kind.weight,
            anchor: Anchor::Start,
            figures: Figures::Running,
            colour: kind.colour,
            words,
        })
    }

    /// A drawing with its upper left corner at a place.
    pub(super) fn figure(&mut self, drawing: &Drawing, corner: Point, shows: String) -> usize {
        let of = self.element(Role::Figure(shows), None);
        self.mark(of, placed(drawing, corner));
        of
    }
}

/// The items of a drawing with its upper left corner at a place.
pub(super) fn placed(drawing: &Drawing, corner: Point) -> Vec<Item> {
    let items = drawing.items.iter();
    items.map(|item| moved(item, corner.x, corner.y)).collect()
}

/// The larger of two lengths.
pub(super) fn larger(one: Mm, other: Mm) -> Mm {
    if one < other { other } else { one }
}

/// Moves the paints of items on by so many.
pub(super) fn repaint_all(items: &mut [Item], by: u16) {
    if by > 0 {
        items.iter_mut().for_each(|item| repaint(item, by));
    }
}

fn repaint(item: &mut Item, by: u16) {
    match item {
        Item::Beads(beads) => beads.placed.iter_mut().for_each(|bead| bead.paint += by),
        Item::Group(group) => group.items.iter_mut().for_each(|item| repaint(item, by)),
        Item::Line(_) | Item::Text(_) | Item::Path(_) => {}
    }
}

/// The item at another place.
pub(super) fn moved(item: &Item, x: Mm, y: Mm) -> Item {
    use crate::scene::PathStep as S;
    let shift = |point: Point| point.shifted(x, y);
    let mut item = item.clone();
    match &mut item {
        Item::Beads(beads) => {
            for bead in &mut beads.placed {
                (bead.left, bead.top) = (bead.left + x, bead.top + y);
            }
        }
        Item::Line(line) => {
            line.from = shift(line.from);
            line.to = shift(line.to);
        }
        Item::Text(text) => (text.x, text.baseline) = (text.x + x, text.baseline + y),
        Item::Path(path) => {
            for step in &mut path.steps {
                *step = match *step {
                    S::Move(to) => S::Move(shift(to)),
                    S::Line(to) => S::Line(shift(to)),
                    S::Curve(one, two, to) => S::Curve(shift(one), shift(two), shift(to)),
                    S::Close => S::Close,
                };
            }
        }
        Item::Group(group) => {
            for item in &mut group.items {
                *item = moved(item, x, y);
            }
        }
    }
    item
}
