//! The page from outside, as the person before the browser waits for it: from the
//! command to the first section's bytes, and from an edit sent to the section with its
//! new drawing and the proof.
//!
//! `cargo bench --bench page`

#![allow(clippy::print_stdout)]

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Instant;

const EXAMPLES: [&str; 3] = ["tea-box", "sewing-chest", "recipe-box"];
/// Starts and edits of each example.
const ROUNDS: usize = 21;

/// A page being served.
struct Page {
    child: Child,
    host: String,
    path: String,
}

impl Page {
    fn start(job: &Path) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_stepwell"))
            .arg("page")
            .arg(job)
            .arg("--no-open")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let output = child.stdout.take().expect("its output");
        let mut address = String::new();
        BufReader::new(output)
            .read_line(&mut address)
            .expect("an address");
        let rest = address.trim().strip_prefix("http://").expect("an address");
        let (host, path) = rest.split_once('/').expect("a token");
        Self {
            host: host.to_owned(),
            path: path.trim_end_matches('/').to_owned(),
            child,
        }
    }

    fn send(&self, request: &str) -> String {
        let mut stream = TcpStream::connect(&self.host).expect("it listens");
        stream.write_all(request.as_bytes()).expect("it reads");
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).expect("it answers");
        String::from_utf8_lossy(&answer).into_owned()
    }

    fn section(&self, name: &str) -> String {
        let answer = self.send(&format!(
            "GET /{}/{name} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n",
            self.path, self.host
        ));
        assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
        answer
    }

    /// Sends a figure, and fetches what the browser then shows.
    fn edit(&self, seen: &str, key: &str, value: &str) -> String {
        let body = format!("seen={seen}&{key}={value}");
        let answer = self.send(&format!(
            "POST /{}/hinge HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nConnection: close\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
            self.path,
            body.len(),
            host = self.host
        ));
        let status = answer.split(' ').nth(1).unwrap_or_default();
        assert!(["200", "303"].contains(&status), "{answer}");
        self.section("hinge")
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn seen(page: &str) -> String {
    let after = page.split("name=\"seen\" value=\"").nth(1).expect("a form");
    after.split('"').next().unwrap_or_default().to_owned()
}

fn median(mut times: Vec<f64>) -> (f64, f64) {
    times.sort_by(f64::total_cmp);
    (times[0], times[times.len() / 2])
}

fn main() {
    let folder = tempfile::tempdir().expect("a folder for the jobs");
    for name in ["machines", "examples"] {
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
        let to = folder.path().join(name);
        fs::create_dir(&to).expect("a folder");
        for entry in fs::read_dir(from).expect("what is shipped") {
            let path = entry.expect("a file").path();
            fs::copy(&path, to.join(path.file_name().expect("a name"))).expect("a copy");
        }
    }
    println!("milliseconds, {ROUNDS} rounds: least, median");
    for name in EXAMPLES {
        let job = folder.path().join(format!("examples/{name}.toml"));
        let (mut starts, mut edits) = (Vec::new(), Vec::new());
        for round in 0..ROUNDS {
            let begun = Instant::now();
            let page = Page::start(&job);
            let first = page.section("hinge");
            starts.push(begun.elapsed().as_secs_f64() * 1e3);
            // A setback and back again, so that the job is as shipped for the next round.
            let mut seen_now = seen(&first);
            for value in ["3.6mm", "3.5mm"] {
                let begun = Instant::now();
                let after = page.edit(&seen_now, "hinge.setback", value);
                edits.push(begun.elapsed().as_secs_f64() * 1e3);
                assert!(after.contains("Proof:"), "no proof in round {round}");
                seen_now = seen(&after);
            }
        }
        let (start, edit) = (median(starts), median(edits));
        println!(
            "{name:14} start {:6.1} {:6.1}   edit {:6.1} {:6.1}",
            start.0, start.1, edit.0, edit.1
        );
    }
}
