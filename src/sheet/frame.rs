//! Where the parts lie in the fixture, for the pictures.

use std::borrow::Cow;

use crate::geometry::{Point, RoundedRectangle};
use crate::job::position::{Located, Position};
use crate::job::{Along, Clamp, Fixture, Job, Layout, Part, PartName, Pocket, Step, StopEnd};
use crate::units::Length;

/// A rectangle in shared program coordinates, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Area {
    pub(super) min: Point,
    pub(super) max: Point,
}

impl Area {
    pub(super) fn of(one: Point, other: Point) -> Self {
        Self {
            min: Point::from_mm(one.x.min(other.x), one.y.min(other.y)),
            max: Point::from_mm(one.x.max(other.x), one.y.max(other.y)),
        }
    }

    pub(super) fn union(self, other: Self) -> Self {
        Self {
            min: Point::from_mm(self.min.x.min(other.min.x), self.min.y.min(other.min.y)),
            max: Point::from_mm(self.max.x.max(other.max.x), self.max.y.max(other.max.y)),
        }
    }
}

/// The job as one position has it: its hinges alone, and what stands at a mark
/// among the clamps. Pictures are made of one position at a time.
pub(super) fn in_position(job: &Job, position: &Position) -> Job {
    let mut view = job.clone();
    for part in &mut view.parts {
        part.pockets.retain(|pocket| position.holds(pocket.hinge));
    }
    view.fixture.positions = vec![position.clone()];
    if let Located::Mark(_) = position.located {
        let blocks = view
            .parts
            .iter()
            .map(|part| block(&view, part))
            .collect::<Vec<_>>();
        view.fixture.clamps.extend(blocks);
    }
    view
}

/// The job with the positions of those numbers alone, and their hinges; the
/// whole of it where no program is in a position.
pub(super) fn replayed<'a>(job: &'a Job, positions: &[Option<usize>]) -> Cow<'a, Job> {
    let is_in = |position: &Position| positions.contains(&Some(position.number));
    let all = &job.fixture.positions;
    if positions.iter().all(Option::is_none) || all.iter().all(is_in) {
        return Cow::Borrowed(job);
    }
    let mut view = job.clone();
    view.fixture.positions.retain(is_in);
    for part in &mut view.parts {
        part.pockets.retain(|pocket| {
            let mut kept = view.fixture.positions.iter();
            kept.any(|position| position.holds(pocket.hinge))
        });
    }
    Cow::Owned(view)
}

/// The job as it lies where that hinge is cut.
pub(super) fn at_hinge(job: &Job, hinge: usize) -> Cow<'_, Job> {
    match job.position_of(hinge) {
        Some(position) => Cow::Owned(in_position(job, position)),
        None => Cow::Borrowed(job),
    }
}

/// The job as it lies for the first program of this run.
pub(super) fn first(job: &Job) -> Cow<'_, Job> {
    match job.positions().into_iter().next().flatten() {
        Some(position) => Cow::Owned(in_position(job, position)),
        None => Cow::Borrowed(job),
    }
}

/// What locates the parts, where the job is that of one position.
pub(super) fn located(fixture: &Fixture) -> Located {
    match fixture.positions.as_slice() {
        [position] => position.located,
        _ => Located::Stop,
    }
}

/// The block that is clamped on a part at its mark, as far in as a hand holds it.
fn block(job: &Job, part: &Part) -> Clamp {
    let from = start(job, part.name);
    let length = job.fixture.block_length.as_mm();
    let deep = part.across.as_mm().min(BLOCK_DEEP);
    let one = place(job, part.name, Point::from_mm(from, 0.0));
    let other = place(job, part.name, Point::from_mm(from + length, deep));
    let Area { min, max } = Area::of(one, other);
    Clamp {
        name: format!("block on the {}", part.name),
        min,
        max,
        height: job.fixture.block_height,
    }
}

/// How far across a block is drawn, in millimetres; the judge takes it as endless.
const BLOCK_DEEP: f64 = 40.0;

/// The u of a part that lies at zero along the hinged edges.
pub(super) fn start(job: &Job, part: PartName) -> f64 {
    let length = |part: &Part| part.length;
    match located(&job.fixture) {
        Located::Stop => 0.0,
        Located::Mark(mark) => mark.as_mm(),
        Located::FarStop(face) => {
            let length = job.part(part).map_or(Length::ZERO, length);
            (length - face).as_mm()
        }
    }
}

/// Where a part's own zero lies, where each has one.
pub(super) fn own_zero(job: &Job, part: PartName) -> Point {
    place(job, part, Point::from_mm(start(job, part), 0.0))
}

/// What both parts lie against along the hinged edges, in words.
pub(super) fn against(fixture: &Fixture) -> String {
    let stop_end = fixture.stop_end;
    let other = match stop_end {
        StopEnd::Left => StopEnd::Right,
        StopEnd::Right => StopEnd::Left,
    };
    match located(fixture) {
        Located::Stop => format!("both stop ends against the stop on the {stop_end}"),
        Located::Mark(_) => format!(
            "both blocks against the stop bar, the stop ends running past it to the {stop_end}"
        ),
        Located::FarStop(_) => format!("both far ends against the far stop on the {other}"),
    }
}

/// A point of a part's mating face in shared X and Y.
pub(super) fn place(job: &Job, part: PartName, point: Point) -> Point {
    let Point { x, y } = lie(job, part, point);
    match job.fixture.along {
        Along::X => Point::from_mm(x, y),
        Along::Y => Point::from_mm(0.0 - y, x),
    }
}

/// A step's outline in shared X and Y.
pub(super) fn outline(job: &Job, part: PartName, pocket: &Pocket, step: &Step) -> RoundedRectangle {
    let u = pocket.center.x + step.shift.as_mm();
    let center = place(job, part, Point::from_mm(u, pocket.center.y));
    let [wide, high] = match job.fixture.along {
        Along::X => [step.length, step.width],
        Along::Y => [step.width, step.length],
    };
    RoundedRectangle::new(center, wide, high, step.corner)
}

/// A rectangle of shared X and Y as the pictures of the fixture show it, which
/// have the hinged edges lie from left to right whichever axis that is: along
/// Y they are seen from the machine's right-hand side.
pub(super) fn seen(fixture: &Fixture, min: Point, max: Point) -> Area {
    let seen = |at: Point| match fixture.along {
        Along::X => at,
        Along::Y => Point::from_mm(at.y, 0.0 - at.x),
    };
    Area::of(seen(min), seen(max))
}

/// A way in the pictures of the fixture, right and up, as one along X and Y:
/// what [`seen`] turns, turned back.
#[cfg(feature = "page")]
pub(super) fn unseen(fixture: &Fixture, (right, up): (f64, f64)) -> (f64, f64) {
    match fixture.along {
        Along::X => (right, up),
        Along::Y => (0.0 - up, right),
    }
}

/// Where left, right, front and back are meant from, where that is not the
/// machine's front.
pub(super) const fn viewpoint(fixture: &Fixture) -> Option<&'static str> {
    match fixture.along {
        Along::X => None,
        Along::Y => {
            Some("Seen from the machine's right-hand side: Y runs to the right, X towards you.")
        }
    }
}

/// Where a point of a part's mating face lies in these pictures.
pub(super) fn lie(job: &Job, part: PartName, point: Point) -> Point {
    let fixture = &job.fixture;
    let half = fixture.divider.as_mm() / 2.0;
    let (u, v) = (point.x - start(job, part), point.y);
    let (x, y) = match (fixture.layout, part) {
        (Layout::Scrap, _) | (_, PartName::Scrap | PartName::Plate) => return Point::from_mm(u, v),
        (Layout::Book, PartName::Box) => (u, -(half + v)),
        (Layout::Book, PartName::Lid) => (u, half + v),
        (Layout::EndToEnd, PartName::Box) => (-(half + u), v),
        (Layout::EndToEnd, PartName::Lid) => (half + u, v),
    };
    match fixture.stop_end {
        StopEnd::Left => Point::from_mm(x, y),
        // Taken from zero, so that nothing lies at minus nothing.
        StopEnd::Right => Point::from_mm(0.0 - x, y),
    }
}

/// Which way +u and +v of a part run in these pictures: to the right, and up.
pub(super) fn signs(job: &Job, part: PartName) -> (f64, f64) {
    let origin = lie(job, part, Point::from_mm(0.0, 0.0));
    let one = lie(job, part, Point::from_mm(1.0, 1.0));
    ((one.x - origin.x).signum(), (one.y - origin.y).signum())
}

/// Whether the outside face lies at the top of a picture in which u runs to
/// the right, the mating face seen from above. The parts are mirror images of
/// each other, so it is so for one of them alone: in any layout the box with
/// the stop on the left, the lid with the stop on the right, which is the
/// other end of the same parts.
pub(super) const fn outside_is_on_top(stop_end: StopEnd, part: PartName) -> bool {
    matches!(
        (stop_end, part),
        (StopEnd::Left, PartName::Box) | (StopEnd::Right, PartName::Lid)
    )
}

/// The part's mating face down to `depth` from the outside face, in shared X and Y.
pub(super) fn area(job: &Job, part: &Part, depth: f64) -> Area {
    Area::of(
        place(job, part.name, Point::from_mm(0.0, 0.0)),
        place(job, part.name, Point::from_mm(part.length.as_mm(), depth)),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::units::Length;

    fn laid(layout: Layout) -> Job {
        let mut job = sample::job();
        job.fixture.layout = layout;
        job
    }

    // By hand from the coordinate table: divider 12, u = 45, v = 8.5.
    #[test]
    fn book_mirrors_the_parts_about_the_divider() {
        let book = laid(Layout::Book);
        let point = Point::from_mm(45.0, 8.5);
        assert_eq!(
            place(&book, PartName::Box, point),
            Point::from_mm(45.0, -14.5)
        );
        assert_eq!(
            place(&book, PartName::Lid, point),
            Point::from_mm(45.0, 14.5)
        );
        assert_eq!(signs(&book, PartName::Box), (1.0, -1.0));
    }

    #[test]
    fn end_to_end_runs_away_from_the_centre_stop() {
        let line = laid(Layout::EndToEnd);
        let point = Point::from_mm(45.0, 8.5);
        assert_eq!(
            place(&line, PartName::Box, point),
            Point::from_mm(-51.0, 8.5)
        );
        assert_eq!(
            place(&line, PartName::Lid, point),
            Point::from_mm(51.0, 8.5)
        );
        assert_eq!(signs(&line, PartName::Box), (-1.0, 1.0));
    }

    // By hand from the contract on `stop_end`.
    #[test]
    fn a_stop_on_the_right_turns_x_round() {
        let place = |layout, part| {
            let mut laid = laid(layout);
            laid.fixture.stop_end = StopEnd::Right;
            let Point { x, y } = place(&laid, part, Point::from_mm(45.0, 8.5));
            [x, y]
        };
        assert_eq!(place(Layout::Book, PartName::Box), [-45.0, -14.5]);
        assert_eq!(place(Layout::Book, PartName::Lid), [-45.0, 14.5]);
        assert_eq!(place(Layout::EndToEnd, PartName::Box), [51.0, 8.5]);
        assert_eq!(place(Layout::EndToEnd, PartName::Lid), [-51.0, 8.5]);
    }

    // By hand: X, Y become -Y, X, and a picture turns back what it is given.
    #[test]
    fn along_y_everything_lies_a_quarter_turn_round() {
        let mut line = laid(Layout::EndToEnd);
        line.fixture.along = Along::Y;
        let point = Point::from_mm(45.0, 8.5);
        let at = place(&line, PartName::Lid, point);
        assert_eq!(at, Point::from_mm(-8.5, 51.0));
        let shown = lie(&line, PartName::Lid, point);
        assert_eq!(shown, Point::from_mm(51.0, 8.5));
        assert_eq!(seen(&line.fixture, at, at), Area::of(shown, shown));
        let pocket = &sample::job().parts[1].pockets[0];
        let step = &pocket.steps[0];
        let outline = outline(&line, PartName::Lid, pocket, step);
        let halves = [step.width, step.length].map(|extent| extent.as_mm() / 2.0);
        assert_eq!([outline.half_x, outline.half_y], halves);
    }

    #[test]
    fn pictures_turn_a_part_but_never_mirror_it() {
        for layout in [Layout::Book, Layout::EndToEnd] {
            for stop_end in [StopEnd::Left, StopEnd::Right] {
                for part in [PartName::Box, PartName::Lid] {
                    let mut laid = laid(layout);
                    laid.fixture.stop_end = stop_end;
                    let (along, inward) = signs(&laid, part);
                    // A half turn changes both signs; a mirror image only one.
                    assert_eq!(
                        along * inward < 0.0,
                        outside_is_on_top(stop_end, part),
                        "{layout:?} {stop_end:?} {part}"
                    );
                }
            }
        }
        let (along, inward) = signs(&laid(Layout::Scrap), PartName::Scrap);
        assert_eq!(
            along * inward < 0.0,
            outside_is_on_top(StopEnd::Left, PartName::Scrap)
        );
    }

    #[test]
    fn a_part_covers_its_length_and_depth() {
        let job = sample::job();
        let area = area(&job, &job.parts[0], 18.0);
        assert_eq!(area.min, Point::from_mm(0.0, -24.0));
        assert_eq!(area.max, Point::from_mm(260.0, -6.0));
        assert_eq!(job.parts[0].length, Length::from_mm(260.0));
    }

    // By hand: 215 lies at 65 past a mark of 150, and at 90 - (260 - 215) before
    // a far stop at 90; with the stop on the right all of it at minus that.
    #[test]
    fn a_position_is_drawn_where_it_lies() {
        let job = sample::job();
        let x = |located, stop_end, part| {
            let position = Position {
                number: 2,
                hinges: vec![2],
                located,
                box_u: Length::ZERO,
                lid_u: Length::ZERO,
            };
            let mut job = job.clone();
            job.fixture.stop_end = stop_end;
            let view = in_position(&job, &position);
            assert_eq!(view.parts[0].pockets.len(), 1);
            let blocks = view.fixture.clamps.len();
            assert_eq!(blocks > 0, matches!(located, Located::Mark(_)));
            assert_eq!(own_zero(&view, part).x, 0.0);
            place(&view, part, view.parts[0].pockets[0].center).x
        };
        let mark = Located::Mark(Length::from_mm(150.0));
        let far = Located::FarStop(Length::from_mm(90.0));
        for part in [PartName::Box, PartName::Lid] {
            assert_eq!(x(mark, StopEnd::Left, part), 65.0);
            assert_eq!(x(far, StopEnd::Left, part), 45.0);
            assert_eq!(x(mark, StopEnd::Right, part), -65.0);
            assert_eq!(x(far, StopEnd::Right, part), -45.0);
        }
    }
}
