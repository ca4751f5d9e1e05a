//! Option values in JSON: as one would type them, as numbers, or as lists.

use serde::{Deserialize, Deserializer};
use serde_json::Value;

/// The text of a value: `700`, `"700"` and `[300, 700]` are `700`, `700` and `300,700`.
fn text(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => Some(text.clone()),
        Value::Number(number) => Some(number.to_string()),
        Value::Bool(switch) => Some(switch.to_string()),
        Value::Array(items) => {
            let items: Option<Vec<String>> = items.iter().map(text).collect();
            Some(items?.join(","))
        }
        Value::Null | Value::Object(_) => None,
    }
}

/// An option that may be absent or null, read by `FromStr`; for `with`.
pub mod optional {
    use super::{Deserializer, Value, text};
    use crate::error::Error;
    use serde::de::{Deserialize, Error as _};
    use serde::ser::Serializer;
    use std::fmt::Display;
    use std::str::FromStr;

    /// Writes the value as text.
    ///
    /// # Errors
    /// Those of the serializer.
    pub fn serialize<S: Serializer>(
        value: &Option<impl Display>,
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        match value {
            Some(value) => serializer.collect_str(value),
            None => serializer.serialize_none(),
        }
    }

    /// Reads text, a number or a list.
    ///
    /// # Errors
    /// The value's own, with its hint on a second line.
    pub fn deserialize<'de, D, T>(deserializer: D) -> Result<Option<T>, D::Error>
    where
        D: Deserializer<'de>,
        T: FromStr<Err = Error>,
    {
        let value = Value::deserialize(deserializer)?;
        if value.is_null() {
            return Ok(None);
        }
        let text = text(&value)
            .ok_or_else(|| D::Error::custom("give text, a number or a list of them"))?;
        text.parse().map(Some).map_err(D::Error::custom)
    }
}

/// A switch: `true`, `false`, or either as text; for `with`.
pub mod flag {
    use super::{Deserialize as _, Deserializer, Value};
    use serde::de::Error as _;
    use serde::ser::Serializer;

    /// Writes `true` or `false`.
    ///
    /// # Errors
    /// Those of the serializer.
    pub fn serialize<S: Serializer>(switch: &bool, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_bool(*switch)
    }

    /// Reads `true` or `false`.
    ///
    /// # Errors
    /// If it is neither.
    pub fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<bool, D::Error> {
        match Value::deserialize(deserializer)? {
            Value::Bool(switch) => Ok(switch),
            Value::Null => Ok(false),
            Value::String(text) if text == "true" => Ok(true),
            Value::String(text) if text == "false" => Ok(false),
            other => Err(D::Error::custom(format!(
                "{other} is neither true nor false"
            ))),
        }
    }
}

/// Text items, as a list or separated by commas; for `with`.
pub mod list {
    use super::{Deserialize as _, Deserializer, Value, text};
    use serde::de::Error as _;
    use serde::ser::Serializer;

    /// Writes the items, separated by commas.
    ///
    /// # Errors
    /// Those of the serializer.
    pub fn serialize<S: Serializer>(items: &[String], serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&items.join(","))
    }

    /// Reads the items; empty ones are passed over.
    ///
    /// # Errors
    /// If they are neither a list nor text.
    pub fn deserialize<'de, D: Deserializer<'de>>(
        deserializer: D,
    ) -> Result<Vec<String>, D::Error> {
        let value = Value::deserialize(deserializer)?;
        if value.is_null() {
            return Ok(Vec::new());
        }
        let text = text(&value).ok_or_else(|| D::Error::custom("give a list of codes"))?;
        let items = text.split(',').map(str::trim);
        Ok(items
            .filter(|item| !item.is_empty())
            .map(str::to_string)
            .collect())
    }
}
