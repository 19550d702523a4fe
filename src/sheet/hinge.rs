//! Where to measure the hinge: a picture with letters, and what each stands for.

use serde::Serialize;

use crate::job::{Job, PartName};
use crate::units::{Length, Units};

use super::measure::{Both, both};
use super::pen::{Anchor, Drawing, Hatch, Pen, polygon, polyline, rectangle, rounded};

/// One letter of the picture.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Reading {
    letter: char,
    key: String,
    how: &'static str,
    value: Both,
}

/// A step of one half of the hinge as it was read.
#[cfg_attr(
    not(feature = "page"),
    expect(dead_code, reason = "the page alone draws it to scale")
)]
pub(super) struct LeafStep {
    pub(super) length: Length,
    pub(super) width: Length,
    pub(super) corner: Length,
    /// Along the hinged edge, from the hinge's middle.
    pub(super) shift: Length,
    /// From the face of the leaf down.
    pub(super) depth: Length,
}

/// The half in the first part, worked back from what is cut: the shallowest step first.
pub(super) fn leaf(job: &Job) -> Vec<LeafStep> {
    let Some((part, pocket)) = job
        .parts
        .iter()
        .find_map(|part| part.pockets.first().map(|pocket| (part, pocket)))
    else {
        return Vec::new();
    };
    let fit = &job.fit;
    let share = match part.name {
        PartName::Lid => 1.0 - fit.box_share,
        PartName::Box | PartName::Scrap | PartName::Plate => fit.box_share,
    };
    let recess = (job.hinge.closed_gap - fit.gap) * share;
    let steps = pocket.steps.iter().enumerate();
    let steps = steps.map(|(index, step)| {
        let under = if index == 0 { Length::ZERO } else { fit.under };
        LeafStep {
            length: step.length - fit.clearance,
            width: step.width - fit.clearance,
            corner: step.corner - fit.clearance * 0.5,
            shift: step.shift,
            depth: step.depth - recess - under - fit.depth,
        }
    });
    steps.collect()
}

/// The readings the job was made from, worked back from what is cut.
pub(super) fn readings(job: &Job, units: Units) -> Vec<Reading> {
    let steps = leaf(job);
    if steps.is_empty() {
        return Vec::new();
    }
    let mut readings = vec![
        reading(
            "hinge.width",
            "across the leaf, with a caliper",
            job.hinge.width,
            units,
        ),
        reading(
            "hinge.setback",
            "outside face of the wood to the near side of the leaf, as you want it",
            job.hinge.setback,
            units,
        ),
        reading(
            "hinge.closed_gap",
            "between the faces of the leaves, hinge closed by hand",
            job.hinge.closed_gap,
            units,
        ),
    ];
    for (index, step) in steps.iter().enumerate().take(STEPS as usize) {
        let key = |what: &str| format!("hinge.steps[{}].{what}", index + 1);
        let (along, down) = if index == 0 {
            (
                "end to end of the leaf",
                "thickness of the leaf at its edge",
            )
        } else {
            (
                "end to end of the body under the leaf",
                "face of the leaf to the body's bottom",
            )
        };
        readings.push(reading(key("length"), along, step.length, units));
        readings.push(reading(key("depth"), down, step.depth, units));
    }
    readings
}

/// The letter of the picture for a key of the hinge, where it has one.
pub fn letter(key: &str) -> Option<char> {
    let of_step = |number: &str, first: char| {
        let number: u32 = number.parse().ok()?;
        let shown = (1..=STEPS).contains(&number);
        shown.then(|| char::from_u32(u32::from(first) + 2 * (number - 1)))?
    };
    match key.strip_prefix("hinge.")? {
        "width" => Some('A'),
        "setback" => Some('B'),
        "closed_gap" => Some('C'),
        step => {
            let (number, what) = step.strip_prefix("steps[")?.split_once("].")?;
            match what {
                "length" => of_step(number, 'D'),
                "depth" => of_step(number, 'E'),
                _ => None,
            }
        }
    }
}

/// Steps that get letters.
const STEPS: u32 = 3;

fn reading(key: impl Into<String>, how: &'static str, value: Length, units: Units) -> Reading {
    let key = key.into();
    Reading {
        letter: letter(&key).unwrap_or('?'),
        key,
        how,
        value: both(value, units),
    }
}

/// Draws the hinge from above, from the side and let into both parts.
pub(super) fn draw() -> Drawing {
    let mut pen = Pen::new(
        "measure",
        (700.0, 300.0),
        "Where to measure the hinge",
        "Not to scale. From above: A across the leaf, D the leaf's length, B from the outside \
         face. From the side: E thickness of the leaf, F the body's length, G the body's depth. \
         Closed: C between the two leaves.",
    );
    pen.define_hatches(&[Hatch::Box, Hatch::Lid]);
    from_above(&mut pen);
    from_the_side(&mut pen);
    closed(&mut pen);
    pen.finish()
}

fn from_above(pen: &mut Pen) {
    pen.text("strong", Anchor::Start, (30.0, 18.0), "from above");
    pen.hatched("wood", Hatch::Box, &rectangle((30.0, 62.0), (370.0, 142.0)));
    pen.line("outside", (30.0, 62.0), (370.0, 62.0));
    pen.path("metal", rounded((200.0, 104.0), (120.0, 20.0), 20.0));
    pen.path("hidden", rounded((200.0, 104.0), (72.0, 20.0), 20.0));
    for x in [105.0, 295.0] {
        pen.circle("paper", (x, 104.0), 8.0);
    }
    pen.text("mark", Anchor::Start, (327.0, 54.0), "outside face");
    pen.dimension_across((80.0, 320.0), 40.0, "D");
    pen.path("thin", "M80 104V35M320 104V35");
    pen.path("thin", "M200 84H50M200 124H50");
    pen.dimension_down(58.0, (84.0, 124.0), "A");
    pen.dimension_down(342.0, (62.0, 84.0), "B");
    pen.path("thin", "M320 84H347");
}

fn from_the_side(pen: &mut Pen) {
    pen.text("strong", Anchor::Start, (30.0, 182.0), "from the side");
    let leaf = [
        (80.0, 200.0),
        (320.0, 200.0),
        (320.0, 216.0),
        (272.0, 216.0),
        (272.0, 262.0),
        (128.0, 262.0),
        (128.0, 216.0),
        (80.0, 216.0),
    ];
    pen.path("metal", polygon(&leaf));
    pen.dimension_across((128.0, 272.0), 284.0, "F");
    pen.path("thin", "M128 262V289M272 262V289");
    pen.path("thin", "M80 216H50M320 262H347M320 200H347M272 262H320");
    pen.dimension_down(58.0, (200.0, 216.0), "E");
    pen.dimension_down(342.0, (200.0, 262.0), "G");
}

fn closed(pen: &mut Pen) {
    pen.text("strong", Anchor::Start, (440.0, 18.0), "closed, cut across");
    pen.hatched(
        "wood",
        Hatch::Lid,
        &rectangle((440.0, 40.0), (640.0, 142.0)),
    );
    pen.hatched(
        "wood",
        Hatch::Box,
        &rectangle((440.0, 158.0), (560.0, 280.0)),
    );
    pen.path("metal", rectangle((470.0, 92.0), (520.0, 142.0)));
    pen.path("metal", rectangle((470.0, 158.0), (520.0, 208.0)));
    pen.path("outside", polyline(&[(440.0, 40.0), (440.0, 142.0)]));
    pen.path("outside", polyline(&[(440.0, 158.0), (440.0, 280.0)]));
    pen.text("name halo", Anchor::Middle, (590.0, 80.0), "LID");
    pen.text("name halo", Anchor::Middle, (500.0, 265.0), "BOX");
    pen.path("thin", "M520 142H600M520 158H600");
    pen.dimension_down(590.0, (142.0, 158.0), "C");
    pen.dimension_across((440.0, 470.0), 224.0, "B");
    pen.path("thin", "M470 208V229");
    pen.dimension_across((470.0, 520.0), 178.0, "A");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    #[test]
    fn readings_are_what_was_measured_not_what_is_cut() {
        // The sample hinge as measured: 44 × 4.5 and 27 × 12 mm.
        let values: Vec<_> = readings(&sample::job(), Units::Millimetre)
            .into_iter()
            .map(|reading| (reading.letter, reading.value.first))
            .collect();
        let expected = [
            ('A', "10.00 mm"),
            ('B', "3.50 mm"),
            ('C', "0.80 mm"),
            ('D', "44.00 mm"),
            ('E', "4.50 mm"),
            ('F', "27.00 mm"),
            ('G', "12.00 mm"),
        ];
        assert_eq!(
            values,
            expected.map(|(letter, value)| (letter, value.to_owned()))
        );
    }
}
