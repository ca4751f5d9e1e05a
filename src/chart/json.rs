//! JSON values that know where they stand in their file, so that each complaint can name the place.
//!
//! A value is a slice of the text, read on demand; nothing is built before its size is known, and
//! nothing recurses.

mod parts;

use crate::error::{Error, Result, nearest_names};
use crate::palette::read::shown;
use crate::units::grouped;
use parts::List;
use parts::{ListOf, MOST_FIELDS, MembersOf};
use serde::de::DeserializeSeed;
use serde_json::value::RawValue;

/// A JSON value as it is written in the text of its file.
#[derive(Debug, Clone, Copy)]
pub(super) struct Value<'a> {
    file: &'a str,
    raw: &'a str,
}

/// What a JSON string is called.
const TEXT: &str = "a text";

/// An object's fields, in the order of the file.
#[derive(Debug)]
pub(super) struct Fields<'a> {
    object: Value<'a>,
    fields: Vec<Field<'a>>,
    count: usize,
}

/// A field of an object.
#[derive(Debug)]
pub(super) struct Field<'a> {
    key: Value<'a>,
    /// Its name.
    pub(super) name: String,
    /// Its value.
    pub(super) value: Value<'a>,
}

impl<'a> Value<'a> {
    /// The whole file as one value.
    ///
    /// # Errors
    /// If the text is not JSON.
    pub(super) fn document(file: &'a str) -> Result<Self> {
        match serde_json::from_str::<&RawValue>(file) {
            Ok(value) => Ok(Self {
                file,
                raw: value.get(),
            }),
            Err(error) => Err(broken(file, &error)),
        }
    }

    fn part(&self, value: &'a RawValue) -> Self {
        Self {
            file: self.file,
            raw: value.get(),
        }
    }

    /// Adds this value's place to an error.
    pub(super) fn blame(&self, error: Error) -> Error {
        let (line, column) = place(self.file, self.offset());
        error.at(line, column)
    }

    fn offset(&self) -> usize {
        self.raw.as_ptr() as usize - self.file.as_ptr() as usize
    }

    /// The line that this value starts in, from 1.
    pub(super) fn line(&self) -> usize {
        place(self.file, self.offset()).0
    }

    /// `what` is this value and should be `wanted`.
    fn mistaken(&self, what: &str, wanted: &str) -> Error {
        const NUMBER: [u8; 11] = *b"-0123456789";
        let (is, hint) = match self.raw.as_bytes() {
            [b'[', ..] => ("a list".to_string(), None),
            [b'{', ..] => ("an object".to_string(), None),
            [b'"', first, ..] => {
                let hint = NUMBER.contains(first).then_some("take the quotes off");
                (format!("the text {}", shown(&self.text_or_raw())), hint)
            }
            [first, ..] if NUMBER.contains(first) => {
                let hint = (wanted == TEXT).then_some("put quotes round it");
                let digits = shown(self.raw);
                (format!("the number {}", digits.trim_matches('\'')), hint)
            }
            _ => (shown(self.raw), None),
        };
        self.blame(Error::new(format!("{what} is {is}, not {wanted}")))
            .hint(hint.unwrap_or("`upbead schema` says what each field holds"))
    }

    fn text_or_raw(&self) -> String {
        serde_json::from_str(self.raw).unwrap_or_else(|_| self.raw.to_string())
    }

    /// The text that `what` is.
    pub(super) fn text(&self, what: &str) -> Result<String> {
        if !self.raw.starts_with('"') {
            return Err(self.mistaken(what, TEXT));
        }
        // The document is known to be JSON; only half of a surrogate pair is left to refuse.
        serde_json::from_str(self.raw).map_err(|_| {
            self.blame(Error::new(format!("{what} holds half of a surrogate pair")))
                .hint("write the character itself, in UTF-8")
        })
    }

    /// The whole number from 0 that `what` is.
    pub(super) fn whole(&self, what: &str) -> Result<u32> {
        let digits = self.raw.bytes().all(|byte| byte.is_ascii_digit());
        if !digits {
            return Err(self.mistaken(what, "a whole number from 0"));
        }
        self.raw
            .parse()
            .map_err(|_| self.mistaken(what, "a number that can be counted to"))
    }

    /// The finite number of millimetres that `what` is.
    pub(super) fn millimetres(&self, what: &str) -> Result<f64> {
        // Only what starts as a JSON number: `parse` alone would take more.
        let number = self
            .raw
            .starts_with(|c: char| c == '-' || c.is_ascii_digit());
        let number = number.then(|| self.raw.parse().ok()).flatten();
        number
            .filter(|number: &f64| number.is_finite())
            .ok_or_else(|| self.mistaken(what, "a number of millimetres"))
    }

    /// The truth that `what` is.
    pub(super) fn truth(&self, what: &str) -> Result<bool> {
        match self.raw {
            "true" => Ok(true),
            "false" => Ok(false),
            _ => Err(self.mistaken(what, "true or false")),
        }
    }

    /// The list that `what` is, with at most `most` of its items.
    pub(super) fn list(&self, what: &str, most: usize) -> Result<List<Self>> {
        if !self.raw.starts_with('[') {
            return Err(self.mistaken(what, "a list"));
        }
        let list: List<&RawValue> = self.take(ListOf::new(most))?;
        Ok(List {
            items: list.items.into_iter().map(|item| self.part(item)).collect(),
            count: list.count,
        })
    }

    /// At most `most` of a list's items, if they all are whole numbers below 65536.
    pub(super) fn small_numbers(&self, most: usize) -> Option<List<u16>> {
        self.take(ListOf::new(most)).ok()
    }

    /// The fields of the object that `what` is.
    pub(super) fn fields(&self, what: &str) -> Result<Fields<'a>> {
        if !self.raw.starts_with('{') {
            return Err(self.mistaken(what, "an object"));
        }
        let members: List<(&RawValue, &RawValue)> = self.take(MembersOf)?;
        let mut fields = Vec::with_capacity(members.items.len());
        let mut names = std::collections::HashSet::new();
        for (key, value) in members.items {
            let (key, value) = (self.part(key), self.part(value));
            let name = key.text("a field's name")?;
            if !names.insert(name.clone()) {
                return Err(key
                    .blame(Error::new(format!("{} stands twice", shown(&name))))
                    .hint("keep one of them"));
            }
            fields.push(Field { key, name, value });
        }
        Ok(Fields {
            object: *self,
            fields,
            count: members.count,
        })
    }

    fn take<T>(&self, seed: impl DeserializeSeed<'a, Value = T>) -> Result<T> {
        let mut reader = serde_json::Deserializer::from_str(self.raw);
        seed.deserialize(&mut reader)
            .map_err(|error| self.blame(Error::new("this cannot be read").because(error)))
    }
}

impl<'a> Fields<'a> {
    /// The fields, in the order of the file.
    pub(super) fn all(&self) -> &[Field<'a>] {
        &self.fields
    }

    /// The value of `name`, if it is there.
    pub(super) fn find(&self, name: &str) -> Option<Value<'a>> {
        let field = self.fields.iter().find(|field| field.name == name)?;
        Some(field.value)
    }

    /// The value of `name`.
    pub(super) fn get(&self, name: &str) -> Result<Value<'a>> {
        self.find(name).ok_or_else(|| {
            self.object
                .blame(Error::new(format!("'{name}' is missing")))
                .hint("`upbead schema` says which fields a chart has")
        })
    }

    /// Refuses fields that are none of `known`, for they may be misspelt and would be lost.
    pub(super) fn only(&self, known: &[&str]) -> Result<()> {
        if let Some(field) = self.fields.iter().find(|f| !known.contains(&&*f.name)) {
            let error = Error::new(format!("no field {} is known here", shown(&field.name)));
            let near = nearest_names(&field.name, known.iter().copied());
            let hint = match near.first() {
                Some(name) => format!("did you mean '{name}'?"),
                None => format!("known here: {}", known.join(", ")),
            };
            return Err(field.key.blame(error).hint(hint));
        }
        self.bounded()
    }

    /// Refuses more fields than any chart has.
    pub(super) fn bounded(&self) -> Result<()> {
        if self.count <= MOST_FIELDS {
            return Ok(());
        }
        let error = Error::new(format!("{} fields are too many", grouped(self.count)));
        Err(self
            .object
            .blame(error)
            .hint(format!("keep to {MOST_FIELDS}")))
    }
}

/// Line and column, in characters, both from 1, of the byte at `offset`.
fn place(text: &str, offset: usize) -> (usize, usize) {
    let before = &text[..text.floor_char_boundary(offset)];
    let start = before.rfind('\n').map_or(0, |at| at + 1);
    let line = before.bytes().filter(|&byte| byte == b'\n').count() + 1;
    (line, before[start..].chars().count() + 1)
}

/// What is wrong with a text that is not JSON.
fn broken(text: &str, error: &serde_json::Error) -> Error {
    let at = |offset| place(text, offset);
    let begins = text.trim_start();
    if begins.is_empty() {
        return Error::new("the chart is empty").hint("`upbead chart` makes one from a picture");
    }
    if !begins.starts_with('{') {
        let (line, column) = at(text.len() - begins.len());
        return Error::new("this is not a chart: it does not start with '{'")
            .at(line, column)
            .hint("name a chart file, as `upbead chart` writes it");
    }
    let start: usize = text
        .split_inclusive('\n')
        .take(error.line().saturating_sub(1))
        .map(str::len)
        .sum();
    let words = error.to_string();
    let words = words.rsplit_once(" at line ").map_or(&*words, |(w, _)| w);
    let in_number = words == "invalid number" && start + error.column() >= text.len();
    if error.is_eof() || in_number {
        let (line, column) = at(text.len());
        return Error::new("the chart ends too soon")
            .at(line, column)
            .hint("the file was cut short: copy it again, or make the chart again");
    }
    let (line, column) = at(start + error.column().saturating_sub(1));
    Error::new(format!("the JSON is broken: {words}"))
        .at(line, column)
        .hint("correct it there, or make the chart again")
}
