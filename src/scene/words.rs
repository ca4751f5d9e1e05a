//! The words that stand beside a band, the same in every output.

use crate::chart::Chart;
use crate::units::{Mm, decimals, grouped};
use crate::words::is_hidden;

/// A name as it can be printed anywhere: line breaks and other control characters become spaces,
/// marks that change the direction of writing go.
pub fn clean(name: &str) -> String {
    let kept = name.chars().filter(|letter| !is_directional_mark(*letter));
    let printable = |letter: char| {
        if is_hidden(letter) || is_unprintable(letter) {
            ' '
        } else {
            letter
        }
    };
    let text: String = kept.map(printable).collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What is hidden and breaks no line: the marks that turn the direction of writing round.
fn is_directional_mark(letter: char) -> bool {
    is_hidden(letter) && !letter.is_control() && !matches!(letter, '\u{2028}' | '\u{2029}')
}

/// What XML 1.0 forbids besides control characters.
fn is_unprintable(letter: char) -> bool {
    matches!(letter, '\u{FFFE}' | '\u{FFFF}')
}

/// `9 columns, 74 rows, 333 beads, 11.7 × 59.2 mm, size 11/0`: a closed band's height is measured
/// round.
pub fn facts(chart: &Chart) -> String {
    let lattice = &chart.lattice;
    let tenths = |mm: Mm| decimals(mm.get(), 1);
    let bead = lattice.bead();
    let size = match bead.size() {
        Some(_) => format!("size {}", bead.name()),
        None => format!("bead {} mm", bead.name().replace('x', " × ")),
    };
    format!(
        "{} columns, {} rows, {} beads, {} × {} mm, {size}",
        grouped(lattice.columns() as usize),
        grouped(lattice.rows() as usize),
        grouped(lattice.len()),
        tenths(lattice.width()),
        tenths(lattice.picture_height()),
    )
}

/// How the ends of the band meet: `row 74 zips to row 1`, or that they do not.
pub fn seam(chart: &Chart) -> String {
    if chart.lattice.is_closed() {
        let rows = grouped(chart.lattice.rows() as usize);
        format!("row {rows} zips to row 1")
    } else {
        "a flat strip, not closed".to_string()
    }
}

/// `× 123`.
pub fn count_of(count: usize) -> String {
    format!("× {}", grouped(count))
}

/// The colours with their counts, as one sentence for those who cannot see the picture.
pub(super) fn description(chart: &Chart) -> String {
    let mut colours = Vec::new();
    for (shade, count) in chart.colours.iter().zip(chart.counts()) {
        if count > 0 {
            colours.push(format!("{} {}", clean(&shade.name), count_of(count)));
        }
    }
    format!(
        "Peyote stitch, row 1 at the bottom: {}; {}. Colours: {}.",
        facts(chart),
        seam(chart),
        colours.join(", ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_lose_what_would_break_a_line_or_turn_it_round() {
        assert_eq!(clean("kelp\n\u{1b}[31m green"), "kelp [31m green");
        assert_eq!(clean("\u{202e}kelp "), "kelp");
        assert_eq!(clean("θάλασσα <&\">"), "θάλασσα <&\">");
    }
}
