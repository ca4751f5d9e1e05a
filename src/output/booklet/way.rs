//! The way of the thread: how to begin, each kind of turn as beads and thread beside its words, how
//! to close and to weave in.

use super::Pattern;
use super::setter::{Setter, larger};
use crate::report::weave::{CLOSE, FLIPPED, JOIN, Section, TRY_ON, TurnedOver, WEAVE_IN};
use crate::request::WorkFrom;
use crate::scene::{Drawing, Point, StitchDiagram, StrungLine, draw_stitches, draw_strung_line};
use crate::units::Mm;
use crate::weave::{Pass, Turn, Work};

/// Most columns of a drawing.
const COLUMNS: u32 = 9;
/// Width kept for drawings beside words.
const DRAWING: f64 = 70.0;
/// Legs of the working thread and of the tail that are drawn as they are woven in.
const LEGS: usize = 2;
/// Below a drawing.
const APART: f64 = 3.0;
/// Least room in which the last chapter begins.
const LEAST: f64 = 120.0;
/// Between two columns of words, below a heading, and after a section.
const ABREAST: f64 = 10.0;
const HEAD: f64 = 0.8;
const AFTER: f64 = 3.0;

/// How the work begins, and its turns.
/// `whom` says for which of several designs; empty in a booklet of one.
pub(super) fn way(setter: &mut Setter, pattern: &Pattern, whom: &str) {
    setter.chapter("How the thread goes", Mm::new(90.0));
    let body = setter.look.body;
    if !whom.is_empty() {
        setter.paragraph(whom, body);
    }
    let words = "In the drawings the thread of this step is dark and begins at the dot; inside a \
        bead it is dashed. Thread that lies there already is grey. Beads that are picked up in \
        this step are tinted. The small numbers are rows.";
    let turned_over = pattern.turned_over.map(TurnedOver::words);
    let arrows = turned_over.as_deref().unwrap_or(FLIPPED);
    setter.paragraph(&format!("{words} {arrows}"), setter.look.small);
    setter.space(1.0);
    let begin = pattern.work.guide.begin.iter();
    let begin = begin.flat_map(|begin| std::iter::once(&begin.words).chain(&begin.weaving));
    let begin: Vec<&str> = begin.map(String::as_str).collect();
    let drawings = first_rows(pattern);
    if drawings.is_empty() {
        for words in begin {
            setter.paragraph(words, body);
        }
    } else {
        beside(setter, "The first rows", &drawings, &begin);
    }
    let rows = pattern.work.rows.iter().zip(&pattern.band.weave.rows);
    for (said, row) in rows {
        let Some(words) = said.explained() else {
            continue;
        };
        let heading = format!("{}, at the end of row {}", named(row.turn), said.row);
        beside(setter, &heading, &[turn(pattern, row)], &[words]);
    }
}

/// What comes after the rows: sections with drawings first, then those of words alone, side by side
/// and never apart.
pub(super) fn finish(setter: &mut Setter, pattern: &Pattern, whom: &str) {
    let sections = pattern.work.guide.after.iter();
    // Trying on stands beside the table of rows.
    let sections = sections.filter(|section| section.heading != TRY_ON);
    let drawn = sections.map(|section| {
        let drawings = match section.heading {
            JOIN => joined(pattern),
            CLOSE => zip(pattern),
            WEAVE_IN => woven_in(pattern),
            _ => Vec::new(),
        };
        (section, drawings)
    });
    let (drawn, told): (Vec<_>, Vec<_>) = drawn.partition(|(_, drawings)| !drawings.is_empty());
    let first = drawn.first().map_or(Mm::new(0.0), |(section, drawings)| {
        column_beside(setter, drawings, &words_of(section)) + setter.chapter_room(false)
    });
    setter.chapter("Finish", larger(first, Mm::new(LEAST)));
    if !whom.is_empty() {
        let body = setter.look.body;
        setter.paragraph(whom, body);
    }
    for (section, drawings) in drawn {
        beside(setter, section.heading, &drawings, &words_of(section));
    }
    let told: Vec<&Section> = told.into_iter().map(|(section, _)| section).collect();
    abreast(setter, &told);
}

/// Sections of words in two columns that are about as long; all of them on one page.
fn abreast(setter: &mut Setter, sections: &[&Section]) {
    let body = setter.look.body;
    let width = (setter.look.width - Mm::new(ABREAST)) / 2.0;
    setter.column(setter.look.left, width);
    let heights: Vec<f64> = sections
        .iter()
        .map(|section| {
            let words = section.paragraphs.iter();
            let words = words.map(|words| setter.paragraph_room(words, body));
            let head = setter.look.heading.leading + Mm::new(HEAD + AFTER);
            words.fold(head, |sum, high| sum + high).get()
        })
        .collect();
    let (left, high) = level(&heights);
    setter.need(Mm::new(high - AFTER));
    let top = setter.y;
    for (at, of_left) in [true, false].into_iter().enumerate() {
        let across = (width + Mm::new(ABREAST)) * at as f64;
        setter.column(setter.look.left + across, width);
        setter.y = top;
        let part = sections.iter().zip(&left);
        for (section, _) in part.filter(|(_, left)| **left == of_left) {
            setter.head(section.heading);
            for words in &section.paragraphs {
                setter.paragraph(words, body);
            }
            setter.space(AFTER);
        }
    }
    setter.whole();
    setter.y = top + Mm::new(high);
}

/// Which of a few sections stand in the left of two columns, so that the longer column is as short
/// as can be, and how long that is. The first one stands left.
fn level(heights: &[f64]) -> (Vec<bool>, f64) {
    let all: f64 = heights.iter().sum();
    let mut best = (vec![true; heights.len()], all);
    for choice in 0..1u32 << heights.len().clamp(1, 12).saturating_sub(1) {
        let left: Vec<bool> = (0..heights.len())
            .map(|at| at == 0 || (at <= 12 && choice >> (at - 1) & 1 == 1))
            .collect();
        let mine = heights.iter().zip(&left).filter(|(_, left)| **left);
        let mine: f64 = mine.map(|(high, _)| high).sum();
        let longer = mine.max(all - mine);
        if longer < best.1 {
            best = (left, longer);
        }
    }
    best
}

fn named(turn: Turn) -> &'static str {
    match turn {
        Turn::Ordinary => "The ordinary turn",
        Turn::FigureEight => "The figure-eight",
        Turn::EdgeBead => "The edge-bead turn",
        Turn::Bridge => "The odd-count turn",
        Turn::End => "The end",
    }
}

fn words_of(section: &Section) -> Vec<&str> {
    section.paragraphs.iter().map(String::as_str).collect()
}

/// Room of drawings one below the other.
fn high(drawings: &[Drawing]) -> Mm {
    let each = drawings
        .iter()
        .map(|drawing| drawing.height + Mm::new(APART));
    each.fold(Mm::new(0.0), |sum, high| sum + high)
}

/// Sets in the column of words beside drawings, and returns the room that both take.
fn column_beside(setter: &mut Setter, drawings: &[Drawing], words: &[&str]) -> Mm {
    let body = setter.look.body;
    let left = setter.look.left + Mm::new(DRAWING + 4.0);
    setter.column(left, setter.look.left + setter.look.width - left);
    let head = setter.look.heading.leading + Mm::new(HEAD);
    let told = words
        .iter()
        .fold(head, |sum, words| sum + setter.paragraph_room(words, body));
    larger(told, high(drawings) - Mm::new(APART))
}

/// Drawings one below the other at the left, words at their right.
fn beside(setter: &mut Setter, heading: &str, drawings: &[Drawing], words: &[&str]) {
    let body = setter.look.body;
    let room = column_beside(setter, drawings, words);
    setter.need(room);
    let top = setter.y;
    // The words come first in reading; the drawing shows them once more.
    setter.head(heading);
    for words in words {
        setter.paragraph(words, body);
    }
    let end = setter.y;
    setter.whole();
    let mut y = top;
    for (at, drawing) in drawings.iter().enumerate() {
        let part = match drawings.len() {
            1 => String::new(),
            many => format!(", drawing {} of {many}", at + 1),
        };
        let x = setter.look.left + (Mm::new(DRAWING) - drawing.width) / 2.0;
        setter.figure(
            drawing,
            Point::new(x, y),
            format!("{heading}{part}: beads and thread, as the words say."),
        );
        y = y + drawing.height + Mm::new(APART);
    }
    setter.y = larger(y, end);
    setter.space(2.5);
}

/// The strung beads with the first stitches before the thread is pulled, and after it.
fn first_rows(pattern: &Pattern) -> Vec<Drawing> {
    let weave = &pattern.band.weave;
    let Some(row) = weave.rows.first() else {
        return Vec::new();
    };
    let now = &weave.passes[row.passes.clone()];
    let few = now.len().min(6);
    vec![
        draw_strung_line(&StrungLine {
            beads: weave.strung.len(),
            to_right: weave.passes[0].forward,
            up: weave.frame.work_from() == WorkFrom::Bottom,
            accent: pattern.accent,
        }),
        drawn(
            pattern,
            &weave.passes[..row.passes.start],
            &now[..few],
            false,
        ),
    ]
}

/// The end of a row from its last but one bead: its turn, or the first beads of the next row after
/// an ordinary one.
fn turn(pattern: &Pattern, row: &Work) -> Drawing {
    let passes = &pattern.band.weave.passes;
    let within = &passes[row.passes.clone()];
    let new = within.iter().rposition(|pass| pass.picked).unwrap_or(0);
    let (first, end) = match row.turn {
        Turn::Ordinary | Turn::End => (
            row.passes.end.saturating_sub(2).max(row.passes.start),
            (row.passes.end + 3).min(passes.len()),
        ),
        Turn::FigureEight => (row.passes.start + new, row.passes.end),
        // From the bead before the edge bead that is passed first.
        Turn::EdgeBead => (
            row.passes.start + new.saturating_sub(2),
            (row.passes.end + 1).min(passes.len()),
        ),
        Turn::Bridge => (row.passes.start + new.saturating_sub(1), row.passes.end),
    };
    drawn(pattern, &passes[..first], &passes[first..end], false)
}

/// Across and back.
fn zip(pattern: &Pattern) -> Vec<Drawing> {
    let weave = &pattern.band.weave;
    let (out, back) = weave.seam.split_at(weave.seam.len() / 2);
    if out.is_empty() {
        return Vec::new();
    }
    let last = weave.passes.len().saturating_sub(2);
    vec![
        drawn(pattern, &weave.passes[last..], out, true),
        drawn(pattern, out, back, true),
    ]
}

/// The new thread on its way in at the first join, then the old one on its way out.
fn joined(pattern: &Pattern) -> Vec<Drawing> {
    let joins = pattern.band.joins();
    let Some(passes) = joins.into_iter().find_map(|(_, passes)| passes) else {
        return Vec::new();
    };
    let out: Vec<Pass> = [passes.leaves]
        .into_iter()
        .chain(passes.old_end.iter().copied())
        .collect();
    vec![
        drawn(pattern, &[passes.leaves], &passes.new_start, true),
        drawn(pattern, &passes.new_start, &out, true),
    ]
}

/// The working thread's end, from where it comes out, and the tail.
fn woven_in(pattern: &Pattern) -> Vec<Drawing> {
    let weave = &pattern.band.weave;
    if weave.thread_end.is_empty() {
        return Vec::new();
    }
    let before: Vec<Pass> = match weave.seam.last().or(weave.passes.last()) {
        Some(pass) => vec![*pass],
        None => Vec::new(),
    };
    let now: Vec<Pass> = before
        .iter()
        .chain(first_legs(&weave.thread_end))
        .copied()
        .collect();
    // The tail hangs out of the first bead strung, by the side where it was entered.
    let first = weave.passes.first().map(|pass| Pass {
        forward: !pass.forward,
        picked: false,
        ..*pass
    });
    let tail: Vec<Pass> = first
        .iter()
        .chain(first_legs(&weave.tail_end))
        .copied()
        .collect();
    vec![
        drawn(pattern, &[], &now, true),
        drawn(pattern, &[], &tail, true),
    ]
}

/// As many legs of a woven-in end as show how it goes on.
fn first_legs(passes: &[Pass]) -> &[Pass] {
    let legs = passes.chunk_by(|one, two| one.forward == two.forward);
    &passes[..legs.take(LEGS).map(<[Pass]>::len).sum()]
}

fn drawn(pattern: &Pattern, before: &[Pass], now: &[Pass], whole: bool) -> Drawing {
    draw_stitches(&StitchDiagram {
        chart: pattern.band.chart,
        weave: &pattern.band.weave,
        before,
        now,
        whole,
        columns: COLUMNS,
        accent: pattern.accent,
    })
}

#[cfg(test)]
mod tests {
    use super::level;

    #[test]
    fn columns_are_as_level_as_whole_sections_allow() {
        assert_eq!(level(&[20.0, 65.0, 30.0]), (vec![true, false, true], 65.0));
        assert_eq!(level(&[7.0]), (vec![true], 7.0));
        assert_eq!(level(&[]), (vec![], 0.0));
    }
}
