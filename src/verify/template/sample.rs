//! A plate built and cut by hand, for tests that know no planner.

use std::f64::consts::TAU;

use crate::geometry::{Point, RoundedRectangle};
use crate::job::contour::{Contour, Edge, moved, of_rectangle};
use crate::job::template::{Features, Groove, Insert, InsertPiece, Opening, Template};
use crate::job::{Job, Layout, Part, PartName, Plate, Step, Tick, sample};
use crate::replay::segment::Segment;
use crate::replay::tip::Tip;
use crate::shop::bit::BitKind;
use crate::units::Length;
use crate::verify::template::moves::{PlateMoves, Swept, Window};

/// The cutter of the plate.
pub(crate) const RADIUS: f64 = 3.0;

/// The opening's middle.
pub(crate) const MIDDLE: [f64; 2] = [150.0, 100.0];

/// From where pieces are cut to the plate's Y of the opening.
const STRIP: f64 = 140.0;

/// Between the passes, in millimetres.
const PASS: f64 = 2.0;

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

/// Collar 25.4, bit 9.525: o = 7.9375.
pub(crate) fn template() -> Template {
    Template {
        collar: mm(25.4),
        collar_bore: Some(mm(19.05)),
        bit: sample::bit(BitKind::DoubleFlute, 9.525),
        router_height: None,
        plate_thickness: mm(12.1),
        plate_wood: sample::walnut(),
        ..sample::template()
    }
}

pub(crate) fn step(length: f64, width: f64, shift: f64, depth: f64) -> Step {
    Step {
        length: mm(length),
        width: mm(width),
        corner: mm(width / 2.0),
        shift: mm(shift),
        depth: mm(depth),
    }
}

/// The sample box with pockets 46.82 and 29.52 mm long and 9.525 wide, of the
/// reference's check values, the deep step off the middle by `shift`.
pub(crate) fn wanted(shift: f64) -> Job {
    wanted_as(9.525, shift)
}

/// The same of another width.
pub(crate) fn wanted_as(width: f64, shift: f64) -> Job {
    let mut job = sample::job();
    job.hinge.width = mm(width);
    for part in &mut job.parts {
        for pocket in &mut part.pockets {
            pocket.center.y = 3.5 + width / 2.0;
            pocket.steps = vec![
                step(46.82, width, 0.0, 4.7),
                step(29.52, width, shift, 12.4),
            ];
        }
    }
    job.template = Some(template());
    job
}

/// The plate for a box: openings, two end pieces, grooves, lines, by the contract's words.
pub(crate) fn plate(of: Job) -> Job {
    let template = of.template.clone().unwrap_or_else(template);
    let offset = (template.collar.as_mm() - template.bit.cutting_diameter().as_mm()) / 2.0;
    let pocket = |name| &of.part(name).unwrap().pockets[0];
    let steps = pocket(PartName::Box).steps.clone();
    let wide = (steps[0].width.as_mm() + 2.0 * offset).max(template.collar.as_mm() + 0.1);
    let opening = Opening {
        step: 1,
        center: Point::from_mm(MIDDLE[0], MIDDLE[1]),
        mark: mm(MIDDLE[0]),
        length: steps[0].length + mm(2.0 * offset),
        width: mm(wide),
        corner: mm(wide / 2.0),
    };
    let play = template.play.as_mm();
    let ends = [-1.0, 1.0].map(|side| end_piece(&opening, &steps[1], offset, play, side));
    let mut contours = Vec::new();
    let mut pieces = Vec::new();
    for (index, (outline, side)) in ends.into_iter().zip([-1.0, 1.0]).enumerate() {
        let to_opening = Point::from_mm(-20.0 * side, -STRIP);
        let outline = moved(&outline, [20.0 * side, STRIP]);
        let extent = about(&outline);
        contours.push(Contour {
            number: index + 1,
            outline,
            depth: template.plate_thickness - mm(0.5),
        });
        pieces.push(InsertPiece {
            contour: index + 1,
            min: Point::from_mm(extent.min[0], extent.min[1]),
            max: Point::from_mm(extent.max[0], extent.max[1]),
            end_radius: steps[1].corner + mm(offset),
            to_opening,
        });
    }
    let grooves = [
        (true, MIDDLE[1] - pocket(PartName::Box).center.y),
        (false, MIDDLE[1] + pocket(PartName::Lid).center.y),
    ];
    let grooves = grooves.into_iter().flat_map(|(is_for_box, edge)| {
        let half = opening.length.as_mm() / 2.0 + 3.0;
        let batten = template.batten;
        let (low, high) = if is_for_box {
            (edge - batten.width.as_mm(), edge)
        } else {
            (edge, edge + batten.width.as_mm())
        };
        [
            (MIDDLE[0] - half - 70.0, MIDDLE[0] - half),
            (MIDDLE[0] + half, MIDDLE[0] + half + 70.0),
        ]
        .map(|(from, to)| Groove {
            is_for_box,
            min: Point::from_mm(from, low),
            max: Point::from_mm(to, high),
            depth: batten.groove,
        })
    });
    let at = Point::from_mm;
    let features = Features {
        openings: vec![opening],
        inserts: vec![Insert {
            step: 2,
            pieces,
            leaves: opening,
        }],
        grooves: grooves.collect(),
        sight_holes: vec![
            at(MIDDLE[0], 25.0),
            at(MIDDLE[0], 175.0),
            at(25.0, MIDDLE[1]),
            at(275.0, MIDDLE[1]),
        ],
        told: Vec::new(),
    };
    let tick = |from: f64, to: f64| Tick {
        from: at(MIDDLE[0], from),
        to: at(MIDDLE[0], to),
        depth: mm(0.5),
    };
    let mut job = of.clone();
    job.parts = vec![Part {
        name: PartName::Plate,
        length: template.plate_length,
        across: mm(270.0),
        below: template.plate_thickness,
        pockets: Vec::new(),
        ticks: vec![tick(0.0, 15.0), tick(185.0, 200.0)],
        contours,
        board_below: Some(mm(3.0)),
        ..of.parts[0].clone()
    }];
    job.fixture.layout = Layout::Scrap;
    job.plate = Some(Plate {
        of: Box::new(of),
        features,
    });
    job
}

/// An end piece where it lies in the opening; `side` is -1 at the smaller X.
/// Its outer end is the opening's, its inner one hollow as the deep step's end,
/// horns cut off where they are 2 mm thick.
fn end_piece(opening: &Opening, deep: &Step, offset: f64, play: f64, side: f64) -> Vec<Edge> {
    let high = opening.width.as_mm() / 2.0;
    let outer = side * (opening.length.as_mm() / 2.0 - opening.corner.as_mm());
    let hollow = deep.corner.as_mm() + offset;
    let inner = deep.shift.as_mm() + side * (deep.length.as_mm() / 2.0 - deep.corner.as_mm());
    let half = high - play / 2.0;
    let outer_end = outer + side * (high * high - half * half).sqrt();
    let tip = high - 2.0;
    let horn = inner + side * (hollow * hollow - tip * tip).sqrt();
    let at = |x: f64, y: f64| Point::from_mm(MIDDLE[0] + x, MIDDLE[1] + y);
    let line = |from, to| Edge::Line { from, to };
    // With `side` -1 as written; mirrored at the middle it runs as the other does turned half round.
    let y = |value: f64| -side * value;
    vec![
        line(at(outer_end, y(-half)), at(horn, y(-half))),
        line(at(horn, y(-half)), at(horn, y(-tip))),
        Edge::Arc {
            from: at(horn, y(-tip)),
            to: at(horn, y(tip)),
            center: at(inner, 0.0),
            bulges: false,
        },
        line(at(horn, y(tip)), at(horn, y(half))),
        line(at(horn, y(half)), at(outer_end, y(half))),
        Edge::Arc {
            from: at(outer_end, y(half)),
            to: at(outer_end, y(-half)),
            center: at(outer, 0.0),
            bulges: true,
        },
    ]
}

fn about(outline: &[Edge]) -> Window {
    let extents = segments(outline, 0.0, 0.0).into_iter();
    Window::about(extents.map(|segment| {
        let extent = segment.extent();
        Window {
            min: [extent.min[0], extent.min[1]],
            max: [extent.max[0], extent.max[1]],
        }
    }))
}

/// The way of a bit's middle round an outline, outside it, at a height.
fn segments(outline: &[Edge], radius: f64, z: f64) -> Vec<Segment> {
    let mut way: Vec<Segment> = Vec::new();
    let mut corners: Vec<Point> = Vec::new();
    for edge in outline {
        let (from, to) = (edge.from(), edge.to());
        way.push(match *edge {
            Edge::Line { .. } => {
                let length = from.distance(to).as_mm();
                let out = [(to.y - from.y) / length, (from.x - to.x) / length];
                let beside =
                    |point: Point| [point.x + out[0] * radius, point.y + out[1] * radius, z];
                Segment::line(beside(from), beside(to))
            }
            Edge::Arc { center, bulges, .. } => {
                let arc = center.distance(from).as_mm();
                let share = if bulges {
                    1.0 + radius / arc
                } else {
                    1.0 - radius / arc
                };
                let arm = |point: Point| [point.x - center.x, point.y - center.y];
                let beside = |point: Point| {
                    let [x, y] = arm(point);
                    [center.x + x * share, center.y + y * share, z]
                };
                let angle = |point: Point| arm(point)[1].atan2(arm(point)[0]);
                let turn = angle(to) - angle(from);
                let sweep = if bulges {
                    turn.rem_euclid(TAU)
                } else {
                    -(-turn).rem_euclid(TAU)
                };
                Segment::arc(beside(from), beside(to), [center.x, center.y], sweep)
            }
        });
        corners.push(to);
    }
    let mut all = Vec::new();
    for (index, segment) in way.iter().enumerate() {
        all.push(*segment);
        let (next, corner) = (&way[(index + 1) % way.len()], corners[index]);
        let angle = |point: [f64; 3]| (point[1] - corner.y).atan2(point[0] - corner.x);
        let sweep = (angle(next.from) - angle(segment.to)).rem_euclid(TAU);
        if radius > 0.0 && sweep > 1e-6 && sweep < TAU - 1e-6 {
            let center = [corner.x, corner.y];
            all.push(Segment::arc(segment.to, next.from, center, sweep));
        }
    }
    all
}

/// What is cut round a contour.
pub(crate) fn kerf(contour: &Contour, radius: f64) -> Vec<Swept> {
    let depth = contour.depth.as_mm();
    swept(&segments(&contour.outline, radius, -depth), radius, depth)
}

/// What segments sweep that go so deep.
pub(crate) fn swept(segments: &[Segment], radius: f64, depth: f64) -> Vec<Swept> {
    let mut moves = PlateMoves::default();
    let tip = Tip { radius, point: 0.0 };
    for segment in segments {
        moves.add(segment, tip);
    }
    let everywhere = Window {
        min: [-1e4; 2],
        max: [1e4; 2],
    };
    moves.as_deep_as(depth, everywhere)
}

/// A rectangle cleared to a depth, ring within ring.
pub(crate) fn cleared(outline: &RoundedRectangle, radius: f64, depth: f64) -> Vec<Segment> {
    let mut all = Vec::new();
    let mut inward = radius;
    while let Some(ring) = outline.grown(-inward) {
        let edges = of_rectangle(&ring);
        all.extend(segments(&edges, 0.0, -depth));
        inward += radius * 0.8;
    }
    let half = outline.half_x.max(radius) - radius;
    let row = |x: f64| [outline.center.x + x, outline.center.y, -depth];
    if outline.half_x >= outline.half_y {
        all.push(Segment::line(row(-half), row(half)));
    }
    all
}

/// The plate's features cut by a bit of 6 mm, pass below pass.
pub(crate) fn cut(job: &Job) -> PlateMoves {
    let plate = job.plate.as_ref().unwrap();
    let (features, part) = (&plate.features, &job.parts[0]);
    let thickness = plate.of.template.as_ref().unwrap().plate_thickness.as_mm();
    let mut all = Vec::new();
    let mut passes = |depth: f64, at: &dyn Fn(f64) -> Vec<Segment>| {
        let mut pass = 0.0;
        while pass < depth {
            pass = depth.min(pass + PASS);
            all.extend(at(pass));
        }
    };
    let rectangle = |min: Point, max: Point| {
        let center = Point::from_mm(f64::midpoint(min.x, max.x), f64::midpoint(min.y, max.y));
        RoundedRectangle::new(center, mm(max.x - min.x), mm(max.y - min.y), mm(RADIUS))
    };
    for opening in &features.openings {
        let outline = RoundedRectangle::new(
            opening.center,
            opening.length,
            opening.width,
            opening.corner,
        );
        passes(thickness + 0.5, &|depth| cleared(&outline, RADIUS, depth));
    }
    for groove in &features.grooves {
        let outline = rectangle(groove.min, groove.max);
        passes(groove.depth.as_mm(), &|depth| {
            cleared(&outline, RADIUS, depth)
        });
    }
    for pocket in &part.pockets {
        let step = &pocket.steps[0];
        let outline = RoundedRectangle::new(pocket.center, step.length, step.width, step.corner);
        passes(step.depth.as_mm(), &|depth| {
            cleared(&outline, RADIUS, depth)
        });
    }
    for contour in &part.contours {
        passes(contour.depth.as_mm(), &|depth| {
            segments(&contour.outline, RADIUS, -depth)
        });
    }
    for hole in &features.sight_holes {
        passes(thickness + 0.5, &|depth| {
            vec![Segment::line(
                [hole.x, hole.y, 0.0],
                [hole.x, hole.y, -depth],
            )]
        });
    }
    for tick in &part.ticks {
        let z = -tick.depth.as_mm();
        passes(-z, &|_| {
            vec![Segment::line(
                [tick.from.x, tick.from.y, z],
                [tick.to.x, tick.to.y, z],
            )]
        });
    }
    let mut moves = PlateMoves::default();
    let tip = Tip {
        radius: RADIUS,
        point: 0.0,
    };
    for segment in &all {
        moves.add(segment, tip);
    }
    moves
}
