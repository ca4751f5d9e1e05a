//! The address, the connections, and the end.

use super::limits::{CONNECTIONS, FAREWELL, HEAD, PICKED_UP, PORTS, WORKING};
use super::routes::routes;
use super::{Begin, Desk};
use crate::error::{Error, Result};
use axum::Router;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::net::{Ipv4Addr, SocketAddr, TcpListener as Taken};
use std::sync::Arc;
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{OwnedSemaphorePermit, Semaphore, watch};
use tokio_io_timeout::TimeoutStream;

/// A desk that has its address.
pub struct Open {
    listener: Taken,
    desk: Arc<Desk>,
}

/// Takes an address on this machine's loopback: the port that is asked for, or one of [`PORTS`], or any that is free.
///
/// # Errors
/// If the port is taken or may not be used.
pub fn open(port: Option<u16>, begin: Begin) -> Result<Open> {
    let refused = |e: std::io::Error| {
        let what = match port {
            Some(port) => format!("port {port} cannot be used"),
            None => "there is no free port".to_string(),
        };
        let hint = "name another with --port, or leave it out for a free one";
        Error::new(what).hint(hint).because(e)
    };
    let usual = match port {
        Some(_) => None,
        None => PORTS.into_iter().find_map(|port| bound(port).ok()),
    };
    let listener = match usual {
        Some(listener) => listener,
        None => bound(port.unwrap_or(0)).map_err(refused)?,
    };
    listener.set_nonblocking(true).map_err(refused)?;
    let port = listener.local_addr().map_err(refused)?.port();
    Ok(Open {
        listener,
        desk: Arc::new(Desk::new(port, begin)?),
    })
}

fn bound(port: u16) -> std::io::Result<Taken> {
    Taken::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, port)))
}

impl Open {
    /// Where the page is.
    pub fn address(&self) -> String {
        format!(
            "http://127.0.0.1:{}/{}/",
            self.desk.port,
            self.desk.token.as_str()
        )
    }

    /// Answers until the process is asked to end (SIGINT or SIGTERM, Ctrl-C elsewhere); `ready` is called once it listens.
    ///
    /// # Errors
    /// If the system refuses threads or signals.
    pub fn serve(self, ready: impl FnOnce() -> Result<()>) -> Result<()> {
        let refused = |e: std::io::Error| Error::new("the desk cannot be opened").because(e);
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(2)
            .max_blocking_threads(2 * WORKING + 1)
            .enable_io()
            .enable_time()
            .build()
            .map_err(refused)?;
        let served = runtime.block_on(async {
            let end = end().map_err(refused)?;
            let listener = TcpListener::from_std(self.listener).map_err(refused)?;
            ready()?;
            connections(listener, routes(self.desk), end).await;
            Ok(())
        });
        // Work that nobody waits for any more ends with the process.
        runtime.shutdown_background();
        served
    }
}

/// Takes connections in until the end, then lets answers under way go out.
async fn connections(listener: TcpListener, routes: Router, end: impl Future<Output = ()>) {
    let places = Arc::new(Semaphore::new(CONNECTIONS));
    let (closing, closed) = watch::channel(());
    let mut end = std::pin::pin!(end);
    loop {
        let (stream, place) = tokio::select! {
            biased;
            () = &mut end => break,
            taken = next(&listener, &places) => taken,
        };
        tokio::spawn(connection(stream, place, routes.clone(), closed.clone()));
    }
    drop((closing, closed, listener));
    let all = places.acquire_many(CONNECTIONS as u32);
    let _ = tokio::time::timeout(FAREWELL, all).await;
}

/// The next connection, when there is a place for it.
async fn next(
    listener: &TcpListener,
    places: &Arc<Semaphore>,
) -> (TcpStream, OwnedSemaphorePermit) {
    loop {
        let place = Arc::clone(places).acquire_owned().await;
        match (listener.accept().await, place) {
            (Ok((stream, _)), Ok(place)) => return (stream, place),
            // Out of handles, or the other side is gone again.
            _ => tokio::time::sleep(Duration::from_millis(20)).await,
        }
    }
}

async fn connection(
    stream: TcpStream,
    _place: OwnedSemaphorePermit,
    routes: Router,
    mut closed: watch::Receiver<()>,
) {
    // Small answers at once: nothing is gained by waiting on one machine.
    let _ = stream.set_nodelay(true);
    let mut stream = TimeoutStream::new(stream);
    stream.set_write_timeout(Some(PICKED_UP));
    let served = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD)
        .max_buf_size(64 << 10)
        .serve_connection(
            TokioIo::new(Box::pin(stream)),
            TowerToHyperService::new(routes),
        );
    let mut served = std::pin::pin!(served);
    // A fault of one connection concerns nobody else.
    tokio::select! {
        _ = served.as_mut() => {}
        _ = closed.changed() => {
            served.as_mut().graceful_shutdown();
            let _ = served.await;
        }
    }
}

/// Ends when the process is asked to.
#[cfg(unix)]
fn end() -> std::io::Result<impl Future<Output = ()>> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut interrupted = signal(SignalKind::interrupt())?;
    let mut terminated = signal(SignalKind::terminate())?;
    Ok(async move {
        tokio::select! {
            _ = interrupted.recv() => {}
            _ = terminated.recv() => {}
        }
    })
}

/// Ends when the process is asked to.
#[cfg(not(unix))]
fn end() -> std::io::Result<impl Future<Output = ()>> {
    Ok(async {
        let _ = tokio::signal::ctrl_c().await;
    })
}
