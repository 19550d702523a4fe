//! What is typed is drawn before it is saved, and what could not be saved
//! stays in its field.

use std::fs;
use std::path::Path;
use std::time::Duration;

use crate::chromium::Browser;
use crate::harness::{Workshop, words_of};
use crate::page_browser::{press, type_over, until, wait_for};
use crate::page_client::{Page, field};

const JOB: &str = "examples/tea-box.toml";

/// Leaves a picture for a person to look at, in the folder `KEEP_PICTURES` names.
pub(crate) fn keep_picture(browser: &mut Browser, name: &str) {
    let Some(folder) = std::env::var_os("KEEP_PICTURES") else {
        return;
    };
    let size = browser.evaluate(
        "[document.documentElement.clientWidth, Math.min(6000, document.documentElement.scrollHeight)]",
    );
    let side = |index: usize| u32::try_from(size[index].as_u64().unwrap()).unwrap();
    let picture = browser.picture((side(0), side(1)), 1.0);
    fs::write(Path::new(&folder).join(format!("{name}.png")), picture).unwrap();
}

/// A section of the shipped job's page in a browser, `width` wide; nothing where
/// there is no browser.
pub(crate) fn opened(section: &str, width: u32) -> Option<(Browser, Workshop, Page)> {
    let mut browser = Browser::start()?;
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    browser.turn_to_a_new_page();
    browser.look("light", width);
    browser.visit(&page.address(section));
    Some((browser, workshop, page))
}

/// A drawing of the section as markup.
#[track_caller]
fn drawing<'p>(page: &'p str, id: &str) -> &'p str {
    let from = page
        .find(&format!("aria-labelledby=\"{id}-title"))
        .unwrap_or_else(|| panic!("no drawing {id}"));
    &page[from..from + page[from..].find("</svg>").unwrap()]
}

#[test]
fn a_draft_is_what_the_section_shows_once_it_is_saved_and_writes_nothing() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let before = workshop.read(JOB);
    for (section, id, key, value) in [
        ("hinge", "leaf", "hinge.setback", "6,5"),
        ("box-and-lid", "pocket-box-1", "placement.inset", "2 in"),
        ("fixture", "fixture", "fixture.divider", "25"),
    ] {
        let shown = page.get(section).body;
        let seen = page.seen(section);
        let typed = [("seen", seen.as_str()), (key, value)];
        let draft = page.post(&format!("{section}/draft"), &typed);
        assert_eq!(draft.status, 200, "{section}");
        assert_eq!(workshop.read(JOB), before, "{section}");
        assert!(draft.body.contains("As typed, not saved yet."), "{section}");
        assert_eq!(page.post(section, &typed).status, 303, "{section}");
        let saved = page.get(section).body;
        let id = if id.starts_with("pocket") {
            let at = saved.find("aria-labelledby=\"pocket").unwrap();
            saved[at..]
                .split('"')
                .nth(1)
                .unwrap()
                .split("-title")
                .next()
                .unwrap()
        } else {
            id
        };
        assert_eq!(drawing(&draft.body, id), drawing(&saved, id), "{section}");
        assert_ne!(drawing(&shown, id), drawing(&saved, id), "{section}");
        assert!(!saved.contains("As typed"), "{section}");
        if value == "6,5" {
            let told = words_of(field(&draft.body, key));
            assert!(told.contains("`6,5` was taken as 6.5 mm"), "{told}");
        }
        assert_eq!(page.post(&format!("{section}/undo"), &[]).status, 303);
        assert_eq!(workshop.read(JOB), before, "{section}");
    }
    // A mistake stands at its field, in the words that it would have once saved.
    let seen = page.seen("hinge");
    let typed = [("seen", seen.as_str()), ("hinge.setback", "ten")];
    let draft = page.post("hinge/draft", &typed).body;
    assert_eq!(page.post("hinge", &typed).status, 303);
    let saved = page.get("hinge").body;
    let own = field(&draft, "hinge.setback");
    assert!(own.contains("class=\"mistake\""), "{own}");
    assert_eq!(own, field(&saved, "hinge.setback"));
    // Of a file that has changed nothing is drawn.
    assert_eq!(page.post("hinge/draft", &typed).status, 409);
}

#[test]
fn a_refused_save_keeps_what_was_typed_and_nothing_else() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let seen = page.seen("hinge");
    let outside = workshop
        .read(JOB)
        .replace("width      = 10 ", "width      = 11 ");
    workshop.write(JOB, &outside);
    // A form sends all its fields: the width as it was shown.
    let typed = [
        ("seen", seen.as_str()),
        ("hinge.width", "10"),
        ("hinge.setback", "4,25"),
    ];
    let refused = page.post("hinge", &typed);
    assert_eq!(refused.status, 409);
    assert_eq!(workshop.read(JOB), outside);
    let width = field(&refused.body, "hinge.width");
    assert!(
        width.contains("value=\"11\"") && !width.contains("Not saved"),
        "{width}"
    );
    let setback = field(&refused.body, "hinge.setback");
    assert!(setback.contains("value=\"4,25\""), "{setback}");
    assert!(
        setback.contains("Not saved; the file says 3.5."),
        "{setback}"
    );
    // It is saved by the form that came back, and leaves the other change be.
    let again = refused.body.split("name=\"seen\" value=\"").nth(1).unwrap();
    let again = again.split('"').next().unwrap();
    let typed = [
        ("seen", again),
        ("hinge.width", "11"),
        ("hinge.setback", "4,25"),
    ];
    assert_eq!(page.post("hinge", &typed).status, 303);
    assert!(workshop.read(JOB).contains("setback    = 4.25 "));
    assert!(workshop.read(JOB).contains("width      = 11 "));
    // The folder that was typed stays, too.
    let seen = page.seen("proof");
    let refused = page.post("proof/write", &[("seen", &seen), ("folder", "three")]);
    assert_eq!(refused.status, 409);
    assert!(refused.body.contains("name=\"folder\" value=\"three\""));
}

const LEAF: &str = "document.querySelector('[aria-labelledby^=leaf-title]').outerHTML";
const VERDICT: &str = "document.querySelector('.verdict').textContent";

#[test]
fn the_drawing_moves_while_one_types() {
    let Some((mut browser, workshop, page)) = opened("hinge", 1200) else {
        return;
    };
    let before = workshop.read(JOB);
    let first = browser.evaluate(LEAF);
    keep_picture(&mut browser, "hinge-light");
    type_over(&mut browser, "hinge.setback", "6,5");
    until(
        &mut browser,
        &format!("{VERDICT}.includes('As typed, not saved yet')"),
    );
    let drawn = browser.evaluate(LEAF);
    assert_ne!(drawn, first);
    assert!(drawn.as_str().unwrap().contains("B 6.50 mm"));
    assert_eq!(browser.evaluate("document.activeElement.value"), "6,5");
    let said = "document.getElementById('hinge.setback-about').textContent";
    until(
        &mut browser,
        &format!("{said}.includes('was taken as 6.5 mm')"),
    );
    // What is wrong is said at the field, the last drawing stays, and the caret too.
    type_over(&mut browser, "hinge.setback", "6x");
    until(&mut browser, &format!("{said}.includes('6x')"));
    assert_eq!(browser.evaluate(LEAF), drawn);
    assert_eq!(browser.evaluate("document.activeElement.selectionStart"), 2);
    assert_eq!(workshop.read(JOB), before);
    // Typed back as it was, it is as it was.
    type_over(&mut browser, "hinge.setback", "3.5");
    until(&mut browser, &format!("!{VERDICT}.includes('As typed')"));
    assert_eq!(browser.evaluate(LEAF), first);
    // Another field's save leaves the half typed one drawn.
    type_over(&mut browser, "hinge.setback", "7");
    until(&mut browser, &format!("{LEAF}.includes('B 7.00 mm')"));
    press(&mut browser, "Tab", 9, "");
    wait_for(&workshop, "setback    = 7 ");
    until(&mut browser, &format!("!{VERDICT}.includes('As typed')"));
    assert!(
        browser
            .evaluate(LEAF)
            .as_str()
            .unwrap()
            .contains("B 7.00 mm")
    );
    for (section, name) in [
        ("box-and-lid", "placement.inset"),
        ("fixture", "fixture.divider"),
    ] {
        browser.visit(&page.address(section));
        let all = "document.querySelector('.beside').innerHTML";
        let first = browser.evaluate(all);
        type_over(&mut browser, name, "30");
        until(&mut browser, &format!("{VERDICT}.includes('As typed')"));
        assert_ne!(browser.evaluate(all), first, "{section}");
    }
}

/// Where there is no room beside the fields, the drawing stays in sight over them.
#[test]
fn the_drawing_is_seen_while_one_types_on_a_phone() {
    let Some((mut browser, _workshop, _page)) = opened("hinge", 400) else {
        return;
    };
    for key in [
        "hinge.width",
        "hinge.steps[2].depth",
        "hinge.screws[2].length",
    ] {
        type_over(&mut browser, key, "9");
        let sides = browser.evaluate(&format!(
            "(() => {{ const of = (one) => {{ const box = one.getBoundingClientRect(); return [box.top, box.bottom]; }}; \
             return [...of(document.querySelector('.beside svg')), ...of(document.getElementById({key:?})), innerHeight]; }})()"
        ));
        let [top, bottom, field, under, window] =
            [0, 1, 2, 3, 4].map(|index| sides[index].as_f64().unwrap());
        assert!(
            top >= 0.0 && bottom <= field && under <= window,
            "{key}: {sides}"
        );
    }
    keep_picture(&mut browser, "hinge-phone");
}

#[test]
fn what_was_refused_stays_in_its_field_until_it_is_saved() {
    let Some((mut browser, workshop, _page)) = opened("hinge", 1200) else {
        return;
    };
    workshop.run(&["set", JOB, "hinge.width", "11"]).expect(0);
    type_over(&mut browser, "hinge.setback", "4.25");
    press(&mut browser, "Tab", 9, "");
    until(
        &mut browser,
        "document.querySelector('.told.refusal') !== null",
    );
    let value = |key: &str| format!("document.getElementById({key:?}).value");
    assert_eq!(browser.evaluate(&value("hinge.setback")), "4.25");
    assert_eq!(browser.evaluate(&value("hinge.width")), "11");
    let marked = "document.querySelector('.unsaved input').id";
    assert_eq!(browser.evaluate(marked), "hinge.setback");
    // Another field that is saved does not take it along.
    type_over(&mut browser, "hinge.closed_gap", "0.9");
    press(&mut browser, "Tab", 9, "");
    wait_for(&workshop, "closed_gap = 0.9 ");
    until(
        &mut browser,
        "document.querySelector('.told:not(.refusal)') !== null",
    );
    std::thread::sleep(Duration::from_millis(300));
    assert!(workshop.read(JOB).contains("setback    = 3.5 "));
    assert_eq!(browser.evaluate(&value("hinge.setback")), "4.25");
    assert_eq!(browser.evaluate(marked), "hinge.setback");
    // Enter in it saves it.
    browser.evaluate("document.getElementById('hinge.setback').focus()");
    press(&mut browser, "Enter", 13, "\r");
    wait_for(&workshop, "setback    = 4.25 ");
    until(&mut browser, "document.querySelector('.unsaved') === null");
    assert!(workshop.read(JOB).contains("width      = 11 "));
}
