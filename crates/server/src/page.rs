//! The page: static files, from inside the program.

use crate::Server;
use crate::answer::Not;
use crate::token::hex;
use axum::body::{Body, Bytes};
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::response::{IntoResponse, Response};
use rust_embed::RustEmbed;
use sha2::{Digest, Sha256};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::Arc;

#[derive(RustEmbed)]
#[folder = "../../ui/dist"]
struct Built;

const INDEX: &str = "index.html";
/// Tells the page that a server keeps records.
const KEEPS: &str = "<meta name=\"huewright-keeps\" content=\"1\">";
const UNBUILT: &str = "The page has not been built yet. Run `cargo xtask start`, which builds it and starts the server.\n\
    The questions can be asked already: api/openapi.json lists them.\n";
/// Best first.
const PACKED: [(&str, &str); 2] = [("br", ".br"), ("gzip", ".gz")];

struct File {
    bytes: Bytes,
    etag: String,
}

/// Static files by their path.
pub struct Page {
    files: BTreeMap<String, File>,
}

impl Page {
    /// The files of `ui/dist` when the program was compiled; none where the page was not built.
    pub fn built() -> Self {
        Self::of(Built::iter().filter_map(|name| Some((name.clone().into_owned(), Built::get(&name)?.data))))
    }

    /// Files with their path, `index.html` among them; `X.br` and `X.gz` are `X` packed.
    pub fn of(files: impl Iterator<Item = (String, Cow<'static, [u8]>)>) -> Self {
        let files = files.map(|(name, data)| {
            let bytes = match data {
                _ if name == INDEX => Bytes::from(keeping(&data)),
                Cow::Borrowed(bytes) => Bytes::from_static(bytes),
                Cow::Owned(bytes) => Bytes::from(bytes),
            };
            let etag = etag(&bytes);
            (name, File { bytes, etag })
        });
        // The packed index lacks the word that there is a server.
        let files = files.filter(|(name, _)| !PACKED.iter().any(|(_, end)| *name == format!("{INDEX}{end}")));
        Self { files: files.collect() }
    }

    /// Whether there is a page.
    pub fn is_built(&self) -> bool {
        self.files.contains_key(INDEX)
    }

    fn packed(&self, path: &str, headers: &HeaderMap) -> Option<(&'static str, &File)> {
        PACKED.iter().filter(|(coding, _)| accepts(headers, coding)).find_map(|(coding, end)| {
            let file = self.files.get(&format!("{path}{end}"))?;
            Some((*coding, file))
        })
    }

    fn has_packed(&self, path: &str) -> bool {
        PACKED.iter().any(|(_, end)| self.files.contains_key(&format!("{path}{end}")))
    }
}

/// A tag that differs where the bytes do.
pub(crate) fn etag(bytes: &[u8]) -> String {
    format!("\"{}\"", hex(&Sha256::digest(bytes)[..16]))
}

fn keeping(index: &[u8]) -> Vec<u8> {
    let head = b"<head>";
    let at = index.windows(head.len()).position(|w| w.eq_ignore_ascii_case(head)).map_or(0, |at| at + head.len());
    [&index[..at], KEEPS.as_bytes(), &index[at..]].concat()
}

/// RFC 9110, 12.5.3: named or `*`, and not with a weight of 0.
fn accepts(headers: &HeaderMap, coding: &str) -> bool {
    let lines = headers.get_all(header::ACCEPT_ENCODING).iter().filter_map(|v| v.to_str().ok());
    let mut any = None;
    for item in lines.flat_map(|line| line.split(',')) {
        let mut parts = item.split(';').map(str::trim);
        let name = parts.next().unwrap_or_default();
        let weight = parts.find_map(|p| p.strip_prefix("q=").or_else(|| p.strip_prefix("Q=")));
        let wanted = weight.is_none_or(|w| w.trim().parse::<f32>().is_ok_and(|w| w > 0.0));
        if name.eq_ignore_ascii_case(coding) {
            return wanted;
        }
        if name == "*" {
            any = Some(wanted);
        }
    }
    any.unwrap_or(false)
}

/// Whether the client has this very text already.
pub(crate) fn has_it(headers: &HeaderMap, etag: &str) -> bool {
    let lines = headers.get_all(header::IF_NONE_MATCH).iter().filter_map(|v| v.to_str().ok());
    lines.flat_map(|line| line.split(',')).map(str::trim).any(|t| t == "*" || t.trim_start_matches("W/") == etag)
}

fn media(path: &str) -> &'static str {
    match path.rsplit_once('.').map_or("", |(_, end)| end) {
        "html" => "text/html; charset=utf-8",
        "js" | "mjs" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "wasm" => "application/wasm",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "jpg" | "jpeg" => "image/jpeg",
        "webp" => "image/webp",
        "ico" => "image/x-icon",
        "woff2" => "font/woff2",
        "json" | "map" => "application/json",
        "webmanifest" => "application/manifest+json",
        "txt" | "toml" | "csv" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

pub(crate) async fn file(State(server): State<Arc<Server>>, request: Request) -> Response {
    let (method, headers) = (request.method(), request.headers());
    let page = &server.page;
    let path = request.uri().path().trim_start_matches('/');
    let path = if path.is_empty() { INDEX } else { path };
    if path.starts_with("api/") || path == "api" {
        return nothing().into_response();
    }
    if *method != Method::GET && *method != Method::HEAD {
        return crate::answer::wrong_method().await.into_response();
    }
    if path == INDEX && !page.is_built() {
        return ([(header::CONTENT_TYPE, "text/plain; charset=utf-8")], UNBUILT).into_response();
    }
    let Some(whole) = page.files.get(path) else { return nothing().into_response() };
    let (coding, sent) = page.packed(path, headers).map_or((None, whole), |(coding, file)| (Some(coding), file));
    let mut response = if has_it(headers, &sent.etag) {
        StatusCode::NOT_MODIFIED.into_response()
    } else {
        Body::from(sent.bytes.clone()).into_response()
    };
    let out = response.headers_mut();
    out.insert(header::CONTENT_TYPE, HeaderValue::from_static(media(path)));
    // The build writes a hash of each file into its name below assets/.
    let keeping = if path.starts_with("assets/") { "private, max-age=31536000, immutable" } else { "no-cache" };
    out.insert(header::CACHE_CONTROL, HeaderValue::from_static(keeping));
    if let Ok(etag) = HeaderValue::from_str(&sent.etag) {
        out.insert(header::ETAG, etag);
    }
    if let Some(coding) = coding {
        out.insert(header::CONTENT_ENCODING, HeaderValue::from_static(coding));
    }
    if page.has_packed(path) {
        out.insert(header::VARY, HeaderValue::from_static("accept-encoding"));
    }
    response
}

fn nothing() -> Not {
    Not::new(StatusCode::NOT_FOUND, "there is nothing at this address")
}
