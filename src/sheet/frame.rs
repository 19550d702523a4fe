//! Where the parts lie in the fixture, for the pictures.

use crate::geometry::{Point, RoundedRectangle};
use crate::job::{Along, Fixture, Layout, Part, PartName, Pocket, Step, StopEnd};

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

/// A point of a part's mating face in shared X and Y.
pub(super) fn place(fixture: &Fixture, part: PartName, point: Point) -> Point {
    let Point { x, y } = lie(fixture, part, point);
    match fixture.along {
        Along::X => Point::from_mm(x, y),
        Along::Y => Point::from_mm(0.0 - y, x),
    }
}

/// A step's outline in shared X and Y.
pub(super) fn outline(
    fixture: &Fixture,
    part: PartName,
    pocket: &Pocket,
    step: &Step,
) -> RoundedRectangle {
    let u = pocket.center.x + step.shift.as_mm();
    let center = place(fixture, part, Point::from_mm(u, pocket.center.y));
    let [wide, high] = match fixture.along {
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
pub(super) fn lie(fixture: &Fixture, part: PartName, point: Point) -> Point {
    let half = fixture.divider.as_mm() / 2.0;
    let (u, v) = (point.x, point.y);
    let (x, y) = match (fixture.layout, part) {
        (Layout::Scrap, _) | (_, PartName::Scrap) => return Point::from_mm(u, v),
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
pub(super) fn signs(fixture: &Fixture, part: PartName) -> (f64, f64) {
    let origin = lie(fixture, part, Point::from_mm(0.0, 0.0));
    let one = lie(fixture, part, Point::from_mm(1.0, 1.0));
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
pub(super) fn area(fixture: &Fixture, part: &Part, depth: f64) -> Area {
    Area::of(
        place(fixture, part.name, Point::from_mm(0.0, 0.0)),
        place(
            fixture,
            part.name,
            Point::from_mm(part.length.as_mm(), depth),
        ),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::units::Length;

    fn fixture(layout: Layout) -> Fixture {
        Fixture {
            layout,
            ..sample::job().fixture
        }
    }

    // By hand from the coordinate table: divider 12, u = 45, v = 8.5.
    #[test]
    fn book_mirrors_the_parts_about_the_divider() {
        let book = fixture(Layout::Book);
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
        let line = fixture(Layout::EndToEnd);
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
            let laid = Fixture {
                stop_end: StopEnd::Right,
                ..fixture(layout)
            };
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
        let line = Fixture {
            along: Along::Y,
            ..fixture(Layout::EndToEnd)
        };
        let point = Point::from_mm(45.0, 8.5);
        let at = place(&line, PartName::Lid, point);
        assert_eq!(at, Point::from_mm(-8.5, 51.0));
        let shown = lie(&line, PartName::Lid, point);
        assert_eq!(shown, Point::from_mm(51.0, 8.5));
        assert_eq!(seen(&line, at, at), Area::of(shown, shown));
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
                    let laid = Fixture {
                        stop_end,
                        ..fixture(layout)
                    };
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
        let (along, inward) = signs(&fixture(Layout::Scrap), PartName::Scrap);
        assert_eq!(
            along * inward < 0.0,
            outside_is_on_top(StopEnd::Left, PartName::Scrap)
        );
    }

    #[test]
    fn a_part_covers_its_length_and_depth() {
        let job = sample::job();
        let area = area(&job.fixture, &job.parts[0], 18.0);
        assert_eq!(area.min, Point::from_mm(0.0, -24.0));
        assert_eq!(area.max, Point::from_mm(260.0, -6.0));
        assert_eq!(job.parts[0].length, Length::from_mm(260.0));
    }
}
