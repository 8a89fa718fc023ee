//! Who is let in: by the name of the host, by the page that asks, by the token.
//!
//! A page elsewhere can make a browser send requests to this machine. It cannot choose the names that the browser writes into
//! `Host` and `Origin`, so a request with other names than ours is sent away, also where a name elsewhere was pointed at
//! this machine.

use crate::Server;
use crate::answer::Not;
use crate::token::Token;
use axum::extract::{Request, State};
use axum::http::uri::Authority;
use axum::http::{HeaderMap, HeaderName, Method, StatusCode, Uri, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::net::IpAddr;
use std::sync::Arc;

/// Which names and which token open the server.
#[derive(Debug, Clone)]
pub struct Doors {
    port: u16,
    /// Name in lower case, and its port where it is another one than ours.
    names: Vec<(String, Option<u16>)>,
    /// Whether the server listens at every address of the machine.
    everywhere: bool,
    token: Option<Token>,
}

impl Doors {
    /// For this machine alone: its loopback names, and no token.
    pub fn loopback(port: u16) -> Self {
        let names = ["localhost", "127.0.0.1", "[::1]"].map(|n| (n.to_owned(), None)).to_vec();
        Self { port, names, everywhere: false, token: None }
    }

    /// For a network: also the address that is listened at (any address in figures, where it listens at all of them), and
    /// only with a token.
    pub fn network(address: IpAddr, port: u16, token: Token) -> Self {
        let mut doors = Self::loopback(port).at(address);
        doors.everywhere = address.is_unspecified();
        doors.token = Some(token);
        doors
    }

    /// Also by the address that is listened at, which may be another loopback address.
    pub fn at(mut self, address: IpAddr) -> Self {
        if !address.is_unspecified() {
            self.names.push((written(address), None));
        }
        self
    }

    /// Another name for this machine, `NAME` or `NAME:PORT`, for instance that of a proxy before it.
    ///
    /// # Errors
    /// Words when it is not a name.
    pub fn allow(mut self, name: &str) -> Result<Self, String> {
        let wrong = || format!("'{name}' is not the name of a host; write NAME or NAME:PORT");
        let authority = split(name).ok_or_else(wrong)?;
        self.names.push(authority);
        Ok(self)
    }

    /// With a token.
    pub fn locked(mut self, token: Token) -> Self {
        self.token = Some(token);
        self
    }

    pub(crate) fn token(&self) -> Option<&Token> {
        self.token.as_ref()
    }

    fn knows(&self, authority: &str) -> bool {
        let Some((name, port)) = split(authority) else { return false };
        // A browser leaves out the usual ports.
        let ours = port.unwrap_or(80) == self.port;
        let named = self.names.iter().any(|(n, p)| {
            *n == name
                && match p {
                    Some(p) => port == Some(*p),
                    // A name given by a person may stand before a proxy, which has a usual port.
                    None => ours || (port.is_none() && !is_loopback(n)),
                }
        });
        // An address in figures cannot be pointed elsewhere by a name server.
        let figures = self.everywhere && ours && name.trim_matches(['[', ']']).parse::<IpAddr>().is_ok();
        named || figures
    }

    fn cookie_name(&self) -> String {
        // Cookies do not tell ports apart, servers do.
        format!("huewright-{}", self.port)
    }

    fn holds_token(&self, headers: &HeaderMap) -> bool {
        let Some(token) = &self.token else { return true };
        let bearer = headers
            .get(header::AUTHORIZATION)
            .and_then(|v| v.to_str().ok())
            .and_then(|v| v.split_once(' '))
            .filter(|(scheme, _)| scheme.eq_ignore_ascii_case("bearer"))
            .map(|(_, word)| word.trim());
        if bearer.is_some_and(|word| token.is(word)) {
            return true;
        }
        let name = self.cookie_name();
        let cookies = headers.get_all(header::COOKIE).iter().filter_map(|v| v.to_str().ok());
        cookies
            .flat_map(|line| line.split(';'))
            .filter_map(|pair| pair.trim().split_once('='))
            .any(|(n, word)| n == name && token.is(word))
    }
}

/// An address as it stands in a URL.
pub(crate) fn written(address: IpAddr) -> String {
    match address {
        IpAddr::V4(a) => a.to_string(),
        IpAddr::V6(a) => format!("[{a}]"),
    }
}

fn is_loopback(name: &str) -> bool {
    matches!(name, "localhost" | "127.0.0.1" | "[::1]")
}

/// Name in lower case and port.
fn split(authority: &str) -> Option<(String, Option<u16>)> {
    let parsed: Authority = authority.parse().ok().filter(|_| !authority.contains('@'))?;
    let name = parsed.host();
    // A colon without a number behind it.
    let whole = parsed.port().map_or(name.len(), |p| name.len() + 1 + p.as_str().len());
    (!name.is_empty() && whole == authority.len()).then(|| (name.to_ascii_lowercase(), parsed.port_u16()))
}

pub(crate) async fn check(State(server): State<Arc<Server>>, request: Request, next: Next) -> Response {
    match let_in(&server.doors, request.method(), request.uri(), request.headers()) {
        Ok(None) => next.run(request).await,
        Ok(Some(redirect)) => redirect,
        Err(not) => not.into_response(),
    }
}

fn one<'h>(headers: &'h HeaderMap, name: &HeaderName) -> Result<Option<&'h str>, ()> {
    let mut all = headers.get_all(name).iter();
    match (all.next(), all.next()) {
        (None, _) => Ok(None),
        (Some(v), None) => v.to_str().map(Some).map_err(|_| ()),
        _ => Err(()),
    }
}

fn let_in(doors: &Doors, method: &Method, uri: &Uri, headers: &HeaderMap) -> Result<Option<Response>, Not> {
    let unclear = |()| Not::new(StatusCode::BAD_REQUEST, "the request does not say which host it is for");
    let host = one(headers, &header::HOST).map_err(unclear)?.ok_or(()).map_err(unclear)?;
    let elsewhere = uri.authority().is_some_and(|a| !a.as_str().eq_ignore_ascii_case(host));
    if elsewhere || !doors.knows(host) {
        return Err(Not::new(
            StatusCode::MISDIRECTED_REQUEST,
            "this server does not go by that name; open the address that it printed, or start it with --allow-host NAME",
        ));
    }
    let foreign = || Not::new(StatusCode::FORBIDDEN, "this was asked by another page than the workbench's own");
    let reads = *method == Method::GET || *method == Method::HEAD;
    if !reads {
        // Every browser sends it with such a request; other programs send none, and no page can make them.
        let origin = one(headers, &header::ORIGIN).map_err(|()| foreign())?;
        if origin.is_some_and(|o| !same(o, host)) {
            return Err(foreign());
        }
    }
    let site = one(headers, &HeaderName::from_static("sec-fetch-site")).map_err(|()| foreign())?;
    if (!reads || uri.path().starts_with("/api/")) && site.is_some_and(|s| s != "same-origin" && s != "none") {
        return Err(foreign());
    }
    key(doors, method, uri, headers)
}

/// Whether an origin is that of the host's own pages.
fn same(origin: &str, host: &str) -> bool {
    let authority = origin.strip_prefix("http://").or_else(|| origin.strip_prefix("https://"));
    authority.is_some_and(|a| a.eq_ignore_ascii_case(host))
}

/// The token: in the address of the page once, then in a cookie; or in a header.
fn key(doors: &Doors, method: &Method, uri: &Uri, headers: &HeaderMap) -> Result<Option<Response>, Not> {
    let Some(token) = &doors.token else { return Ok(None) };
    let given = uri.query().and_then(|q| q.split('&').find_map(|pair| pair.strip_prefix("token=")));
    if let Some(word) = given.filter(|_| *method == Method::GET && uri.path() == "/")
        && token.is(word)
    {
        let cookie = format!("{}={}; Path=/; HttpOnly; SameSite=Strict", doors.cookie_name(), token.word());
        let headers = [
            (header::LOCATION, "/".to_owned()),
            (header::SET_COOKIE, cookie),
            (header::CACHE_CONTROL, "no-store".to_owned()),
        ];
        return Ok(Some((StatusCode::SEE_OTHER, headers).into_response()));
    }
    if doors.holds_token(headers) {
        return Ok(None);
    }
    Err(Not::new(
        StatusCode::UNAUTHORIZED,
        "the token is missing or wrong: open the address that the server printed, with its token; if you came by a link \
         and have opened it before, reload",
    )
    .with("www-authenticate", "Bearer"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_with_their_port() {
        let doors = Doors::loopback(4717);
        for good in ["localhost:4717", "127.0.0.1:4717", "[::1]:4717", "LocalHost:4717"] {
            assert!(doors.knows(good), "{good}");
        }
        for bad in [
            "localhost",
            "localhost:80",
            "localhost:4718",
            "127.0.0.1",
            "127.0.0.2:4717",
            "evil.example:4717",
            "localhost.:4717",
            "user@localhost:4717",
            "localhost:4717:4717",
            "localhost:",
            "localhost:04717x",
            "",
            "[::1]",
            "localhost.evil.example:4717",
            "0x7f.0.0.1:4717",
            "2130706433:4717",
            "localhost:4717/",
            "localhost:4717@evil.example",
        ] {
            assert!(!doors.knows(bad), "{bad}");
        }
        assert!(Doors::loopback(80).knows("localhost"));
    }

    #[test]
    fn names_on_a_network() {
        let token = Token::random().unwrap();
        let one = Doors::network("192.0.2.7".parse().unwrap(), 4717, token.clone());
        assert!(one.knows("192.0.2.7:4717") && !one.knows("192.0.2.8:4717") && !one.knows("shop.example:4717"));
        let all = Doors::network("0.0.0.0".parse().unwrap(), 4717, token).allow("Shop.example").unwrap();
        assert!(all.knows("192.0.2.8:4717") && all.knows("[2001:db8::1]:4717") && !all.knows("192.0.2.8:80"));
        assert!(all.knows("shop.example") && all.knows("shop.example:4717") && !all.knows("other.example:4717"));
        let proxied = Doors::loopback(4717).allow("shop.example:8443").unwrap();
        assert!(
            proxied.knows("shop.example:8443") && !proxied.knows("shop.example") && !proxied.knows("shop.example:4717")
        );
        assert!(Doors::loopback(1).allow("http://shop.example/").is_err());
    }
}
