//! Where heavy work is done: a few pieces at once on threads of their own, the others in a queue, and a fault in one harms no other.

use super::answer::{Refusal, refuse};
use super::latest::Ticket;
use super::limits::{TURN, WAITING, WORKING};
use crate::cancel::Cancel;
use crate::error::Result;
use axum::http::StatusCode;
use std::any::Any;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

/// The bench.
pub struct Workers {
    turns: Arc<Semaphore>,
    /// Turns for work that was abandoned, so that it does not stand in the way of what replaced it.
    abandoned: Arc<Semaphore>,
    waiting: Arc<AtomicUsize>,
}

/// A turn that may change hands while its work runs.
type Turn = Arc<Mutex<Option<OwnedSemaphorePermit>>>;

/// Gives the turn back when its work ends, however it ends.
struct Held(Turn);

impl Drop for Held {
    fn drop(&mut self) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).take();
    }
}

/// Whoever asked; when they leave, answered or not, nobody waits for the work any more.
struct Asker(Cancel);

impl Drop for Asker {
    fn drop(&mut self) {
        self.0.end();
    }
}

/// One who waits; counted as long as it lives.
struct Waiting(Arc<AtomicUsize>);

impl Drop for Waiting {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

impl Workers {
    /// An empty bench.
    pub fn new() -> Self {
        Self {
            turns: Arc::new(Semaphore::new(WORKING)),
            abandoned: Arc::new(Semaphore::new(WORKING)),
            waiting: Arc::default(),
        }
    }

    /// Does `work` when its turn comes. What it holds goes when it ends, not before.
    ///
    /// Of a request that a newer one replaced, or whose asker has gone, waiting work is dropped and running work abandoned: the ticket's cancel ends,
    /// which the work may look at, and its result is thrown away. As many again as may run may end so, out of the way.
    ///
    /// # Errors
    /// What `work` says; [`Refusal::Stale`]; a refusal if too many wait, or if it panics.
    pub async fn run<T: Send + 'static>(
        &self,
        ticket: Ticket,
        work: impl FnOnce() -> Result<T> + Send + 'static,
    ) -> std::result::Result<T, Refusal> {
        let _asker = Asker(ticket.cancel());
        let waiting = self.queue()?;
        let turn = tokio::select! {
            biased;
            () = ticket.clone().replaced() => return Err(Refusal::Stale),
            turn = tokio::time::timeout(TURN, Arc::clone(&self.turns).acquire_owned()) => turn,
        };
        let Ok(Ok(turn)) = turn else {
            return Err(busy());
        };
        drop(waiting);
        let turn: Turn = Arc::new(Mutex::new(Some(turn)));
        let held = Held(Arc::clone(&turn));
        let working = tokio::task::spawn_blocking(move || {
            let _held = held;
            work()
        });
        let ended = tokio::select! {
            biased;
            () = ticket.replaced() => {
                self.abandon(&turn);
                return Err(Refusal::Stale);
            }
            ended = working => ended,
        };
        match ended {
            Ok(result) => result.map_err(Refusal::from),
            Err(fault) => Err(stumbled(fault)),
        }
    }

    /// The running work goes on with a turn of the abandoned, if there is one, and its own is free.
    fn abandon(&self, turn: &Turn) {
        let mut turn = turn.lock().unwrap_or_else(PoisonError::into_inner);
        if turn.is_some()
            && let Ok(other) = Arc::clone(&self.abandoned).try_acquire_owned()
        {
            *turn = Some(other);
        }
    }

    fn queue(&self) -> std::result::Result<Waiting, Refusal> {
        let before = self.waiting.fetch_add(1, Ordering::Relaxed);
        let waiting = Waiting(Arc::clone(&self.waiting));
        match before < WAITING {
            true => Ok(waiting),
            false => Err(busy()),
        }
    }
}

fn busy() -> Refusal {
    refuse(
        StatusCode::SERVICE_UNAVAILABLE,
        "the desk has too much to do",
        "try again in a moment",
    )
}

fn stumbled(fault: tokio::task::JoinError) -> Refusal {
    let words = match fault.try_into_panic() {
        Ok(payload) => words(payload.as_ref()),
        Err(_) => "it was broken off".to_string(),
    };
    refuse(
        StatusCode::INTERNAL_SERVER_ERROR,
        format!("the program stumbled over this, which is its own fault: {words}"),
        "save your chart; the desk goes on, and nothing of it is lost",
    )
}

fn words(payload: &(dyn Any + Send)) -> String {
    let text = payload.downcast_ref::<&str>().map(|text| text.to_string());
    text.or_else(|| payload.downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "no reason was given".to_string())
}

#[cfg(test)]
mod tests {
    use super::super::latest::Lanes;
    use super::*;
    use std::sync::atomic::AtomicBool;
    use std::time::Duration;

    fn block<T>(work: impl Future<Output = T>) -> T {
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(2)
            .enable_all()
            .build()
            .unwrap();
        let result = runtime.block_on(work);
        runtime.shutdown_timeout(Duration::from_secs(1));
        result
    }

    #[test]
    fn a_panic_is_told_and_the_next_piece_of_work_is_done() {
        block(async {
            let bench = Workers::new();
            for _ in 0..2 * WORKING {
                let fault = bench
                    .run(Ticket::default(), || -> Result<()> {
                        panic!("a bead rolled away")
                    })
                    .await;
                let Err(Refusal::Server(status, what, _)) = fault else {
                    panic!("{fault:?}");
                };
                assert_eq!(status, StatusCode::INTERNAL_SERVER_ERROR);
                assert!(what.ends_with("a bead rolled away"), "{what}");
            }
            assert_eq!(bench.run(Ticket::default(), || Ok(7)).await.unwrap(), 7);
        });
    }

    #[test]
    fn replaced_work_is_dropped_from_the_queue_and_abandoned_when_it_runs() {
        block(async {
            let (bench, lanes) = (Arc::new(Workers::new()), Lanes::default());
            let slow = |bench: &Arc<Workers>, ticket: Ticket| {
                let bench = Arc::clone(bench);
                tokio::spawn(async move {
                    bench
                        .run(ticket, || {
                            std::thread::sleep(Duration::from_millis(800));
                            Ok(())
                        })
                        .await
                })
            };
            let running = slow(&bench, lanes.enter(Some("a"), Some(1)).unwrap());
            let other = slow(&bench, Ticket::default());
            tokio::time::sleep(Duration::from_millis(100)).await;
            // Both turns are taken: this one waits, and must never start.
            let started = Arc::new(AtomicBool::new(false));
            let (flag, queue) = (Arc::clone(&started), Arc::clone(&bench));
            let ticket = lanes.enter(Some("b"), Some(1)).unwrap();
            let queued = tokio::spawn(async move {
                queue
                    .run(ticket, move || {
                        flag.store(true, Ordering::SeqCst);
                        Ok(())
                    })
                    .await
            });
            tokio::time::sleep(Duration::from_millis(50)).await;
            lanes.enter(Some("b"), Some(2)).unwrap();
            assert!(matches!(queued.await.unwrap(), Err(Refusal::Stale)));
            // The abandoned work still runs, and stands in nobody's way.
            let newest = lanes.enter(Some("a"), Some(2)).unwrap();
            assert!(matches!(running.await.unwrap(), Err(Refusal::Stale)));
            assert_eq!(bench.run(newest, || Ok(3)).await.unwrap(), 3);
            assert!(!other.is_finished());
            assert!(other.await.unwrap().is_ok());
            assert!(!started.load(Ordering::SeqCst));
            assert_eq!(bench.waiting.load(Ordering::SeqCst), 0);
            tokio::time::sleep(Duration::from_millis(300)).await;
            assert_eq!(bench.turns.available_permits(), WORKING);
            assert_eq!(bench.abandoned.available_permits(), WORKING);
        });
    }

    #[test]
    fn more_than_the_queue_holds_are_sent_away() {
        block(async {
            let bench = Arc::new(Workers::new());
            let hold = Arc::clone(&bench.turns)
                .acquire_many_owned(WORKING as u32)
                .await
                .unwrap();
            let all: Vec<_> = (0..WAITING + 10)
                .map(|_| {
                    let bench = Arc::clone(&bench);
                    tokio::spawn(async move { bench.run(Ticket::default(), || Ok(())).await })
                })
                .collect();
            tokio::time::sleep(Duration::from_millis(100)).await;
            drop(hold);
            let mut sent_away = 0;
            for one in all {
                match one.await.unwrap() {
                    Ok(()) => {}
                    Err(Refusal::Server(StatusCode::SERVICE_UNAVAILABLE, ..)) => sent_away += 1,
                    other => panic!("{other:?}"),
                }
            }
            assert_eq!(sent_away, 10);
        });
    }
}
