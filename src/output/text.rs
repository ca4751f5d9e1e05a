//! A chart in the terminal: in 24-bit colour by half blocks, or in plain characters when colour is
//! off.
//!
//! Row 1 is at the bottom. Lines are as wide as the band; nothing is wrapped.

use crate::chart::{Chart, Shade};
use crate::colour::Srgb8;
use crate::lattice::{Lattice, Row, Rows};
use crate::scene::{clean, count_of, facts, seam};
use crate::units::grouped;
use std::collections::HashSet;
use std::fmt::Write;

/// The chart, its colours with their counts, and its measures, as lines of text.
///
/// With `colour`, a bead is two characters wide and two half blocks high, painted in 24-bit colour,
/// and each line names the odd row that it holds whole. Without, each row is a line, each bead one
/// character (two where there are many colours) taken from the colour's name.
pub fn text(chart: &Chart, colour: bool) -> String {
    let mut out = String::new();
    if let Some(title) = chart.title.as_deref().map(clean) {
        push(&mut out, format_args!("{title}\n\n"));
    }
    let marks = marks(&chart.colours);
    if colour {
        blocks(chart, &mut out)
    } else {
        letters(chart, &marks, &mut out)
    }
    out.push('\n');
    key(chart, &marks, colour, &mut out);
    push(
        &mut out,
        format_args!("\n{}\n{}\n", facts(chart), seam(chart)),
    );
    out
}

/// The band lying flat: a closed one's last row stands above the first in place of wrapping round.
fn flat(lattice: &Lattice) -> Lattice {
    Rows::open(lattice.rows())
        .and_then(|rows| Lattice::new(lattice.bead(), lattice.columns(), rows))
        .unwrap_or(*lattice)
}

/// Two half rows a line, the upper one as the block and the lower one as what is behind it.
fn blocks(chart: &Chart, out: &mut String) {
    let lattice = flat(&chart.lattice);
    let gutter = lattice.rows().to_string().len();
    let halves = lattice.half_rows();
    let columns: Vec<_> = columns(&lattice).collect();
    for lower in (0..halves).step_by(2).rev() {
        if lower < lattice.rows() {
            push(out, format_args!("\x1b[2m{:>gutter$}\x1b[22m ", lower + 1))
        } else {
            push(out, format_args!("{:gutter$} ", ""))
        }
        let colour = |half: u32, column| {
            let bead = lattice.covering(half, column)?;
            Some(chart.colours[usize::from(chart.beads[bead])].srgb)
        };
        let mut brush = Brush::default();
        for &column in &columns {
            let above = (lower + 1 < halves)
                .then(|| colour(lower + 1, column))
                .flatten();
            brush.cell(above, colour(lower, column), out);
        }
        out.push_str("\x1b[0m\n");
    }
}

fn columns(lattice: &Lattice) -> impl Iterator<Item = crate::lattice::Column> {
    (1..=lattice.columns()).map(crate::lattice::Column::new)
}

/// What the terminal paints with now, so that only changes are written.
#[derive(Debug, Default)]
struct Brush {
    front: Option<Srgb8>,
    behind: Option<Srgb8>,
}

impl Brush {
    /// A cell two characters wide: what is above and what is below, either of which may be bare.
    fn cell(&mut self, above: Option<Srgb8>, below: Option<Srgb8>, out: &mut String) {
        let (front, behind, block) = match (above, below) {
            (None, None) => (None, None, "  "),
            (None, Some(below)) => (Some(below), None, "▄▄"),
            (above, below) => (above, below, "▀▀"),
        };
        if behind != self.behind {
            match behind {
                Some(c) => push(
                    out,
                    format_args!("\x1b[48;2;{};{};{}m", c.red, c.green, c.blue),
                ),
                None => out.push_str("\x1b[49m"),
            }
            self.behind = behind;
        }
        if front.is_some() && front != self.front {
            if let Some(c) = front {
                push(
                    out,
                    format_args!("\x1b[38;2;{};{};{}m", c.red, c.green, c.blue),
                );
            }
            self.front = front;
        }
        out.push_str(block);
    }
}

/// One row a line, beads and the gaps between them.
fn letters(chart: &Chart, marks: &[String], out: &mut String) {
    let lattice = &chart.lattice;
    let gutter = lattice.rows().to_string().len();
    let wide = marks.first().map_or(1, |mark| mark.chars().count());
    for row in lattice.all_rows().rev() {
        push(out, format_args!("{:>gutter$} ", row.get()));
        out.push_str(line(lattice, row, chart, marks, wide).trim_end());
        out.push('\n');
    }
}

fn line(lattice: &Lattice, row: Row, chart: &Chart, marks: &[String], wide: usize) -> String {
    let mut line = String::new();
    for column in columns(lattice) {
        line.push(' ');
        match lattice.index(row, column) {
            Some(bead) => line.push_str(&marks[usize::from(chart.beads[bead])]),
            None => push(&mut line, format_args!("{:wide$}", "")),
        }
    }
    line
}

/// The colours that are used: what stands for each, how many there are, its name, code and finish.
fn key(chart: &Chart, marks: &[String], colour: bool, out: &mut String) {
    let counts = chart.counts();
    let wide = counts
        .iter()
        .map(|count| grouped(*count).chars().count())
        .max()
        .unwrap_or(1);
    for ((shade, mark), count) in chart.colours.iter().zip(marks).zip(counts) {
        if count == 0 {
            continue;
        }
        let c = shade.srgb;
        if colour {
            push(
                out,
                format_args!("\x1b[38;2;{};{};{}m██\x1b[0m", c.red, c.green, c.blue),
            )
        } else {
            out.push_str(mark)
        }
        let count = count_of(count);
        push(out, format_args!(" {count:<0$}", wide + 2));
        push(
            out,
            format_args!("  {} ({}", clean(&shade.name), clean(&shade.code)),
        );
        match shade.finish {
            Some(finish) => push(out, format_args!(", {finish})\n")),
            None => out.push_str(")\n"),
        }
    }
}

/// Most colours that have a letter each, and two; more are numbered.
const LETTERED: (usize, usize) = (30, 1000);

/// A mark for each colour, all of one width and no two alike: letters of its name where they are
/// left, else any letters and digits.
fn marks(colours: &[Shade]) -> Vec<String> {
    let count = colours.len();
    if count > LETTERED.1 {
        let wide = count.to_string().len();
        return (1..=count).map(|at| format!("{at:0wide$}")).collect();
    }
    let mut taken = HashSet::new();
    let mark = |shade: &Shade| {
        let name = letters_of(&shade.name);
        let spare = ('a'..='z').chain('0'..='9');
        let all: Vec<char> = name.iter().copied().chain(spare).collect();
        let free = if count <= LETTERED.0 {
            all.iter().map(char::to_string).find(|m| !taken.contains(m))
        } else {
            pairs(&name, &all).find(|m| !taken.contains(m))
        };
        // 36 letters and digits make more marks than there are colours, so one is always free.
        let mark = free.unwrap_or_default();
        taken.insert(mark.clone());
        mark
    };
    colours.iter().map(mark).collect()
}

/// The letters of a name that one column of a terminal holds and that do not turn the line round,
/// in lower case.
fn letters_of(name: &str) -> Vec<char> {
    let narrow = |letter: &char| *letter < '\u{590}' && letter.is_alphanumeric();
    name.chars()
        .flat_map(char::to_lowercase)
        .filter(narrow)
        .collect()
}

/// The name's first letter with each other one, then all pairs.
fn pairs<'a>(name: &'a [char], all: &'a [char]) -> impl Iterator<Item = String> + 'a {
    let first = name.first().copied();
    let own = first.into_iter().flat_map(move |first| {
        all[1..]
            .iter()
            .map(move |second| format!("{first}{second}"))
    });
    own.chain(
        all.iter()
            .flat_map(move |first| all.iter().map(move |second| format!("{first}{second}"))),
    )
}

fn push(out: &mut String, words: std::fmt::Arguments<'_>) {
    let _ = out.write_fmt(words);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bead::Bead;
    use crate::chart::Made;
    use crate::colour::read_hex;

    fn chart(columns: u32, rows: Rows, names: &[(&str, &str)], beads: &[u16]) -> Chart {
        let colours = names.iter().enumerate().map(|(at, (name, hex))| Shade {
            code: format!("c{at}"),
            name: (*name).to_string(),
            srgb: read_hex(hex).unwrap(),
            finish: None,
        });
        Chart {
            lattice: Lattice::new(Bead::default(), columns, rows).unwrap(),
            colours: colours.collect(),
            beads: beads.to_vec(),
            made: Made::default(),
            title: None,
            notes: None,
        }
    }

    #[test]
    fn colour_paints_half_blocks_with_row_1_at_the_bottom_and_bare_edges() {
        let names = [("red", "FF0000"), ("blue", "0000FF")];
        let chart = chart(3, Rows::open(2).unwrap(), &names, &[0, 0, 1]);
        let text = text(&chart, true);
        let lines: Vec<&str> = text.lines().collect();
        // Half rows from below: red bare red, red blue red, bare blue bare.
        assert_eq!(lines[0], "    \x1b[38;2;0;0;255m▄▄  \x1b[0m");
        assert_eq!(
            lines[1],
            "\x1b[2m1\x1b[22m \x1b[48;2;255;0;0m\x1b[38;2;255;0;0m▀▀\
             \x1b[49m\x1b[38;2;0;0;255m▀▀\x1b[48;2;255;0;0m\x1b[38;2;255;0;0m▀▀\x1b[0m"
        );
        assert_eq!(lines[3], "\x1b[38;2;255;0;0m██\x1b[0m × 2  red (c0)");
    }

    #[test]
    fn a_closed_band_lies_flat_and_does_not_wrap() {
        let names = [("red", "FF0000")];
        let text = text(&chart(3, Rows::closed(6).unwrap(), &names, &[0; 9]), true);
        assert_eq!(
            text.lines()
                .filter(|line| line.contains(['▀', '▄']))
                .count(),
            4
        );
    }

    #[test]
    fn marks_are_letters_of_the_names_and_never_alike() {
        let shades = |names: &[&str]| -> Vec<Shade> {
            let named: Vec<(&str, &str)> = names.iter().map(|name| (*name, "000000")).collect();
            chart(3, Rows::open(2).unwrap(), &named, &[0, 0, 0]).colours
        };
        let some = shades(&["kelp green", "kelp", "Gold", "θάλασσα", "海", "!"]);
        assert_eq!(marks(&some), ["k", "e", "g", "θ", "a", "b"]);
        for (count, wide) in [(30, 1), (31, 2), (1000, 2), (3000, 4)] {
            let names: Vec<String> = (0..count).map(|at| format!("sea {at}")).collect();
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            let marks = marks(&shades(&names));
            assert!(marks.iter().all(|mark| mark.chars().count() == wide));
            assert_eq!(marks.iter().collect::<HashSet<_>>().len(), count);
        }
    }
}
