//! `upbead desk`: the real server, asked over plain sockets.

mod anew;
mod client;
mod follow;
mod many;
mod refused;
mod same_bytes;
mod verb;
