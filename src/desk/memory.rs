//! Memory that jobs share: each reserves what it needs, and waits until so much is free.

use super::limits::QUEUE_WAIT;
use super::response::{Refusal, refuse};
use axum::http::StatusCode;
use std::sync::Arc;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tokio::time::timeout;

/// A number of bytes that jobs share.
pub struct Memory {
    free: Arc<Semaphore>,
    most: usize,
    refusal: &'static str,
}

impl Memory {
    /// With all of them free; `refusal` is said when a job has waited too long.
    pub fn new(bytes: usize, refusal: &'static str) -> Self {
        Self {
            free: Arc::new(Semaphore::new(bytes)),
            most: bytes,
            refusal,
        }
    }

    /// So many bytes, or all of them where there are fewer; free again when the permit is dropped.
    /// Those who wait are served in turn.
    ///
    /// # Errors
    /// 503 after [`QUEUE_WAIT`].
    pub async fn reserve(&self, bytes: usize) -> Result<OwnedSemaphorePermit, Refusal> {
        let permit = Arc::clone(&self.free).acquire_many_owned(bytes.min(self.most) as u32);
        match timeout(QUEUE_WAIT, permit).await {
            Ok(Ok(permit)) => Ok(permit),
            _ => Err(refuse(
                StatusCode::SERVICE_UNAVAILABLE,
                self.refusal,
                "try again in a moment",
            )),
        }
    }

    /// Bytes that are free.
    #[cfg(test)]
    pub fn free(&self) -> usize {
        self.free.available_permits()
    }
}
