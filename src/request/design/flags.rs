//! Layers that options of the command line add to a picture, without a design file.

use super::{Art, At, Border, Design, Layer, Letters, Motif, Placed, Treatment};
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use crate::lettering::{Direction, Height, layout};
use crate::palette::Palette;
use crate::request::{ChartRequest, Count, Crisp, Matching, PictureRequest};
use std::path::{Path, PathBuf};

/// Layers above the picture, and files of their own.
#[derive(Debug, Clone, Default, PartialEq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[cfg_attr(feature = "cli", command(next_help_heading = "Layers"))]
pub struct LayersRequest {
    /// Border along both edges, from a picture
    ///
    /// One repeat of the border, its left side at the left edge of the band and its top towards
    /// the end; the right edge has the mirror image. It repeats all round, an even number of rows
    /// each time. The motif stands between the borders. None by default; a design file can do
    /// more. Example: --border tide.png
    #[cfg_attr(feature = "cli", arg(long, value_name = "FILE"))]
    pub border: Option<PathBuf>,

    /// Columns of the border at each edge
    ///
    /// By default a quarter of the band's columns. Example: --border-columns 2
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "COLUMNS", allow_negative_numbers = true)
    )]
    pub border_columns: Option<Count>,

    /// Motif at the back, where the seam is
    ///
    /// A picture that is set once across the seam, opposite the front. None by default. Example:
    /// --back anchor.png
    #[cfg_attr(feature = "cli", arg(long, value_name = "FILE"))]
    pub back: Option<PathBuf>,

    /// Letters along the band, above all else
    ///
    /// Capitals drawn for this stitch, at the front: A to Z, 0 to 9, & . , - ' ! ? + ♥ ★, accented
    /// Latin, Greek and Cyrillic; small letters are set in capitals. Also on a plain band. None by
    /// default. Example: --letters "ANNA"
    #[cfg_attr(feature = "cli", arg(long, value_name = "WORDS"))]
    pub letters: Option<String>,

    /// Colour of the letters, by code or name
    ///
    /// By default the colour of the palette that contrasts most with what is around the letters.
    /// Example: --ink quay-01
    #[cfg_attr(feature = "cli", arg(long, value_name = "CODE"))]
    pub ink: Option<String>,

    /// Height of the letters: 5, 7 or 9 columns
    ///
    /// By default the largest that fits and leaves a column free at both edges. An accent takes
    /// two or three columns more. Example: --letters-height 5
    #[cfg_attr(feature = "cli", arg(long, value_name = "COLUMNS"))]
    pub letters_height: Option<Height>,

    /// Which way the letters read
    ///
    /// along: along the band, with row 1 at the left; across: letter above letter, the first one
    /// uppermost where row 1 is at the bottom. By default along. Example: --letters-direction
    /// across
    #[cfg_attr(feature = "cli", arg(long, value_name = "WAY"))]
    pub letters_direction: Option<Direction>,

    /// How often the letters stand on the band
    ///
    /// Evenly spread, or as nearly as beads allow. By default once. Example: --letters-repeat 2
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "TIMES", allow_negative_numbers = true)
    )]
    pub letters_repeat: Option<Count>,

    /// Ground around the letters
    ///
    /// The beads around the letters show the ground, so that a picture does not run into them. Off
    /// by default. Example: --letters "ANNA" --letters-clear
    #[cfg_attr(feature = "cli", arg(long))]
    pub letters_clear: bool,
}

impl LayersRequest {
    /// Makes sure that options which need another one have it.
    ///
    /// # Errors
    /// If one has not.
    pub fn check(&self) -> Result<()> {
        if let (None, Some(option)) = (&self.letters, self.about_letters()) {
            return Err(Error::usage("there are no letters for this")
                .option(option)
                .hint("add [--letters WORDS], or leave it out"));
        }
        match (self.border_columns, &self.border) {
            (Some(_), None) => Err(Error::usage("there is no border to give columns to")
                .option("border_columns")
                .hint("add [--border FILE], or leave it out")),
            (Some(Count(0)), _) => Err(Error::usage("a border has at least one column")
                .option("border_columns")
                .hint("give 1 or more")),
            _ => Ok(()),
        }
    }

    /// Makes sure that its letters can be set on a band.
    ///
    /// # Errors
    /// If a letter is not drawn, or they do not fit.
    pub fn check_on(&self, lattice: &Lattice) -> Result<()> {
        let Some(letters) = self.lettering() else {
            return Ok(());
        };
        let laid = letters.on(lattice).and_then(|own| layout(&own, lattice));
        laid.map(|_| ()).map_err(|error| error.of_option("letters"))
    }

    /// Makes sure that the palette has the colour of the letters.
    ///
    /// # Errors
    /// If it has not.
    pub fn check_ink(&self, palette: &Palette) -> Result<()> {
        let Some(ink) = &self.ink else {
            return Ok(());
        };
        let found = palette.find(ink).map(|_| ());
        found.map_err(|error| error.of_option("ink"))
    }

    /// The files of the layers, in the order of the layers.
    pub fn files(&self) -> impl Iterator<Item = &Path> {
        [&self.border, &self.back]
            .into_iter()
            .flatten()
            .map(PathBuf::as_path)
    }

    /// An option that is given.
    pub fn given(&self) -> Option<&'static str> {
        let letters = self.letters.as_ref().map(|_| "letters");
        self.with_pictures().or(letters).or(self.about_letters())
    }

    /// An option about a layer with a picture that is given.
    pub fn with_pictures(&self) -> Option<&'static str> {
        let named = [
            ("border", self.border.is_some()),
            ("border_columns", self.border_columns.is_some()),
            ("back", self.back.is_some()),
        ];
        named.into_iter().find_map(|(name, is)| is.then_some(name))
    }

    /// An option about letters that is given.
    fn about_letters(&self) -> Option<&'static str> {
        let named = [
            ("ink", self.ink.is_some()),
            ("letters_height", self.letters_height.is_some()),
            ("letters_direction", self.letters_direction.is_some()),
            ("letters_repeat", self.letters_repeat.is_some()),
            ("letters_clear", self.letters_clear),
        ];
        named.into_iter().find_map(|(name, is)| is.then_some(name))
    }

    fn lettering(&self) -> Option<Letters> {
        let text = self.letters.clone()?;
        Some(Letters {
            text,
            ink: self.ink.clone(),
            height: self.letters_height,
            direction: self.letters_direction.unwrap_or_default(),
            repeats: self.letters_repeat.map(|count| count.0),
            at: At::Front,
            is_clear: self.letters_clear,
        })
    }

    /// The design of a plain band with letters; none without letters.
    pub fn on_plain(&self) -> Option<Design> {
        let layer = Layer::Letters(Box::new(self.lettering()?));
        Some(Design {
            layers: vec![layer],
        })
    }

    /// The design of a picture with these layers, its pictures by name, and the request for the
    /// whole band: what it says of the picture is its layer's. None if there are no such layers.
    ///
    /// # Errors
    /// If the picture is to be crisp in part.
    pub fn design(
        &self,
        artwork: &str,
        request: &ChartRequest,
    ) -> Result<Option<(Design, ChartRequest)>> {
        if self.given().is_none() {
            return Ok(None);
        }
        let layer = |file: &str, placed| Art {
            file: file.to_string(),
            placed,
            ..Art::default()
        };
        let artwork = Art {
            treatment: treatment(request)?,
            picture: PictureRequest {
                ground: None,
                crisp: None,
                ..request.picture.clone()
            },
            ..layer(artwork, Placed::Band)
        };
        let border = self.border.as_deref().map(|file| {
            let border = Border {
                columns: self.border_columns.map(|count| count.0),
                ..Border::default()
            };
            layer(&name_of(file), Placed::Border(border))
        });
        let back = self.back.as_deref().map(|file| {
            let motif = Motif {
                at: At::Back,
                ..Motif::default()
            };
            layer(&name_of(file), Placed::Motif(motif))
        });
        let pictures = [Some(artwork), border, back].into_iter().flatten();
        let pictures = pictures.map(|art| Layer::Art(Box::new(art)));
        let letters = self.lettering().map(|own| Layer::Letters(Box::new(own)));
        let design = Design {
            layers: pictures.chain(letters).collect(),
        };
        let mut whole = request.clone();
        whole.colours.matching = None;
        whole.picture = PictureRequest {
            ground: request.picture.ground.clone(),
            ..PictureRequest::default()
        };
        Ok(Some((design, whole)))
    }
}

/// How the beads of the picture itself are made, as its options say.
fn treatment(request: &ChartRequest) -> Result<Option<Treatment>> {
    let crisp = request.picture.crisp.map(Crisp::get);
    match (crisp, request.colours.matching) {
        (Some(part), _) if part > 0.0 && part < 1.0 => Err(Error::usage(
            "beside other layers, a picture is crisp or it is not",
        )
        .option("crisp")
        .hint("give [--crisp 1], or leave it out")),
        (Some(part), _) if part > 0.0 => Ok(Some(Treatment::Crisp)),
        (Some(_), _) | (None, Some(Matching::Nearest)) => Ok(Some(Treatment::Continuous)),
        (None, Some(Matching::Flat)) => Ok(Some(Treatment::Crisp)),
        (None, None) => Ok(None),
    }
}

/// A file's name without its folder.
pub fn name_of(path: &Path) -> String {
    let name = path.file_name().unwrap_or(path.as_os_str());
    name.to_string_lossy().into_owned()
}
