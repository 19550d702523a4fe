//! Places worked out by hand.

use super::fixture::Solid;
use super::frame::PartFrame;
use super::site::Bore;
use super::{Scene, Site};
use crate::geometry::{Point, RoundedRectangle};
use crate::job::position::{Located, Position};
use crate::job::{Along, Fixture, Job, Layout, PartName, Selection, StopEnd, Tick, ZeroPoint};
use crate::job::{Clamp, Hole, sample};
use crate::replay::segment::Segment;
use crate::units::Length;

/// Source: the contract's table of program coordinates, worked by hand
/// for divider 12, u 45, v 8.5.
#[test]
fn parts_lie_as_the_table_of_program_coordinates_says() {
    let place = |layout, part| {
        PartFrame::new(&fixture(layout, StopEnd::Left, 12.0), part).to_program(45.0, 8.5)
    };
    assert_eq!(place(Layout::Book, PartName::Box), [45.0, -14.5]);
    assert_eq!(place(Layout::Book, PartName::Lid), [45.0, 14.5]);
    assert_eq!(place(Layout::EndToEnd, PartName::Box), [-51.0, 8.5]);
    assert_eq!(place(Layout::EndToEnd, PartName::Lid), [51.0, 8.5]);
    assert_eq!(place(Layout::Scrap, PartName::Scrap), [45.0, 8.5]);
}

/// Source: handbook rows W53 and W54, fold line and fence at 0: (40, -8.75)
/// to (40, 8.75); in one line the stop ends meet, so the box counts down.
#[test]
fn the_opened_book_mirrors_y_and_the_line_mirrors_x() {
    let place = |layout, part| {
        PartFrame::new(&fixture(layout, StopEnd::Left, 0.0), part).to_program(40.0, 8.75)
    };
    assert_eq!(place(Layout::Book, PartName::Box), [40.0, -8.75]);
    assert_eq!(place(Layout::Book, PartName::Lid), [40.0, 8.75]);
    assert_eq!(place(Layout::EndToEnd, PartName::Box), [-40.0, 8.75]);
}

#[test]
fn program_coordinates_lead_back_to_the_part() {
    for layout in [Layout::Book, Layout::EndToEnd] {
        for stop_end in [StopEnd::Left, StopEnd::Right] {
            for part in [PartName::Box, PartName::Lid] {
                let frame = PartFrame::new(&fixture(layout, stop_end, 7.0), part);
                let [x, y] = frame.to_program(31.0, 4.5);
                assert_eq!(frame.to_part(x, y), [31.0, 4.5]);
            }
        }
    }
}

/// Source: the contract on positions, worked by hand for a box of 260 with
/// hinges at 45 and 215: 215 - 150; 90 - (260 - 215). The stop ends hang out
/// at -150 and -170, and what stands at the mark is 20 high.
#[test]
fn a_position_is_located_by_its_mark_or_its_far_stop() {
    let mut job = sample::job();
    let mut at = |located, stop_end| {
        job.fixture.stop_end = stop_end;
        let position = Position {
            number: 1,
            hinges: vec![2],
            located,
            box_u: Length::ZERO,
            lid_u: Length::ZERO,
        };
        Scene::of(&job, Some(&position))
    };
    let mark = Located::Mark(Length::from_mm(150.0));
    let far = Located::FarStop(Length::from_mm(90.0));
    for (located, end, x, faces, board) in [
        (mark, StopEnd::Left, 65.0, [0.0, 0.0], [-150.0, 110.0]),
        (mark, StopEnd::Right, -65.0, [0.0, 0.0], [-110.0, 150.0]),
        (far, StopEnd::Left, 45.0, [90.0, 0.0], [-170.0, 90.0]),
        (far, StopEnd::Right, -45.0, [-90.0, 0.0], [-90.0, 170.0]),
    ] {
        let scene = at(located, end);
        let cut = scene.sites.iter().filter(|site| site.allowed > 0);
        let centers: Vec<f64> = cut.map(|site| site.steps[0].outline.center.x).collect();
        assert_eq!(centers, [x, x], "{located:?} {end}");
        assert_eq!(scene.faces, faces);
        assert_eq!([scene.boards[0].min[0], scene.boards[0].max[0]], board);
        let raised = if located == mark { 20.0 } else { 0.0 };
        assert_eq!(scene.travel_height, raised + 5.0);
    }
    let names: Vec<String> = at(mark, StopEnd::Left)
        .solids
        .into_iter()
        .map(|solid| solid.name)
        .collect();
    assert_eq!(names, ["divider", "stop bar", "block at the mark"]);
}

/// Source: the contract on `stop_end`, worked by hand for divider 12, u 45,
/// v 8.5: X = -u in a book; end to end box and lid change sides.
#[test]
fn a_stop_on_the_right_turns_x_round() {
    let place = |layout, part| {
        PartFrame::new(&fixture(layout, StopEnd::Right, 12.0), part).to_program(45.0, 8.5)
    };
    assert_eq!(place(Layout::Book, PartName::Box), [-45.0, -14.5]);
    assert_eq!(place(Layout::Book, PartName::Lid), [-45.0, 14.5]);
    assert_eq!(place(Layout::EndToEnd, PartName::Box), [51.0, 8.5]);
    assert_eq!(place(Layout::EndToEnd, PartName::Lid), [-51.0, 8.5]);
    assert_eq!(place(Layout::Scrap, PartName::Scrap), [45.0, 8.5]);
}

#[test]
fn boards_lie_on_the_side_that_their_stop_leaves_them() {
    let extents = |layout| {
        let mut job = sample::job();
        job.fixture = fixture(layout, StopEnd::Right, 12.0);
        let boards = Scene::new(&job).boards.into_iter();
        boards
            .map(|board| (board.min, board.max))
            .collect::<Vec<_>>()
    };
    // Box 260 by 18, lid 260 by 180.
    assert_eq!(
        extents(Layout::Book),
        [
            ([-260.0, -24.0], [0.0, -6.0]),
            ([-260.0, 6.0], [0.0, 186.0])
        ]
    );
    assert_eq!(
        extents(Layout::EndToEnd),
        [([6.0, 0.0], [266.0, 18.0]), ([-266.0, 0.0], [-6.0, 180.0])]
    );
}

/// Source: the contract on `along`, every place of the tables above with
/// X, Y become -Y, X, worked by hand for divider 12, u 45, v 8.5.
#[test]
fn along_y_the_layout_lies_a_quarter_turn_round() {
    use {Layout::*, PartName::*, StopEnd::*};
    for (layout, stop_end, part, expected) in [
        (Book, Left, Box, [14.5, 45.0]),
        (Book, Left, Lid, [-14.5, 45.0]),
        (EndToEnd, Left, Box, [-8.5, -51.0]),
        (EndToEnd, Left, Lid, [-8.5, 51.0]),
        (Book, Right, Box, [14.5, -45.0]),
        (Book, Right, Lid, [-14.5, -45.0]),
        (EndToEnd, Right, Box, [-8.5, 51.0]),
        (EndToEnd, Right, Lid, [-8.5, -51.0]),
    ] {
        let laid = along_y(fixture(layout, stop_end, 12.0));
        let frame = PartFrame::new(&laid, part);
        let [x, y] = frame.to_program(45.0, 8.5);
        assert_eq!([x, y], expected, "{layout:?} {stop_end:?} {part}");
        assert_eq!(frame.to_part(x, y), [45.0, 8.5]);
    }
}

/// The first pocket of the box, 44.1 by 10.1, about (14.5, 45); the divider
/// across X, the fence beyond X0, the stop across Y, the clamp where it was.
#[test]
fn along_y_pockets_and_fixture_are_turned_and_clamps_are_not() {
    let mut job = sample::job();
    job.fixture = along_y(fixture(Layout::Book, StopEnd::Left, 12.0));
    let clamp = Clamp {
        name: "left".to_owned(),
        min: Point::from_mm(-20.0, 1.0),
        max: Point::from_mm(-5.0, 20.0),
        height: Length::from_mm(25.0),
    };
    job.fixture.clamps.push(clamp);
    let (far, near) = (f64::INFINITY, f64::NEG_INFINITY);
    let places = |job: &Job| {
        let solids = Scene::new(job).solids.into_iter();
        solids
            .map(|solid| (solid.min, solid.max))
            .collect::<Vec<_>>()
    };
    let clamped = ([-20.0, 1.0], [-5.0, 20.0]);
    assert_eq!(places(&job), [([-6.0, near], [6.0, far]), clamped]);
    let scene = Scene::new(&job);
    let outline = scene.sites[0].steps[0].outline;
    assert_eq!(outline.center, Point::from_mm(14.5, 45.0));
    assert_eq!([outline.half_x, outline.half_y], [5.05, 22.05]);
    assert_eq!(scene.boards[0].min, [6.0, 0.0]);
    assert_eq!(scene.boards[0].max, [24.0, 260.0]);
    job.fixture.layout = Layout::EndToEnd;
    assert_eq!(
        places(&job),
        [
            ([0.0, near], [far, far]),
            ([near, -6.0], [far, 6.0]),
            clamped
        ]
    );
}

/// Of two pockets in one row along Y the one that the move is in or near.
#[test]
fn along_y_a_move_belongs_to_the_place_it_is_in() {
    let mut job = crowded();
    job.fixture.along = Along::Y;
    let scene = Scene::new(&job);
    let lid = &scene.boards[1];
    let segment = |x: f64, from: f64, to: f64| Segment::line([x, from, -1.0], [x, to, -1.0]);
    let of = |x, from, to| scene.site_of(lid, &segment(x, from, to));
    assert_eq!(of(-14.5, 30.0, 60.0), Some(2));
    assert_eq!(of(-14.5, 80.0, 110.0), Some(3));
    assert_eq!(of(-14.5, 70.0, 75.0), None);
    assert_eq!(of(-30.0, 30.0, 60.0), None);
    let nearest = |y| scene.nearest_site(lid, &segment(-30.0, y, y));
    assert_eq!([nearest(5.0), nearest(200.0)], [Some(2), Some(3)]);
}

fn along_y(fixture: Fixture) -> Fixture {
    Fixture {
        along: Along::Y,
        ..fixture
    }
}

fn fixture(layout: Layout, stop_end: StopEnd, divider: f64) -> Fixture {
    Fixture {
        layout,
        stop_end,
        divider: Length::from_mm(divider),
        ..sample::job().fixture
    }
}

#[test]
fn a_shift_follows_u_and_not_x() {
    let mut job = sample::job();
    job.fixture.layout = Layout::EndToEnd;
    for part in &mut job.parts {
        part.pockets[0].steps[1].shift = Length::from_mm(2.0);
    }
    let scene = Scene::new(&job);
    let shifted = |part| {
        let board = scene
            .boards
            .iter()
            .find(|board| board.name == part)
            .unwrap();
        let site = scene.sites[board.sites.clone()]
            .iter()
            .find(|site| site.hinge() == 1)
            .unwrap();
        site.steps[1].outline.center.x - site.steps[0].outline.center.x
    };
    assert_eq!(shifted(PartName::Box), -2.0);
    assert_eq!(shifted(PartName::Lid), 2.0);
}

/// Source: the contract on `zero = "each"`: each part's own u = v = w = 0,
/// and in G55 the lid's mating face is Z0.
#[test]
fn one_zero_for_each_part_puts_each_origin_at_its_own_corner() {
    let mut job = sample::job();
    job.fixture.zero = ZeroPoint::Each;
    job.fixture.lid_rise = Length::from_mm(1.5);
    job.fixture.machine_zero = Some([60.0, 150.0, -40.0].map(Length::from_mm));
    let scene = Scene::new(&job);
    assert_eq!(scene.frames.work[0], [0.0, -6.0, 0.0]);
    assert_eq!(scene.frames.work[1], [0.0, 6.0, 1.5]);
    assert_eq!(scene.frames.machine, Some([-60.0, -156.0, 40.0]));
    assert_eq!(scene.boards[1].top, 1.5);
}

#[test]
fn travel_height_is_clearance_above_the_highest_thing() {
    let mut job = sample::job();
    assert_eq!(Scene::new(&job).travel_height, 5.0);
    job.fixture.lid_rise = Length::from_mm(2.0);
    assert_eq!(Scene::new(&job).travel_height, 7.0);
    job.fixture.clamps.push(Clamp {
        name: "left".to_owned(),
        min: Point::from_mm(-20.0, 0.0),
        max: Point::from_mm(-5.0, 20.0),
        height: Length::from_mm(25.0),
    });
    assert_eq!(Scene::new(&job).travel_height, 30.0);
}

#[test]
fn a_partial_run_may_cut_only_what_is_selected() {
    let mut job = sample::job();
    job.selection = Selection {
        part: Some(PartName::Lid),
        hinge: Some(2),
        step: Some(2),
    };
    let scene = Scene::new(&job);
    let counts: Vec<(usize, usize)> = scene
        .sites
        .iter()
        .map(|site| (site.allowed, site.already))
        .collect();
    assert_eq!(counts, [(0, 0), (0, 0), (0, 0), (2, 1)]);
    assert_eq!(scene.sites[3].required_steps().len(), 1);
}

/// On the lid, which begins at Y 6: along u from (20, 3) to (24, 3), and
/// along v from (30, 3) to (30, 9), by a bit of 6 mm.
fn ticked() -> Job {
    let mut job = sample::job();
    let tick = |from: [f64; 2], to: [f64; 2]| Tick {
        from: Point::from_mm(from[0], from[1]),
        to: Point::from_mm(to[0], to[1]),
        depth: Length::from_mm(0.5),
    };
    job.parts[1].ticks = vec![
        tick([20.0, 3.0], [24.0, 3.0]),
        tick([30.0, 9.0], [30.0, 3.0]),
    ];
    job
}

fn ticks(job: &Job) -> Vec<Site> {
    let mut sites = Scene::new(job).sites;
    sites.retain(|site| site.hinge() == 0);
    sites
}

#[test]
fn a_tick_is_as_wide_as_the_bit_and_round_at_its_ends() {
    let outline = |x, y, half_x, half_y| RoundedRectangle {
        center: Point::from_mm(x, y),
        half_x,
        half_y,
        corner: 3.0,
    };
    let found = ticks(&ticked());
    assert_eq!(found[0].steps[0].outline, outline(22.0, 9.0, 5.0, 3.0));
    assert_eq!(found[1].steps[0].outline, outline(30.0, 12.0, 3.0, 6.0));
    assert_eq!(found[1].steps[0].depth, 0.5);
}

#[test]
fn ticks_are_cut_with_the_whole_of_their_part() {
    let allowed = |part, hinge| {
        let mut job = ticked();
        (job.selection.part, job.selection.hinge) = (part, hinge);
        ticks(&job)[0].allowed
    };
    assert_eq!(allowed(None, None), 1);
    assert_eq!(allowed(Some(PartName::Lid), None), 1);
    assert_eq!(allowed(Some(PartName::Box), None), 0);
    assert_eq!(allowed(None, Some(1)), 0);
    assert_eq!(allowed(Some(PartName::Box), Some(1)), 0);
}

#[test]
fn holes_are_drilled_with_all_steps_of_their_pocket() {
    let mut job = sample::job();
    job.parts[1].pockets[0].holes = vec![Hole {
        center: Point::from_mm(66.0, 8.5),
        diameter: Length::from_mm(2.5),
        from: Length::from_mm(4.7),
        tip: Length::from_mm(13.7),
        point_height: Length::from_mm(0.75),
    }];
    let mut site = |hinge, step| {
        job.selection = Selection {
            part: None,
            hinge,
            step,
        };
        Scene::new(&job).sites[2].clone()
    };
    let whole = site(None, None);
    assert_eq!(
        whole.holes,
        [Bore {
            center: [66.0, 14.5],
            radius: 1.25,
            tip: 13.7,
            point: 0.75
        }]
    );
    // Beyond the first step's end at 67.05.
    assert_eq!(whole.max[0], 67.25);
    assert_eq!(site(Some(2), None).holes.len(), 0);
    assert_eq!(site(None, Some(2)).holes.len(), 0);
    assert_eq!(site(Some(1), None).holes.len(), 1);
}

/// A step that a pocket does not have is none of it.
#[test]
fn a_step_beyond_the_last_allows_nothing() {
    let mut job = sample::job();
    let counts = |step| {
        job.selection.step = Some(step);
        let site = &Scene::new(&job).sites[0];
        (site.allowed, site.already)
    };
    let counts: Vec<_> = [1, 2, 3].map(counts).into();
    assert_eq!(counts, [(1, 0), (2, 1), (0, 0)]);
}

#[test]
fn the_divider_stands_between_the_parts_and_the_fence_below_them() {
    let found = |layout, divider: f64| {
        let mut job = sample::job();
        job.fixture.layout = layout;
        job.fixture.divider = Length::from_mm(divider);
        job.fixture.divider_height = Length::from_mm(3.0);
        job.fixture.fence_height = Length::from_mm(4.0);
        let solids = Scene::new(&job).solids.into_iter();
        let box_of = |solid: Solid| (solid.name, solid.min, solid.max, solid.top);
        solids.map(box_of).collect::<Vec<_>>()
    };
    let (far, near) = (f64::INFINITY, f64::NEG_INFINITY);
    let fence = ("fence".to_owned(), [near, near], [far, 0.0], 4.0);
    assert_eq!(
        found(Layout::Book, 12.0),
        [("divider".to_owned(), [near, -6.0], [far, 6.0], 3.0)]
    );
    assert_eq!(found(Layout::Book, 0.0), []);
    assert_eq!(
        found(Layout::EndToEnd, 12.0),
        [
            fence.clone(),
            ("centre stop".to_owned(), [-6.0, near], [6.0, far], 3.0)
        ]
    );
    assert_eq!(found(Layout::EndToEnd, 0.0), [fence]);
    assert_eq!(found(Layout::Scrap, 12.0), []);
}

/// The lid lies from (0, 6) to (260, 186).
#[test]
fn distance_to_a_board_is_to_its_rectangle() {
    let scene = Scene::new(&sample::job());
    for (point, expected) in [
        ([-3.0, 2.0], 5.0),
        ([264.0, 189.0], 5.0),
        ([-3.0, 50.0], 3.0),
        ([100.0, 190.0], 4.0),
        ([2.0, 50.0], -2.0),
        ([255.0, 60.0], -5.0),
        ([100.0, 7.0], -1.0),
        ([100.0, 183.0], -3.0),
    ] {
        assert_eq!(scene.boards[1].signed_distance(point), expected);
    }
}

/// The lid of the sample: pockets of 44.1 × 10.1 mm about (45, 14.5) and (215, 14.5).
fn scene() -> Scene {
    Scene::new(&sample::job())
}

#[test]
fn distance_to_a_site_is_to_its_rectangle() {
    let scene = scene();
    let distance = |x: f64, y: f64| scene.sites[2].distance([x, y]);
    for (x, y, expected) in [
        (45.0, 14.5, 0.0),
        (22.95 - 3.0, 9.45 - 4.0, 5.0),
        (67.05 + 3.0, 19.55 + 4.0, 5.0),
        (67.05 + 3.0, 14.5, 3.0),
        (45.0, 9.45 - 2.0, 2.0),
    ] {
        assert!((distance(x, y) - expected).abs() < 1e-9, "{x} {y}");
    }
}

/// A second place 10 mm past the first.
fn crowded() -> Job {
    let mut job = sample::job();
    job.parts[1].pockets[1].center.x = 45.0 + 44.1 + 10.0;
    job
}

#[test]
fn a_move_belongs_to_the_place_it_is_in() {
    let scene = Scene::new(&crowded());
    let lid = &scene.boards[1];
    let of = |from: [f64; 2], to: [f64; 2]| {
        let segment = Segment::line([from[0], from[1], -1.0], [to[0], to[1], -1.0]);
        scene.site_of(lid, &segment)
    };
    assert_eq!(of([30.0, 14.5], [60.0, 14.5]), Some(2));
    assert_eq!(of([80.0, 14.5], [110.0, 14.5]), Some(3));
    // From one to the other it is in the one that holds its middle or more of it.
    assert_eq!(of([30.0, 14.5], [80.0, 14.5]), Some(2));
    assert_eq!(of([60.0, 14.5], [110.0, 14.5]), Some(3));
    // Between the two, beyond the last and beside both.
    assert_eq!(of([70.0, 14.5], [75.0, 14.5]), None);
    assert_eq!(of([130.0, 14.5], [140.0, 14.5]), None);
    assert_eq!(of([30.0, 9.0], [60.0, 8.0]), None);
    assert_eq!(of([30.0, 20.0], [60.0, 21.0]), None);
    assert_eq!(of([30.0, 9.0], [60.0, 9.5]), Some(2));
}

#[test]
fn the_nearest_place_is_told_where_a_move_is_in_none() {
    let scene = Scene::new(&crowded());
    let lid = &scene.boards[1];
    let nearest = |x: f64| {
        let segment = Segment::line([x, 30.0, -1.0], [x + 2.0, 30.0, -1.0]);
        scene.nearest_site(lid, &segment)
    };
    assert_eq!(nearest(5.0), Some(2));
    assert_eq!(nearest(69.0), Some(2));
    assert_eq!(nearest(73.0), Some(3));
    assert_eq!(nearest(200.0), Some(3));
    // The box has its own.
    let segment = Segment::line([200.0, -30.0, -1.0], [200.0, -30.0, -1.0]);
    assert_eq!(scene.nearest_site(&scene.boards[0], &segment), Some(1));
}

/// The lid's first place from X 24 to 68 and Y 9.5 to 19.5, without
/// rounding, and five more, each 2 mm after the one before.
fn row_of_places() -> Scene {
    let mut job = sample::job();
    let lid = &mut job.parts[1];
    lid.pockets[0].center.x = 46.0;
    for step in &mut lid.pockets[0].steps {
        (step.length, step.width) = (Length::from_mm(44.0), Length::from_mm(10.0));
    }
    let first = lid.pockets[0].clone();
    lid.pockets = (0..6_u8)
        .map(|number| {
            let mut pocket = first.clone();
            pocket.hinge = usize::from(number) + 1;
            pocket.center.x += f64::from(number) * 46.0;
            pocket
        })
        .collect();
    Scene::new(&job)
}

#[test]
fn a_move_that_touches_a_place_belongs_to_it() {
    let scene = row_of_places();
    let lid = &scene.boards[1];
    let first = lid.sites.start;
    let across = |low, high| scene.sites_across(lid, low, high).collect::<Vec<_>>();
    assert_eq!(across(68.0, 69.0), [first]);
    assert_eq!(across(68.5, 69.5), [0; 0]);
    assert_eq!(across(68.5, 70.0), [first + 1]);
    assert_eq!(across(68.0, 70.0), [first, first + 1]);
    let at = |y: f64| {
        let segment = Segment::line([30.0, y, -1.0], [40.0, y, -1.0]);
        scene.site_of(lid, &segment)
    };
    assert_eq!([at(9.5), at(19.5)], [Some(first); 2]);
    assert_eq!([at(9.25), at(19.75)], [None; 2]);
}

/// Wherever the move is, also at the ends of the row.
#[test]
fn the_nearest_of_many_places_is_told() {
    let scene = row_of_places();
    let lid = &scene.boards[1];
    for place in 0..6_u8 {
        let x = 46.0 + f64::from(place) * 46.0;
        for x in [x - 22.5, x - 5.0, x + 5.0, x + 22.5] {
            let segment = Segment::line([x, 40.0, -1.0], [x, 40.0, -1.0]);
            let expected = lid.sites.start + usize::from(place);
            assert_eq!(scene.nearest_site(lid, &segment), Some(expected), "{x}");
        }
    }
}
