//! One listener on the loopback address; every connection has its own limits,
//! so that none holds up the others.

use std::net::Ipv4Addr;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::thread;
use std::time::Duration;

use axum::{Extension, Router};
use data_encoding::HEXLOWER;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::TcpListener;
use tokio::sync::Notify;
use tokio::time;

use super::desk::Desk;
use super::gate::Gate;
use super::presence::Presence;
use super::routes;
use crate::diagnostic::Diagnostic;

/// What is served, and how.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Options {
    /// The job file; it need not be there yet.
    pub job: PathBuf,
    /// The port, where it is not to be any that is free.
    pub port: Option<u16>,
    /// Whether the browser is opened.
    pub opens: bool,
}

/// So long nobody is there before the page ends.
const ALONE: Duration = Duration::from_secs(600);
/// How often it looks whether somebody is there.
const LOOK: Duration = Duration::from_secs(5);
/// The head of a request comes within this, or the connection ends.
const HEAD: Duration = Duration::from_secs(5);
/// No connection lives longer: who does not read an answer holds it no longer.
const WHOLE: Duration = Duration::from_secs(120);
/// What is being written when it ends may end so long; what hangs may not.
const LAST: Duration = Duration::from_secs(1);
/// Bytes of a request's head at most.
const HEAD_BYTES: usize = 16 * 1024;
const TOKEN_BYTES: usize = 16;

/// Serves the page until Ctrl-C, or until nobody has been there for ten
/// minutes. `tell` is given the address.
///
/// # Errors
/// A port that is taken, a system that gives no random numbers.
pub fn serve(options: &Options, tell: &dyn Fn(&str)) -> Result<(), Diagnostic> {
    let failed = |error: std::io::Error| unservable(options.port, &error);
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(failed)?;
    let token = random()?;
    let served = runtime.block_on(async {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, options.port.unwrap_or(0)))
            .await
            .map_err(failed)?;
        let port = listener.local_addr().map_err(failed)?.port();
        let address = format!("http://127.0.0.1:{port}/{token}/");
        let desk = Arc::new(Desk::new(options.job.clone(), &token));
        let gate = Arc::new(Gate::new(port, &token));
        let app = routes::all(desk, Arc::clone(&gate));
        let presence = Presence::new();
        tell(&address);
        if options.opens {
            let key = random()?;
            gate.admit_once(&key);
            open(&format!("http://127.0.0.1:{port}/{key}/"));
        }
        let end = Arc::new(Notify::new());
        tokio::spawn(accept(listener, app, Arc::clone(&presence)));
        let interrupted = Arc::clone(&end);
        tokio::spawn(async move {
            if tokio::signal::ctrl_c().await.is_ok() {
                interrupted.notify_one();
            }
        });
        let alone = Arc::clone(&end);
        tokio::spawn(async move {
            while presence.alone_for() < ALONE {
                time::sleep(LOOK).await;
            }
            alone.notify_one();
        });
        end.notified().await;
        Ok(())
    });
    runtime.shutdown_timeout(LAST);
    served
}

/// A word that nobody guesses.
fn random() -> Result<String, Diagnostic> {
    let mut bytes = [0; TOKEN_BYTES];
    getrandom::fill(&mut bytes).map_err(|error| {
        let message = format!("the system gives no random numbers: {error}");
        Diagnostic::new("no-token", message)
    })?;
    Ok(HEXLOWER.encode(&bytes))
}

async fn accept(listener: TcpListener, app: Router, presence: Arc<Presence>) {
    loop {
        let Ok((stream, _)) = listener.accept().await else {
            // Too many open files, or the like: it passes.
            time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        let guest = Arc::new(presence.enter());
        let number = guest.number();
        let service = TowerToHyperService::new(app.clone().layer(Extension(guest)));
        let task = tokio::spawn(async move {
            let connection = http1::Builder::new()
                .timer(TokioTimer::new())
                .header_read_timeout(HEAD)
                .max_buf_size(HEAD_BYTES)
                .serve_connection(TokioIo::new(stream), service);
            // Whatever ended it, the others go on.
            let _ = time::timeout(WHOLE, connection).await;
        });
        presence.watch(number, task.abort_handle());
    }
}

/// Opens the browser; where there is none the address has been told.
fn open(address: &str) {
    let (program, before): (&str, &[&str]) = if cfg!(target_os = "macos") {
        ("open", &[])
    } else if cfg!(windows) {
        ("cmd", &["/C", "start", ""])
    } else {
        ("xdg-open", &[])
    };
    let child = Command::new(program)
        .args(before)
        .arg(address)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
    if let Ok(mut child) = child {
        thread::spawn(move || child.wait());
    }
}

fn unservable(port: Option<u16>, error: &std::io::Error) -> Diagnostic {
    let which = port.map_or(String::new(), |port| format!(" on port {port}"));
    let message = format!("the page cannot be served{which}: {error}");
    let help = "name another port, or none: then any that is free is taken";
    Diagnostic::new("unservable", message).help(help)
}
