//! Who is let in: the token in the path, a `Host` that is this page's own, and
//! for what changes something an `Origin` that is.

use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use axum::Extension;
use axum::extract::{Request, State};
use axum::http::header::{self, HeaderName};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use sha2::{Digest, Sha256};

use super::answer::Answer;
use super::presence::Guest;

/// A request that takes longer than this, body and all, is given up.
const PATIENCE: Duration = Duration::from_secs(30);

/// A browser that was asked to open has come by then.
const OPENING: Duration = Duration::from_secs(60);

/// No script, style, picture or form from or to anywhere else. Drawings state
/// their width in a `style` attribute.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; \
    style-src-attr 'unsafe-inline'; img-src 'self' data:; connect-src 'self'; form-action 'self'; \
    base-uri 'none'; frame-ancestors 'none'";

/// What a request must show.
pub(super) struct Gate {
    hosts: [String; 2],
    token: [u8; 32],
    /// Where an opening leads: the path with the token.
    home: String,
    /// The digest of a key that opens the page once, and since when.
    key: Mutex<Option<([u8; 32], Instant)>>,
}

impl Gate {
    pub(super) fn new(port: u16, token: &str) -> Self {
        Self {
            hosts: ["127.0.0.1", "localhost"].map(|name| format!("{name}:{port}")),
            token: Sha256::digest(token).into(),
            home: format!("/{token}/"),
            key: Mutex::new(None),
        }
    }

    /// Lets `key` open the page, once and soon. Every user of the computer may
    /// read a process's arguments, so the browser is not started with the token.
    pub(super) fn admit_once(&self, key: &str) {
        let key = Sha256::digest(key).into();
        *self.key.lock().unwrap_or_else(PoisonError::into_inner) = Some((key, Instant::now()));
    }

    /// Whether this is the one opening that the key is good for.
    fn opens(&self, request: &Request, shown: [u8; 32]) -> bool {
        let mut key = self.key.lock().unwrap_or_else(PoisonError::into_inner);
        let is_own = request.method() == Method::GET
            && key.is_some_and(|(key, since)| key == shown && since.elapsed() < OPENING);
        if is_own {
            *key = None;
        }
        is_own
    }

    /// What is answered to who is not let in, or only sent on.
    fn refusal(&self, request: &Request, guest: &Guest) -> Option<Response> {
        let refused =
            |status: StatusCode, words: &'static str| Some((status, words).into_response());
        let headers = request.headers();
        let host =
            only(headers, header::HOST).filter(|host| self.hosts.iter().any(|own| own == host));
        let Some(host) = host.filter(|_| request.uri().authority().is_none()) else {
            return refused(StatusCode::FORBIDDEN, "this is not the page's own address");
        };
        let token = request.uri().path().split('/').nth(1).unwrap_or_default();
        // Digests are compared, so that the time says nothing of the token.
        let shown: [u8; 32] = Sha256::digest(token).into();
        if shown != self.token {
            if self.opens(request, shown) {
                return Some(Answer::There(self.home.clone()).into_response());
            }
            return refused(StatusCode::NOT_FOUND, "there is nothing here");
        }
        guest.is_known();
        if [Method::GET, Method::HEAD].contains(request.method()) {
            return None;
        }
        let origin =
            only(headers, header::ORIGIN).and_then(|origin| origin.strip_prefix("http://"));
        if origin == Some(host) {
            return None;
        }
        refused(
            StatusCode::FORBIDDEN,
            "only the page itself may change something",
        )
    }
}

/// The value of a header that is given once.
fn only(headers: &HeaderMap, name: HeaderName) -> Option<&str> {
    let mut values = headers.get_all(name).iter();
    let value = values.next()?.to_str().ok()?;
    values.next().is_none().then_some(value)
}

/// Lets in or refuses, in good time, and says on every answer what the browser
/// must not do with it.
pub(super) async fn guard(
    State(gate): State<Arc<Gate>>,
    Extension(guest): Extension<Arc<Guest>>,
    request: Request,
    next: Next,
) -> Response {
    let mut response = match gate.refusal(&request, &guest) {
        Some(refusal) => refusal,
        None => match tokio::time::timeout(PATIENCE, next.run(request)).await {
            Ok(response) => response,
            Err(_) => (StatusCode::REQUEST_TIMEOUT, "that took too long").into_response(),
        },
    };
    let headers = response.headers_mut();
    for (name, value) in [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::REFERRER_POLICY, "same-origin"),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::X_FRAME_OPTIONS, "DENY"),
        (header::CACHE_CONTROL, "no-store"),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
    ] {
        // The sheet has a policy of its own inside.
        headers
            .entry(name)
            .or_insert(HeaderValue::from_static(value));
    }
    response
}
