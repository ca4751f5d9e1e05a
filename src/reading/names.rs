//! What the names of a file stand for: colours of the palette.

use crate::error::{Error, Result};
use crate::palette::Palette;
pub(super) use crate::palette::read::cells::Position;
use crate::palette::read::shown;
use std::collections::HashMap;

/// Most unknown names that an error lists; the others are counted.
const MOST_LISTED: usize = 12;

/// The palette's colours by the names of a file; unknown ones are gathered, so that all of them
/// are told at once.
pub(super) struct Names<'a> {
    palette: &'a Palette,
    known: HashMap<String, usize>,
    unknown: Vec<Unknown>,
}

struct Unknown {
    name: String,
    at: Position,
    near: Vec<String>,
}

impl<'a> Names<'a> {
    /// With `map` going before the palette's own names: `navy=quay-58`.
    ///
    /// # Errors
    /// If an item of the map is not of that form, or names no colour of the palette.
    pub(super) fn new(palette: &'a Palette, map: &[String]) -> Result<Self> {
        let mut known = HashMap::new();
        for item in map {
            let item = item.trim();
            let pair = item
                .split_once('=')
                .map(|(name, to)| (name.trim(), to.trim()));
            let Some((name, to)) = pair.filter(|(name, to)| !name.is_empty() && !to.is_empty())
            else {
                return Err(Error::usage(format!("{} has no colour", shown(item)))
                    .option("map")
                    .hint("write a name, =, and a code or name of the palette: navy=quay-58"));
            };
            let at = palette.find(to).map_err(|error| error.of_option("map"))?;
            if known
                .insert(name.to_string(), at)
                .is_some_and(|old| old != at)
            {
                return Err(Error::usage(format!("{} stands twice", shown(name)))
                    .option("map")
                    .hint("give each name one colour"));
            }
        }
        Ok(Self {
            palette,
            known,
            unknown: Vec::new(),
        })
    }

    /// What the file itself says that a name stands for, unless that is no colour of the palette;
    /// the map of the call goes before it. Whether it is one.
    pub(super) fn explain(&mut self, name: &str, colour: &[&str]) -> bool {
        let found = colour.iter().find_map(|one| self.palette.find(one).ok());
        if let Some(at) = found {
            self.known.entry(name.to_string()).or_insert(at);
        }
        found.is_some()
    }

    /// Whether the name stands for a colour.
    pub(super) fn has(&mut self, name: &str) -> bool {
        self.find(name).is_some()
    }

    fn find(&mut self, name: &str) -> Option<usize> {
        if let Some(&at) = self.known.get(name) {
            return Some(at);
        }
        let at = self
            .palette
            .find(name)
            .ok()
            .or_else(|| self.by_code_behind(name))?;
        self.known.insert(name.to_string(), at);
        Some(at)
    }

    /// `jersey navy (quay-58)`, as the rows have it where two names are alike.
    fn by_code_behind(&self, name: &str) -> Option<usize> {
        let (name, code) = name.strip_suffix(')')?.rsplit_once('(')?;
        let mut colours = self.palette.colours().iter();
        let same = |other: &str| name.split_whitespace().eq(other.split_whitespace());
        colours.position(|colour| colour.code == code && same(&colour.name))
    }

    /// The colour's place in the palette; an unknown one is kept for [`Self::check`] and stands
    /// for the first colour until then.
    pub(super) fn of(&mut self, name: &str, at: Position) -> usize {
        if let Some(found) = self.find(name) {
            return found;
        }
        if !self.unknown.iter().any(|unknown| unknown.name == name) {
            let near = self.near(name);
            self.unknown.push(Unknown {
                name: name.to_string(),
                at,
                near,
            });
        }
        0
    }

    /// Codes of the colours that may be meant: those with a word that begins so, or alike ones.
    fn near(&self, name: &str) -> Vec<String> {
        // Past any list that is told, and a stranger's file may have thousands.
        if self.unknown.len() >= MOST_LISTED {
            return Vec::new();
        }
        let start = name.to_lowercase();
        let begins = |words: &str| {
            let words = words.to_lowercase();
            words
                .split_whitespace()
                .any(|word| word.starts_with(&start))
        };
        let colours = self.palette.colours().iter();
        let found = colours.filter(|colour| begins(&colour.name));
        let codes: Vec<String> = found.take(3).map(|colour| colour.code.clone()).collect();
        if !codes.is_empty() {
            return codes;
        }
        let near = self.palette.near(name).into_iter();
        near.map(String::from).collect()
    }

    /// Every name that stands for no colour, in one error.
    ///
    /// # Errors
    /// If there is one.
    pub(super) fn check(&mut self) -> Result<()> {
        self.unknown
            .sort_by_key(|unknown| (unknown.at.line, unknown.at.column));
        let Some(first) = self.unknown.first() else {
            return Ok(());
        };
        let what = match self.unknown.len() {
            1 => format!("{} is no code or name of the palette", shown(&first.name)),
            count => format!("{count} names are not in the palette"),
        };
        let named = |code: &String| match self.palette.find(code) {
            Ok(at) => format!("{code} {}", self.palette.colours()[at].name),
            Err(_) => code.clone(),
        };
        let mut error = first.at.blame(Error::new(what));
        for unknown in self.unknown.iter().take(MOST_LISTED) {
            let near: Vec<String> = unknown.near.iter().map(named).collect();
            let near = if near.is_empty() {
                String::new()
            } else {
                format!(": near {}", near.join(" or "))
            };
            let line = unknown.at.line;
            error = error.detail(format!("{} (line {line}){near}", shown(&unknown.name)));
        }
        if self.unknown.len() > MOST_LISTED {
            error = error.detail(format!("and {} more", self.unknown.len() - MOST_LISTED));
        }
        let code = first.near.first().map_or("CODE", String::as_str);
        let short = first.name.chars().count() <= 20 && !first.name.contains([',', ' ', ']']);
        let name = if short { first.name.as_str() } else { "NAME" };
        Err(error.hint(format!(
            "say which colour each one is: [--map {name}={code},..]"
        )))
    }
}
