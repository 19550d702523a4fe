//! The page against what is odd: values that are no plain line, files that are
//! none, and who connects without being meant.

use std::io::Write;
use std::net::TcpStream;
use std::time::{Duration, Instant};
#[cfg(unix)]
use std::{fs, process::Command};

use crate::harness::{Workshop, words_of};
#[cfg(unix)]
use crate::page_client::{Page, field, form};

const JOB: &str = "examples/tea-box.toml";

#[test]
fn a_list_in_a_row_is_shown_and_edited() {
    const DOOR: &str = "examples/cabinet-door.toml";
    let workshop = Workshop::new();
    let page = Page::of(&workshop, DOOR);
    let before = workshop.read(DOOR);
    let shown = page.get("fixture").body;
    let own = field(&shown, "fixture.positions[2].hinges");
    assert!(own.contains("value=\"2\""), "{own}");
    let set = |typed: &str| {
        let fields = [
            ("fixture.positions[1].hinges", "1"),
            ("fixture.positions[2].hinges", typed),
            ("fixture.divider", "12"),
        ];
        page.set("fixture", &fields).status
    };
    assert_eq!(set("2, 3"), 303);
    let wanted = before.replace("hinges = [2],", "hinges = [2, 3],");
    assert_eq!(workshop.read(DOOR), wanted);
    let shown = page.get("fixture").body;
    let own = field(&shown, "fixture.positions[2].hinges");
    assert!(own.contains("value=\"2, 3\""), "{own}");
    assert_eq!(set("2, three"), 303);
    let shown = page.get("fixture").body;
    let own = field(&shown, "fixture.positions[2].hinges");
    assert!(own.contains("aria-invalid"), "{own}");
    assert_eq!(set("2"), 303);
    assert_eq!(workshop.read(DOOR), before);
    workshop
        .run(&["set", DOOR, "fixture.positions[2].hinges", "[2, 3]"])
        .expect(0);
    assert_eq!(workshop.read(DOOR), wanted);
}

#[test]
fn what_is_not_one_plain_line_is_refused() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let before = workshop.read(JOB);
    for typed in ["9\n5", "9\u{7}", "Tea\u{202e}box"] {
        for key in ["hinge.width", "hinge.name"] {
            let answer = page.set("hinge", &[(key, typed)]);
            assert_eq!(answer.status, 409, "{key} {typed:?}");
            assert!(words_of(&answer.body).contains("has a line break"));
            let run = workshop.run(&["set", JOB, key, typed]).expect(2);
            assert!(run.stderr.contains("has a line break"), "{}", run.stderr);
        }
        let seen = page.seen("proof");
        let folder = [("seen", seen.as_str()), ("folder", typed), ("read", "yes")];
        assert_eq!(page.post("proof/write", &folder).status, 409, "{typed:?}");
    }
    let long = "x".repeat(50_000);
    let answer = page.set("hinge", &[(&long, "1")]);
    assert_eq!(answer.status, 409);
    assert!(!answer.body.contains(&long[..100]));
    assert_eq!(workshop.read(JOB), before);
    assert_eq!(
        workshop
            .list("examples")
            .iter()
            .filter(|name| name.contains("Tea"))
            .count(),
        0
    );
}

#[cfg(unix)]
fn pipe(workshop: &Workshop, name: &str) {
    let made = Command::new("mkfifo").arg(workshop.path(name)).status();
    assert!(made.unwrap().success());
}

#[cfg(unix)]
#[test]
fn a_pipe_is_no_file_to_wait_for() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let before = workshop.read(JOB);
    pipe(&workshop, "examples/pipe.toml");
    for (section, key) in [
        ("wood-and-bit", "machine"),
        ("wood-and-bit", "bits"),
        ("hinge", "hinges"),
    ] {
        let begun = Instant::now();
        assert_eq!(page.set(section, &[(key, "pipe.toml")]).status, 303);
        let shown = page.get(section).body;
        let own = words_of(field(&shown, key));
        assert!(own.contains("is a device or a pipe"), "{own}");
        let run = workshop.run(&["generate", JOB, "-o", "out"]).expect(2);
        assert!(
            run.stderr.contains("is a device or a pipe"),
            "{}",
            run.stderr
        );
        assert!(begun.elapsed() < Duration::from_secs(10));
        workshop.write(JOB, &before);
    }
    let pipe = "examples/pipe.toml";
    let run = workshop.run(&["set", pipe, "title", "x"]).expect(2);
    assert!(
        run.stderr.contains("is a device or a pipe"),
        "{}",
        run.stderr
    );
    let piped = Page::of(&workshop, pipe);
    let told = words_of(&piped.get("hinge").body);
    assert!(told.contains("is a device or a pipe"), "{told}");
}

#[cfg(unix)]
#[test]
fn it_ends_at_once_though_a_file_is_waited_for() {
    let workshop = Workshop::new();
    let mut page = Page::of(&workshop, JOB);
    let held = fs::File::open(workshop.path(JOB)).unwrap();
    held.lock().unwrap();
    let (path, host) = (page.path("hinge"), page.host.clone());
    let body = form(&[("seen", &page.seen("hinge")), ("hinge.width", "11")]);
    let mut stream = TcpStream::connect(&host).unwrap();
    let head = format!(
        "POST {path} HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
        body.len()
    );
    stream.write_all(head.as_bytes()).unwrap();
    std::thread::sleep(Duration::from_millis(500));
    let begun = Instant::now();
    let number = page.child.id().to_string();
    let told = Command::new("kill").args(["-INT", &number]).status();
    assert!(told.unwrap().success());
    assert!(page.child.wait().unwrap().success());
    assert!(
        begun.elapsed() < Duration::from_secs(4),
        "{:?}",
        begun.elapsed()
    );
}

#[test]
fn who_never_shows_the_token_shuts_nobody_out() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let half: Vec<TcpStream> = (0..300)
        .map(|_| {
            let mut stream = TcpStream::connect(&page.host).unwrap();
            stream.write_all(b"GET / HTTP/1.1\r\nHost:").unwrap();
            stream
        })
        .collect();
    let begun = Instant::now();
    assert_eq!(page.get("hinge").status, 200);
    assert!(
        begun.elapsed() < Duration::from_secs(4),
        "{:?}",
        begun.elapsed()
    );
    drop(half);
}
