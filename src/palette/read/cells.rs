//! CSV as rows of cells with their places (RFC 4180, and LF or CR alone as the end of a
//! line).

use crate::error::{Error, Result};
use std::iter::Peekable;
use std::str::Chars;

/// A place in a text, both counted from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Position {
    pub(crate) line: usize,
    pub(crate) column: usize,
}

impl Position {
    /// Adds this place to an error.
    pub(crate) fn blame(self, error: Error) -> Error {
        error.at(self.line, self.column)
    }
}

/// A cell of a row, without its quotes and the spaces round it.
#[derive(Debug)]
pub(crate) struct Cell {
    pub(crate) text: String,
    /// Its first character, the quote if there is one.
    pub(crate) at: Position,
}

/// A row, and where it ends.
#[derive(Debug)]
pub(crate) struct Record {
    pub(crate) cells: Vec<Cell>,
    pub(crate) end: Position,
}

impl Cell {
    /// Adds this cell's place to an error.
    pub(crate) fn blame(&self, error: Error) -> Error {
        self.at.blame(error)
    }
}

/// The rows of a text, one by one.
pub(crate) struct Records<'a> {
    letters: Peekable<Chars<'a>>,
    at: Position,
    after_cr: bool,
    separator: Separator,
}

/// What stands between the cells of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Separator {
    /// As RFC 4180 has it.
    Comma,
    /// As spreadsheets write it where the comma is the decimal mark.
    Semicolon,
    /// As spreadsheets copy cells.
    Tab,
}

impl Separator {
    /// The character.
    pub(crate) fn mark(self) -> char {
        match self {
            Self::Comma => ',',
            Self::Semicolon => ';',
            Self::Tab => '\t',
        }
    }

    /// As it is called.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Comma => "comma",
            Self::Semicolon => "semicolon",
            Self::Tab => "tab",
        }
    }
}

/// Most cells of a row.
const MOST_CELLS: usize = 1000;

impl<'a> Records<'a> {
    pub(crate) fn of(text: &'a str, separator: Separator) -> Self {
        let letters = text.chars().peekable();
        Self {
            letters,
            at: Position { line: 1, column: 1 },
            after_cr: false,
            separator,
        }
    }

    /// The next row that is not blank.
    pub(crate) fn next(&mut self) -> Option<Result<Record>> {
        while self.letters.peek().is_some() {
            match self.record() {
                Ok(record) if record.cells.iter().all(|cell| cell.text.is_empty()) => {}
                record => return Some(record),
            }
        }
        None
    }

    fn record(&mut self) -> Result<Record> {
        let mut cells = Vec::new();
        loop {
            let cell = self.cell()?;
            if cells.len() == MOST_CELLS {
                let error = Error::new(format!("a row has more than {MOST_CELLS} cells"));
                let mark = self.separator.word();
                let hint = format!("check the {mark}s of this line");
                return Err(cell.blame(error).hint(hint));
            }
            cells.push(cell);
            let end = self.at;
            match self.take() {
                Some(mark) if mark == self.separator.mark() => continue,
                Some('\r') if self.letters.peek() == Some(&'\n') => self.take(),
                _ => None,
            };
            return Ok(Record { cells, end });
        }
    }

    /// A cell up to the separator or line end after it, which is left.
    fn cell(&mut self) -> Result<Cell> {
        while let Some(&letter) = self.letters.peek()
            && self.is_blank(letter)
        {
            self.take();
        }
        let at = self.at;
        let text = match self.letters.peek() {
            Some('"') => self.quoted(at)?,
            _ => self.plain(),
        };
        let text = text.trim().to_string();
        Ok(Cell { text, at })
    }

    /// Whether a character before a cell is no part of it.
    fn is_blank(&self, letter: char) -> bool {
        letter.is_whitespace() && !matches!(letter, '\n' | '\r') && letter != self.separator.mark()
    }

    fn plain(&mut self) -> String {
        let mut text = String::new();
        while let Some(&letter) = self.letters.peek() {
            if matches!(letter, '\n' | '\r') || letter == self.separator.mark() {
                break;
            }
            text.push(letter);
            self.take();
        }
        text
    }

    fn quoted(&mut self, at: Position) -> Result<String> {
        let mut text = String::new();
        self.take();
        loop {
            match self.letters.peek() {
                None => {
                    return Err(at
                        .blame(Error::new("a quote is opened and never closed"))
                        .hint("close it, and write a quote within quotes twice"));
                }
                Some('"') => {
                    self.take();
                    if self.letters.peek() != Some(&'"') {
                        break;
                    }
                    text.push('"');
                    self.take();
                }
                Some(&letter) => {
                    text.push(letter);
                    self.take();
                }
            }
        }
        let after = self.at;
        match self.plain().trim() {
            "" => Ok(text),
            _ => Err(after
                .blame(Error::new("there is text after the closing quote"))
                .hint(format!(
                    "put a {} there, or write a quote within quotes twice",
                    self.separator.word()
                ))),
        }
    }

    /// Takes one character and keeps count of lines and columns; CR LF is one line end.
    fn take(&mut self) -> Option<char> {
        let letter = self.letters.next()?;
        match letter {
            '\n' if self.after_cr => {}
            '\n' | '\r' => {
                self.at = Position {
                    line: self.at.line + 1,
                    column: 1,
                };
            }
            _ => self.at.column += 1,
        }
        self.after_cr = letter == '\r';
        Some(letter)
    }
}
