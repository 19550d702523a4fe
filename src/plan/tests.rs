use super::layout::Placement;
use super::testbed::{Bed, Findings, Wanted};
use super::*;
use crate::cutting::Settings;
use crate::geometry::{Point, Position, RoundedRectangle};
use crate::job::{Along, Job, Layout, PartName, Step, StopEnd, ZeroPoint, sample};
use crate::settings;
use crate::shop::bit::{BitKind, Direction, WallCare};
use crate::units::Length;

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

/// One box pocket of these steps (length, width, corner, depth) with a 6 mm bit.
fn one_pocket(kind: BitKind, steps: &[(f64, f64, f64, f64)]) -> Job {
    let mut job = sample::job();
    job.bit = sample::bit(kind, 6.0);
    job.selection.part = Some(PartName::Box);
    job.selection.hinge = Some(1);
    for part in &mut job.parts {
        for pocket in &mut part.pockets {
            pocket.steps = steps
                .iter()
                .map(|&(length, width, corner, depth)| Step {
                    length: mm(length),
                    width: mm(width),
                    corner: mm(corner),
                    shift: mm(0.0),
                    depth: mm(depth),
                })
                .collect();
        }
    }
    job
}

/// Wanted shape by the contract's table for the sample job's first box pocket
/// in book layout: X = u = 45, Y = -(12 / 2 + 3.5 + 5) = -14.5.
fn wanted(job: &Job) -> Vec<Wanted> {
    let center = Point::from_mm(45.0, -14.5);
    job.parts[0].pockets[0]
        .steps
        .iter()
        .map(|step| {
            let outline = RoundedRectangle::new(center, step.length, step.width, step.corner);
            (outline, -step.depth.as_mm())
        })
        .collect()
}

fn run(job: &Job) -> (Findings, Settings) {
    let settings = settings::for_job(job);
    let plan = super::job(job, &settings);
    let wanted = wanted(job);
    let piece = &plan.operations[0].pieces[0];
    let radius = job.bit.cutting_diameter().as_mm() / 2.0;
    let near_wall = 2f64.sqrt() * job.fit.finish.as_mm() + 0.05 + 0.15;
    let findings = Bed::new(&wanted[0].0, 0.0, radius).run(piece, &wanted, near_wall);
    (findings, settings)
}

#[track_caller]
fn assert_clean(job: &Job) {
    let (findings, settings) = run(job);
    let stepdown = settings.limits.stepdown.as_mm();
    let slope = settings.limits.ramp.as_radians().tan();
    let context = format!(
        "{:?} {findings:?} stepdown {stepdown} slope {slope}",
        job.parts[0].pockets[0].steps
    );
    // The map samples every tenth of a millimetre along the ramp.
    let sampled = 0.1 * slope + 1e-6;
    assert!(findings.bite <= stepdown + sampled, "bite: {context}");
    assert!(findings.gouge <= 1e-3, "gouge: {context}");
    assert!(findings.residual <= 1e-3, "residual: {context}");
    assert!(findings.slope <= slope + 1e-9, "slope: {context}");
    assert!(findings.rapid <= 1e-6, "rapid: {context}");
    assert!(
        findings.plunge <= 0.02 || job.bit.plunges,
        "plunge: {context}"
    );
}

#[test]
fn pockets_of_every_width_come_out_as_wanted_with_every_kind_of_bit() {
    for kind in [BitKind::SingleFlute, BitKind::UpSpiral] {
        for width in [6.0, 6.1, 6.3, 6.45, 7.8, 10.2, 24.0] {
            for length in [width, width + 0.5, width + 4.0, 40.0] {
                let mut job = one_pocket(kind, &[(length, width, width / 2.0, 5.0)]);
                // A round hole as wide as the bit has no room for a ramp.
                job.bit.plunges = length == 6.0;
                assert_clean(&job);
            }
        }
    }
}

/// By hand: one loop of radius 4.5 less 3 and the allowance of 0.2, and as much
/// way down as the ramp's angle asks of 13 mm, at most twice that.
#[test]
fn a_hole_half_again_as_wide_as_the_bit_is_gone_down_in_a_helix() {
    for kind in [BitKind::SingleFlute, BitKind::UpSpiral] {
        let job = one_pocket(kind, &[(9.0, 9.0, 4.5, 13.0)]);
        assert!(!job.bit.plunges);
        assert_clean(&job);
        let settings = settings::for_job(&job);
        let plan = super::job(&job, &settings);
        let mut at = Position::default();
        let (mut sunk, mut way) = (0.0, 0.0);
        for motion in &plan.operations[0].pieces[0].motions {
            let to = match motion {
                Motion::Note(_) => continue,
                Motion::Rapid(to) | Motion::Line { to, .. } => {
                    assert!(at.z <= to.z || to.z >= 0.0, "{motion:?}");
                    *to
                }
                Motion::Arc { to, center, .. } => {
                    if to.z < at.z {
                        let radius = center.distance(to.plan()).as_mm();
                        // Scoring runs on the outline itself.
                        let is_scoring = (radius - 1.5).abs() < 1e-9 && to.z > -0.6;
                        assert!((radius - 1.3).abs() < 1e-9 || is_scoring, "{radius}");
                        let angle = |of: &Position| (of.y - center.y).atan2(of.x - center.x);
                        let turn = angle(to) - angle(&at);
                        way += radius * turn.rem_euclid(2.0 * std::f64::consts::PI);
                        sunk += at.z - to.z;
                    }
                    *to
                }
            };
            at = to;
        }
        assert!((sunk - 13.0).abs() < 1e-9, "{sunk}");
        let least = 13.0 / settings.limits.ramp.as_radians().tan();
        assert!((least..2.0 * least).contains(&way), "{way} {least}");
    }
}

#[test]
fn pockets_with_sharp_corners_come_out_as_wanted() {
    for width in [6.3, 8.0, 13.0, 20.0] {
        for length in [width, 30.0] {
            for corner in [3.0f64, 3.1] {
                let job = one_pocket(
                    BitKind::DownSpiral,
                    &[(length, width, corner.min(width / 2.0), 5.0)],
                );
                assert_clean(&job);
            }
        }
    }
}

#[test]
fn the_deep_step_starts_from_the_floor_of_the_shallow_one() {
    for width in [6.0, 6.1, 7.8, 10.1] {
        let corner = width / 2.0;
        let job = one_pocket(
            BitKind::UpSpiral,
            &[(44.1, width, corner, 4.7), (27.1, width, corner, 12.4)],
        );
        assert_clean(&job);
        let (findings, _) = run(&job);
        assert!(findings.air < 45.0, "{findings:?}");
    }
}

#[test]
fn a_pocket_across_the_edge_comes_out_as_wanted() {
    let job = one_pocket(BitKind::SingleFlute, &[(8.0, 20.0, 4.0, 5.0)]);
    assert_clean(&job);
    let job = one_pocket(BitKind::SingleFlute, &[(6.0, 20.0, 3.0, 5.0)]);
    assert_clean(&job);
}

#[test]
fn a_step_deeper_than_the_cutting_edge_is_finished_in_slices() {
    let mut job = one_pocket(BitKind::DoubleFlute, &[(40.0, 10.0, 5.0, 14.0)]);
    job.bit.cutting_length = mm(6.0);
    assert_clean(&job);
}

/// Centres by hand from the contract's table, u = 45, v = 8.5, divider 12.
#[test]
fn pockets_lie_where_the_table_of_the_layouts_says() {
    use {Layout::*, StopEnd::*};
    let cases = [
        (Book, Left, PartName::Box, [45.0, -14.5]),
        (Book, Left, PartName::Lid, [45.0, 14.5]),
        (EndToEnd, Left, PartName::Box, [-51.0, 8.5]),
        (EndToEnd, Left, PartName::Lid, [51.0, 8.5]),
        (Book, Right, PartName::Box, [-45.0, -14.5]),
        (Book, Right, PartName::Lid, [-45.0, 14.5]),
        (EndToEnd, Right, PartName::Box, [51.0, 8.5]),
        (EndToEnd, Right, PartName::Lid, [-51.0, 8.5]),
    ];
    for (layout, stop_end, name, [x, y]) in cases {
        let mut job = sample::job();
        job.fixture.layout = layout;
        job.fixture.stop_end = stop_end;
        let part = job.part(name).expect("a part").clone();
        let part = &part;
        let placement = Placement::of(&job, part, None);
        let at = placement.point(part.pockets[0].center);
        assert_eq!((at.x, at.y), (x, y), "{layout:?} {stop_end:?} {name}");
        // A quarter turn: X, Y become -Y, X, and length lies along Y.
        job.fixture.along = Along::Y;
        let placement = Placement::of(&job, part, None);
        let step = &part.pockets[0].steps[0];
        let outline = placement.outline(&part.pockets[0], step);
        assert_eq!(outline.center, Point::from_mm(-y, x));
        assert_eq!([outline.half_x, outline.half_y], [5.05, 22.05]);
    }
}

/// By hand: the box's own zero lies half the divider of 12 from the shared one,
/// the lid's on the other side.
#[test]
fn a_frames_zero_lies_at_its_parts_corner() {
    use {Layout::*, StopEnd::*};
    for (layout, stop_end, body, lid) in [
        (Book, Left, [0.0, -6.0], [0.0, 6.0]),
        (Book, Right, [0.0, -6.0], [0.0, 6.0]),
        (EndToEnd, Left, [-6.0, 0.0], [6.0, 0.0]),
        (EndToEnd, Right, [6.0, 0.0], [-6.0, 0.0]),
    ] {
        let mut job = sample::job();
        job.fixture.layout = layout;
        job.fixture.stop_end = stop_end;
        for (frame, own) in [(Frame::G54, body), (Frame::G55, lid)] {
            let at = |job: &Job| {
                let Point { x, y } = origin(job, frame);
                [x, y]
            };
            assert_eq!(at(&job), [0.0, 0.0]);
            job.fixture.zero = ZeroPoint::Each;
            assert_eq!(at(&job), own, "{layout:?} {stop_end:?} {frame:?}");
            job.fixture.along = Along::Y;
            assert_eq!(at(&job), [-own[1], own[0]]);
            job.fixture.along = Along::X;
            job.fixture.zero = ZeroPoint::Shared;
        }
    }
}

#[test]
fn with_a_zero_for_each_part_the_divider_counts_nothing() {
    let mut job = sample::job();
    job.fixture.zero = ZeroPoint::Each;
    job.fixture.lid_rise = mm(3.0);
    let lid = Placement::of(&job, job.part(PartName::Lid).expect("a lid"), None);
    let at = lid.point(job.parts[1].pockets[0].center);
    assert_eq!((at.x, at.y), (45.0, 8.5));
    assert_eq!((lid.frame, lid.top), (Frame::G55, 0.0));
    // Safe height 3 + 5 above the box's face is 5 above the lid's.
    assert!((lid.safe - 5.0).abs() < 1e-9);
    let shelf = Placement::of(&job, job.part(PartName::Box).expect("a box"), None);
    assert!((shelf.safe - 8.0).abs() < 1e-9);
}

/// Counter-clockwise along the wall inside a pocket has the wood on the
/// right-hand side of a bit that turns clockwise: climb.
#[test]
fn the_finishing_pass_climbs_in_both_parts_whichever_way_they_lie() {
    for layout in [Layout::Book, Layout::EndToEnd] {
        for stop_end in [StopEnd::Left, StopEnd::Right] {
            let mut job = sample::job();
            job.fixture.layout = layout;
            job.fixture.stop_end = stop_end;
            assert_climbs(&job);
            job.fixture.along = Along::Y;
            assert_climbs(&job);
        }
    }
}

#[track_caller]
fn assert_climbs(job: &Job) {
    let plan = super::job(job, &settings::for_job(job));
    assert_eq!(plan.operations[0].pieces.len(), 4);
    for piece in &plan.operations[0].pieces {
        let mut area = 0.0;
        let mut at = Point::default();
        for motion in &piece.motions {
            let (to, finish) = match motion {
                Motion::Note(_) => continue,
                Motion::Rapid(to) => (*to, false),
                Motion::Line { to, pace } | Motion::Arc { to, pace, .. } => {
                    (*to, *pace == Pace::Finish)
                }
            };
            if finish {
                area += (at.x * to.y - to.x * at.y) / 2.0;
            }
            at = to.plan();
        }
        assert!(area > 0.0, "{} {area}", piece.part);
    }
}

#[test]
fn a_selected_step_is_cut_alone() {
    let mut job = sample::job();
    job.selection.hinge = Some(2);
    job.selection.step = Some(2);
    let plan = super::job(&job, &settings::for_job(&job));
    assert_eq!(plan.operations[0].pieces.len(), 2);
    for piece in &plan.operations[0].pieces {
        let notes: Vec<_> = piece
            .motions
            .iter()
            .filter_map(|motion| match motion {
                Motion::Note(words) => Some(words.as_str()),
                _ => None,
            })
            .collect();
        assert!(notes.iter().any(|words| words.ends_with("step 2")));
        assert!(!notes.iter().any(|words| words.ends_with("step 1")));
    }
}

#[test]
fn a_slot_keeps_cutting_wood_all_the_way_down() {
    let job = one_pocket(BitKind::DoubleFlute, &[(48.0, 6.0, 3.0, 8.0)]);
    let (findings, _) = run(&job);
    assert!(findings.air < 60.0, "{findings:?}");
}

#[test]
fn every_care_for_the_wall_leaves_the_wanted_pocket() {
    for width in [6.1, 6.3, 10.1] {
        for direction in [Direction::Climb, Direction::Conventional] {
            let mut job = one_pocket(BitKind::DownSpiral, &[(40.0, width, width / 2.0, 5.0)]);
            job.bit.wall_care = WallCare {
                score: Some(true),
                direction,
                second_finish: true,
                spring_pass: true,
            };
            assert_clean(&job);
        }
    }
}

#[test]
fn the_rack_says_whether_the_rim_is_scored() {
    let mut job = one_pocket(BitKind::UpSpiral, &[(40.0, 10.0, 5.0, 5.0)]);
    let cut = |job: &Job| run(job).0.cut;
    let scored = cut(&job);
    job.bit.wall_care.score = Some(false);
    // The lap on the final outline is two legs of 30 and a circle of radius 2.
    assert!(scored - cut(&job) > 60.0);
}

#[test]
fn a_conventional_finish_goes_round_clockwise() {
    let mut job = one_pocket(BitKind::DownSpiral, &[(40.0, 10.0, 5.0, 5.0)]);
    job.bit.wall_care.direction = Direction::Conventional;
    let plan = super::job(&job, &settings::for_job(&job));
    let turns: Vec<_> = plan.operations[0].pieces[0]
        .motions
        .iter()
        .filter_map(|motion| match motion {
            // The round ends; what leads off the roughing and onto it again is wider.
            Motion::Arc {
                to,
                center,
                turn,
                pace,
            } if *pace == Pace::Finish && to.plan().distance(*center) < mm(3.0) => Some(*turn),
            _ => None,
        })
        .collect();
    assert_eq!(turns, [Turn::Clockwise; 2]);
}

/// 6.12 mm wide: the roughing ends at an end of the centre line, where the
/// straight walls begin, and there the finishing pass begins too.
#[test]
fn a_pocket_hardly_wider_than_the_bit_is_finished_from_where_the_bit_stands() {
    for kind in [BitKind::SingleFlute, BitKind::UpSpiral] {
        for direction in [Direction::Climb, Direction::Conventional] {
            let mut job = one_pocket(kind, &[(40.0, 6.12, 3.06, 7.0)]);
            job.bit.wall_care.direction = direction;
            assert_clean(&job);
            let plan = super::job(&job, &settings::for_job(&job));
            let ends =
                plan.operations[0].pieces[0]
                    .motions
                    .iter()
                    .filter_map(|motion| match motion {
                        Motion::Line { to, pace } | Motion::Arc { to, pace, .. } => {
                            Some((*to, *pace))
                        }
                        _ => None,
                    });
            let ends: Vec<_> = ends.collect();
            // The scoring lap is at the finishing pace too.
            let begin = ends
                .windows(2)
                .rposition(|pair| pair[0].1 == Pace::Rough && pair[1].1 == Pace::Finish)
                .map(|index| ends[index].0.plan())
                .expect("a finishing pass");
            // Half of 40 less 6.12 mm from the middle.
            let way = (16.94 - (begin.x - 45.0).abs()).abs();
            let most = match direction {
                Direction::Climb => 0.1,
                // It begins where the other direction has run over its beginning.
                Direction::Conventional => 1.5,
            };
            assert!(way < most, "{kind:?} {direction:?}: {way}");
        }
    }
}

/// By hand, a lid of 260 with its second hinge at 215: 215 - 150; 90 - (260 - 215),
/// and the mirror image with the stop on the right. Only at a mark stand blocks.
#[test]
fn a_position_is_laid_by_its_mark_or_its_far_stop() {
    use crate::job::position::{Located, Position};
    let mut job = sample::job();
    let mark = Located::Mark(mm(150.0));
    let far = Located::FarStop(mm(90.0));
    for (located, end, x, safe) in [
        (Located::Stop, StopEnd::Left, 215.0, 5.0),
        (mark, StopEnd::Left, 65.0, 25.0),
        (mark, StopEnd::Right, -65.0, 25.0),
        (far, StopEnd::Left, 45.0, 5.0),
        (far, StopEnd::Right, -45.0, 5.0),
    ] {
        job.fixture.stop_end = end;
        let position = Position {
            number: 1,
            hinges: vec![2],
            located,
            box_u: mm(0.0),
            lid_u: mm(0.0),
        };
        job.fixture.positions = vec![position.clone()];
        let lid = job.part(PartName::Lid).expect("a lid");
        let placement = Placement::of(&job, lid, Some(&position));
        let at = placement.point(lid.pockets[1].center);
        assert_eq!([at.x, at.y], [x, 14.5], "{located:?} {end}");
        assert_eq!(placement.safe, safe);
        let plan = super::job(&job, &settings::for_job(&job));
        assert_eq!(plan.operations.len(), 1);
        assert_eq!(plan.operations[0].position, Some(1));
        assert_eq!(plan.operations[0].pieces.len(), 2);
    }
}

/// Where each piece's last finishing pass begins, and in which part.
fn finishing_begins(job: &Job) -> Vec<(PartName, Point)> {
    let plan = super::job(job, &settings::for_job(job));
    let begin = |piece: &Piece| {
        let mut at = Point::default();
        let mut pace = Pace::Finish;
        let mut begin = None;
        for motion in &piece.motions {
            if let Motion::Line { to, pace: now } | Motion::Arc { to, pace: now, .. } = motion {
                if pace == Pace::Rough && *now == Pace::Finish {
                    begin = Some(at);
                }
                (at, pace) = (to.plan(), *now);
            }
        }
        (piece.part, begin.expect("a finishing pass"))
    };
    plan.operations[0].pieces.iter().map(begin).collect()
}

/// In book layout the box's pockets lie at Y = -14.5 and the lid's at 14.5, their
/// show faces at the divider between them: away from it is the thick side.
#[test]
fn the_finishing_pass_begins_away_from_the_show_face() {
    let job = sample::job();
    for (part, begin) in finishing_begins(&job) {
        match part {
            PartName::Box => assert!(begin.y < -14.5, "{begin:?}"),
            _ => assert!(begin.y > 14.5, "{begin:?}"),
        }
    }
}

/// A tenth of the least chip of a fresh edge, 8 um x pi, is 0.0025 mm.
#[test]
fn a_hair_is_no_finishing_pass() {
    for (finish, passes) in [(0.2, true), (0.003, true), (0.002, false), (0.0, false)] {
        let mut job = one_pocket(BitKind::DownSpiral, &[(40.0, 10.0, 5.0, 5.0)]);
        job.fit.finish = mm(finish);
        assert_clean(&job);
        let plan = super::job(&job, &settings::for_job(&job));
        let is_finish = |motion: &Motion| matches!(motion, Motion::Line { pace, .. } | Motion::Arc { pace, .. } if *pace == Pace::Finish);
        let motions = &plan.operations[0].pieces[0].motions;
        assert_eq!(motions.iter().any(is_finish), passes, "{finish}");
    }
}

#[test]
fn a_rapid_stops_two_millimetres_above_a_face_that_may_be_cupped() {
    let job = sample::job();
    let plan = super::job(&job, &settings::for_job(&job));
    for piece in &plan.operations[0].pieces {
        let lowest = piece.motions.iter().find_map(|motion| match motion {
            Motion::Rapid(to) if to.z < piece.safe - 1e-9 => Some(to.z),
            _ => None,
        });
        assert_eq!(lowest, Some(2.0));
    }
}

#[test]
fn wide_pockets_are_cut_at_the_spacing_that_the_model_names() {
    use super::cutter::Cutter;
    let mut job = one_pocket(BitKind::DoubleFlute, &[(60.0, 40.0, 6.0, 4.0)]);
    for stepover in [None, Some(0.3)] {
        job.bit.stepover = stepover;
        let settings = settings::for_job(&job);
        let spacing = Cutter::new(&job, &settings).spacing;
        assert!((spacing - 6.0 * settings.limits.stepover).abs() < 1e-9);
        assert_clean(&job);
    }
    assert_eq!(settings::for_job(&job).limits.stepover, 0.3);
}

/// Round a leaf and the body under it: nowhere between the first lap and the last does
/// the path turn a corner, but for what stands between the two steps.
#[test]
fn score_descent_and_finishing_go_over_into_each_other() {
    let job = one_pocket(BitKind::UpSpiral, &[(44.1, 10.1, 5.05, 4.7)]);
    let plan = super::job(&job, &settings::for_job(&job));
    let mut at = Position::default();
    let mut last: Option<[f64; 2]> = None;
    for motion in &plan.operations[0].pieces[0].motions {
        let (to, ways) = match motion {
            Motion::Note(_) => continue,
            Motion::Rapid(to) => (*to, None),
            Motion::Line { to, .. } => {
                let angle = (to.y - at.y).atan2(to.x - at.x);
                let is_level = (to.x - at.x).hypot(to.y - at.y) > 1e-6;
                (*to, is_level.then_some([angle, angle]))
            }
            Motion::Arc {
                to, center, turn, ..
            } => {
                let way = |of: &Position| {
                    (of.y - center.y).atan2(of.x - center.x)
                        + turn.sign() * std::f64::consts::FRAC_PI_2
                };
                (*to, Some([way(&at), way(to)]))
            }
        };
        if let (Some(last), Some(now)) = (last, ways) {
            let turned = (now[0] - last[1]).sin().abs();
            assert!(turned < 1e-6, "{motion:?} from {at:?}: {turned}");
        }
        last = ways;
        at = to;
    }
}
