//! What is answered.

use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{Html, IntoResponse, Response};

/// An answer to a browser.
pub(super) enum Answer {
    /// A page, with a status that is not always "all is well".
    Page(StatusCode, String),
    /// The job sheet, which has a policy of its own inside.
    Sheet(String),
    /// Done: look there, a path beside the one asked for.
    There(String),
    /// In plain words.
    Words(StatusCode, String),
}

impl IntoResponse for Answer {
    fn into_response(self) -> Response {
        match self {
            Self::Page(status, text) => (status, Html(text)).into_response(),
            Self::Sheet(text) => {
                let policy = HeaderValue::from_static("frame-ancestors 'none'");
                ([(header::CONTENT_SECURITY_POLICY, policy)], Html(text)).into_response()
            }
            Self::There(path) => {
                (StatusCode::SEE_OTHER, [(header::LOCATION, path)]).into_response()
            }
            Self::Words(status, words) => (status, words).into_response(),
        }
    }
}
