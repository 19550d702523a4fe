//! A template's plate: underside up as the machine cuts it, and top up as it lies
//! on each part.

use crate::geometry::Point;
use crate::job::template::{Features, Opening, Template};
use crate::job::{Part, PartName, PocketKind};
use crate::units::{Length, Units};

use super::loose_piece::outline;
use super::measure::{figure, one};
use super::pen::{Anchor, Drawing, Hatch, Pen, rectangle, rounded};

const WIDTH: f64 = 690.0;
const MARGIN: f64 = 56.0;
/// Room below the plate for words.
const FOOT: f64 = 44.0;

/// Millimetres to the drawing's units, Y up.
#[derive(Clone, Copy)]
struct Scale {
    units: f64,
    left: f64,
    bottom: f64,
}

impl Scale {
    fn of(length: f64, width: f64) -> (Self, f64) {
        let units = (WIDTH - 2.0 * MARGIN) / length.max(1.0);
        let height = width * units + MARGIN + FOOT;
        let scale = Self {
            units,
            left: MARGIN,
            bottom: height - FOOT,
        };
        (scale, height)
    }

    fn at(self, point: Point) -> (f64, f64) {
        (
            self.left + point.x * self.units,
            self.bottom - point.y * self.units,
        )
    }
}

/// The plate and its strip on the machine, underside up.
pub(super) fn underside(
    plate: &Part,
    features: &Features,
    template: &Template,
    units: Units,
) -> Drawing {
    let (scale, height) = Scale::of(plate.length.as_mm(), plate.across.as_mm());
    let title = "The plate on the machine, underside up";
    let counted = format!(
        "{} openings, {} lengths of groove, {} sight holes, {} loose pieces in the strip at the far edge.",
        features.openings.len(),
        features.grooves.len(),
        features.sight_holes.len(),
        plate.contours.len()
    );
    let mut pen = Pen::new("underside", (WIDTH, height), title, &counted);
    pen.define_hatches(&[Hatch::Fixture]);
    let corner = |x: Length, y: Length| scale.at(Point::new(x, y));
    let origin = scale.at(Point::default());
    pen.path(
        "wood",
        rectangle(origin, corner(plate.length, plate.across)),
    );
    if plate.across > template.plate_width {
        let [from, to] = [Length::ZERO, plate.length].map(|x| corner(x, template.plate_width));
        pen.line("hidden", from, to);
        pen.text(
            "soft halo",
            Anchor::End,
            (to.0 - 6.0, to.1 - 6.0),
            "saw here",
        );
    }
    for tick in &plate.ticks {
        pen.line("axis", scale.at(tick.from), scale.at(tick.to));
    }
    for pocket in &plate.pockets {
        let Some(step) = pocket.steps.first() else {
            continue;
        };
        let half = |length: Length| length.as_mm() * scale.units / 2.0;
        let class = match pocket.kind {
            PocketKind::Groove => "cut-1",
            _ => "void",
        };
        pen.path(
            class,
            rounded(
                scale.at(pocket.center),
                (half(step.length), half(step.width)),
                half(step.corner) * 2.0,
            ),
        );
    }
    for contour in &plate.contours {
        pen.path("edge", outline(&contour.outline, |at| scale.at(at)));
    }
    for insert in &features.inserts {
        let (Some(first), Some(last)) = (insert.pieces.first(), insert.pieces.last()) else {
            continue;
        };
        let words = format!("for step {}", insert.step);
        let (x, _) = scale.at(last.max);
        let (_, y) = scale.at(Point::from_mm(0.0, f64::midpoint(first.min.y, first.max.y)));
        pen.text("strong halo", Anchor::Start, (x + 10.0, y + 5.0), &words);
    }
    for opening in &features.openings {
        let (x, y) = scale.at(opening.center);
        let words = format!("step {}", opening.step);
        pen.text("strong", Anchor::Middle, (x, y + 5.0), &words);
    }
    for (is_for_box, words) in [(true, "box's batten"), (false, "lid's batten")] {
        let mut grooves = features.grooves.iter();
        if let Some(groove) = grooves.find(|groove| groove.is_for_box == is_for_box) {
            let middle = Point::from_mm(
                f64::midpoint(groove.min.x, groove.max.x),
                f64::midpoint(groove.min.y, groove.max.y),
            );
            let (x, y) = scale.at(middle);
            pen.text("soft halo", Anchor::Middle, (x, y + 5.0), words);
        }
    }
    pen.circle("ink", origin, 5.0);
    let (x, y) = origin;
    pen.text(
        "mark",
        Anchor::Start,
        (x, y + 20.0),
        "X0 Y0, Z0 on this face",
    );
    let words = format!("{} long", one(template.plate_length, units));
    pen.text(
        "soft",
        Anchor::End,
        (corner(template.plate_length, Length::ZERO).0, y + 20.0),
        &words,
    );
    let words = format!("{} wide", one(template.plate_width, units));
    let (x, y) = corner(Length::ZERO, template.plate_width / 2.0);
    pen.text_upward("soft", Anchor::Middle, (x - 10.0, y), &words);
    pen.finish()
}

/// The plate turned over left for right, as one writes on it.
pub(super) fn top(features: &Features, template: &Template) -> Drawing {
    let (length, width) = (template.plate_length.as_mm(), template.plate_width.as_mm());
    let (scale, height) = Scale::of(length, width);
    let mut pen = Pen::new(
        "plate-top",
        (WIDTH, height),
        "The plate turned over, its top up",
        "What to write on it: STOP END on the right, BOX SIDE on the edge towards you, LID SIDE on the far one.",
    );
    let at = |x: f64, y: f64| scale.at(Point::from_mm(x, y));
    pen.path("wood", rectangle(at(0.0, 0.0), at(length, width)));
    for opening in &features.openings {
        let turned = |x: f64| length - x;
        draw_opening(
            &mut pen,
            scale,
            opening,
            at(turned(opening.center.x), opening.center.y),
        );
        let mark = turned(opening.mark.as_mm());
        pen.line("axis", at(mark, 0.0), at(mark, width));
    }
    pen.line("axis", at(0.0, width / 2.0), at(length, width / 2.0));
    for hole in &features.sight_holes {
        let reach = scale.units * 4.0;
        pen.circle("edge", at(length - hole.x, hole.y), reach);
    }
    let (x, y) = at(length / 4.0, 0.0);
    pen.text("name halo", Anchor::Middle, (x, y - 10.0), "BOX SIDE");
    let (x, y) = at(length / 4.0, width);
    pen.text("name halo", Anchor::Middle, (x, y + 22.0), "LID SIDE");
    let (x, y) = at(length, width / 4.0);
    pen.text_upward("name halo", Anchor::Middle, (x - 12.0, y), "STOP END");
    pen.finish()
}

/// The plate top up on a part, seen from above by who stands at the outside face:
/// v away from the eye, u to the left on the box and to the right on the lid.
pub(super) fn pose(
    part: &Part,
    features: &Features,
    template: &Template,
    units: Units,
) -> Option<Drawing> {
    let pocket = part.pockets.first()?;
    let (length, width) = (template.plate_length.as_mm(), template.plate_width.as_mm());
    let away = match part.name {
        PartName::Box => -1.0,
        _ => 1.0,
    };
    let (scale, height) = Scale::of(length, width);
    let v_center = pocket.center.y;
    // In the picture X is to the right from the plate's left edge, Y from its near edge.
    let near = width / 2.0 - v_center;
    let name = part.name.to_string();
    let title = format!("The plate on the {name}, top up, seen from the outside face");
    let end = match part.name {
        PartName::Box => "right",
        _ => "left",
    };
    let description = format!(
        "The {name}'s outside face is towards you with the batten against it; its stop end is on the {end}."
    );
    let mut pen = Pen::new(
        &format!("pose-{name}"),
        (WIDTH, height),
        &title,
        &description,
    );
    pen.define_hatches(&[Hatch::Box, Hatch::Lid, Hatch::Fixture]);
    let at = |x: f64, y: f64| scale.at(Point::from_mm(x, y));
    let hatch = match part.name {
        PartName::Lid => Hatch::Lid,
        _ => Hatch::Box,
    };
    let inner = (near + part.across.as_mm()).min(width + 12.0);
    pen.hatched(
        "wood",
        hatch,
        &rectangle(at(-14.0, near), at(length + 14.0, inner)),
    );
    pen.line("outside", at(-14.0, near), at(length + 14.0, near));
    pen.path("edge", rectangle(at(0.0, 0.0), at(length, width)));
    for groove in features
        .grooves
        .iter()
        .filter(|groove| groove.is_for_box == (part.name == PartName::Box))
    {
        // The plate lies turned over for the box, and half a turn from that for the lid:
        // X runs to the left on the box, to the right on the lid.
        let [one_end, other] =
            [groove.min.x, groove.max.x].map(|x| if away < 0.0 { length - x } else { x });
        let outer = near - template.batten.width.as_mm();
        pen.path("hidden", rectangle(at(one_end, outer), at(other, near)));
    }
    for opening in &features.openings {
        let [x, mark] = [opening.center.x, opening.mark.as_mm()]
            .map(|x| if away < 0.0 { length - x } else { x });
        draw_opening(&mut pen, scale, opening, at(x, width / 2.0));
        for insert in features.inserts.iter().filter(|_| opening.step == 1) {
            let leaves = &insert.leaves;
            let x = if away < 0.0 {
                length - leaves.center.x
            } else {
                leaves.center.x
            };
            let half = |length: Length| length.as_mm() * scale.units / 2.0;
            let halves = (half(leaves.length), half(leaves.width));
            pen.path(
                "hidden",
                rounded(at(x, width / 2.0), halves, 2.0 * half(leaves.corner)),
            );
        }
        pen.line("axis", at(mark, -4.0), at(mark, width + 4.0));
    }
    pen.line("axis", at(-8.0, width / 2.0), at(length + 8.0, width / 2.0));
    let side = match part.name {
        PartName::Box => "BOX SIDE",
        _ => "LID SIDE",
    };
    pen.text(
        "name halo",
        Anchor::Middle,
        {
            let (x, y) = at(length / 2.0, 0.0);
            (x, y - 8.0)
        },
        side,
    );
    let (x, y) = at(length / 2.0, 0.0);
    pen.text("soft", Anchor::Middle, (x, y + 22.0), "you stand here");
    let (anchor, x) = match part.name {
        PartName::Box => (Anchor::End, length),
        _ => (Anchor::Start, 0.0),
    };
    let (x, y) = at(x, width);
    pen.text(
        "strong halo",
        anchor,
        (x, y + 22.0),
        &format!("{name}'s stop end this way"),
    );
    let (x, y) = at(0.0, near - template.batten.width.as_mm());
    let words = format!("{} to the middle", figure(Length::from_mm(v_center), units));
    pen.text("mark halo", Anchor::Start, (x + 6.0, y + 20.0), &words);
    Some(pen.finish())
}

fn draw_opening(pen: &mut Pen, scale: Scale, opening: &Opening, center: (f64, f64)) {
    let half = |length: Length| length.as_mm() * scale.units / 2.0;
    pen.path(
        "void",
        rounded(
            center,
            (half(opening.length), half(opening.width)),
            half(opening.corner) * 2.0,
        ),
    );
    let words = format!("step {}", opening.step);
    pen.text(
        "strong halo",
        Anchor::Middle,
        (center.0, center.1 + 5.0),
        &words,
    );
}
