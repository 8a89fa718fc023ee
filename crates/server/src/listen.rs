//! Sockets: finding a port, taking in connections, ending cleanly.

use axum::Router;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;
use std::io::{self, ErrorKind};
use std::net::{IpAddr, SocketAddr};
use std::pin::Pin;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;
use tokio_io_timeout::TimeoutStream;

/// Ports tried after the usual one.
const FURTHER_PORTS: u16 = 10;
/// A workshop has a handful of tabs and phones; a browser opens six connections.
const MOST_CONNECTIONS: usize = 200;
/// For the head of a request, also while a kept connection is idle.
const HEAD_TIME: Duration = Duration::from_secs(10);
/// Without a byte taken of an answer.
const TAKE_TIME: Duration = Duration::from_secs(60);
const HEAD_BYTES: usize = 64 * 1024;
/// After the signal, for what is under way.
const LAST_WORK: Duration = Duration::from_secs(10);

/// A listener and its port. Where the port is taken and `further` is said, the next free of ten.
pub(crate) async fn bind(address: IpAddr, port: u16, further: bool) -> Result<(TcpListener, u16), String> {
    let last = if further { port.saturating_add(FURTHER_PORTS) } else { port };
    for tried in port..=last {
        match TcpListener::bind(SocketAddr::new(address, tried)).await {
            Ok(listener) => {
                let port = listener.local_addr().map_err(|e| e.to_string())?.port();
                return Ok((listener, port));
            }
            Err(error) if error.kind() == ErrorKind::AddrInUse => {}
            Err(error) => return Err(format!("port {tried} of {address} cannot be opened: {error}")),
        }
    }
    Err(if further {
        format!("ports {port} to {last} are taken; choose one with --port")
    } else {
        format!("port {port} is taken; leave out --port to take the next free one, or choose another")
    })
}

/// Serves until `signal` comes; then finishes what is under way, for some seconds or until it comes again.
pub(crate) async fn run(listener: TcpListener, app: Router, mut signal: impl AsyncFnMut()) {
    let graceful = GracefulShutdown::new();
    let places = Arc::new(Semaphore::new(MOST_CONNECTIONS));
    loop {
        let place = tokio::select! {
            () = signal() => break,
            place = places.clone().acquire_owned() => place,
        };
        let accepted = tokio::select! {
            () = signal() => break,
            accepted = listener.accept() => accepted,
        };
        let stream = match accepted {
            Ok((stream, _)) => stream,
            Err(error) => {
                pause_after(&error).await;
                continue;
            }
        };
        let connection = http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(HEAD_TIME)
            .max_buf_size(HEAD_BYTES)
            .serve_connection(TokioIo::new(patient(stream)), TowerToHyperService::new(app.clone()));
        let connection = graceful.watch(connection);
        tokio::spawn(async move {
            // A connection that breaks off is no fault of ours.
            let _ = connection.await;
            drop(place);
        });
    }
    drop(listener);
    tokio::select! {
        () = graceful.shutdown() => {}
        () = tokio::time::sleep(LAST_WORK) => {}
        () = signal() => {}
    }
}

/// A client that takes no byte of its answer for a while is let go, and what was kept for it.
fn patient(stream: TcpStream) -> Pin<Box<TimeoutStream<TcpStream>>> {
    let mut timed = TimeoutStream::new(stream);
    timed.set_write_timeout(Some(TAKE_TIME));
    Box::pin(timed)
}

/// A machine out of file handles gets a moment.
async fn pause_after(error: &io::Error) {
    if !matches!(error.kind(), ErrorKind::ConnectionAborted | ErrorKind::ConnectionReset) {
        tokio::time::sleep(Duration::from_millis(200)).await;
    }
}

/// Ctrl-C and, on Unix, SIGTERM.
pub(crate) struct Signals {
    #[cfg(unix)]
    interrupt: tokio::signal::unix::Signal,
    #[cfg(unix)]
    terminate: tokio::signal::unix::Signal,
}

#[cfg(unix)]
impl Signals {
    /// From here on they no longer end the program by themselves.
    pub(crate) fn heed() -> io::Result<Self> {
        use tokio::signal::unix::{SignalKind, signal};
        Ok(Self { interrupt: signal(SignalKind::interrupt())?, terminate: signal(SignalKind::terminate())? })
    }

    pub(crate) async fn next(&mut self) {
        tokio::select! {
            _ = self.interrupt.recv() => {}
            _ = self.terminate.recv() => {}
        }
    }
}

#[cfg(not(unix))]
impl Signals {
    pub(crate) fn heed() -> io::Result<Self> {
        Ok(Self {})
    }

    pub(crate) async fn next(&mut self) {
        let _ = tokio::signal::ctrl_c().await;
    }
}
