//! Who is let in: host, origin, token; and the headers of every answer.

use crate::setting::{Bench, HOST, bench, bench_with, folder, request};
use axum::body::Body;
use axum::http::Request;
use server::{CONTENT_SECURITY_POLICY, Doors, Limits, Token};

fn post(headers: &[(&str, &str)]) -> Request<Body> {
    let all: Vec<_> = [("content-type", "application/json")].into_iter().chain(headers.iter().copied()).collect();
    request("POST", "/api/ask/shelf", &all, "{}")
}

#[tokio::test]
async fn other_hosts_are_sent_away() {
    let bench = bench("hosts");
    for host in [
        "evil.example",
        "evil.example:4717",
        "localhost",
        "localhost:80",
        "192.0.2.1:4717",
        "localhost:4717@evil.example",
    ] {
        for path in ["/", "/api/records", "/api/openapi.json", "/nothing"] {
            bench.send(request("GET", path, &[("host", host)], "")).await.refused(421, &["--allow-host"]);
        }
        bench.send(post(&[("host", host), ("origin", &format!("http://{host}"))])).await.refused(421, &[]);
    }
    for host in ["localhost:4717", "127.0.0.1:4717", "[::1]:4717"] {
        assert_eq!(bench.send(post(&[("host", host)])).await.status.as_u16(), 200, "{host}");
    }
    let none = Request::builder().uri("/api/records").body(Body::empty()).unwrap();
    bench.send(none).await.refused(400, &["host"]);
    let two = Request::builder().uri("/api/records").header("host", HOST).header("host", "evil.example");
    bench.send(two.body(Body::empty()).unwrap()).await.refused(400, &["host"]);
    // A request as to a proxy names its host twice.
    bench.send(request("GET", "http://evil.example/api/records", &[], "")).await.refused(421, &[]);
}

#[tokio::test]
async fn other_pages_may_not_change_or_ask_anything() {
    let bench = bench("origins");
    let origins = [
        "http://evil.example",
        "null",
        "http://localhost:4718",
        "http://localhost",
        "https://localhost:4717.evil.example",
        "http://localhost:4717/",
        "file://localhost:4717",
        "localhost:4717",
        "",
        "http://127.0.0.1:4717",
    ];
    for origin in origins {
        let from = ("origin", origin);
        bench.send(post(&[from])).await.refused(403, &["another page"]);
        bench.send(request("PUT", "/api/records/recipe/x", &[from], "a = 1")).await.refused(403, &[]);
        bench.send(request("DELETE", "/api/records/recipe/x", &[from], "")).await.refused(403, &[]);
        bench.send(request("OPTIONS", "/api/ask/shelf", &[from], "")).await.refused(403, &[]);
    }
    for site in ["cross-site", "same-site", "odd"] {
        bench.send(post(&[("sec-fetch-site", site)])).await.refused(403, &[]);
        bench.send(request("GET", "/api/records", &[("sec-fetch-site", site)], "")).await.refused(403, &[]);
        // A link on another page may lead here.
        let page = bench.send(request("GET", "/", &[("sec-fetch-site", site)], "")).await;
        assert_eq!(page.status.as_u16(), 200, "{site}");
    }
    let own = [("origin", "http://localhost:4717"), ("sec-fetch-site", "same-origin")];
    let answer = bench.send(post(&own)).await;
    assert_eq!(answer.status.as_u16(), 200);
    assert!(!answer.headers.keys().any(|name| name.as_str().starts_with("access-control-")));
    assert!(bench.files().is_empty());
}

fn locked(name: &str) -> (Bench, String) {
    let token = Token::random().unwrap();
    let word = token.word().to_owned();
    let doors = Doors::network("192.0.2.7".parse().unwrap(), 4717, token);
    (bench_with(name, doors, Limits::default(), &[("index.html", b"<html><head></head></html>")]), word)
}

#[tokio::test]
async fn a_network_needs_the_token_for_everything() {
    let (bench, token) = locked("token");
    assert!(token.len() == 32 && token.chars().all(|c| c.is_ascii_hexdigit()));
    let (short, longer, bearer) = (&token[..31], format!("{token}0"), format!("Bearer {token}"));
    for path in ["/", "/index.html", "/api/records", "/api/openapi.json", "/nothing", "/api/records/recipe/x"] {
        let away = bench.get(path).await;
        away.refused(401, &["token"]);
        assert_eq!(away.header("www-authenticate"), "Bearer");
        for wrong in [
            "Bearer ",
            "Bearer x",
            &format!("Bearer {short}"),
            &format!("Bearer {longer}"),
            &format!("Basic {token}"),
            &token,
        ] {
            bench.send(request("GET", path, &[("authorization", wrong)], "")).await.refused(401, &[]);
        }
        let let_in = bench.send(request("GET", path, &[("authorization", &bearer)], "")).await;
        assert_ne!(let_in.status.as_u16(), 401, "{path}");
    }
    bench.send(post(&[])).await.refused(401, &[]);
    assert_eq!(bench.send(post(&[("authorization", &bearer)])).await.status.as_u16(), 200);
    // The door is checked first: nobody without the right name learns whether there is a token.
    bench
        .send(request("GET", "/", &[("host", "evil.example"), ("authorization", &bearer)], ""))
        .await
        .refused(421, &[]);
}

#[tokio::test]
async fn the_address_with_the_token_gives_a_cookie_once() {
    let (bench, token) = locked("cookie");
    let first = bench.get(&format!("/?token={token}")).await;
    assert_eq!(
        (first.status.as_u16(), first.header("location"), first.header("cache-control")),
        (303, "/", "no-store")
    );
    let cookie = first.header("set-cookie");
    for word in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(cookie.contains(word), "{cookie}");
    }
    let pair = cookie.split(';').next().unwrap();
    for given in [pair.to_owned(), format!("a=b; {pair}; c=d")] {
        let page = bench.send(request("GET", "/", &[("cookie", &given)], "")).await;
        assert_eq!(page.status.as_u16(), 200);
        assert!(page.text().contains("huewright-keeps"));
    }
    for wrong in
        [format!("huewright-4718={token}"), format!("x{pair}"), format!("{pair}0"), "huewright-4717=".to_owned()]
    {
        bench.send(request("GET", "/", &[("cookie", &wrong)], "")).await.refused(401, &[]);
    }
    for path in [
        "/?token=",
        "/?token=wrong",
        &format!("/?x{}", &token),
        &format!("/api/records?token={token}"),
        &format!("/index.html?token={token}"),
    ] {
        let away = bench.get(path).await;
        away.refused(401, &[]);
        assert!(away.headers.get("set-cookie").is_none());
    }
    let posted = request("POST", &format!("/?token={token}"), &[], "");
    bench.send(posted).await.refused(401, &[]);
    // Another page cannot use the cookie of a browser that has it.
    let foreign = [("cookie", pair), ("origin", "http://evil.example")];
    bench.send(post(&foreign)).await.refused(403, &[]);
}

#[test]
fn tokens_are_hidden_and_differ() {
    let (a, b) = (Token::random().unwrap(), Token::random().unwrap());
    assert_ne!(a.word(), b.word());
    assert!(!format!("{a:?}{:?}", Doors::loopback(1).locked(a.clone())).contains(a.word()));
}

#[cfg(unix)]
#[test]
fn token_files_are_long_and_private() {
    use std::os::unix::fs::PermissionsExt;
    let path = folder("token-file").join("token");
    let with = |text: &str, mode: u32| {
        std::fs::write(&path, text).unwrap();
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(mode)).unwrap();
        Token::from_file(&path)
    };
    assert_eq!(with("abcdefghijklmnopqrstuv\n", 0o600).unwrap().word(), "abcdefghijklmnopqrstuv");
    assert!(with("abcdefghijklmnopqrstuv\n", 0o640).unwrap_err().contains("chmod 600"));
    for bad in ["", "short\n", "abcdefghijklmnopqrstu;v", "abcdefghijk lmnopqrstuv", "\nabcdefghijklmnopqrstuv"] {
        let error = with(bad, 0o600).unwrap_err();
        assert!(error.contains("22") && !error.contains("lmnop"), "{error}");
    }
    assert!(Token::from_file(&path.with_file_name("none")).is_err());
}

#[tokio::test]
async fn every_answer_has_strict_headers() {
    let (bench, token) = locked("headers");
    let bearer = format!("Bearer {token}");
    let with = [("authorization", bearer.as_str())];
    for sent in [
        request("GET", "/", &with, ""),
        request("GET", "/nothing", &with, ""),
        request("GET", "/", &[], ""),
        request("GET", "/", &[("host", "evil.example")], ""),
        request("GET", &format!("/?token={token}"), &[], ""),
        request("PATCH", "/api/records", &with, ""),
        request("GET", "/api/openapi.json", &with, ""),
    ] {
        let answer = bench.send(sent).await;
        assert_eq!(answer.header("content-security-policy"), CONTENT_SECURITY_POLICY);
        for (name, value) in [
            ("x-content-type-options", "nosniff"),
            ("x-frame-options", "DENY"),
            ("referrer-policy", "no-referrer"),
            ("cross-origin-opener-policy", "same-origin"),
            ("cross-origin-embedder-policy", "require-corp"),
            ("cross-origin-resource-policy", "same-origin"),
        ] {
            assert_eq!(answer.header(name), value, "{name} of {}", answer.status);
        }
        assert!(answer.header("permissions-policy").contains("camera=()"));
    }
    assert!(!CONTENT_SECURITY_POLICY.contains("unsafe-inline") && !CONTENT_SECURITY_POLICY.contains("'unsafe-eval'"));
}
