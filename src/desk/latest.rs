//! Only the latest request counts: within a lane, a newer request replaces the older ones.
//!
//! A lane is a row of requests of which only the last answer is wanted, such as the charts made
//! while a slider moves. The page names the lanes and numbers the requests.

use super::limits::KEPT_LANES;
use super::response::{Refusal, refuse};
use crate::cancel::Cancel;
use axum::http::StatusCode;
use std::collections::VecDeque;
use std::sync::{Mutex, PoisonError};
use tokio::sync::watch;

/// The lanes that were used last.
#[derive(Default)]
pub struct Latest(Mutex<VecDeque<Lane>>);

struct Lane {
    name: String,
    newest: watch::Sender<u64>,
}

/// A request as the worker pool knows it: whether its answer is still wanted, and the flag that
/// cancels it. A request without a lane is never replaced.
#[derive(Clone, Default)]
pub struct Job {
    place: Option<Place>,
    cancel: Cancel,
}

/// A request's number and the newest number of its lane.
#[derive(Clone)]
struct Place {
    n: u64,
    newest: watch::Receiver<u64>,
}

impl Latest {
    /// Registers a request in its lane; older requests there are replaced.
    ///
    /// # Errors
    /// [`Refusal::Stale`] if a newer one is registered; 400 if only one of name and number is
    /// given, or the name is too long.
    pub fn register(&self, lane: Option<&str>, n: Option<u64>) -> Result<Job, Refusal> {
        let (name, n) = match (lane, n) {
            (None, None) => return Ok(Job::default()),
            (Some(name), Some(n)) if (1..=64).contains(&name.len()) => (name, n),
            _ => {
                return Err(refuse(
                    StatusCode::BAD_REQUEST,
                    "a lane needs a name and a number",
                    "give lane, of 1 to 64 letters, and n, or neither",
                ));
            }
        };
        let mut lanes = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let known = lanes.iter().position(|lane| lane.name == name);
        let lane = known.and_then(|at| lanes.remove(at));
        let lane = lane.unwrap_or_else(|| Lane {
            name: name.to_string(),
            newest: watch::channel(n).0,
        });
        let before = *lane.newest.borrow();
        lane.newest.send_if_modified(|newest| {
            let newer = n > *newest;
            *newest = n.max(*newest);
            newer
        });
        let newest = lane.newest.subscribe();
        lanes.push_front(lane);
        // Requests of a lane that is dropped here are not replaced any more; they are answered.
        lanes.truncate(KEPT_LANES);
        if n < before {
            return Err(Refusal::Stale);
        }
        Ok(Job {
            place: Some(Place { n, newest }),
            cancel: Cancel::default(),
        })
    }
}

impl Job {
    /// Its number in its lane.
    pub fn n(&self) -> Option<u64> {
        self.place.as_ref().map(|place| place.n)
    }

    /// The flag that is set when the job is cancelled.
    pub fn cancel(&self) -> Cancel {
        self.cancel.clone()
    }

    /// Whether no newer request is registered.
    #[cfg(test)]
    pub fn is_newest(&self) -> bool {
        self.place
            .as_ref()
            .is_none_or(|place| *place.newest.borrow() <= place.n)
    }

    /// Completes when a newer request has replaced this one; without a lane, never.
    pub async fn replaced(mut self) {
        let replaced = match &mut self.place {
            None => false,
            Some(Place { n, newest }) => newest.wait_for(|newest| *newest > *n).await.is_ok(),
        };
        if !replaced {
            std::future::pending::<()>().await;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stale(result: &Result<Job, Refusal>) -> bool {
        matches!(result, Err(Refusal::Stale))
    }

    #[test]
    fn newer_requests_replace_older_ones_of_their_lane_only() {
        let latest = Latest::default();
        let first = latest.register(Some("chart"), Some(1)).unwrap();
        let other = latest.register(Some("facts"), Some(1)).unwrap();
        assert!(first.is_newest());
        let second = latest.register(Some("chart"), Some(5)).unwrap();
        assert!(!first.is_newest() && second.is_newest() && other.is_newest());
        assert!(stale(&latest.register(Some("chart"), Some(4))));
        // The same number again, as when a picture had to be sent once more.
        let again = latest.register(Some("chart"), Some(5)).unwrap();
        assert!(again.is_newest());
        assert!(latest.register(None, None).unwrap().is_newest());
    }

    #[test]
    fn lanes_are_named_and_numbered_and_only_the_last_are_kept() {
        let latest = Latest::default();
        let long = "x".repeat(65);
        for (name, n) in [
            (Some("a"), None),
            (None, Some(1)),
            (Some(""), Some(1)),
            (Some(long.as_str()), Some(1)),
        ] {
            let refused = latest.register(name, n);
            assert!(matches!(refused, Err(Refusal::Server { .. })));
        }
        for at in 0..10 * KEPT_LANES {
            let name = format!("lane {at}");
            latest.register(Some(&name), Some(9)).unwrap();
        }
        assert_eq!(latest.0.lock().unwrap().len(), KEPT_LANES);
        assert!(latest.register(Some("lane 0"), Some(1)).is_ok());
    }
}
