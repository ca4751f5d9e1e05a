//! The parts of a list or an object, read one by one: the first ones are kept, the rest only
//! counted, so that a huge file costs no memory.

use serde::de::{
    Deserialize, DeserializeSeed, Deserializer, IgnoredAny, MapAccess, SeqAccess, Visitor,
};
use serde_json::value::RawValue;
use std::fmt;
use std::marker::PhantomData;

/// The most fields of an object; no chart has more.
pub(super) const MOST_FIELDS: usize = 1000;

/// A list, of which at most as many items as requested are kept.
#[derive(Debug)]
pub struct List<T> {
    /// The first items.
    pub items: Vec<T>,
    /// How many there are.
    pub count: usize,
}

/// Reads a list, keeps the first items and counts the rest.
pub(super) struct ListOf<T> {
    most: usize,
    of: PhantomData<T>,
}

impl<T> ListOf<T> {
    pub(super) fn new(most: usize) -> Self {
        let of = PhantomData;
        Self { most, of }
    }
}

impl<'de, T: Deserialize<'de>> DeserializeSeed<'de> for ListOf<T> {
    type Value = List<T>;
    fn deserialize<D: Deserializer<'de>>(self, from: D) -> std::result::Result<List<T>, D::Error> {
        from.deserialize_seq(self)
    }
}

impl<'de, T: Deserialize<'de>> Visitor<'de> for ListOf<T> {
    type Value = List<T>;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a list")
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut from: A) -> std::result::Result<List<T>, A::Error> {
        let mut items = Vec::new();
        while items.len() < self.most {
            match from.next_element()? {
                Some(item) => items.push(item),
                None => break,
            }
        }
        let mut count = items.len();
        while from.next_element::<IgnoredAny>()?.is_some() {
            count += 1;
        }
        Ok(List { items, count })
    }
}

/// Reads an object's fields, keeps the first and counts the rest.
pub(super) struct MembersOf;

pub(super) type Members<'de> = List<(&'de RawValue, &'de RawValue)>;

impl<'de> DeserializeSeed<'de> for MembersOf {
    type Value = Members<'de>;
    fn deserialize<D: Deserializer<'de>>(
        self,
        from: D,
    ) -> std::result::Result<Self::Value, D::Error> {
        from.deserialize_map(self)
    }
}

impl<'de> Visitor<'de> for MembersOf {
    type Value = Members<'de>;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object")
    }
    fn visit_map<A: MapAccess<'de>>(
        self,
        mut from: A,
    ) -> std::result::Result<Self::Value, A::Error> {
        let mut items = Vec::new();
        while items.len() < MOST_FIELDS {
            match from.next_entry()? {
                Some(item) => items.push(item),
                None => break,
            }
        }
        let mut count = items.len();
        while from.next_entry::<IgnoredAny, IgnoredAny>()?.is_some() {
            count += 1;
        }
        Ok(List { items, count })
    }
}
