//! The beads of a typed row: counts and names in the order and form that people write them.

use crate::error::{Error, Result};
use crate::lattice::COLUMNS;
use crate::reading::layout::Run;
use crate::reading::names::{Names, Position};

/// A piece of a row.
#[derive(Debug, Clone, PartialEq)]
enum Piece {
    /// `3`, `3x`: what follows is counted.
    Count(usize),
    /// `x3` after a name: what stands before is counted.
    Times(usize),
    Word(String),
}

/// Words between a count and a name that say nothing.
const FILLERS: [&str; 4] = ["of", "x", "×", "*"];
/// Words between two runs.
const JOINTS: [&str; 4] = ["and", "then", "&", "+"];

/// The runs of a row whose beads begin at `at`.
///
/// # Errors
/// If a part is no count and name, or a count is out of range.
pub(super) fn read(text: &str, at: Position, names: &mut Names) -> Result<Vec<Run>> {
    let mut all = Vec::new();
    let mut offset = 0;
    for part in text.split([',', ';', '|']) {
        let blank = part.chars().take_while(|c| c.is_whitespace()).count();
        let place = Position {
            column: at.column + offset + blank,
            ..at
        };
        offset += part.chars().count() + 1;
        let part = part.trim();
        // `; *turn*`, as Markdown has remarks.
        if part.is_empty() || part.starts_with('*') && part.ends_with('*') {
            continue;
        }
        Part {
            place,
            names,
            text: part,
        }
        .read(&mut all)?;
    }
    if all.is_empty() {
        let error = Error::new("this row names no beads");
        return Err(at
            .blame(error)
            .hint("write counts and colours: 2 navy, 1 gold, 2 navy"));
    }
    Ok(all)
}

/// What stands between two commas.
struct Part<'a, 'b> {
    place: Position,
    names: &'a mut Names<'b>,
    text: &'a str,
}

impl Part<'_, '_> {
    fn read(mut self, all: &mut Vec<Run>) -> Result<()> {
        let pieces = self.pieces()?;
        let mut at = 0;
        while at < pieces.len() {
            let counted = match pieces[at] {
                Piece::Count(count) => Some(count),
                _ => None,
            };
            at += usize::from(counted.is_some());
            let begin = at;
            // A count that directly follows a count is a name, such as the code 04.
            while at < pieces.len() && matches!(pieces[at], Piece::Word(_)) {
                at += 1;
            }
            let name = joined(&pieces[begin..at]);
            let mut count = counted;
            if let (None, Some(Piece::Times(times))) = (counted, pieces.get(at)) {
                count = Some(*times);
                at += 1;
            }
            let Some(name) = name else {
                return Err(self.unreadable());
            };
            let count = count.unwrap_or(1);
            if count == 0 || count > COLUMNS.1 as usize {
                let error = Error::new(format!("{count} beads are no run of a row"));
                let hint = format!("a row has from 1 to {} beads", COLUMNS.1);
                return Err(self.place.blame(error).hint(hint));
            }
            let colour = self.colour(&name);
            all.push(Run { colour, count });
        }
        Ok(())
    }

    fn unreadable(&self) -> Error {
        let error = Error::new(format!(
            "{} is no count and colour",
            super::super::cut(self.text)
        ));
        self.place.blame(error).hint("write it as 2 navy")
    }

    /// The name as it stands, or without `beads` behind it.
    fn colour(&mut self, name: &str) -> usize {
        let bare = name.trim_end_matches('.');
        let shorter = [" beads", " bead"]
            .iter()
            .find_map(|end| bare.strip_suffix(end));
        for one in [Some(name), Some(bare), shorter].into_iter().flatten() {
            if self.names.has(one) {
                return self.names.of(one, self.place);
            }
        }
        self.names.of(bare, self.place)
    }

    fn pieces(&mut self) -> Result<Vec<Piece>> {
        let mut pieces = Vec::new();
        // The whole part may be a name, such as one with digits in it.
        if self.names.has(self.text) {
            return Ok(vec![Piece::Word(self.text.to_string())]);
        }
        for word in self.text.split_whitespace() {
            self.word(word, &mut pieces)?;
        }
        Ok(pieces)
    }

    /// A word as its pieces: `2N` is a count and a name, unless the palette calls a colour so.
    fn word(&mut self, word: &str, pieces: &mut Vec<Piece>) -> Result<()> {
        let after_word = matches!(pieces.last(), Some(Piece::Word(_)));
        let after_count = matches!(pieces.last(), Some(Piece::Count(_)));
        let lower = word.to_lowercase();
        if after_count && FILLERS.contains(&lower.as_str())
            || JOINTS.contains(&lower.as_str()) && !after_count
        {
            return Ok(());
        }
        if after_count && self.names.has(word) {
            pieces.push(Piece::Word(word.to_string()));
            return Ok(());
        }
        if let Some(times) = word.strip_prefix(['x', 'X', '×', '*']).and_then(whole)
            && after_word
        {
            pieces.push(Piece::Times(times));
            return Ok(());
        }
        self.glued(word, pieces);
        Ok(())
    }

    /// `2N`, `2xN`, `N×2`.
    fn glued(&mut self, word: &str, pieces: &mut Vec<Piece>) {
        let digits = word.bytes().take_while(u8::is_ascii_digit).count();
        let (count, rest) = word.split_at(digits);
        if let Some(count) = whole(count) {
            if rest.is_empty() {
                pieces.push(Piece::Count(count));
                return;
            }
            if !self.names.has(word) {
                let name = rest.strip_prefix(['×', '*']).unwrap_or(rest);
                let crossed = name
                    .strip_prefix(['x', 'X'])
                    .filter(|name| !name.is_empty());
                let name = crossed.filter(|_| !self.names.has(name)).unwrap_or(name);
                pieces.push(Piece::Count(count));
                if !["x", "X", ""].contains(&name) {
                    pieces.push(Piece::Word(name.to_string()));
                }
                return;
            }
        }
        let behind = word.rsplit_once(['×', '*']);
        match behind.and_then(|(name, count)| Some((name, whole(count)?))) {
            Some((name, count)) if !name.is_empty() && !self.names.has(word) => {
                pieces.push(Piece::Word(name.to_string()));
                pieces.push(Piece::Times(count));
            }
            _ => pieces.push(Piece::Word(word.to_string())),
        }
    }
}

/// A whole number; one that is too large is out of every range.
fn whole(text: &str) -> Option<usize> {
    let digits = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    digits.then(|| text.parse().unwrap_or(usize::MAX))
}

fn joined(words: &[Piece]) -> Option<String> {
    let words: Vec<&str> = words
        .iter()
        .filter_map(|piece| match piece {
            Piece::Word(word) => Some(word.as_str()),
            _ => None,
        })
        .collect();
    (!words.is_empty()).then(|| words.join(" "))
}
