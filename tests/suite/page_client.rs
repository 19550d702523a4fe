//! A page being served, and requests to it as a browser sends them.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use crate::harness::Workshop;

/// A page being served.
pub(crate) struct Page {
    pub(crate) child: Child,
    pub(crate) host: String,
    pub(crate) token: String,
}

pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: String,
}

impl Page {
    pub(crate) fn of(workshop: &Workshop, job: &str) -> Self {
        Self::served_by(workshop.command(&["page", job, "--no-open"]))
    }

    pub(crate) fn served_by(mut command: Command) -> Self {
        let mut child = command
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut address = String::new();
        let output = child.stdout.take().unwrap();
        BufReader::new(output).read_line(&mut address).unwrap();
        let rest = address.trim().strip_prefix("http://").unwrap();
        let (host, token) = rest.split_once('/').unwrap();
        Self {
            host: host.to_owned(),
            token: token.trim_end_matches('/').to_owned(),
            child,
        }
    }

    pub(crate) fn send(&self, text: &str) -> Answer {
        let mut stream = TcpStream::connect(&self.host).unwrap();
        stream
            .set_read_timeout(Some(Duration::from_secs(60)))
            .unwrap();
        // A refusal may come before everything has been read.
        let _ = stream.write_all(text.as_bytes());
        let mut answer = Vec::new();
        let _ = stream.read_to_end(&mut answer);
        let answer = String::from_utf8_lossy(&answer).into_owned();
        let (head, body) = answer.split_once("\r\n\r\n").unwrap_or((&answer, ""));
        Answer {
            status: head
                .split(' ')
                .nth(1)
                .and_then(|word| word.parse().ok())
                .unwrap_or(0),
            head: head.to_lowercase(),
            body: body.to_owned(),
        }
    }

    /// The address of a section.
    pub(crate) fn address(&self, section: &str) -> String {
        format!("http://{}{}", self.host, self.path(section))
    }

    pub(crate) fn path(&self, path: &str) -> String {
        format!("/{}/{path}", self.token)
    }

    pub(crate) fn get(&self, path: &str) -> Answer {
        let (path, host) = (self.path(path), &self.host);
        self.send(&format!(
            "GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"
        ))
    }

    pub(crate) fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let origin = format!("Origin: http://{}\r\n", self.host);
        self.post_with(path, &self.host, &origin, &form(fields))
    }

    pub(crate) fn post_with(&self, path: &str, host: &str, more: &str, body: &str) -> Answer {
        let path = self.path(path);
        self.send(&format!(
            "POST {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n{more}\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
            body.len()
        ))
    }

    /// What a form of a section shows of the file.
    #[track_caller]
    pub(crate) fn seen(&self, section: &str) -> String {
        let page = self.get(section).body;
        let after = page.split("name=\"seen\" value=\"").nth(1).expect("a form");
        after.split('"').next().unwrap().to_owned()
    }

    #[track_caller]
    pub(crate) fn set(&self, section: &str, fields: &[(&str, &str)]) -> Answer {
        let seen = self.seen(section);
        let fields: Vec<(&str, &str)> = [("seen", seen.as_str())]
            .into_iter()
            .chain(fields.iter().copied())
            .collect();
        self.post(section, &fields)
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

pub(crate) fn form(fields: &[(&str, &str)]) -> String {
    let encoded = |text: &str| -> String {
        let bytes = text.bytes();
        bytes
            .map(|byte| match byte {
                b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'.' | b'_' => {
                    char::from(byte).to_string()
                }
                other => format!("%{other:02X}"),
            })
            .collect()
    };
    let pairs = fields
        .iter()
        .map(|(key, value)| format!("{}={}", encoded(key), encoded(value)));
    pairs.collect::<Vec<_>>().join("&")
}

/// The part of a page from the field of a key to the next field.
#[track_caller]
pub(crate) fn field<'p>(page: &'p str, key: &str) -> &'p str {
    let from = page
        .find(&format!("<label for=\"{key}\">"))
        .unwrap_or_else(|| panic!("no field {key}"));
    let rest = &page[from..];
    let end = rest[1..]
        .find("<label for=")
        .map_or(rest.len(), |end| end + 1);
    &rest[..end]
}
