//! The guide as a Markdown document with a box to tick for each row.

use super::guide::{Guide, Step};
use crate::units::grouped;

/// The guide as Markdown (CommonMark with task lists and tables): the same words as the text has.
pub fn markdown(guide: &Guide) -> String {
    let facts: Vec<String> = guide.facts.lines().map(plain).collect();
    let mut out = format!("# {}\n\n{}\n", plain(&guide.title), facts.join("  \n"));
    key(guide, &mut out);
    if let Some(begin) = &guide.begin {
        out += &format!("\n## Begin\n\n{}\n", plain(begin));
    }
    if let Some(strung) = &guide.strung {
        out += &format!(
            "\n- [ ] **String {}:** {}\n",
            strung.count,
            plain(&strung.runs.join(", "))
        );
    }
    if let Some(reading) = &guide.reading {
        out += &format!("\n{}\n", plain(reading));
    }
    if !guide.steps.is_empty() {
        out.push_str("\n## Rows\n\n");
    }
    for step in &guide.steps {
        row(step, &mut out);
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

fn row(step: &Step, out: &mut String) {
    let arrow = if step.forward { '→' } else { '←' };
    let beads = if step.count == 1 { "bead" } else { "beads" };
    *out += &format!(
        "- [ ] **{}** {arrow} {} {beads}: {}; *{}*\n",
        step.row,
        step.count,
        plain(&step.runs.join(", ")),
        step.turn
    );
    if let Some(explained) = &step.explained {
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
