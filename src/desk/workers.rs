//! The worker pool: a few jobs at once on threads of their own, the others in a queue. A panic in
//! one job harms no other.

use super::latest::Job;
use super::limits::{ABANDONED, QUEUE, QUEUE_WAIT, WORKERS};
use super::response::{Refusal, refuse};
use crate::cancel::Cancel;
use crate::error::Result;
use axum::http::StatusCode;
use std::any::Any;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tokio::task::JoinError;

/// The worker pool.
pub struct Workers {
    running: Arc<Semaphore>,
    /// Permits for jobs that still run after their client has left, so that they do not block
    /// others.
    abandoned: Arc<Semaphore>,
    queued: Arc<AtomicUsize>,
}

/// The permit of a running job, which may be exchanged for another while it runs.
#[derive(Clone)]
struct Permit(Arc<Mutex<Option<OwnedSemaphorePermit>>>);

impl Permit {
    /// Exchanges the permit for one of `other`, if there is one and the job still runs.
    fn exchange(&self, other: &Arc<Semaphore>) {
        let mut permit = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if permit.is_some()
            && let Ok(free) = Arc::clone(other).try_acquire_owned()
        {
            *permit = Some(free);
        }
    }
}

/// Gives a permit back when its job ends, also by a panic.
struct ReleaseOnDrop(Permit);

impl Drop for ReleaseOnDrop {
    fn drop(&mut self) {
        let Permit(permit) = &self.0;
        permit.lock().unwrap_or_else(PoisonError::into_inner).take();
    }
}

/// Cancels a job when its request is dropped, answered or not.
struct CancelOnDrop(Cancel);

impl Drop for CancelOnDrop {
    fn drop(&mut self) {
        self.0.end();
    }
}

/// Gives the worker of a job back when its request is dropped, also while the job still runs.
struct AbandonOnDrop<'a> {
    permit: Permit,
    abandoned: &'a Arc<Semaphore>,
}

impl Drop for AbandonOnDrop<'_> {
    fn drop(&mut self) {
        self.permit.exchange(self.abandoned);
    }
}

/// A place in the queue, counted as long as it lives.
struct Queued(Arc<AtomicUsize>);

impl Drop for Queued {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

impl Workers {
    /// A pool with nothing to do.
    pub fn new() -> Self {
        Self {
            running: Arc::new(Semaphore::new(WORKERS)),
            abandoned: Arc::new(Semaphore::new(ABANDONED)),
            queued: Arc::default(),
        }
    }

    /// Runs `work` when a worker is free. What it holds is dropped when it ends, not before.
    ///
    /// When a newer request replaces this one, or its client disconnects, a queued job is dropped.
    /// A running one is cancelled, by the job's flag, and its result is dropped. Another thread
    /// takes its place at once, however long it still runs, unless [`ABANDONED`] others do.
    ///
    /// # Errors
    /// The error of `work`; [`Refusal::Stale`]; 503 if the queue is full, 500 if `work` panics.
    pub async fn run<T: Send + 'static>(
        &self,
        job: Job,
        work: impl FnOnce() -> Result<T> + Send + 'static,
    ) -> std::result::Result<T, Refusal> {
        let _cancel = CancelOnDrop(job.cancel());
        let free = self.free(&job).await?;
        let permit = Permit(Arc::new(Mutex::new(Some(free))));
        let release = ReleaseOnDrop(permit.clone());
        let _abandon = AbandonOnDrop {
            permit,
            abandoned: &self.abandoned,
        };
        let working = tokio::task::spawn_blocking(move || {
            let _release = release;
            work()
        });
        let ended = tokio::select! {
            biased;
            () = job.replaced() => return Err(Refusal::Stale),
            ended = working => ended,
        };
        match ended {
            Ok(result) => result.map_err(Refusal::from),
            Err(error) => Err(internal(error)),
        }
    }

    /// Waits for `work` in place of a worker. It is dropped, and must end then, when a newer
    /// request replaces this one or its client disconnects.
    ///
    /// # Errors
    /// The error of `work`; [`Refusal::Stale`]; 503 if the queue is full.
    #[cfg(feature = "cli")]
    pub async fn wait_for<T>(
        &self,
        job: Job,
        work: impl Future<Output = std::result::Result<T, Refusal>>,
    ) -> std::result::Result<T, Refusal> {
        let _free = self.free(&job).await?;
        tokio::select! {
            biased;
            () = job.replaced() => Err(Refusal::Stale),
            ended = work => ended,
        }
    }

    /// A worker, once one is free.
    async fn free(&self, job: &Job) -> std::result::Result<OwnedSemaphorePermit, Refusal> {
        let _queued = self.queue()?;
        let free = Arc::clone(&self.running).acquire_owned();
        let free = tokio::select! {
            biased;
            () = job.clone().replaced() => return Err(Refusal::Stale),
            free = tokio::time::timeout(QUEUE_WAIT, free) => free,
        };
        match free {
            Ok(Ok(free)) => Ok(free),
            _ => Err(busy()),
        }
    }

    fn queue(&self) -> std::result::Result<Queued, Refusal> {
        let before = self.queued.fetch_add(1, Ordering::Relaxed);
        let queued = Queued(Arc::clone(&self.queued));
        if before < QUEUE {
            Ok(queued)
        } else {
            Err(busy())
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

fn internal(error: JoinError) -> Refusal {
    let reason = match error.try_into_panic() {
        Ok(payload) => message(payload.as_ref()),
        Err(_) => "the job was stopped".to_string(),
    };
    refuse(
        StatusCode::INTERNAL_SERVER_ERROR,
        format!("internal error: this is a bug in upbead: {reason}"),
        "save your chart; the desk still works, and nothing on it is lost",
    )
}

fn message(payload: &(dyn Any + Send)) -> String {
    let text = payload.downcast_ref::<&str>().map(|text| text.to_string());
    text.or_else(|| payload.downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "no reason was given".to_string())
}

#[cfg(test)]
mod tests {
    use super::super::latest::Latest;
    use super::*;
    use std::sync::atomic::AtomicBool;
    use std::sync::mpsc::{Sender, channel};
    use std::time::Duration;
    use tokio::task::JoinHandle;

    type Ended = std::result::Result<(), Refusal>;

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
    fn a_panic_is_reported_and_the_next_job_runs() {
        block(async {
            let workers = Workers::new();
            for _ in 0..2 * WORKERS {
                let error = workers
                    .run(Job::default(), || -> Result<()> {
                        panic!("a bead rolled away")
                    })
                    .await;
                let Err(Refusal::Server { status, what, .. }) = error else {
                    panic!("{error:?}");
                };
                assert_eq!(status, StatusCode::INTERNAL_SERVER_ERROR);
                assert!(what.ends_with("a bead rolled away"), "{what}");
            }
            assert_eq!(workers.run(Job::default(), || Ok(7)).await.unwrap(), 7);
        });
    }

    /// Waits until the condition holds; one that never holds fails the test.
    async fn until(condition: impl Fn() -> bool) {
        let waiting = async {
            while !condition() {
                tokio::task::yield_now().await;
            }
        };
        let limit = Duration::from_secs(60);
        tokio::time::timeout(limit, waiting)
            .await
            .expect("the condition holds");
    }

    /// A job that runs until its sender is dropped; returns when it has begun.
    async fn held(workers: &Arc<Workers>, job: Job) -> (Sender<()>, JoinHandle<Ended>) {
        let (release, held) = channel::<()>();
        let begun = Arc::new(AtomicBool::new(false));
        let (workers, flag) = (Arc::clone(workers), Arc::clone(&begun));
        let work = move || {
            flag.store(true, Ordering::SeqCst);
            let _ = held.recv();
            Ok(())
        };
        let running = tokio::spawn(async move { workers.run(job, work).await });
        until(|| begun.load(Ordering::SeqCst)).await;
        (release, running)
    }

    #[test]
    fn a_replaced_job_is_dropped_from_the_queue_and_does_not_block_others_when_it_runs() {
        block(async {
            let (workers, latest) = (Arc::new(Workers::new()), Latest::default());
            let job = latest.register(Some("a"), Some(1)).unwrap();
            let (release_running, running) = held(&workers, job).await;
            let (release_other, other) = held(&workers, Job::default()).await;
            // Both workers are busy: this job waits, and must never start.
            let started = Arc::new(AtomicBool::new(false));
            let (flag, queue) = (Arc::clone(&started), Arc::clone(&workers));
            let job = latest.register(Some("b"), Some(1)).unwrap();
            let queued = tokio::spawn(async move {
                queue
                    .run(job, move || {
                        flag.store(true, Ordering::SeqCst);
                        Ok(())
                    })
                    .await
            });
            until(|| workers.queued.load(Ordering::SeqCst) == 1).await;
            latest.register(Some("b"), Some(2)).unwrap();
            assert!(matches!(queued.await.unwrap(), Err(Refusal::Stale)));
            // The replaced job still runs, and blocks no other.
            let newest = latest.register(Some("a"), Some(2)).unwrap();
            assert!(matches!(running.await.unwrap(), Err(Refusal::Stale)));
            assert_eq!(workers.run(newest, || Ok(3)).await.unwrap(), 3);
            assert_eq!(workers.abandoned.available_permits(), ABANDONED - 1);
            assert!(!other.is_finished());
            drop((release_running, release_other));
            assert!(other.await.unwrap().is_ok());
            assert!(!started.load(Ordering::SeqCst));
            assert_eq!(workers.queued.load(Ordering::SeqCst), 0);
            until(|| workers.running.available_permits() == WORKERS).await;
            until(|| workers.abandoned.available_permits() == ABANDONED).await;
        });
    }

    #[test]
    fn abandoned_jobs_that_go_on_keep_no_worker_up_to_their_bound() {
        block(async {
            let workers = Arc::new(Workers::new());
            let mut stuck = Vec::new();
            for _ in 0..ABANDONED {
                let (release, running) = held(&workers, Job::default()).await;
                running.abort();
                assert!(running.await.unwrap_err().is_cancelled());
                stuck.push(release);
                assert_eq!(workers.running.available_permits(), WORKERS);
            }
            assert_eq!(workers.run(Job::default(), || Ok(7)).await.unwrap(), 7);
            assert_eq!(workers.abandoned.available_permits(), 0);
            // One more keeps its worker until it ends.
            let (release, running) = held(&workers, Job::default()).await;
            running.abort();
            assert!(running.await.unwrap_err().is_cancelled());
            assert_eq!(workers.running.available_permits(), WORKERS - 1);
            assert_eq!(workers.run(Job::default(), || Ok(7)).await.unwrap(), 7);
            drop(release);
            until(|| workers.running.available_permits() == WORKERS).await;
            drop(stuck);
            until(|| workers.abandoned.available_permits() == ABANDONED).await;
        });
    }

    #[test]
    fn jobs_beyond_the_queue_are_refused() {
        block(async {
            let workers = Arc::new(Workers::new());
            let hold = Arc::clone(&workers.running)
                .acquire_many_owned(WORKERS as u32)
                .await
                .unwrap();
            let all: Vec<_> = (0..QUEUE + 10)
                .map(|_| {
                    let workers = Arc::clone(&workers);
                    tokio::spawn(async move { workers.run(Job::default(), || Ok(())).await })
                })
                .collect();
            let done =
                |all: &[JoinHandle<Ended>]| all.iter().filter(|one| one.is_finished()).count();
            until(|| workers.queued.load(Ordering::SeqCst) == QUEUE && done(&all) == 10).await;
            drop(hold);
            let mut refused = 0;
            for one in all {
                match one.await.unwrap() {
                    Ok(()) => {}
                    Err(Refusal::Server {
                        status: StatusCode::SERVICE_UNAVAILABLE,
                        ..
                    }) => refused += 1,
                    other => panic!("{other:?}"),
                }
            }
            assert_eq!(refused, 10);
        });
    }
}
