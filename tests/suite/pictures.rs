//! The README's two pictures: `STEPWELL_PICTURES=1 cargo test --test suite pictures`
//! makes them anew, in the browser that the other tests use.

use std::fs;

use crate::chromium::Browser;
use crate::harness::{Workshop, shipped};
use crate::page_client::Page;

const JOB: &str = "examples/tea-box.toml";
/// Width and height of what is shown, in the page's own pixels, and the picture's share of that.
const SHOWN: (u32, u32) = (1100, 760);
const SHARE: f64 = 0.5;

fn take(browser: &mut Browser) -> Vec<u8> {
    browser.picture(SHOWN, SHARE)
}

/// Width and height as a PNG's first block states them (ISO/IEC 15948, 11.2.2).
fn size(picture: &[u8]) -> [u32; 2] {
    assert_eq!(&picture[..8], b"\x89PNG\r\n\x1a\n");
    assert_eq!(&picture[12..16], b"IHDR");
    [16, 20].map(|at| u32::from_be_bytes(picture[at..at + 4].try_into().unwrap()))
}

#[test]
fn the_readme_shows_the_page_and_a_sheet() {
    let readme = fs::read_to_string(shipped("README.md")).unwrap();
    if std::env::var_os("STEPWELL_PICTURES").is_some() {
        let mut browser = Browser::start().expect("a browser");
        let workshop = Workshop::new();
        let run = workshop.run(&["generate", JOB, "-o", "out"]);
        assert_eq!(run.code, 0, "{}", run.stderr);
        browser.turn_to_a_new_page();
        browser.look("light", SHOWN.0);
        browser.open(&workshop.path("out/tea-box.html"));
        fs::write(shipped("examples/sheet.png"), take(&mut browser)).unwrap();
        let page = Page::of(&workshop, JOB);
        browser.turn_to_a_new_page();
        browser.look("light", SHOWN.0);
        browser.visit(&page.address("hinge"));
        fs::write(shipped("examples/page.png"), take(&mut browser)).unwrap();
    }
    let wanted = [SHOWN.0, SHOWN.1].map(|side| (f64::from(side) * SHARE) as u32);
    for name in ["examples/page.png", "examples/sheet.png"] {
        assert!(readme.contains(&format!("({name})")), "{name}");
        let picture = fs::read(shipped(name)).unwrap();
        assert_eq!(size(&picture), wanted, "{name}");
        assert!(
            (10_000..200_000).contains(&picture.len()),
            "{name}: {}",
            picture.len()
        );
    }
}
