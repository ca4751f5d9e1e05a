//! The follow-along page, shown inside the desk: made from the page's chart, kept for a while,
//! and served with its own content security policy.

use super::response::{HandlerResult, response, to_json};
use super::state::{Desk, FollowPage};
use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::output::weave::page;
use crate::report::weave::WovenBand;
use crate::request::WeaveRequest;
use axum::extract::{Path, State};
use axum::http::{HeaderValue, header};
use schemars::JsonSchema;
use serde::Serialize;
use sha2::{Digest, Sha256};
use std::sync::Arc;

/// What precedes the policy in the page's head.
const BEFORE_POLICY: &str = "http-equiv=\"Content-Security-Policy\" content=\"";
/// What follows it.
const AFTER_POLICY: &str = "\">";

/// A follow-along page that was made.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FollowAnswer {
    /// Its address.
    at: String,
}

/// `GET follow/ID`.
pub async fn show(
    State(desk): State<Arc<Desk>>,
    Path((_, id)): Path<(String, String)>,
) -> HandlerResult {
    let page = desk.follow_pages.get(&id)?;
    let mut response = response("text/html; charset=utf-8", page.html.clone());
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_SECURITY_POLICY, page.policy.clone());
    Ok(response)
}

/// What `upbead weave --page` writes, titled with the file's name without its ending.
///
/// # Errors
/// As there.
pub fn follow_page(chart: &Chart, name: &str, request: &WeaveRequest) -> Result<String> {
    let name = name.strip_suffix(".json").unwrap_or(name);
    page(WovenBand::new(chart, request, Some(name))?)
}

/// Keeps a page; the answer with its address.
///
/// # Errors
/// If it has no policy.
pub fn store(desk: &Desk, html: String) -> Result<Vec<u8>> {
    let policy = policy(&html)?;
    let digest = Sha256::digest(&html);
    let id: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    let size = html.len();
    let page = Arc::new(FollowPage { html, policy });
    desk.follow_pages.put(&id, size, page);
    to_json(&FollowAnswer {
        at: format!("follow/{id}"),
    })
}

/// The policy in the page's head, and the part that only a header may have: that the desk alone
/// may show the page in a frame.
fn policy(html: &str) -> Result<HeaderValue> {
    let policy = html
        .split_once(BEFORE_POLICY)
        .and_then(|(_, rest)| rest.split_once(AFTER_POLICY))
        .map(|(policy, _)| format!("{policy}; frame-ancestors 'self'"));
    policy
        .and_then(|policy| HeaderValue::try_from(policy).ok())
        .ok_or_else(|| Error::new("the follow-along page has no content security policy"))
}
