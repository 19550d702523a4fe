//! Wood left, by hand; told by the whole judge.

use super::*;
use crate::job::{Hole, PartName, ScrewInWood, sample};
use crate::report::{Check, Verdict};
use crate::settings;
use crate::shop::wood::Family;
use crate::verify::Judge;

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

/// A check where no program was heard.
fn judged(job: &Job, id: CheckId) -> Check {
    let settings = settings::for_job(job);
    let report = Judge::new(job, &settings).finish().report;
    report.check(id).unwrap().clone()
}

fn verdict(job: &Job, id: CheckId) -> Verdict {
    judged(job, id).verdict
}

/// Source: handbook row W52, setback 4, width 9.5, part 19.05 mm: 5.55 mm inside.
#[test]
fn wood_left_is_what_the_handbook_says() {
    let mut job = sample::job();
    let part = &mut job.parts[0];
    part.across = mm(19.05);
    let pocket = &mut part.pockets[0];
    pocket.center = Point::from_mm(45.0, 4.0 + 9.5 / 2.0);
    for step in &mut pocket.steps {
        step.width = mm(9.5);
    }
    let left = wood_left(&job.parts[0], &job.parts[0].pockets[0]);
    assert!((left.outside.as_mm() - 4.0).abs() < 1e-9);
    assert!((left.inside.as_mm() - 5.55).abs() < 1e-9);
    assert!((left.below.as_mm() - (90.0 - 12.4)).abs() < 1e-9);
    assert!((left.end.as_mm() - (45.0 - 22.05)).abs() < 1e-9);
}

#[test]
fn thin_walls_warn_and_thinner_ones_fail() {
    let mut job = sample::job();
    assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Pass);
    job.parts[0].across = mm(3.45 + 10.1 + 2.0);
    assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Warn);
    job.parts[0].across = mm(3.45 + 10.1 + 0.9);
    assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Fail);
}

#[test]
fn thin_floors_warn_and_thinner_ones_fail() {
    let mut job = sample::job();
    assert_eq!(verdict(&job, CheckId::FloorLeft), Verdict::Pass);
    job.parts[1].below = mm(14.0);
    assert_eq!(verdict(&job, CheckId::FloorLeft), Verdict::Warn);
    job.parts[1].below = mm(12.0);
    assert_eq!(verdict(&job, CheckId::FloorLeft), Verdict::Fail);
}

/// A plate 12.1 mm thick over a board that may be cut 0.5 mm deep.
fn plate(depth: f64) -> Job {
    let mut job = sample::job();
    let mut part = job.parts.remove(1);
    part.name = PartName::Plate;
    part.below = mm(12.1);
    part.board_below = Some(mm(0.5));
    part.pockets.truncate(1);
    part.pockets[0].kind = PocketKind::Opening;
    part.pockets[0].steps.truncate(1);
    part.pockets[0].steps[0].depth = mm(depth);
    job.fixture.layout = crate::job::Layout::Scrap;
    job.parts = vec![part];
    job
}

#[test]
fn what_is_cut_through_on_purpose_ends_in_the_board_below() {
    let found = |depth| findings(&plate(depth), CheckId::FloorLeft)[0].clone();
    for depth in [12.11, 12.6] {
        assert_eq!(found(depth), "nothing is cut that wants wood left under it");
    }
    assert_eq!(
        found(12.8),
        "plate opening 1 goes deeper into the board below than it may by 0.20 mm; cut it less deep"
    );
    // A groove keeps its floor as everywhere.
    assert_eq!(
        found(11.6),
        "0.50 mm of wood left under plate opening 1, at least 1 mm; \
         take a thicker plate or cut it less deep"
    );
    let mut job = plate(12.6);
    job.parts[0].board_below = None;
    finds(
        &job,
        CheckId::FloorLeft,
        "plate opening 1 cuts through the plate by 0.50 mm",
    );
}

/// An opening of 44.1 mm about 45 ends at 67.05.
#[test]
fn a_plates_lines_run_to_its_sight_holes_and_openings_keep_apart() {
    let mut job = plate(12.6);
    let mut hole = job.parts[0].pockets[0].clone();
    hole.hinge = 2;
    hole.kind = PocketKind::SightHole;
    hole.center.x = 67.05 + 3.0 + 0.4;
    (hole.steps[0].length, hole.steps[0].width) = (mm(6.0), mm(6.0));
    job.parts[0].pockets.push(hole);
    finds(
        &job,
        CheckId::WallLeft,
        "0.40 mm of wood left between neighbouring cuts of the plate at opening 1, \
         at least 1 mm; take a larger plate",
    );
    job.parts[0].pockets[1].center.x = 75.0;
    let line = crate::job::Tick {
        from: Point::from_mm(75.0, 8.5),
        to: Point::from_mm(90.0, 8.5),
        depth: mm(0.5),
    };
    job.parts[0].ticks.push(line);
    assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Pass);
}

/// The end piece reaches from X 17.3 to 53.16 and Y 17.3 to 42.7, in scrap of 100 × 60 × 12.
#[test]
fn a_piece_keeps_whole_and_the_waste_beside_it_does_not_matter() {
    let job = sample::plug_job();
    for id in [CheckId::WallLeft, CheckId::FloorLeft] {
        assert_eq!(verdict(&job, id), Verdict::Pass);
    }
    let with = |change: &dyn Fn(&mut Part)| {
        let mut job = job.clone();
        change(&mut job.parts[0]);
        job
    };
    let deep = with(&|part| part.contours[0].depth = mm(12.2));
    let words = "the kerf round scrap piece 1 is cut too deep by 0.20 mm";
    finds(&deep, CheckId::FloorLeft, words);
    let edge = with(&|part| part.across = mm(42.2));
    let words = "scrap piece 1 reaches past the edge of the scrap by 0.50 mm";
    finds(&edge, CheckId::WallLeft, words);
    let beside = |apart: f64| {
        with(&|part| {
            let mut other = part.contours[0].clone();
            other.number = 2;
            other.outline = sample::end_piece(30.0, 30.0 + 25.4 + apart);
            part.contours.push(other);
            part.across = mm(90.0);
        })
    };
    assert_eq!(verdict(&beside(6.2), CheckId::WallLeft), Verdict::Pass);
    let words = "the kerf round scrap piece 1 comes into piece 2 by 0.70 mm";
    finds(&beside(5.5), CheckId::WallLeft, words);
    // A pocket 6 mm wide on the piece, its end 1.4 mm from the outer end.
    let pocket = |u: f64| {
        let mut job = job.clone();
        let mut pocket = sample::job().parts[1].pockets[0].clone();
        pocket.center = Point::from_mm(u, 30.0);
        pocket.steps.truncate(1);
        let step = &mut pocket.steps[0];
        (step.length, step.width, step.corner) = (mm(10.0), mm(6.0), mm(3.0));
        job.parts[0].pockets.push(pocket);
        job
    };
    assert_eq!(verdict(&pocket(30.0), CheckId::WallLeft), Verdict::Pass);
    let words = "mm of wood left between pocket 1 and the outside of scrap piece 1";
    finds(&pocket(22.8), CheckId::WallLeft, words);
    let words = "pocket 1 comes into scrap piece 1 by";
    finds(&pocket(15.0), CheckId::WallLeft, words);
}

#[test]
fn neighbours_too_close_fail() {
    let mut job = sample::job();
    for part in &mut job.parts {
        part.pockets[1].center.x = 45.0 + 44.1 + 0.5;
    }
    assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Fail);
}

fn screw(u: f64, v: f64) -> ScrewInWood {
    ScrewInWood {
        center: Point::from_mm(u, v),
        diameter: mm(3.17),
        root: mm(2.1),
        length: mm(12.0),
        from: mm(4.7),
        tip: mm(12.2),
    }
}

#[test]
fn a_screw_through_the_face_or_into_the_deep_step_fails() {
    let mut job = sample::job();
    // 20 mm along: 20 - 13.55 - 1.585 = 4.9 mm from the deep step.
    job.parts[1].pockets[0].screws = vec![screw(65.0, 8.5)];
    assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Pass);
    // 15.5 mm along: 0.37 mm.
    job.parts[1].pockets[0].screws = vec![screw(60.5, 8.5)];
    assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Fail);
    job.parts[1].pockets[0].screws = vec![screw(65.0, 8.5)];
    job.parts[1].below = mm(13.0);
    assert_eq!(verdict(&job, CheckId::FloorLeft), Verdict::Fail);
}

/// Hardwood: 90 % of a root of 2.1 mm is 1.9 mm.
#[test]
fn a_lead_hole_of_the_wrong_size_only_warns() {
    let mut job = sample::job();
    let hole = |diameter: f64| Hole {
        center: Point::from_mm(65.0, 8.5),
        diameter: mm(diameter),
        from: mm(4.7),
        tip: mm(13.7),
        point_height: mm(0.6),
    };
    job.parts[1].pockets[0].screws = vec![screw(65.0, 8.5)];
    job.parts[1].pockets[0].holes = vec![hole(2.0)];
    assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Pass);
    job.parts[1].pockets[0].holes = vec![hole(3.0)];
    assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Warn);
}

#[test]
fn leaves_too_far_apart_warn() {
    let mut job = sample::job();
    assert_eq!(verdict(&job, CheckId::Opening), Verdict::None);
    job.hinge.open_gap = Some(mm(7.0));
    assert_eq!(verdict(&job, CheckId::Opening), Verdict::Pass);
    job.hinge.overhang_or_drop = mm(0.5);
    assert_eq!(verdict(&job, CheckId::Opening), Verdict::Warn);
}

#[test]
fn a_partial_run_judges_only_what_it_cuts() {
    let mut job = sample::job();
    job.parts[1].below = mm(12.0);
    job.selection.part = Some(PartName::Box);
    assert_eq!(verdict(&job, CheckId::FloorLeft), Verdict::Pass);
}

fn findings(job: &Job, id: CheckId) -> Vec<String> {
    let check = judged(job, id);
    if check.findings.is_empty() {
        return vec![check.message];
    }
    check
        .findings
        .into_iter()
        .map(|found| found.message)
        .collect()
}

#[track_caller]
fn finds(job: &Job, id: CheckId, words: &str) {
    let found = findings(job, id);
    assert!(
        found.iter().any(|message| message.contains(words)),
        "{found:?}"
    );
}

#[test]
fn what_passes_says_the_least_wood_there_is() {
    let job = sample::job();
    assert_eq!(
        findings(&job, CheckId::WallLeft),
        ["at least 3.45 mm of wood beside every pocket, wanted 3 mm"]
    );
    assert_eq!(
        findings(&job, CheckId::FloorLeft),
        ["at least 5.60 mm of wood under every pocket, wanted 3 mm"]
    );
}

#[test]
fn as_much_wood_as_wanted_is_enough() {
    let mut job = sample::job();
    for (inside, expected) in [
        (3.0, Verdict::Pass),
        (2.999, Verdict::Warn),
        (1.0, Verdict::Warn),
        (0.999, Verdict::Fail),
    ] {
        job.parts[0].across = mm(3.45 + 10.1 + inside);
        assert_eq!(verdict(&job, CheckId::WallLeft), expected, "{inside}");
    }
    finds(
        &job,
        CheckId::WallLeft,
        "1.00 mm of wood left to the inside face at box pocket 1",
    );
}

/// Half of a screw's 3.17 mm and 1.5 mm of wood are 3.085 mm.
#[test]
fn screws_and_holes_keep_from_faces_ends_and_floors() {
    let mut job = sample::job();
    for (u, v) in [
        (65.0, 3.085),
        (65.0, 180.0 - 3.085),
        (3.085, 40.0),
        (260.0 - 3.085, 40.0),
    ] {
        job.parts[1].pockets[0].screws = vec![screw(u, v)];
        finds(
            &job,
            CheckId::WallLeft,
            "1.50 mm of wood left beside a screw of lid pocket 1",
        );
    }
    job.parts[1].pockets[0].screws = vec![screw(60.5, 8.5)];
    finds(
        &job,
        CheckId::WallLeft,
        "0.37 mm of wood left between a screw and the deeper step of lid pocket 1",
    );
    job.parts[1].pockets[0].screws = vec![screw(65.0, 8.5)];
    job.parts[1].below = mm(14.0);
    finds(
        &job,
        CheckId::FloorLeft,
        "1.80 mm of wood left under a screw tip of lid pocket 1",
    );
    job.parts[1].pockets[0].holes = vec![hole(2.0)];
    finds(
        &job,
        CheckId::FloorLeft,
        "0.30 mm of wood left under a screw hole of lid pocket 1",
    );
}

fn hole(diameter: f64) -> Hole {
    Hole {
        center: Point::from_mm(65.0, 8.5),
        diameter: mm(diameter),
        from: mm(4.7),
        tip: mm(13.7),
        point_height: mm(0.6),
    }
}

/// A root of 2.1 mm wants 1.47 mm in softwood and 1.89 mm in all else, 0.42 mm more or less.
#[test]
fn lead_holes_follow_the_root_and_the_wood() {
    let mut job = sample::job();
    for (family, least, most) in [
        (Family::Softwood, 1.05, 1.89),
        (Family::Hardwood, 1.47, 2.31),
        (Family::Plywood, 1.47, 2.31),
        (Family::Fibreboard, 1.47, 2.31),
    ] {
        job.parts[1].wood.family = family;
        job.parts[1].pockets[0].screws = vec![screw(65.0, 8.5)];
        for (diameter, expected) in [
            (least - 0.01, Verdict::Warn),
            (least + 0.01, Verdict::Pass),
            (most - 0.01, Verdict::Pass),
            (most + 0.01, Verdict::Warn),
        ] {
            job.parts[1].pockets[0].holes = vec![hole(diameter)];
            assert_eq!(verdict(&job, CheckId::WallLeft), expected, "{diameter}");
        }
    }
    // A hole elsewhere is no lead hole of this screw.
    job.parts[1].pockets[0].holes[0].center.y += 0.02;
    assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Pass);
}

#[test]
fn neighbours_are_measured_rectangle_to_rectangle() {
    let mut job = sample::job();
    for part in &mut job.parts {
        part.pockets[1].center.x = 45.0 + 44.1 + 1.5;
    }
    let words = "1.50 mm of wood left between neighbouring cuts of the lid at hinge 1";
    finds(&job, CheckId::WallLeft, words);
    // 1.2 mm along and 1.6 mm across.
    for part in &mut job.parts {
        part.pockets[1].center.x = 45.0 + 44.1 + 1.2;
        part.pockets[1].center.y = 8.5 + 10.1 + 1.6;
    }
    let words = "2.00 mm of wood left between neighbouring cuts of the lid at hinge 1";
    finds(&job, CheckId::WallLeft, words);
}

#[test]
fn the_opening_is_twice_the_setback_and_the_overhang() {
    let mut job = sample::job();
    job.hinge.overhang_or_drop = mm(0.5);
    job.hinge.open_gap = Some(mm(7.5));
    assert_eq!(
        findings(&job, CheckId::Opening),
        ["the leaves stand 7.50 mm apart of 7.50 mm that open flat"]
    );
    job.hinge.open_gap = Some(mm(7.49));
    finds(&job, CheckId::Opening, "the leaves stand 7.50 mm apart");
    assert_eq!(verdict(&job, CheckId::Opening), Verdict::Warn);
}

/// The far end at 260 is the nearer: 260 - 225 - 2 - 22.05; at the near
/// one a shift of -2 counts: 45 - 2 - 22.05.
#[test]
fn wood_at_the_end_is_from_the_shifted_step_to_the_nearer_end() {
    let mut job = sample::job();
    let pocket = &mut job.parts[0].pockets[1];
    pocket.center.x = 225.0;
    pocket.steps[0].shift = mm(2.0);
    let left = wood_left(&job.parts[0], &job.parts[0].pockets[1]);
    assert!((left.end.as_mm() - 10.95).abs() < 1e-9);
    job.parts[0].pockets[0].steps[0].shift = mm(-2.0);
    let left = wood_left(&job.parts[0], &job.parts[0].pockets[0]);
    assert!((left.end.as_mm() - 20.95).abs() < 1e-9);
}

#[test]
fn no_wood_at_all_is_not_yet_a_way_through() {
    let mut job = sample::job();
    job.parts[1].below = mm(12.4);
    finds(
        &job,
        CheckId::FloorLeft,
        "0.00 mm of wood left under lid pocket 1, at least 1 mm",
    );
    job.parts[1].below = mm(12.39);
    finds(
        &job,
        CheckId::FloorLeft,
        "lid pocket 1 cuts through the lid by 0.01 mm",
    );
}

/// Half of a drill's 3 mm and 1.5 mm of wood are 3 mm; the deeper step,
/// shifted by 2 mm, ends at 45 + 2 + 13.55 = 60.55.
#[test]
fn a_hole_without_a_screw_keeps_from_faces_and_the_deeper_step_too() {
    let mut job = sample::job();
    job.parts[1].pockets[0].steps[1].shift = mm(2.0);
    let mut at = |u: f64, v: f64, words: &str| {
        job.parts[1].pockets[0].holes = vec![Hole {
            center: Point::from_mm(u, v),
            ..hole(3.0)
        }];
        finds(&job, CheckId::WallLeft, words);
    };
    let beside = "1.50 mm of wood left beside a screw hole of lid pocket 1";
    at(66.0, 3.0, beside);
    at(3.0, 40.0, beside);
    let between = "0.95 mm of wood left between a screw hole and the deeper step";
    at(63.0, 8.5, between);
}

/// A hole that starts on the deeper step's floor has no deeper step beside it.
#[test]
fn a_hole_in_the_deepest_step_has_no_wall_to_it() {
    let mut job = sample::job();
    job.parts[1].pockets[0].holes = vec![Hole {
        center: Point::from_mm(45.0, 8.5),
        from: mm(12.4),
        tip: mm(14.0),
        ..hole(3.0)
    }];
    assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Pass);
}

/// Near the zero of X, where the one end is many times the other.
#[test]
fn neighbours_are_told_by_their_distance_wherever_they_lie() {
    let scene = Scene::new(&sample::job());
    let gap = |end: f64, begin: f64| {
        let mut sites = [scene.sites[2].clone(), scene.sites[3].clone()];
        (sites[0].min[0], sites[0].max[0]) = (end - 40.0, end);
        (sites[1].min[0], sites[1].max[0]) = (begin, begin + 40.0);
        let mut judgement = Judgement::default();
        neighbours(
            &mut judgement,
            3.0,
            &scene.boards[1],
            &sites[0],
            &sites[1..],
        );
        let places = judgement.sorted();
        places.first().map_or(f64::INFINITY, |place| place.left)
    };
    assert_eq!(gap(0.5, 2.0), 1.5);
    assert_eq!(gap(-2.0, -0.5), 1.5);
    // As much as is wanted is not looked at.
    assert_eq!(gap(0.5, 3.5), f64::INFINITY);
    assert_eq!(gap(60.0, 63.25), f64::INFINITY);
}
