//! Who is let in: this machine's own page, at its own address, with the token. Nobody else learns anything.

use super::Desk;
use super::answer::{Refusal, refuse};
use axum::extract::{Request, State};
use axum::http::uri::Authority;
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::sync::Arc;

/// What the page may load and do: its own files, its own pictures, nothing from elsewhere.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'; \
    worker-src 'self'; frame-src 'self' blob:; base-uri 'none'; form-action 'none'; frame-ancestors 'self'";

/// Headers of every answer, refusals too.
const HEADERS: [(HeaderName, &str); 6] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (header::CACHE_CONTROL, "no-store"),
    (
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
];

/// Lets a request through or refuses it, and sets the headers either way.
pub async fn guard(State(desk): State<Arc<Desk>>, request: Request, next: Next) -> Response {
    let mut response = match admitted(&desk, &request) {
        Ok(()) => next.run(request).await,
        Err(refusal) => refusal.into_response(),
    };
    for (name, value) in HEADERS {
        response
            .headers_mut()
            .entry(name)
            .or_insert(HeaderValue::from_static(value));
    }
    response
}

fn admitted(desk: &Desk, request: &Request) -> Result<(), Refusal> {
    let headers = request.headers();
    let foreign = |what: &str| {
        refuse(
            StatusCode::FORBIDDEN,
            what,
            "open the desk at the address that upbead desk printed",
        )
    };
    let host = only(headers, &header::HOST);
    let named = request.uri().authority().map(Authority::as_str);
    if !host.is_some_and(|host| is_ours(host, desk.port))
        || named.is_some_and(|host| !is_ours(host, desk.port))
    {
        return Err(foreign("this is not the desk's address"));
    }
    if headers.contains_key(header::ORIGIN) {
        // The host that was asked for, and no other name of this machine.
        let own = host.map(|host| format!("http://{host}"));
        if only(headers, &header::ORIGIN).map(str::to_string) != own {
            return Err(foreign("another page asked for this"));
        }
    }
    let site = HeaderName::from_static("sec-fetch-site");
    if headers.contains_key(&site)
        && !only(headers, &site).is_some_and(|site| ["same-origin", "none"].contains(&site))
    {
        return Err(foreign("another page asked for this"));
    }
    match desk.token.opens(request.uri().path()) {
        true => Ok(()),
        false => Err(nothing_here()),
    }
}

/// What is said of every path that is not known.
pub fn nothing_here() -> Refusal {
    refuse(
        StatusCode::NOT_FOUND,
        "there is nothing here",
        "open the desk at the address that upbead desk printed",
    )
}

/// The value of a header that stands exactly once.
fn only<'a>(headers: &'a HeaderMap, name: &HeaderName) -> Option<&'a str> {
    let mut all = headers.get_all(name).iter();
    match (all.next(), all.next()) {
        (Some(value), None) => value.to_str().ok(),
        _ => None,
    }
}

/// Whether a host is this machine's loopback at the desk's port; a browser leaves out port 80.
fn is_ours(host: &str, port: u16) -> bool {
    ["127.0.0.1", "localhost"]
        .iter()
        .any(|name| host == format!("{name}:{port}") || (port == 80 && host == *name))
}
