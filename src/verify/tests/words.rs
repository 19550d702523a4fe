//! What the messages say, apart from which check fails.

use super::*;
use crate::units::Units;

/// The first finding of a check.
#[track_caller]
fn first(report: &Report, id: CheckId) -> String {
    row(report, id).findings[0].message.clone()
}

// The lid of 12 mm under a pocket of 12.4: through by 0.4. The box keeps 0.5,
// less by less, and comes after although it is the first part.
#[test]
fn a_pocket_through_the_board_is_told_first_and_as_what_it_is() {
    let mut job = slot_job();
    job.parts[0].below = mm(12.9);
    job.parts[1].below = mm(12.0);
    let report = judged(&job, &program());
    let found = first(&report, CheckId::FloorLeft);
    assert!(
        found.starts_with("lid pocket 1 cuts through the lid by 0.40 mm; take a thicker board"),
        "{found}"
    );
    let findings = &row(&report, CheckId::FloorLeft).findings;
    assert_eq!(findings.len(), 4);
    assert!(findings[1].message.starts_with("lid pocket 2 cuts through"));
    assert!(
        findings[2].message.starts_with(
            "0.50 mm of wood left under box pocket 1, at least 1 mm; take a thicker board"
        ),
        "{findings:?}"
    );
}

// Two screws of a leaf alike are one finding, at the worse of the two.
#[test]
fn screws_alike_are_told_once() {
    let mut job = slot_job();
    let screw = |u: f64, tip: f64| crate::job::ScrewInWood {
        center: Point::from_mm(u, 8.5),
        diameter: mm(3.0),
        root: mm(2.0),
        length: mm(12.0),
        from: mm(4.7),
        tip: mm(tip),
    };
    job.parts[1].pockets[0].screws = vec![screw(25.0, 17.5), screw(65.0, 18.5)];
    let report = judged(&job, &program());
    let check = row(&report, CheckId::FloorLeft);
    assert_eq!(check.count, 1, "{:?}", check.findings);
    let found = first(&report, CheckId::FloorLeft);
    assert!(
        found.starts_with(
            "a screw of lid pocket 1 goes through the lid by 0.50 mm; take shorter screws"
        ),
        "{found}"
    );
}

// The near side of the pocket at 14.5 - 6 - 5 = 3.5 mm: 4 mm further out it
// comes 0.5 mm through the outside face.
#[test]
fn a_pocket_through_a_face_is_told_with_its_own_cure() {
    let mut job = slot_job();
    for pocket in &mut job.parts[0].pockets {
        pocket.center.y -= 4.0;
    }
    let found = first(&judged(&job, &program()), CheckId::WallLeft);
    assert!(
        found.starts_with("box pocket 1 cuts through the outside face of the box by 0.50 mm; raise `hinge.setback`"),
        "{found}"
    );
    let mut job = slot_job();
    job.parts[0].across = mm(13.0);
    let found = first(&judged(&job, &program()), CheckId::WallLeft);
    assert!(
        found
            .starts_with("box pocket 1 cuts through the inside face of the box by 0.50 mm; lessen"),
        "{found}"
    );
}

// A clamp of 60 mm and 5 mm of clearance: Z goes from -12.4 to 65.
#[test]
fn a_clamp_that_raises_every_travel_is_named_where_z_is_too_short() {
    let mut job = slot_job();
    job.machine.travel[2] = mm(70.0);
    job.fixture.clamps = vec![Clamp {
        name: "tall clamp".to_owned(),
        min: Point::from_mm(300.0, 100.0),
        max: Point::from_mm(320.0, 120.0),
        height: mm(60.0),
    }];
    let text = program().replace("G0 Z5.", "G0 Z65.");
    let found = first(&judged(&job, &text), CheckId::Envelope);
    assert!(
        found.ends_with("the travel is 70.00 mm; the tall clamp stands 60.00 mm above the wood and raises every travel to Z65.000: use a lower one"),
        "{found}"
    );
    job.fixture.clamps.clear();
    let found = first(&judged(&job, &text), CheckId::Envelope);
    assert!(
        found.contains("lower `clearance` of the machine"),
        "{found}"
    );
}

// Every pocket's moves bring the nut within reach of the clamp again and again.
#[test]
fn a_clamp_is_told_once_with_the_worst_of_its_moves() {
    let mut job = slot_job();
    job.fixture.clamps = vec![Clamp {
        name: "left clamp".to_owned(),
        min: Point::from_mm(-20.0, -40.0),
        max: Point::from_mm(19.0, 40.0),
        height: mm(26.0),
    }];
    let text = program().replace("G0 Z5.", "G0 Z31.");
    let report = judged(&job, &text);
    let check = row(&report, CheckId::ClampClearance);
    assert_eq!(
        (check.count, check.findings.len()),
        (1, 1),
        "{:?}",
        check.findings
    );
    let found = &check.findings[0];
    assert!(
        found
            .message
            .starts_with("the nut comes 0.70 mm into the left clamp, the worst of "),
        "{found:?}"
    );
    assert!(
        found
            .message
            .contains(&format!(" moves on lines {} to ", found.line)),
        "{found:?}"
    );
    assert!(!found.message.contains("of 1 moves"), "{found:?}");
    assert_eq!(found.file, "1.nc");
}

#[test]
fn wood_in_the_nuts_way_is_told_once_for_each_pocket() {
    let mut job = slot_job();
    job.bit.stickout = mm(12.0);
    job.bit.cutting_length = mm(12.0);
    job.bit.shank = mm(8.0);
    let report = judged(&job, &program());
    let check = row(&report, CheckId::NutClearance);
    let wood = |found: &&crate::report::Finding| found.message.starts_with("the nut meets wood");
    let wood: Vec<_> = check.findings.iter().filter(wood).collect();
    assert_eq!(wood.len(), 4, "{:?}", check.findings);
    assert!(
        wood[0]
            .message
            .starts_with("the nut meets wood of box pocket 1 that stands "),
        "{:?}",
        check.findings
    );
}

// The pockets are 12.4 mm deep, so a stick-out of 12.5 leaves a tenth under a
// nut of 20 mm, which no pocket 10 mm wide takes in.
#[test]
fn little_air_under_the_nut_is_told_once_with_the_least() {
    let mut job = slot_job();
    job.bit.cutting_length = mm(12.4);
    let check = |job: &Job| row(&judged(job, &program()), CheckId::NutClearance).clone();
    job.bit.stickout = mm(12.5);
    let found = check(&job);
    assert_eq!(
        (found.verdict, found.count),
        (Verdict::Warn, 1),
        "{found:?}"
    );
    let words = &found.findings[0].message;
    assert!(
        words.starts_with("the nut comes within 0.10 mm of the box's wood"),
        "{words}"
    );
    job.bit.stickout = mm(15.39);
    assert_eq!(check(&job).verdict, Verdict::Warn);
    job.bit.stickout = mm(15.41);
    assert_eq!(check(&job).verdict, Verdict::Pass);
    // A nut that goes into the pocket is over its floor.
    job.bit.stickout = mm(12.5);
    job.machine.nut.diameter = mm(9.0);
    assert_eq!(check(&job).verdict, Verdict::Pass);
}

// 0.05 mm a tooth, which the fresh edge takes from 0.04 and the worn one not.
#[test]
fn a_chip_too_thin_for_a_worn_edge_is_blamed_on_the_wear() {
    let mut job = slot_job();
    job.bit.chip_min = Some(mm(0.04));
    passes(&judged(&job, &program()));
    job.bit.wear = 0.9;
    let thin = |job: &Job| {
        let report = judged(job, &program());
        let check = row(&report, CheckId::ChipLoad).clone();
        let at_a_line = check.findings.into_iter().find(|found| found.line > 0);
        at_a_line.unwrap().message
    };
    let found = thin(&job);
    assert!(
        found.contains("good for a fresh edge")
            && found.contains("is worn 0.90 and wants sharpening"),
        "{found}"
    );
    job.bit.chip_min = Some(mm(0.06));
    let found = thin(&job);
    assert!(!found.contains("sharpening"), "{found}");
}

/// Without the other unit in parentheses, and without names in backticks.
fn figures_and_words(text: &str) -> String {
    let outside: String = text.split('`').step_by(2).collect();
    let mut parts = outside.split(['(', ')']);
    parts.by_ref().step_by(2).collect()
}

/// Reports of programs and jobs with something wrong of every kind.
fn faulty(units: Units) -> Vec<Report> {
    let mut reports = Vec::new();
    let mut job = slot_job();
    job.units = units;
    for (from, to) in [
        ("G0 Z5.", "G0 Z2."),
        ("Z-4.700", "Z-4.900"),
        ("F1200.", "F9000."),
        ("F1200.", "F100."),
        ("X198", "X998"),
        ("G0 Z0.5", "G0 Z-3."),
        ("G0 Z0.5\nG1 Z0. F1200.", "G0 Z0.5\nG1 Z-3. F1200."),
        ("M30", ""),
    ] {
        let text = program().replace(from, to);
        reports.push(judged(&job, &text));
    }
    job.parts[0].across = mm(13.0);
    job.parts[1].below = mm(13.0);
    job.bit.stickout = mm(12.0);
    job.bit.cutting_length = mm(11.0);
    job.hinge.open_gap = Some(mm(6.0));
    job.machine.daylight = Some(mm(30.0));
    job.fixture.lid_base = Some(mm(10.0));
    job.fixture.machine_zero = Some([60.0, 10.0, -4.0].map(mm));
    job.fixture.clamps = vec![Clamp {
        name: "left clamp".to_owned(),
        min: Point::from_mm(-20.0, -40.0),
        max: Point::from_mm(19.0, 40.0),
        height: mm(2.0),
    }];
    reports.push(judged(&job, &program()));
    reports
}

#[test]
fn every_message_is_in_the_unit_that_people_read() {
    let mut figures = 0;
    for (units, other) in [(Units::Inch, " mm"), (Units::Millimetre, " in")] {
        let own = format!(" {units}");
        for report in faulty(units) {
            for check in &report.checks {
                let found = check.findings.iter().map(|finding| &finding.message);
                for message in found.chain([&check.message]) {
                    let words = figures_and_words(message);
                    let figure = |unit: &str| {
                        words.match_indices(unit).any(|(at, _)| {
                            let before = words[..at].ends_with(|last: char| last.is_ascii_digit());
                            let after = words[at + unit.len()..].chars().next();
                            before && !after.is_some_and(char::is_alphabetic)
                        })
                    };
                    assert!(!figure(other), "{}: {message}", check.id);
                    figures += usize::from(figure(&own));
                }
            }
        }
    }
    assert!(figures > 100, "{figures}");
}

// 0.4 mm are 0.0157 in.
#[test]
fn an_inch_job_reads_inches_first_and_millimetres_beside() {
    let mut job = slot_job();
    job.units = Units::Inch;
    job.parts[1].below = mm(12.0);
    let found = first(&judged(&job, &program()), CheckId::FloorLeft);
    assert!(
        found.contains("through the lid by 0.0157 in (0.40 mm)"),
        "{found}"
    );
}
