//! Which address runs which handler.

use super::guard::{guard, not_found};
use super::headers::with_security_headers;
use super::response::{HandlerResult, Refusal, refuse};
use super::state::Desk;
use super::{
    assets, chart, compare, export, fit, follow, gauge, palettes, photo, pictures, propose, read,
    refine, resize, start, swap,
};
use axum::Router;
use axum::http::StatusCode;
use axum::middleware::from_fn_with_state;
use axum::response::{IntoResponse, Redirect};
use axum::routing::{get, post};
use std::sync::Arc;

/// Everything the desk answers, behind its guard.
pub fn routes(desk: Arc<Desk>) -> Router {
    let home = format!("/{}/", desk.token.as_str());
    let to_page = move || {
        let home = home.clone();
        async move { Redirect::permanent(&home) }
    };
    let router = Router::new()
        .route("/{token}", get(to_page))
        .route("/{token}/", get(assets::page))
        .route("/{token}/{file}", get(assets::file))
        .route("/{token}/begin", get(start::start))
        .route("/{token}/picture", post(pictures::upload))
        .route("/{token}/picture/{id}", get(pictures::preview))
        .route("/{token}/palette", post(palettes::upload))
        .route("/{token}/alike", post(palettes::alike))
        .route("/{token}/photo", post(photo::photo))
        .route("/{token}/chart", post(chart::chart))
        .route("/{token}/propose", post(propose::propose))
        .route("/{token}/refine", post(refine::refine))
        .route("/{token}/resize", post(resize::resize))
        .route("/{token}/swap", post(swap::swap))
        .route("/{token}/compare", post(compare::compare))
        .route("/{token}/fit", post(fit::fit))
        .route("/{token}/gauge", post(gauge::read))
        .route("/{token}/gauge-file", post(gauge::file))
        .route("/{token}/remember", post(gauge::remember))
        .route("/{token}/read", post(read::read))
        .route("/{token}/facts", post(export::facts))
        .route("/{token}/seen", post(export::seen))
        .route("/{token}/follow", post(export::make_follow))
        .route("/{token}/follow/{id}", get(follow::show))
        .route("/{token}/export", post(export::export))
        .route("/{token}/bye", post(bye))
        .fallback(|| async { not_found().into_response() })
        .method_not_allowed_fallback(|| async { wrong_method().into_response() })
        .layer(from_fn_with_state(Arc::clone(&desk), guard))
        .with_state(desk);
    with_security_headers(router)
}

/// The page is being left; the desk stays open for the next one.
async fn bye() -> HandlerResult {
    Ok(StatusCode::NO_CONTENT.into_response())
}

fn wrong_method() -> Refusal {
    refuse(
        StatusCode::METHOD_NOT_ALLOWED,
        "this address does not take that method",
        "send it as the desk's page does",
    )
}
