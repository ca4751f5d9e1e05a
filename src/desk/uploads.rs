//! Request bodies: each within its size and time limits, all together within
//! [`UPLOAD_MEMORY`](super::limits::UPLOAD_MEMORY).

use super::limits::{BODY_DEADLINE, BODY_PAUSE, QUEUE_WAIT, UPLOAD_MEMORY};
use super::response::{Refusal, refuse};
use axum::body::{Body, HttpBody};
use axum::extract::Request;
use axum::http::{StatusCode, header};
use std::future::poll_fn;
use std::pin::Pin;
use std::sync::Arc;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tokio::time::timeout;
use tower_http::timeout::{DeadlineBody, TimeoutBody, TimeoutError};

/// A body is held as bytes and, once read, as a value.
const COPIES: usize = 2;

/// Memory for request bodies: a semaphore of bytes.
pub struct Uploads(Arc<Semaphore>);

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
        Self(Arc::new(Semaphore::new(UPLOAD_MEMORY)))
    }

    /// Reads a body of at most `most` bytes.
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
        let memory = self.reserve(stored * COPIES).await?;
        let body = TimeoutBody::new(BODY_PAUSE, request.into_body());
        let body = Body::new(DeadlineBody::new(BODY_DEADLINE, body));
        match collect(body, stored).await? {
            Some(bytes) => Ok(Upload { bytes, memory }),
            None => Err(too_large(most)),
        }
    }

    async fn reserve(&self, bytes: usize) -> Result<OwnedSemaphorePermit, Refusal> {
        let permit = Arc::clone(&self.0).acquire_many_owned(bytes as u32);
        match timeout(QUEUE_WAIT, permit).await {
            Ok(Ok(permit)) => Ok(permit),
            _ => Err(refuse(
                StatusCode::SERVICE_UNAVAILABLE,
                "the desk is receiving too much at once",
                "try again in a moment",
            )),
        }
    }
}

/// Reads a body to its end. `None` if it has more than `most` bytes: the rest is read and dropped,
/// because a browser that is answered while it still sends reports a broken connection instead of
/// the answer.
async fn collect(mut body: Body, most: usize) -> Result<Option<Vec<u8>>, Refusal> {
    let mut bytes = Some(Vec::with_capacity(most));
    while let Some(frame) = poll_fn(|context| Pin::new(&mut body).poll_frame(context)).await {
        let Ok(data) = frame.map_err(unreadable)?.into_data() else {
            continue;
        };
        bytes = bytes.filter(|bytes| bytes.len() + data.len() <= most);
        if let Some(bytes) = &mut bytes {
            bytes.extend_from_slice(&data);
        }
    }
    Ok(bytes)
}

/// A time limit was exceeded, or the connection broke off.
fn unreadable(error: axum::Error) -> Refusal {
    if error.into_inner().is::<TimeoutError>() {
        refuse(
            StatusCode::REQUEST_TIMEOUT,
            "the request came in too slowly",
            "send it again",
        )
    } else {
        refuse(
            StatusCode::BAD_REQUEST,
            "the request broke off",
            "send it again",
        )
    }
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
            let free = || uploads.0.available_permits();
            let upload = uploads.read(request(Some(100), vec![1; 100]), 1000).await;
            let upload = upload.unwrap();
            assert_eq!(upload.bytes, [1; 100]);
            assert_eq!(free(), UPLOAD_MEMORY - 100 * COPIES);
            // Without a length the most that may come is reserved.
            let other = uploads.read(request(None, vec![2; 10]), 1000).await;
            assert_eq!(free(), UPLOAD_MEMORY - 1100 * COPIES);
            drop((upload, other));
            assert_eq!(free(), UPLOAD_MEMORY);
            for length in [Some(1001), None] {
                let refused = uploads.read(request(length, vec![3; 1001]), 1000).await;
                let Err(Refusal::Server { status, .. }) = refused else {
                    panic!("a body of 1001 bytes was read");
                };
                assert_eq!(status, StatusCode::PAYLOAD_TOO_LARGE);
                assert_eq!(free(), UPLOAD_MEMORY);
            }
        });
    }
}
