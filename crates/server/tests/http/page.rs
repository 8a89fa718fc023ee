//! The static files: types, packed siblings, caching, and what stands there when the page was not built.

use crate::setting::{Bench, Sent, bench, bench_with, request};
use server::{Doors, Limits};

const FILES: &[(&str, &[u8])] = &[
    ("index.html", b"<!doctype html><html><HEAD><title>x</title></HEAD></html>"),
    ("index.html.br", b"packed without the word that there is a server"),
    ("mark.svg", b"<svg/>"),
    ("assets/engine-abc.wasm", b"\0asm"),
    ("assets/engine-abc.wasm.br", b"br"),
    ("assets/engine-abc.wasm.gz", b"gz"),
    ("assets/page-abc.js", b"let a;"),
    ("assets/page-abc.js.gz", b"gz"),
    ("assets/page-abc.css", b"a{}"),
];

fn built(name: &str) -> Bench {
    bench_with(name, Doors::loopback(4717), Limits::default(), FILES)
}

async fn accepting(bench: &Bench, path: &str, codings: &str) -> Sent {
    bench.send(request("GET", path, &[("accept-encoding", codings)], "")).await
}

#[tokio::test]
async fn files_have_their_types_and_are_kept_as_long_as_they_stay_the_same() {
    let bench = built("types");
    for (path, media, cache) in [
        ("/", "text/html; charset=utf-8", "no-cache"),
        ("/index.html", "text/html; charset=utf-8", "no-cache"),
        ("/mark.svg", "image/svg+xml", "no-cache"),
        ("/assets/engine-abc.wasm", "application/wasm", "private, max-age=31536000, immutable"),
        ("/assets/page-abc.js", "text/javascript; charset=utf-8", "private, max-age=31536000, immutable"),
        ("/assets/page-abc.css", "text/css; charset=utf-8", "private, max-age=31536000, immutable"),
    ] {
        let file = bench.get(path).await;
        assert_eq!(file.status.as_u16(), 200, "{path}");
        assert_eq!((file.header("content-type"), file.header("cache-control")), (media, cache), "{path}");
        let again = bench.send(request("GET", path, &[("if-none-match", file.header("etag"))], "")).await;
        assert_eq!((again.status.as_u16(), again.bytes.len()), (304, 0), "{path}");
        let other = bench.send(request("GET", path, &[("if-none-match", "\"other\"")], "")).await;
        assert_eq!(other.bytes, file.bytes);
        let head = bench.send(request("HEAD", path, &[], "")).await;
        assert_eq!((head.status.as_u16(), head.header("content-type"), head.bytes.len()), (200, media, 0));
    }
}

#[tokio::test]
async fn the_page_is_told_that_there_is_a_server() {
    let index = built("told").get("/").await;
    assert!(index.text().contains("<HEAD><meta name=\"huewright-keeps\" content=\"1\"><title>"), "{}", index.text());
}

#[tokio::test]
async fn packed_siblings_are_sent_to_who_takes_them() {
    let bench = built("packed");
    let wasm = "/assets/engine-abc.wasm";
    for (codings, coding, bytes) in [
        ("gzip, deflate, br", "br", "br"),
        ("gzip;q=1.0, br;q=0", "gzip", "gz"),
        ("GZIP", "gzip", "gz"),
        ("*", "br", "br"),
        ("*;q=0", "", "\0asm"),
        ("br;q=0.0, *;q=0", "", "\0asm"),
        ("identity", "", "\0asm"),
        ("", "", "\0asm"),
        ("brotli", "", "\0asm"),
    ] {
        let file = accepting(&bench, wasm, codings).await;
        assert_eq!((file.header("content-encoding"), file.text()), (coding, bytes), "{codings}");
        assert_eq!((file.header("content-type"), file.header("vary")), ("application/wasm", "accept-encoding"));
    }
    let (plain, packed) = (accepting(&bench, wasm, "").await, accepting(&bench, wasm, "br").await);
    assert_ne!(plain.header("etag"), packed.header("etag"));
    assert_eq!(accepting(&bench, "/assets/page-abc.js", "br, gzip").await.header("content-encoding"), "gzip");
    let css = accepting(&bench, "/assets/page-abc.css", "br, gzip").await;
    assert_eq!((css.header("content-encoding"), css.header("vary")), ("", ""));
    // The index is changed on its way, so its packed sibling is not the same text.
    let index = accepting(&bench, "/", "br").await;
    assert!(index.header("content-encoding").is_empty() && index.text().contains("huewright-keeps"));
}

#[tokio::test]
async fn nothing_else_is_there() {
    let bench = built("else");
    for path in [
        "/nothing",
        "/assets/",
        "/assets",
        "/../Cargo.toml",
        "/%2e%2e/Cargo.toml",
        "/assets/%2e%2e/index.html",
        "//etc/passwd",
        "/index.html.br",
        "/api",
        "/api/",
        "/api/nothing",
    ] {
        bench.get(path).await.refused(404, &["nothing at this address"]);
    }
    bench.send(request("POST", "/", &[], "")).await.refused(405, &[]);
}

#[tokio::test]
async fn without_a_page_there_are_words_and_the_questions() {
    let bench = bench("unbuilt");
    let words = bench.get("/").await;
    assert_eq!(words.status.as_u16(), 200);
    assert!(words.text().contains("cargo xtask start"), "{}", words.text());
    assert_eq!(bench.ask("shelf", "{}").await.status.as_u16(), 200);
}
