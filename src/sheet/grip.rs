//! The fixture from above with clamps that can be moved, and from the side.

use crate::job::{Clamp, Job};
use crate::units::{Length, Units};

use super::fixture::{self, View};
use super::frame::{Area, first, in_position, seen, unseen};
use super::measure::figure;
use super::pen::rectangle;
use super::{position_picture, side_view};

/// From above, each way the parts lie, and from the side. Clamps can be moved
/// where the parts lie in one way alone.
pub(crate) fn figures(job: &Job, units: Units) -> Vec<String> {
    let mut all = Vec::new();
    let mut width = None;
    for position in job.positions() {
        let drawing = match position {
            Some(position) => position_picture::draw(&in_position(job, position), position, units),
            None => movable(job, units).finish(),
        };
        width.get_or_insert(drawing.width());
        all.push(drawing.inline());
    }
    let side = width.and_then(|width| side_view::draw(&first(job), units, width));
    all.extend(side.map(|side| side.inline()));
    all
}

fn movable(job: &Job, units: Units) -> super::pen::Pen {
    let mut pen = fixture::drawn(job, units);
    let view = View::new(job);
    for (index, clamp) in job.fixture.clamps.iter().enumerate() {
        let Area { min, max } = seen(&job.fixture, clamp.min, clamp.max);
        let outline = rectangle(view.at(min), view.at(max));
        pen.grip(index + 1, &words(clamp, units), &outline);
    }
    pen
}

fn words(clamp: &Clamp, units: Units) -> String {
    let figure = |mm| figure(Length::from_mm(mm), units);
    format!(
        "{}: X {} to {}, Y {} to {} {units}; the arrow keys move it",
        clamp.name,
        figure(clamp.min.x),
        figure(clamp.max.x),
        figure(clamp.min.y),
        figure(clamp.max.y)
    )
}

/// How far along X and Y it is on the machine that something is moved in the
/// picture from above, to the right and up, in the picture's units.
pub(crate) fn on_the_machine(job: &Job, (right, up): (f64, f64)) -> [Length; 2] {
    let scale = View::new(job).scale;
    let (x, y) = unseen(&job.fixture, (right / scale, up / scale));
    [x, y].map(Length::from_mm)
}

/// A way of steps to the right and up in the picture, along X and Y.
pub(crate) fn turned(job: &Job, way: (f64, f64)) -> (f64, f64) {
    unseen(&job.fixture, way)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{Along, sample};

    // What is drawn so far from one another lies so far apart on the machine.
    #[test]
    fn a_way_in_the_picture_is_the_way_on_the_machine() {
        for along in [Along::X, Along::Y] {
            let mut job = sample::job();
            job.fixture.along = along;
            let view = View::new(&job);
            let at = |x: f64, y: f64| {
                let point = crate::geometry::Point::from_mm(x, y);
                view.at(seen(&job.fixture, point, point).min)
            };
            let (from, to) = (at(20.0, 30.0), at(37.0, 25.0));
            // Down is positive in a drawing.
            let [x, y] = on_the_machine(&job, (to.0 - from.0, from.1 - to.1));
            assert!((x.as_mm() - 17.0).abs() < 1e-9, "{along:?} {x:?}");
            assert!((y.as_mm() + 5.0).abs() < 1e-9, "{along:?} {y:?}");
        }
    }
}
