//! Documents for other programs: what the verbs print with `--json`, and the schemas.

use super::order::Order;
use crate::desk::compare::compare_picture;
use crate::error::{Error, Result};
use crate::output;
use crate::output::json::document;
use crate::report::check::CheckReport;
use crate::report::fit::FitReport;
use crate::report::palette::PaletteReport;
use crate::report::weave::{WeaveReport, WovenBand};
use crate::request::{CompareRequest, FitRequest, PaletteRequest, WeaveRequest, single};
use crate::{chart, weave};
use serde::Deserialize;
use std::path::Path;

/// As `upbead weave --json`.
pub fn weave_json(order: &Order) -> Result<Vec<u8>> {
    let request = WeaveRequest::named(order.options.clone())?;
    request.check_json()?;
    let band = WovenBand::new(order.chart, &request, Some(order.name))?;
    Ok(output::weave::json(&WeaveReport::of(&band)).into_bytes())
}

/// As `upbead check`.
pub fn check_text(order: &Order) -> Result<Vec<u8>> {
    Ok(output::check::text(&check(order)?, Path::new(order.name)).into_bytes())
}

/// As `upbead check --json`.
pub fn check_json(order: &Order) -> Result<Vec<u8>> {
    document(&check(order)?).map(String::into_bytes)
}

fn check(order: &Order) -> Result<CheckReport> {
    let palette = order.palette.map(|named| &named.palette);
    CheckReport::new(&order.request()?, order.chart, palette)
}

/// As `upbead compare --json`.
pub fn compare(order: &Order) -> Result<Vec<u8>> {
    let request = CompareRequest::named(order.options.clone())?;
    let Some(picture) = order.picture else {
        return Err(Error::usage("there is no picture to compare with").hint("choose a picture"));
    };
    let report = compare_picture(
        order.chart,
        order.name,
        picture,
        request,
        order.decoding.clone(),
    )?;
    document(&report).map(String::into_bytes)
}

/// As `upbead fit --json`.
pub fn fit(order: &Order) -> Result<Vec<u8>> {
    let request = FitRequest::named(order.options.clone())?;
    document(&FitReport::new(&request)?).map(String::into_bytes)
}

/// As `upbead palette --json`.
pub fn palette(order: &Order) -> Result<Vec<u8>> {
    let request: PaletteRequest = single(order.options.clone())?;
    let Some(named) = order.palette else {
        return Err(Error::usage("there is no palette").hint("open a palette"));
    };
    let report = PaletteReport::new(&named.palette, &request, &order.decoding.cancel)?;
    document(&report).map(String::into_bytes)
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
