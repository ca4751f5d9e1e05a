//! Connections: how many there are at once, how long their clients may take, and which one is
//! closed when another needs its place.

use super::limits::{CONNECTIONS, HEAD_DEADLINE, READER_PAUSE};
use axum::Router;
use axum::serve::Listener;
use hyper::server::conn::http1;
use hyper::service::{Service, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::{GracefulShutdown, Watcher};
use hyper_util::service::TowerToHyperService;
use std::collections::VecDeque;
use std::pin::{Pin, pin};
use std::sync::{Arc, Mutex, PoisonError};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Notify, OwnedSemaphorePermit, Semaphore};
use tokio_io_timeout::TimeoutStream;

/// Answers requests until `closed` completes; requests that have begun are then still answered.
pub async fn serve(mut listener: TcpListener, router: Router, closed: impl Future<Output = ()>) {
    let places = Places::new(CONNECTIONS);
    let open = GracefulShutdown::new();
    let mut closed = pin!(closed);
    loop {
        let next = async {
            let (stream, _) = Listener::accept(&mut listener).await;
            (stream, places.take().await)
        };
        let (stream, place) = tokio::select! {
            biased;
            () = &mut closed => break,
            next = next => next,
        };
        tokio::spawn(answer(stream, place, router.clone(), open.watcher()));
    }
    drop(listener);
    open.shutdown().await;
}

/// Answers the requests of one connection, until its client, a time limit or another connection
/// ends it.
async fn answer(stream: TcpStream, place: Place, router: Router, open: Watcher) {
    let router = TowerToHyperService::new(router);
    let state = Arc::clone(&place.state);
    let answers = service_fn(move |request| {
        let busy = Busy::new(&state);
        let answer = router.call(request);
        async move {
            let _busy = busy;
            answer.await
        }
    });
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_DEADLINE)
        .serve_connection(TokioIo::new(timed(stream)), answers);
    tokio::select! {
        () = place.state.closed.notified() => {}
        // What the client did wrong has been answered.
        _ = open.watch(connection) => {}
    }
}

/// A connection whose client has to go on reading its answer.
fn timed(stream: TcpStream) -> Pin<Box<TimeoutStream<TcpStream>>> {
    // Small answers are sent at once: on one machine nothing is gained by waiting.
    let _ = stream.set_nodelay(true);
    let mut stream = TimeoutStream::new(stream);
    stream.set_write_timeout(Some(READER_PAUSE));
    Box::pin(stream)
}

/// The places for connections.
struct Places {
    free: Arc<Semaphore>,
    idle: Arc<Idle>,
}

/// Connections that have no request in progress, the one that has been idle longest first.
#[derive(Default)]
struct Idle {
    connections: Mutex<VecDeque<Arc<State>>>,
    another: Notify,
}

/// What is known of a connection.
struct State {
    idle: Arc<Idle>,
    closed: Notify,
}

/// The place of a connection, free again when this is dropped.
struct Place {
    state: Arc<State>,
    _permit: Option<OwnedSemaphorePermit>,
}

impl Places {
    fn new(count: usize) -> Self {
        Self {
            free: Arc::new(Semaphore::new(count)),
            idle: Arc::default(),
        }
    }

    /// A place; when all are taken, that of the connection that has been idle longest.
    async fn take(&self) -> Place {
        let permit = loop {
            let another = self.idle.another.notified();
            if let Ok(permit) = Arc::clone(&self.free).try_acquire_owned() {
                break Some(permit);
            }
            self.idle.close_oldest();
            tokio::select! {
                permit = Arc::clone(&self.free).acquire_owned() => break permit.ok(),
                () = another => {}
            }
        };
        let state = Arc::new(State {
            idle: Arc::clone(&self.idle),
            closed: Notify::new(),
        });
        self.idle.add(&state);
        Place {
            state,
            _permit: permit,
        }
    }
}

impl Idle {
    fn add(&self, state: &Arc<State>) {
        self.all(|all| all.push_back(Arc::clone(state)));
        self.another.notify_waiters();
    }

    fn remove(&self, state: &Arc<State>) {
        self.all(|all| all.retain(|one| !Arc::ptr_eq(one, state)));
    }

    fn close_oldest(&self) {
        if let Some(oldest) = self.all(VecDeque::pop_front) {
            oldest.closed.notify_one();
        }
    }

    fn all<T>(&self, change: impl FnOnce(&mut VecDeque<Arc<State>>) -> T) -> T {
        let mut all = self
            .connections
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        change(&mut all)
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        self.state.idle.remove(&self.state);
    }
}

/// A request in progress: as long as this lives, its connection is not idle.
struct Busy(Arc<State>);

impl Busy {
    fn new(state: &Arc<State>) -> Self {
        state.idle.remove(state);
        Self(Arc::clone(state))
    }
}

impl Drop for Busy {
    fn drop(&mut self) {
        self.0.idle.add(&self.0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_client_that_reads_nothing_has_its_time_limit() {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .unwrap();
        runtime.block_on(async {
            let listener = TcpListener::bind(("127.0.0.1", 0)).await.unwrap();
            let address = listener.local_addr().unwrap();
            let client = TcpStream::connect(address).await.unwrap();
            let (stream, _) = listener.accept().await.unwrap();
            assert_eq!(timed(stream).write_timeout(), Some(READER_PAUSE));
            drop(client);
        });
    }
}
