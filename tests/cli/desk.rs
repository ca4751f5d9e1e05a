//! `upbead desk`: the real server, asked over plain sockets.

mod anew;
mod answers;
mod client;
mod connections;
mod documents;
mod exported;
mod facts;
mod follow;
mod gauge;
#[cfg(target_os = "linux")]
mod given_up;
mod hostile_svg;
#[cfg(target_os = "linux")]
mod launched;
mod many;
#[cfg(target_os = "linux")]
mod memory;
mod opened;
mod previews;
mod proposed;
mod reach;
mod refused;
mod resized;
mod same_bytes;
mod verb;
