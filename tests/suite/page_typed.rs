//! What people type in the forms besides the job's own fields: taken and told
//! as in those, with every option that the command has.

use std::fs;

use serde_json::json;

use crate::chromium::Browser;
use crate::harness::{Workshop, words_of};
use crate::page_client::Page;
use crate::page_drawn::keep_picture;
use crate::page_readings::{Two, plain};

const JOB: &str = "examples/tea-box.toml";
const CUT: &str = "examples/out/tea-box.nc";
const PILOT: &str = "examples/out/tea-box-pilot.nc";

#[test]
fn a_test_piece_is_written_with_another_bit_and_its_wear() {
    let two = Two::of(JOB);
    let query =
        "test-piece?length=200&width=110%2C5&thickness=3%2F4&bit=5+mm+single-flute&wear=30%25";
    let shown = two.page.get(query).body;
    let words = plain(&shown);
    for told in [
        "`110,5` was taken as 110.5 mm",
        "`3/4` was taken as 3/4 in",
        "`30%` was taken as 0.3",
    ] {
        assert!(words.contains(told), "{told} in {words}");
    }
    assert!(shown.contains("<svg"), "{words}");
    let seen = two.page.seen("proof");
    let typed = [
        ("seen", seen.as_str()),
        ("length", "200"),
        ("width", "110,5"),
        ("thickness", "3/4"),
        ("bit", "5 mm single-flute"),
        ("wear", "0,3"),
        ("read", "yes"),
    ];
    let answer = two.page.post("test-piece/write", &typed);
    assert_eq!(answer.status, 303, "{}", words_of(&answer.body));
    let told = plain(&two.page.get("test-piece").body);
    let command = "stepwell test-piece examples/tea-box.toml -o examples/out --length 200 \
                   --width 110.5 --thickness '3/4 in' --bit '5 mm single-flute' --wear 0.3";
    assert!(told.contains(command), "{told}");
    assert!(told.contains("`110,5` was taken as 110.5 mm"), "{told}");
    let options = [
        "test-piece",
        JOB,
        "-o",
        "examples/out",
        "--length",
        "200",
        "--width",
        "110.5",
        "--thickness",
        "3/4 in",
        "--bit",
        "5 mm single-flute",
        "--wear",
        "0.3",
    ];
    two.by_command.run(&options).expect(0);
    for name in two.by_command.list("examples/out") {
        let read =
            |workshop: &Workshop| fs::read(workshop.path(&format!("examples/out/{name}"))).unwrap();
        assert!(read(&two.by_page) == read(&two.by_command), "{name}");
    }
    let wrong = plain(
        &two.page
            .get("test-piece?length=200&width=110&thickness=19&wear=much")
            .body,
    );
    assert!(wrong.contains("--wear is `much`"), "{wrong}");
}

// Setback 3.5 less half the clearance leaves 3.45 mm.
#[test]
fn readings_take_a_comma_and_programs_several_with_their_bits() {
    let two = Two::with(JOB);
    let shown = two.page.get("readings").body;
    // In the order in which they are run.
    let boxes: Vec<_> = shown.match_indices("name=\"cut\" value=\"").collect();
    assert!(boxes.len() >= 2, "{shown}");
    let names: Vec<&str> = boxes
        .iter()
        .take(2)
        .map(|(at, own)| shown[at + own.len()..].split('"').next().unwrap())
        .collect();
    assert_eq!(names, ["tea-box.nc", "tea-box-pilot.nc"]);
    let fields = [
        ("form", "job"),
        ("cut", "tea-box.nc"),
        ("cut", "tea-box-pilot.nc"),
        ("bit", "6 mm up-spiral, 2 mm drill"),
        ("outside-lid", "3,15"),
    ];
    let named = ["--bit", "6 mm up-spiral", "--bit", "2 mm drill"];
    let told = two.fit(
        &fields,
        &[
            ["--cut", CUT, PILOT].as_slice(),
            &named,
            &["--outside-lid", "3.15"],
        ]
        .concat(),
    );
    assert!(told.contains("`3,15` was taken as 3.15 mm"), "{told}");
    let command = format!(
        "stepwell fit {JOB} --cut {CUT} {PILOT} --bit '6 mm up-spiral' --bit '2 mm drill' \
         --outside-lid 3.15"
    );
    assert!(told.contains(&command), "{told}");
    // A bit that is not in the rack, and no program at all.
    for wrong in [("bit", "7 mm"), ("cut", "")] {
        let fields = [
            ("form", "job"),
            wrong,
            ("cut", if wrong.0 == "cut" { "" } else { "tea-box.nc" }),
            ("outside-lid", "3,15"),
        ];
        let refused = two.send("readings", &fields);
        assert_eq!(refused.status, 409, "{wrong:?}");
        assert!(refused.body.contains("value=\"3.15\""), "{wrong:?}");
    }
}

#[test]
fn several_programs_that_were_run_are_entered_at_once() {
    let two = Two::with(JOB);
    let fields = [
        ("form", "job"),
        ("cut", "tea-box.nc"),
        ("cut", "tea-box-pilot.nc"),
        ("bit", ""),
        ("times", "2"),
    ];
    let answer = two.send("next-box", &fields);
    assert_eq!(answer.status, 303, "{}", words_of(&answer.body));
    let told = plain(&two.page.get("next-box").body);
    let command = format!("stepwell ran {CUT} {PILOT} --job {JOB} --times 2");
    assert!(told.contains(&command), "{told}");
    let ran = ["ran", CUT, PILOT, "--job", JOB, "--times", "2"];
    two.by_command.run(&ran).expect(0);
    two.alike();
}

// All positions in their order, and of some which is which.
#[test]
fn programs_of_several_positions_are_entered_at_once() {
    let two = Two::with("examples/cabinet-door.toml");
    let names = ["p1", "p2", "p3"].map(|one| format!("cabinet-door-{one}.nc"));
    let cut = names.each_ref().map(|name| format!("examples/out/{name}"));
    for (chosen, positions) in [(&[0, 1, 2][..], &[][..]), (&[2, 0], &["3", "1"])] {
        let typed = positions.join(", ");
        let mut fields = vec![
            ("form", "job"),
            ("position", &typed),
            ("outside-lid", "3"),
            ("as-read", "yes"),
        ];
        fields.extend(chosen.iter().map(|index| ("cut", names[*index].as_str())));
        let mut options = vec!["--outside-lid", "3", "--as-read", "--cut"];
        options.extend(chosen.iter().map(|index| cut[*index].as_str()));
        options.extend(positions.iter().flat_map(|number| ["--position", number]));
        two.fit(&fields, &options);
        two.fit(&[("form", "undo")], &["--undo"]);
    }
    let wrong = [
        ("form", "job"),
        ("cut", "cabinet-door-p1.nc"),
        ("position", "1, x"),
    ];
    assert_eq!(two.send("readings", &wrong).status, 409);
}

#[test]
fn a_plug_and_trial_cuts_take_a_comma_too() {
    let two = Two::with(JOB);
    let asked =
        "next-box?form=plug&cut=tea-box.nc&part=lid&hinge=2&length=80%2C5&width=60&thickness=10";
    let shown = two.page.get(asked).body;
    let words = plain(&shown);
    assert!(shown.contains("<svg"), "{words}");
    assert!(words.contains("`80,5` was taken as 80.5 mm"), "{words}");
    assert!(words.contains("--length 80.5"), "{words}");
    let chest = "examples/blanket-chest.toml";
    let two = Two::of(chest);
    let written = two.send("template", &[("read", "yes"), ("folder", "out")]);
    assert_eq!(written.status, 303, "{}", words_of(&written.body));
    two.by_command
        .run(&["template", chest, "-o", "examples/out"])
        .expect(0);
    let program = "examples/out/blanket-chest-template.nc";
    let fields = [
        ("form", "template"),
        ("cut", "blanket-chest-template.nc"),
        ("turned-a", "4,2"),
        ("turned-b", "3,9"),
    ];
    let options = ["--cut", program, "--template", "--turned", "4.2", "3.9"];
    let told = two.fit(&fields, &options);
    assert!(told.contains("`4,2` was taken as 4.2 mm"), "{told}");
}

#[test]
fn panels_hold_on_a_phone() {
    let Some(mut browser) = Browser::start() else {
        return;
    };
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    workshop
        .run(&["generate", JOB, "-o", "examples/out"])
        .expect(0);
    browser.turn_to_a_new_page();
    for scheme in ["light", "dark"] {
        browser.look(scheme, 400);
        for (name, section) in [
            (
                "plug",
                "next-box?form=plug&cut=tea-box.nc&part=lid&hinge=2&length=80&width=60&thickness=10",
            ),
            ("boxes", "next-box?boxes=12"),
            (
                "piece",
                "test-piece?length=200&width=110&thickness=19&depth-step=0,1",
            ),
            ("readings", "readings"),
        ] {
            browser.visit(&page.address(section));
            keep_picture(&mut browser, &format!("{name}-{scheme}-400"));
            let wide = browser.evaluate("document.documentElement.scrollWidth");
            assert!(wide.as_u64().unwrap() <= 400, "{section}: {wide}");
            let aside = browser.evaluate(
                "[...document.querySelectorAll('figure, fieldset, pre, .command')] \
                 .filter((one) => one.scrollWidth > one.clientWidth + 1) \
                 .map((one) => one.tagName + ' ' + one.textContent.slice(0, 60))",
            );
            assert_eq!(aside, json!([]), "{section}");
            // Whatever is asked for has a name.
            let unnamed = browser.evaluate(
                "[...document.querySelectorAll('main input:not([type=hidden]), main select')] \
                 .filter((one) => !one.labels.length).map((one) => one.name)",
            );
            assert_eq!(unnamed, json!([]), "{section}");
        }
    }
}
