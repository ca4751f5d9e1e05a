//! JSON values that know where they stand in their file, so that each complaint can name the place.
//!
//! A value is a slice of the text, read on demand; nothing is built before its size is known, and
//! nothing recurses.

mod parts;

use crate::error::{Error, Result, nearest_names};
use crate::palette::read::shown;
use crate::units::grouped;
pub use parts::List;
use parts::{ListOf, MOST_FIELDS, MembersOf};
use serde::de::DeserializeSeed;
use serde_json::value::RawValue;

/// What a document is, for complaints about it.
#[derive(Debug)]
pub struct Kind {
    /// Its name, such as `chart`.
    pub name: &'static str,
    /// The command that prints its schema.
    pub schema: &'static str,
    /// What to do where another file was named.
    pub other: &'static str,
    /// What to do where the file is empty.
    pub empty: &'static str,
    /// What to do where the file was cut short.
    pub cut_short: &'static str,
    /// What to do where the JSON is broken.
    pub broken: &'static str,
}

/// A JSON value as it is written in the text of its file.
#[derive(Debug, Clone, Copy)]
pub struct Value<'a> {
    kind: &'static Kind,
    file: &'a str,
    raw: &'a str,
}

/// What a JSON string is called.
const TEXT: &str = "a text";

/// An object's fields, in the order of the file.
#[derive(Debug)]
pub struct Fields<'a> {
    object: Value<'a>,
    fields: Vec<Field<'a>>,
    count: usize,
}

/// A field of an object.
#[derive(Debug)]
pub struct Field<'a> {
    key: Value<'a>,
    /// Its name.
    pub name: String,
    /// Its value.
    pub value: Value<'a>,
}

impl<'a> Value<'a> {
    /// The whole file as one value.
    ///
    /// # Errors
    /// If the text is not JSON.
    pub fn document(kind: &'static Kind, file: &'a str) -> Result<Self> {
        match serde_json::from_str::<&RawValue>(file) {
            Ok(value) => Ok(Self {
                kind,
                file,
                raw: value.get(),
            }),
            Err(error) => Err(broken(kind, file, &error)),
        }
    }

    fn part(&self, value: &'a RawValue) -> Self {
        Self {
            raw: value.get(),
            ..*self
        }
    }

    /// Adds this value's place to an error.
    pub fn blame(&self, error: Error) -> Error {
        let (line, column) = place(self.file, self.offset());
        error.at(line, column)
    }

    fn offset(&self) -> usize {
        self.raw.as_ptr() as usize - self.file.as_ptr() as usize
    }

    /// The line that this value starts in, from 1.
    pub fn line(&self) -> usize {
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
            .hint(match hint {
                Some(hint) => hint.to_string(),
                None => format!("`{}` says what each field holds", self.kind.schema),
            })
    }

    fn text_or_raw(&self) -> String {
        serde_json::from_str(self.raw).unwrap_or_else(|_| self.raw.to_string())
    }

    /// Whether it is a text.
    pub fn is_text(&self) -> bool {
        self.raw.starts_with('"')
    }

    /// The value itself.
    ///
    /// # Errors
    /// If it is nested too deeply.
    pub fn json(&self) -> Result<serde_json::Value> {
        serde_json::from_str(self.raw)
            .map_err(|error| self.blame(Error::new("this cannot be read").because(error)))
    }

    /// The text that `what` is.
    pub fn text(&self, what: &str) -> Result<String> {
        if !self.is_text() {
            return Err(self.mistaken(what, TEXT));
        }
        // The document is known to be JSON; only half of a surrogate pair is left to refuse.
        serde_json::from_str(self.raw).map_err(|_| {
            self.blame(Error::new(format!("{what} holds half of a surrogate pair")))
                .hint("write the character itself, in UTF-8")
        })
    }

    /// The whole number from 0 that `what` is.
    pub fn whole(&self, what: &str) -> Result<u32> {
        let digits = self.raw.bytes().all(|byte| byte.is_ascii_digit());
        if !digits {
            return Err(self.mistaken(what, "a whole number from 0"));
        }
        self.raw
            .parse()
            .map_err(|_| self.mistaken(what, "a number that can be counted to"))
    }

    /// The finite number of millimetres that `what` is.
    pub fn millimetres(&self, what: &str) -> Result<f64> {
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
    pub fn truth(&self, what: &str) -> Result<bool> {
        match self.raw {
            "true" => Ok(true),
            "false" => Ok(false),
            _ => Err(self.mistaken(what, "true or false")),
        }
    }

    /// The list that `what` is, with at most `most` of its items.
    pub fn list(&self, what: &str, most: usize) -> Result<List<Self>> {
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
    pub fn small_numbers(&self, most: usize) -> Option<List<u16>> {
        self.take(ListOf::new(most)).ok()
    }

    /// The fields of the object that `what` is.
    pub fn fields(&self, what: &str) -> Result<Fields<'a>> {
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
    pub fn all(&self) -> &[Field<'a>] {
        &self.fields
    }

    /// The value of `name`, if it is there.
    pub fn find(&self, name: &str) -> Option<Value<'a>> {
        let field = self.fields.iter().find(|field| field.name == name)?;
        Some(field.value)
    }

    /// The value of `name`.
    pub fn get(&self, name: &str) -> Result<Value<'a>> {
        self.find(name).ok_or_else(|| {
            self.object
                .blame(Error::new(format!("'{name}' is missing")))
                .hint(format!(
                    "`{}` says which fields a {} has",
                    self.object.kind.schema, self.object.kind.name
                ))
        })
    }

    /// Refuses fields that are none of `known`, for they may be misspelt and would be lost.
    pub fn only(&self, known: &[&str]) -> Result<()> {
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
    pub fn bounded(&self) -> Result<()> {
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
fn broken(kind: &Kind, text: &str, error: &serde_json::Error) -> Error {
    let at = |offset| place(text, offset);
    let begins = text.trim_start();
    if begins.is_empty() {
        return Error::new(format!("the {} is empty", kind.name)).hint(kind.empty);
    }
    if !begins.starts_with('{') {
        let (line, column) = at(text.len() - begins.len());
        return Error::new(format!(
            "this is not a {}: it does not start with '{{'",
            kind.name
        ))
        .at(line, column)
        .hint(kind.other);
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
        return Error::new(format!("the {} ends too soon", kind.name))
            .at(line, column)
            .hint(kind.cut_short);
    }
    let (line, column) = at(start + error.column().saturating_sub(1));
    Error::new(format!("the JSON is broken: {words}"))
        .at(line, column)
        .hint(kind.broken)
}
