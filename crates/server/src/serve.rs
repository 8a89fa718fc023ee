//! The server from its options to its end.

use crate::doors::written;
use crate::{Doors, Limits, Page, Report, Server, Store, Token, USUAL_PORT, app, listen};
use desk::Desk;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What a person chooses.
#[derive(Debug, Clone)]
pub struct Options {
    /// `None`: the usual one, or one of the ten after it.
    pub port: Option<u16>,
    /// Folder of the records.
    pub folder: PathBuf,
    /// `None`: this machine alone.
    pub host: Option<IpAddr>,
    /// Further names for this machine.
    pub names: Vec<String>,
    /// Where the token stands; `None`: none on this machine alone, a random one on a network.
    pub token_file: Option<PathBuf>,
}

/// What a person must know once the server listens.
#[derive(Debug, Clone)]
pub struct Ready {
    /// Of the page; holds the token where a random one was drawn.
    pub address: String,
    /// Whether the usual port was taken.
    pub moved: bool,
    /// Whether other machines can reach it.
    pub network: bool,
    /// Whether the token is that of a file, which is not shown.
    pub hidden_token: bool,
    /// Whether there is a page.
    pub has_page: bool,
    /// Folder of the records.
    pub folder: PathBuf,
}

/// Listens, calls `ready`, serves until Ctrl-C or SIGTERM, and finishes what is under way.
///
/// # Errors
/// One line of words: a port that is taken, a folder that cannot be made, a token file that cannot be used, `ready`'s own.
pub fn serve(
    options: &Options,
    report: Report,
    ready: impl FnOnce(&Ready) -> Result<(), String>,
) -> Result<(), String> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(|e| format!("the server cannot be started: {e}"))?;
    let served = runtime.block_on(until_stopped(options, report, ready));
    // A long question that nobody waits for any more does not hold the end up.
    runtime.shutdown_background();
    served
}

async fn until_stopped(
    options: &Options,
    report: Report,
    ready: impl FnOnce(&Ready) -> Result<(), String>,
) -> Result<(), String> {
    let address = options.host.unwrap_or(IpAddr::V4(Ipv4Addr::LOCALHOST));
    // A further name is how others come in, through a proxy on this machine.
    let network = !address.is_loopback() || !options.names.is_empty();
    let token = match &options.token_file {
        Some(file) => Some(Token::from_file(file)?),
        None if network => Some(Token::random()?),
        None => None,
    };
    let (store, page) = (open(&options.folder)?, Page::built());
    let desk = Desk::open().map_err(|e| e.to_string())?;
    // Before it listens: from then on a signal is heeded.
    let mut signals = listen::Signals::heed().map_err(|e| format!("signals of the system cannot be heeded: {e}"))?;
    let (listener, port) = listen::bind(address, options.port.unwrap_or(USUAL_PORT), options.port.is_none()).await?;
    let mut doors = match &token {
        Some(token) if network => Doors::network(address, port, token.clone()),
        Some(token) => Doors::loopback(port).locked(token.clone()),
        None => Doors::loopback(port),
    }
    .at(address);
    for name in &options.names {
        doors = doors.allow(name)?;
    }
    let shown = token.filter(|_| options.token_file.is_none());
    let told = Ready {
        address: format!(
            "http://{}:{port}/{}",
            written(reached_at(address)),
            shown.map(|t| format!("?token={}", t.word())).unwrap_or_default()
        ),
        moved: options.port.is_none() && port != USUAL_PORT,
        network,
        hidden_token: options.token_file.is_some(),
        has_page: page.is_built(),
        folder: store.folder().to_owned(),
    };
    let app = app(Arc::new(Server::new(desk, page, store, doors, Limits::default(), report)));
    ready(&told)?;
    listen::run(listener, app, async || signals.next().await).await;
    Ok(())
}

fn open(folder: &Path) -> Result<Store, String> {
    let what = |e: std::io::Error| match e.kind() {
        std::io::ErrorKind::AlreadyExists | std::io::ErrorKind::NotADirectory => {
            "a file stands there: name a folder with --folder".to_owned()
        }
        std::io::ErrorKind::PermissionDenied => {
            "you may not write there: change its rights, or name another with --folder".to_owned()
        }
        _ => e.to_string(),
    };
    Store::open(folder).map_err(|e| format!("the folder of records, {}, cannot be used: {}", folder.display(), what(e)))
}

/// Where a browser finds a server that listens at every address: the address from which this machine would send. Nothing is
/// sent; the target is an address for documentation (RFC 5737, RFC 3849).
fn reached_at(address: IpAddr) -> IpAddr {
    if !address.is_unspecified() {
        return address;
    }
    let target = if address.is_ipv4() { "192.0.2.1" } else { "2001:db8::1" };
    let ours = || -> Option<IpAddr> {
        let socket = UdpSocket::bind(SocketAddr::new(address, 0)).ok()?;
        socket.connect((target.parse::<IpAddr>().ok()?, 9)).ok()?;
        Some(socket.local_addr().ok()?.ip())
    };
    ours().filter(|found| !found.is_unspecified()).unwrap_or(IpAddr::V4(Ipv4Addr::LOCALHOST))
}
