//! One handler for every question: the desk's, as in the browser's module.

use crate::answer::{Not, json};
use crate::{Server, body};
use axum::body::Body;
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::Response;
use desk::QUESTIONS;
use std::sync::Arc;

/// Spectra of a person's own may ride along.
const MOST_BYTES: usize = 8_000_000;

pub(crate) async fn ask(
    State(server): State<Arc<Server>>,
    question: Result<Path<String>, PathRejection>,
    headers: HeaderMap,
    body: Body,
) -> Result<Response, Not> {
    let question = question.map_or_else(|_| String::new(), |Path(q)| q);
    let Some(question) = QUESTIONS.iter().find(|q| q.name == question) else {
        let known: Vec<&str> = QUESTIONS.iter().map(|q| q.name).collect();
        return Err(Not::new(
            StatusCode::NOT_FOUND,
            format!("there is no such question; there are {}", known.join(", ")),
        ));
    };
    if !is_json(&headers) {
        return Err(Not::new(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "a question is JSON: send it with Content-Type: application/json",
        ));
    }
    let request = body::text(&headers, body, MOST_BYTES).await?;
    let waited = tokio::time::timeout(server.limits.wait, server.places.clone().acquire_owned()).await;
    let Ok(Ok(place)) = waited else {
        return Err(Not::new(
            StatusCode::SERVICE_UNAVAILABLE,
            format!("{} questions are being worked on; ask again in a few seconds", server.limits.questions),
        )
        .with("retry-after", "5"));
    };
    let desk = server.desk.clone();
    // The place is given back when the work ends, also where nobody waits for the answer any more.
    let worked = tokio::task::spawn_blocking(move || {
        let answer = desk.ask(question.name, &request, &mut |_, _| {});
        drop(place);
        answer
    })
    .await;
    match worked {
        Ok(answer) => Ok(json(StatusCode::OK, answer?)),
        Err(error) => {
            (server.report)(&format!("the question '{}' broke off: {error}", question.name));
            Err(broken())
        }
    }
}

/// A defect of ours: what it was stands where the server runs.
pub(crate) fn broken() -> Not {
    Not::new(
        StatusCode::INTERNAL_SERVER_ERROR,
        "something broke inside Huewright, not in your input; the window in which it runs says more",
    )
}

fn is_json(headers: &HeaderMap) -> bool {
    let given = headers.get(header::CONTENT_TYPE).and_then(|v| v.to_str().ok()).unwrap_or_default();
    given.split(';').next().is_some_and(|kind| kind.trim().eq_ignore_ascii_case("application/json"))
}
