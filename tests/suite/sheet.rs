//! The job sheet of every example, as text.

use crate::harness::{Workshop, examples, flowed, stem, words_of};

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

// By hand, from where v begins: overlay, the outside face of the wall and the
// back edge of the lid; inset, the rim of the loose wall and the lid's show face.
#[test]
fn the_sheet_lays_every_part_the_way_its_pockets_are_counted() {
    let workshop = Workshop::new();
    for (layout, fence) in [("book", "divider"), ("end-to-end", "fence")] {
        for (closing, lies) in [
            (
                "overlay",
                [
                    "the box, rim up, outside face against the",
                    "the lid, inside face up, back edge against the",
                ],
            ),
            (
                "inset",
                [
                    "the hinged wall as a loose board, inside face up, rim against the",
                    "the lid on edge, back edge up, show face against the",
                ],
            ),
        ] {
            let example = match closing {
                "inset" => "examples/sewing-chest.toml",
                _ => "examples/tea-box.toml",
            };
            let text = workshop.read(example);
            let text = text.split("clamps  =").next().unwrap();
            let own = text
                .lines()
                .find(|line| line.starts_with("layout"))
                .unwrap();
            let lies_so = format!("layout = \"{layout}\"");
            let text = text
                .replace(own, &lies_so)
                .replace("../machines", "machines")
                .replace("= 260", "= 180");
            workshop.write("job.toml", &text);
            let out = format!("{closing}-{layout}");
            let run = workshop
                .run(&["generate", "job.toml", "-o", &out])
                .expect(0);
            let words = words_of(&workshop.read(&format!("{out}/job.html")));
            for lie in lies {
                let lie = format!("{lie} {fence}");
                assert!(
                    words.contains(&lie),
                    "{closing} {layout}: {lie}\n{words:.3000}"
                );
            }
            for text in [&words, &run.stdout] {
                let text = flowed(text);
                let loose = text.contains("cut as a loose board before glue-up");
                assert_eq!(loose, closing == "inset", "{closing} {layout}: {text}");
                assert!(
                    text.contains(&format!("the {fence} is taken as flush")),
                    "{text}"
                );
            }
            assert!(
                !words.contains("underside"),
                "a lid has two: {closing} {layout}"
            );
        }
    }
}

// By hand: tea box, leaf 4.5 mm and recess (0.8 - 0.4) / 2 = 0.2: depth 4.7, clearance 0.10;
// five pockets around it, 0.05 mm apart, then five depths 0.1 mm apart.
#[test]
fn the_sheet_of_a_test_piece_lists_each_row_and_the_whole_command() {
    let workshop = Workshop::new();
    let arguments = "test-piece examples/tea-box.toml -o out --length 250 --width 150 --thickness 20 --depth-step 0.1mm";
    let arguments: Vec<&str> = arguments.split(' ').collect();
    workshop.run(&arguments).expect(0);
    let page = workshop.read("out/tea-box-test-piece.html");
    let table = page.split("class=\"test-piece\"").nth(1).unwrap();
    let table = table.split("</table>").next().unwrap();
    let rows: Vec<Vec<String>> = table
        .split("<tr>")
        .skip(2)
        .map(|row| {
            let cells = row.split("<td>").skip(1);
            cells
                .map(|cell| words_of(&cell.replace("<small class=\"other\">", "|")))
                .collect()
        })
        .map(|cells: Vec<String>| {
            let first = |cell: &String| cell.split('|').next().unwrap().trim().to_owned();
            cells.iter().map(first).collect()
        })
        .collect();
    let mut wanted = Vec::new();
    for ticks in 1..=5 {
        let clearance = 0.05 * f64::from(ticks - 1);
        wanted.push([
            "1".to_owned(),
            ticks.to_string(),
            format!("{clearance:.2} mm"),
            "4.70 mm".to_owned(),
        ]);
    }
    for ticks in 1..=5 {
        let depth = 4.5 + 0.1 * f64::from(ticks - 1);
        wanted.push([
            "2".to_owned(),
            ticks.to_string(),
            "0.10 mm".to_owned(),
            format!("{depth:.2} mm"),
        ]);
    }
    assert_eq!(rows, wanted);
    let words = words_of(&page);
    let made = "stepwell fit JOB.toml --cut PROGRAM.nc --test-piece --length 250mm --width 150mm \
                --thickness 20mm --pockets 5 --step 0.05mm --depth-step 0.1mm";
    for option in ["--pocket N", "--depth-pocket N"] {
        let command = format!("{made} {option}");
        assert!(words.contains(&command), "{command}");
        let typed = command
            .replace("JOB.toml", "examples/tea-box.toml")
            .replace("PROGRAM.nc", "out/tea-box-test-piece.nc")
            .replace(" N", " 3");
        let typed: Vec<&str> = typed.split(' ').skip(1).chain(["--dry"]).collect();
        workshop.run(&typed).expect(0);
    }
}

#[test]
fn flutes_in_the_collet_are_refused_at_their_place() {
    let workshop = Workshop::new();
    workshop.vary(
        "machines/bits.toml",
        "machines/bits.toml",
        &[("stickout = 28", "stickout = 20")],
    );
    let said = workshop
        .run(&["generate", "examples/tea-box.toml", "-o", "out"])
        .expect(2)
        .stderr;
    assert!(said.contains("bits.toml:19:12"), "{said}");
    let flowed = flowed(&said);
    assert!(
        flowed.contains(
            "`stickout` is 20 mm, the cutting edge 22 mm: the flutes would stand in the collet"
        ),
        "{said}"
    );
    assert!(workshop.list("out").is_empty());
}
