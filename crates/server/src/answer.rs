//! What is sent back when something is not done: one plain JSON `{error, field, line}`, the shape of the desk's refusals.

use axum::http::{HeaderName, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use desk::Refusal;

/// Why not, for a person. Nothing from inside the machine: no path, no error of the system.
#[derive(Debug)]
pub(crate) struct Not {
    status: StatusCode,
    refusal: Refusal,
    header: Option<(&'static str, &'static str)>,
}

impl Not {
    pub(crate) fn new(status: StatusCode, error: impl Into<String>) -> Self {
        Self { status, refusal: Refusal { error: error.into(), field: String::new(), line: None }, header: None }
    }

    /// Shown beside `field`.
    pub(crate) fn beside(mut self, field: &str) -> Self {
        self.refusal.field = field.to_owned();
        self
    }

    pub(crate) fn with(mut self, name: &'static str, value: &'static str) -> Self {
        self.header = Some((name, value));
        self
    }
}

impl From<Refusal> for Not {
    fn from(refusal: Refusal) -> Self {
        Self { status: StatusCode::UNPROCESSABLE_ENTITY, refusal, header: None }
    }
}

impl IntoResponse for Not {
    fn into_response(self) -> Response {
        let mut response = json(self.status, self.refusal.json());
        if let Some((name, value)) = self.header {
            response.headers_mut().insert(HeaderName::from_static(name), HeaderValue::from_static(value));
        }
        response
    }
}

/// JSON text that no cache keeps.
pub(crate) fn json(status: StatusCode, text: String) -> Response {
    (status, [(header::CONTENT_TYPE, "application/json"), (header::CACHE_CONTROL, "no-store")], text).into_response()
}

pub(crate) async fn wrong_method() -> Not {
    Not::new(
        StatusCode::METHOD_NOT_ALLOWED,
        "this address does not take that method; api/openapi.json lists what each address takes",
    )
}
