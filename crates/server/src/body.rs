//! The body of a request, read with a limit of size and of time.

use crate::answer::Not;
use axum::body::{Body, to_bytes};
use axum::http::{HeaderMap, StatusCode, header};
use std::time::Duration;

/// A phone at the far end of a workshop sends 8 MB in this time.
const LONGEST: Duration = Duration::from_secs(60);

/// Reads at most `most` bytes of text.
pub(crate) async fn text(headers: &HeaderMap, body: Body, most: usize) -> Result<String, Not> {
    let too_big = || Not::new(StatusCode::PAYLOAD_TOO_LARGE, format!("the body is bigger than {most} bytes"));
    // Sent away before anything is read, where the client says how much is to come.
    let told = headers.get(header::CONTENT_LENGTH).and_then(|v| v.to_str().ok()).and_then(|v| v.parse::<usize>().ok());
    if told.is_some_and(|bytes| bytes > most) {
        return Err(too_big());
    }
    let bytes = match tokio::time::timeout(LONGEST, to_bytes(body, most)).await {
        Err(_) => return Err(Not::new(StatusCode::REQUEST_TIMEOUT, "the body took too long to arrive; send it again")),
        Ok(Err(error)) if over_limit(&error) => return Err(too_big()),
        Ok(Err(_)) => return Err(Not::new(StatusCode::BAD_REQUEST, "the body did not arrive whole; send it again")),
        Ok(Ok(bytes)) => bytes,
    };
    String::from_utf8(bytes.into())
        .map_err(|_| Not::new(StatusCode::BAD_REQUEST, "the body is not UTF-8 text; save the file as UTF-8"))
}

fn over_limit(error: &axum::Error) -> bool {
    let mut cause: Option<&dyn std::error::Error> = Some(error);
    while let Some(error) = cause {
        // The type of this error is not given out by axum; its words are tested.
        if error.to_string().contains("length limit exceeded") {
            return true;
        }
        cause = error.source();
    }
    false
}
