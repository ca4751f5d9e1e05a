//! Reading a gauge file, with the place of any mistake in it.

use super::gauge::{Gauge, Source};
use super::gauge_entry::{Entry, FORMAT, RawBead, VERSION};
use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::units::Mm;
use serde::Deserialize;
use serde_json::value::RawValue;

/// What decides whether the rest can be read at all.
#[derive(Deserialize)]
#[serde(expecting = "an object with format, version and gauges")]
struct Head<'a> {
    #[serde(borrow)]
    format: Option<&'a RawValue>,
    #[serde(borrow)]
    version: Option<&'a RawValue>,
}

/// The parts of a file as they stand in it, so that each can be named with its place.
#[derive(Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "an object with format, version and gauges"
)]
struct RawDocument<'a> {
    #[serde(rename = "format")]
    _format: String,
    #[serde(rename = "version")]
    _version: u64,
    #[serde(borrow)]
    gauges: Vec<&'a RawValue>,
}

#[derive(Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "an object with bead, pitch_mm and from"
)]
struct RawEntry<'a> {
    #[serde(borrow)]
    bead: &'a RawValue,
    #[serde(borrow, rename = "pitch_mm")]
    spacing_mm: &'a RawValue,
    #[serde(borrow)]
    column_mm: Option<&'a RawValue>,
    from: String,
}

/// The entries of the gauge file `text`, each checked.
pub(super) fn entries(text: &str) -> Result<Vec<Entry>> {
    check_head(text)?;
    let document: RawDocument = part(text, text)?;
    let mut entries: Vec<Entry> = Vec::new();
    for raw in document.gauges {
        let entry = entry(text, raw.get())?;
        if entries.iter().any(|other| other.bead == entry.bead) {
            return Err(wrong(text, raw.get(), "this bead has a gauge already"));
        }
        entries.push(entry);
    }
    Ok(entries)
}

/// Refuses other files, and files of later versions, before their unknown fields are met.
fn check_head(text: &str) -> Result<()> {
    let head: Head = part(text, text)?;
    if let Some(raw) = head.format {
        let format: String = part(text, raw.get())?;
        if format != FORMAT {
            let what = format!("the format '{format}' is not '{FORMAT}'");
            return Err(wrong(text, raw.get(), &what));
        }
    }
    if let Some(raw) = head.version {
        let version: u64 = part(text, raw.get())?;
        if version != VERSION {
            let what =
                format!("version {version} is not known; this upbead reads version {VERSION}");
            return Err(wrong(text, raw.get(), &what));
        }
    }
    Ok(())
}

/// Reads an entry of the file `text` and checks its bead and its gauge.
fn entry(text: &str, entry: &str) -> Result<Entry> {
    let raw: RawEntry = part(text, entry)?;
    let bead = part::<RawBead>(text, raw.bead.get())?;
    let entry = Entry {
        bead,
        spacing_mm: part(text, raw.spacing_mm.get())?,
        column_mm: raw.column_mm.map(|raw| part(text, raw.get())).transpose()?,
        from: raw.from,
    };
    let checked = Bead::new(
        Mm::new(bead.length_mm),
        Mm::new(bead.diameter_mm),
        Mm::new(bead.hole_mm),
    )
    .map_err(|error| wrong(text, raw.bead.get(), error.what()))?;
    let source = Source::Assumed;
    Gauge::of_measures(checked, Mm::new(entry.spacing_mm), None, source.clone())
        .map_err(|error| wrong(text, raw.spacing_mm.get(), error.what()))?;
    if let (Some(raw), Some(column)) = (raw.column_mm, entry.column_mm) {
        let column = Some(Mm::new(column));
        Gauge::of_measures(checked, checked.diameter, column, source)
            .map_err(|error| wrong(text, raw.get(), error.what()))?;
    }
    Ok(entry)
}

/// A part of the file `text` as JSON.
fn part<'t, T: Deserialize<'t>>(text: &str, part: &'t str) -> Result<T> {
    serde_json::from_str(part).map_err(|cause| {
        let before: usize = part
            .split_inclusive('\n')
            .take(cause.line().saturating_sub(1))
            .map(str::len)
            .sum();
        let here = before + cause.column().saturating_sub(1);
        let message = cause.to_string();
        let message = if cause.is_eof() {
            "it ends too early"
        } else {
            message.split(" at line ").next().unwrap_or(&message)
        };
        // The reader names Rust's types.
        let message = message
            .replace("expected f64", "expected a number")
            .replace("expected u64", "expected a whole number");
        let here = part.get(here..).unwrap_or("");
        wrong(text, here, &message).because(cause)
    })
}

/// An error in the file `text` where its part `here` begins; at its end for an empty part.
fn wrong(text: &str, here: &str, what: &str) -> Error {
    let offset = match here {
        "" => text.len(),
        _ => here.as_ptr() as usize - text.as_ptr() as usize,
    };
    let before = text.get(..offset).unwrap_or(text);
    let line = before.matches('\n').count() + 1;
    let column = before
        .rsplit('\n')
        .next()
        .map_or(0, |line| line.chars().count())
        + 1;
    Error::new(format!("not a gauge file: {what}"))
        .at(line, column)
        .hint("correct it there, or name another file with [--gauge]")
}
