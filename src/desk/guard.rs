//! Only this machine's own page may send requests: at the desk's address, with its token. Every
//! other client learns nothing.

use super::response::{Refusal, refuse};
use super::state::Desk;
use axum::extract::{Request, State};
use axum::http::uri::Authority;
use axum::http::{HeaderMap, HeaderName, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::sync::Arc;

/// Lets a request through or refuses it.
pub async fn guard(State(desk): State<Arc<Desk>>, request: Request, next: Next) -> Response {
    match check(&desk, &request) {
        Ok(()) => next.run(request).await,
        Err(refusal) => refusal.into_response(),
    }
}

fn check(desk: &Desk, request: &Request) -> Result<(), Refusal> {
    let headers = request.headers();
    let host = single(headers, &header::HOST);
    let named = request.uri().authority().map(Authority::as_str);
    if !host.is_some_and(|host| is_ours(host, desk.port))
        || named.is_some_and(|host| !is_ours(host, desk.port))
    {
        return Err(forbidden("this is not the desk's address"));
    }
    if headers.contains_key(header::ORIGIN) {
        // The host of this request, and no other name of this machine.
        let own = host.map(|host| format!("http://{host}"));
        if single(headers, &header::ORIGIN).map(str::to_string) != own {
            return Err(forbidden("another page sent this request"));
        }
    }
    let site = HeaderName::from_static("sec-fetch-site");
    if headers.contains_key(&site)
        && !opens_page(desk, request)
        && !single(headers, &site).is_some_and(|site| ["same-origin", "none"].contains(&site))
    {
        return Err(forbidden("another page sent this request"));
    }
    if desk.token.opens(request.uri().path()) {
        Ok(())
    } else {
        Err(not_found())
    }
}

/// Whether a browser asks for the page itself, to show it in a window of its own: the file that
/// opens the desk does so, and to a browser it is another site.
fn opens_page(desk: &Desk, request: &Request) -> bool {
    let fetch =
        |name, value| single(request.headers(), &HeaderName::from_static(name)) == Some(value);
    let path = request.uri().path();
    request.method() == Method::GET
        && desk.token.opens(path)
        && path.matches('/').count() == 2
        && path.ends_with('/')
        && fetch("sec-fetch-mode", "navigate")
        && fetch("sec-fetch-dest", "document")
}

fn forbidden(what: &str) -> Refusal {
    refuse(
        StatusCode::FORBIDDEN,
        what,
        "open the desk at the address that upbead desk printed",
    )
}

/// The answer for every path that is not known.
pub fn not_found() -> Refusal {
    refuse(
        StatusCode::NOT_FOUND,
        "there is nothing here",
        "open the desk at the address that upbead desk printed",
    )
}

/// The value of a header that is there exactly once.
fn single<'a>(headers: &'a HeaderMap, name: &HeaderName) -> Option<&'a str> {
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
