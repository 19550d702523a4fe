//! One half of the hinge as it was read, to scale: from above in the wood, and
//! from the side under the other half's leaf.

use crate::job::Job;
use crate::units::{Length, Units};

use super::hinge::{self, LeafStep};
use super::measure::one;
use super::pen::{Anchor, Drawing, Hatch, Pen, rectangle, rounded, spread};

const WIDTH: f64 = 700.0;
const LEFT: f64 = 40.0;
/// Where the labels of the right side begin.
const LABELS: f64 = 560.0;
/// Between two labels of the right side.
const ROW: f64 = 20.0;
/// Most that the plan and the side view take up, down.
const TALLEST: f64 = 150.0;
const TOP: f64 = 34.0;

/// Draws it; nothing of a job without a pocket.
pub(super) fn draw(job: &Job, units: Units) -> Option<Drawing> {
    let steps = hinge::leaf(job);
    if steps.is_empty() {
        return None;
    }
    let view = View::new(job, &steps);
    let title = "The hinge as you read it";
    let described = description(job, &steps, units);
    let mut pen = Pen::new("leaf", (WIDTH, view.height), title, &described);
    pen.define_hatches(&[Hatch::Box]);
    let mut leaf = Leaf {
        pen: &mut pen,
        view: &view,
        job,
        steps: &steps,
        units,
    };
    leaf.plan();
    leaf.side();
    Some(pen.finish())
}

/// A letter of the picture of where to measure, and the figure.
fn label(key: &str, length: Length, units: Units) -> String {
    let figure = one(length, units);
    match hinge::letter(key) {
        Some(letter) => format!("{letter} {figure}"),
        None => figure,
    }
}

fn of_step(index: usize, what: &str) -> String {
    format!("hinge.steps[{}].{what}", index + 1)
}

fn description(job: &Job, steps: &[LeafStep], units: Units) -> String {
    let whole = [
        ("hinge.width", "across the leaf", job.hinge.width),
        ("hinge.setback", "from the outside face", job.hinge.setback),
        (
            "hinge.closed_gap",
            "between the leaves",
            job.hinge.closed_gap,
        ),
    ];
    let mut words: Vec<String> = whole
        .map(|(key, what, length)| format!("{} {what}", label(key, length, units)))
        .into();
    for (index, step) in steps.iter().enumerate() {
        words.push(format!(
            "step {}: {} long, {} deep",
            index + 1,
            label(&of_step(index, "length"), step.length, units),
            label(&of_step(index, "depth"), step.depth, units)
        ));
    }
    format!("To scale. {}.", words.join("; "))
}

/// From millimetres to the drawing's units.
struct View {
    scale: f64,
    /// Middle of the hinge.
    middle: f64,
    /// Faces of both leaves in the side view.
    face: f64,
    other: f64,
    height: f64,
}

impl View {
    fn new(job: &Job, steps: &[LeafStep]) -> Self {
        let end = |side: f64| {
            let ends = steps
                .iter()
                .map(|step| side * step.shift.as_mm() + step.length.as_mm() / 2.0);
            ends.fold(1.0, f64::max)
        };
        let deep = steps.iter().map(|step| step.depth.as_mm());
        let deep = deep.fold(0.1, f64::max);
        let across = (job.hinge.setback + job.hinge.width).as_mm();
        let room = LABELS - LEFT - 80.0;
        let scale = (room / (end(1.0) + end(-1.0)))
            .min(TALLEST / across.max(1.0))
            .min(TALLEST / deep);
        let gap = job.hinge.closed_gap.as_mm() * scale;
        let leaf = steps[0].depth.as_mm() * scale;
        let plan = TOP + (across + 4.0) * scale;
        let other = plan + 44.0 + leaf;
        Self {
            scale,
            middle: LEFT + 20.0 + end(-1.0) * scale,
            face: other + gap,
            other,
            height: other + gap + deep * scale + ROW * (steps.len() as f64 + 1.0),
        }
    }
}

struct Leaf<'a> {
    pen: &'a mut Pen,
    view: &'a View,
    job: &'a Job,
    steps: &'a [LeafStep],
    units: Units,
}

impl Leaf<'_> {
    fn ends(&self, step: &LeafStep) -> (f64, f64) {
        let middle = self.view.middle + step.shift.as_mm() * self.view.scale;
        let half = step.length.as_mm() / 2.0 * self.view.scale;
        (middle - half, middle + half)
    }

    fn plan(&mut self) {
        let scale = self.view.scale;
        let hinge = &self.job.hinge;
        let near = TOP + hinge.setback.as_mm() * scale;
        let far = near + hinge.width.as_mm() * scale;
        let right = LABELS - 40.0;
        let wood = rectangle((LEFT, TOP), (right, far + 4.0 * scale));
        self.pen.hatched("wood", Hatch::Box, &wood);
        self.pen.line("outside", (LEFT, TOP), (right, TOP));
        let at = (LEFT, TOP - 10.0);
        self.pen.text("mark", Anchor::Start, at, "outside face");
        let at = (right, TOP - 10.0);
        self.pen.text("strong", Anchor::End, at, "from above");
        for (index, step) in self.steps.iter().enumerate() {
            let (from, to) = self.ends(step);
            let half = ((to - from) / 2.0, step.width.as_mm() / 2.0 * scale);
            let center = (f64::midpoint(from, to), f64::midpoint(near, far));
            let class = if index == 0 { "metal" } else { "hidden" };
            let outline = rounded(center, half, step.corner.as_mm() * scale);
            self.pen.path(class, outline);
        }
        let marks = [
            (TOP, near, label("hinge.setback", hinge.setback, self.units)),
            (near, far, label("hinge.width", hinge.width, self.units)),
        ];
        self.pen.line("thin", (right, near), (right + 24.0, near));
        self.pen.line("thin", (right, far), (right + 24.0, far));
        self.pen.line("thin", (right, TOP), (right + 24.0, TOP));
        let middles = marks
            .each_ref()
            .map(|(from, to, _)| f64::midpoint(*from, *to));
        for ((from, to, words), y) in marks.iter().zip(spread(&middles, ROW)) {
            self.pen.dimension_down(right + 18.0, (*from, *to), "");
            self.label(y, f64::midpoint(*from, *to), words);
        }
    }

    fn side(&mut self) {
        let View {
            scale,
            face,
            other,
            height,
            ..
        } = *self.view;
        let right = LABELS - 40.0;
        let at = (LEFT, other - self.steps[0].depth.as_mm() * scale - 10.0);
        self.pen
            .text("strong", Anchor::Start, at, "from the side, closed");
        let (from, to) = self.ends(&self.steps[0]);
        let leaf = self.steps[0].depth.as_mm() * scale;
        self.pen
            .path("void", rectangle((from, other - leaf), (to, other)));
        self.pen.line("thin", (to, other), (right + 24.0, other));
        self.pen.line("thin", (to, face), (right + 24.0, face));
        let mut marks = vec![(
            f64::midpoint(other, face),
            label("hinge.closed_gap", self.job.hinge.closed_gap, self.units),
        )];
        let mut low = face;
        for (index, step) in self.steps.iter().enumerate() {
            let (from, to) = self.ends(step);
            let bottom = face + step.depth.as_mm() * scale;
            self.pen.path("metal", rectangle((from, low), (to, bottom)));
            self.pen.line("thin", (to, bottom), (right + 24.0, bottom));
            marks.push((
                bottom,
                label(&of_step(index, "depth"), step.depth, self.units),
            ));
            low = bottom;
        }
        let wanted: Vec<f64> = marks.iter().map(|(at, _)| *at).collect();
        for ((at, words), y) in marks.iter().zip(spread(&wanted, ROW)) {
            self.label(y, *at, words);
        }
        // Lengths below, the longest lowest.
        for (index, step) in self.steps.iter().enumerate() {
            let (from, to) = self.ends(step);
            let y = height - ROW * (index as f64 + 0.6);
            let bottom = face + step.depth.as_mm() * scale;
            for x in [from, to] {
                self.pen.line("thin", (x, bottom), (x, y + 5.0));
            }
            let words = label(&of_step(index, "length"), step.length, self.units);
            self.pen.dimension_across((from, to), y, &words);
        }
    }

    /// A label of the right side, and a line to what it is of.
    fn label(&mut self, y: f64, at: f64, words: &str) {
        let (from, to) = ((LABELS - 16.0, at), (LABELS + 2.0, y));
        self.pen.line("thin", from, to);
        let place = (LABELS + 6.0, y + 5.0);
        self.pen.text("halo", Anchor::Start, place, words);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::sheet::pen::short;

    // The sample hinge as measured: 10 across, 3.5 from the face, 44 x 4.5 and 27 x 12 mm.
    #[test]
    fn the_picture_has_the_readings_and_follows_them() {
        let mut job = sample::job();
        let picture = |job: &Job| draw(job, Units::Millimetre).unwrap().inline();
        let first = picture(&job);
        for words in [
            "A 10.00 mm",
            "B 3.50 mm",
            "C 0.80 mm",
            "D 44.00 mm",
            "E 4.50 mm",
            "F 27.00 mm",
            "G 12.00 mm",
        ] {
            assert!(first.contains(words), "{words}: {first}");
        }
        // From 34 down; 440 units of the drawing for 44 mm, but no more than 150 for
        // what lies between the face and the far side.
        let near = |down: f64| format!("M520 {}", short(34.0 + down));
        assert!(first.contains(&near(3.5 * 440.0 / 44.0)), "{first}");
        job.hinge.setback = Length::from_mm(6.0);
        let moved = picture(&job);
        assert!(moved.contains(&near(6.0 * 150.0 / 16.0)), "{moved}");
    }
}
