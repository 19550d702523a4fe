//! The job sheet of every example, as text.

use crate::harness::{Workshop, examples, stem};

#[test]
fn no_sheet_points_outside_itself() {
    let workshop = Workshop::new();
    for example in examples() {
        workshop.run(&["generate", &example, "-o", "out"]).expect(0);
        let page = workshop.read(&format!("out/{}.html", stem(&example)));
        for reference in ["http:", "https:", "src=", "@import", "rel=\"stylesheet\""] {
            assert!(!page.contains(reference), "{example}: {reference}");
        }
        assert_eq!(
            page.matches("url(").count(),
            page.matches("url(#").count(),
            "{example}"
        );
        for link in page.split("href=\"").skip(1) {
            assert!(
                link.starts_with('#') || link.starts_with("data:,"),
                "{example}: {link:.20}"
            );
        }
    }
}

#[test]
fn the_sheet_carries_the_digest_and_every_line_of_each_program() {
    let workshop = Workshop::new();
    for example in examples() {
        let run = workshop.run(&["generate", &example, "-o", "out", "--format", "json"]);
        let report = run.expect(0).json();
        let page = workshop.read(&format!("out/{}.html", stem(&example)));
        let data = page
            .split("id=\"playback-data\">")
            .nth(1)
            .and_then(|rest| rest.split("</script>").next())
            .unwrap();
        let data: serde_json::Value = serde_json::from_str(data).unwrap();
        for (index, program) in report["programs"].as_array().unwrap().iter().enumerate() {
            assert!(
                page.contains(program["sha256"].as_str().unwrap()),
                "{example}"
            );
            let text = workshop.read(program["path"].as_str().unwrap());
            assert_eq!(data["programs"][index]["text"], text.as_str(), "{example}");
        }
    }
}

#[test]
fn the_same_job_gives_the_same_sheet() {
    let workshop = Workshop::new();
    let example = &examples()[0];
    let page = |folder: &str| {
        workshop.run(&["generate", example, "-o", folder]).expect(0);
        workshop.read(&format!("{folder}/{}.html", stem(example)))
    };
    assert_eq!(page("one"), page("two"));
}
