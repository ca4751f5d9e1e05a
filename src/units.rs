//! Quantities with their unit in the type: built and read by name, printed with the unit.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize, Serializer};
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

/// Millimetres of an inch: 25.4 exactly, by the international yard and pound agreement of 1959.
pub const INCH: f64 = 25.4;
/// Millimetres of a yard, 36 inches.
const YARD: f64 = 36.0 * INCH;

/// Units that a length is written in, in millimetres; each is tried before shorter ones that end
/// alike.
const UNITS: [(&str, f64); 11] = [
    ("mm", 1.0),
    ("cm", 10.0),
    ("m", 1000.0),
    ("inches", INCH),
    ("inch", INCH),
    ("in", INCH),
    ("\"", INCH),
    ("″", INCH),
    ("yards", YARD),
    ("yd", YARD),
    ("yard", YARD),
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

/// Units that lengths are written in for people; JSON is always in millimetres.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "lowercase")]
pub enum LengthUnits {
    /// Millimetres, and metres of thread.
    #[default]
    Mm,
    /// The same, with inches and yards beside them.
    Inch,
}

impl LengthUnits {
    /// `words` in these units. Lengths are worded in millimetres and in centimetres or metres of
    /// thread to cut; with inches `17.33 mm wide` becomes `17.33 mm (0.682 in) wide`, and `1.42 m`
    /// becomes `1.42 m (1.56 yd)`. Numbers without a unit behind them stay.
    pub fn beside(self, words: &str) -> String {
        let mut text = String::with_capacity(words.len());
        let mut rest = words;
        if self == Self::Inch {
            while let Some((end, other)) = first_length(rest) {
                text += &rest[..end];
                text += &format!(" ({other})");
                rest = &rest[end..];
            }
        }
        text + rest
    }
}

/// Where the first length in `words` ends, and what it is in inches or yards.
fn first_length(words: &str) -> Option<(usize, String)> {
    words.match_indices(' ').find_map(|(at, _)| {
        let unit = words[at + 1..]
            .split(|c: char| !c.is_alphanumeric())
            .next()?;
        let convert: fn(f64) -> String = match unit {
            "mm" => inches,
            "cm" => |cm| decimals(up(cm * 10.0 / INCH), 2),
            "m" => |metres| yards(metres * 1000.0),
            _ => return None,
        };
        let name = if unit == "m" { "yd" } else { "in" };
        let numbers = numbers_before(&words[..at], convert)?;
        Some((at + 1 + unit.len(), format!("{numbers} {name}")))
    })
}

/// The number that `words` end in, or several as in `1.3 × 1.6` and `12 to 14`, converted.
fn numbers_before(words: &str, convert: fn(f64) -> String) -> Option<String> {
    let start = words
        .rfind(|c: char| !c.is_ascii_digit() && c != '.' && c != ',')
        .map_or(0, |at| {
            at + words[at..].chars().next().map_or(1, char::len_utf8)
        });
    let number: f64 = words[start..].replace(',', "").parse().ok()?;
    let converted = convert(number);
    let before = [" × ", " to "].into_iter().find_map(|between| {
        let words = words[..start].strip_suffix(between)?;
        Some(format!("{}{between}", numbers_before(words, convert)?))
    });
    Some(before.unwrap_or_default() + &converted)
}

/// Inches to 1/100, below one inch to 1/1000.
fn inches(mm: f64) -> String {
    let inches = mm / INCH;
    decimals(inches, if inches < 1.0 { 3 } else { 2 })
}

/// Yards of thread, rounded up to 1/100.
fn yards(mm: f64) -> String {
    format!("{:.2}", up(mm / YARD))
}

/// Rounded up to 1/100; a millionth over is rounding.
fn up(number: f64) -> f64 {
    (number * 100.0 - 1e-6).ceil() / 100.0
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

/// The metres to cut in yards, with two decimals and without the unit.
pub fn yards_to_cut(length: Mm) -> String {
    yards(whole_cm(length) * 10.0)
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
    fn inches_stand_beside_millimetres_and_yards_beside_metres() {
        for (words, expected) in [
            ("17.33 mm wide", "17.33 mm (0.682 in) wide"),
            ("25.4 mm, 1000 mm.", "25.4 mm (1 in), 1000 mm (39.37 in)."),
            (
                "11.7 × 57.6 mm, size 11/0",
                "11.7 × 57.6 mm (0.461 × 2.27 in), size 11/0",
            ),
            ("from 12 to 14 mm", "from 12 to 14 mm (0.472 to 0.551 in)"),
            ("cut 1.42 m of thread", "cut 1.42 m (1.56 yd) of thread"),
            ("two pieces of 36 cm", "two pieces of 36 cm (14.18 in)"),
            ("20,000 mm", "20,000 mm (787.4 in)"),
            (
                "row 4 made of mm, 3 more, 4 mmm",
                "row 4 made of mm, 3 more, 4 mmm",
            ),
        ] {
            assert_eq!(LengthUnits::Inch.beside(words), expected);
            assert_eq!(LengthUnits::Mm.beside(words), words);
        }
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
