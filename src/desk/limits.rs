//! How much the desk takes in, holds and does at once. All of it is ours: generous for one person, and bounded for whoever else knocks.

use std::time::Duration;

/// Bytes of a picture.
pub const PICTURE: usize = 64 << 20;
/// Bytes of a palette.
pub const PALETTE: usize = 4 << 20;
/// Bytes of a chart, alone or in a request.
pub const CHART: usize = 64 << 20;
/// Bytes of a request that carries neither.
pub const SMALL: usize = 64 << 10;
/// Bytes of all bodies that are being taken in or worked on.
pub const BODIES: usize = 256 << 20;
/// Ports that are tried before any free one: what a browser keeps for the page belongs to its port.
pub const PORTS: [u16; 4] = [24171, 24172, 24173, 24174];
/// Connections at once; more wait to be accepted.
pub const CONNECTIONS: usize = 96;
/// Pieces of work at once.
pub const WORKING: usize = 2;
/// Pieces of work that wait for their turn; more are sent away.
pub const WAITING: usize = 256;
/// Pictures that are kept.
pub const PICTURES: usize = 4;
/// Bytes of all pictures that are kept.
pub const PICTURE_BYTES: usize = 256 << 20;
/// Bytes of pixels that are kept for the picture in use.
pub const PIXEL_BYTES: usize = 256 << 20;
/// Palettes that are kept.
pub const PALETTES: usize = 16;
/// Pages to follow along that are kept.
pub const FOLLOWS: usize = 4;
/// Bytes of all pages to follow along that are kept.
pub const FOLLOW_BYTES: usize = 64 << 20;
/// Lanes that are remembered.
pub const LANES: usize = 64;
/// Widest preview of a picture, in pixels.
pub const PREVIEW: u32 = 1200;

/// A head has to be there by then, and a connection without a request ends.
pub const HEAD: Duration = Duration::from_secs(30);
/// Longest pause inside a body: on one machine nothing takes as long.
pub const PAUSE: Duration = Duration::from_secs(5);
/// Longest time for a whole body.
pub const BODY: Duration = Duration::from_secs(60);
/// Longest pause of a reader inside an answer.
pub const PICKED_UP: Duration = Duration::from_secs(20);
/// Longest wait for room or for a turn.
pub const TURN: Duration = Duration::from_secs(60);
/// Longest wait for answers under way when the desk is closed.
pub const FAREWELL: Duration = Duration::from_millis(500);
