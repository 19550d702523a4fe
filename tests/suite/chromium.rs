//! A headless browser driven over its debugging protocol, nothing more than
//! the sheet's tests need.

use std::io::{self, BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use tungstenite::{Message, WebSocket};

const PATIENCE: Duration = Duration::from_secs(60);
const NAMES: [&str; 4] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
];

/// A connection that goes on after a signal. With a timeout set, the kernel
/// does not take up an interrupted read again by itself: signal(7).
struct Steady(TcpStream);

fn steadily<T>(mut attempt: impl FnMut() -> io::Result<T>) -> io::Result<T> {
    loop {
        match attempt() {
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            outcome => return outcome,
        }
    }
}

impl Read for Steady {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        steadily(|| self.0.read(buffer))
    }
}

impl Write for Steady {
    fn write(&mut self, buffer: &[u8]) -> io::Result<usize> {
        steadily(|| self.0.write(buffer))
    }

    fn flush(&mut self) -> io::Result<()> {
        steadily(|| self.0.flush())
    }
}

/// One browser with one page.
pub(crate) struct Browser {
    process: Child,
    socket: WebSocket<Steady>,
    session: Option<String>,
    next: u64,
    /// Everything the page has told since it was opened.
    pub(crate) events: Vec<Value>,
    _profile: tempfile::TempDir,
}

impl Browser {
    /// Starts one. Without an installed browser there is none, which only
    /// continuous integration does not forgive.
    pub(crate) fn start() -> Option<Self> {
        let Some(program) = installed() else {
            assert!(
                std::env::var_os("CI").is_none(),
                "no browser is installed; continuous integration needs one of {NAMES:?}"
            );
            eprintln!("skipped: no browser is installed (looked for {NAMES:?})");
            return None;
        };
        let profile = tempfile::tempdir().unwrap();
        let mut process = Command::new(program)
            .args([
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--disable-quic",
                "--no-first-run",
                "--disable-background-networking",
                "--disable-component-update",
                "--disable-sync",
                "--disable-dev-shm-usage",
                "--remote-debugging-port=0",
            ])
            .arg(format!("--user-data-dir={}", profile.path().display()))
            .arg("about:blank")
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut words = BufReader::new(process.stderr.take().unwrap());
        let address = loop {
            let mut line = String::new();
            assert!(words.read_line(&mut line).unwrap() > 0, "the browser ended");
            if let Some(at) = line.find("ws://") {
                break line[at..].trim().to_owned();
            }
        };
        // Its chatter must go somewhere, or it would wait for a reader.
        std::thread::spawn(move || io::copy(&mut words, &mut io::sink()));
        let host = address["ws://".len()..].split('/').next().unwrap();
        let stream = TcpStream::connect(host).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        let (socket, _) = tungstenite::client(&address, Steady(stream)).unwrap();
        let browser = Self {
            process,
            socket,
            session: None,
            next: 0,
            events: Vec::new(),
            _profile: profile,
        };
        Some(browser)
    }

    /// A page that knows nothing of the one before, which is left.
    pub(crate) fn turn_to_a_new_page(&mut self) {
        self.session = None;
        let target = self.call("Target.createTarget", json!({ "url": "about:blank" }));
        let session = self.call(
            "Target.attachToTarget",
            json!({ "targetId": target["targetId"], "flatten": true }),
        );
        self.session = session["sessionId"].as_str().map(str::to_owned);
        for domain in ["Page", "Runtime", "Log", "Network"] {
            self.call(&format!("{domain}.enable"), json!({}));
        }
    }

    /// One command and its answer.
    #[track_caller]
    pub(crate) fn call(&mut self, method: &str, parameters: Value) -> Value {
        self.next += 1;
        let id = self.next;
        let mut message = json!({ "id": id, "method": method, "params": parameters });
        if let Some(session) = &self.session {
            message["sessionId"] = json!(session);
        }
        self.socket
            .send(Message::text(message.to_string()))
            .unwrap();
        loop {
            let Message::Text(text) = self.socket.read().unwrap() else {
                continue;
            };
            let mut answer: Value = serde_json::from_str(&text).unwrap();
            if answer["id"] == id {
                assert!(answer["error"].is_null(), "{method}: {}", answer["error"]);
                return answer["result"].take();
            }
            self.events.push(answer);
        }
    }

    /// Opens a file and waits until it is there.
    pub(crate) fn open(&mut self, file: &Path) {
        self.visit(&format!("file://{}", file.display()));
    }

    /// Goes to an address and waits until it is there.
    pub(crate) fn visit(&mut self, url: &str) {
        self.events.clear();
        self.call("Page.navigate", json!({ "url": url }));
        let ready = format!("location.href === {url:?} && document.readyState === 'complete'");
        let begun = Instant::now();
        while self.evaluate(&ready) != true {
            assert!(begun.elapsed() < PATIENCE, "{url} does not open");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// The value of an expression, promises awaited.
    #[track_caller]
    pub(crate) fn evaluate(&mut self, expression: &str) -> Value {
        let mut answer = self.call(
            "Runtime.evaluate",
            json!({ "expression": expression, "returnByValue": true, "awaitPromise": true }),
        );
        assert!(
            answer["exceptionDetails"].is_null(),
            "{expression}: {}",
            answer["exceptionDetails"]
        );
        answer["result"]["value"].take()
    }

    /// Light or dark, and how wide the window is.
    pub(crate) fn look(&mut self, scheme: &str, width: u32) {
        self.call(
            "Emulation.setEmulatedMedia",
            json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] }),
        );
        self.call(
            "Emulation.setDeviceMetricsOverride",
            json!({ "width": width, "height": 900, "deviceScaleFactor": 1, "mobile": width < 600 }),
        );
    }

    /// The upper left of the page as a PNG, made smaller by `share`.
    pub(crate) fn picture(&mut self, (width, height): (u32, u32), share: f64) -> Vec<u8> {
        let answer = self.call(
            "Page.captureScreenshot",
            json!({
                "format": "png",
                "clip": { "x": 0, "y": 0, "width": width, "height": height, "scale": share },
                "captureBeyondViewport": true,
            }),
        );
        from_base64(answer["data"].as_str().unwrap())
    }

    /// Pages on paper of this size in inches.
    pub(crate) fn printed_pages(&mut self, paper: (f64, f64)) -> usize {
        let text = self.pdf(paper);
        text.matches("/Type /Page").count() - text.matches("/Type /Pages").count()
    }

    /// Width and height of the first page, in points, on paper of this size.
    pub(crate) fn printed_size(&mut self, paper: (f64, f64)) -> [f64; 2] {
        let text = self.pdf(paper);
        let media = text.split("/MediaBox [").nth(1).unwrap();
        let media = media.split(']').next().unwrap();
        let mut numbers = media.split_whitespace().skip(2);
        [(); 2].map(|()| numbers.next().unwrap().parse().unwrap())
    }

    fn pdf(&mut self, (width, height): (f64, f64)) -> String {
        let answer = self.call(
            "Page.printToPDF",
            json!({
                "paperWidth": width,
                "paperHeight": height,
                "printBackground": false,
                "preferCSSPageSize": false,
            }),
        );
        let pdf = from_base64(answer["data"].as_str().unwrap());
        assert!(pdf.starts_with(b"%PDF"));
        String::from_utf8_lossy(&pdf).into_owned()
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

fn installed() -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let folders: Vec<_> = std::env::split_paths(&path).collect();
    NAMES
        .iter()
        .flat_map(|name| folders.iter().map(move |folder| folder.join(name)))
        .find(|file| file.is_file())
}

/// RFC 4648, the standard alphabet.
fn from_base64(text: &str) -> Vec<u8> {
    const ALPHABET: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut bytes = Vec::with_capacity(text.len() * 3 / 4);
    let (mut held, mut bits) = (0u32, 0);
    for letter in text.bytes() {
        let Some(value) = ALPHABET.iter().position(|known| *known == letter) else {
            continue;
        };
        held = held << 6 | u32::try_from(value).unwrap();
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            bytes.push(u8::try_from(held >> bits & 0xff).unwrap());
        }
    }
    bytes
}

#[test]
fn base64_is_read_as_in_rfc_4648() {
    // Test vectors of RFC 4648, section 10.
    assert_eq!(from_base64("Zm9vYmFy"), b"foobar");
    assert_eq!(from_base64("Zm9vYg=="), b"foob");
}
