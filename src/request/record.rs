//! The options that a chart was made with, as its file keeps them: names and values as text.

use super::design::{self, Design};
use super::named::given;
use super::{
    COLOURWAY, CalmRequest, ChartRequest, ColourRequest, DistanceRequest, Named, PictureRequest,
};
use crate::error::{Error, Result};
use crate::picture::{Place, Position};
use serde_json::{Map, Value};

/// What a chart says of its making.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Record {
    /// The options.
    pub request: ChartRequest,
    /// Names and values that are no options: the palette, the size, and what others added.
    pub other: Vec<(String, String)>,
}

impl Record {
    /// The record as a chart's file has it: `other` first, then the options that are given.
    ///
    /// # Errors
    /// None that can be met: options are text, numbers and switches.
    pub fn write(&self) -> Result<Vec<(String, String)>> {
        let request = &self.request;
        let groups = [
            given(&request.picture)?,
            given(&request.colours)?,
            given(&request.view)?,
            given(&request.calm)?,
        ];
        let options = groups.into_iter().flatten().map(|(name, value)| {
            let text = match value {
                Value::String(text) => text,
                other => other.to_string(),
            };
            (name, text)
        });
        Ok(self.other.iter().cloned().chain(options).collect())
    }

    /// Reads a record; names that are no options stay in `other`.
    ///
    /// # Errors
    /// If an option's value cannot be read or is out of range, or options contradict one another.
    pub fn read(record: &[(String, String)]) -> Result<Self> {
        let mut named = Named::new(upgraded(record));
        let mut request = ChartRequest {
            picture: named.take::<PictureRequest>()?,
            colours: named.take::<ColourRequest>()?,
            view: named.take::<DistanceRequest>()?,
            calm: named.take::<CalmRequest>()?,
            ..ChartRequest::default()
        };
        // A motif without a position was in the middle.
        if request.picture.place == Some(Place::Motif) && request.picture.position.is_none() {
            request.picture.position = Some(Position::Middle);
        }
        request.check()?;
        let other = named.rest().into_iter().map(|(name, value)| {
            let text = value.as_str().map_or(value.to_string(), str::to_string);
            (name, text)
        });
        Ok(Self {
            request,
            other: other.collect(),
        })
    }
}

/// Makes sure that a value of a chart's record can be read, whatever the others are.
///
/// # Errors
/// If it cannot, or is out of range.
pub fn check_option(name: &str, value: &str) -> Result<()> {
    let record = [(name.to_string(), value.to_string())];
    let mut named = Named::new(upgraded(&record));
    let design = match name {
        design::RECORDED => Design::read(value).map(|_| ()),
        name if name == COLOURWAY[1] => check_digest(value),
        name if COLOURWAY.contains(&name) => check_name(value),
        _ => Ok(()),
    };
    let read = design
        .and_then(|()| named.take::<PictureRequest>())
        .and_then(|_| named.take::<ColourRequest>())
        .and_then(|colours| colours.colours.map_or(Ok(()), |_| colours.check()))
        .and_then(|()| named.take::<DistanceRequest>())
        .and_then(|_| named.take::<CalmRequest>());
    read.map(|_| ()).map_err(|error| {
        let refused = Error::new(format!(
            "the option '{name}' under 'made': {}",
            error.what()
        ));
        match error.remedy() {
            Some(hint) => refused.hint(hint),
            None => refused.hint("mend that option, or take it out"),
        }
    })
}

/// The SHA-256 of a colourway's design.
fn check_digest(value: &str) -> Result<()> {
    let digest = value.len() == 64 && value.bytes().all(|byte| byte.is_ascii_hexdigit());
    if digest {
        return Ok(());
    }
    Err(Error::new(format!("'{value}' is not a SHA-256"))
        .hint("write 64 hex digits, or take that option out"))
}

/// The name of a colourway or of its design.
fn check_name(value: &str) -> Result<()> {
    if value.trim().is_empty() {
        return Err(Error::new("the name is empty").hint("write a name, or take that option out"));
    }
    Ok(())
}

/// Records of version 0.1 counted the bands in `from_stock`, and `seen` meant refining.
fn upgraded(record: &[(String, String)]) -> Map<String, Value> {
    let mut options: Map<String, Value> = record
        .iter()
        .map(|(name, value)| (name.clone(), Value::String(value.clone())))
        .collect();
    let bands = options.get("from_stock").and_then(Value::as_str);
    if let Some(bands) = bands
        && bands.parse::<u32>().is_ok()
    {
        let bands = Value::String(bands.to_string());
        options.insert("make".to_string(), bands);
        options.insert("from_stock".to_string(), Value::Bool(true));
    }
    if options.contains_key("seen") {
        options.insert("refine".to_string(), Value::Bool(true));
    }
    options
}

#[cfg(test)]
mod tests {
    use super::*;

    fn record(options: &[(&str, &str)]) -> Vec<(String, String)> {
        let owned = |&(name, value): &(&str, &str)| (name.to_string(), value.to_string());
        options.iter().map(owned).collect()
    }

    #[test]
    fn a_record_reads_back_as_it_was_written() {
        let written = record(&[
            ("palette", "tin"),
            ("place", "motif"),
            ("rotate", "90"),
            ("position", "0.85,0,0.5"),
            ("frame", "0,2,97,136"),
            ("ground", "quay-58"),
            ("colours", "6"),
            ("from_stock", "true"),
            ("make", "3"),
            ("refine", "true"),
            ("distances", "300,700"),
            ("calm", "0.25"),
        ]);
        let read = Record::read(&written).unwrap();
        assert_eq!(read.write().unwrap(), written);
    }

    #[test]
    fn records_of_version_0_1_are_read() {
        let old = record(&[("turn", "90"), ("from_stock", "3"), ("seen", "700")]);
        let read = Record::read(&old).unwrap();
        assert_eq!(
            read.write().unwrap(),
            record(&[
                ("rotate", "90"),
                ("from_stock", "true"),
                ("make", "3"),
                ("refine", "true"),
                ("distances", "700"),
            ])
        );
    }

    #[test]
    fn values_out_of_range_are_not_accepted() {
        for (name, value) in [
            ("calm", "7"),
            ("calm", "-3"),
            ("calm", "NaN"),
            ("strength", "40"),
            ("seen", "0"),
            ("distances", "0"),
            ("colours", "0"),
            ("turn", "45"),
            ("crisp", "2"),
        ] {
            assert!(check_option(name, value).is_err(), "{name} {value}");
        }
        assert!(check_option("own words", "7").is_ok());
    }
}
