//! The checks on plates cut by hand, good ones and damaged ones.

use super::*;
use crate::geometry::{Point, RoundedRectangle, norm};
use crate::job::template::{Features, Template};
use crate::job::{PartName, Pocket};
use crate::report::{Check, Verdict};
use crate::units::Length;
use crate::verify::template::hole::Hole;
use crate::verify::template::pose::Pose;
use crate::verify::template::rolled::Rolled;
use crate::verify::template::rolling::Run;

const MATCHES: usize = 0;
const ROOM: usize = 1;
const LEFT: usize = 2;

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

/// The three checks of a plate wanted as `job` and cut as `cut`.
fn judge(job: &Job, cut: &Job) -> Vec<Check> {
    let mut tally = Tally::new();
    check(&mut tally, job, &sample::cut(cut));
    let own = CheckId::ALL
        .into_iter()
        .filter(|id| id.is_only_of_template());
    tally.into_checks(&own.collect::<Vec<_>>())
}

fn whole(job: &Job) -> Vec<Check> {
    judge(job, job)
}

fn passes(checks: &[Check]) -> bool {
    checks.iter().all(|check| check.verdict == Verdict::Pass)
}

/// What is said of a good plate cut otherwise than it asks for.
fn damaged(change: impl Fn(&mut Job)) -> String {
    let job = sample::plate(sample::wanted(0.0));
    let mut cut = job.clone();
    change(&mut cut);
    let check = judge(&job, &cut).swap_remove(MATCHES);
    assert_eq!(check.verdict, Verdict::Fail, "{}", check.message);
    check.message
}

fn features(job: &mut Job) -> &mut Features {
    &mut job.plate.as_mut().unwrap().features
}

fn template(job: &mut Job) -> &mut Template {
    job.template.as_mut().unwrap()
}

#[test]
fn a_plate_cut_as_it_is_asked_for_passes() {
    for (width, shift) in [(9.525, 0.0), (9.525, 1.5), (16.0, 0.0), (12.0, -1.5)] {
        let checks = whole(&sample::plate(sample::wanted_as(width, shift)));
        assert!(passes(&checks), "{width} {shift}: {checks:#?}");
        let said = &checks[MATCHES].message;
        assert!(said.starts_with("4 steps rolled on box and lid"), "{said}");
    }
}

#[test]
fn without_a_plate_and_in_a_part_of_one_nothing_is_judged() {
    let mut job = sample::plate(sample::wanted(0.0));
    job.selection.step = Some(1);
    let checks = whole(&job);
    assert!(checks.iter().all(|check| check.verdict == Verdict::None));
    job.plate = None;
    let mut tally = Tally::new();
    check(&mut tally, &job, &PlateMoves::default());
    assert_eq!(tally.into_checks(&CheckId::of_report(false)).len(), 28);
}

#[test]
fn an_opening_off_is_told_with_its_step_part_size_and_place() {
    let longer = |by: f64, aside: f64| {
        damaged(|cut| {
            let opening = &mut features(cut).openings[0];
            opening.length += mm(by);
            opening.center.x += aside;
        })
    };
    let long = longer(0.2, 0.1);
    assert!(
        long.contains("box, step 1: the rolled pocket is 0.20 mm"),
        "{long}"
    );
    assert!(
        long.contains("too long at the end with the greater u"),
        "{long}"
    );
    let short = longer(-0.2, 0.1);
    assert!(
        short.contains("too short at the end with the smaller u"),
        "{short}"
    );
    let aside = longer(0.0, 0.2);
    assert!(
        aside.contains("lies 0.20 mm too far towards the greater u"),
        "{aside}"
    );
    let across = damaged(|cut| features(cut).openings[0].center.y += 0.2);
    assert!(across.contains("box, step 1"), "{across}");
    assert!(across.contains("too far from the outside face"), "{across}");
    let missing = damaged(|cut| features(cut).openings.clear());
    assert!(missing.contains("nothing is cut through"), "{missing}");
}

#[test]
fn a_groove_off_puts_one_part_off() {
    let both = damaged(|cut| {
        let grooves = features(cut).grooves.iter_mut();
        for groove in grooves.filter(|groove| !groove.is_for_box) {
            groove.min.y += 0.2;
            groove.max.y += 0.2;
        }
    });
    // Further from the opening the lid's face lies, the further in the pocket.
    assert!(both.contains("lid, step 1"), "{both}");
    assert!(both.contains("lies 0.2"), "{both}");
    assert!(both.contains("too far from the outside face"), "{both}");
    let one = damaged(|cut| {
        let groove = &mut features(cut).grooves[0];
        groove.min.y -= 0.2;
        groove.max.y -= 0.2;
    });
    assert!(
        one.contains("the grooves for the box's batten are 0.20 mm out of line"),
        "{one}"
    );
    let none = damaged(|cut| features(cut).grooves.truncate(2));
    assert!(
        none.contains("a groove for the lid's batten is not cut"),
        "{none}"
    );
}

/// A pose taken wrongly: the lid laid as the box is.
#[test]
fn a_lid_groove_on_the_side_of_the_box_fails() {
    let mut job = sample::plate(sample::wanted(0.0));
    let own = features(&mut job);
    let of_box: Vec<_> = own.grooves[..2].to_vec();
    for (groove, like) in own.grooves[2..].iter_mut().zip(of_box) {
        (groove.min, groove.max) = (like.min, like.max);
    }
    let check = whole(&job).swap_remove(MATCHES);
    assert_eq!(check.verdict, Verdict::Fail);
    assert!(
        check
            .message
            .contains("the groove for the lid lies on the wrong side")
    );
}

/// A step off the middle by 1 mm cut as if u ran against X: 2 mm off.
#[test]
fn a_step_off_the_middle_to_the_wrong_hand_fails() {
    let wanted = sample::plate(sample::wanted(1.0));
    let mut job = sample::plate(sample::wanted(-1.0));
    job.plate.as_mut().unwrap().of = wanted.plate.as_ref().unwrap().of.clone();
    let check = whole(&job).swap_remove(MATCHES);
    assert_eq!(check.verdict, Verdict::Fail);
    assert!(
        check.message.contains("step 2: the rolled pocket lies 2.0"),
        "{check:?}"
    );
}

#[test]
fn an_insert_too_long_by_a_fifth_makes_its_step_too_short() {
    let message = damaged(|cut| {
        // The outer end of the piece at the smaller X, further out.
        let edges = &mut cut.parts[0].contours[0].outline;
        let mut out = |index: usize, moves: [bool; 2]| {
            use crate::job::contour::Edge;
            let by = |point: Point, moves: bool| {
                Point::from_mm(point.x - if moves { 0.2 } else { 0.0 }, point.y)
            };
            edges[index] = match edges[index] {
                Edge::Line { from, to } => Edge::Line {
                    from: by(from, moves[0]),
                    to: by(to, moves[1]),
                },
                Edge::Arc {
                    from,
                    to,
                    center,
                    bulges,
                } => Edge::Arc {
                    from: by(from, true),
                    to: by(to, true),
                    center: by(center, true),
                    bulges,
                },
            };
        };
        out(0, [true, false]);
        out(4, [false, true]);
        out(5, [true, true]);
    });
    assert!(
        message.contains("box, step 2: the rolled pocket is 0.2"),
        "{message}"
    );
    assert!(
        message.contains("too short at the end with the smaller u"),
        "{message}"
    );
    let uncut = damaged(|cut| cut.parts[0].contours[1].outline.truncate(2));
    assert!(
        uncut.contains("piece 2 of the insert of step 2 is not cut free"),
        "{uncut}"
    );
}

#[test]
fn marks_off_their_line_and_a_line_off_its_opening_fail() {
    let one = damaged(|cut| features(cut).sight_holes[0].x += 0.2);
    assert!(
        one.contains("the marks on the centre line of step 1 lie 0.20 mm from each other"),
        "{one}"
    );
    let all = damaged(|cut| {
        for index in 0..2 {
            features(cut).sight_holes[index].x += 0.2;
            cut.parts[0].ticks[index].from.x += 0.2;
            cut.parts[0].ticks[index].to.x += 0.2;
        }
    });
    assert!(
        all.contains("lies 0.20 mm too far towards the smaller u"),
        "{all}"
    );
}

/// Reference, derived: a collar off by 0.3 mm puts the pocket off by 0.3 mm, and by
/// 0.6 mm between the two ways round. The batten's side of the router is the same on both
/// parts; along, the plate is shifted.
#[test]
fn a_collar_off_its_bit_puts_both_pockets_off() {
    let off = |across: f64, along: f64| {
        let mut of = sample::wanted(0.0);
        template(&mut of).off_centre = [mm(across), mm(along)];
        let check = whole(&sample::plate(of)).swap_remove(MATCHES);
        let messages = check.findings.into_iter().map(|finding| finding.message);
        messages.collect::<Vec<_>>().join("\n")
    };
    for (across, words) in [(0.3, "too far from"), (-0.3, "too near to")] {
        let found = off(across, 0.3);
        for part in ["box", "lid"] {
            let message = format!("{part}, step 1: the rolled pocket lies 0.3");
            assert!(found.contains(&message) && found.contains(words), "{found}");
        }
        assert!(!found.contains("folded"), "{found}");
    }
    assert_eq!(off(0.03, 1.0), "");
}

/// A step rolled in an opening of its own, about (0, 0).
fn rolled(template: &Template, wanted: crate::job::Step, opening: [f64; 3]) -> Rolled {
    let [length, width, corner] = opening;
    let center = Point::from_mm(0.0, 0.0);
    let outline = RoundedRectangle::new(center, mm(length), mm(width), mm(corner));
    let swept = sample::swept(
        &sample::cleared(&outline, sample::RADIUS, 13.0),
        sample::RADIUS,
        12.0,
    );
    let hole = Hole::of(swept).unwrap();
    let run = Run {
        hole: &hole,
        pieces: Vec::new(),
        radius: template.collar.as_mm() / 2.0,
    };
    let pocket = Pocket {
        center,
        steps: vec![wanted],
        ..sample::wanted(0.0).parts[0].pockets[0].clone()
    };
    let pose = Pose::new(template, PartName::Box, 0.0, 0.0);
    Rolled::of(template, (&pocket, 0), pose, &[run]).unwrap()
}

/// Reference, a cutter maker's tips page: collar 30, bit 10, offset 10. A public
/// router forum: cut 8 by 4 in with a collar of 3/4 in and a bit of 1/4 in, opening
/// 8 1/2 by 4 1/2 in. Derived: pocket 46.82 by 9.525, bit 9.525, collar 25.4, opening 62.695
/// by 25.4 with corners of 12.7; deep step 29.52, opening 45.395.
#[test]
fn openings_of_the_reference_give_their_pockets() {
    let inch = 25.4;
    let usual = sample::template();
    let with = |collar: f64, bit: f64| {
        let mut template = usual.clone();
        template.collar = mm(collar);
        template.bit.diameter = mm(bit);
        template
    };
    let corner = |mut step: crate::job::Step, radius: f64| {
        step.corner = mm(radius);
        step
    };
    let step = |length, width| sample::step(length, width, 0.0, 5.0);
    for (template, wanted, opening) in [
        (with(30.0, 10.0), step(60.0, 30.0), [80.0, 50.0, 25.0]),
        (
            with(0.75 * inch, 0.25 * inch),
            corner(step(8.0 * inch, 4.0 * inch), 0.125 * inch),
            [8.5 * inch, 4.5 * inch, 0.375 * inch],
        ),
        (usual.clone(), step(46.82, 9.525), [62.695, 25.4, 12.7]),
        (usual.clone(), step(29.52, 9.525), [45.395, 25.4, 12.7]),
    ] {
        let found = rolled(&template, wanted, opening).worst().unwrap();
        assert!(found.beyond_told() < 0.01, "{found:?}");
        let [length, width, corner] = opening;
        let longer = rolled(&template, wanted, [length + 0.2, width, corner]);
        let miss = longer.fault().unwrap();
        assert!((miss.by - 0.1).abs() < 0.01, "{miss:?}");
    }
    let narrow = rolled(&usual, step(46.82, 9.525), [62.695, 25.2, 12.6]);
    assert!(narrow.fault().is_some());
}

/// A disc moved over a raster of the opening with its pieces, place by place: where
/// it meets no wood the bit cuts. The edge of what it cuts, square to the outline,
/// must be where the rolling says, within the raster.
#[test]
fn a_disc_moved_over_a_raster_agrees() {
    use std::f64::consts::PI;
    const CELL: f64 = 0.1;
    let job = sample::plate(sample::wanted_as(12.0, 2.0));
    let moves = sample::cut(&job);
    let traced = Traced::of(&job, &moves).unwrap();
    let (opening, insert) = traced.opening_of(2).unwrap();
    let runs = traced.runs(opening, insert);
    assert_eq!(runs.len(), 2);
    let outline = {
        let opening = &traced.plate.features.openings[0];
        RoundedRectangle::new(
            opening.center,
            opening.length,
            opening.width,
            opening.corner,
        )
    };
    // By the sample's own figures: half-width 13.9375, hollow 13.9375 about the
    // middles of the deep step's ends, horns cut off at 11.9375 from the middle line.
    let [x0, y0] = sample::MIDDLE;
    let (high, tip, end) = (13.9375, 11.9375, 14.76 - 6.0);
    let is_wood = |x: f64, y: f64| {
        let aside = y - y0 - 0.05;
        let in_piece = [-1.0, 1.0].into_iter().any(|side| {
            let along = side * (x - x0 - 2.0) - end;
            let horn = f64::sqrt(high * high - tip * tip);
            aside.abs() < high - 0.05
                && along
                    > if aside.abs() > tip {
                        horn
                    } else {
                        (high * high - aside * aside).sqrt()
                    }
        });
        in_piece || outline.signed_distance_mm(Point::from_mm(x, y)) > 0.0
    };
    let mut wood = Vec::new();
    for row in -160..=160 {
        for column in -340..=340 {
            let (x, y) = (x0 + f64::from(column) * CELL, y0 + f64::from(row) * CELL);
            let beside = [[CELL, 0.0], [-CELL, 0.0], [0.0, CELL], [0.0, -CELL]];
            let is_edge = beside.iter().any(|by| !is_wood(x + by[0], y + by[1]));
            if is_wood(x, y) && is_edge {
                wood.push([x, y]);
            }
        }
    }
    let collar = 12.7;
    let free = |x: f64, y: f64| {
        !is_wood(x, y) && wood.iter().all(|at| norm([at[0] - x, at[1] - y]) >= collar)
    };
    // The wanted way of the collar's middle: the deep step less the bit's radius.
    let inner = 6.0 - 4.7625;
    for index in 0..32 {
        let angle = 2.0 * PI * f64::from(index) / 32.0;
        let out = [angle.cos(), angle.sin()];
        let middle = x0 + 2.0 + if out[0] < 0.0 { -end } else { end };
        let from = [middle + inner * out[0], y0 + inner * out[1]];
        let mut along = 1.0;
        while along > -1.0 && !free(from[0] + along * out[0], from[1] + along * out[1]) {
            along -= 0.02;
        }
        let found = runs[1].outermost(from, out, -1.0).unwrap();
        assert!((found - along).abs() < 0.12, "{angle}: {found} {along}");
    }
}

#[test]
fn a_collar_without_room_is_refused() {
    let refused = |change: &dyn Fn(&mut Job), words: &str| {
        let mut of = sample::wanted(0.0);
        change(&mut of);
        let check = whole(&sample::plate(of)).swap_remove(ROOM);
        assert_eq!(check.verdict, Verdict::Fail, "{words}");
        assert!(
            check
                .findings
                .iter()
                .any(|found| found.message.contains(words)),
            "{check:?}"
        );
    };
    // Contract: bit 9.525 and 3 in the bore; and 6 in the outside where it is unknown.
    refused(
        &|of| template(of).collar_bore = Some(mm(12.5)),
        "the collar's bore of 12.50 mm",
    );
    refused(
        &|of| {
            template(of).collar_bore = None;
            template(of).collar = mm(15.5);
        },
        "the collar's outside of 15.50 mm",
    );
    refused(
        &|of| template(of).collar_reach = mm(11.2),
        "the collar reaches 11.20 mm",
    );
    refused(&|of| template(of).bit.diameter = mm(9.6), "step 1 is 9.5");
    refused(
        &|of| of.parts[1].pockets[0].steps[1].corner = mm(4.0),
        "step 2 has corners of 4.00 mm",
    );
    // 12.1 of plate and 12.4 of pocket.
    refused(
        &|of| template(of).bit.stickout = mm(24.4),
        "must stand 24.50 mm out of the base",
    );
    refused(
        &|of| {
            template(of).bit.cutting_length = mm(12.0);
            template(of).bit.shank = mm(9.525);
        },
        "the bit's edge 12.00 mm long",
    );
}

#[test]
fn what_just_fits_the_collar_passes() {
    let mut of = sample::wanted(0.0);
    let own = template(&mut of);
    own.collar_bore = Some(mm(12.525));
    own.collar_reach = mm(11.1);
    own.bit.stickout = mm(24.5);
    own.bit.cutting_length = mm(12.0);
    own.bit.shank = mm(6.0);
    let checks = whole(&sample::plate(of));
    assert!(passes(&checks), "{checks:#?}");
}

#[test]
fn an_opening_narrower_than_the_collar_is_refused_as_cut() {
    let job = sample::plate(sample::wanted(0.0));
    let mut cut = job.clone();
    features(&mut cut).openings[0].width = mm(25.3);
    let check = judge(&job, &cut).swap_remove(ROOM);
    assert!(
        check
            .message
            .contains("is 25.30 mm wide, narrower than the collar of 25.40 mm"),
        "{check:?}"
    );
}

#[test]
fn a_groove_that_runs_into_the_opening_leaves_less_for_the_collar() {
    let mut of = sample::wanted(0.0);
    template(&mut of).collar_reach = mm(8.0);
    let job = sample::plate(of);
    assert!(passes(&whole(&job)));
    let mut cut = job.clone();
    // By 0.9 mm: less would not be the groove any more.
    features(&mut cut).openings[0].length += mm(6.5);
    let check = judge(&job, &cut).swap_remove(ROOM);
    assert!(check.message.contains("at most 7.10 mm"), "{check:?}");
}

/// Base 150: 37.295 and 0.1 mm for the router's middle and 95 beyond it each way.
#[test]
fn a_plate_too_small_is_told_the_least_size() {
    let said = |length: f64, width: f64| {
        let mut of = sample::wanted(0.0);
        template(&mut of).plate_length = mm(length);
        template(&mut of).plate_width = mm(width);
        whole(&sample::plate(of)).swap_remove(LEFT)
    };
    let small = said(300.0, 190.0);
    assert_eq!(small.verdict, Verdict::Fail);
    assert!(
        small.message.contains("227.3 mm by 190.1 mm or more"),
        "{small:?}"
    );
    // The rim: the opening ends at Y 112.75.
    let thin = said(300.0, 127.0);
    assert!(
        thin.findings
            .iter()
            .any(|found| found.message.contains("14.2 mm of plate left")),
        "{thin:?}"
    );
    // A rim thick enough for the opening, not for the batten beside it.
    let batten = said(300.0, 126.2);
    assert!(
        batten
            .findings
            .iter()
            .any(|found| found.message.contains("runs out of the plate")),
        "{batten:?}"
    );
}

/// Derived: the wall is 18 thick and the pocket 8.26 in; 95.05 on either side of it, the
/// batten of 18 outside; along, the opening of 62.695 and 95 at both ends.
#[test]
fn the_blocks_below_the_plate_are_told() {
    let check = whole(&sample::plate(sample::wanted(0.0))).swap_remove(LEFT);
    for words in [
        "box outside, past the batten 69 mm by 253 mm",
        "box on the inner side 85 mm by 253 mm",
        "box past the stop end 69 mm by 190 mm",
        "lid outside, past the batten 69 mm by 253 mm",
    ] {
        assert!(check.message.contains(words), "{}", check.message);
    }
    assert!(
        !check.message.contains("lid on the inner side"),
        "{}",
        check.message
    );
}

#[test]
fn a_router_must_fit_between_walls_where_its_height_is_stated() {
    use crate::job::Closing;
    let said = |closing, height: Option<f64>, centre: f64| {
        let mut of = sample::wanted(0.0);
        of.closing = closing;
        // The lid closes 180 wide between the walls; the box's walls are 18.
        of.parts[0].below = mm(18.0);
        of.parts[1].below = mm(180.0);
        template(&mut of).router_height = height.map(mm);
        for part in &mut of.parts {
            part.pockets.truncate(1);
            part.pockets[0].center.x = centre;
        }
        whole(&sample::plate(of)).swap_remove(LEFT)
    };
    assert_eq!(said(Closing::Inset, None, 45.0).verdict, Verdict::Pass);
    assert_eq!(
        said(Closing::Overlay, Some(300.0), 45.0).verdict,
        Verdict::Pass
    );
    // 167.9 and 12.1 of plate just fit; 130 is 93 + 37 / 2 from the wall.
    assert_eq!(
        said(Closing::Inset, Some(167.8), 130.0).verdict,
        Verdict::Pass
    );
    let high = said(Closing::Inset, Some(168.0), 130.0);
    assert!(
        high.message.contains("router and plate are 180.1 mm high"),
        "{high:?}"
    );
    let near = said(Closing::Inset, Some(100.0), 111.0);
    assert!(
        near.message
            .contains("at hinge 1 the router's middle comes within"),
        "{near:?}"
    );
}

/// A step of its own opening whose line is not on the hinge's mark lands aside.
#[test]
fn an_opening_of_its_own_is_laid_by_its_own_line() {
    let with = |shift: f64, line: f64| {
        let mut job = sample::plate(sample::wanted(shift));
        let own = features(&mut job);
        own.inserts.clear();
        let mut second = own.openings[0];
        second.step = 2;
        second.length = mm(45.395);
        second.center.x += 84.0;
        own.openings.push(second);
        for y in [25.0, 175.0] {
            own.sight_holes
                .push(Point::from_mm(second.center.x + line, y));
        }
        // The second groove on either side stops before the second opening.
        for groove in &mut own.grooves {
            groove.min.x = groove.min.x.max(40.0);
            if groove.max.x > 200.0 {
                groove.max.x = 205.0;
            }
        }
        job.parts[0].contours.clear();
        whole(&job).swap_remove(MATCHES)
    };
    let good = with(1.5, -1.5);
    assert_eq!(good.verdict, Verdict::Pass, "{good:?}");
    let aside = with(1.5, 0.0);
    assert!(
        aside
            .message
            .contains("step 2: the rolled pocket lies 1.50 mm too far towards the smaller u"),
        "{aside:?}"
    );
}

/// A pocket of 24 by 60 with a deeper one of 14 by 36: 5 mm of ring beside it.
#[test]
fn a_ring_is_judged_by_what_is_cut_out_of_it() {
    use crate::job::contour::{Contour, of_rectangle};
    use crate::job::template::{Insert, InsertPiece};
    use crate::job::{PocketKind, Step};
    let ring = |longer: f64| {
        let mut of = sample::wanted_as(24.0, 0.0);
        for part in &mut of.parts {
            for pocket in &mut part.pockets {
                pocket.steps = vec![
                    sample::step(60.0, 24.0, 0.0, 4.7),
                    sample::step(36.0, 14.0, 0.0, 12.4),
                ];
            }
        }
        let mut job = sample::plate(of);
        let offset = 7.9375;
        let at = Point::from_mm(150.0, 240.0);
        let sized = |length: f64, width: f64, corner: f64| {
            RoundedRectangle::new(at, mm(length), mm(width), mm(corner))
        };
        // The play of 0.1 is off its width.
        let outside = sized(60.0 + 2.0 * offset, 39.875 - 0.1, 19.8);
        let inside = Step {
            length: mm(36.0 + 2.0 * offset + longer),
            width: mm(14.0 + 2.0 * offset),
            corner: mm(7.0 + offset),
            shift: mm(0.0),
            depth: mm(12.6),
        };
        job.parts[0].contours = vec![Contour {
            number: 1,
            outline: of_rectangle(&outside),
            depth: mm(11.6),
        }];
        job.parts[0].pockets = vec![Pocket {
            kind: PocketKind::Opening,
            center: at,
            steps: vec![inside],
            ..sample::wanted(0.0).parts[0].pockets[0].clone()
        }];
        let leaves = features(&mut job).openings[0];
        features(&mut job).inserts = vec![Insert {
            leaves,
            step: 2,
            pieces: vec![InsertPiece {
                contour: 1,
                min: Point::from_mm(at.x - outside.half_x, at.y - outside.half_y),
                max: Point::from_mm(at.x + outside.half_x, at.y + outside.half_y),
                end_radius: inside.corner,
                to_opening: Point::from_mm(0.0, -140.0),
            }],
        }];
        job
    };
    let good = whole(&ring(0.0));
    assert_eq!(good[MATCHES].verdict, Verdict::Pass, "{good:?}");
    assert_eq!(good[ROOM].verdict, Verdict::Pass, "{good:?}");
    let long = judge(&ring(0.0), &ring(0.4)).swap_remove(MATCHES);
    assert!(
        long.message.contains("step 2: the rolled pocket is 0.2"),
        "{long:?}"
    );
    assert!(long.message.contains("too long at the end"), "{long:?}");
}

/// The plate as the derivation and the planner make it.
#[test]
fn plates_of_the_derivation_pass() {
    let of = |steps: &[[f64; 4]], change: &dyn Fn(&mut Template)| {
        let mut job = sample::wanted(0.0);
        for part in &mut job.parts {
            for pocket in &mut part.pockets {
                pocket.center.y = 3.5 + steps[0][1] / 2.0;
                let each = steps.iter();
                pocket.steps = each
                    .map(|[length, width, shift, depth]| {
                        sample::step(*length, *width, *shift, *depth)
                    })
                    .collect();
            }
        }
        let mut own = crate::job::sample::template();
        own.bit.stickout = mm(40.0);
        change(&mut own);
        job.template = Some(own);
        job
    };
    let long = [46.82, 9.525, 0.0, 4.7];
    let wide = [46.82, 16.0, 0.0, 4.7];
    let tight = |own: &mut Template| {
        own.collar = mm(25.4);
        own.bit.diameter = mm(9.525);
    };
    let cases: [(&str, Job); 8] = [
        (
            "as wide as the bit",
            of(&[long, [29.52, 9.525, 0.0, 12.4]], &tight),
        ),
        ("ends", of(&[long, [29.52, 9.525, 0.0, 12.4]], &|_| {})),
        (
            "ends aside",
            of(&[long, [29.52, 9.525, 1.2, 12.4]], &|_| {}),
        ),
        ("wide ends", of(&[wide, [29.52, 16.0, 0.0, 12.4]], &|_| {})),
        (
            "play",
            of(&[long, [29.52, 9.525, 0.0, 12.4]], &|own| {
                own.play = mm(0.3)
            }),
        ),
        (
            "off",
            of(&[long, [29.52, 9.525, 0.0, 12.4]], &|own| {
                own.off_centre = [mm(0.3), mm(0.2)];
                own.batten_off = mm(0.15);
            }),
        ),
        (
            "ring",
            of(&[[60.0, 24.0, 0.0, 4.7], [36.0, 14.0, 0.0, 12.4]], &|own| {
                own.plate_width = mm(220.0)
            }),
        ),
        (
            "own opening",
            of(&[long, [29.52, 9.525, 0.0, 12.4]], &|own| {
                own.deep = crate::job::template::Deep::Opening;
            }),
        ),
    ];
    for (name, of) in cases {
        let plate = crate::template::job(&of).unwrap();
        let proof = crate::proof::generate(&plate).unwrap();
        let own = proof.report().checks.iter();
        for check in own.filter(|check| check.id.is_only_of_template()) {
            assert_eq!(check.verdict, Verdict::Pass, "{name}: {check:#?}");
        }
    }
}
