//! The page over real requests: who is let in, what is touched, and that it
//! writes what the command line writes.

use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::{Duration, Instant};

use crate::harness::{Workshop, words_of};
use crate::page_client::{Answer, Page, field, form};

const JOB: &str = "examples/tea-box.toml";

#[test]
fn only_the_token_and_the_pages_own_host_let_in() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    assert_eq!(page.get("hinge").status, 200);
    let ask = |path: &str, hosts: &str| {
        page.send(&format!(
            "GET {path} HTTP/1.1\r\n{hosts}Connection: close\r\n\r\n"
        ))
        .status
    };
    let (own, port) = (page.path("hinge"), page.host.split(':').nth(1).unwrap());
    assert_eq!(ask(&own, &format!("Host: localhost:{port}\r\n")), 200);
    for host in [
        "127.0.0.1".to_owned(),
        format!("127.0.0.1.example.com:{port}"),
        format!("127.0.0.2:{port}"),
        format!("[::1]:{port}"),
        format!("example.com:{port}"),
        format!("localhost:{port}0"),
        format!("LOCALHOST.:{port}"),
    ] {
        assert_eq!(ask(&own, &format!("Host: {host}\r\n")), 403, "{host}");
    }
    assert!([400, 403].contains(&ask(&own, "")));
    let two = format!("Host: {0}\r\nHost: {0}\r\n", page.host);
    assert!([400, 403].contains(&ask(&own, &two)));
    let host = format!("Host: {}\r\n", page.host);
    assert_eq!(ask(&format!("http://example.com{own}"), &host), 403);
    let wrong = "0".repeat(page.token.len());
    for path in [
        "/",
        "/hinge",
        "//hinge",
        &format!("/{wrong}/hinge"),
        &format!("/{}x/hinge", page.token),
        &format!("/{}/hinge", &page.token[1..]),
    ] {
        assert_eq!(ask(path, &host), 404, "{path}");
    }
}

/// Every user of the computer may read the arguments of a process.
#[cfg(target_os = "linux")]
#[test]
fn the_browser_is_started_with_a_key_that_opens_once() {
    use std::os::unix::fs::PermissionsExt;

    let workshop = Workshop::new();
    workshop.write("bin/xdg-open", "#!/bin/sh\necho \"$@\" > opened\n");
    let opener = workshop.path("bin/xdg-open");
    fs::set_permissions(&opener, fs::Permissions::from_mode(0o755)).unwrap();
    let mut command = workshop.command(&["page", JOB]);
    command.env(
        "PATH",
        format!("{}:/usr/bin:/bin", workshop.path("bin").display()),
    );
    let page = Page::served_by(command);
    let start = Instant::now();
    let opened = loop {
        let text = fs::read_to_string(workshop.path("opened")).unwrap_or_default();
        if text.ends_with('\n') {
            break text.trim().to_owned();
        }
        assert!(start.elapsed() < Duration::from_secs(20), "no browser");
        std::thread::sleep(Duration::from_millis(10));
    };
    assert!(!opened.contains(&page.token), "{opened}");
    let path = opened
        .strip_prefix(&format!("http://{}", page.host))
        .unwrap();
    let ask = |method: &str, path: &str, host: &str| {
        page.send(&format!(
            "{method} {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"
        ))
    };
    // Nobody else's host, and no look ahead, uses it up.
    assert_eq!(ask("GET", path, "example.com").status, 403);
    assert_eq!(ask("HEAD", path, &page.host).status, 404);
    let first = ask("GET", path, &page.host);
    assert_eq!(first.status, 303);
    let home = format!("location: {}\r\n", page.path(""));
    assert!(first.head.contains(&home), "{}", first.head);
    assert_eq!(ask("GET", path, &page.host).status, 404);
    assert_eq!(page.get("hinge").status, 200);
}

#[test]
fn only_the_page_itself_changes_something() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let before = workshop.read(JOB);
    let body = form(&[("seen", &page.seen("hinge")), ("hinge.width", "11")]);
    let port = page.host.split(':').nth(1).unwrap().to_owned();
    for origin in [
        String::new(),
        "Origin: null\r\n".to_owned(),
        "Origin: http://example.com\r\n".to_owned(),
        format!("Origin: https://{}\r\n", page.host),
        format!("Origin: http://localhost:{port}\r\n"),
        "Origin: http://127.0.0.1:1\r\n".to_owned(),
        format!("Origin: http://{0}\r\nOrigin: http://{0}\r\n", page.host),
    ] {
        for path in [
            "hinge",
            "hinge/undo",
            "proof/write",
            "test-piece/write",
            "readings/write",
            "next-box/write",
            "begin",
        ] {
            let answer = page.post_with(path, &page.host, &origin, &body);
            assert_eq!(answer.status, 403, "{path} {origin}");
        }
    }
    assert_eq!(workshop.read(JOB), before);
    let origin = format!("Origin: http://{}\r\n", page.host);
    assert_eq!(
        page.post_with("hinge", &page.host, &origin, &body).status,
        303
    );
    assert_ne!(workshop.read(JOB), before);
}

#[test]
fn an_edit_writes_the_one_line_and_can_be_taken_back() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let before = workshop.read(JOB);
    assert_eq!(
        page.set(
            "hinge",
            &[("hinge.width", "10,2"), ("hinge.setback", "3.5")]
        )
        .status,
        303
    );
    let wanted = before.replace("width      = 10 ", "width      = 10.2 ");
    assert_ne!(wanted, before);
    assert_eq!(workshop.read(JOB), wanted);
    let told = words_of(&page.get("hinge").body);
    assert!(told.contains("+ width = 10.2 # across the leaf"), "{told}");
    assert!(told.contains("`10,2` was taken as 10.2 mm"), "{told}");
    let command = "stepwell set examples/tea-box.toml hinge.width '10,2'";
    assert!(told.contains(command), "{told}");
    // Told once.
    assert!(!words_of(&page.get("hinge").body).contains(command));
    assert_eq!(page.post("hinge/undo", &[]).status, 303);
    assert_eq!(workshop.read(JOB), before);
    assert_eq!(page.post("hinge/undo", &[]).status, 409);
    workshop.run(&["set", JOB, "hinge.width", "10,2"]).expect(0);
    assert_eq!(workshop.read(JOB), wanted);
}

#[test]
fn lists_points_and_absent_tables_are_edited_too() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let before = workshop.read(JOB);
    page.set(
        "fixture",
        &[("fixture.park[1]", "0"), ("fixture.park[2]", "180")],
    );
    assert!(workshop.read(JOB).contains("\npark = [0, 180]\n"));
    page.set(
        "fixture",
        &[("fixture.park[1]", ""), ("fixture.park[2]", "")],
    );
    assert_eq!(workshop.read(JOB), before);
    page.set(
        "hinge",
        &[
            ("hinge.steps[3].length", "9"),
            ("hinge.steps[3].depth", "1/2 in"),
        ],
    );
    let longer = workshop.read(JOB);
    assert!(
        longer.contains("{ length = 9, depth = \"1/2 in\" }"),
        "{longer}"
    );
    page.set(
        "hinge",
        &[("remove", "hinge.steps[3]"), ("hinge.steps[3].length", "9")],
    );
    assert_eq!(workshop.read(JOB), before);
    for typed in [
        ("entry.number", "1"),
        ("hinge.none", "1"),
        ("../x", "1"),
        ("box", "1"),
    ] {
        assert_eq!(page.set("hinge", &[typed]).status, 409, "{typed:?}");
    }
    assert_eq!(workshop.read(JOB), before);
}

#[test]
fn a_mistake_stands_at_its_field_in_the_words_of_the_terminal() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    for (section, key, value) in [
        ("hinge", "hinge.width", "ten"),
        ("hinge", "hinge.steps[2].depth", "-12"),
        ("box-and-lid", "box.length", ""),
        ("wood-and-bit", "box.wood", "wallnut"),
        ("wood-and-bit", "bit", "7 mm up-spiral"),
        ("wood-and-bit", "machine", "none.toml"),
    ] {
        let before = workshop.read(JOB);
        assert_eq!(page.set(section, &[(key, value)]).status, 303, "{key}");
        let shown = page.get(section).body;
        let run = workshop
            .run(&["generate", JOB, "-o", "out", "--format", "json"])
            .expect(2);
        let error = &run.json()["errors"][0];
        let own = words_of(field(&shown, key));
        for part in error["message"].as_str().unwrap().split("; ") {
            let plain = own
                .replace("&quot;", "\"")
                .replace("&gt;", ">")
                .replace("&lt;", "<");
            assert!(plain.contains(part), "{key}: {part} in {plain}");
        }
        assert!(field(&shown, key).contains("aria-invalid"), "{key}");
        // What is right stays as it is, and can be changed.
        assert_eq!(shown.matches("aria-invalid").count(), 1, "{key}");
        assert_eq!(page.set("box-and-lid", &[("title", "Tea")]).status, 303);
        assert!(workshop.read(JOB).contains("= \"Tea\""));
        workshop.write(JOB, &before);
    }
}

#[test]
fn a_file_changed_outside_is_never_overwritten() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let (one, other) = (page.seen("hinge"), page.seen("box-and-lid"));
    assert_eq!(
        page.post("hinge", &[("seen", &one), ("hinge.width", "10.1")])
            .status,
        303
    );
    let mine = workshop.read(JOB);
    // The other tab shows what was there before.
    let answer = page.post("box-and-lid", &[("seen", &other), ("box.wall", "19")]);
    assert_eq!(answer.status, 409);
    assert!(words_of(&answer.body).contains("has changed since this page was shown"));
    assert_eq!(workshop.read(JOB), mine);
    workshop.write(JOB, &mine.replace("wall   = 18", "wall   = 17"));
    assert_eq!(page.post("hinge/undo", &[]).status, 409);
    assert_eq!(page.post("hinge", &[("hinge.width", "12")]).status, 409);
    assert!(workshop.read(JOB).contains("wall   = 17") && workshop.read(JOB).contains("10.1"));
    assert_eq!(page.set("box-and-lid", &[("box.wall", "19")]).status, 303);
}

#[test]
fn what_is_written_is_what_generate_writes() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let seen = page.seen("proof");
    let fields = [("seen", seen.as_str()), ("folder", "out"), ("read", "yes")];
    // The cautions come first.
    let answer = page.post("proof/write", &fields[..2]);
    assert_eq!(answer.status, 409);
    assert!(workshop.list("examples/out").is_empty());
    let sheet = page.get("sheet").body;
    assert!(words_of(&page.get("proof").body).contains("Power off to touch bit or wood"));
    assert_eq!(page.post("proof/write", &fields).status, 303);
    let names = workshop.list("examples/out");
    assert_eq!(names, ["tea-box-pilot.nc", "tea-box.html", "tea-box.nc"]);
    let read = |name: &str| fs::read(workshop.path(&format!("examples/out/{name}"))).unwrap();
    let written: Vec<Vec<u8>> = names.iter().map(|name| read(name)).collect();
    fs::remove_dir_all(workshop.path("examples/out")).unwrap();
    workshop
        .run(&["generate", JOB, "-o", "examples/out"])
        .expect(0);
    for (name, written) in names.iter().zip(&written) {
        assert!(read(name) == *written, "{name}");
    }
    assert!(sheet.as_bytes() == written[1]);
    // A job that fails is not written.
    page.set("box-and-lid", &[("lid.thickness", "12")]);
    let seen = page.seen("box-and-lid");
    let answer = page.post("proof/write", &[("seen", &seen), ("folder", "two")]);
    assert_eq!(answer.status, 409);
    assert!(workshop.list("examples/two").is_empty());
    let proof = words_of(&page.get("proof").body);
    assert!(
        proof.contains("nothing can be written yet") && proof.contains("Taken on trust:"),
        "{proof}"
    );
}

#[test]
fn nothing_outside_the_jobs_folder_is_touched() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let before = workshop.read(JOB);
    workshop.write("secret.toml", "secretive = \"words\"\n");
    for (section, key) in [
        ("wood-and-bit", "machine"),
        ("wood-and-bit", "bits"),
        ("hinge", "hinges"),
    ] {
        page.set(section, &[(key, "../secret.toml")]);
        let shown = page.get(section).body;
        assert!(!shown.contains("secretive"), "{key}");
        let own = words_of(field(&shown, key));
        assert!(own.contains("lies outside the job's folder"), "{own}");
        workshop.write(JOB, &before);
    }
    let write = |folder: &str| {
        let seen = page.seen("proof");
        page.post(
            "proof/write",
            &[("seen", &seen), ("folder", folder), ("read", "yes")],
        )
        .status
    };
    let absolute = workshop.path("elsewhere").display().to_string();
    for folder in ["..", "../elsewhere", "out/more", "/", "", ".", &absolute] {
        assert_eq!(write(folder), 409, "{folder}");
    }
    #[cfg(unix)]
    {
        fs::create_dir(workshop.path("elsewhere")).unwrap();
        std::os::unix::fs::symlink(workshop.path("elsewhere"), workshop.path("examples/link"))
            .unwrap();
        assert_eq!(write("link"), 409);
        fs::create_dir(workshop.path("examples/out")).unwrap();
        workshop.write("victim", "as it was");
        std::os::unix::fs::symlink(
            workshop.path("victim"),
            workshop.path("examples/out/tea-box.nc"),
        )
        .unwrap();
        assert_eq!(write("out"), 409);
        assert_eq!(workshop.read("victim"), "as it was");
        assert!(workshop.list("elsewhere").is_empty());
    }
    for path in [
        "../../secret.toml",
        "..%2f..%2fsecret.toml",
        "hinge/../../secret.toml",
        "%2e%2e/secret.toml",
        "secret.toml",
        "page.css/../x",
    ] {
        let answer = page.get(path);
        assert_eq!(answer.status, 404, "{path}");
    }
}

#[test]
fn a_client_that_hangs_holds_up_no_other_and_a_large_one_is_refused() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let (path, host) = (page.path("hinge"), &page.host);
    let mut hanging = Vec::new();
    for index in 0..40 {
        let mut stream = TcpStream::connect(host).unwrap();
        let head = match index % 2 {
            0 => format!("GET {path} HTTP/1.1\r\nHost: {host}\r\n"),
            _ => format!(
                "POST {path} HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\n\
                 Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 900\r\n\r\nseen="
            ),
        };
        stream.write_all(head.as_bytes()).unwrap();
        hanging.push(stream);
    }
    let start = Instant::now();
    assert_eq!(page.get("hinge").status, 200);
    assert!(
        start.elapsed() < Duration::from_secs(5),
        "{:?}",
        start.elapsed()
    );
    let large = format!("hinge.width={}", "9".repeat(400_000));
    let origin = format!("Origin: http://{host}\r\n");
    assert_eq!(page.post_with("hinge", host, &origin, &large).status, 413);
    let long = "x".repeat(100_000);
    assert!(
        [400, 414, 431].contains(
            &page
                .send(&format!("GET /{long} HTTP/1.1\r\nHost: {host}\r\n\r\n"))
                .status
        )
    );
    // The head of the first is waited for five seconds.
    let first = &mut hanging[0];
    first
        .set_read_timeout(Some(Duration::from_secs(30)))
        .unwrap();
    let mut rest = Vec::new();
    let _ = first.read_to_end(&mut rest);
    assert!(
        start.elapsed() < Duration::from_secs(15),
        "{:?}",
        start.elapsed()
    );
    assert_eq!(page.get("hinge").status, 200);
}

#[test]
fn a_page_asks_for_nothing_from_anywhere_and_says_so() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    for path in [
        "hinge",
        "box-and-lid",
        "wood-and-bit",
        "fixture",
        "proof",
        "test-piece",
        "readings",
        "next-box",
        "page.css",
        "page.js",
    ] {
        let Answer { status, head, body } = page.get(path);
        assert_eq!(status, 200, "{path}");
        let policy = head
            .lines()
            .find(|line| line.starts_with("content-security-policy: "))
            .unwrap();
        assert!(policy.contains("default-src 'none'") && policy.contains("frame-ancestors 'none'"));
        assert!(
            !policy.contains("http") && !policy.contains('*'),
            "{policy}"
        );
        for word in ["http:", "https:", "@import", "url(h", "onclick", "<script>"] {
            assert!(!body.contains(word), "{path}: {word}");
        }
        // Each field has its label, and what it means.
        let inputs =
            body.matches("<input type=\"text\" id=").count() + body.matches("<select id=").count();
        assert_eq!(body.matches("<label for=").count(), inputs, "{path}");
        assert_eq!(body.matches("aria-describedby=").count(), inputs, "{path}");
    }
    assert!(page.get("sheet").body.contains("default-src 'none'"));
    page.set("box-and-lid", &[("title", "<script>alert(1)</script>")]);
    assert!(!page.get("hinge").body.contains("<script>alert"));
}

#[test]
fn a_line_that_is_no_toml_is_mended_at_its_field() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let before = workshop.read(JOB);
    workshop.write(JOB, &before.replace("wall   = 18 ", "wall   = 18,5 "));
    let shown = page.get("box-and-lid").body;
    assert!(words_of(field(&shown, "box.wall")).contains("is not how a number is written"));
    assert_eq!(page.set("box-and-lid", &[("box.wall", "18")]).status, 303);
    assert_eq!(workshop.read(JOB), before);
}

#[test]
fn a_job_is_begun_filled_in_and_written_without_a_file_at_hand() {
    let workshop = Workshop::new();
    fs::create_dir(workshop.path("new")).unwrap();
    let page = Page::of(&workshop, "new/box.toml");
    let first = words_of(&page.get("hinge").body);
    assert!(
        first.contains("stepwell init new/box.toml --machine new/machines/benchtop-mm.toml"),
        "{first}"
    );
    assert_eq!(page.post("begin", &[]).status, 303);
    assert_eq!(workshop.list("new"), ["box.toml", "machines"]);
    assert_eq!(page.post("begin", &[]).status, 409);
    page.set(
        "box-and-lid",
        &[("box.length", "10 1/2 in"), ("lid.length", "10 1/2″")],
    );
    let seen = page.seen("proof");
    assert_eq!(
        page.post(
            "proof/write",
            &[("seen", &seen), ("folder", "out"), ("read", "yes")]
        )
        .status,
        303
    );
    assert_eq!(workshop.list("new/out"), ["box.html", "box.nc"]);
    assert!(workshop.read("new/box.toml").contains("\"10 1/2 in\""));
    workshop
        .run(&["simulate", "new/out/box.nc", "--job", "new/box.toml"])
        .expect(0);
}

/// Bytes from a fixed seed, so that a failure comes again.
#[test]
fn nonsense_ends_no_page() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let before = workshop.read(JOB);
    let mut state = 0x2545_f491_4f6c_dd1d_u64;
    let mut byte = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 32) as u8
    };
    for round in 0..60 {
        let noise: Vec<u8> = (0..200).map(|_| byte()).collect();
        let mut stream = TcpStream::connect(&page.host).unwrap();
        let (path, host) = (page.path("hinge"), &page.host);
        let head = match round % 3 {
            0 => String::new(),
            1 => format!("GET {path}%"),
            _ => format!(
                "POST {path} HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nConnection: close\r\n\
                 Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 200\r\n\r\n"
            ),
        };
        let _ = stream.write_all(head.as_bytes());
        let _ = stream.write_all(&noise);
    }
    assert_eq!(page.get("hinge").status, 200);
    assert_eq!(workshop.read(JOB), before);
}

// The letters of the picture beside them are those of the job sheet's table.
#[test]
fn fields_of_the_hinge_carry_the_letters_of_its_picture() {
    let workshop = Workshop::new();
    workshop.run(&["generate", JOB, "-o", "out"]).expect(0);
    let sheet = workshop.read("out/tea-box.html");
    let (_, table) = sheet.split_once("id=\"hinge\"").unwrap();
    let page = Page::of(&workshop, JOB);
    let hinge = page.get("hinge").body;
    let mut letters = String::new();
    for row in table.split("<tr><td><b>").skip(1) {
        let letter = &row[..1];
        let (_, key) = row.split_once("<code>").unwrap();
        let (key, _) = key.split_once("</code>").unwrap();
        letters += letter;
        let field = hinge.split(&format!("name=\"{key}\"")).next().unwrap();
        let label = field.rsplit_once("<label").unwrap().1;
        assert!(label.contains(&format!("({letter})")), "{key}: {label}");
    }
    assert_eq!(letters, "ABCDEFG");
}
