//! A template's plate: underside up as the machine cuts it, and top up as it lies
//! on each part.

use crate::geometry::Point;
use crate::job::template::{Features, Groove, Opening, Template};
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
    board(&mut pen, scale, plate, template);
    cuts(&mut pen, scale, plate);
    names(&mut pen, scale, features);
    sizes(&mut pen, scale, template, units);
    pen.finish()
}

/// The plate and its strip, and where they are sawn apart.
fn board(pen: &mut Pen, scale: Scale, plate: &Part, template: &Template) {
    let corner = |x: Length, y: Length| scale.at(Point::new(x, y));
    let origin = scale.at(Point::default());
    pen.path(
        "wood",
        rectangle(origin, corner(plate.length, plate.across)),
    );
    if plate.across > template.plate_width {
        let [from, to] = [Length::ZERO, plate.length].map(|x| corner(x, template.plate_width));
        pen.line("hidden", from, to);
        let at = (to.0 - 6.0, to.1 - 6.0);
        pen.text("soft halo", Anchor::End, at, "saw here");
    }
}

/// Centre lines, openings, grooves, holes, and the edges of loose pieces.
fn cuts(pen: &mut Pen, scale: Scale, plate: &Part) {
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
        let halves = (half(step.length), half(step.width));
        let shape = rounded(scale.at(pocket.center), halves, half(step.corner) * 2.0);
        pen.path(class, shape);
    }
    for contour in &plate.contours {
        pen.path("edge", outline(&contour.outline, |at| scale.at(at)));
    }
}

/// What is what.
fn names(pen: &mut Pen, scale: Scale, features: &Features) {
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
}

/// The zero, and how large the plate is.
fn sizes(pen: &mut Pen, scale: Scale, template: &Template, units: Units) {
    let corner = |x: Length, y: Length| scale.at(Point::new(x, y));
    let (x, y) = scale.at(Point::default());
    pen.circle("ink", (x, y), 5.0);
    let below = y + 20.0;
    pen.text("mark", Anchor::Start, (x, below), "X0 Y0, Z0 on this face");
    let words = format!("{} long", one(template.plate_length, units));
    let (right, _) = corner(template.plate_length, Length::ZERO);
    pen.text("soft", Anchor::End, (right, below), &words);
    let words = format!("{} wide", one(template.plate_width, units));
    let (x, y) = corner(Length::ZERO, template.plate_width / 2.0);
    pen.text_upward("soft", Anchor::Middle, (x - 10.0, y), &words);
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
    let (scale, height) = Scale::of(template.plate_length.as_mm(), template.plate_width.as_mm());
    let pose = Pose {
        part,
        features,
        template,
        scale,
        v_center: pocket.center.y,
        near: template.plate_width.as_mm() / 2.0 - pocket.center.y,
    };
    let name = part.name;
    let title = format!("The plate on the {name}, top up, seen from the outside face");
    let end = if pose.is_turned() { "right" } else { "left" };
    let description = format!(
        "The {name}'s outside face is towards you with the batten against it; its stop end is on the {end}."
    );
    let id = format!("pose-{name}");
    let mut pen = Pen::new(&id, (WIDTH, height), &title, &description);
    pen.define_hatches(&[Hatch::Box, Hatch::Lid, Hatch::Fixture]);
    pose.wood(&mut pen);
    pose.openings(&mut pen);
    pose.words(&mut pen, units);
    Some(pen.finish())
}

/// The plate on one part. In its picture X runs to the right from the plate's
/// left edge, Y away from its near edge, in millimetres.
struct Pose<'j> {
    part: &'j Part,
    features: &'j Features,
    template: &'j Template,
    scale: Scale,
    /// From the outside face to the pockets' middle.
    v_center: f64,
    /// From the plate's near edge to the outside face.
    near: f64,
}

impl Pose<'_> {
    /// The plate lies turned over for the box, and half a turn from that for
    /// the lid: its X runs to the left on the box, to the right on the lid.
    fn is_turned(&self) -> bool {
        self.part.name == PartName::Box
    }

    fn x_of(&self, x: f64) -> f64 {
        if self.is_turned() {
            self.template.plate_length.as_mm() - x
        } else {
            x
        }
    }

    fn at(&self, x: f64, y: f64) -> (f64, f64) {
        self.scale.at(Point::from_mm(x, y))
    }

    fn size(&self) -> (f64, f64) {
        let template = self.template;
        (template.plate_length.as_mm(), template.plate_width.as_mm())
    }

    /// The part under the plate, the plate, and the batten's grooves under it.
    fn wood(&self, pen: &mut Pen) {
        let ((length, width), near) = (self.size(), self.near);
        let hatch = match self.part.name {
            PartName::Lid => Hatch::Lid,
            _ => Hatch::Box,
        };
        let inner = (near + self.part.across.as_mm()).min(width + 12.0);
        let part = rectangle(self.at(-14.0, near), self.at(length + 14.0, inner));
        pen.hatched("wood", hatch, &part);
        pen.line(
            "outside",
            self.at(-14.0, near),
            self.at(length + 14.0, near),
        );
        pen.path("edge", rectangle(self.at(0.0, 0.0), self.at(length, width)));
        let own = |groove: &&Groove| groove.is_for_box == self.is_turned();
        for groove in self.features.grooves.iter().filter(own) {
            let [one_end, other] = [groove.min.x, groove.max.x].map(|x| self.x_of(x));
            let outer = near - self.template.batten.width.as_mm();
            pen.path(
                "hidden",
                rectangle(self.at(one_end, outer), self.at(other, near)),
            );
        }
    }

    /// The openings, what the inserts leave of the first, and the centre lines.
    fn openings(&self, pen: &mut Pen) {
        let (length, width) = self.size();
        let half = |length: Length| length.as_mm() * self.scale.units / 2.0;
        for opening in &self.features.openings {
            let x = self.x_of(opening.center.x);
            draw_opening(pen, self.scale, opening, self.at(x, width / 2.0));
            for insert in self.features.inserts.iter().filter(|_| opening.step == 1) {
                let leaves = &insert.leaves;
                let middle = self.at(self.x_of(leaves.center.x), width / 2.0);
                let halves = (half(leaves.length), half(leaves.width));
                pen.path("hidden", rounded(middle, halves, 2.0 * half(leaves.corner)));
            }
            let mark = self.x_of(opening.mark.as_mm());
            pen.line("axis", self.at(mark, -4.0), self.at(mark, width + 4.0));
        }
        let middle = width / 2.0;
        pen.line("axis", self.at(-8.0, middle), self.at(length + 8.0, middle));
    }

    fn words(&self, pen: &mut Pen, units: Units) {
        let (length, width) = self.size();
        let (side, anchor, end) = match self.part.name {
            PartName::Box => ("BOX SIDE", Anchor::End, length),
            _ => ("LID SIDE", Anchor::Start, 0.0),
        };
        let (x, y) = self.at(length / 2.0, 0.0);
        pen.text("name halo", Anchor::Middle, (x, y - 8.0), side);
        pen.text("soft", Anchor::Middle, (x, y + 22.0), "you stand here");
        let (x, y) = self.at(end, width);
        let words = format!("{}'s stop end this way", self.part.name);
        pen.text("strong halo", anchor, (x, y + 22.0), &words);
        let (x, y) = self.at(0.0, self.near - self.template.batten.width.as_mm());
        let middle = Length::from_mm(self.v_center);
        let words = format!("{} to the middle", figure(middle, units));
        pen.text("mark halo", Anchor::Start, (x + 6.0, y + 20.0), &words);
    }
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
