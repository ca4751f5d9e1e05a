//! The foot of each page: title and page; maker, year and terms of use; version of the pattern.

use super::document::{Document, Ink, Mark};
use super::look::Look;
use crate::scene::{Anchor, Figures, Item, Text, wrap};
use crate::units::Mm;

/// Room kept at the right for page and version.
const RIGHT: f64 = 40.0;
/// From the first baseline to the lower edge of the paper.
const HIGH: f64 = 14.6;
/// Most lines of maker and terms: more would run off the paper.
const MOST_LINES: usize = 2;

/// What stands at the foot of each page, beside title and page number.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Foot {
    /// Who made it.
    pub by: Option<String>,
    /// The year of the pattern.
    pub year: Option<u32>,
    /// What a buyer may do with it.
    pub terms: Option<String>,
    /// Version of the pattern; empty is none.
    pub edition: String,
}

impl Foot {
    /// Maker, year and terms in one line; empty if none is given.
    fn words(&self) -> String {
        let maker = match (&self.by, self.year) {
            (Some(by), Some(year)) => Some(format!("© {year} {by}")),
            (Some(by), None) => Some(by.clone()),
            (None, year) => year.map(|year| format!("© {year}")),
        };
        let parts: Vec<String> = maker.into_iter().chain(self.terms.clone()).collect();
        parts.join(" · ")
    }

    /// Sets it on every page.
    pub(super) fn set(&self, document: &mut Document, look: &Look) {
        let kind = look.small;
        let first = document.paper.height - Mm::new(HIGH);
        let text = |x: Mm, line: usize, anchor: Anchor, words: String| {
            Item::Text(Text {
                x,
                baseline: first + kind.leading * line as f64,
                size: kind.size,
                weight: kind.weight,
                anchor,
                figures: Figures::Tabular,
                colour: kind.colour,
                words,
            })
        };
        let broken = |words: &str| {
            let room = look.width - Mm::new(RIGHT);
            wrap(words, kind.size, kind.weight, room)
        };
        let title = document.title.clone();
        let words = broken(&self.words());
        let edition = if self.edition.is_empty() {
            String::new()
        } else {
            format!("edition {}", self.edition)
        };
        let (left, right) = (look.left, look.left + look.width);
        let count = document.pages.len();
        for (at, page) in document.pages.iter_mut().enumerate() {
            let title = match &page.design {
                Some(design) => format!("{title} · {design}"),
                None => title.clone(),
            };
            let number = format!("{} of {count}", at + 1);
            let mut items = vec![
                text(left, 0, Anchor::Start, broken(&title).swap_remove(0)),
                text(right, 0, Anchor::End, number),
            ];
            let lines = words.iter().take(MOST_LINES).enumerate();
            let lines = lines.map(|(at, line)| text(left, at + 1, Anchor::Start, line.clone()));
            items.extend(lines.chain([text(right, 1, Anchor::End, edition.clone())]));
            items.retain(|item| !matches!(item, Item::Text(text) if text.words.is_empty()));
            page.marks.push(Mark {
                of: None,
                ink: Ink::Items(items),
            });
        }
    }
}
