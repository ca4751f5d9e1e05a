//! The desk: a page for designing by eye, served on this machine only.
//!
//! The page draws and edits; everything that is computed is computed here, by the functions that
//! the command line uses too. [`Server::bind`] takes the address, [`Server::serve`] answers until
//! the process is told to stop. Nothing is written to disk except a gauge that the user asks to
//! keep, and for a moment the file that opens the page.
//!
//! | files | what they hold |
//! |---|---|
//! | `server`, `connections` | address, threads and shutdown; connections within their limits |
//! | `routes`, `launch` | which address runs which handler; the file that opens the page |
//! | `guard`, `token`, `headers` | who may send requests; security headers of every answer |
//! | `limits`, `memory` | how much is read and kept at once; memory that jobs share |
//! | `uploads` | request bodies within those limits |
//! | `workers`, `latest` | the worker pool; a newer request replaces older ones |
//! | `state`, `cache` | what all requests share; pictures, palettes and pages kept in memory |
//! | `extract`, `fields`, `response` | from a request to its values; from a result to an answer |
//! | `answers` | all answers as one type, for their schema |
//! | all others | one file for each route, or a few that belong together |

mod answers;
mod assets;
mod cache;
mod chart;
mod compare;
mod connections;
mod export;
mod extract;
mod facts;
mod fields;
mod fit;
mod follow;
mod gauge;
mod guard;
mod headers;
mod latest;
mod launch;
mod limits;
mod memory;
mod palettes;
mod photo;
mod pictures;
mod propose;
mod read;
mod refine;
mod resize;
mod response;
mod routes;
mod seen;
mod server;
mod start;
mod state;
mod swap;
mod token;
mod uploads;
mod workers;

pub use answers::Answers;
#[cfg(feature = "cli")]
pub use export::{EXPORT, serve_export};
pub use server::Server;
pub use state::{NamedText, StartFiles};
