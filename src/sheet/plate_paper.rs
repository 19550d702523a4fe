//! A template's openings in full size on paper, from both faces of the plate.

use crate::geometry::Point;
use crate::job::template::{Features, Template};
use crate::job::{Job, Plate};
use crate::units::Units;

use super::measure::one;
use super::paper_template::{self, PAGE};
use super::pen::{Anchor, Drawing, Pen, rounded};

/// The line on which the openings' middles lie.
const MIDDLE: f64 = 105.0;

/// A page for each face, with what to append to the plate's stem; none where this
/// is no plate, or where the openings are longer than a page.
pub(super) fn draw(job: &Job, units: Units) -> Vec<(String, Drawing)> {
    let Some(Plate { of, features }) = &job.plate else {
        return Vec::new();
    };
    let (Some(template), Some(middle)) = (&of.template, run(features)) else {
        return Vec::new();
    };
    if middle[1] - middle[0] > PAGE.0 - 10.0 {
        return Vec::new();
    }
    let half = f64::midpoint(middle[0], middle[1]);
    ["underside", "top"]
        .map(|face| {
            // Turned over about a line across, X runs the other way.
            let side = if face == "top" { -1.0 } else { 1.0 };
            let at = |point: Point| {
                (
                    PAGE.0 / 2.0 + side * (point.x - half),
                    MIDDLE - (point.y - template.plate_width.as_mm() / 2.0),
                )
            };
            let drawing = page(job, features, template, (face, &at), units);
            (format!("-{face}"), drawing)
        })
        .to_vec()
}

/// Least and greatest X of the openings.
fn run(features: &Features) -> Option<[f64; 2]> {
    let ends = features.openings.iter().map(|opening| {
        let half = opening.length.as_mm() / 2.0;
        [opening.center.x - half, opening.center.x + half]
    });
    ends.reduce(|one, other| [one[0].min(other[0]), one[1].max(other[1])])
}

fn page(
    job: &Job,
    features: &Features,
    template: &Template,
    (face, at): (&str, &dyn Fn(Point) -> (f64, f64)),
    units: Units,
) -> Drawing {
    let title = format!("{}: the openings from the {face}", job.title);
    let mut pen = Pen::new(
        &format!("openings-{face}"),
        PAGE,
        &title,
        "Full size when printed at 100 percent: openings with centre lines and the battens' \
         faces, and a 50 mm ruler to check the printer.",
    );
    pen.text("tp-strong", Anchor::Start, (8.0, 7.0), &title);
    paper_template::ruler(&mut pen);
    pen.line("tp-axis", (5.0, MIDDLE), (PAGE.0 - 5.0, MIDDLE));
    for opening in &features.openings {
        let center = at(opening.center);
        let half = [opening.length, opening.width].map(|size| size.as_mm() / 2.0);
        pen.path(
            "tp-line",
            rounded(center, (half[0], half[1]), opening.corner.as_mm()),
        );
        let (mark, _) = at(Point::new(opening.mark, opening.center.y()));
        pen.line("tp-axis", (mark, 40.0), (mark, PAGE.1 - 10.0));
        let words = format!(
            "step {}: {} × {}",
            opening.step,
            one(opening.length, units),
            one(opening.width, units)
        );
        pen.text(
            "tp",
            Anchor::Start,
            (center.0 + 2.0, center.1 - 2.0),
            &words,
        );
    }
    for (is_for_box, words) in [(true, "box's outside face"), (false, "lid's outside face")] {
        let mut grooves = features.grooves.iter();
        let Some(groove) = grooves.find(|groove| groove.is_for_box == is_for_box) else {
            continue;
        };
        let edge = if is_for_box {
            groove.max.y
        } else {
            groove.min.y
        };
        let (_, y) = at(Point::from_mm(0.0, edge));
        pen.line("tp-face", (5.0, y), (PAGE.0 - 5.0, y));
        let below = if is_for_box { 4.4 } else { -1.6 };
        pen.text("tp", Anchor::Start, (8.0, y + below), words);
    }
    let (_, y) = at(Point::from_mm(0.0, 0.0));
    let (near, far) = (
        "towards the plate's near edge: BOX SIDE on top",
        "towards the plate's far edge: LID SIDE on top",
    );
    let low = y.min(PAGE.1 - 4.0);
    pen.text("tp", Anchor::Middle, (PAGE.0 / 2.0, low), near);
    pen.text("tp", Anchor::Middle, (PAGE.0 / 2.0, 36.0), far);
    let thick = format!(
        "the plate is {} thick",
        one(template.plate_thickness, units)
    );
    pen.text("tp", Anchor::End, (PAGE.0 - 8.0, 7.0), &thick);
    pen.finish()
}
