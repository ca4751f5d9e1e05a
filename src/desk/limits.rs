//! How much the desk reads, keeps and does at once. The values are our own: generous for one
//! person, and bounded for any other program that finds the port.

use crate::picture::MOST_DECODING_BYTES;
use std::time::Duration;

/// Most bytes of a picture file.
pub const MAX_PICTURE: usize = 64 << 20;
/// Most bytes of a palette file.
pub const MAX_PALETTE: usize = 4 << 20;
/// Most bytes of a request with a chart in it.
pub const MAX_CHART: usize = 64 << 20;
/// Most bytes of any other request.
pub const MAX_SMALL: usize = 64 << 10;
/// Most bytes of memory for all request bodies that are being read or worked on, but for the small
/// ones.
pub const UPLOAD_MEMORY: usize = 256 << 20;
/// Most bytes of memory for all pictures that are being decoded or worked on: a job whose picture
/// needs more than is free waits.
pub const PIXEL_MEMORY: usize = MOST_DECODING_BYTES as usize;
/// Ports that are tried before any free one: what a browser stores for the page belongs to its
/// port.
pub const PORTS: [u16; 4] = [24171, 24172, 24173, 24174];
/// Connections at once; for a further one, the one that has been idle longest is closed.
pub const CONNECTIONS: usize = 256;
/// Jobs that run at once.
pub const WORKERS: usize = 2;
/// Jobs that still run after their client has left, beside those of the workers: decoders that
/// cannot be interrupted.
pub const ABANDONED: usize = 4;
/// Jobs that wait for a worker; further ones are refused.
pub const QUEUE: usize = 256;
/// Pictures that are kept.
pub const KEPT_PICTURES: usize = 4;
/// Bytes of all pictures that are kept.
pub const KEPT_PICTURE_BYTES: usize = 128 << 20;
/// Bytes of decoded pixels that are kept, for the picture in use.
pub const KEPT_PIXEL_BYTES: usize = 160 << 20;
/// Palettes that are kept.
pub const KEPT_PALETTES: usize = 16;
/// Follow-along pages that are kept.
pub const KEPT_FOLLOW_PAGES: usize = 4;
/// Bytes of all follow-along pages that are kept.
pub const KEPT_FOLLOW_BYTES: usize = 64 << 20;
/// Lanes whose newest number is kept.
pub const KEPT_LANES: usize = 64;
/// Widest preview of a picture, in pixels.
pub const MAX_PREVIEW: u32 = 1200;

/// Longest time for the head of a request, from the connection or the answer before it.
pub const HEAD_DEADLINE: Duration = Duration::from_secs(5);
/// Longest pause inside a request body: on one machine nothing takes as long.
pub const BODY_PAUSE: Duration = Duration::from_secs(5);
/// Longest time for the first [`MAX_SMALL`] bytes of a request body, and again for its rest.
pub const BODY_DEADLINE: Duration = Duration::from_secs(20);
/// Longest time in which a client takes nothing of its answer.
pub const READER_PAUSE: Duration = Duration::from_secs(20);
/// Longest wait for memory or for a worker.
pub const QUEUE_WAIT: Duration = Duration::from_secs(60);
/// Longest wait for unfinished answers when the desk is closed.
pub const SHUTDOWN_WAIT: Duration = Duration::from_millis(500);
