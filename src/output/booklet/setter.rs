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
        };
        setter.page();
        setter
    }

    /// Goes on at the top of a new page.
    pub(super) fn page(&mut self) {
        self.document.pages.push(Page::default());
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

    pub(super) fn put(&mut self, of: Option<usize>, ink: Ink) {
        if let Some(page) = self.document.pages.last_mut() {
            page.marks.push(Mark { of, ink });
        }
    }

    /// Begins a chapter with its heading, on a new page unless so much room is left.
    pub(super) fn chapter(&mut self, words: &str, room: Mm) {
        self.whole();
        match self.y > self.look.top && self.room() < room {
            true => self.page(),
            false if self.y > self.look.top => self.space(10.0),
            false => {}
        }
        self.section = None;
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
        let of = self.element(Role::Heading(2, words.to_string()), None);
        let kind = self.look.chapter;
        self.set(of, words, kind);
        self.space(2.6);
    }

    pub(super) fn bookmark(&mut self, words: &str) {
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
        let level = if self.section.is_some() { 3 } else { 2 };
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
        let items = drawing
            .items
            .iter()
            .map(|item| moved(item, corner.x, corner.y))
            .collect();
        self.mark(of, items);
        of
    }
}

/// The larger of two lengths.
pub(super) fn larger(one: Mm, other: Mm) -> Mm {
    if one < other { other } else { one }
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
