//! The opening in which the collar runs so that the bit cuts a step.

use crate::geometry::{Point, RoundedRectangle};
use crate::job::Step;
use crate::job::template::{Opening, Template};
use crate::units::{Length, Units, text};

/// Least room of the collar across an opening: in one exactly as wide it binds.
const LEAST_ROOM: Length = Length::from_mm(0.1);

/// The opening of a step with its middle at `center`.
pub(super) fn of(number: usize, step: &Step, template: &Template, center: Point) -> Opening {
    let offset = template.offset().max(Length::ZERO);
    let least = template.collar + LEAST_ROOM;
    let exact = step.width + offset * 2.0;
    let width = exact.max(least);
    let more = (width - exact) / 2.0;
    Opening {
        step: number,
        center,
        mark: center.x() - step.shift,
        length: (step.length + offset * 2.0).max(least),
        width,
        corner: (step.corner + offset + more).min(width / 2.0),
    }
}

/// What the collar's least room adds to the pocket, where it adds something.
pub(super) fn told(
    step: &Step,
    opening: &Opening,
    template: &Template,
    units: Units,
) -> Option<String> {
    // A collar no wider than the bit guides nothing, whatever its opening.
    if template.offset() <= Length::ZERO {
        return None;
    }
    let more = opening.width - (step.width + template.offset() * 2.0);
    (more.as_mm() > 1e-6).then(|| {
        let show = |length| text::short(length, units);
        format!(
            "the opening of step {} is {} wider than the rule asks, since a collar of {} would bind: \
             the pocket may come out up to {} wider than {}",
            opening.step,
            show(more),
            show(template.collar),
            show(more),
            show(step.width)
        )
    })
}

/// Its outline.
pub(super) fn outline(opening: &Opening) -> RoundedRectangle {
    RoundedRectangle::new(
        opening.center,
        opening.length,
        opening.width,
        opening.corner,
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    #[test]
    fn a_collar_no_wider_than_the_bit_is_not_told_to_bind() {
        let mm = Length::from_mm;
        let mut template = sample::template();
        template.bit.diameter = mm(8.0);
        let step = Step {
            length: mm(60.0),
            width: mm(8.0),
            corner: mm(4.0),
            shift: mm(0.0),
            depth: mm(3.0),
        };
        for (collar, is_told) in [(7.0, false), (8.0, false), (9.0, true)] {
            template.collar = mm(collar);
            let opening = of(1, &step, &template, Point::default());
            let told = told(&step, &opening, &template, Units::Millimetre);
            assert_eq!(told.is_some(), is_told, "{collar}: {told:?}");
        }
    }

    /// Source: a cutter maker's tips page, collar 30 mm, bit 10 mm: offset 10 mm; router
    /// forum, cut 8 × 4 in, collar 3/4 in, bit 1/4 in: opening 8 1/2 × 4 1/2 in; derived:
    /// pocket 46.82 × 9.525, bit 9.525, collar 25.4: opening 62.695 long, corner 12.7, and
    /// as wide as the collar but for the room that lets it run.
    #[test]
    fn an_opening_is_its_step_grown_by_half_of_collar_less_bit() {
        let mm = Length::from_mm;
        for (collar, bit, length, width, wanted) in [
            (30.0, 10.0, 80.0, 40.0, [100.0, 60.0]),
            (19.05, 6.35, 203.2, 101.6, [215.9, 114.3]),
            (25.4, 9.525, 46.82, 9.525, [62.695, 25.5]),
            (25.4, 9.525, 29.52, 9.525, [45.395, 25.5]),
        ] {
            let mut template = sample::template();
            template.collar = mm(collar);
            template.bit.diameter = mm(bit);
            let step = Step {
                length: mm(length),
                width: mm(width),
                corner: mm(width / 2.0),
                shift: mm(0.0),
                depth: mm(3.0),
            };
            let opening = of(1, &step, &template, Point::default());
            assert!((opening.length.as_mm() - wanted[0]).abs() < 1e-9);
            assert!((opening.width.as_mm() - wanted[1]).abs() < 1e-9);
            assert!((opening.corner.as_mm() - wanted[1] / 2.0).abs() < 1e-9);
            let told = told(&step, &opening, &template, Units::Millimetre);
            assert_eq!(told.is_some(), wanted[1] == 25.5, "{told:?}");
        }
    }
}
