//! Readings on the page: entered, shown and taken back with the bytes that
//! the command line writes.

use crate::harness::{Workshop, words_of};
use crate::page_client::{Answer, Page};

const JOB: &str = "examples/tea-box.toml";
const CUT: &str = "examples/out/tea-box.nc";

/// Two workshops that are worked alike: one by the page, one by commands.
pub(crate) struct Two {
    pub(crate) page: Page,
    pub(crate) by_page: Workshop,
    pub(crate) by_command: Workshop,
    job: &'static str,
}

impl Two {
    /// Nothing is written yet.
    pub(crate) fn of(job: &'static str) -> Self {
        let (by_page, by_command) = (Workshop::new(), Workshop::new());
        Self {
            page: Page::of(&by_page, job),
            by_page,
            by_command,
            job,
        }
    }

    pub(crate) fn with(job: &'static str) -> Self {
        let two = Self::of(job);
        let fields = [("folder", "out"), ("read", "yes")];
        assert_eq!(two.send("proof", &fields).status, 303);
        two.by_command
            .run(&["generate", job, "-o", "examples/out"])
            .expect(0);
        two
    }

    #[track_caller]
    pub(crate) fn send(&self, section: &str, fields: &[(&str, &str)]) -> Answer {
        let seen = self.page.seen(section);
        let fields = [&[("seen", seen.as_str())], fields].concat();
        self.page.post(&format!("{section}/write"), &fields)
    }

    #[track_caller]
    pub(crate) fn alike(&self) {
        for file in [self.job, "machines/hinges.toml", "machines/bits.toml"] {
            let there = [&self.by_page, &self.by_command].map(|own| own.path(file).exists());
            assert_eq!(there[0], there[1], "{file}");
            if there[0] {
                assert_eq!(
                    self.by_page.read(file),
                    self.by_command.read(file),
                    "{file}"
                );
            }
        }
    }

    /// Sends a form and runs `fit` with the options; both end well and alike.
    #[track_caller]
    pub(crate) fn fit(&self, fields: &[(&str, &str)], options: &[&str]) -> String {
        let answer = self.send("readings", fields);
        assert_eq!(answer.status, 303, "{}", words_of(&answer.body));
        let run = self.by_command.run(&[&["fit", self.job], options].concat());
        let stdout = run.expect(0).stdout;
        self.alike();
        let told = plain(&self.page.get("readings").body);
        for line in stdout.lines().filter(|line| !line.ends_with(": written")) {
            assert!(told.contains(line), "{line} in {told}");
        }
        told
    }
}

pub(crate) fn plain(html: &str) -> String {
    let words = words_of(html);
    let signs = [
        ("&quot;", "\""),
        ("&gt;", ">"),
        ("&lt;", "<"),
        ("&#x27;", "'"),
        ("&#x2f;", "/"),
        ("&amp;", "&"),
    ];
    signs
        .iter()
        .fold(words, |words, (written, sign)| words.replace(written, sign))
}

// Setback 3.5 less half the clearance 0.05 leaves 3.45 mm.
#[test]
fn readings_are_entered_as_fit_enters_them() {
    let two = Two::with(JOB);
    let before = two.by_page.read(JOB);
    let shown = plain(&two.page.get("readings").body);
    assert!(shown.contains("must be 3.45 mm"), "{shown}");
    assert!(shown.contains("nothing stands entered"), "{shown}");
    assert!(
        shown.contains("stepwell fit examples/tea-box.toml --show"),
        "{shown}"
    );
    let own = [("form", "job"), ("cut", "tea-box.nc")];
    let told = two.fit(
        &[
            own.as_slice(),
            &[("outside-lid", "3.15"), ("part", "both"), ("hinge", "")],
        ]
        .concat(),
        &["--cut", CUT, "--outside-lid", "3.15"],
    );
    let command =
        "stepwell fit examples/tea-box.toml --cut examples/out/tea-box.nc --outside-lid 3.15";
    assert!(told.contains(command), "{told}");
    let show = two.by_command.run(&["fit", JOB, "--show"]).expect(0).stdout;
    for line in show.lines() {
        assert!(told.contains(line), "{line} in {told}");
    }
    two.fit(&[("form", "undo")], &["--undo"]);
    assert_eq!(two.by_page.read(JOB), before);
    assert_eq!(two.send("readings", &[("form", "undo")]).status, 409);
    two.fit(
        &[
            own.as_slice(),
            &[("end-box", "23.1"), ("as-read", "yes"), ("slot", "6.02")],
        ]
        .concat(),
        &[
            "--cut",
            CUT,
            "--end-box",
            "23.1",
            "--slot",
            "6.02",
            "--as-read",
        ],
    );
    two.fit(&[("form", "new-setup")], &["--new-setup"]);
    two.fit(&[("form", "undo")], &["--undo"]);
}

#[test]
fn a_question_is_asked_in_the_words_of_the_terminal_and_can_be_answered() {
    let two = Two::with(JOB);
    let before = two.by_page.read(JOB);
    let fields = [("form", "job"), ("cut", "tea-box.nc"), ("outside-lid", "6")];
    assert!(!two.page.get("readings").body.contains("as-read"));
    let asked = two.send("readings", &fields);
    assert_eq!(asked.status, 409);
    assert_eq!(two.by_page.read(JOB), before);
    let run = two.by_command.run(&[
        "fit",
        JOB,
        "--cut",
        CUT,
        "--outside-lid",
        "6",
        "--format",
        "json",
    ]);
    let errors = run.expect(2).json();
    let shown = plain(&asked.body);
    let message = errors["errors"][0]["message"].as_str().unwrap();
    for words in message.split("; ") {
        assert!(shown.contains(words), "{words} in {shown}");
    }
    // What was typed stays, with the choice beside it.
    assert!(asked.body.contains("value=\"6\"") && asked.body.contains("name=\"as-read\""));
    two.fit(
        &[fields.as_slice(), &[("as-read", "yes")]].concat(),
        &["--cut", CUT, "--outside-lid", "6", "--as-read"],
    );
}

#[test]
fn a_test_pieces_pocket_is_entered_too() {
    let two = Two::with(JOB);
    let sizes = [
        ("length", "200"),
        ("width", "110"),
        ("thickness", "19"),
        ("depth-step", "0.1"),
    ];
    let fields = [sizes.as_slice(), &[("read", "yes")]].concat();
    let seen = two.page.seen("readings");
    let fields = [&[("seen", seen.as_str())], fields.as_slice()].concat();
    assert_eq!(two.page.post("test-piece/write", &fields).status, 303);
    // The sizes need not be typed again.
    assert!(two.page.get("readings").body.contains("value=\"200\""));
    let said = [
        "--length",
        "200",
        "--width",
        "110",
        "--thickness",
        "19",
        "--depth-step",
        "0.1",
    ];
    two.by_command
        .run(&[&["test-piece", JOB, "-o", "examples/out"], said.as_slice()].concat())
        .expect(0);
    let own = [("form", "test-piece"), ("cut", "tea-box-test-piece.nc")];
    let told = two.fit(
        &[
            own.as_slice(),
            &sizes,
            &[("pocket", "4"), ("depth-pocket", "2")],
        ]
        .concat(),
        &[
            &[
                "--cut",
                "examples/out/tea-box-test-piece.nc",
                "--test-piece",
            ],
            said.as_slice(),
            &["--pocket", "4", "--depth-pocket", "2"],
        ]
        .concat(),
    );
    assert!(told.contains("--test-piece --length 200 --width 110 --thickness 19 --depth-step 0.1 --pocket 4 --depth-pocket 2"), "{told}");
}

// The second hinge's pocket is measured on the program of its own position.
#[test]
fn a_position_has_readings_of_its_own() {
    let two = Two::with("examples/cabinet-door.toml");
    let shown = plain(&two.page.get("readings").body);
    let after = shown.split("position 2,").next().unwrap();
    assert!(shown.contains("position 2,"), "{shown}");
    let (_, wanted) = after.rsplit_once("must be ").unwrap();
    assert!(wanted.contains("mm"), "{wanted}");
    let cut = "examples/out/cabinet-door-p2.nc";
    let own = [
        ("form", "job"),
        ("cut", "cabinet-door-p2.nc"),
        ("position", "2"),
    ];
    let told = two.fit(
        &[own.as_slice(), &[("outside-lid", "3"), ("as-read", "yes")]].concat(),
        &[
            "--cut",
            cut,
            "--position",
            "2",
            "--outside-lid",
            "3",
            "--as-read",
        ],
    );
    assert!(told.contains("--position 2"), "{told}");
}

#[test]
fn what_is_no_program_of_the_job_as_said_is_refused() {
    let two = Two::with(JOB);
    two.by_page.write("examples/secret.nc", "G21\n");
    let before = two.by_page.read(JOB);
    let reading = [("form", "job"), ("outside-lid", "3.4")];
    for (cut, more) in [
        ("tea-box.nc", ("hinge", "2")),
        ("tea-box.nc", ("hinge", "x")),
        ("tea-box.nc", ("hinge", "0")),
        ("tea-box.nc", ("outside-box", "ten")),
        ("tea-box.nc", ("position", "1")),
        ("../secret.nc", ("hinge", "")),
        ("", ("hinge", "")),
    ] {
        let answer = two.send(
            "readings",
            &[reading.as_slice(), &[("cut", cut), more]].concat(),
        );
        assert_eq!(answer.status, 409, "{cut} {more:?}");
        assert!(answer.body.contains("role=\"alert\""), "{cut} {more:?}");
    }
    assert_eq!(two.by_page.read(JOB), before);
    let answer = two.send(
        "readings",
        &[reading.as_slice(), &[("cut", "tea-box.nc"), ("hinge", "2")]].concat(),
    );
    let run = two.by_command.run(&[
        "fit",
        JOB,
        "--cut",
        CUT,
        "--hinge",
        "2",
        "--outside-lid",
        "3.4",
    ]);
    let told = run.expect(1).stderr;
    let shown = plain(&answer.body);
    assert!(told.contains("nothing was entered"), "{told}");
    assert!(
        shown.contains("nothing was entered, since this is no program of this job"),
        "{shown}"
    );
}
