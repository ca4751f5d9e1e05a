//! Request bodies: each within its size and time limits, all together within
//! [`UPLOAD_MEMORY`](super::limits::UPLOAD_MEMORY).

use super::limits::{BODY_DEADLINE, BODY_PAUSE, MAX_SMALL, UPLOAD_MEMORY};
use super::memory::Memory;
use super::response::{Refusal, refuse};
use axum::body::{Body, HttpBody};
use axum::extract::Request;
use axum::http::{StatusCode, header};
use std::future::poll_fn;
use std::pin::Pin;
use tokio::sync::OwnedSemaphorePermit;
use tokio::time::timeout;
use tower_http::timeout::{TimeoutBody, TimeoutError};

/// A body is held as bytes and, once read, as a value.
const COPIES: usize = 2;

/// Memory for request bodies.
pub struct Uploads(Memory);

/// A body and its share of the memory, which is free again when this is dropped.
pub struct Upload {
    /// The bytes.
    pub bytes: Vec<u8>,
    /// The memory, to be held as long as the bytes or what was read from them.
    pub memory: OwnedSemaphorePermit,
}

impl Uploads {
    /// With all memory free.
    pub fn new() -> Self {
        Self(Memory::new(
            UPLOAD_MEMORY,
            "the desk is receiving too much at once",
        ))
    }

    /// Reads a body of at most `most` bytes.
    ///
    /// Memory is reserved only once more than a small part has come: a client that sends nothing
    /// keeps no other waiting.
    ///
    /// # Errors
    /// 413 if it is larger, 408 if it takes too long, 400 if it breaks off, 503 if there is no
    /// memory for it.
    pub async fn read(&self, request: Request, most: usize) -> Result<Upload, Refusal> {
        let declared = request
            .headers()
            .get(header::CONTENT_LENGTH)
            .and_then(|length| length.to_str().ok()?.parse::<u64>().ok());
        // Nothing is stored of a body that is known to be too large.
        let stored = match declared {
            Some(length) if length > most as u64 => 0,
            Some(length) => length as usize,
            None => most,
        };
        let mut incoming = Incoming {
            body: Body::new(TimeoutBody::new(BODY_PAUSE, request.into_body())),
            bytes: Some(Vec::with_capacity(stored.min(MAX_SMALL))),
            most: stored,
        };
        let small = incoming.read(MAX_SMALL).await?;
        let reserved = if small { 0 } else { stored * COPIES };
        let memory = self.0.reserve(reserved).await?;
        if let (false, Some(bytes)) = (small, &mut incoming.bytes) {
            bytes.reserve_exact(stored.saturating_sub(bytes.len()));
            incoming.read(usize::MAX).await?;
        }
        match incoming.bytes {
            Some(bytes) => Ok(Upload { bytes, memory }),
            None => Err(too_large(most)),
        }
    }
}

/// A body, and what has come of it.
struct Incoming {
    body: Body,
    /// None once it has more than `most` bytes: the rest is read and dropped, because a browser
    /// that is answered while it still sends reports a broken connection instead of the answer.
    bytes: Option<Vec<u8>>,
    most: usize,
}

impl Incoming {
    /// Reads until more than `enough` bytes have come, or the body ends. Returns whether it ended.
    async fn read(&mut self, enough: usize) -> Result<bool, Refusal> {
        let reading = async {
            while self
                .bytes
                .as_ref()
                .is_none_or(|bytes| bytes.len() <= enough)
            {
                let frame = poll_fn(|context| Pin::new(&mut self.body).poll_frame(context)).await;
                let Some(frame) = frame else {
                    return Ok(true);
                };
                let Ok(data) = frame.map_err(unreadable)?.into_data() else {
                    continue;
                };
                let most = self.most;
                let bytes = self.bytes.take();
                self.bytes = bytes.filter(|bytes| bytes.len() + data.len() <= most);
                if let Some(bytes) = &mut self.bytes {
                    bytes.extend_from_slice(&data);
                }
            }
            Ok(false)
        };
        let read = timeout(BODY_DEADLINE, reading).await;
        read.unwrap_or_else(|_| Err(too_slow()))
    }
}

/// A time limit was exceeded, or the connection broke off.
fn unreadable(error: axum::Error) -> Refusal {
    if error.into_inner().is::<TimeoutError>() {
        too_slow()
    } else {
        refuse(
            StatusCode::BAD_REQUEST,
            "the request broke off",
            "send it again",
        )
    }
}

fn too_slow() -> Refusal {
    refuse(
        StatusCode::REQUEST_TIMEOUT,
        "the request came in too slowly",
        "send it again",
    )
}

fn too_large(most: usize) -> Refusal {
    let limit = match most >> 20 {
        0 => format!("{} KiB", most >> 10),
        mebibytes => format!("{mebibytes} MiB"),
    };
    refuse(
        StatusCode::PAYLOAD_TOO_LARGE,
        format!("that is larger than the limit of {limit}"),
        "make it smaller first",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn request(length: Option<usize>, body: Vec<u8>) -> Request {
        let mut request = Request::new(Body::from(body));
        if let Some(length) = length {
            let headers = request.headers_mut();
            headers.insert(header::CONTENT_LENGTH, length.into());
        }
        request
    }

    #[test]
    fn memory_is_held_as_long_as_a_body_and_not_for_one_that_is_too_large() {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_time()
            .build()
            .unwrap();
        runtime.block_on(async {
            let uploads = Uploads::new();
            let free = || uploads.0.free();
            let (large, most) = (MAX_SMALL + 100, MAX_SMALL + 1000);
            let upload = uploads
                .read(request(Some(large), vec![1; large]), most)
                .await;
            let upload = upload.unwrap();
            assert_eq!(upload.bytes, vec![1; large]);
            assert_eq!(free(), UPLOAD_MEMORY - large * COPIES);
            // Without a length the most that may come is reserved, and nothing for a small body.
            let other = uploads.read(request(None, vec![2; large]), most).await;
            let reserved = (large + most) * COPIES;
            assert_eq!(free(), UPLOAD_MEMORY - reserved);
            let small = uploads.read(request(None, vec![2; 10]), most).await;
            assert_eq!(small.as_ref().unwrap().bytes, [2; 10]);
            assert_eq!(free(), UPLOAD_MEMORY - reserved);
            drop((upload, other, small));
            assert_eq!(free(), UPLOAD_MEMORY);
            for length in [Some(most + 1), None] {
                let refused = uploads.read(request(length, vec![3; most + 1]), most).await;
                let Err(Refusal::Server { status, .. }) = refused else {
                    panic!("a body that is too large was read");
                };
                assert_eq!(status, StatusCode::PAYLOAD_TOO_LARGE);
                assert_eq!(free(), UPLOAD_MEMORY);
            }
        });
    }
}
