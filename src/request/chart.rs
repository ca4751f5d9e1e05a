//! A chart: all that decides it beside the picture and the palette.

use super::json::flag;
use super::named::{flat_request, given};
use super::{
    BandRequest, BeadRequest, CalmRequest, ColourRequest, DistanceRequest, GaugeRequest, Matching,
    PictureRequest, RingRequest, is_none, is_off,
};
use crate::error::{Error, Result};
use serde::{Deserialize, Serialize};

/// A chart of a picture, or a plain band.
#[derive(Debug, Clone, Default, PartialEq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[non_exhaustive]
pub struct ChartRequest {
    /// What the chart is called, and whether it has a picture.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub design: DesignRequest,
    /// The ring size, and the band's columns.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub ring: RingRequest,
    /// The rows that were counted.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub band: BandRequest,
    /// The bead.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub bead: BeadRequest,
    /// The weaver's gauge.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub gauge: GaugeRequest,
    /// Where the picture goes.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub picture: PictureRequest,
    /// Which colours.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub colours: ColourRequest,
    /// From where it is seen.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub view: DistanceRequest,
    /// How calm it is.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub calm: CalmRequest,
}

/// What the chart is called, and whether it has a picture.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct DesignRequest {
    /// What the design is called
    ///
    /// Kept in the chart and set above its picture. None by default. Example: --title "Harbour
    /// dusk"
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "WORDS", help_heading = "Output")
    )]
    #[serde(skip_serializing_if = "is_none")]
    pub title: Option<String>,

    /// A plain band of one colour, and no picture
    ///
    /// To design on by hand: every bead has the colour of --ground, or the lightest of the
    /// palette. Written to band.json by default. Off by default.
    /// Example: --plain --ground quay-58 --size us7
    #[cfg_attr(feature = "cli", arg(long, help_heading = "Band"))]
    #[serde(with = "flag", skip_serializing_if = "is_off")]
    pub plain: bool,
}

impl ChartRequest {
    /// Makes sure that its options do not contradict one another.
    ///
    /// # Errors
    /// If they do.
    pub fn check(&self) -> Result<()> {
        self.colours.check()?;
        self.picture.arrangement()?;
        if self.view.distances.is_some() && !self.colours.refine {
            return Err(Error::usage("nothing is refined for a distance")
                .option("distances")
                .hint("add [--refine]"));
        }
        if self.calm.simplify.is_some() && self.colours.matching == Some(Matching::Flat) {
            return Err(Error::usage("the colours of a drawing are not merged")
                .option("simplify")
                .hint("leave out [--simplify] or [--match flat]"));
        }
        if self.design.plain {
            self.check_plain()?;
        }
        Ok(())
    }

    /// A plain band has no picture to place, and one colour.
    fn check_plain(&self) -> Result<()> {
        let given = [
            given(&self.picture)?,
            given(&self.colours)?,
            given(&self.view)?,
            given(&self.calm)?,
        ];
        let mut options = given.iter().flat_map(|group| group.keys());
        match options.find(|option| *option != "ground") {
            None => Ok(()),
            Some(option) => Err(Error::usage("a plain band has no picture to do this with")
                .option(option)
                .hint("leave it out, or leave out [--plain]")),
        }
    }
}

flat_request!(ChartRequest {
    design,
    ring,
    band,
    bead,
    gauge,
    picture,
    colours,
    view,
    calm
});

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};

    fn read(value: Value) -> Result<ChartRequest> {
        let Value::Object(options) = value else {
            panic!("not an object");
        };
        ChartRequest::named(options)
    }

    #[test]
    fn options_are_read_as_numbers_text_or_lists() {
        let request = read(json!({
            "columns": 9, "size": "us7", "rotate": 90, "crop": [1, 2, 3, 4], "keep": ["a", "b"],
            "calm": "0.5", "refine": true, "distances": "700", "mirror": "both"
        }))
        .unwrap();
        assert_eq!(request.ring.columns(), 9);
        assert_eq!(request.picture.rotate.unwrap().to_string(), "90");
        assert_eq!(request.picture.crop.unwrap().to_string(), "1,2,3,4");
        assert_eq!(request.colours.keep, ["a", "b"]);
        request.check().unwrap();
    }

    #[test]
    fn an_error_names_its_option() {
        for (options, said) in [
            (
                json!({ "calm": 7 }),
                "--calm: a calm of 7 is out of range\nhint: give a number from 0 to 1",
            ),
            (
                json!({ "from_stok": true }),
                "'from_stok' is not an option here\nhint: did you mean from_stock?",
            ),
            (
                json!({ "open": "maybe" }),
                "--open: \"maybe\" is neither true nor false",
            ),
        ] {
            assert_eq!(read(options).unwrap_err().to_string(), said);
        }
    }

    #[test]
    fn a_plain_band_takes_nothing_of_a_picture() {
        let mut request = read(json!({ "plain": true, "ground": "quay-58" })).unwrap();
        request.check().unwrap();
        request.picture.crisp = Some("1".parse().unwrap());
        let refused = request.check().unwrap_err().to_string();
        assert_eq!(
            refused,
            "--crisp: a plain band has no picture to do this with\n\
             hint: leave it out, or leave out --plain"
        );
    }

    #[test]
    fn what_needs_another_option_says_so() {
        for options in [
            json!({ "strength": 0.5 }),
            json!({ "make": 3 }),
            json!({ "distances": 700 }),
            json!({ "position": "best" }),
            json!({ "colours": 0 }),
        ] {
            let request = read(options.clone()).unwrap();
            assert!(request.check().is_err(), "{options}");
        }
    }
}
