//! The desk: a page for designing by eye, served on this machine alone.
//!
//! The page draws and edits; what is computed, is computed here, by the same functions as on the command line. [`open`] takes the address,
//! [`Open::serve`] answers until it is told to stop. Nothing is written to any disk but a gauge, when she asks for it to be kept.
//!
//! | part | holds |
//! |---|---|
//! | `guard`, `token` | who is let in |
//! | `limits`, `body`, `bench`, `lanes`, `cache` | how much at once, in what order, and what is kept |
//! | `begin`, `pictures`, `palettes`, `photo`, `chart`, `work`, `anew`, `near`, `gauge`, `follow`, `export` | one route or a few each |
//! | `assets` | the page's files |

mod anew;
mod answer;
mod assets;
mod begin;
mod body;
mod cache;
mod chart;
mod export;
mod follow;
mod gauge;
mod guard;
mod latest;
mod limits;
mod near;
mod palettes;
mod photo;
mod pictures;
mod routes;
mod serve;
mod token;
mod typed;
mod work;
mod workers;

pub use serve::{Open, open};

use crate::pipeline::{Decoded, Memory};

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
    workers: workers::Workers,
    lanes: latest::Lanes,
    pictures: cache::Cache<pictures::Picture>,
    /// The pixels of the picture in use.
    in_use: cache::Cache<Decoded>,
    /// What the last charts found out.
    memory: Memory,
    palettes: cache::Cache<palettes::Drawer>,
    follows: cache::Cache<follow::Follow>,
}

impl Desk {
    fn new(port: u16, begin: Begin) -> crate::error::Result<Self> {
        Ok(Self {
            port,
            token: token::Token::new()?,
            begin,
            room: body::Room::new(),
            workers: workers::Workers::new(),
            lanes: latest::Lanes::default(),
            pictures: cache::Cache::new("picture", limits::PICTURES, limits::PICTURE_BYTES),
            in_use: cache::Cache::new("picture", 1, limits::PIXEL_BYTES),
            memory: Memory::default(),
            palettes: cache::Cache::new(
                "palette",
                limits::PALETTES,
                limits::PALETTES * limits::PALETTE,
            ),
            follows: cache::Cache::new("page", limits::FOLLOWS, limits::FOLLOW_BYTES),
        })
    }
}
