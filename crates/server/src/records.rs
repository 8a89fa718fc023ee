//! Records over HTTP: listed, fetched, kept, removed.

use crate::answer::{Not, json};
use crate::name::{Kind, Name};
use crate::page::{etag, has_it};
use crate::store::{Condition, MOST_BYTES, MOST_RECORDS, Store, Trouble};
use crate::{Server, ask, body};
use axum::body::Body;
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use desk::{Desk, Refusal};
use serde_json::{Value, json};
use std::sync::Arc;
use std::time::UNIX_EPOCH;

type Place = Result<Path<(String, String)>, PathRejection>;

pub(crate) async fn list(State(server): State<Arc<Server>>) -> Result<Response, Not> {
    let rows = on_disk(&server, |store, _| store.list().map_err(Halt::Trouble)).await?;
    let rows: Vec<Value> = rows
        .iter()
        .map(|r| {
            json!({ "kind": r.kind.word(), "name": r.name.as_str(), "bytes": r.bytes,
                    "changed": humantime::format_rfc3339_seconds(r.changed.max(UNIX_EPOCH)).to_string() })
        })
        .collect();
    Ok(json(StatusCode::OK, json!({ "schema": 1, "records": rows }).to_string()))
}

pub(crate) async fn fetch(
    State(server): State<Arc<Server>>,
    place: Place,
    headers: HeaderMap,
) -> Result<Response, Not> {
    let (kind, name) = named(place)?;
    let media = name.media(kind);
    let text = on_disk(&server, move |store, _| store.fetch(kind, &name).map_err(Halt::Trouble)).await?;
    let tag = etag(text.as_bytes());
    let mut response =
        if has_it(&headers, &tag) { StatusCode::NOT_MODIFIED.into_response() } else { text.into_response() };
    let out = response.headers_mut();
    out.insert(header::CONTENT_TYPE, HeaderValue::from_static(media));
    out.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-cache"));
    Ok(tagged(response, &tag))
}

pub(crate) async fn keep(
    State(server): State<Arc<Server>>,
    place: Place,
    headers: HeaderMap,
    body: Body,
) -> Result<Response, Not> {
    let (kind, name) = named(place)?;
    let when = condition(&headers)?;
    let text = body::text(&headers, body, MOST_BYTES).await?;
    if text.contains('\0') {
        return Err(Not::new(StatusCode::BAD_REQUEST, "the body holds a zero byte: it is not text"));
    }
    let told = name.clone();
    let (tag, new) = on_disk(&server, move |store, desk| {
        check(desk, kind, &name, &text).map_err(Halt::Refusal)?;
        store.keep(kind, &name, &text, &when).map_err(Halt::Trouble)
    })
    .await?;
    let status = if new { StatusCode::CREATED } else { StatusCode::OK };
    Ok(tagged(json(status, json!({ "kind": kind.word(), "name": told.as_str() }).to_string()), &tag))
}

pub(crate) async fn remove(
    State(server): State<Arc<Server>>,
    place: Place,
    headers: HeaderMap,
) -> Result<Response, Not> {
    let (kind, name) = named(place)?;
    let when = condition(&headers)?;
    let to = on_disk(&server, move |store, _| store.remove(kind, &name, &when).map_err(Halt::Trouble)).await?;
    Ok(json(StatusCode::OK, json!({ "removed": to }).to_string()))
}

/// What the desk can read is read before it is kept.
fn check(desk: &Desk, kind: Kind, name: &Name, text: &str) -> Result<(), Refusal> {
    if !kind.is_read() {
        return Ok(());
    }
    let request = json!({ "kind": kind.word(), "name": name.file(kind), "text": text });
    desk.ask("read", &request.to_string(), &mut |_, _| {}).map(|_| ())
}

fn named(place: Place) -> Result<(Kind, Name), Not> {
    let no_name = |words: String| Not::new(StatusCode::UNPROCESSABLE_ENTITY, words).beside("name");
    let Path((kind, name)) = place.map_err(|_| no_name("the name is not UTF-8 text".to_owned()))?;
    let kinds = Kind::ALL.map(Kind::word).join(", ");
    let kind = Kind::of(&kind).ok_or_else(|| {
        Not::new(StatusCode::NOT_FOUND, format!("there is no such kind of record; there are {kinds}"))
    })?;
    Ok((kind, Name::new(&name).map_err(no_name)?))
}

/// RFC 9110, 13.1: what the client says must hold.
fn condition(headers: &HeaderMap) -> Result<Condition, Not> {
    let words = |name: HeaderName| -> Vec<String> {
        let lines = headers.get_all(name).iter().filter_map(|v| v.to_str().ok());
        lines.flat_map(|l| l.split(',')).map(|t| t.trim().to_owned()).filter(|t| !t.is_empty()).collect()
    };
    let (seen, new) = (words(header::IF_MATCH), words(header::IF_NONE_MATCH));
    let given = headers.contains_key(header::IF_MATCH);
    match (seen.as_slice(), new.as_slice()) {
        ([], []) if !given => Ok(Condition::None),
        ([], [star]) if star == "*" && !given => Ok(Condition::New),
        ([star], []) if star == "*" => Ok(Condition::There),
        (_, []) => Ok(Condition::Seen(seen)),
        _ => Err(Not::new(
            StatusCode::BAD_REQUEST,
            "send If-Match with the tag that was fetched, or If-None-Match: * for a new record, not both",
        )),
    }
}

fn tagged(mut response: Response, tag: &str) -> Response {
    if let Ok(value) = HeaderValue::from_str(tag) {
        response.headers_mut().insert(header::ETAG, value);
    }
    response
}

enum Halt {
    Refusal(Refusal),
    Trouble(Trouble),
}

/// Disks are slow: not on the threads that listen.
async fn on_disk<T: Send + 'static>(
    server: &Server,
    work: impl FnOnce(&Store, &Desk) -> Result<T, Halt> + Send + 'static,
) -> Result<T, Not> {
    let (store, desk) = (server.store.clone(), server.desk.clone());
    match tokio::task::spawn_blocking(move || work(&store, &desk)).await {
        Ok(Ok(done)) => Ok(done),
        Ok(Err(Halt::Refusal(refusal))) => Err(refusal.into()),
        Ok(Err(Halt::Trouble(trouble))) => Err(told(server, trouble)),
        Err(error) => {
            (server.report)(&format!("work on the records broke off: {error}"));
            Err(ask::broken())
        }
    }
}

fn told(server: &Server, trouble: Trouble) -> Not {
    let not = |status: StatusCode, words: &str| Not::new(status, words);
    match trouble {
        Trouble::Missing => not(StatusCode::NOT_FOUND, "there is no record of that name").beside("name"),
        Trouble::There => {
            not(StatusCode::PRECONDITION_FAILED, "there is a record of that name already; replace it, or take another name")
                .beside("name")
        }
        Trouble::Changed => not(
            StatusCode::PRECONDITION_FAILED,
            "the record was changed or removed meanwhile, perhaps in another tab; fetch it again before you replace it",
        ),
        Trouble::Twin(twin) => not(
            StatusCode::CONFLICT,
            &format!("there is '{twin}' already, and some disks do not tell capitals from small letters; take that name or another"),
        )
        .beside("name"),
        Trouble::Full => not(
            StatusCode::INSUFFICIENT_STORAGE,
            &format!("there are {MOST_RECORDS} records already; remove some that are not needed"),
        ),
        Trouble::Unreadable => not(
            StatusCode::UNPROCESSABLE_ENTITY,
            &format!("the file of that record is longer than {MOST_BYTES} bytes or not UTF-8 text: move it out of the folder of records by hand"),
        ),
        Trouble::NotAFile => not(
            StatusCode::FORBIDDEN,
            "a link, folder or file stands where that record's file, or the folder of its kind, should be; the server follows no links: move it away",
        ),
        Trouble::Busy => not(
            StatusCode::SERVICE_UNAVAILABLE,
            "another program holds the folder of records; nothing was changed: try again in a few seconds",
        ),
        Trouble::Disk(error) => {
            (server.report)(&format!("{}: {error}", server.store.folder().display()));
            not(
                StatusCode::INTERNAL_SERVER_ERROR,
                "the folder of records cannot be read or written; the window in which Huewright runs says why",
            )
        }
    }
}
