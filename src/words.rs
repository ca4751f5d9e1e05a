//! Sentences for people that may name options and verbs, which each face writes its own way.
//!
//! In source an option is written as a flag in square brackets, `[--rotate 0]`, and a verb as
//! `[upbead fit]`. The command line prints the flag, the desk the label of its field.

use schemars::JsonSchema;
use serde::Serialize;
use std::fmt;
use std::path::Path;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Widest name in a table or a sentence, in columns of the terminal.
const WIDEST: usize = 40;

/// A sentence, cut into plain text and the options and verbs that it names.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(transparent)]
pub struct Sentence(Vec<Part>);

/// A piece of a [`Sentence`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum Part {
    /// Text, the same in every face.
    Text(String),
    /// An option, perhaps with a value to give it.
    Option {
        /// Its name as requests have it: `from_stock`.
        option: String,
        /// What to set it to.
        #[serde(skip_serializing_if = "Option::is_none")]
        value: Option<String>,
    },
    /// A verb of the program.
    Verb {
        /// Its name: `fit`.
        verb: String,
    },
}

impl Sentence {
    /// Cuts `text` at its options and verbs; brackets that hold neither stay text.
    pub fn new(text: &str) -> Self {
        let mut parts = Vec::new();
        let mut plain = String::new();
        let mut rest = text;
        while let Some((before, after)) = rest.split_once('[') {
            plain.push_str(before);
            let named = after.split_once(']').and_then(|(inside, later)| {
                let part = named(inside)?;
                Some((part, later))
            });
            if let Some((part, later)) = named {
                if !plain.is_empty() {
                    parts.push(Part::Text(std::mem::take(&mut plain)));
                }
                parts.push(part);
                rest = later;
            } else {
                plain.push('[');
                rest = after;
            }
        }
        plain.push_str(rest);
        if !plain.is_empty() {
            parts.push(Part::Text(plain));
        }
        Self(parts)
    }

    /// Its pieces in order.
    pub fn parts(&self) -> &[Part] {
        &self.0
    }
}

impl From<&str> for Sentence {
    fn from(text: &str) -> Self {
        Self::new(text)
    }
}

impl From<&Sentence> for Sentence {
    fn from(sentence: &Sentence) -> Self {
        sentence.clone()
    }
}

impl From<String> for Sentence {
    fn from(text: String) -> Self {
        Self::new(&text)
    }
}

/// As the command line says it: options are flags.
impl fmt::Display for Sentence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for part in &self.0 {
            match part {
                Part::Text(text) => f.write_str(&shown(text))?,
                Part::Option { option, value } => {
                    f.write_str(&flag(option))?;
                    if let Some(value) = value {
                        write!(f, " {}", shown(value))?;
                    }
                }
                Part::Verb { verb } => write!(f, "`upbead {verb}`")?,
            }
        }
        Ok(())
    }
}

/// `--rotate 0` or `upbead fit`; nothing else.
fn named(inside: &str) -> Option<Part> {
    if let Some(verb) = inside.strip_prefix("upbead ") {
        return Some(Part::Verb {
            verb: verb.to_string(),
        });
    }
    let (name, value) = match inside.strip_prefix("--")?.split_once(' ') {
        Some((name, value)) => (name, Some(value.to_string())),
        None => (inside.strip_prefix("--")?, None),
    };
    let letters = name.bytes().all(|b| b.is_ascii_lowercase() || b == b'-');
    (letters && !name.is_empty()).then(|| Part::Option {
        option: option_name(name),
        value,
    })
}

/// The name that requests have for a flag: `--from-stock` is `from_stock`.
pub fn option_name(flag: &str) -> String {
    match flag.trim_start_matches('-') {
        "o" => "output".to_string(),
        name => name.replace('-', "_"),
    }
}

/// The flag of an option: `from_stock` is `--from-stock`.
pub fn flag(option: &str) -> String {
    match option {
        "output" => "-o".to_string(),
        name => format!("--{}", name.replace('_', "-")),
    }
}

/// Whether a letter acts on a terminal or a line of text in place of being seen: control characters
/// (C0, C1), line and paragraph separators, and the marks that turn the direction of writing round
/// (UAX #9).
pub fn is_hidden(letter: char) -> bool {
    letter.is_control()
        || matches!(
            letter,
            '\u{061C}' | '\u{200E}' | '\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2066}'..='\u{2069}'
        )
}

/// Text that came from outside as it may stand in a line on a terminal: what is hidden shows as
/// U+FFFD. Every name, path and value is shown through this.
pub fn shown(text: &str) -> String {
    let letter = |letter| {
        if is_hidden(letter) {
            '\u{fffd}'
        } else {
            letter
        }
    };
    text.chars().map(letter).collect()
}

/// Text of at most `most` characters: what is too much goes from its middle, since a statement has
/// the value at its head and what is wrong with it at its end.
pub fn shortened(text: &str, most: usize) -> String {
    let count = text.chars().count();
    if count <= most {
        return text.to_string();
    }
    let kept = most.saturating_sub(1);
    let head = kept / 2;
    let letters = text.chars();
    let start: String = letters.clone().take(head).collect();
    let end: String = letters.skip(count - (kept - head)).collect();
    format!("{start}…{end}")
}

/// A path, as [`shown`].
pub fn shown_path(path: &Path) -> String {
    shown(&path.to_string_lossy())
}

/// `a`, `a and b`, `a, b and c`.
pub fn listed(words: &[String]) -> String {
    match words {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        _ => words.concat(),
    }
}

/// A JSON document in which hidden characters are escaped as `\u` and four hex digits (RFC 8259,
/// section 7). All of them fit in four digits.
pub fn escaped(json: &str) -> String {
    let mut text = String::with_capacity(json.len());
    for letter in json.chars() {
        if is_hidden(letter) && letter != '\n' {
            text.push_str(&format!("\\u{:04x}", u32::from(letter)));
        } else {
            text.push(letter);
        }
    }
    text
}

/// A name as [`shown`], at most 40 columns wide.
pub fn printable(name: &str) -> String {
    let mut text = String::new();
    let mut width = 0;
    for letter in shown(name).chars() {
        width += letter.width().unwrap_or(0);
        if width > WIDEST {
            while text.width() >= WIDEST {
                text.pop();
            }
            text.push('…');
            break;
        }
        text.push(letter);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn options_and_verbs_are_told_from_text() {
        let sentence = Sentence::new("add [--from-stock], or [--rotate 0]; see [upbead fit] [x]");
        assert_eq!(
            sentence.to_string(),
            "add --from-stock, or --rotate 0; see `upbead fit` [x]"
        );
        let json = serde_json::to_string(&sentence).unwrap();
        assert_eq!(
            json,
            concat!(
                r#"["add ",{"option":"from_stock"},", or ",{"option":"rotate","value":"0"},"#,
                r#""; see ",{"verb":"fit"}," [x]"]"#
            )
        );
    }

    #[test]
    fn long_text_is_cut_in_its_middle() {
        assert_eq!(shortened("driftwood", 9), "driftwood");
        assert_eq!(shortened("driftwood", 8), "dri…wood");
        assert_eq!(shortened("äöüß", 3), "ä…ß");
        assert_eq!(shortened("drift", 0), "…");
    }

    #[test]
    fn brackets_that_name_nothing_stay() {
        for text in ["", "[", "a [b", "]", "[--]", "[--A]", "[[--rotate]"] {
            let shown = Sentence::new(text).to_string();
            assert_eq!(shown, text.replace("[--rotate]", "--rotate"), "{text}");
        }
    }

    #[test]
    fn a_flag_and_its_name_are_one_another() {
        for option in ["from_stock", "calm", "output"] {
            assert_eq!(option_name(&flag(option)), option);
        }
    }
}
