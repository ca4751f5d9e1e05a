//! Which address asks for what.

use super::answer::{Answer, Refusal, refuse};
use super::guard::{guard, nothing_here};
use super::{
    Desk, anew, assets, begin, chart, export, follow, gauge, near, palettes, photo, pictures, work,
};
use axum::Router;
use axum::extract::DefaultBodyLimit;
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
    Router::new()
        .route("/{token}", get(to_page))
        .route("/{token}/", get(assets::page))
        .route("/{token}/{file}", get(assets::file))
        .route("/{token}/begin", get(begin::begin))
        .route("/{token}/picture", post(pictures::take))
        .route("/{token}/picture/{id}", get(pictures::preview))
        .route("/{token}/palette", post(palettes::take))
        .route("/{token}/photo", post(photo::take))
        .route("/{token}/chart", post(chart::chart))
        .route("/{token}/refine", post(anew::finer))
        .route("/{token}/swap", post(anew::swapped))
        .route("/{token}/compare", post(near::near))
        .route("/{token}/fit", post(anew::fitted))
        .route("/{token}/alike", post(palettes::pairs))
        .route("/{token}/gauge", post(gauge::read))
        .route("/{token}/gauge-file", post(gauge::file))
        .route("/{token}/remember", post(gauge::keep))
        .route("/{token}/read", post(work::read_chart))
        .route("/{token}/facts", post(work::facts))
        .route("/{token}/weave", post(work::weave_chart))
        .route("/{token}/seen", post(work::seen))
        .route("/{token}/follow", post(follow::make))
        .route("/{token}/follow/{id}", get(follow::show))
        .route("/{token}/export", post(export::export))
        .route("/{token}/bye", post(bye))
        .fallback(|| async { nothing_here().into_response() })
        .method_not_allowed_fallback(|| async { wrong_way().into_response() })
        // Each route states its own limit where it takes its body in.
        .layer(DefaultBodyLimit::disable())
        .layer(from_fn_with_state(Arc::clone(&desk), guard))
        .with_state(desk)
}

/// The page leaves; the desk stays open for the next one.
async fn bye() -> Answer {
    Ok(StatusCode::NO_CONTENT.into_response())
}

fn wrong_way() -> Refusal {
    refuse(
        StatusCode::METHOD_NOT_ALLOWED,
        "this address is not asked that way",
        "send it as the desk's page does",
    )
}
