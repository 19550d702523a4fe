//! Which address leads where.

use std::sync::Arc;

use axum::extract::{DefaultBodyLimit, Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Form, Router, middleware};

use super::answer::Answer;
use super::desk::Desk;
use super::gate::{self, Gate};
use super::section::Section;
use super::typed::Typed;
use super::view;
use crate::sheet;

/// A form of every field of a section is a few kilobytes.
const BODY_BYTES: usize = 256 * 1024;

/// Every address, behind the gate.
pub(super) fn all(desk: Arc<Desk>, gate: Arc<Gate>) -> Router {
    Router::new()
        .route("/{token}/", get(start))
        .route("/{token}/here", get(|| async { "yes" }))
        .route(
            "/{token}/page.css",
            get(|| async { ([(header::CONTENT_TYPE, "text/css")], view::style()) }),
        )
        .route(
            "/{token}/page.js",
            get(|| async { ([(header::CONTENT_TYPE, "text/javascript")], view::SCRIPT) }),
        )
        .route(
            "/{token}/playback.js",
            get(|| async { ([(header::CONTENT_TYPE, "text/javascript")], sheet::SCRIPT) }),
        )
        .route("/{token}/sheet", get(sheet_of_job))
        .route("/{token}/begin", post(begin))
        .route("/{token}/{section}", get(section).post(set))
        .route("/{token}/{section}/sheet", get(sheet_of))
        .route("/{token}/{section}/draft", post(draft))
        .route("/{token}/{section}/undo", post(undo))
        .route("/{token}/{section}/write", post(write))
        .fallback(|| async { (StatusCode::NOT_FOUND, "there is nothing here") })
        .layer(DefaultBodyLimit::max(BODY_BYTES))
        .layer(middleware::from_fn_with_state(gate, gate::guard))
        .with_state(desk)
}

/// Work on files and wood has a thread of its own, so that no client waits
/// for another's.
async fn work(desk: Arc<Desk>, job: impl FnOnce(&Desk) -> Answer + Send + 'static) -> Response {
    let done = tokio::task::spawn_blocking(move || job(&desk)).await;
    match done {
        Ok(answer) => answer.into_response(),
        Err(_) => {
            let words = "this is a bug of ours: please send us the job";
            (StatusCode::INTERNAL_SERVER_ERROR, words).into_response()
        }
    }
}

async fn start() -> Answer {
    Answer::There(Section::Hinge.path().to_owned())
}

fn nothing() -> Response {
    (StatusCode::NOT_FOUND, "there is nothing here").into_response()
}

async fn section(
    State(desk): State<Arc<Desk>>,
    Path((_, name)): Path<(String, String)>,
    Query(typed): Query<Typed>,
) -> Response {
    match Section::named(&name) {
        Some(section) => work(desk, move |desk| desk.show(section, &typed)).await,
        None => nothing(),
    }
}

async fn set(
    State(desk): State<Arc<Desk>>,
    Path((_, name)): Path<(String, String)>,
    Form(typed): Form<Typed>,
) -> Response {
    match Section::named(&name) {
        Some(section) => work(desk, move |desk| desk.set(section, &typed)).await,
        None => nothing(),
    }
}

async fn draft(
    State(desk): State<Arc<Desk>>,
    Path((_, name)): Path<(String, String)>,
    Form(typed): Form<Typed>,
) -> Response {
    match Section::named(&name) {
        Some(section) => work(desk, move |desk| desk.draft(section, &typed)).await,
        None => nothing(),
    }
}

async fn undo(State(desk): State<Arc<Desk>>, Path((_, name)): Path<(String, String)>) -> Response {
    match Section::named(&name) {
        Some(section) => work(desk, move |desk| desk.undo(section)).await,
        None => nothing(),
    }
}

async fn write(
    State(desk): State<Arc<Desk>>,
    Path((_, name)): Path<(String, String)>,
    Form(typed): Form<Typed>,
) -> Response {
    match Section::named(&name) {
        Some(section) if section.writes() => {
            work(desk, move |desk| desk.write(section, &typed)).await
        }
        _ => nothing(),
    }
}

async fn sheet_of_job(State(desk): State<Arc<Desk>>) -> Response {
    work(desk, |desk| desk.sheet(Section::Proof)).await
}

async fn sheet_of(
    State(desk): State<Arc<Desk>>,
    Path((_, name)): Path<(String, String)>,
) -> Response {
    match Section::named(&name) {
        Some(section) if section.proves() => work(desk, move |desk| desk.sheet(section)).await,
        _ => nothing(),
    }
}

async fn begin(State(desk): State<Arc<Desk>>) -> Response {
    work(desk, Desk::begin).await
}
