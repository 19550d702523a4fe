//! Runs the built program in a folder of its own, with copies of the shipped
//! machines and examples beside it.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;

/// A temporary workshop: `machines/` and `examples/` as shipped.
pub(crate) struct Workshop {
    folder: tempfile::TempDir,
}

/// What a run gave back.
pub(crate) struct Run {
    pub(crate) code: i32,
    pub(crate) stdout: String,
    pub(crate) stderr: String,
}

impl Workshop {
    pub(crate) fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        for name in ["machines", "examples"] {
            let target = folder.path().join(name);
            fs::create_dir(&target).unwrap();
            for entry in fs::read_dir(shipped(name)).unwrap() {
                let path = entry.unwrap().path();
                fs::copy(&path, target.join(path.file_name().unwrap())).unwrap();
            }
        }
        Self { folder }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    pub(crate) fn write(&self, name: &str, text: &str) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    /// Copies an example with replacements; each must be found.
    pub(crate) fn vary(&self, example: &str, name: &str, replacements: &[(&str, &str)]) {
        let mut text = self.read(example);
        for (from, to) in replacements {
            assert!(text.contains(from), "`{from}` is not in {example}");
            text = text.replacen(from, to, 1);
        }
        self.write(name, &text);
    }

    pub(crate) fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_stepwell"));
        command
            .current_dir(self.folder.path())
            .args(arguments)
            .env("NO_COLOR", "1")
            .env("COLUMNS", "100");
        command
    }

    #[track_caller]
    pub(crate) fn run(&self, arguments: &[&str]) -> Run {
        let output = self
            .command(arguments)
            .stdin(Stdio::null())
            .output()
            .unwrap();
        Run::from(output)
    }

    #[track_caller]
    pub(crate) fn run_with_input(&self, arguments: &[&str], input: &[u8]) -> Run {
        let mut child = self
            .command(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // The program may refuse before it has read everything.
        let _ = child.stdin.take().unwrap().write_all(input);
        Run::from(child.wait_with_output().unwrap())
    }

    /// Names in a folder of the workshop, sorted; empty where there is no such folder.
    pub(crate) fn list(&self, folder: &str) -> Vec<String> {
        let Ok(entries) = fs::read_dir(self.path(folder)) else {
            return Vec::new();
        };
        let mut names: Vec<String> = entries
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }
}

impl From<std::process::Output> for Run {
    fn from(output: std::process::Output) -> Self {
        Self {
            code: output.status.code().unwrap_or(-1),
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

impl Run {
    #[track_caller]
    pub(crate) fn expect(self, code: i32) -> Self {
        assert_eq!(
            self.code, code,
            "stdout:\n{}\nstderr:\n{}",
            self.stdout, self.stderr
        );
        self
    }

    #[track_caller]
    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.stdout).unwrap_or_else(|error| {
            panic!(
                "{error}: stdout:\n{}\nstderr:\n{}",
                self.stdout, self.stderr
            )
        })
    }

    /// The verdict of a check in a JSON report.
    #[track_caller]
    pub(crate) fn verdict(&self, id: &str) -> String {
        let report = self.json();
        let checks = report["checks"].as_array().unwrap();
        let check = checks.iter().find(|check| check["id"] == id);
        check.unwrap_or_else(|| panic!("no check `{id}`"))["verdict"]
            .as_str()
            .unwrap()
            .to_owned()
    }
}

/// A folder of the repository.
pub(crate) fn shipped(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// The shipped example jobs that are cut in one lie of the parts, as paths inside
/// a workshop, sorted; the others have a program for each position.
pub(crate) fn examples() -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(shipped("examples"))
        .unwrap()
        .map(|entry| format!("examples/{}", entry.unwrap().file_name().to_string_lossy()))
        .filter(|name| name.ends_with(".toml"))
        .filter(|name| {
            let text = fs::read_to_string(shipped(name)).unwrap();
            !text.contains("positions =") && !text.contains("\n[template]")
        })
        .collect();
    names.sort();
    assert!(
        names.len() >= 3,
        "three examples are shipped, found {names:?}"
    );
    names
}

/// The stem of an example's path.
pub(crate) fn stem(example: &str) -> &str {
    Path::new(example).file_stem().unwrap().to_str().unwrap()
}

/// What a reader sees: the page without its scripts, style and tags.
pub(crate) fn words_of(page: &str) -> String {
    let mut words = String::new();
    let mut rest = page;
    while let Some((before, after)) = rest.split_once('<') {
        words.push_str(before);
        words.push(' ');
        let tag = ["script", "style"]
            .into_iter()
            .find(|tag| after.starts_with(tag));
        rest = match tag {
            Some(tag) => after
                .split_once(&format!("</{tag}>"))
                .map_or("", |(_, rest)| rest),
            None => after.split_once('>').map_or("", |(_, rest)| rest),
        };
    }
    words.push_str(rest);
    let words = words.replace("&#x27;", "'").replace("&#x2f;", "/");
    flowed(&words)
}

/// With the words of a text on one line.
pub(crate) fn flowed(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
