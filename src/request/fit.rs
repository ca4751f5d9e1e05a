//! The rows for a ring size.

use super::json::optional;
use super::values::Count;
use super::{BeadRequest, COLUMNS, GaugeRequest, Named, UnitsRequest, is_none};
use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::ring::RingSize;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

/// Which rows close round a finger.
#[derive(Debug, Clone, Default, PartialEq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[non_exhaustive]
pub struct FitRequest {
    /// The size, and the band's columns.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub ring: RingRequest,
    /// The bead.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub bead: BeadRequest,
    /// The weaver's gauge.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub gauge: GaugeRequest,
    /// The units of the answer.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub units: UnitsRequest,
}

/// A ring size, and the columns of the band.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[cfg_attr(feature = "cli", command(next_help_heading = "Band"))]
#[serde(default)]
pub struct RingRequest {
    /// Ring size, such as us7, uk-n or 54.4mm
    ///
    /// Size to close round, in any case: us7, us6.5, uk-n, uk-n.5, iso54, jp14, eu14 (continental:
    /// circumference less 40), 54.4mm or 2.14in (inner circumference), d17.3mm or d0.68in (inside
    /// diameter). Rings from 8 to 40 mm inside are accepted. Needed, unless a chart's --rows are
    /// counted or a gauge is only to be remembered. Example: --size uk-n
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "SIZE", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub size: Option<RingSize>,

    /// Columns across the band [9]
    ///
    /// 3 to 1000; 9 is the default. They decide the width of the band, and a wide band feels
    /// tighter than a narrow one. An odd count has a centre column. Example: --columns 11
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "COLUMNS", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub columns: Option<Count>,
}

impl RingRequest {
    /// The columns.
    pub fn columns(&self) -> u32 {
        self.columns.map_or(COLUMNS, |count| count.0)
    }
}

impl FitRequest {
    /// Of options by name in one flat object.
    ///
    /// # Errors
    /// If a value cannot be read or is out of range, or a name is not an option.
    pub fn named(options: Map<String, Value>) -> Result<Self> {
        let mut named = Named::new(options);
        let request = Self {
            ring: named.take()?,
            bead: named.take()?,
            gauge: named.take()?,
            units: named.take()?,
        };
        named.finish()?;
        Ok(request)
    }

    /// The ring size.
    ///
    /// # Errors
    /// If none is given.
    pub fn size(&self) -> Result<&RingSize> {
        self.ring.size.as_ref().ok_or_else(|| {
            Error::usage("no ring size was given")
                .option("size")
                .hint("give one, such as [--size us7]")
        })
    }

    /// The bead.
    pub fn bead(&self) -> Bead {
        self.bead.bead()
    }

    /// The columns.
    pub fn columns(&self) -> u32 {
        self.ring.columns()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn read(value: Value) -> Result<FitRequest> {
        let Value::Object(options) = value else {
            panic!("not an object");
        };
        FitRequest::named(options)
    }

    #[test]
    fn options_are_read_by_name() {
        let request =
            read(json!({ "size": "us7", "columns": 11, "bead": 8, "prefer": "nearest" })).unwrap();
        assert_eq!(request.size().unwrap().to_string(), "us7");
        assert_eq!(
            (request.columns(), request.bead().name()),
            (11, "8/0".to_string())
        );
        let usual = read(json!({ "columns": null })).unwrap();
        assert_eq!(usual, FitRequest::default());
        assert_eq!((usual.columns(), usual.bead()), (9, Bead::default()));
    }

    #[test]
    fn an_error_names_its_option() {
        for (options, said) in [
            (
                json!({}),
                "--size: no ring size was given\nhint: give one, such as --size us7",
            ),
            (
                json!({ "size": "us99" }),
                "--size: 'us99' is out of range\nhint: write us0 to us34; \
              rings from 8 to 40 mm inside are accepted",
            ),
            (
                json!({ "size": "us7", "rows": 74 }),
                "'rows' is not an option here",
            ),
            (
                json!({ "gauge": "/etc/passwd" }),
                "'gauge' is not an option here",
            ),
        ] {
            let refused = read(options).and_then(|request| request.size().cloned());
            assert_eq!(refused.unwrap_err().to_string(), said);
        }
    }
}
