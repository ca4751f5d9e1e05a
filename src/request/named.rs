//! Options by name in one flat JSON object, from which each group takes its own.

use crate::error::{Error, Result, nearest_names};
use serde::de::{DeserializeOwned, Deserializer, Visitor, value};
use serde::{Serialize, forward_to_deserialize_any};
use serde_json::{Map, Value};

/// Reads and writes a request of several groups as one flat JSON object.
macro_rules! flat_request {
    ($request:ident { $($group:ident),+ }) => {
        impl $request {
            /// Of options by name in one flat object.
            ///
            /// # Errors
            /// If a value cannot be read or is out of range, or a name is not an option.
            pub fn named(
                options: serde_json::Map<String, serde_json::Value>,
            ) -> $crate::error::Result<Self> {
                let mut named = $crate::request::Named::new(options);
                let request = Self { $($group: named.take()?),+ };
                named.finish()?;
                Ok(request)
            }
        }

        impl<'de> serde::Deserialize<'de> for $request {
            fn deserialize<D: serde::Deserializer<'de>>(
                deserializer: D,
            ) -> std::result::Result<Self, D::Error> {
                let options = serde::Deserialize::deserialize(deserializer)?;
                Self::named(options).map_err(serde::de::Error::custom)
            }
        }

        impl serde::Serialize for $request {
            fn serialize<S: serde::Serializer>(
                &self,
                serializer: S,
            ) -> std::result::Result<S::Ok, S::Error> {
                let mut all = serde_json::Map::new();
                $(all.extend(
                    $crate::request::given(&self.$group).map_err(serde::ser::Error::custom)?,
                );)+
                all.serialize(serializer)
            }
        }
    };
}
pub(crate) use flat_request;

/// The options of a group that are given, by name.
///
/// # Errors
/// None that can be met: a group is an object.
pub fn given(group: &impl Serialize) -> Result<Map<String, Value>> {
    match serde_json::to_value(group) {
        Ok(Value::Object(options)) => Ok(options),
        _ => Err(Error::new("internal error: options cannot be written")),
    }
}

/// Reads a request of one group from options by name in one flat object.
///
/// # Errors
/// If a value cannot be read or is out of range, or a name is not an option.
pub fn single<T: DeserializeOwned>(options: Map<String, Value>) -> Result<T> {
    let mut named = Named::new(options);
    let request = named.take()?;
    named.finish()?;
    Ok(request)
}

/// Options by name, and the names that groups have.
#[derive(Debug, Clone, Default)]
pub struct Named {
    all: Map<String, Value>,
    known: Vec<&'static str>,
}

impl Named {
    /// Of a JSON object.
    pub fn new(options: Map<String, Value>) -> Self {
        Self {
            all: options,
            known: Vec::new(),
        }
    }

    /// Takes the fields of one group; several groups may share an option.
    ///
    /// # Errors
    /// If a value cannot be read, or is out of its range; the error names the option.
    pub fn take<T: DeserializeOwned>(&mut self) -> Result<T> {
        let own = field_names::<T>();
        self.known.extend(own);
        let mut taken = Map::new();
        for &name in own {
            if let Some(value) = self.all.get(name) {
                taken.insert(name.to_string(), value.clone());
            }
        }
        serde_path_to_error::deserialize(Value::Object(taken)).map_err(|error| {
            let option = error.path().to_string();
            let message = error.into_inner().to_string();
            let (what, hint) = match message.split_once("\nhint: ") {
                Some((what, hint)) => (what.to_string(), Some(hint.to_string())),
                None => (message, None),
            };
            let refused = Error::usage(what).option(&option);
            match hint {
                Some(hint) => refused.hint(hint),
                None => refused,
            }
        })
    }

    /// Makes sure that every option was taken.
    ///
    /// # Errors
    /// If one was not: it is not an option here.
    pub fn finish(self) -> Result<()> {
        let mut names = self.all.keys();
        let Some(name) = names.find(|name| !self.known.contains(&name.as_str())) else {
            return Ok(());
        };
        let unknown = Error::usage(format!("'{name}' is not an option here"));
        Err(
            match nearest_names(name, self.known.iter().copied()).as_slice() {
                [] => unknown,
                near => unknown.hint(format!("did you mean {}?", near.join(" or "))),
            },
        )
    }

    /// What was not taken.
    pub fn rest(mut self) -> Map<String, Value> {
        self.all
            .retain(|name, _| !self.known.contains(&name.as_str()));
        self.all
    }
}

/// The names of a struct's fields, other names that it reads included.
fn field_names<T: DeserializeOwned>() -> &'static [&'static str] {
    let mut names: &'static [&'static str] = &[];
    // It always ends in an error: only the names are wanted.
    let _ = T::deserialize(FieldNames(&mut names));
    names
}

struct FieldNames<'a>(&'a mut &'static [&'static str]);

impl<'de> Deserializer<'de> for FieldNames<'_> {
    type Error = value::Error;

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> std::result::Result<V::Value, Self::Error> {
        Err(serde::de::Error::custom("only the names are wanted"))
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> std::result::Result<V::Value, Self::Error> {
        *self.0 = fields;
        self.deserialize_any(visitor)
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option
        unit unit_struct newtype_struct seq tuple tuple_struct map enum identifier ignored_any
    }
}
