//! What an exported file is made from.

use crate::chart::Chart;
use crate::desk::state::{NamedPalette, Picture};
use crate::error::{Error, Result};
use crate::picture::Decoding;
use crate::request::Named;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};
use std::path::Path;

/// What a file is made from.
pub struct Order<'a> {
    /// The chart.
    pub chart: &'a Chart,
    /// The name of the chart's file.
    pub name: &'a str,
    /// The palette, where one was given.
    pub palette: Option<&'a NamedPalette>,
    /// The picture for the cover or to compare with, where one was given.
    pub picture: Option<&'a Picture>,
    /// How the picture is decoded.
    pub decoding: &'a Decoding,
    /// The command line's options by their long names.
    pub options: &'a Map<String, Value>,
}

impl Order<'_> {
    /// The options of one kind.
    ///
    /// # Errors
    /// If there is an unknown one, or one with a value of the wrong type.
    pub fn options<T: DeserializeOwned>(&self) -> Result<T> {
        serde_json::from_value(Value::Object(self.options.clone())).map_err(|e| {
            Error::usage(format!("the options cannot be read: {e}"))
                .hint("give the command line's options by their long names")
        })
    }

    /// The options of a kind that has one group of them.
    ///
    /// # Errors
    /// If there is an unknown one, or one with a value that cannot be read or is out of range.
    pub fn request<T: DeserializeOwned>(&self) -> Result<T> {
        let mut named = Named::new(self.options.clone());
        let request = named.take()?;
        named.finish()?;
        Ok(request)
    }

    /// One option, if it is text.
    pub fn option(&self, name: &str) -> Option<&str> {
        self.options.get(name)?.as_str()
    }

    /// The chart's name without its ending.
    pub fn stem(&self) -> &str {
        let stem = Path::new(self.name).file_stem();
        stem.and_then(|stem| stem.to_str()).unwrap_or("band")
    }
}
