//! GIMP palettes: `GIMP Palette`, perhaps `Name:` and `Columns:`, then red, green, blue (0 to 255)
//! and a name a line; `#` starts a comment.

use super::{MOST_COLOURS, shown, too_many};
use crate::colour::{Srgb8, hex};
use crate::error::{Error, Result};
use crate::palette::{Colour, Palette};
use std::collections::{HashMap, HashSet};

pub(super) const FIRST_LINE: &str = "GIMP Palette";

pub(super) fn read(text: &str, name: &str) -> Result<Palette> {
    let mut palette_name = name.to_string();
    let mut codes = Codes::default();
    let mut colours = Vec::new();
    for (number, line) in (1..).zip(text.lines()).skip(1) {
        let start = line.trim_start();
        if start.is_empty() || start.starts_with('#') || start.starts_with("Columns:") {
            continue;
        }
        if let Some(own) = start.strip_prefix("Name:") {
            if !own.trim().is_empty() {
                palette_name = own.trim().to_string();
            }
            continue;
        }
        if colours.len() == MOST_COLOURS {
            return Err(too_many().at(number, 1));
        }
        let (srgb, called) = colour(line, number)?;
        let name = match called {
            "" | "Untitled" => hex(srgb),
            name => name.to_string(),
        };
        colours.push(Colour {
            code: codes.make(&name, srgb),
            name,
            srgb,
            finish: None,
            grams: None,
            per_gram: None,
            price: None,
            per_pack: None,
            extra: Vec::new(),
        });
    }
    Palette::new(palette_name, colours, Vec::new())
        .map_err(|error| error.hint("give each colour a line: red green blue name"))
}

/// Three components and the rest of the line.
fn colour(line: &str, number: usize) -> Result<(Srgb8, &str)> {
    let mut rest = line;
    let mut components = [0u8; 3];
    for (component, what) in components.iter_mut().zip(["red", "green", "blue"]) {
        rest = rest.trim_start();
        let end = rest.find(char::is_whitespace).unwrap_or(rest.len());
        let (word, after) = rest.split_at(end);
        let digits = word.bytes().all(|byte| byte.is_ascii_digit());
        *component = word.parse().ok().filter(|_| digits).ok_or_else(|| {
            let column = line[..line.len() - rest.len()].chars().count() + 1;
            let error = match word {
                "" => Error::new(format!("the colour has no {what}")),
                _ => Error::new(format!("{} is not an amount of {what}", shown(word))),
            };
            error
                .at(number, column)
                .hint("write red, green and blue as whole numbers from 0 to 255, then the name")
        })?;
        rest = after;
    }
    let [red, green, blue] = components;
    Ok((Srgb8::new(red, green, blue), rest.trim()))
}

/// Codes made from names, each once.
#[derive(Default)]
struct Codes {
    taken: HashSet<String>,
    /// The number that the next colour of this name tries first.
    next: HashMap<String, usize>,
}

impl Codes {
    fn make(&mut self, name: &str, srgb: Srgb8) -> String {
        let slug = match slug(name) {
            slug if slug.is_empty() => hex(srgb).to_lowercase(),
            slug => slug,
        };
        if self.taken.insert(slug.clone()) {
            return slug;
        }
        let next = self.next.entry(slug.clone()).or_insert(2);
        loop {
            let code = format!("{slug}-{next}");
            *next += 1;
            if self.taken.insert(code.clone()) {
                return code;
            }
        }
    }
}

/// Letters and digits in lower case, and a dash for anything between.
fn slug(name: &str) -> String {
    name.split(|letter: char| !letter.is_alphanumeric())
        .filter(|part| !part.is_empty())
        .map(str::to_lowercase)
        .collect::<Vec<_>>()
        .join("-")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_come_from_names_and_stand_once() {
        let text = "GIMP Palette\nName: Tide\nColumns: 3\n#\n  1   2   3\tSea  Green\n\
            4 5 6 sea-green\r\n7 8 9 Sea-green 2\n0 0 0 Untitled\n255 255 255\n\
            10 10 10 ...\n10 10 11 ...\n1 1 1 Sea green\n";
        let palette = read(text, "file").expect("a palette");
        assert_eq!(palette.name, "Tide");
        let colours: Vec<_> = palette
            .colours()
            .iter()
            .map(|c| (&*c.code, &*c.name))
            .collect();
        assert_eq!(
            colours,
            [
                ("sea-green", "Sea  Green"),
                ("sea-green-2", "sea-green"),
                ("sea-green-2-2", "Sea-green 2"),
                ("000000", "000000"),
                ("ffffff", "FFFFFF"),
                ("0a0a0a", "..."),
                ("0a0a0b", "..."),
                ("sea-green-3", "Sea green"),
            ]
        );
    }
}
