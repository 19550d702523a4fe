//! The job sheet of every example in a real browser, opened from a file.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;

use serde_json::Value;

use crate::chromium::Browser;
use crate::harness::{Workshop, examples, stem};

/// ISO 216 and ANSI/ASME Y14.1 (A), in inches.
const PAPERS: [(&str, (f64, f64)); 2] = [("A4", (8.27, 11.69)), ("Letter", (8.5, 11.0))];

/// What all the parts look at: every example's sheet with the programs beside it.
struct Shown {
    workshop: Workshop,
    sheets: Vec<PathBuf>,
}

impl Shown {
    fn new() -> Self {
        let workshop = Workshop::new();
        let sheets = examples()
            .iter()
            .map(|example| {
                workshop.run(&["generate", example, "-o", "out"]).expect(0);
                workshop.path(&format!("out/{}.html", stem(example)))
            })
            .collect();
        Self { workshop, sheets }
    }
}

/// Each part's name beside the part.
macro_rules! parts {
    ($($part:ident),* $(,)?) => {
        [$((stringify!($part), $part as fn(&mut Browser, &Shown))),*]
    };
}

/// One browser for all of them: starting one costs more than any part does.
#[test]
fn sheets_hold_in_a_browser() {
    let Some(mut browser) = Browser::start() else {
        return;
    };
    let shown = Shown::new();
    let parts = parts![
        sheets_open_from_a_file_without_an_error_or_a_request,
        names_of_any_length_stay_on_the_page,
        only_the_sheets_own_script_runs,
        the_slider_moves_the_bit_and_the_line_shown_is_the_programs_line,
        keys_step_and_play_the_replay,
        sheets_print_on_two_pages,
        what_the_hands_need_stands_on_the_first_page_in_its_order,
        nothing_on_paper_is_under_eight_points,
        nothing_is_cut_off_a_printed_page,
        a_sheet_with_much_to_say_takes_another_page_and_loses_no_word,
        what_the_bench_needs_is_on_paper,
        labels_of_the_drawings_lie_beside_one_another,
        the_paper_template_prints_in_true_size_on_paper_that_lies_down,
        every_question_is_one_tap_away_on_a_phone,
        words_stand_out_from_their_ground_in_light_and_dark,
        every_drawing_has_a_text_alternative,
        the_sheet_is_readable_without_script,
    ];
    let failed: Vec<_> = parts
        .into_iter()
        .filter(|(name, part)| {
            eprintln!("{name}");
            browser.turn_to_a_new_page();
            catch_unwind(AssertUnwindSafe(|| part(&mut browser, &shown))).is_err()
        })
        .map(|(name, _)| name)
        .collect();
    assert_eq!(failed, [""; 0], "their words stand above");
}

fn sheets_open_from_a_file_without_an_error_or_a_request(browser: &mut Browser, shown: &Shown) {
    for sheet in &shown.sheets {
        for (scheme, width) in [("light", 1280), ("dark", 380)] {
            browser.look(scheme, width);
            browser.open(sheet);
            browser.evaluate("new Promise(done => setTimeout(done, 300))");
            let name = sheet.display();
            for event in &browser.events {
                match event["method"].as_str().unwrap_or_default() {
                    "Runtime.exceptionThrown" | "Log.entryAdded" | "Runtime.consoleAPICalled" => {
                        panic!("{name}: {event}")
                    }
                    "Network.requestWillBeSent" => {
                        let url = event["params"]["request"]["url"].as_str().unwrap();
                        let own = url.starts_with("file://") && url.ends_with(".html");
                        assert!(own || url == "data:,", "{name} asks for {url}");
                    }
                    _ => {}
                }
            }
            let sideways = browser.evaluate(
                "document.documentElement.scrollWidth - document.documentElement.clientWidth",
            );
            assert_eq!(sideways, 0, "{name} is wider than the window of {width}");
        }
    }
}

/// Three thousand letters without a blank, wherever a person gives a name.
fn names_of_any_length_stay_on_the_page(browser: &mut Browser, shown: &Shown) {
    let long = "W".repeat(3000);
    let workshop = &shown.workshop;
    let named = |from: &str| from.replace("NAME", &long);
    workshop.vary(
        "machines/bits.toml",
        "long/bits.toml",
        &[("name = \"6 mm up-spiral\"", &named("name = \"NAME\""))],
    );
    let job = workshop
        .read("examples/tea-box.toml")
        .lines()
        .map(|line| match line.split(' ').next().unwrap_or_default() {
            "title" => named("title = \"NAME\""),
            "bit" if line.contains("6 mm up-spiral") => named("bit = \"NAME\""),
            "bits" => "bits = \"bits.toml\"".to_owned(),
            _ => line.to_owned(),
        })
        .collect::<Vec<_>>()
        .join("\n")
        .replacen("name = \"", &named("name = \"NAME "), 1);
    workshop.write("long/box.toml", &job);
    workshop
        .run(&["generate", "long/box.toml", "-o", "long"])
        .expect(0);
    assert!(workshop.read("long/box.html").matches(&long).count() > 2);
    for width in [1280, 380] {
        browser.look("light", width);
        browser.open(&workshop.path("long/box.html"));
        let sideways = browser.evaluate(
            "document.documentElement.scrollWidth - document.documentElement.clientWidth",
        );
        assert_eq!(sideways, 0, "wider than the window of {width}");
    }
}

/// A script that came by way of a name would be refused by the page itself.
fn only_the_sheets_own_script_runs(browser: &mut Browser, shown: &Shown) {
    browser.open(&shown.sheets[0]);
    let ran = browser.evaluate(
        "new Promise((done) => {
            document.addEventListener('securitypolicyviolation', (event) => setTimeout(
                () => done([window.foreign === undefined, event.violatedDirective]), 50));
            const script = document.createElement('script');
            script.textContent = 'window.foreign = 1';
            document.body.append(script);
            setTimeout(() => done('no violation'), 2000);
        })",
    );
    assert_eq!(ran, serde_json::json!([true, "script-src-elem"]));
}

/// What the replay shows at a move: the line, where it is from, the place, and the picture.
fn at_move(browser: &mut Browser, index: u64) -> Value {
    browser.evaluate(&format!(
        "(async () => {{
            const section = document.getElementById('playback');
            const find = (name) => section.querySelector('[data-role=' + name + ']');
            const slider = find('slider');
            slider.value = {index};
            slider.dispatchEvent(new Event('input', {{ bubbles: true }}));
            await new Promise((done) => setTimeout(done, 150));
            return {{
                line: find('line').textContent,
                where: find('where').textContent,
                place: find('place').textContent,
                picture: find('far').toDataURL() + find('close').toDataURL(),
            }};
        }})()"
    ))
}

fn the_slider_moves_the_bit_and_the_line_shown_is_the_programs_line(
    browser: &mut Browser,
    shown: &Shown,
) {
    let workshop = &shown.workshop;
    browser.look("light", 1280);
    for sheet in &shown.sheets {
        browser.open(sheet);
        let last = browser.evaluate("Number(document.querySelector('[data-role=slider]').max)");
        let last = last.as_f64().unwrap() as u64;
        assert!(last > 20, "{} replays {last} moves", sheet.display());
        let mut seen: Option<Value> = None;
        for index in [0, 7, last / 3, last / 2, last - 1] {
            let now = at_move(browser, index);
            let place = now["where"].as_str().unwrap();
            let (file, rest) = place.split_once(", line ").unwrap();
            let number: usize = rest.split(' ').next().unwrap().parse().unwrap();
            let program = workshop.read(&format!("out/{file}"));
            let line = program.lines().nth(number - 1).unwrap();
            assert_eq!(now["line"], line, "{} move {index}", sheet.display());
            let unit = if program.contains("G20") { "in" } else { "mm" };
            let shown_in = now["place"].as_str().unwrap().rsplit(' ').next();
            assert_eq!(shown_in, Some(unit), "{}", sheet.display());
            if let Some(before) = &seen {
                assert_ne!(before["place"], now["place"], "move {index} stands still");
                assert_ne!(
                    before["picture"], now["picture"],
                    "move {index} is not drawn"
                );
            }
            seen = Some(now);
        }
    }
}

fn keys_step_and_play_the_replay(browser: &mut Browser, shown: &Shown) {
    browser.look("light", 1280);
    browser.open(&shown.sheets[0]);
    at_move(browser, 10);
    let steps = browser.evaluate(
        "(async () => {
            const section = document.getElementById('playback');
            const find = (name) => section.querySelector('[data-role=' + name + ']');
            const press = async (key, shiftKey) => {
                find('play').dispatchEvent(new KeyboardEvent('keydown', { key, shiftKey, bubbles: true }));
                await new Promise((done) => setTimeout(done, 80));
                return Number(find('slider').value);
            };
            const out = [await press('ArrowRight'), await press('ArrowLeft'), await press('ArrowRight', true), await press('Home')];
            find('play').click();
            await new Promise((done) => setTimeout(done, 900));
            out.push(find('play').getAttribute('aria-pressed'), Number(find('slider').value) > 0);
            return out;
        })()",
    );
    assert_eq!(
        steps,
        serde_json::json!([11, 10, 60, 0, "true", true]),
        "right, left, fifty right, home, then playing"
    );
}

fn sheets_print_on_two_pages(browser: &mut Browser, shown: &Shown) {
    let workshop = &shown.workshop;
    let mut sheets = shown.sheets.clone();
    // The starter job, and with a wall so thin that there is something to look at.
    workshop.run(&["init", "starter.toml"]).expect(0);
    workshop.vary(
        "starter.toml",
        "thin.toml",
        &[("\nwall   = 18", "\nwall   = 16")],
    );
    for name in ["starter", "thin"] {
        let job = format!("{name}.toml");
        workshop.run(&["generate", &job, "-o", "out"]).expect(0);
        sheets.push(workshop.path(&format!("out/{name}.html")));
    }
    for sheet in &shown.sheets {
        browser.open(sheet);
        for (paper, size) in PAPERS {
            let pages = browser.printed_pages(size);
            assert_eq!(pages, 2, "{} on {paper}", sheet.display());
        }
    }
}

/// The printable width of Letter and of A4 inside 11 mm margins, 96 px an inch.
const PRINTED_WIDTHS: [u32; 2] = [732, 710];

/// The page as a printer gets it.
fn print(browser: &mut Browser, width: u32) {
    browser.call(
        "Emulation.setEmulatedMedia",
        serde_json::json!({ "media": "print" }),
    );
    browser.call(
        "Emulation.setDeviceMetricsOverride",
        serde_json::json!({ "width": width, "height": 960, "deviceScaleFactor": 1, "mobile": false }),
    );
}

/// The printable height of Letter and of A4 inside 7 mm margins.
const PRINTED_HEIGHTS: [f64; 2] = [1003.0, 1069.0];

fn what_the_hands_need_stands_on_the_first_page_in_its_order(browser: &mut Browser, shown: &Shown) {
    // A part in several positions has more pages, and one first.
    let door = "examples/cabinet-door.toml";
    shown
        .workshop
        .run(&["generate", door, "-o", "out"])
        .expect(0);
    let mut sheets = shown.sheets.clone();
    sheets.push(shown.workshop.path(&format!("out/{}.html", stem(door))));
    for sheet in &sheets {
        browser.open(sheet);
        for (width, height) in PRINTED_WIDTHS.into_iter().zip(PRINTED_HEIGHTS) {
            print(browser, width);
            let found = browser.evaluate(
                "(() => {
                    const leaf = document.querySelector('.leaf-one');
                    const ids = [...leaf.querySelectorAll('[id]')].map((part) => part.id);
                    const order = ['round', 'zero', 'bit', 'first-pass', 'order'];
                    return {
                        order: ids.filter((id) => order.includes(id)),
                        drawings: leaf.querySelectorAll('#round svg').length,
                        options: leaf.innerText.includes('finish_direction'),
                        height: leaf.getBoundingClientRect().height,
                    };
                })()",
            );
            let name = sheet.display();
            let order = serde_json::json!(["round", "zero", "bit", "first-pass", "order"]);
            assert_eq!(found["order"], order, "{name}");
            assert_eq!(found["drawings"], 2, "{name}: from above and from the side");
            assert_eq!(found["options"], false, "{name}");
            let needed = found["height"].as_f64().unwrap();
            assert!(needed <= height, "{name}: {needed} of {height} px");
        }
    }
}

/// Text on paper under 8 pt, that is 10.67 px; a drawing's as it is scaled.
const SMALL_PRINT: &str = "[...document.querySelectorAll('body *')].flatMap((element) => {
    const own = [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim());
    if (!own || ['SCRIPT', 'STYLE', 'title', 'desc', 'OPTION'].includes(element.tagName)) return [];
    if (!element.getClientRects().length) return [];
    const drawing = element.ownerSVGElement;
    const scale = drawing ? drawing.getBoundingClientRect().width / drawing.viewBox.baseVal.width : 1;
    const size = parseFloat(getComputedStyle(element).fontSize) * scale;
    return size < 10.6 ? [size.toFixed(1) + ' ' + element.textContent.trim().slice(0, 30)] : [];
})";

fn nothing_on_paper_is_under_eight_points(browser: &mut Browser, shown: &Shown) {
    for sheet in &shown.sheets {
        browser.open(sheet);
        for width in PRINTED_WIDTHS {
            print(browser, width);
            let small = browser.evaluate(SMALL_PRINT);
            assert_eq!(
                small,
                serde_json::json!([]),
                "{} at {width}",
                sheet.display()
            );
        }
    }
}

/// Words that are cut off on paper: those of a box that hides what is too
/// much for it, and those that stick out of their leaf.
const CUT_OFF: &str = "[...document.querySelectorAll('.leaf, .leaf *:not(svg *)')]
    .filter((element) => {
        if (!element.getClientRects().length || !element.textContent.trim()) return false;
        const style = getComputedStyle(element);
        const hides = [style.overflowX, style.overflowY].some((way) => way !== 'visible');
        const over = element.scrollHeight > element.clientHeight + 1 || element.scrollWidth > element.clientWidth + 1;
        if (hides && over || style.textOverflow === 'ellipsis') return true;
        const [own, leaf] = [element.getBoundingClientRect(), element.closest('.leaf').getBoundingClientRect()];
        return own.right > leaf.right + 1 || own.bottom > leaf.bottom + 1;
    })
    .map((element) => element.tagName + '.' + element.className + ' ' + element.textContent.trim().slice(0, 40))";

fn nothing_is_cut_off_a_printed_page(browser: &mut Browser, shown: &Shown) {
    for sheet in &shown.sheets {
        browser.open(sheet);
        for width in PRINTED_WIDTHS {
            print(browser, width);
            let cut = browser.evaluate(CUT_OFF);
            assert_eq!(cut, serde_json::json!([]), "{} at {width}", sheet.display());
        }
    }
}

/// Every check with as much to say as it could have, and more.
const TALKATIVE: &str = "document.querySelectorAll('.checks > li').forEach((check) => {
        check.className = 'warn';
    });
    document.querySelectorAll('.checks .message').forEach((message) => {
        message.textContent = 'the last words of a very long finding '.repeat(12) + 'END';
    })";

fn a_sheet_with_much_to_say_takes_another_page_and_loses_no_word(
    browser: &mut Browser,
    shown: &Shown,
) {
    for sheet in &shown.sheets {
        browser.open(sheet);
        browser.evaluate(TALKATIVE);
        print(browser, PRINTED_WIDTHS[1]);
        let cut = browser.evaluate(CUT_OFF);
        assert_eq!(cut, serde_json::json!([]), "{}", sheet.display());
        let said = browser.evaluate(
            "(document.querySelector('#checks').innerText.match(/END/g) || []).length === document.querySelectorAll('#checks .message').length",
        );
        assert_eq!(said, true, "{}", sheet.display());
        for (paper, size) in PAPERS {
            let pages = browser.printed_pages(size);
            assert!(pages > 2, "{} on {paper}: {pages}", sheet.display());
        }
    }
}

fn what_the_bench_needs_is_on_paper(browser: &mut Browser, shown: &Shown) {
    for sheet in &shown.sheets {
        browser.open(sheet);
        print(browser, PRINTED_WIDTHS[0]);
        let words = browser.evaluate("document.body.innerText");
        let words = words.as_str().unwrap();
        for needed in [
            "--hinge 1 --step 1",
            "stepwell fit JOB.toml",
            "--outside-box READING",
            "--outside-lid READING",
            "finish_direction = climb",
            "Box, hinges 1 and 2",
            "Lid, hinges 1 and 2",
            "1: centre from the stop end",
            "2: centre from the stop end",
            "wood left to the",
            "SHA-256",
        ] {
            assert!(words.contains(needed), "{needed}: {}", sheet.display());
        }
    }
}

/// Labels of the drawings that lie over one another or stick out of their picture.
const MUDDLED: &str = "[...document.querySelectorAll('svg.drawing')].flatMap((drawing) => {
    const frame = drawing.getBoundingClientRect();
    const labels = [...drawing.querySelectorAll('text')]
        .map((text) => [text.textContent.trim(), text.getBoundingClientRect()])
        .filter(([words]) => words);
    return labels.flatMap(([words, at], index) => {
        const out = at.left < frame.left - 1 || at.right > frame.right + 1 || at.top < frame.top - 1 || at.bottom > frame.bottom + 1;
        const over = labels.slice(index + 1).filter(([, other]) =>
            Math.min(at.right, other.right) - Math.max(at.left, other.left) > 1.5
            && Math.min(at.bottom, other.bottom) - Math.max(at.top, other.top) > 4);
        return [...(out ? [words + ' sticks out'] : []), ...over.map(([other]) => words + ' lies on ' + other)];
    });
})";

fn labels_of_the_drawings_lie_beside_one_another(browser: &mut Browser, shown: &Shown) {
    let workshop = &shown.workshop;
    browser.look("light", 1280);
    for example in examples() {
        for units in ["mm", "in"] {
            workshop
                .run(&["generate", &example, "-o", units, "--units", units])
                .expect(0);
            browser.open(&workshop.path(&format!("{units}/{}.html", stem(&example))));
            let muddled = browser.evaluate(MUDDLED);
            assert_eq!(muddled, serde_json::json!([]), "{example} in {units}");
        }
    }
    let scrap = [
        "--length",
        "300mm",
        "--width",
        "90mm",
        "--thickness",
        "20mm",
    ];
    let mut words = vec!["test-piece", "examples/tea-box.toml", "-o", "out"];
    words.extend(scrap);
    workshop.run(&words).expect(0);
    browser.open(&workshop.path("out/tea-box-test-piece.html"));
    let muddled = browser.evaluate(MUDDLED);
    assert_eq!(muddled, serde_json::json!([]), "test piece");
    for (paper, size) in PAPERS {
        assert_eq!(browser.printed_pages(size), 2, "test piece on {paper}");
    }
}

fn the_paper_template_prints_in_true_size_on_paper_that_lies_down(
    browser: &mut Browser,
    shown: &Shown,
) {
    let workshop = &shown.workshop;
    workshop
        .run(&["generate", "examples/tea-box.toml", "-o", "svg", "--svg"])
        .expect(0);
    browser.open(&workshop.path("svg/tea-box-template.svg"));
    // Narrower than the drawing: what fits itself to the window shrinks here.
    print(browser, 500);
    let wide = browser.evaluate("document.documentElement.getBoundingClientRect().width");
    let unit = wide.as_f64().unwrap() / 250.0;
    // 96 CSS px are one inch of paper.
    assert!((unit - 96.0 / 25.4).abs() < 1e-3, "{unit} px for 1 mm");
    let ruler = browser.evaluate(
        "(() => {
            const ticks = document.querySelector('.tp-line').getAttribute('d').split('M').slice(2, 53);
            const at = (tick) => Number(tick.split(' ')[0]);
            return [ticks.length, at(ticks[50]) - at(ticks[0])];
        })()",
    );
    assert_eq!(
        ruler,
        serde_json::json!([51, 50]),
        "ticks and their span in mm"
    );
    for (paper, size) in PAPERS {
        let [width, height] = browser.printed_size(size);
        assert!(width > height, "{paper}: {width} x {height} points");
        assert_eq!(browser.printed_pages(size), 1, "{paper}");
    }
}

/// A phone's width and the part of its window that a thumb sees at once.
const PHONE: (u32, f64) = (390, 844.0);

fn every_question_is_one_tap_away_on_a_phone(browser: &mut Browser, shown: &Shown) {
    for sheet in &shown.sheets {
        browser.look("light", PHONE.0);
        browser.open(sheet);
        let name = sheet.display();
        let hidden = browser.evaluate(&format!(
            "[...document.querySelectorAll('nav a')].filter((link) => {{
                const at = link.getBoundingClientRect();
                return at.left < 0 || at.right > {} || at.top < 0 || at.bottom > {};
            }}).map((link) => link.textContent)",
            PHONE.0, PHONE.1
        ));
        assert_eq!(hidden, serde_json::json!([]), "{name}");
        // What a tap leads to begins below the links, which stay in sight.
        let lost = browser.evaluate(
            "(async () => {
                const lost = [];
                for (const link of document.querySelectorAll('nav a')) {
                    link.click();
                    await new Promise((done) => setTimeout(done, 60));
                    const links = document.querySelector('nav').getBoundingClientRect();
                    const target = document.querySelector(link.getAttribute('href')).getBoundingClientRect();
                    const seen = links.top > -1 && links.bottom < 200 && target.top > links.bottom - 1 && target.top < 600;
                    if (!seen) lost.push(link.textContent + ' at ' + target.top + ' under ' + links.bottom);
                }
                return lost;
            })()",
        );
        assert_eq!(lost, serde_json::json!([]), "{name}");
        let small = browser.evaluate(
            "[...document.querySelectorAll('svg.drawing')].map((drawing) =>
                15 * drawing.getBoundingClientRect().width / drawing.viewBox.baseVal.width
            ).filter((letter) => letter < 11)",
        );
        assert_eq!(
            small,
            serde_json::json!([]),
            "{name}: height of a drawing's letters in px"
        );
    }
}

/// Text and its background by the contrast formula of WCAG 2.1 (success
/// criterion 1.4.3): everything under 4.5 : 1, as words.
const TOO_FAINT: &str = "(() => {
    const channel = (value) => { value /= 255; return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4; };
    const parse = (colour) => (colour.match(/[\\d.]+/g) || [0, 0, 0, 0]).map(Number);
    const light = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
    const ground = (element) => {
        for (let at = element; at; at = at.parentElement) {
            const colour = parse(getComputedStyle(at).backgroundColor);
            if (colour.length === 3 || colour[3] > 0) return colour;
        }
        return [255, 255, 255];
    };
    const faint = [];
    let count = 0;
    for (const element of document.body.querySelectorAll('*')) {
        const own = [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim());
        if (!own || ['SCRIPT', 'STYLE', 'title', 'desc', 'OPTION'].includes(element.tagName)) continue;
        if (!element.getClientRects().length) continue;
        const style = getComputedStyle(element);
        const ink = parse(element.namespaceURI.endsWith('svg') ? style.fill : style.color);
        const [above, below] = [light(ink), light(ground(element))].sort((a, b) => b - a);
        const ratio = (above + 0.05) / (below + 0.05);
        count++;
        if (ratio < 4.5) faint.push(ratio.toFixed(2) + ' ' + element.tagName + ' ' + element.textContent.trim().slice(0, 40));
    }
    return { count, faint };
})()";

fn words_stand_out_from_their_ground_in_light_and_dark(browser: &mut Browser, shown: &Shown) {
    for sheet in &shown.sheets {
        for scheme in ["light", "dark"] {
            browser.look(scheme, 1280);
            browser.open(sheet);
            let found = browser.evaluate(TOO_FAINT);
            let count = found["count"].as_f64().unwrap();
            assert!(count > 200.0, "only {count} pieces of text were looked at");
            assert_eq!(
                found["faint"],
                serde_json::json!([]),
                "{} {scheme}",
                sheet.display()
            );
        }
    }
}

fn every_drawing_has_a_text_alternative(browser: &mut Browser, shown: &Shown) {
    for sheet in &shown.sheets {
        browser.open(sheet);
        let drawings = browser.evaluate(
            "[...document.querySelectorAll('svg.drawing, canvas')].map((drawing) => {
                const named = (drawing.getAttribute('aria-labelledby') || '').split(' ').filter(Boolean)
                    .map((id) => document.querySelectorAll('#' + id));
                const one = named.every((found) => found.length === 1);
                const words = named.map((found) => found[0] ? found[0].textContent : '').join(' ')
                    || drawing.getAttribute('aria-label') || '';
                return drawing.getAttribute('role') === 'img' && one && words.trim().length > 20;
            })",
        );
        let drawings = drawings.as_array().unwrap();
        assert!(drawings.len() >= 9, "{} drawings", drawings.len());
        assert!(
            drawings.iter().all(|good| *good == true),
            "{}: {drawings:?}",
            sheet.display()
        );
    }
}

fn the_sheet_is_readable_without_script(browser: &mut Browser, shown: &Shown) {
    browser.call(
        "Emulation.setScriptExecutionDisabled",
        serde_json::json!({ "value": true }),
    );
    browser.open(&shown.sheets[0]);
    let words = browser.evaluate("document.body.innerText");
    let words = words.as_str().unwrap();
    for section in [
        "Which way round",
        "Where zero is",
        "What next",
        "Is it safe",
        "The pockets",
    ] {
        assert!(words.contains(section), "{section}");
    }
    assert!(
        !words.contains("Watch it cut"),
        "a replay that cannot run is not offered"
    );
}
