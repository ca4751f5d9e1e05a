//! Numbers rounded as they are written.

use serde::Serializer;

/// Writes a number with three decimals; for `serialize_with`.
///
/// # Errors
/// Those of the serializer.
pub fn thousandths<S: Serializer>(number: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    // Not -0.
    serializer.serialize_f64((number * 1000.0).round() / 1000.0 + 0.0)
}
