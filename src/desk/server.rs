//! The address, the threads and the shutdown.

use super::connections::serve;
use super::launch::launch_file;
use super::limits::{ABANDONED, PORTS, SHUTDOWN_WAIT, WORKERS};
use super::routes::routes;
use super::state::{Desk, StartFiles};
use crate::error::{Error, Result};
use crate::picture::Drawer;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::{Arc, PoisonError};
use tokio::net::TcpListener;
use tokio::sync::oneshot;

/// A desk that has its address.
pub struct Server {
    listener: std::net::TcpListener,
    desk: Arc<Desk>,
}

impl Server {
    /// Takes an address on this machine's loopback: the given port, or else one of the
    /// desk's usual ports, or else any free port. `start` are the files that the page opens.
    ///
    /// # Errors
    /// If the port is taken or may not be used.
    pub fn bind(port: Option<u16>, start: StartFiles, drawer: Drawer) -> Result<Self> {
        let failed = |e: std::io::Error| {
            let what = match port {
                Some(port) => format!("port {port} cannot be used"),
                None => "there is no free port".to_string(),
            };
            let hint = "name another with --port, or leave it out for a free one";
            Error::new(what).hint(hint).because(e)
        };
        let listener = match port {
            Some(port) => listen(port),
            None => PORTS
                .into_iter()
                .find_map(|port| listen(port).ok())
                .map_or_else(|| listen(0), Ok),
        };
        let listener = listener.map_err(failed)?;
        listener.set_nonblocking(true).map_err(failed)?;
        let port = listener.local_addr().map_err(failed)?.port();
        Ok(Self {
            listener,
            desk: Arc::new(Desk::new(port, start, drawer)?),
        })
    }

    /// The address of the page.
    pub fn address(&self) -> String {
        let Desk { port, token, .. } = &*self.desk;
        format!("http://127.0.0.1:{port}/{}/", token.as_str())
    }

    /// Writes the file that opens the page, which a browser is to be started with. It is removed
    /// when the page has been asked for, or the desk ends.
    ///
    /// # Errors
    /// If there is no folder for it.
    pub fn launch_file(&self) -> Result<PathBuf> {
        let file = launch_file(&self.address())?;
        let path = file.path();
        *self
            .desk
            .launch
            .lock()
            .unwrap_or_else(PoisonError::into_inner) = Some(file);
        Ok(path)
    }

    /// Answers until the process is told to end (SIGINT or SIGTERM, Ctrl-C elsewhere); `ready` is
    /// called once it listens. Requests that have begun then have half a second to finish.
    ///
    /// # Errors
    /// If the system gives no threads or signals.
    pub fn serve(self, ready: impl FnOnce() -> Result<()>) -> Result<()> {
        let failed = |e: std::io::Error| Error::new("the desk cannot be opened").because(e);
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(2)
            .max_blocking_threads(WORKERS + ABANDONED + 1)
            .enable_io()
            .enable_time()
            .build()
            .map_err(failed)?;
        let desk = Arc::clone(&self.desk);
        let served = runtime.block_on(async {
            let signal = end_signal().map_err(failed)?;
            let listener = TcpListener::from_std(self.listener).map_err(failed)?;
            let (closing, closed) = oneshot::channel::<()>();
            let closed = async { closed.await.unwrap_or_default() };
            ready()?;
            let server = tokio::spawn(serve(listener, routes(self.desk), closed));
            signal.await;
            drop(closing);
            let _ = tokio::time::timeout(SHUTDOWN_WAIT, server).await;
            Ok(())
        });
        desk.launched();
        // Abandoned jobs end with the process.
        runtime.shutdown_background();
        served
    }
}

fn listen(port: u16) -> std::io::Result<std::net::TcpListener> {
    std::net::TcpListener::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, port)))
}

/// Completes when the process is told to end.
#[cfg(unix)]
fn end_signal() -> std::io::Result<impl Future<Output = ()>> {
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

/// Completes when the process is told to end.
#[cfg(not(unix))]
fn end_signal() -> std::io::Result<impl Future<Output = ()>> {
    Ok(async {
        let _ = tokio::signal::ctrl_c().await;
    })
}
