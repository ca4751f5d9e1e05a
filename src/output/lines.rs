//! Paragraphs broken between words, for the terminal.

/// Characters in a line.
const LINE: usize = 78;

/// A paragraph with `head` before it, later lines two in.
pub(super) fn paragraph(head: &str, words: &str) -> String {
    let mut text = String::new();
    let mut line = head.to_string();
    for (at, word) in words.split(' ').enumerate() {
        if at > 0 && line.chars().count() + 1 + word.chars().count() > LINE {
            text += line.trim_end();
            text.push('\n');
            line = "  ".to_string();
        } else if at > 0 {
            line.push(' ');
        }
        line += word;
    }
    text + &line + "\n"
}
