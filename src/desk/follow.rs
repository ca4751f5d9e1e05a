//! The follow-along page in place of the mat: made of the page's chart, kept for a while, served with the policy that it brings along.

use super::Desk;
use super::answer::{Answer, as_json, bytes};
use super::body::Asked;
use super::limits::CHART;
use super::typed::file_name;
use super::work::{USUAL_NAME, chart_of, woven};
use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::output::weave::{Keys, Work, page};
use crate::report::{FromWord, HandWord};
use axum::extract::{Path, Request, State};
use axum::http::{HeaderValue, header};
use serde::Deserialize;
use serde_json::json;
use sha2::{Digest, Sha256};
use std::sync::Arc;

/// What stands before the page's own policy in its head, and behind it.
const POLICY: (&str, &str) = ("http-equiv=\"Content-Security-Policy\" content=\"", "\">");

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AboutWork {
    chart: String,
    name: Option<String>,
    hand: Option<HandWord>,
    from: Option<FromWord>,
}

/// A page that can be asked for.
pub struct Follow {
    html: String,
    policy: HeaderValue,
}

/// `POST follow`: where the page of this chart can be had, as `at`.
pub async fn make(State(desk): State<Arc<Desk>>, request: Request) -> Answer {
    let asked: Asked<AboutWork> = desk.room.json(request, CHART).await?;
    let name = file_name(asked.value.name.as_deref().unwrap_or(USUAL_NAME))?.to_string();
    let keeper = Arc::clone(&desk);
    let told = desk
        .workers
        .run(Default::default(), move || {
            let about = &asked.value;
            let chart = chart_of(&about.chart, &name)?;
            let from = about.from.unwrap_or_default();
            keeper.keep_follow(followed(&chart, &name, about.hand, from, None)?)
        })
        .await?;
    Ok(bytes("application/json", told))
}

/// `GET follow/ID`.
pub async fn show(State(desk): State<Arc<Desk>>, Path((_, id)): Path<(String, String)>) -> Answer {
    let follow = desk.follows.get(&id)?;
    let mut response = bytes("text/html; charset=utf-8", follow.html.clone());
    response
        .headers_mut()
        .insert(header::CONTENT_SECURITY_POLICY, follow.policy.clone());
    Ok(response)
}

/// What `upbead weave --page` writes; the page is called as the design is, not as its file.
pub fn followed(
    chart: &Chart,
    name: &str,
    hand: Option<HandWord>,
    from: FromWord,
    keys: Option<Keys>,
) -> Result<String> {
    let (weave, lengths) = woven(chart, hand, from)?;
    page(&Work {
        chart,
        weave: &weave,
        lengths: &lengths,
        file: Some(name.strip_suffix(".json").unwrap_or(name)),
        rows: None,
        keys,
    })
}

impl Desk {
    fn keep_follow(&self, html: String) -> Result<Vec<u8>> {
        let policy = policy(&html)?;
        let digest = Sha256::digest(&html);
        let id: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
        let weight = html.len();
        self.follows
            .put(&id, weight, Arc::new(Follow { html, policy }));
        as_json(&json!({ "at": format!("follow/{id}") }))
    }
}

/// The policy that the page's head states, which no head can say of frames; only the desk may frame it.
fn policy(html: &str) -> Result<HeaderValue> {
    let stated = html
        .split_once(POLICY.0)
        .and_then(|(_, rest)| rest.split_once(POLICY.1))
        .map(|(policy, _)| format!("{policy}; frame-ancestors 'self'"));
    stated
        .and_then(|policy| HeaderValue::try_from(policy).ok())
        .ok_or_else(|| Error::new("the page to follow states no policy"))
}
