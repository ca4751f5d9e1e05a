//! Lanes: within one, a newer request replaces the older ones.

use super::answer::{Refusal, refuse};
use super::limits::LANES;
use crate::cancel::Cancel;
use axum::http::StatusCode;
use std::collections::VecDeque;
use std::sync::{Mutex, PoisonError};
use tokio::sync::watch;

/// `?lane=L&n=K`.
#[derive(Debug, serde::Deserialize)]
pub struct Lane {
    lane: Option<String>,
    n: Option<u64>,
}

impl Lane {
    /// Takes the place that is asked for.
    ///
    /// # Errors
    /// As [`Lanes::enter`].
    pub fn enter(&self, lanes: &Lanes) -> Result<Ticket, Refusal> {
        lanes.enter(self.lane.as_deref(), self.n)
    }
}

/// The lanes that were used last, each with the newest number seen.
#[derive(Default)]
pub struct Lanes(Mutex<VecDeque<(String, watch::Sender<u64>)>>);

/// A request's place in its lane; without a lane it is never replaced.
#[derive(Clone, Default)]
pub struct Ticket {
    place: Option<(u64, watch::Receiver<u64>)>,
    cancel: Cancel,
}

impl Lanes {
    /// Takes a place in a lane; older requests there are replaced.
    ///
    /// # Errors
    /// [`Refusal::Stale`] if a newer one is known; a refusal if only one of the two is given, or the name is too long.
    pub fn enter(&self, lane: Option<&str>, n: Option<u64>) -> Result<Ticket, Refusal> {
        let (name, n) = match (lane, n) {
            (None, None) => return Ok(Ticket::default()),
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
        let lane = match lanes.iter().position(|(known, _)| known == name) {
            Some(at) => lanes.remove(at),
            None => None,
        };
        let (name, sender) = lane.unwrap_or_else(|| (name.to_string(), watch::channel(n).0));
        let newest = *sender.borrow();
        sender.send_if_modified(|newest| {
            let newer = n > *newest;
            *newest = n.max(*newest);
            newer
        });
        let ticket = Ticket {
            place: Some((n, sender.subscribe())),
            cancel: Cancel::default(),
        };
        lanes.push_front((name, sender));
        // Whoever waits in a lane that is forgotten is not replaced any more, and is answered.
        lanes.truncate(LANES);
        match n < newest {
            true => Err(Refusal::Stale),
            false => Ok(ticket),
        }
    }
}

impl Ticket {
    /// Its number.
    pub fn n(&self) -> Option<u64> {
        self.place.as_ref().map(|(n, _)| *n)
    }

    /// Ends when nobody waits for the answer any more.
    pub fn cancel(&self) -> Cancel {
        self.cancel.clone()
    }

    /// Whether nothing newer is known.
    pub fn is_newest(&self) -> bool {
        self.place
            .as_ref()
            .is_none_or(|(n, newest)| *newest.borrow() <= *n)
    }

    /// Waits until a newer request has replaced this one; without a lane, for ever.
    pub async fn replaced(mut self) {
        let seen = match &mut self.place {
            None => false,
            Some((n, newest)) => newest.wait_for(|newest| *newest > *n).await.is_ok(),
        };
        if !seen {
            std::future::pending::<()>().await;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stale(result: &Result<Ticket, Refusal>) -> bool {
        matches!(result, Err(Refusal::Stale))
    }

    #[test]
    fn newer_requests_replace_older_ones_of_their_lane_only() {
        let lanes = Lanes::default();
        let first = lanes.enter(Some("chart"), Some(1)).unwrap();
        let other = lanes.enter(Some("facts"), Some(1)).unwrap();
        assert!(first.is_newest());
        let second = lanes.enter(Some("chart"), Some(5)).unwrap();
        assert!(!first.is_newest() && second.is_newest() && other.is_newest());
        assert!(stale(&lanes.enter(Some("chart"), Some(4))));
        // The same number again, such as after sending a picture anew.
        assert!(lanes.enter(Some("chart"), Some(5)).unwrap().is_newest());
        assert!(lanes.enter(None, None).unwrap().is_newest());
    }

    #[test]
    fn lanes_are_named_and_numbered_and_not_kept_for_ever() {
        let lanes = Lanes::default();
        let long = "x".repeat(65);
        for (name, n) in [
            (Some("a"), None),
            (None, Some(1)),
            (Some(""), Some(1)),
            (Some(long.as_str()), Some(1)),
        ] {
            assert!(matches!(lanes.enter(name, n), Err(Refusal::Server(..))));
        }
        for at in 0..10 * LANES {
            lanes.enter(Some(&format!("lane {at}")), Some(9)).unwrap();
        }
        assert_eq!(lanes.0.lock().unwrap().len(), LANES);
        assert!(lanes.enter(Some("lane 0"), Some(1)).is_ok());
    }
}
