//! Numbers of reports, rounded when they are written and not before.

use serde::Serializer;

/// The number with three decimals.
pub(super) fn in_thousandths(number: f64) -> f64 {
    // Not -0.
    (number * 1000.0).round() / 1000.0 + 0.0
}

/// Rounds to three decimals; for `serialize_with`.
pub(super) fn thousandths<S: Serializer>(number: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64(in_thousandths(*number))
}

/// The same for a number that may be unknown.
pub(super) fn thousandths_of_known<S: Serializer>(
    number: &Option<f64>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    match number {
        Some(number) => thousandths(number, serializer),
        None => serializer.serialize_none(),
    }
}

/// Rounds to two decimals, as money.
pub(super) fn hundredths_of_known<S: Serializer>(
    number: &Option<f64>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    match number {
        Some(number) => serializer.serialize_f64((number * 100.0).round() / 100.0),
        None => serializer.serialize_none(),
    }
}
