//! Headers of every answer: what a browser may do with it.

use axum::extract::Request;
use axum::http::{HeaderName, HeaderValue};
use axum::middleware::Next;
use axum::response::Response;

/// What the page may load and run: its own files, and WebAssembly. No style in attributes of the markup is needed: the
/// page sets computed colours through the style objects of its elements, which this policy allows.
pub const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; \
    img-src 'self' data: blob:; connect-src 'self'; worker-src 'self'; font-src 'self'; base-uri 'none'; \
    form-action 'none'; frame-ancestors 'none'";

const STRICT: &[(&str, &str)] = &[
    ("content-security-policy", CONTENT_SECURITY_POLICY),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    ("referrer-policy", "no-referrer"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-embedder-policy", "require-corp"),
    ("cross-origin-resource-policy", "same-origin"),
    (
        "permissions-policy",
        "camera=(), display-capture=(), geolocation=(), microphone=(), payment=(), serial=(), usb=()",
    ),
];

pub(crate) async fn strict(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    for (name, value) in STRICT {
        response.headers_mut().insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    }
    response
}
