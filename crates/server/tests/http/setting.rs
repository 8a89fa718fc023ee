//! A workbench for a test: its own folder, and requests with what a browser would send.

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{HeaderMap, Request, StatusCode};
use desk::Desk;
use serde_json::Value;
use server::{Doors, Limits, Page, Server, Store, app};
use std::borrow::Cow;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use tower::ServiceExt;

pub const HOST: &str = "localhost:4717";

/// A folder of this test's own, emptied.
pub fn folder(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("server").join(name);
    let _ = std::fs::remove_dir_all(&path);
    std::fs::create_dir_all(&path).unwrap();
    path
}

pub struct Bench {
    pub app: Router,
    pub folder: PathBuf,
    /// What was reported where the server runs.
    pub told: Arc<Mutex<Vec<String>>>,
}

pub fn bench_with(name: &str, doors: Doors, limits: Limits, files: &[(&str, &[u8])]) -> Bench {
    let folder = folder(name);
    let told = Arc::new(Mutex::new(Vec::new()));
    let report = {
        let told = told.clone();
        Arc::new(move |line: &str| told.lock().unwrap().push(line.to_owned()))
    };
    let files: Vec<_> = files.iter().map(|(n, b)| ((*n).to_owned(), Cow::Owned(b.to_vec()))).collect();
    let (desk, page, store) = (Desk::open().unwrap(), Page::of(files.into_iter()), Store::open(&folder).unwrap());
    Bench { app: app(Arc::new(Server::new(desk, page, store, doors, limits, report))), folder, told }
}

pub fn bench(name: &str) -> Bench {
    bench_with(name, Doors::loopback(4717), Limits::default(), &[])
}

/// What came back.
pub struct Sent {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub bytes: Vec<u8>,
}

impl Sent {
    pub fn text(&self) -> &str {
        std::str::from_utf8(&self.bytes).unwrap()
    }

    pub fn json(&self) -> Value {
        serde_json::from_slice(&self.bytes).unwrap()
    }

    pub fn header(&self, name: &str) -> &str {
        self.headers.get(name).map_or("", |v| v.to_str().unwrap())
    }

    /// The status, and one plain JSON that holds each of the words.
    pub fn refused(&self, status: u16, words: &[&str]) {
        assert_eq!(self.status.as_u16(), status, "{}", self.text());
        assert_eq!(self.header("content-type"), "application/json");
        let value = self.json();
        assert_eq!(value.as_object().unwrap().len(), 3, "{value}");
        assert!(value["field"].is_string() && (value["line"].is_null() || value["line"].is_u64()), "{value}");
        let error = value["error"].as_str().unwrap();
        for word in words {
            assert!(error.contains(word), "'{word}' is missing in: {error}");
        }
    }
}

/// A request with the right host and no other header.
pub fn request(method: &str, path: &str, headers: &[(&str, &str)], body: impl Into<Body>) -> Request<Body> {
    let mut builder = Request::builder().method(method).uri(path);
    if !headers.iter().any(|(n, _)| *n == "host") {
        builder = builder.header("host", HOST);
    }
    for (name, value) in headers {
        builder = builder.header(*name, *value);
    }
    builder.body(body.into()).unwrap()
}

impl Bench {
    pub async fn send(&self, request: Request<Body>) -> Sent {
        let response = self.app.clone().oneshot(request).await.unwrap();
        let (parts, body) = response.into_parts();
        let bytes = to_bytes(body, usize::MAX).await.unwrap().to_vec();
        Sent { status: parts.status, headers: parts.headers, bytes }
    }

    pub async fn get(&self, path: &str) -> Sent {
        self.send(request("GET", path, &[], "")).await
    }

    pub async fn ask(&self, question: &str, body: impl Into<Body>) -> Sent {
        self.send(request("POST", &format!("/api/ask/{question}"), &[("content-type", "application/json")], body)).await
    }

    pub async fn put(&self, path: &str, headers: &[(&str, &str)], body: &str) -> Sent {
        self.send(request("PUT", &format!("/api/records/{path}"), headers, body.to_owned())).await
    }

    /// Every file below the folder, but the lock.
    pub fn files(&self) -> Vec<String> {
        let mut found = Vec::new();
        walk(&self.folder, &self.folder, &mut found);
        found.retain(|f| f != ".lock");
        found.sort();
        found
    }
}

fn walk(root: &Path, folder: &Path, found: &mut Vec<String>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            walk(root, &path, found);
        } else {
            found.push(path.strip_prefix(root).unwrap().to_string_lossy().into_owned());
        }
    }
}
