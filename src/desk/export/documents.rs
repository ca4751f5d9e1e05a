//! Documents for other programs: what the verbs print with `--json`, and the schemas.

use super::Order;
use crate::desk::anew::{AboutFit, fit_json};
use crate::desk::near::compared;
use crate::desk::typed::{Word, word};
use crate::desk::work::woven;
use crate::error::{Error, Result};
use crate::output::json::document;
use crate::output::{self, check::Checked, weave::Work};
use crate::palette::alike;
use crate::report::{FromWord, Gathered, HandWord, Span, below, check_thread};
use crate::request::CompareRequest;
use crate::vision::small::worn;
use crate::weave::check::check;
use crate::{chart, weave};
use serde::Deserialize;
use std::path::Path;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Passes {
    rows: Option<Word>,
    hand: Option<HandWord>,
    from: Option<FromWord>,
}

/// As `upbead weave --json`.
pub fn passes(order: &Order) -> Result<Vec<u8>> {
    let asked: Passes = order.options()?;
    let span = word(&asked.rows).map(Span::parse).transpose()?;
    let span = span.map(|span| span.within(&order.chart.lattice));
    let (weave, lengths) = woven(order.chart, asked.hand, asked.from.unwrap_or_default())?;
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
struct ForCheck {
    make: Option<Word>,
    thread: Option<Word>,
    length: Option<Word>,
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
    let asked: ForCheck = order.options()?;
    let gathered = Gathered {
        make: word(&asked.make),
        thread: word(&asked.thread),
        length: word(&asked.length),
        ..Gathered::default()
    };
    let palette = order.drawer.map(|drawer| &drawer.palette);
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
pub fn near(order: &Order) -> Result<Vec<u8>> {
    let options = CompareRequest::named(order.named())?;
    let Some(picture) = order.picture else {
        return Err(Error::usage("there is no picture to measure beside").hint("choose a picture"));
    };
    let report = compared(order.chart, order.name, picture, options)?;
    document(&report).map(String::into_bytes)
}

/// As `upbead fit --json`.
pub fn fit(order: &Order) -> Result<Vec<u8>> {
    fit_json(&order.options::<AboutFit>()?).map(String::into_bytes)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Below {
    below: Option<Word>,
}

/// As `upbead palette --json`.
pub fn palette(order: &Order) -> Result<Vec<u8>> {
    let asked: Below = order.options()?;
    let Some(drawer) = order.drawer else {
        return Err(Error::usage("there is no palette").hint("open a palette"));
    };
    palette_json(&drawer.palette, word(&asked.below)).map(String::into_bytes)
}

/// What `upbead palette --json` prints.
///
/// # Errors
/// If `typed` is no difference.
pub fn palette_json(palette: &crate::palette::Palette, typed: Option<&str>) -> Result<String> {
    let below = typed.map_or(Ok(crate::palette::HARD_TO_TELL), below)?;
    let tones = palette.tones();
    let pairs = alike(&tones, below);
    let worn = worn(&tones, below);
    Ok(output::palette::json(
        palette,
        &tones,
        &pairs,
        worn.as_deref(),
        below,
    ))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Nothing {}

/// As `upbead schema`.
pub fn of_charts(order: &Order) -> Result<Vec<u8>> {
    let Nothing {} = order.options()?;
    Ok(chart::SCHEMA.as_bytes().to_vec())
}

/// As `upbead schema --of weave`.
pub fn of_work(order: &Order) -> Result<Vec<u8>> {
    let Nothing {} = order.options()?;
    Ok(weave::SCHEMA.as_bytes().to_vec())
}
