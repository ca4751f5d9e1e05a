//! Bodies of requests: as large as their route allows, as fast as one machine is, and all of them together within bounds.

use super::answer::{Refusal, refuse};
use super::limits::{BODIES, BODY, PAUSE, TURN};
use crate::error::Error;
use axum::body::{Body, Bytes};
use axum::extract::Request;
use axum::http::{StatusCode, header};
use http_body_util::BodyExt;
use serde::de::DeserializeOwned;
use std::sync::Arc;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tokio::time::{Instant, timeout, timeout_at};

/// Room is shared out in KiB.
const SHARE: usize = 1 << 10;
/// A body of JSON is held as text, and its chart once more.
const COPIES: usize = 2;

/// Room for bodies.
pub struct Room(Arc<Semaphore>);

/// A body with the room that it takes, which is free again when this goes.
pub struct Taken {
    /// The bytes.
    pub bytes: Vec<u8>,
    /// Its room, to be held as long as they are.
    pub room: OwnedSemaphorePermit,
}

/// A request's value with the room that it takes.
pub struct Asked<T> {
    /// The value.
    pub value: T,
    _room: OwnedSemaphorePermit,
}

impl Room {
    /// All of it is free.
    pub fn new() -> Self {
        Self(Arc::new(Semaphore::new(BODIES / SHARE)))
    }

    /// Takes in a body of at most `most` bytes. One that is larger is heard out and thrown away: an answer before the end would not be read.
    ///
    /// # Errors
    /// 413 if it is larger, 408 if it takes too long, 400 if it breaks off, 503 if there is no room.
    pub async fn take(&self, request: Request, most: usize) -> Result<Taken, Refusal> {
        let declared = request
            .headers()
            .get(header::CONTENT_LENGTH)
            .and_then(|length| length.to_str().ok()?.parse::<u64>().ok());
        let mut inflow = Inflow::new(request.into_body());
        if declared.is_some_and(|length| length > most as u64) {
            return Err(inflow.thrown_away(most).await);
        }
        let wanted = declared.map_or(most, |length| length as usize);
        let shares = (wanted * COPIES).div_ceil(SHARE).min(BODIES / SHARE) as u32;
        let room = timeout(TURN, Arc::clone(&self.0).acquire_many_owned(shares)).await;
        let Ok(Ok(room)) = room else {
            return Err(refuse(
                StatusCode::SERVICE_UNAVAILABLE,
                "the desk has too much to take in",
                "try again in a moment",
            ));
        };
        let mut bytes = Vec::with_capacity(declared.map_or(0, |length| length as usize));
        inflow.begin();
        while let Some(data) = inflow.next().await? {
            if data.len() > most - bytes.len() {
                drop(bytes);
                return Err(inflow.thrown_away(most).await);
            }
            bytes.extend_from_slice(&data);
        }
        Ok(Taken { bytes, room })
    }

    /// Takes in a body of JSON.
    ///
    /// # Errors
    /// As [`Room::take`], or if it is not the JSON that is expected.
    pub async fn json<T: DeserializeOwned>(
        &self,
        request: Request,
        most: usize,
    ) -> Result<Asked<T>, Refusal> {
        let Taken { bytes, room } = self.take(request, most).await?;
        let value = serde_json::from_slice(&bytes).map_err(|e| {
            let mut error = Error::usage(format!("the request cannot be read: {}", words(&e)))
                .hint("send JSON as the desk's page does");
            if e.line() > 0 {
                error = error.at(e.line(), e.column());
            }
            error
        })?;
        Ok(Asked { value, _room: room })
    }
}

/// Without the place, which stands beside it.
fn words(error: &serde_json::Error) -> String {
    let text = error.to_string();
    text.rsplit_once(" at line ")
        .map_or(text.as_str(), |(words, _)| words)
        .to_string()
}

/// A body that comes in, with its time limits.
struct Inflow {
    body: Body,
    end: Instant,
}

impl Inflow {
    fn new(body: Body) -> Self {
        let end = Instant::now() + BODY;
        Self { body, end }
    }

    /// The time begins here, where it had to wait for room.
    fn begin(&mut self) {
        self.end = Instant::now() + BODY;
    }

    /// The next piece; none at the end.
    async fn next(&mut self) -> Result<Option<Bytes>, Refusal> {
        loop {
            let deadline = self.end.min(Instant::now() + PAUSE);
            let frame = timeout_at(deadline, self.body.frame())
                .await
                .map_err(|_| slow())?;
            match frame {
                None => return Ok(None),
                Some(Err(_)) => return Err(broken_off()),
                Some(Ok(frame)) => {
                    if let Ok(data) = frame.into_data() {
                        return Ok(Some(data));
                    }
                }
            }
        }
    }

    /// Hears it out, and says that it is larger than `most`.
    async fn thrown_away(&mut self, most: usize) -> Refusal {
        loop {
            match self.next().await {
                Ok(Some(_)) => {}
                Ok(None) => return too_large(most),
                Err(refusal) => return refusal,
            }
        }
    }
}

fn slow() -> Refusal {
    refuse(
        StatusCode::REQUEST_TIMEOUT,
        "the request came in too slowly",
        "send it again",
    )
}

fn broken_off() -> Refusal {
    refuse(
        StatusCode::BAD_REQUEST,
        "the request broke off",
        "send it again",
    )
}

fn too_large(most: usize) -> Refusal {
    let shown = match most >> 20 {
        0 => format!("{} KiB", most >> 10),
        mebibytes => format!("{mebibytes} MiB"),
    };
    refuse(
        StatusCode::PAYLOAD_TOO_LARGE,
        format!("that is larger than the {shown} that are taken here"),
        "make it smaller first",
    )
}
