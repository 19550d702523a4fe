//! The test piece on the page: drawn, and written as the command line writes it.

use std::fs;

use crate::harness::{Workshop, words_of};
use crate::page_client::Page;

const JOB: &str = "examples/tea-box.toml";
const SCRAP: [(&str, &str); 4] = [
    ("length", "200"),
    ("width", "4 3/8 in"),
    ("thickness", "19 mm"),
    ("depth-step", "0.1"),
];

#[test]
fn a_test_piece_is_drawn_and_written_as_the_command_line_writes_it() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    assert!(!page.get("test-piece").body.contains("<svg"));
    let query =
        "test-piece?length=200&width=4+3%2F8+in&thickness=19+mm&depth-step=0.1&pockets=&step=";
    let drawn = page.get(query).body;
    assert!(drawn.contains("<svg") && drawn.contains("value=\"19 mm\""));
    let words = words_of(&drawn);
    assert!(words.contains("3 ticks in the second row: leaf"), "{words}");
    let seen = page.seen("proof");
    let mut fields = vec![("seen", seen.as_str())];
    fields.extend(SCRAP);
    // The cautions come first, and what was typed stays.
    let refused = page.post("test-piece/write", &fields);
    assert_eq!(refused.status, 409);
    assert!(refused.body.contains("value=\"19 mm\""));
    assert!(workshop.list("examples/out").is_empty());
    fields.push(("read", "yes"));
    assert_eq!(page.post("test-piece/write", &fields).status, 303);
    let told = words_of(&page.get("test-piece").body);
    let command = "stepwell test-piece examples/tea-box.toml -o examples/out --length 200 \
                   --width '4 3/8 in' --thickness '19 mm' --depth-step 0.1";
    assert!(told.contains(command), "{told}");
    let other = Workshop::new();
    let mut arguments = vec!["test-piece", JOB, "-o", "examples/out"];
    let options = SCRAP.map(|(name, value)| (format!("--{name}"), value));
    arguments.extend(
        options
            .iter()
            .flat_map(|(name, value)| [name.as_str(), value]),
    );
    other.run(&arguments).expect(0);
    let names = other.list("examples/out");
    assert_eq!(names.len(), 2);
    assert_eq!(workshop.list("examples/out"), names);
    for name in names {
        let read =
            |workshop: &Workshop| fs::read(workshop.path(&format!("examples/out/{name}"))).unwrap();
        assert!(read(&workshop) == read(&other), "{name}");
    }
}

#[test]
fn what_is_wrong_with_a_scrap_is_said_in_the_words_of_the_terminal() {
    let workshop = Workshop::new();
    let page = Page::of(&workshop, JOB);
    for (query, words) in [
        (
            "length=50&width=50&thickness=10",
            "needs 95 mm long, 75 mm wide, 17 mm thick",
        ),
        ("length=ten&width=50&thickness=10", "--length: `ten`"),
        (
            "length=300&width=90&thickness=20&pockets=3",
            "a test piece of 3 pockets",
        ),
        (
            "length=300&width=90&thickness=20&pockets=x",
            "--pockets: `x` is no count",
        ),
        ("length=300&width=90", "--thickness"),
    ] {
        let shown = page.get(&format!("test-piece?{query}"));
        assert_eq!(shown.status, 200, "{query}");
        let plain = words_of(&shown.body);
        assert!(plain.contains(words), "{query}: {plain}");
        assert!(!shown.body.contains("test-piece/write"), "{query}");
    }
    assert!(workshop.list("examples/out").is_empty());
}
