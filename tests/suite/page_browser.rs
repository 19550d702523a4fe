//! The page in a real browser: typed into, narrow and wide, and written to from
//! another page.

use std::time::{Duration, Instant};

use serde_json::json;

use crate::chromium::Browser;
use crate::harness::Workshop;
use crate::page_client::Page;

const JOB: &str = "examples/tea-box.toml";
const SECTIONS: [&str; 8] = [
    "hinge",
    "box-and-lid",
    "wood-and-bit",
    "fixture",
    "proof",
    "test-piece?length=200&width=110&thickness=19",
    "readings",
    "next-box?boxes=12",
];

/// Waits until the job file holds the words.
#[track_caller]
fn wait_for(workshop: &Workshop, words: &str) {
    let begun = Instant::now();
    while !workshop.read(JOB).contains(words) {
        assert!(
            begun.elapsed() < Duration::from_secs(20),
            "{words}: {}",
            workshop.read(JOB)
        );
        std::thread::sleep(Duration::from_millis(20));
    }
}

#[test]
fn the_page_holds_in_a_browser() {
    let Some(mut browser) = Browser::start() else {
        return;
    };
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let before = workshop.read(JOB);
    workshop
        .run(&["generate", JOB, "-o", "examples/out"])
        .expect(0);
    browser.turn_to_a_new_page();
    for scheme in ["light", "dark"] {
        browser.look(scheme, 400);
        for section in SECTIONS {
            browser.visit(&page.address(section));
            let wide = browser.evaluate("document.documentElement.scrollWidth");
            assert!(wide.as_u64().unwrap() <= 400, "{section}: {wide}");
            let refused = browser.events.iter().filter(|event| {
                let told = event.to_string();
                told.contains("Content Security Policy") || told.contains("exceptionThrown")
            });
            assert_eq!(refused.count(), 0, "{section}: {:?}", browser.events);
        }
    }
    // Typed and left by the keyboard: saved, and the next field is where one was.
    browser.visit(&page.address("hinge"));
    browser.evaluate("document.getElementById('hinge.width').select(); document.getElementById('hinge.width').focus()");
    browser.call("Input.insertText", json!({ "text": "10,2" }));
    for kind in ["keyDown", "keyUp"] {
        let tab = json!({ "type": kind, "key": "Tab", "code": "Tab", "windowsVirtualKeyCode": 9 });
        browser.call("Input.dispatchKeyEvent", tab);
    }
    wait_for(&workshop, "width      = 10.2 ");
    let begun = Instant::now();
    while browser.evaluate("document.querySelector('.told') !== null") != true {
        assert!(begun.elapsed() < Duration::from_secs(20));
    }
    let there = browser.evaluate("document.activeElement.id");
    assert_eq!(there, "hinge.setback");
    let shown = browser.evaluate("document.getElementById('hinge.width').value");
    assert_eq!(shown, "10.2");
    // Another page that knows the address cannot change anything.
    browser.turn_to_a_new_page();
    let address = page.address("hinge/undo");
    let post = format!(
        "fetch({address:?}, {{ method: 'POST', mode: 'no-cors', body: new URLSearchParams('a=b') }}).then(() => 1, () => 1)"
    );
    browser.evaluate(&post);
    assert_eq!(
        workshop.read(JOB),
        before.replace("width      = 10 ", "width      = 10.2 ")
    );
}
