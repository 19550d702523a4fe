//! The template on the page: typed by its keys, proved, written and its trial
//! cuts entered, with the bytes that the command line writes.

use std::fs;

use crate::harness::{Workshop, words_of};
use crate::page_client::Page;
use crate::page_readings::{Two, plain};

const JOB: &str = "examples/blanket-chest.toml";
const PROGRAM: &str = "examples/out/blanket-chest-template.nc";

fn written() -> Two {
    let two = Two::of(JOB);
    let fields = [("folder", "out"), ("read", "yes")];
    let answer = two.send("template", &fields);
    assert_eq!(answer.status, 303, "{}", words_of(&answer.body));
    two.by_command
        .run(&["template", JOB, "-o", "examples/out"])
        .expect(0);
    two
}

#[test]
fn a_template_is_typed_by_its_keys_and_has_a_section_from_then_on() {
    let workshop = Workshop::new();
    let text = workshop.read(JOB);
    let (before, _) = text.split_once("[template]").unwrap();
    workshop.write(JOB, before);
    let page = Page::of(&workshop, JOB);
    assert!(!page.get("proof").body.contains("/template\""));
    let bare = plain(&page.get("template").body);
    assert!(bare.contains("has no `[template]`"), "{bare}");
    let fields = [
        ("template.collar", "24"),
        ("template.collar_bore", "21"),
        ("template.collar_reach", "6"),
        ("template.bit", "8 mm straight, hand"),
        ("template.router.base", "150"),
        ("template.router.height", "300"),
        ("template.plate.length", "300"),
        ("template.plate.width", "220"),
        ("template.plate.thickness", "12"),
        ("template.plate.wood", "MDF"),
        ("template.batten.width", "18"),
        ("template.batten.height", "40"),
    ];
    for field in fields {
        assert_eq!(page.set("fixture", &[field]).status, 303, "{field:?}");
    }
    // A key that is missing is asked for, and the section is there already.
    let unready = plain(&page.get("template").body);
    assert!(unready.contains("No proof yet: 1 to mend"), "{unready}");
    let last = [("template.batten.groove", "4")];
    assert_eq!(page.set("fixture", &last).status, 303);
    let shown = page.get("template").body;
    let words = plain(&shown);
    let places = ["template-match", "collar-room", "plate-left", "envelope"]
        .map(|check| shown.find(&format!("<th scope=\"row\">{check}")));
    assert!(
        places.iter().all(Option::is_some) && places.is_sorted(),
        "{places:?}"
    );
    assert!(words.contains("every check passed"), "{words}");
    assert!(
        words.contains("The plate on the machine, underside up"),
        "{words}"
    );
    assert!(words.contains("stepwell template examples/blanket-chest.toml -o examples/out"));
    let sheet = page.get("template/sheet").body;
    assert!(sheet.contains("Blanket chest, template"));
    assert_eq!(page.get("hinge/sheet").status, 404);
}

#[test]
fn a_template_is_written_as_the_command_line_writes_it() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    let seen = page.seen("template");
    let refused = page.post("template/write", &[("seen", &seen), ("folder", "out")]);
    assert_eq!(refused.status, 409);
    assert!(workshop.list("examples/out").is_empty());
    // The parts are longer than the machine: they fail, and the template does not.
    let proof = plain(&page.get("proof").body);
    assert!(
        proof.contains("the template is proved by itself"),
        "{proof}"
    );
    let two = written();
    let told = plain(&two.page.get("template").body);
    let command = "stepwell template examples/blanket-chest.toml -o examples/out";
    assert!(told.contains(command), "{told}");
    let names = two.by_command.list("examples/out");
    assert_eq!(names.len(), 2);
    assert_eq!(two.by_page.list("examples/out"), names);
    for name in names {
        let read =
            |workshop: &Workshop| fs::read(workshop.path(&format!("examples/out/{name}"))).unwrap();
        assert!(read(&two.by_page) == read(&two.by_command), "{name}");
    }
}

// Setback 4 less half the clearance 0.1 leaves 3.95 mm; A 4.2 and B 3.9 put the bit 0.15
// off the collar's middle and the grooves 0.1 off.
#[test]
fn trial_cuts_are_entered_as_fit_enters_them() {
    let two = written();
    let before = two.by_page.read(JOB);
    let shown = plain(&two.page.get("readings").body);
    assert!(shown.contains("must be 3.95 mm"), "{shown}");
    let own = [("form", "template"), ("cut", "blanket-chest-template.nc")];
    let fields = [("turned-a", "4.2"), ("turned-b", "3.9")];
    let told = two.fit(
        &[own.as_slice(), &fields].concat(),
        &["--cut", PROGRAM, "--template", "--turned", "4.2", "3.9"],
    );
    assert!(told.contains("0.15 mm off the collar's middle"), "{told}");
    let command = format!("stepwell fit {JOB} --cut {PROGRAM} --template --turned 4.2 3.9");
    assert!(told.contains(&command), "{told}");
    assert_ne!(two.by_page.read(JOB), before);
    two.fit(&[("form", "undo")], &["--undo"]);
    assert_eq!(two.by_page.read(JOB), before);
    // One of two is none, and what is far off is asked about.
    let half = [own.as_slice(), &[("turned-end-a", "81")]].concat();
    let refused = two.send("readings", &half);
    assert_eq!(refused.status, 409);
    assert!(plain(&refused.body).contains("--turned-end takes two readings, A and B"));
    assert!(refused.body.contains("value=\"81\""));
    assert_eq!(two.by_page.read(JOB), before);
}

#[test]
fn a_template_that_was_run_is_entered_as_ran_enters_it() {
    let two = written();
    let fields = [
        ("form", "template"),
        ("cut", "blanket-chest-template.nc"),
        ("times", "2"),
    ];
    let answer = two.send("next-box", &fields);
    assert_eq!(answer.status, 303, "{}", words_of(&answer.body));
    let options = ["ran", PROGRAM, "--job", JOB, "--template", "--times", "2"];
    let stdout = two.by_command.run(&options).expect(0).stdout;
    for rack in ["machines/template-bits.toml", JOB] {
        assert_eq!(two.by_page.read(rack), two.by_command.read(rack));
    }
    let told = plain(&two.page.get("next-box").body);
    assert!(told.contains(stdout.lines().next().unwrap()), "{told}");
    assert!(told.contains(&format!(
        "stepwell ran {PROGRAM} --job {JOB} --template --times 2"
    )));
}

// The opening of a pocket as wide as the bit has 0.1 mm more room than the rule asks, so
// 5/32 + 3/16 - (25.5 / 25.4 - 5/8) / 2 = 0.1543 in is left outside, not 5/32. A bit 0.3
// inward reads 0.6 less when the router is turned.
#[test]
fn a_trial_must_read_what_the_sheet_says_of_it() {
    for (job, own, all) in [
        ("wall-cabinet", "[template]", &["must be 0.154 in"][..]),
        (
            "blanket-chest",
            "[template]\noff_centre = [0.3, 0]",
            &["must be 3.95 mm", "must be 3.35 mm"],
        ),
    ] {
        let workshop = Workshop::new();
        let job = format!("examples/{job}.toml");
        workshop.vary(&job, &job, &[("[template]", own)]);
        let arguments = ["template", job.as_str(), "-o", "examples/out"];
        workshop.run(&arguments).expect(0);
        let page = Page::of(&workshop, &job);
        let shown = plain(&page.get("readings").body);
        for words in all {
            assert!(shown.contains(words), "{words}: {shown}");
        }
    }
}
