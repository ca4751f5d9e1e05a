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

/// Units that a length is written in, in millimetres; each is tried before shorter ones that end
/// alike.
const UNITS: [(&str, f64); 11] = [
    ("mm", 1.0),
    ("cm", 10.0),
    ("m", 1000.0),
    ("inches", 25.4),
    ("inch", 25.4),
    ("in", 25.4),
    ("\"", 25.4),
    ("″", 25.4),
    ("yards", 914.4),
    ("yd", 914.4),
    ("yard", 914.4),
];

/// A length as it is typed, in millimetres where it has no unit: `54.4`, `54,4mm`, `1.32in`,
/// `1.32"`, `1 5/16 in`, `1.5yd`. None if it is no length, or not finite.
pub fn length(text: &str) -> Option<Mm> {
    let length = length_with_unit(text).or_else(|| number_or_fraction(text).map(Mm::new));
    length.filter(|length| length.get().is_finite())
}

/// As [`length()`], but a unit is needed; also what is no length, such as `nan mm`, for a range to
/// refuse.
pub fn length_with_unit(text: &str) -> Option<Mm> {
    let text = text.trim().to_lowercase();
    UNITS.iter().find_map(|(unit, mm)| {
        let number = number_or_fraction(text.strip_suffix(unit)?)?;
        Some(Mm::new(number * mm))
    })
}

/// `1.32`, `1,32`, `5/16`, `1 5/16`.
fn number_or_fraction(text: &str) -> Option<f64> {
    let text = text.trim().replace(',', ".");
    let (whole, fraction) = match text.rsplit_once([' ', '-']) {
        Some((whole, fraction)) if fraction.contains('/') => (whole.trim(), fraction),
        _ => ("0", text.as_str()),
    };
    match fraction.split_once('/') {
        Some((over, under)) => {
            let (whole, over): (u32, u32) = (whole.parse().ok()?, over.trim().parse().ok()?);
            let under = under
                .trim()
                .parse::<u32>()
                .ok()
                .filter(|under| *under > 0)?;
            Some(f64::from(whole) + f64::from(over) / f64::from(under))
        }
        None => fraction.parse().ok(),
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
    fn lengths_are_read_in_millimetres_inches_and_yards() {
        let mm = |text: &str| length(text).map(|length| (length.get() * 1e6).round() / 1e6);
        for (text, expected) in [
            ("54.4", 54.4),
            ("54,4 MM", 54.4),
            ("1.32in", 33.528),
            ("1.32\"", 33.528),
            ("1 5/16 in", 33.3375),
            ("1-5/16\"", 33.3375),
            ("3/4 inch", 19.05),
            ("2 inches", 50.8),
            ("1.5yd", 1371.6),
            ("2 yards", 1828.8),
            ("14cm", 140.0),
            ("1.4 m", 1400.0),
        ] {
            assert_eq!(mm(text), Some(expected), "{text}");
        }
        for text in ["", "in", "1/0in", "x", "inf", "NaN mm", "1 2", "--"] {
            assert_eq!(mm(text), None, "{text}");
        }
        assert_eq!(length_with_unit("54.4"), None);
    }

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
