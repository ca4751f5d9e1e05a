//! A finished chart in the colours of another palette.

use super::extract::JsonBody;
use super::fields::{PaletteId, chart_name, parse_chart};
use super::limits::MAX_CHART;
use super::response::{HandlerResult, json_response, to_json};
use super::state::Desk;
use crate::chart::write::write;
use crate::error::Result;
use crate::output::json::document;
use crate::palette::Palette;
use crate::quantize::swap::swap as swap_palette;
use crate::report::swap::{Swap, SwapReport};
use axum::extract::State;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::path::Path;
use std::sync::Arc;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SwapBody {
    chart: String,
    name: Option<String>,
    palette: PaletteId,
}

/// A chart in the colours of another palette.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct SwapAnswer {
    /// The chart's file.
    text: String,
    /// What `upbead swap --json` prints.
    document: String,
    /// The same, to be read.
    told: SwapReport,
}

/// `POST swap`: the chart that `upbead swap` writes, and its report.
pub async fn swap(
    State(desk): State<Arc<Desk>>,
    request: JsonBody<SwapBody, MAX_CHART>,
) -> HandlerResult {
    let name = chart_name(request.name.as_deref())?;
    let named = desk.palettes.get(&request.palette.id)?;
    let work = move || request.run(&name, &named.palette);
    let json = desk.workers.run(Default::default(), work).await?;
    Ok(json_response(json))
}

impl SwapBody {
    fn run(&self, name: &str, palette: &Palette) -> Result<Vec<u8>> {
        let file = Path::new(name);
        let old = parse_chart(&self.chart, name)?;
        let swapped = swap_palette(&old, palette).map_err(|error| error.file(file))?;
        let report = SwapReport::new(&Swap {
            file: Some(file),
            old: &old,
            palette,
            swapped: &swapped,
        });
        to_json(&SwapAnswer {
            text: write(&swapped.chart),
            document: document(&report)?,
            told: report,
        })
    }
}
