//! Security headers of every answer, refusals too.

use axum::Router;
use axum::http::{HeaderName, HeaderValue, header};
use tower_http::set_header::SetResponseHeaderLayer;

/// The page may load its own files and pictures, and nothing from elsewhere.
const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; \
    img-src 'self' blob: data:; connect-src 'self'; worker-src 'self'; frame-src 'self' blob:; \
    base-uri 'none'; form-action 'none'; frame-ancestors 'self'";

const HEADERS: [(HeaderName, &str); 6] = [
    (header::CONTENT_SECURITY_POLICY, CONTENT_SECURITY_POLICY),
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

/// Sets the headers on every answer that has not set them itself.
pub fn with_security_headers(router: Router) -> Router {
    HEADERS.into_iter().fold(router, |router, (name, value)| {
        let value = HeaderValue::from_static(value);
        router.layer(SetResponseHeaderLayer::if_not_present(name, value))
    })
}
