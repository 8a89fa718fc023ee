//! Huewright's workbench over HTTP: the page, the questions of the desk, and a folder in which records are kept.
//!
//! - [`serve`]: listens until it is told to stop;
//! - [`app`]: the same as a value, for tests;
//! - [`Doors`]: who is let in: names of the host, origin, token;
//! - [`Page`]: the static files, from inside the program.
//!
//! What it is not: it knows no formula and no question by name but `read`, with which it checks what it keeps; it prints
//! nothing, and knows no users: who holds the token may do everything.

mod answer;
mod ask;
mod body;
mod doors;
mod folder;
mod headers;
mod listen;
mod name;
mod openapi;
mod page;
mod records;
mod serve;
mod store;
mod token;

pub use doors::Doors;
pub use folder::usual_folder;
pub use headers::CONTENT_SECURITY_POLICY;
pub use page::Page;
pub use serve::{Options, Ready, serve};
pub use store::{MOST_BYTES, MOST_RECORDS, Store};
pub use token::Token;

use axum::Router;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::routing::{get, post};
use desk::Desk;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::Semaphore;

/// Port where none is given: unassigned by IANA when this was written (from memory), and easy to type.
pub const USUAL_PORT: u16 = 4717;

/// Told what a client must not see: why a disk failed, that an answer broke. One line each.
pub type Report = Arc<dyn Fn(&str) + Send + Sync>;

/// How many questions are worked on at once.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// Questions at the same time; each takes one core.
    pub questions: usize,
    /// How long a further one waits for a place before it is sent away.
    pub wait: Duration,
}

impl Default for Limits {
    fn default() -> Self {
        let cores = std::thread::available_parallelism().map_or(2, usize::from);
        Self { questions: cores.clamp(2, 8), wait: Duration::from_secs(3) }
    }
}

/// What the handlers share.
pub struct Server {
    desk: Arc<Desk>,
    page: Page,
    store: Arc<Store>,
    doors: Doors,
    limits: Limits,
    places: Arc<Semaphore>,
    report: Report,
}

impl Server {
    /// Joins the desk, the page, the folder and the doors.
    pub fn new(desk: Desk, page: Page, store: Store, doors: Doors, limits: Limits, report: Report) -> Self {
        let places = Arc::new(Semaphore::new(limits.questions));
        Self { desk: Arc::new(desk), page, store: Arc::new(store), doors, limits, places, report }
    }
}

/// Every route, behind the doors.
pub fn app(server: Arc<Server>) -> Router {
    Router::new()
        .route("/api/ask/{question}", post(ask::ask))
        .route("/api/openapi.json", get(openapi::openapi))
        .route("/api/records", get(records::list))
        .route("/api/records/{kind}/{name}", get(records::fetch).put(records::keep).delete(records::remove))
        .fallback(page::file)
        .method_not_allowed_fallback(answer::wrong_method)
        .layer(from_fn_with_state(server.clone(), doors::check))
        .layer(from_fn(headers::strict))
        .with_state(server)
}
