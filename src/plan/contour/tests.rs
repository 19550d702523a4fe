use std::f64::consts::PI;

use crate::geometry::{Point, Position, RoundedRectangle};
use crate::job::contour::{Contour, Edge, of_rectangle};
use crate::job::{Job, Layout, PartName, sample};
use crate::plan::testbed::Bed;
use crate::plan::{Motion, Pace, Piece, Turn, job as plan};
use crate::settings;
use crate::shop::bit::{BitKind, Direction, WallCare};
use crate::units::Length;

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

fn at(x: f64, y: f64) -> Point {
    Point::from_mm(x, y)
}

fn rectangle(length: f64, width: f64, corner: f64) -> Vec<Edge> {
    of_rectangle(&RoundedRectangle::new(
        at(40.0, 30.0),
        mm(length),
        mm(width),
        mm(corner),
    ))
}

/// An end piece: 25.4 mm wide, half round on the left, hollow on the right by the
/// same radius about (50, 20), whose horns end where they are 2 mm thick: there
/// 12.7² - 10.7² = 6.841².
fn end_piece() -> Vec<Edge> {
    let horn = 50.0 - (12.7f64 * 12.7 - 10.7 * 10.7).sqrt();
    let line = |from, to| Edge::Line { from, to };
    let arc = |from, to, center, bulges| Edge::Arc {
        from,
        to,
        center,
        bulges,
    };
    vec![
        line(at(20.0, 7.3), at(horn, 7.3)),
        line(at(horn, 7.3), at(horn, 9.3)),
        arc(at(horn, 9.3), at(horn, 30.7), at(50.0, 20.0), false),
        line(at(horn, 30.7), at(horn, 32.7)),
        line(at(horn, 32.7), at(20.0, 32.7)),
        arc(at(20.0, 32.7), at(20.0, 7.3), at(20.0, 20.0), true),
    ]
}

fn outlines() -> [Vec<Edge>; 5] {
    [
        rectangle(40.0, 20.0, 3.0),
        rectangle(44.0, 10.0, 5.0),
        rectangle(12.0, 12.0, 6.0),
        rectangle(30.0, 8.0, 0.0),
        end_piece(),
    ]
}

/// A scrap with one piece in it, cut by a 6 mm bit.
fn scrap(outline: Vec<Edge>, depth: f64, finish: f64) -> Job {
    let mut job = sample::job();
    job.bit = sample::bit(BitKind::UpSpiral, 6.0);
    job.fit.finish = mm(finish);
    job.fixture.layout = Layout::Scrap;
    job.parts.truncate(1);
    let part = &mut job.parts[0];
    part.name = PartName::Scrap;
    part.pockets.clear();
    part.length = mm(100.0);
    part.across = mm(60.0);
    part.below = mm(depth + 0.5);
    part.contours = vec![Contour {
        number: 1,
        outline,
        depth: mm(depth),
    }];
    job
}

fn piece(job: &Job) -> Piece {
    let plan = plan(job, &settings::for_job(job));
    assert_eq!(plan.operations[0].pieces.len(), 1);
    plan.operations[0].pieces[0].clone()
}

/// The outline as places, so many on each millimetre.
fn samples(outline: &[Edge], each: f64) -> Vec<Point> {
    let mut places = Vec::new();
    for edge in outline {
        let (from, to) = (edge.from(), edge.to());
        let count = (from.distance(to).as_mm() * 2.0 * each).ceil() as u32;
        for step in 0..count {
            let share = f64::from(step) / f64::from(count);
            let straight = at(
                from.x + (to.x - from.x) * share,
                from.y + (to.y - from.y) * share,
            );
            let Edge::Arc { center, bulges, .. } = *edge else {
                places.push(straight);
                continue;
            };
            let radius = center.distance(from).as_mm();
            let start = (from.y - center.y).atan2(from.x - center.x);
            let end = (to.y - center.y).atan2(to.x - center.x);
            let turn = if bulges {
                (end - start).rem_euclid(2.0 * PI)
            } else {
                -(start - end).rem_euclid(2.0 * PI)
            };
            let angle = start + turn * share;
            places.push(at(
                center.x + radius * angle.cos(),
                center.y + radius * angle.sin(),
            ));
        }
    }
    places
}

fn distance(places: &[Point], point: Point) -> f64 {
    let squares = places.iter().map(|place| {
        let (x, y) = (place.x - point.x, place.y - point.y);
        x * x + y * y
    });
    squares.fold(f64::INFINITY, f64::min).sqrt()
}

fn is_inside(places: &[Point], point: Point) -> bool {
    let mut inside = false;
    for (index, one) in places.iter().enumerate() {
        let other = places[(index + 1) % places.len()];
        if (one.y > point.y) != (other.y > point.y) {
            let x = one.x + (point.y - one.y) / (other.y - one.y) * (other.x - one.x);
            inside ^= point.x < x;
        }
    }
    inside
}

/// A move under feed, with places along it.
struct Cut {
    from: Position,
    to: Position,
    pace: Pace,
    turn: Option<Turn>,
    places: Vec<Point>,
    length: f64,
}

fn cuts(piece: &Piece) -> Vec<Cut> {
    let mut cuts = Vec::new();
    let mut from = Position::default();
    for motion in &piece.motions {
        let (to, pace, about) = match motion {
            Motion::Note(_) => continue,
            Motion::Rapid(to) => {
                from = *to;
                continue;
            }
            Motion::Line { to, pace } => (*to, *pace, None),
            Motion::Arc {
                to,
                center,
                turn,
                pace,
            } => (*to, *pace, Some((*center, *turn))),
        };
        let level = from.plan().distance(to.plan()).as_mm();
        let (length, place): (f64, Box<dyn Fn(f64) -> Point>) = match about {
            None => (
                level,
                Box::new(move |share| {
                    at(
                        from.x + (to.x - from.x) * share,
                        from.y + (to.y - from.y) * share,
                    )
                }),
            ),
            Some((center, turn)) => {
                let radius = center.distance(from.plan()).as_mm();
                assert!((center.distance(to.plan()).as_mm() - radius).abs() < 1e-6);
                let start = (from.y - center.y).atan2(from.x - center.x);
                let end = (to.y - center.y).atan2(to.x - center.x);
                let sweep = (turn.sign() * (end - start)).rem_euclid(2.0 * PI);
                assert!(sweep <= PI + 1e-6);
                let place = move |share: f64| {
                    let angle = start + turn.sign() * sweep * share;
                    at(
                        center.x + radius * angle.cos(),
                        center.y + radius * angle.sin(),
                    )
                };
                (radius * sweep, Box::new(place))
            }
        };
        let places = (0..=20).map(|step| place(f64::from(step) / 20.0)).collect();
        cuts.push(Cut {
            from,
            to,
            pace,
            turn: about.map(|(_, turn)| turn),
            places,
            length,
        });
        from = to;
    }
    cuts
}

/// Twice the area that closed cuts go round, counter-clockwise positive.
fn area<'a>(cuts: impl Iterator<Item = &'a Cut>) -> f64 {
    let pairs = cuts.flat_map(|cut| cut.places.windows(2));
    pairs
        .map(|pair| pair[0].x * pair[1].y - pair[1].x * pair[0].y)
        .sum()
}

#[test]
fn the_bit_keeps_its_radius_from_the_piece_all_the_way() {
    for outline in outlines() {
        let places = samples(&outline, 40.0);
        let cuts = cuts(&piece(&scrap(outline, 12.0, 0.2)));
        let level = |cut: &&Cut| cut.from.z == cut.to.z;
        for cut in &cuts {
            for point in &cut.places {
                let away = distance(&places, *point);
                assert!(
                    (3.0 - 1e-4..3.2 + 1e-3).contains(&away),
                    "{away} at {point:?}"
                );
            }
        }
        // The last lap along the piece: nowhere farther, but on the way to and from it.
        let last = cuts
            .iter()
            .filter(|cut| cut.pace == Pace::Finish)
            .filter(level);
        let last: Vec<_> = last.filter(|cut| cut.to.z == -12.0).collect();
        for cut in &last[1..last.len() - 1] {
            for point in &cut.places {
                assert!((distance(&places, *point) - 3.0).abs() < 1e-4);
            }
        }
    }
}

#[test]
fn the_kerf_is_cut_clockwise_down_to_a_level_lap() {
    for outline in outlines() {
        for finish in [0.0, 0.2] {
            let job = scrap(outline.clone(), 12.0, finish);
            let slope = settings::for_job(&job).limits.ramp.as_radians().tan();
            let cuts = cuts(&piece(&job));
            let (first, cuts) = cuts.split_first().expect("the way down in the air");
            assert_eq!((first.length, first.to.z), (0.0, 0.0));
            for cut in cuts {
                let drop = cut.from.z - cut.to.z;
                assert!(drop >= 0.0 && drop <= cut.length * slope + 1e-9);
                assert!(cut.length > 0.1 - 1e-9, "{}", cut.length);
            }
            let rough = cuts.iter().filter(|cut| cut.pace == Pace::Rough);
            let floor = rough
                .clone()
                .filter(|cut| cut.from.z == -12.0 && cut.to.z == -12.0);
            let lap: f64 = floor.clone().map(|cut| cut.length).sum();
            let close = crate::plan::outside::path(
                &super::outline(&job.parts[0].contours[0], &placement(&job)),
                3.0 + finish,
            );
            let round = close.expect("a way round").length();
            assert!(
                lap >= round - 0.2 * slope.recip() && lap < 1.5 * round + 15.0,
                "{lap} of {round}"
            );
            assert!(area(rough) < 0.0);
            let finishing = cuts.iter().filter(|cut| cut.pace == Pace::Finish);
            assert!(area(finishing) < 0.0);
        }
    }
}

fn placement(job: &Job) -> crate::plan::layout::Placement {
    crate::plan::layout::Placement::of(job, &job.parts[0], None)
}

/// What stands of the wood: the piece whole, its kerf open a bit wide, the rest whole.
#[test]
fn the_piece_stands_free_and_whole() {
    let care = WallCare {
        score: Some(true),
        direction: Direction::Conventional,
        second_finish: true,
        spring_pass: true,
    };
    let board = RoundedRectangle::new(at(35.0, 25.0), mm(74.0), mm(48.0), mm(0.0));
    for outline in outlines() {
        let places = samples(&outline, 10.0);
        let bed = || Bed::new(&board, 0.0, 3.0);
        let away: Vec<_> = bed()
            .heights()
            .map(|(point, _)| match distance(&places, point) {
                _ if is_inside(&places, point) => 0.0,
                away => away,
            })
            .collect();
        for (edge, care) in [(22.0, WallCare::default()), (5.0, care)] {
            for finish in [0.0, 0.2] {
                let mut job = scrap(outline.clone(), 12.0, finish);
                job.bit.cutting_length = mm(edge);
                job.bit.wall_care = care;
                let mut bed = bed();
                assert_gentle(&job, &mut bed);
                for ((point, height), away) in bed.heights().zip(&away) {
                    if *away == 0.0 || *away > 6.0 + finish + 0.02 {
                        assert_eq!(height, 0.0, "{point:?} {away} {finish}");
                    } else if (0.04..6.0 + finish - 0.02).contains(away) {
                        assert_eq!(height, -12.0, "{point:?} {away} {finish}");
                    }
                }
            }
        }
    }
}

#[track_caller]
fn assert_gentle(job: &Job, bed: &mut Bed) {
    let limits = settings::for_job(job).limits;
    let slope = limits.ramp.as_radians().tan();
    let findings = bed.run(&piece(job), &[], 0.0);
    assert_eq!(findings.rapid, 0.0);
    assert!(findings.plunge <= 0.02, "{findings:?}");
    assert!(findings.slope <= slope + 1e-9);
    // A finishing pass takes its strip as deep as it is.
    if job.fit.finish == Length::ZERO {
        // The map samples every tenth of a millimetre along the ramp.
        let most = limits.stepdown.as_mm() + 0.1 * slope + 1e-6;
        assert!(findings.bite <= most, "{findings:?} {most}");
    }
}

#[test]
fn conventional_finishing_goes_round_counter_clockwise() {
    let mut job = scrap(rectangle(40.0, 20.0, 3.0), 12.0, 0.2);
    job.bit.wall_care.direction = Direction::Conventional;
    let cuts = cuts(&piece(&job));
    let finishing: Vec<_> = cuts
        .iter()
        .filter(|cut| cut.pace == Pace::Finish && cut.to.z == -12.0)
        .collect();
    let turns: Vec<_> = finishing.iter().filter_map(|cut| cut.turn).collect();
    assert_eq!(turns, [Turn::CounterClockwise; 4]);
}

#[test]
fn a_piece_is_named_and_left_out_of_a_run_for_one_hinge() {
    let mut job = scrap(rectangle(40.0, 20.0, 3.0), 12.0, 0.2);
    let note = &piece(&job).motions[0];
    assert_eq!(*note, Motion::Note("scrap piece 1".to_owned()));
    job.selection.hinge = Some(1);
    assert!(
        plan(&job, &settings::for_job(&job)).operations[0]
            .pieces
            .is_empty()
    );
}

/// Neither a hollow that the bit does not fit into nor an outline that is none.
#[test]
fn whatever_the_outline_something_is_planned_or_nothing() {
    let [_, _, _, _, mut hollow] = outlines();
    for edge in &mut hollow {
        if let Edge::Arc { center, .. } = edge {
            center.y += 0.3;
        }
    }
    for outline in [
        hollow,
        Vec::new(),
        rectangle(0.0, 0.0, 0.0),
        rectangle(f64::NAN, 5.0, 1.0),
    ] {
        let job = scrap(outline, 12.0, 0.2);
        plan(&job, &settings::for_job(&job));
    }
}
