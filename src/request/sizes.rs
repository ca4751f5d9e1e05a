//! Several ring sizes at once, and a finished chart in each of them.

use super::json::{flag, optional};
use super::{GaugeRequest, Named, is_none, is_off};
use crate::error::{Error, Result};
use crate::ring::{RingSize, Series, Step};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::str::FromStr;

/// Other sizes of a finished chart.
#[derive(Debug, Clone, Default, PartialEq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[non_exhaustive]
pub struct ResizeRequest {
    /// The sizes.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub sizes: SizesRequest,
    /// The weaver's gauge.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub gauge: GaugeRequest,
}

/// Several ring sizes.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[cfg_attr(feature = "cli", command(next_help_heading = "Sizes"))]
#[serde(default)]
pub struct SizesRequest {
    /// Sizes, such as us5..us9 or us6,us7.5
    ///
    /// Ring sizes as for `upbead fit`, separated by commas; FROM..TO stands for the sizes of that
    /// scale between the two, both included. At most 60. None by default; `upbead resize` needs
    /// some. Example: --sizes us5..us9,us10.5
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "SIZES", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub sizes: Option<Series>,

    /// Step of a range of sizes: 1 or 0.5 [1]
    ///
    /// Whole sizes (1, the default) or halves (0.5) between the ends of a range.
    /// Example: --sizes us6..us8 --step 0.5
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "STEP", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub step: Option<Step>,

    /// Take the nearest rows where a size is not exact
    ///
    /// Where repeats or a mirror image allow only some row counts, a size between them is left
    /// out; with this it gets the nearest count. Off by default, since that is another size.
    /// Example: --sizes us5..us9 --nearest
    #[cfg_attr(feature = "cli", arg(long))]
    #[serde(with = "flag", skip_serializing_if = "is_off")]
    pub nearest: bool,
}

impl FromStr for Series {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        Self::parse(text)
    }
}

impl FromStr for Step {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        Self::parse(text)
    }
}

impl ResizeRequest {
    /// Of options by name in one flat object.
    ///
    /// # Errors
    /// If a value cannot be read or is out of range, or a name is not an option.
    pub fn named(options: Map<String, Value>) -> Result<Self> {
        let mut named = Named::new(options);
        let request = Self {
            sizes: named.take()?,
            gauge: named.take()?,
        };
        named.finish()?;
        Ok(request)
    }
}

impl SizesRequest {
    /// The sizes, where any are given.
    ///
    /// # Errors
    /// If there are too many, or one of the other options is given without them.
    pub fn given(&self) -> Result<Option<Vec<RingSize>>> {
        let lonely = [("step", self.step.is_some()), ("nearest", self.nearest)];
        match (&self.sizes, lonely.iter().find(|(_, given)| *given)) {
            (Some(sizes), _) => sizes
                .sizes(self.step.unwrap_or_default())
                .map(Some)
                .map_err(|error| error.of_option("sizes")),
            (None, Some((option, _))) => Err(none_given().option(option)),
            (None, None) => Ok(None),
        }
    }

    /// The sizes.
    ///
    /// # Errors
    /// As [`SizesRequest::given`], or if none are given.
    pub fn needed(&self) -> Result<Vec<RingSize>> {
        self.given()?.ok_or_else(|| none_given().option("sizes"))
    }
}

fn none_given() -> Error {
    Error::usage("no ring sizes were given").hint("add some, such as [--sizes us5..us9]")
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn read(value: Value) -> Result<Vec<String>> {
        let Value::Object(options) = value else {
            panic!("not an object");
        };
        let sizes = ResizeRequest::named(options)?.sizes.needed()?;
        Ok(sizes.iter().map(RingSize::to_string).collect())
    }

    #[test]
    fn sizes_are_read_with_their_step() {
        assert_eq!(
            read(json!({ "sizes": "us6..us8" })).unwrap(),
            ["us6", "us7", "us8"]
        );
        let halves = json!({ "sizes": "us6..us7", "step": 0.5, "nearest": true });
        assert_eq!(read(halves).unwrap(), ["us6", "us6.5", "us7"]);
    }

    #[test]
    fn an_error_names_its_option() {
        let hint = "no ring sizes were given\nhint: add some, such as --sizes us5..us9";
        for (options, said) in [
            (json!({}), format!("--sizes: {hint}")),
            (json!({ "step": 0.5 }), format!("--step: {hint}")),
            (json!({ "nearest": true }), format!("--nearest: {hint}")),
            (
                json!({ "sizes": "us7", "step": 2 }),
                "--step: '2' is not a step between sizes\nhint: give 1 for whole sizes or 0.5 for \
                 halves"
                    .to_string(),
            ),
            (
                json!({ "sizes": "iso26..iso125" }),
                "--sizes: more than 60 sizes are too many at once\nhint: give them in several runs"
                    .to_string(),
            ),
        ] {
            assert_eq!(read(options).unwrap_err().to_string(), said);
        }
    }
}
