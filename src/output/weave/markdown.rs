//! The guide as a Markdown document with a box to tick for each row.

use crate::report::weave::{Guide, RowReport, RowsLine, WeaveReport};
use crate::units::grouped;

/// The guide as Markdown (CommonMark with task lists and tables): the same words as the text has.
pub fn markdown(report: &WeaveReport) -> String {
    let guide = &report.guide;
    let facts: Vec<String> = guide.facts.lines().map(plain).collect();
    let mut out = format!("# {}\n\n{}\n", plain(&guide.title), facts.join("  \n"));
    key(guide, &mut out);
    begin(report, &mut out);
    if !report.rows.is_empty() {
        out.push_str("\n## Rows\n\n");
    }
    for line in report.lines() {
        match line {
            RowsLine::One(line) => {
                out += &format!("- [ ] **{}** ", line.row);
                row(report, line, &mut out);
            }
            RowsLine::Repeated(repeated) => {
                out += &format!("- [ ] **{}**, {}\n", repeated.rows(), repeated.words());
                for line in repeated.pair {
                    out.push_str("  - ");
                    row(report, line, &mut out);
                }
            }
        }
    }
    for section in &guide.after {
        out += &format!("\n## {}\n\n", section.heading);
        for words in &section.paragraphs {
            out += &format!("- {}\n", plain(words));
        }
    }
    out
}

fn key(guide: &Guide, out: &mut String) {
    if guide.key.is_empty() {
        return;
    }
    out.push_str("\n## Colours\n\n| key | colour | beads |\n|---|---|--:|\n");
    for line in &guide.key {
        *out += &format!(
            "| {} | {} | {} |\n",
            plain(&line.key),
            plain(&line.colour),
            grouped(line.count)
        );
    }
}

fn begin(report: &WeaveReport, out: &mut String) {
    let Some(begin) = &report.guide.begin else {
        return;
    };
    *out += &format!("\n## Begin\n\n{}\n", plain(&begin.words));
    *out += &format!(
        "\n- [ ] **String {}:** {}\n",
        report.strung_beads(),
        plain(&report.said(&report.strung).join(", "))
    );
    for reading in &begin.reading {
        *out += &format!("\n{}\n", plain(reading));
    }
}

/// A row behind its number, with what is said of its turn.
fn row(report: &WeaveReport, row: &RowReport, out: &mut String) {
    let beads = if row.beads == 1 { "bead" } else { "beads" };
    *out += &format!(
        "{} {} {beads}: {}; *{}*\n",
        row.travel.arrow(),
        row.beads,
        plain(&report.said(&row.pick).join(", ")),
        row.ends()
    );
    if let Some(explained) = row.explained() {
        *out += &format!("  - {}\n", plain(explained));
    }
}

/// Words in which no character is Markdown.
fn plain(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for letter in words.chars() {
        if "\\`*_[]<>|~&#".contains(letter) {
            out.push('\\');
        }
        out.push(letter);
    }
    out
}
