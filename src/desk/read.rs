//! A chart file that the user opens: checked, and written as the program writes it.

use super::extract::{FileBody, QueryString};
use super::fields::{FileName, parse_chart};
use super::limits::MAX_CHART;
use super::response::{HandlerResult, json_response, to_json};
use super::state::Desk;
use super::uploads::Upload;
use crate::chart::write::write;
use crate::error::Result;
use crate::files;
use axum::extract::State;
use schemars::JsonSchema;
use serde::Serialize;
use std::path::Path;
use std::sync::Arc;

/// A chart that was opened.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ReadAnswer {
    /// Its file as the program writes it.
    text: String,
}

/// `POST read?name=N`.
pub async fn read(
    State(desk): State<Arc<Desk>>,
    QueryString(name): QueryString<FileName>,
    FileBody(upload): FileBody<MAX_CHART>,
) -> HandlerResult {
    let name = name.of_chart()?;
    let work = move || {
        let Upload {
            bytes,
            memory: _memory,
        } = upload;
        read_json(&name, bytes)
    };
    let json = desk.workers.run(Default::default(), work).await?;
    Ok(json_response(json))
}

fn read_json(name: &str, bytes: Vec<u8>) -> Result<Vec<u8>> {
    let text = files::as_text(bytes, "a chart").map_err(|error| error.file(Path::new(name)))?;
    let chart = parse_chart(&text, name)?;
    to_json(&ReadAnswer {
        text: write(&chart),
    })
}
