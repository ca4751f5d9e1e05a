//! Documents for other programs: what the verbs print with `--json`, and the schemas.

use super::order::Order;
use crate::desk::compare::compare_picture;
use crate::desk::fields::TextOrNumber;
use crate::desk::palettes::palette_json;
use crate::desk::weave::woven;
use crate::error::{Error, Result};
use crate::output::json::document;
use crate::output::{self, check::Checked, weave::Work};
use crate::report::fit::FitReport;
use crate::report::{FromWord, Gathered, HandWord, Span, check_thread};
use crate::request::{CompareRequest, FitRequest};
use crate::weave::check::check;
use crate::{chart, weave};
use serde::Deserialize;
use std::path::Path;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WeaveOptions {
    rows: Option<TextOrNumber>,
    hand: Option<HandWord>,
    from: Option<FromWord>,
}

/// As `upbead weave --json`.
pub fn weave_json(order: &Order) -> Result<Vec<u8>> {
    let given: WeaveOptions = order.options()?;
    let span = given.rows.as_deref().map(Span::parse).transpose()?;
    let span = span.map(|span| span.within(&order.chart.lattice));
    let (weave, lengths) = woven(order.chart, given.hand, given.from.unwrap_or_default())?;
    let told = output::weave::json(&Work {
        chart: order.chart,
        weave: &weave,
        lengths: &lengths,
        file: Some(order.name),
        rows: span.transpose()?,
        keys: None,
    });
    Ok(told.into_bytes())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CheckOptions {
    make: Option<TextOrNumber>,
    thread: Option<TextOrNumber>,
    length: Option<TextOrNumber>,
}

/// As `upbead check`.
pub fn check_text(order: &Order) -> Result<Vec<u8>> {
    checked(order, output::check::text)
}

/// As `upbead check --json`.
pub fn check_json(order: &Order) -> Result<Vec<u8>> {
    checked(order, output::check::json)
}

fn checked(order: &Order, face: impl Fn(&Checked) -> String) -> Result<Vec<u8>> {
    let given: CheckOptions = order.options()?;
    let gathered = Gathered {
        make: given.make.as_deref(),
        thread: given.thread.as_deref(),
        length: given.length.as_deref(),
        ..Gathered::default()
    };
    let palette = order.palette.map(|named| &named.palette);
    let mut options = gathered.check()?;
    options.palette = palette;
    check_thread(order.chart, options.thread)?;
    let checked = Checked {
        file: Path::new(order.name),
        chart: order.chart,
        palette,
        findings: &check(order.chart, &options)?,
    };
    Ok(face(&checked).into_bytes())
}

/// As `upbead compare --json`.
pub fn compare(order: &Order) -> Result<Vec<u8>> {
    let request = CompareRequest::named(order.options.clone())?;
    let Some(picture) = order.picture else {
        return Err(Error::usage("there is no picture to compare with").hint("choose a picture"));
    };
    let report = compare_picture(order.chart, order.name, picture, request)?;
    document(&report).map(String::into_bytes)
}

/// As `upbead fit --json`.
pub fn fit(order: &Order) -> Result<Vec<u8>> {
    let request = FitRequest::named(order.options.clone())?;
    document(&FitReport::new(&request)?).map(String::into_bytes)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PaletteOptions {
    below: Option<TextOrNumber>,
}

/// As `upbead palette --json`.
pub fn palette(order: &Order) -> Result<Vec<u8>> {
    let given: PaletteOptions = order.options()?;
    let Some(named) = order.palette else {
        return Err(Error::usage("there is no palette").hint("open a palette"));
    };
    palette_json(&named.palette, given.below.as_deref()).map(String::into_bytes)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct NoOptions {}

/// As `upbead schema`.
pub fn chart_schema(order: &Order) -> Result<Vec<u8>> {
    let NoOptions {} = order.options()?;
    Ok(chart::SCHEMA.as_bytes().to_vec())
}

/// As `upbead schema --of weave`.
pub fn weave_schema(order: &Order) -> Result<Vec<u8>> {
    let NoOptions {} = order.options()?;
    Ok(weave::SCHEMA.as_bytes().to_vec())
}
