//! Plots, the fixture with clamps that are moved, and the replay: on the page,
//! with the figures and files of the command line.

use serde_json::{Value, json};

use crate::chromium::Browser;
use crate::harness::Workshop;
use crate::page_browser::{press, type_over, until, wait_for};
use crate::page_client::Page;
use crate::page_drawn::{keep_picture, opened};

const JOB: &str = "examples/tea-box.toml";
const CHEST: &str = "examples/recipe-box.toml";

fn without_complaint(browser: &Browser) {
    for event in &browser.events {
        let told = event.to_string();
        let is_bad = ["Content Security Policy", "exceptionThrown", "entryAdded"];
        assert!(!is_bad.iter().any(|bad| told.contains(bad)), "{told}");
    }
}

/// The figures of the job's bit, fresh, as it is and dull, as `feeds` tells them.
fn states(workshop: &Workshop, job: &str) -> Vec<Value> {
    let table = workshop
        .run(&["feeds", job, "--format", "json"])
        .expect(0)
        .json();
    let bits = table["bits"].as_array().unwrap();
    let own = bits.iter().find(|bit| bit["of_the_job"] == true).unwrap();
    own["states"].as_array().unwrap().clone()
}

#[test]
fn plots_over_wear_have_the_feed_tables_figures_and_axes_with_units() {
    for (job, inch) in [(JOB, None), (CHEST, Some(25.4))] {
        let workshop = Workshop::new();
        let page = Page::of(&workshop, job).get("wood-and-bit").body;
        let rows = states(&workshop, job);
        let drawing = |index: usize| {
            let at = page
                .find(&format!("aria-labelledby=\"wear-{index}-title"))
                .unwrap();
            let rest = &page[at..];
            rest[..rest.find("</svg>").unwrap()].to_owned()
        };
        let [chips, speed, time] = [0, 1, 2].map(drawing);
        let unit = if inch.is_some() { "in" } else { "mm" };
        assert!(
            chips.contains(&format!("Chip load, {unit} a tooth")),
            "{chips}"
        );
        assert!(speed.contains("Spindle speed, rpm") && time.contains("Time in the wood, s"));
        for (row, name) in rows.iter().zip(["fresh", "as it is, wear", "dull"]) {
            let figure = |key: &str| row[key].as_f64().unwrap();
            let length = |key: &str| match inch {
                None => format!("{:.3}", figure(key)),
                Some(inch) => format!("{:.4}", figure(key) / inch),
            };
            let told = format!(
                "chosen {}, greatest {}, least {}",
                length("chip_load"),
                length("chip_max"),
                length("chip_min")
            );
            let of = |drawing: &str| {
                let words = drawing.split(name).nth(1).unwrap();
                words.split([';', '<']).next().unwrap().to_owned()
            };
            assert!(of(&chips).contains(&told), "{told}: {chips}");
            let told = format!("spindle speed {:.0}", figure("rpm"));
            assert!(of(&speed).contains(&told), "{told}: {speed}");
            let told = format!("least time {:.0}", figure("seconds"));
            assert!(of(&time).contains(&told), "{told}: {time}");
        }
        // The window is a surface, the limits and the chosen chip are lines of 21 points.
        assert_eq!(chips.matches("class=\"plot-limit\"").count(), 2);
        assert_eq!(chips.matches("class=\"plot-window\"").count(), 1);
        let line = chips.split("class=\"plot-line\" d=\"").nth(1).unwrap();
        assert_eq!(
            line.split('"').next().unwrap().matches(['M', 'L']).count(),
            21
        );
    }
}

fn pointer(browser: &mut Browser, kind: &str, (x, y): (f64, f64)) {
    let event = json!({
        "type": kind, "x": x, "y": y, "button": "left", "buttons": 1, "clickCount": 1,
    });
    browser.call("Input.dispatchMouseEvent", event);
}

/// Left, top, right and bottom of a clamp's outline on the screen.
fn outline(browser: &mut Browser, clamp: u32) -> [f64; 4] {
    let sides = browser.evaluate(&format!(
        "(() => {{ const box = document.querySelector('[data-clamp=\"{clamp}\"]').getBoundingClientRect(); \
         return [box.left, box.top, box.right, box.bottom]; }})()"
    ));
    [0, 1, 2, 3].map(|index| sides[index].as_f64().unwrap())
}

fn shown(browser: &mut Browser, field: &str) -> String {
    let value = browser.evaluate(&format!("document.getElementById({field:?}).value"));
    value.as_str().unwrap().to_owned()
}

#[test]
fn a_clamp_is_moved_by_pointer_and_by_keys_as_one_change() {
    let Some((mut browser, workshop, page)) = opened("fixture", 1200) else {
        return;
    };
    let before = workshop.read(JOB);
    keep_picture(&mut browser, "fixture-light");
    assert_eq!(
        browser.evaluate("document.querySelectorAll('.beside svg').length"),
        2
    );
    browser.evaluate("document.querySelector('[data-clamp]').scrollIntoView({ block: 'center' })");
    // The clamp is 50 mm wide from X 105: as wide on the screen, that many pixels a millimetre.
    let from = outline(&mut browser, 1);
    let scale = (from[2] - from[0]) / 50.0;
    let at = (
        f64::midpoint(from[0], from[2]),
        f64::midpoint(from[1], from[3]),
    );
    pointer(&mut browser, "mousePressed", at);
    for part in 1..=8 {
        let part = f64::from(part) / 8.0;
        let to = (at.0 - 23.2 * scale * part, at.1 - 4.9 * scale * part);
        pointer(&mut browser, "mouseMoved", to);
    }
    // Drawn and typed while it is held, and not saved yet.
    until(
        &mut browser,
        "document.getElementById('fixture.clamps[1].min[1]').value === '82'",
    );
    until(
        &mut browser,
        "document.querySelector('.verdict').textContent.includes('As typed')",
    );
    assert_eq!(workshop.read(JOB), before);
    pointer(
        &mut browser,
        "mouseReleased",
        (at.0 - 23.2 * scale, at.1 - 4.9 * scale),
    );
    let moved = "name = \"box clamp\", min = [82, -175], max = [132, -125], height = 14";
    wait_for(&workshop, moved);
    let was = "name = \"box clamp\", min = [105, -180], max = [155, -130], height = 14";
    assert_eq!(workshop.read(JOB), before.replace(was, moved));
    until(&mut browser, "document.querySelector('.told') !== null");
    let told = browser.evaluate("document.querySelector('.told').textContent");
    for words in [
        "stepwell set examples/tea-box.toml 'fixture.clamps[1].min[1]' 82",
        "stepwell set examples/tea-box.toml 'fixture.clamps[1].max[2]' -125",
        moved,
    ] {
        assert!(told.as_str().unwrap().contains(words), "{words} in {told}");
    }
    // One change, taken back as one.
    assert_eq!(page.post("fixture/undo", &[]).status, 303);
    assert_eq!(workshop.read(JOB), before);
    // By the keyboard, the clamp held all the while.
    browser.visit(&page.address("fixture"));
    browser.evaluate("document.querySelector('[data-clamp=\"2\"]').focus()");
    let label = "document.activeElement.getAttribute('aria-label')";
    let label = browser.evaluate(label);
    assert!(
        label.as_str().unwrap().starts_with("lid clamp: X 105"),
        "{label}"
    );
    for _ in 0..3 {
        press(&mut browser, "ArrowRight", 39, "");
    }
    press(&mut browser, "ArrowUp", 38, "");
    until(
        &mut browser,
        "document.getElementById('fixture.clamps[2].max[1]').value === '158'",
    );
    wait_for(
        &workshop,
        "name = \"lid clamp\", min = [108, 131], max = [158, 191], height = 14",
    );
    until(
        &mut browser,
        "document.querySelector('.told').textContent.includes('158')",
    );
    assert_eq!(
        browser.evaluate("document.activeElement.dataset.clamp"),
        "2"
    );
    assert_eq!(page.post("fixture/undo", &[]).status, 303);
    assert_eq!(workshop.read(JOB), before);
    // Nothing is left to be saved.
    let asks = "(() => { const event = new Event('beforeunload', { cancelable: true }); \
        dispatchEvent(event); return event.defaultPrevented; })()";
    assert_eq!(browser.evaluate(asks), false);
    // Escape lets go of it where it was.
    browser.visit(&page.address("fixture"));
    browser.evaluate("document.querySelector('[data-clamp=\"2\"]').focus()");
    press(&mut browser, "ArrowLeft", 37, "");
    press(&mut browser, "Escape", 27, "");
    until(
        &mut browser,
        "document.getElementById('fixture.clamps[2].min[1]').value === '105'",
    );
    std::thread::sleep(std::time::Duration::from_millis(900));
    assert_eq!(workshop.read(JOB), before);
    // What is typed moves the picture as well.
    let from = outline(&mut browser, 1);
    type_over(&mut browser, "fixture.clamps[1].min[1]", "85");
    until(
        &mut browser,
        "document.querySelector('.verdict').textContent.includes('As typed')",
    );
    let wider = outline(&mut browser, 1);
    assert!(wider[2] - wider[0] > 1.2 * (from[2] - from[0]), "{wider:?}");
    assert_eq!(shown(&mut browser, "fixture.clamps[1].min[1]"), "85");
    without_complaint(&browser);
}

#[test]
fn a_clamp_that_is_not_there_is_not_moved() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let seen = page.seen("fixture");
    let send = |clamp: &str, right: &str| {
        let fields = [("seen", seen.as_str()), ("clamp", clamp), ("right", right)];
        page.post("fixture/draft", &fields)
    };
    assert_eq!(send("1", "20").status, 200);
    for (clamp, right) in [
        ("0", "1"),
        ("3", "1"),
        ("x", "1"),
        ("1", "x"),
        ("1", "inf"),
        ("1", "1e99"),
    ] {
        assert_eq!(send(clamp, right).status, 409, "{clamp} {right}");
    }
}

#[test]
fn the_replay_on_the_page_shows_the_programs_own_lines() {
    let Some(mut browser) = Browser::start() else {
        return;
    };
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    workshop.run(&["generate", JOB, "-o", "out"]).expect(0);
    let program = workshop.read("out/tea-box.nc");
    browser.turn_to_a_new_page();
    for (scheme, width) in [("light", 1200), ("dark", 400)] {
        browser.look(scheme, width);
        browser.visit(&page.address("proof"));
        until(&mut browser, "!document.getElementById('playback').hidden");
        let last = browser.evaluate("Number(document.querySelector('[data-role=slider]').max)");
        let last = last.as_u64().unwrap();
        let mut pictures = Vec::new();
        for index in [0, last / 3, last / 2] {
            let now = browser.evaluate(&format!(
                "(async () => {{ const find = (name) => document.querySelector('[data-role=' + name + ']'); \
                 const slider = find('slider'); slider.value = {index}; \
                 slider.dispatchEvent(new Event('input', {{ bubbles: true }})); \
                 await new Promise((done) => setTimeout(done, 200)); \
                 return [find('where').textContent, find('line').textContent, find('far').toDataURL()]; }})()"
            ));
            let place = now[0].as_str().unwrap();
            let (file, rest) = place.split_once(", line ").unwrap();
            assert_eq!(file, "tea-box.nc");
            let number: usize = rest.split(' ').next().unwrap().parse().unwrap();
            assert_eq!(
                now[1],
                program.lines().nth(number - 1).unwrap(),
                "move {index}"
            );
            pictures.push(now[2].clone());
        }
        assert!(pictures[0] != pictures[1] && pictures[1] != pictures[2]);
        // It plays, and ends where the program does.
        browser.evaluate(
            "document.querySelector('[data-role=pace]').value = '100'; \
             document.querySelector('[data-role=play]').click(); 1",
        );
        let moved = format!(
            "Number(document.querySelector('[data-role=slider]').value) > {}",
            last / 2
        );
        until(&mut browser, &moved);
        browser.evaluate("document.querySelector('[data-role=play]').click(); 1");
        keep_picture(&mut browser, &format!("proof-{scheme}-{width}"));
        without_complaint(&browser);
    }
    // A template is replayed by itself, programs of several positions each on its own sheet.
    let chest = Page::of(&workshop, "examples/blanket-chest.toml")
        .get("template")
        .body;
    assert!(chest.contains("id=\"playback-data\""));
    let door = Page::of(&workshop, "examples/cabinet-door.toml")
        .get("proof")
        .body;
    assert!(!door.contains("id=\"playback-data\"") && door.contains("--position N --sheet"));
}

#[test]
fn no_word_of_a_drawing_lies_over_another() {
    let Some(mut browser) = Browser::start() else {
        return;
    };
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    browser.turn_to_a_new_page();
    for (scheme, width) in [("light", 1200), ("dark", 1200), ("light", 400)] {
        browser.look(scheme, width);
        for section in ["hinge", "wood-and-bit", "fixture"] {
            browser.visit(&page.address(section));
            keep_picture(&mut browser, &format!("{section}-{scheme}-{width}"));
            // No word of a drawing lies over another.
            let crossed = browser.evaluate(
                "[...document.querySelectorAll('.beside svg')].flatMap((svg) => { \
                   const all = [...svg.querySelectorAll('text')].map((text) => [text.textContent, text.getBoundingClientRect()]); \
                   return all.flatMap(([one, a], index) => all.slice(index + 1) \
                     .filter(([, b]) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 2 \
                       && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 5) \
                     .map(([other]) => one + ' / ' + other)); })",
            );
            assert_eq!(crossed, json!([]), "{section} {width}");
            let cut = browser.evaluate(
                "[...document.querySelectorAll('.beside figure')].filter((one) => one.scrollWidth > one.clientWidth).length",
            );
            assert_eq!(cut, 0, "{section} {width}");
        }
    }
}
