//! From a request to its values: address, body, and place among the latest requests. What cannot
//! be read is refused as JSON.

use super::latest::Job;
use super::response::{Refusal, refuse};
use super::state::Desk;
use super::uploads::Upload;
use crate::error::Error;
use axum::extract::{FromRequest, FromRequestParts, Query, Request};
use axum::http::StatusCode;
use axum::http::request::Parts;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::ops::Deref;
use std::sync::Arc;
use tokio::sync::OwnedSemaphorePermit;

/// The query of an address: what follows the question mark.
pub struct QueryString<T>(pub T);

impl<T: DeserializeOwned, S: Sync> FromRequestParts<S> for QueryString<T> {
    type Rejection = Refusal;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Refusal> {
        query(parts).map(Self)
    }
}

fn query<T: DeserializeOwned>(parts: &Parts) -> Result<T, Refusal> {
    let Query(value) = Query::try_from_uri(&parts.uri).map_err(|e| {
        refuse(
            StatusCode::BAD_REQUEST,
            format!("the address cannot be read: {}", e.body_text()),
            "send it as the desk's page does",
        )
    })?;
    Ok(value)
}

/// `?lane=L&n=K`: the lane of a request and its number in it, or neither.
#[derive(Deserialize)]
struct RequestKey {
    lane: Option<String>,
    n: Option<u64>,
}

/// Registers the request before its body is read. Handlers take a `Result<Job, Refusal>`, so that
/// a request that is out of date is answered after its body has been read.
impl FromRequestParts<Arc<Desk>> for Job {
    type Rejection = Refusal;

    async fn from_request_parts(parts: &mut Parts, desk: &Arc<Desk>) -> Result<Self, Refusal> {
        let key: RequestKey = query(parts)?;
        desk.latest.register(key.lane.as_deref(), key.n)
    }
}

/// The bytes of a file, at most `MOST`.
pub struct FileBody<const MOST: usize>(pub Upload);

impl<const MOST: usize> FromRequest<Arc<Desk>> for FileBody<MOST> {
    type Rejection = Refusal;

    async fn from_request(request: Request, desk: &Arc<Desk>) -> Result<Self, Refusal> {
        desk.uploads.read(request, MOST).await.map(Self)
    }
}

/// A value sent as JSON of at most `MOST` bytes, with its share of the memory for request bodies.
pub struct JsonBody<T, const MOST: usize> {
    value: T,
    memory: OwnedSemaphorePermit,
}

/// Moving any part of the value into a job moves the memory too.
impl<T, const MOST: usize> Deref for JsonBody<T, MOST> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.value
    }
}

impl<T, const MOST: usize> JsonBody<T, MOST> {
    /// The value, and its memory, to be held as long as any part of it.
    pub fn into_parts(self) -> (T, OwnedSemaphorePermit) {
        (self.value, self.memory)
    }
}

impl<T: DeserializeOwned, const MOST: usize> FromRequest<Arc<Desk>> for JsonBody<T, MOST> {
    type Rejection = Refusal;

    async fn from_request(request: Request, desk: &Arc<Desk>) -> Result<Self, Refusal> {
        let Upload { bytes, memory } = desk.uploads.read(request, MOST).await?;
        let value = serde_json::from_slice(&bytes).map_err(|e| unreadable(&e))?;
        Ok(Self { value, memory })
    }
}

/// The parser's message, with its line and column as the place of the error.
fn unreadable(error: &serde_json::Error) -> Error {
    let text = error.to_string();
    let message = text
        .rsplit_once(" at line ")
        .map_or(&*text, |(head, _)| head);
    let refused = Error::usage(format!("the request cannot be read: {message}"))
        .hint("send JSON as the desk's page does");
    if error.line() > 0 {
        refused.at(error.line(), error.column())
    } else {
        refused
    }
}
