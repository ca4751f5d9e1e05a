//! A band made of layers, from the lowest to the uppermost: the document that says so.
//!
//! | part | does |
//! |---|---|
//! | `read` | the text of a design file to layers, each complaint with its place |
//! | `write` | layers to text: the record that a chart keeps is a design file too |
//! | `flags` | the simple designs that options of the command line make |

mod flags;
mod read;
mod write;

pub use flags::{LayersRequest, name_of};

use super::{ChartRequest, PictureRequest, given};
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use crate::lettering::{Direction, Height, Lettering};
use crate::words::shown;

/// What a design file calls itself.
pub const FORMAT: &str = "upbead-design";
/// The version of the format.
pub const VERSION: u32 = 1;
/// Most layers of a design. Ours: more than any band shows, and each picture is decoded.
pub const MOST_LAYERS: usize = 32;
/// The JSON Schema of design files, draft 2020-12.
pub const SCHEMA: &str = include_str!("schema.json");
/// The name of a design in the record of a chart.
pub const RECORDED: &str = "design";

/// A band made of layers.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Design {
    /// The layers, the lowest first.
    pub layers: Vec<Layer>,
}

/// One layer of a band.
#[derive(Debug, Clone, PartialEq)]
pub enum Layer {
    /// The colour where no other layer is; only the lowest layer.
    Ground {
        /// Its code or unique name.
        colour: String,
    },
    /// A picture.
    Art(Box<Art>),
    /// Lettering.
    Letters(Box<Letters>),
}

/// A layer that shows a picture.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Art {
    /// The picture's file, relative to the design file.
    pub file: String,
    /// SHA-256 of the picture that a chart was made of, in hex.
    pub sha256: Option<String>,
    /// Where it goes.
    pub placed: Placed,
    /// How it lies there: rotation, scaling, crop, margin, position.
    pub picture: PictureRequest,
    /// How its beads are made; none as the artwork asks.
    pub treatment: Option<Treatment>,
    /// Codes or unique names of the colours that its beads may have; empty for all.
    pub colours: Vec<String>,
}

/// A layer of letters.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Letters {
    /// What is written.
    pub text: String,
    /// Code or unique name of their colour; none for the one that contrasts most with what is
    /// below.
    pub ink: Option<String>,
    /// Columns of a capital that reads along the band; none for the largest that fits.
    pub height: Option<Height>,
    /// Which way they read.
    pub direction: Direction,
    /// How often they stand on the band; none for once.
    pub repeats: Option<u32>,
    /// Where the middle of the first text is.
    pub at: At,
    /// Whether the beads around them show the ground.
    pub is_clear: bool,
}

/// Where a picture goes on the band.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Placed {
    /// As `place` of its picture says, or as the artwork asks.
    #[default]
    Band,
    /// Repeated along the edges.
    Border(Border),
    /// Once, at a row.
    Motif(Motif),
}

/// A repeating border.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Border {
    /// Along which edges.
    pub edges: Edges,
    /// Columns of each edge.
    pub columns: Option<u32>,
    /// Repeats along the band.
    pub repeats: Option<u32>,
}

/// The edges that a border runs along.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Edges {
    /// Both, mirror images of each other.
    #[default]
    Both,
    /// The left one, where column 1 is.
    Left,
    /// The right one: the mirror image of what the left one would have.
    Right,
}

/// A motif at a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Motif {
    /// Where its middle is.
    pub at: At,
    /// Columns that it may take, in the middle of the band or between its borders.
    pub columns: Option<u32>,
    /// Rows that it may take.
    pub rows: Option<u32>,
}

/// Where the middle of a motif is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum At {
    /// Opposite the seam.
    #[default]
    Front,
    /// At the seam.
    Back,
    /// At a row, counted from 1.
    Row(u32),
}

/// How the beads of a picture are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Treatment {
    /// Edges and thin lines stay whole; a drawing of flat colours keeps those.
    Crisp,
    /// Each bead is the mean of the picture on it.
    Continuous,
}

impl Edges {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Both, Self::Left, Self::Right];

    /// As design files write it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Both => "both",
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

impl Treatment {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Crisp, Self::Continuous];

    /// As design files write it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Crisp => "crisp",
            Self::Continuous => "continuous",
        }
    }
}

impl Art {
    /// What it is called: `border`, and its file.
    pub fn label(&self) -> String {
        format!("{} {}", self.kind(), self.file)
    }

    /// Its kind, as design files write it.
    pub const fn kind(&self) -> &'static str {
        match self.placed {
            Placed::Band => "picture",
            Placed::Border(_) => "border",
            Placed::Motif(_) => "motif",
        }
    }
}

impl Letters {
    /// How they are set on a band.
    ///
    /// # Errors
    /// If they are at the back of an open strip.
    pub fn on(&self, lattice: &Lattice) -> Result<Lettering> {
        let row = match self.at {
            At::Front => None,
            At::Row(row) => Some(row),
            At::Back if lattice.is_closed() => Some(lattice.rows()),
            At::Back => {
                return Err(Error::new(format!(
                    "the letters {} are at the back, and an open strip has no seam",
                    shown(&self.text)
                ))
                .hint("give the row of their middle in 'at', or leave out [--open]"));
            }
        };
        Ok(Lettering {
            text: self.text.clone(),
            height: self.height,
            direction: self.direction,
            repeats: self.repeats.unwrap_or(1),
            row,
        })
    }
}

impl Layer {
    /// What it is called in messages: its kind, and what it shows.
    pub fn label(&self) -> String {
        match self {
            Self::Ground { colour } => format!("ground {colour}"),
            Self::Art(art) => art.label(),
            Self::Letters(letters) => format!("letters {}", letters.text),
        }
    }
}

impl Design {
    /// The ground that it names.
    pub fn ground(&self) -> Option<&str> {
        match self.layers.first()? {
            Layer::Ground { colour } => Some(colour),
            Layer::Art(_) | Layer::Letters(_) => None,
        }
    }

    /// The layers that show pictures.
    pub fn art(&self) -> impl Iterator<Item = &Art> {
        self.layers.iter().filter_map(|layer| match layer {
            Layer::Art(art) => Some(art.as_ref()),
            Layer::Ground { .. } | Layer::Letters(_) => None,
        })
    }

    /// The one picture that it is all of, which is charted as any picture is.
    pub fn single(&self) -> Option<&Art> {
        let above = match self.layers.as_slice() {
            [Layer::Ground { .. }, above @ ..] => above,
            all => all,
        };
        let [Layer::Art(art)] = above else {
            return None;
        };
        let is_plain =
            art.placed == Placed::Band && art.treatment.is_none() && art.colours.is_empty();
        is_plain.then_some(art)
    }

    /// The request for the whole band: what is about a single picture stands in the layers.
    ///
    /// # Errors
    /// If the request says how a picture lies, or names a second ground.
    pub fn whole(&self, request: &ChartRequest) -> Result<ChartRequest> {
        let mut options = given(&request.picture)?;
        options.remove("ground");
        if request.colours.matching.is_some() {
            options.insert("match".to_string(), true.into());
        }
        if let Some(option) = options.keys().next() {
            return Err(Error::usage(
                "a design says for each of its layers how its picture is shown",
            )
            .option(option)
            .hint("leave it out, and say it in the layer"));
        }
        let mut whole = request.clone();
        if let Some(ground) = self.ground() {
            if request.picture.ground.is_some() {
                return Err(Error::usage("the design has a ground of its own")
                    .option("ground")
                    .hint("leave it out, or take the ground out of the design"));
            }
            whole.picture.ground = Some(ground.to_string());
        }
        Ok(whole)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn art(placed: Placed) -> Art {
        Art {
            file: "tide \"line\".png".to_string(),
            placed,
            ..Art::default()
        }
    }

    #[test]
    fn a_design_reads_back_as_it_was_written() {
        let border = Border {
            edges: Edges::Right,
            columns: Some(3),
            repeats: Some(12),
        };
        let motif = Motif {
            at: At::Row(12),
            columns: Some(7),
            rows: Some(20),
        };
        let picture = PictureRequest {
            rotate: Some("90".parse().unwrap()),
            crop: Some("1,2,3,4".parse().unwrap()),
            ..PictureRequest::default()
        };
        let design = Design {
            layers: vec![
                Layer::Ground {
                    colour: "quay-58".to_string(),
                },
                Layer::Art(Box::new(Art {
                    picture: PictureRequest {
                        place: Some("repeat:4".parse().unwrap()),
                        ..PictureRequest::default()
                    },
                    ..art(Placed::Band)
                })),
                Layer::Art(Box::new(Art {
                    picture: picture.clone(),
                    treatment: Some(Treatment::Crisp),
                    sha256: Some("0a".repeat(32)),
                    ..art(Placed::Border(border))
                })),
                Layer::Art(Box::new(Art {
                    picture,
                    treatment: Some(Treatment::Continuous),
                    colours: vec!["quay-01".to_string(), "tar black".to_string()],
                    ..art(Placed::Motif(motif))
                })),
            ],
        };
        assert_eq!(Design::read(&design.to_text()).unwrap(), design);
    }

    #[test]
    fn a_picture_alone_is_charted_as_any_picture_is() {
        let alone = |placed| Design {
            layers: vec![Layer::Art(Box::new(art(placed)))],
        };
        assert!(alone(Placed::Band).single().is_some());
        assert!(alone(Placed::Motif(Motif::default())).single().is_none());
    }
}
