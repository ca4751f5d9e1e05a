//! Quantities with their unit in the type: built and read by name, printed with the unit.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Serialize, Serializer};
use std::borrow::Cow;
use std::fmt;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// A length in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Mm(f64);

impl Mm {
    /// A length of so many millimetres; any finite number.
    pub const fn new(millimetres: f64) -> Self {
        Self(millimetres)
    }

    /// The number of millimetres.
    pub const fn get(self) -> f64 {
        self.0
    }

    /// The larger of two lengths.
    pub fn max(self, other: Self) -> Self {
        if self < other { other } else { self }
    }

    /// The number of millimetres rounded to 1/1000, for files and JSON, where noise digits would
    /// only distract.
    pub fn rounded(self) -> f64 {
        (self.0 * 1000.0).round() / 1000.0
    }
}

/// `11.7 mm`, `0.51 mm`: at most two decimals, none that are zero.
impl fmt::Display for Mm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", decimals(self.0, 2))
    }
}

/// In reports: rounded to a thousandth of a millimetre.
impl Serialize for Mm {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.rounded())
    }
}

impl JsonSchema for Mm {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Mm".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "number" })
    }
}

impl Add for Mm {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}
impl Sub for Mm {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}
impl Neg for Mm {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}
impl Mul<f64> for Mm {
    type Output = Self;
    fn mul(self, times: f64) -> Self {
        Self(self.0 * times)
    }
}
impl Div<f64> for Mm {
    type Output = Self;
    fn div(self, by: f64) -> Self {
        Self(self.0 / by)
    }
}
impl Div for Mm {
    type Output = f64;
    fn div(self, by: Self) -> f64 {
        self.0 / by.0
    }
}

/// A mass in grams.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Grams(f64);

impl Grams {
    /// A mass of so many grams.
    pub const fn new(grams: f64) -> Self {
        Self(grams)
    }

    /// The number of grams.
    pub const fn get(self) -> f64 {
        self.0
    }
}

/// `2.5 g`: at most two decimals, none that are zero.
impl fmt::Display for Grams {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} g", decimals(self.0, 2))
    }
}

/// `number` with at most `most` decimals and no trailing zeros.
pub fn decimals(number: f64, most: usize) -> String {
    let text = format!("{number:.most$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        text.as_str()
    };
    match text {
        "-0" => "0".to_string(),
        _ => text.to_string(),
    }
}

/// A whole number with its thousands set apart by commas, from five digits on: `20,000`.
pub fn grouped(number: usize) -> String {
    let digits = number.to_string();
    if digits.len() < 5 {
        return digits;
    }
    let head = digits.len() % 3;
    let mut parts: Vec<&str> = Vec::new();
    if head > 0 {
        parts.push(&digits[..head]);
    }
    parts.extend(
        (head..digits.len())
            .step_by(3)
            .map(|at| &digits[at..at + 3]),
    );
    parts.join(",")
}

/// A length of thread to cut, rounded up so that it is enough: centimetres below a metre, metres
/// from there, whole ones from a thousand.
pub fn to_cut(length: Mm) -> String {
    match whole_cm(length) {
        short if short < 100.0 => format!("{short} cm"),
        long if long < 100_000.0 => format!("{} m", metres_to_cut(length)),
        far => format!("{} m", grouped((far / 100.0).ceil() as usize)),
    }
}

/// The same in metres with two decimals, without the unit.
pub fn metres_to_cut(length: Mm) -> String {
    format!("{:.2}", whole_cm(length) / 100.0)
}

/// Whole centimetres, rounded up; a millionth over one is rounding.
fn whole_cm(length: Mm) -> f64 {
    (length.get() / 10.0 - 1e-6).ceil().max(0.0)
}

/// `100 mm`: whole millimetres, rounded to the nearest; none below half a millimetre.
pub fn whole_mm(length: Mm) -> Option<String> {
    let mm = length.get().round();
    (mm > 0.0).then(|| format!("{} mm", grouped(mm as usize)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thread_to_cut_is_never_too_short() {
        assert_eq!(to_cut(Mm::new(353.9)), "36 cm");
        assert_eq!(to_cut(Mm::new(1385.5)), "1.39 m");
        assert_eq!(to_cut(Mm::new(1400.0)), "1.40 m");
        assert_eq!(whole_mm(Mm::new(72.13)).as_deref(), Some("72 mm"));
        assert_eq!(whole_mm(Mm::new(0.4)), None);
    }

    #[test]
    fn quantities_print_with_their_unit() {
        assert_eq!(Mm::new(11.7).to_string(), "11.7 mm");
        assert_eq!(Mm::new(0.514).to_string(), "0.51 mm");
        assert_eq!(Mm::new(59.0).to_string(), "59 mm");
        assert_eq!(Grams::new(2.5).to_string(), "2.5 g");
        assert_eq!(decimals(-0.001, 2), "0");
        assert_eq!(grouped(9999), "9999");
        assert_eq!(grouped(1_234_567), "1,234,567");
    }
}
