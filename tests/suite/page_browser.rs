//! The page in a real browser: typed into, narrow and wide, and written to from
//! another page.

use std::time::{Duration, Instant};

use serde_json::json;

use crate::chromium::Browser;
use crate::harness::Workshop;
use crate::page_client::Page;

const JOB: &str = "examples/tea-box.toml";
const TEMPLATE: &str = "examples/blanket-chest.toml";
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
pub(crate) fn wait_for(workshop: &Workshop, words: &str) {
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

/// Waits until an expression holds in the page.
#[track_caller]
pub(crate) fn until(browser: &mut Browser, holds: &str) {
    let begun = Instant::now();
    while browser.evaluate(holds) != true {
        assert!(begun.elapsed() < Duration::from_secs(20), "{holds}");
        std::thread::sleep(Duration::from_millis(20));
    }
}

pub(crate) fn press(browser: &mut Browser, key: &str, code: u32, text: &str) {
    for kind in ["keyDown", "keyUp"] {
        let key = json!({
            "type": kind, "key": key, "code": key, "windowsVirtualKeyCode": code, "text": text,
        });
        browser.call("Input.dispatchKeyEvent", key);
    }
}

/// Types over the whole of a field, which stays the one typed into.
pub(crate) fn type_over(browser: &mut Browser, field: &str, text: &str) {
    let of = format!("document.getElementById({field:?})");
    browser.evaluate(&format!("{of}.focus(); {of}.select()"));
    browser.call("Input.insertText", json!({ "text": text }));
}

/// One end of a click in the middle of what the selector finds.
pub(crate) fn mouse(browser: &mut Browser, kind: &str, selector: &str) {
    let place = browser.evaluate(&format!(
        "(() => {{ const there = document.querySelector({selector:?}); there.scrollIntoView({{ block: 'center' }}); \
         const box = there.getBoundingClientRect(); return [box.x + box.width / 2, box.y + box.height / 2]; }})()"
    ));
    let event = json!({
        "type": kind, "x": place[0], "y": place[1], "button": "left", "buttons": 1, "clickCount": 1,
    });
    browser.call("Input.dispatchMouseEvent", event);
}

const TOLD: &str = "document.querySelector('.told') !== null";

#[test]
fn what_is_typed_is_what_is_saved() {
    let Some(mut browser) = Browser::start() else {
        return;
    };
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let value = |browser: &mut Browser, field: &str| {
        browser.evaluate(&format!("document.getElementById({field:?}).value"))
    };
    browser.turn_to_a_new_page();
    browser.look("light", 1200);
    browser.visit(&page.address("hinge"));
    // The next field is entered as the browser does it, its whole value selected.
    type_over(&mut browser, "hinge.width", "10,2");
    press(&mut browser, "Tab", 9, "");
    until(&mut browser, TOLD);
    let whole = "(({ activeElement: one }) => one.id === 'hinge.setback' && \
        one.selectionStart === 0 && one.selectionEnd === one.value.length)(document)";
    assert_eq!(browser.evaluate(whole), true);
    assert_eq!(value(&mut browser, "hinge.width"), "10.2");
    browser.call("Input.insertText", json!({ "text": "4" }));
    assert_eq!(value(&mut browser, "hinge.setback"), "4");
    // What is typed while a save runs stays, and is not saved half.
    browser.evaluate(
        "window.real = fetch; window.fetch = (...all) => \
         new Promise((go) => { window.go = go; }).then(() => real(...all)); 1",
    );
    press(&mut browser, "Tab", 9, "");
    let next = browser.evaluate("document.activeElement.id");
    let next = next.as_str().unwrap().to_owned();
    assert_ne!(next, "hinge.setback");
    browser.call("Input.insertText", json!({ "text": "0." }));
    browser.evaluate("window.fetch = real; go(); 1");
    wait_for(&workshop, "setback    = 4 ");
    until(
        &mut browser,
        "document.querySelector('.told')?.textContent.includes('setback')",
    );
    browser.call("Input.insertText", json!({ "text": "7" }));
    assert_eq!(value(&mut browser, &next), "0.7");
    assert!(
        !workshop.read(JOB).contains("= 0. "),
        "{}",
        workshop.read(JOB)
    );
    press(&mut browser, "Tab", 9, "");
    wait_for(&workshop, "= 0.7");
    // Enter saves once, and is not told that the file has changed.
    type_over(&mut browser, "hinge.width", "10.4");
    press(&mut browser, "Enter", 13, "\r");
    wait_for(&workshop, "width      = 10.4 ");
    until(
        &mut browser,
        "document.querySelector('.told')?.textContent.includes('10.4')",
    );
    std::thread::sleep(Duration::from_millis(500));
    let refused = "document.body.textContent.includes('has changed since')";
    assert_eq!(browser.evaluate(refused), false);
    assert_eq!(browser.evaluate("document.activeElement.id"), "hinge.width");
    // Nothing moves between press and click.
    browser.visit(&page.address("hinge"));
    type_over(&mut browser, "hinge.width", "10.6");
    let link = "nav li:nth-child(2) a";
    mouse(&mut browser, "mousePressed", link);
    wait_for(&workshop, "width      = 10.6 ");
    std::thread::sleep(Duration::from_millis(700));
    assert_eq!(browser.evaluate(TOLD), false);
    mouse(&mut browser, "mouseReleased", link);
    until(
        &mut browser,
        "location.pathname.endsWith('/box-and-lid') && document.readyState === 'complete'",
    );
    browser.visit(&page.address("hinge"));
    type_over(&mut browser, "hinge.width", "10.8");
    let away = "button[value='hinge.steps[2]']";
    for kind in ["mousePressed", "mouseReleased"] {
        mouse(&mut browser, kind, away);
    }
    until(
        &mut browser,
        "!document.getElementById('hinge.steps[3].depth')",
    );
    assert!(workshop.read(JOB).contains("width      = 10.8 "));
}

#[test]
fn what_is_not_saved_is_said_loudly() {
    let Some(mut browser) = Browser::start() else {
        return;
    };
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let passed = "document.querySelector('.verdict').textContent.includes('every check passed')";
    let check = |browser: &mut Browser| {
        type_over(browser, "hinge.width", "10.3");
        press(browser, "Tab", 9, "");
        until(browser, "!!document.querySelector('#unsaved[role=alert]')");
        let banner = browser.evaluate("document.getElementById('unsaved').textContent");
        let banner = banner.as_str().unwrap();
        assert!(banner.starts_with("not saved: "), "{banner}");
        assert!(banner.contains("start it again"), "{banner}");
        assert_eq!(browser.evaluate(passed), false);
        let marked = "document.querySelector('.unsaved input').id";
        assert_eq!(browser.evaluate(marked), "hinge.width");
        let kept = browser.evaluate("document.getElementById('hinge.width').value");
        assert_eq!(kept, "10.3");
    };
    for status in [403, 404, 408, 413, 500, 200] {
        browser.turn_to_a_new_page();
        browser.visit(&page.address("hinge"));
        assert_eq!(browser.evaluate(passed), true);
        browser.evaluate(&format!(
            "window.real = fetch; window.fetch = async () => new Response('words', {{ status: {status} }}); 1"
        ));
        check(&mut browser);
        // Once it can be saved it is, and said no more.
        browser.evaluate("window.fetch = real; 1");
        press(&mut browser, "Enter", 13, "\r");
        until(
            &mut browser,
            "!document.querySelector('#unsaved, .unsaved')",
        );
        wait_for(&workshop, "width      = 10.3 ");
        until(&mut browser, passed);
        workshop.run(&["set", JOB, "hinge.width", "10"]).expect(0);
    }
    browser.turn_to_a_new_page();
    browser.visit(&page.address("hinge"));
    drop(page);
    check(&mut browser);
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
    // A job with a template has more on it.
    let template = Page::of(&workshop, TEMPLATE);
    workshop
        .run(&["template", TEMPLATE, "-o", "examples/out"])
        .expect(0);
    for section in ["template", "readings", "next-box"] {
        browser.visit(&template.address(section));
        let wide = browser.evaluate("document.documentElement.scrollWidth");
        assert!(wide.as_u64().unwrap() <= 400, "{section}: {wide}");
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
