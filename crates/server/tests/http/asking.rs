//! Questions: the desk's own text, and refusals.

use crate::setting::{bench, bench_with, request};
use axum::body::Body;
use desk::{Desk, QUESTIONS};
use server::{Doors, Limits};
use std::time::Duration;

#[tokio::test]
async fn every_question_gives_the_very_text_of_the_desk() {
    let (bench, desk) = (bench("every-question"), Desk::open().unwrap());
    for question in QUESTIONS {
        let answer = bench.ask(question.name, question.example).await;
        assert_eq!(
            (answer.status.as_u16(), answer.header("content-type")),
            (200, "application/json"),
            "{}",
            question.name
        );
        let ours = desk.ask(question.name, question.example, &mut |_, _| {}).unwrap();
        assert_eq!(answer.text(), ours, "{}", question.name);
    }
}

#[tokio::test]
async fn refusals_are_those_of_the_desk() {
    let (bench, desk) = (bench("refusals"), Desk::open().unwrap());
    for (question, body) in [
        ("look", "{\"finish\":{\"base\":{\"material\":\"unobtainium\"}}}"),
        ("look", "{\"finish\":"),
        ("shelf", "{\"colour\":1}"),
        ("quantity", "{\"key\":\"max_voltage_v\",\"text\":\"60 furlongs\"}"),
        ("read", "{\"kind\":\"finish\",\"name\":\"x.toml\",\"text\":\"schema = 1\\nnonsense\"}"),
        ("wanted", ""),
    ] {
        let answer = bench.ask(question, body).await;
        answer.refused(422, &[]);
        assert_eq!(answer.text(), desk.ask(question, body, &mut |_, _| {}).unwrap_err().json());
    }
}

#[tokio::test]
async fn what_is_no_question_is_sent_away() {
    let bench = bench("no-question");
    bench.ask("paint", "{}").await.refused(404, &["look", "match"]);
    for odd in ["", "look/", "%2e%2e", "look%2F..", "%ff", "look%00"] {
        assert_eq!(bench.ask(odd, "{}").await.status.as_u16(), 404, "{odd}");
    }
    let get = bench.get("/api/ask/look").await;
    get.refused(405, &["method"]);
    assert!(get.header("allow").contains("POST"));
    for kind in
        ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "application/jsonp", ""]
    {
        let sent = request("POST", "/api/ask/shelf", &[("content-type", kind)], "{}");
        bench.send(sent).await.refused(415, &["application/json"]);
    }
    bench.send(request("POST", "/api/ask/shelf", &[], "{}")).await.refused(415, &["application/json"]);
    let charset = request("POST", "/api/ask/shelf", &[("content-type", "Application/JSON; charset=utf-8")], "{}");
    assert_eq!(bench.send(charset).await.status.as_u16(), 200);
}

#[tokio::test]
async fn big_and_garbled_bodies_are_sent_away() {
    let bench = bench("bodies");
    let json = ("content-type", "application/json");
    bench.ask("shelf", " ".repeat(8_000_001)).await.refused(413, &["8000000"]);
    assert_eq!(bench.ask("shelf", format!("{{}}{}", " ".repeat(7_999_998))).await.status.as_u16(), 200);
    // A length that is told is believed before anything is read.
    bench.send(request("POST", "/api/ask/shelf", &[json, ("content-length", "8000001")], "{}")).await.refused(413, &[]);
    bench.ask("shelf", Body::from(vec![b'{', 0xff, b'}'])).await.refused(400, &["UTF-8"]);
}

#[tokio::test]
async fn a_question_beyond_the_limit_is_sent_away_and_later_answered() {
    let limits = Limits { questions: 1, wait: Duration::ZERO };
    let bench = bench_with("limit", Doors::loopback(4717), limits, &[]);
    let example = QUESTIONS.iter().find(|q| q.name == "match").unwrap().example;
    let (a, b, c) = tokio::join!(bench.ask("match", example), bench.ask("match", example), bench.ask("shelf", "{}"));
    let mut status = [&a, &b, &c].map(|s| s.status.as_u16());
    status.sort_unstable();
    assert_eq!(status, [200, 503, 503]);
    let busy = [&a, &b, &c].into_iter().find(|s| s.status.as_u16() == 503).unwrap();
    busy.refused(503, &["again"]);
    assert!(busy.header("retry-after").parse::<u32>().unwrap() > 0);
    assert_eq!(bench.ask("shelf", "{}").await.status.as_u16(), 200);
}

#[tokio::test]
async fn the_description_lists_every_question() {
    let bench = bench("openapi");
    let api = bench.get("/api/openapi.json").await;
    assert_eq!((api.status.as_u16(), api.header("content-type")), (200, "application/json"));
    let api = api.json();
    assert!(api["openapi"].as_str().unwrap().starts_with("3."));
    let paths = api["paths"].as_object().unwrap();
    for question in QUESTIONS {
        let post = &paths[&format!("/api/ask/{}", question.name)]["post"];
        assert_eq!(post["summary"], question.words);
        let example = &post["requestBody"]["content"]["application/json"]["example"];
        assert_eq!(*example, serde_json::from_str::<serde_json::Value>(question.example).unwrap());
    }
    for method in ["get", "put", "delete"] {
        assert!(paths["/api/records/{kind}/{name}"][method]["responses"].is_object(), "{method}");
    }
    assert_eq!(paths.len(), QUESTIONS.len() + 2);
    assert!(api["components"]["schemas"]["Refusal"].is_object());
}
