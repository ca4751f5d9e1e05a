//! The desk: a page for designing by eye, served on this machine alone.
//!
//! The page draws and edits; what is computed, is computed here, by the same functions as on the command line. [`open`] takes the address,
//! [`Open::serve`] answers until it is told to stop. Nothing is written to any disk but a gauge, when she asks for it to be kept.
//!
//! | part | holds |
//! |---|---|
//! | `guard`, `token` | who is let in |
//! | `limits`, `body`, `bench`, `lanes`, `shelf` | how much at once, in what order, and what is kept |
//! | `begin`, `pictures`, `palettes`, `photo`, `chart`, `work`, `anew`, `near`, `gauge`, `follow`, `export` | one route or a few each |
//! | `assets` | the page's files |

mod anew;
mod answer;
mod assets;
mod begin;
mod bench;
mod body;
mod chart;
mod export;
mod follow;
mod gauge;
mod guard;
mod lanes;
mod limits;
mod near;
mod palettes;
mod photo;
mod pictures;
mod routes;
mod serve;
mod shelf;
mod token;
mod typed;
mod work;

pub use serve::{Open, open};

use crate::make::{Decoded, Memory};

/// What the page is given to begin with: files by name and text.
#[derive(Debug, Clone, Default)]
pub struct Begin {
    /// A chart to open.
    pub file: Option<(String, String)>,
    /// The owner's palette.
    pub palette: Option<(String, String)>,
}

/// All that the requests share.
struct Desk {
    port: u16,
    token: token::Token,
    begin: Begin,
    room: body::Room,
    bench: bench::Bench,
    lanes: lanes::Lanes,
    pictures: shelf::Shelf<pictures::Picture>,
    /// The pixels of the picture in use.
    in_use: shelf::Shelf<Decoded>,
    /// What the last charts found out.
    memory: Memory,
    palettes: shelf::Shelf<palettes::Drawer>,
    follows: shelf::Shelf<follow::Follow>,
}

impl Desk {
    fn new(port: u16, begin: Begin) -> crate::error::Result<Self> {
        Ok(Self {
            port,
            token: token::Token::new()?,
            begin,
            room: body::Room::new(),
            bench: bench::Bench::new(),
            lanes: lanes::Lanes::default(),
            pictures: shelf::Shelf::new("picture", limits::PICTURES, limits::PICTURE_BYTES),
            in_use: shelf::Shelf::new("picture", 1, limits::PIXEL_BYTES),
            memory: Memory::default(),
            palettes: shelf::Shelf::new(
                "palette",
                limits::PALETTES,
                limits::PALETTES * limits::PALETTE,
            ),
            follows: shelf::Shelf::new("page", limits::FOLLOWS, limits::FOLLOW_BYTES),
        })
    }
}
