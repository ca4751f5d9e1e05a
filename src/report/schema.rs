//! The JSON Schemas of reports.

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};

/// The schema of `T` as it is written: a field that is always written is required.
pub fn schema<T: JsonSchema>() -> Schema {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    settings.into_generator().into_root_schema_for::<T>()
}
