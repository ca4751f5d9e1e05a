//! The band as it looks from a distance, from options by name.

use crate::error::Result;
use crate::output::drawing::SeenDrawing;
use crate::request::{DrawingRequest, Named, SeenRequest};
use serde_json::{Map, Value};

/// The band at some distances, from options by name.
///
/// # Errors
/// If one cannot be read, is out of range, or is not an option.
pub fn seen_drawing(options: Map<String, Value>) -> Result<SeenDrawing> {
    let mut named = Named::new(options);
    let drawing: DrawingRequest = named.take()?;
    let from: SeenRequest = named.take()?;
    named.finish()?;
    SeenDrawing::new(&drawing, &from)
}
