//! One position from above: to scale along the hinged edges, where parts longer
//! than the machine are far longer than wide, and not across them.

use crate::geometry::Point;
use crate::job::position::{Located, Position};
use crate::job::{Along, Job, Part, PartName, StopEnd};
use crate::units::{Length, Units};

use super::fixture::{layout_words, part_words};
use super::frame::{against, lie, viewpoint};
use super::measure::{figure, one};
use super::pen::{Anchor, Drawing, Hatch, LETTER, Pen, polyline, rectangle, rounded, spread};

const WIDTH: f64 = 690.0;
const HEIGHT: f64 = 336.0;
const LEFT: f64 = 70.0;
const RIGHT: f64 = 210.0;
/// Top and bottom of the lid's band, and of the box's.
const LID: (f64, f64) = (92.0, 166.0);
const BOX: (f64, f64) = (182.0, 256.0);
/// Thickness of stop and bar on paper.
const BAR: f64 = 18.0;
/// Across a pocket on paper, its distance from the outside face, half its width.
const POCKET: (f64, f64) = (19.0, 11.0);
/// A block is drawn so wide that it is seen.
const NARROWEST_BLOCK: f64 = 9.0;

/// Draws it; `view` is the job as that position has it.
pub(super) fn draw(view: &Job, position: &Position, units: Units) -> Drawing {
    let scale = Scale::of(view);
    let title = format!(
        "Position {} from above, {}",
        position.number,
        layout_words(&view.fixture)
    );
    let mut pen = Pen::new(
        &format!("fixture{}", position.suffix()),
        (WIDTH, HEIGHT),
        &title,
        &description(view, units),
    );
    pen.define_hatches(&[Hatch::Box, Hatch::Lid, Hatch::Fixture, Hatch::Clamp]);
    let mut picture = Picture {
        pen: &mut pen,
        scale,
        view,
        units,
    };
    picture.notes();
    picture.divider();
    for part in &view.parts {
        picture.part(part);
    }
    picture.stop(position.located);
    for part in &view.parts {
        picture.pockets(part);
        picture.ends(part);
        picture.row(part);
    }
    picture.zero();
    pen.finish()
}

fn description(view: &Job, units: Units) -> String {
    let [letter, _] = view.fixture.letters();
    let from = viewpoint(&view.fixture).map_or_else(String::new, |from| format!("{from} "));
    let mut words = format!(
        "{from}Lid at the back, box at the front, {}.",
        against(&view.fixture)
    );
    for part in &view.parts {
        for pocket in part.pockets.iter().take(8) {
            let at = lie(view, part.name, pocket.center).x;
            let at = one(Length::from_mm(at), units);
            words += &format!(" {} {} at {letter} {at};", part.name, pocket.hinge);
        }
    }
    words
}

/// From millimetres along the hinged edges to the drawing's units.
#[derive(Clone, Copy, Debug)]
struct Scale {
    from: f64,
    units: f64,
}

impl Scale {
    fn of(view: &Job) -> Self {
        let ends = view.parts.iter().flat_map(|part| {
            [0.0, part.length.as_mm()].map(|u| lie(view, part.name, Point::from_mm(u, 0.0)).x)
        });
        // Zero is in the picture, wherever the parts lie.
        let (from, to) = ends.fold((0.0_f64, 0.0_f64), |(from, to), end| {
            (from.min(end), to.max(end))
        });
        Self {
            from,
            units: (WIDTH - LEFT - RIGHT) / (to - from).max(1.0),
        }
    }

    fn at(self, x: f64) -> f64 {
        LEFT + (x - self.from) * self.units
    }
}

struct Picture<'a> {
    pen: &'a mut Pen,
    scale: Scale,
    view: &'a Job,
    units: Units,
}

impl Picture<'_> {
    fn x(&self, part: PartName, u: f64) -> f64 {
        self.scale
            .at(lie(self.view, part, Point::from_mm(u, 0.0)).x)
    }

    fn figure(&self, millimetres: f64) -> String {
        figure(Length::from_mm(millimetres), self.units)
    }

    fn notes(&mut self) {
        let from = match self.view.fixture.along {
            Along::X => "",
            Along::Y => ", seen from the machine's right",
        };
        let words = format!(
            "figures in {}{from}; to scale from left to right alone",
            self.units.name()
        );
        self.pen.text("soft", Anchor::Start, (16.0, 18.0), &words);
    }

    fn divider(&mut self) {
        let band = rectangle((LEFT - 30.0, LID.1), (WIDTH - RIGHT + 8.0, BOX.0));
        if self.view.fixture.divider > Length::ZERO {
            self.pen.hatched("solid", Hatch::Fixture, &band);
        }
    }

    fn band(part: PartName) -> (f64, f64) {
        match part {
            PartName::Lid => LID,
            PartName::Box | PartName::Scrap | PartName::Plate => BOX,
        }
    }

    /// The edge of a part against the divider, and which way the part goes from it.
    fn outside(part: PartName) -> (f64, f64) {
        match part {
            PartName::Lid => (LID.1, -1.0),
            PartName::Box | PartName::Scrap | PartName::Plate => (BOX.0, 1.0),
        }
    }

    fn part(&mut self, part: &Part) {
        let (top, bottom) = Self::band(part.name);
        let hatch = match part.name {
            PartName::Lid => Hatch::Lid,
            PartName::Box | PartName::Scrap | PartName::Plate => Hatch::Box,
        };
        let (near, far) = (
            self.x(part.name, 0.0),
            self.x(part.name, part.length.as_mm()),
        );
        let outline = rectangle((near, top), (far, bottom));
        self.pen.hatched("wood", hatch, &outline);
        let (outside, inward) = Self::outside(part.name);
        self.pen.line("stop-end", (near, top), (near, bottom));
        self.pen.line("outside", (near, outside), (far, outside));
        let (name, _) = part_words(self.view, part);
        let at = (self.roomy(part), outside + inward * 40.0 + 5.0);
        self.pen.text("name halo", Anchor::Middle, at, name);
    }

    /// The middle of the longest stretch without a pocket.
    fn roomy(&self, part: &Part) -> f64 {
        let centers = part.pockets.iter().map(|pocket| pocket.center.x);
        let ends = [0.0, part.length.as_mm()];
        let mut places: Vec<f64> = ends.into_iter().chain(centers).collect();
        places.sort_by(f64::total_cmp);
        let gap = |pair: &&[f64]| pair[1] - pair[0];
        let longest = places
            .windows(2)
            .max_by(|one, other| gap(one).total_cmp(&gap(other)));
        let middle = longest.map_or(0.0, |pair| f64::midpoint(pair[0], pair[1]));
        self.x(part.name, middle)
    }

    /// What the parts lie against, and the blocks that do where there are some.
    fn stop(&mut self, located: Located) {
        let away = match self.view.fixture.stop_end {
            StopEnd::Left => 1.0,
            StopEnd::Right => -1.0,
        };
        let (face, out, name) = match located {
            Located::Stop => (0.0, -away, "STOP"),
            Located::Mark(_) => (0.0, -away, "STOP BAR"),
            Located::FarStop(face) => (away * face.as_mm(), away, "FAR STOP"),
        };
        let face = self.scale.at(face);
        let bar = rectangle((face, LID.0 - 12.0), (face + out * BAR, BOX.1 + 12.0));
        self.pen.hatched("solid", Hatch::Fixture, &bar);
        let middle = (face + out * BAR / 2.0, LID.0 - 18.0);
        self.pen.text("name halo", Anchor::Middle, middle, name);
        if let Located::Mark(_) = located {
            let length = self.view.fixture.block_length.as_mm() * self.scale.units;
            let length = away * length.max(NARROWEST_BLOCK);
            for (top, bottom) in [LID, BOX] {
                let block = rectangle((face, top + 6.0), (face + length, bottom - 6.0));
                self.pen.hatched("solid", Hatch::Clamp, &block);
            }
            let at = (face + length / 2.0, BOX.1 + 28.0);
            self.pen.text("strong halo", Anchor::Middle, at, "BLOCKS");
        }
    }

    fn pockets(&mut self, part: &Part) {
        let (outside, inward) = Self::outside(part.name);
        let y = outside + inward * POCKET.0;
        for pocket in &part.pockets {
            for (index, step) in pocket.steps.iter().enumerate() {
                let x = self.x(part.name, pocket.center.x + step.shift.as_mm());
                let half = step.length.as_mm() / 2.0 * self.scale.units;
                let outline = rounded((x, y), (half, POCKET.1), POCKET.1);
                let class = if index == 0 { "cut-1" } else { "cut-2" };
                self.pen.path(class, outline);
            }
            let x = self.x(part.name, pocket.center.x);
            let beyond = y + inward * (POCKET.1 + 16.0);
            self.pen.circle("paper", (x, beyond), 10.0);
            let number = pocket.hinge.to_string();
            let at = (x, beyond + 5.0);
            self.pen.text("strong", Anchor::Middle, at, &number);
        }
    }

    /// Where the ends and the pockets of a part lie along the hinged edges: the
    /// lid's above, the box's below.
    fn ends(&mut self, part: &Part) {
        let [letter, _] = self.view.fixture.letters();
        let centers = part.pockets.iter().map(|pocket| pocket.center.x);
        let places = [0.0, part.length.as_mm()]
            .into_iter()
            .chain(centers.take(12));
        let mut places: Vec<f64> = places
            .map(|u| lie(self.view, part.name, Point::from_mm(u, 0.0)).x)
            .collect();
        places.sort_by(f64::total_cmp);
        let words: Vec<String> = places
            .iter()
            .map(|x| format!("{letter} {}", self.figure(*x)))
            .collect();
        let longest = words.iter().map(|words| words.chars().count()).max();
        let apart = LETTER * longest.unwrap_or(0) as f64 + 10.0;
        let exact: Vec<f64> = places.iter().map(|x| self.scale.at(*x)).collect();
        let (edge, tip, baseline) = match part.name {
            PartName::Lid => (LID.0, LID.0 - 40.0, LID.0 - 44.0),
            PartName::Box | PartName::Scrap | PartName::Plate => {
                (BOX.1, BOX.1 + 40.0, BOX.1 + 56.0)
            }
        };
        let bend = f64::midpoint(edge, tip);
        for ((label, exact), words) in spread(&exact, apart).into_iter().zip(&exact).zip(&words) {
            let label = label.max(apart / 2.0);
            let line = polyline(&[(*exact, edge), (*exact, bend), (label, tip)]);
            self.pen.path("thin", line);
            let at = (label, baseline);
            self.pen.text("dim-text halo", Anchor::Middle, at, words);
        }
    }

    /// Which face lies up, and where the pockets lie across the hinged edges.
    fn row(&mut self, part: &Part) {
        let Some(pocket) = part.pockets.first() else {
            return;
        };
        let [_, letter] = self.view.fixture.letters();
        let across = lie(self.view, part.name, pocket.center).y;
        let across = match self.view.fixture.along {
            Along::X => across,
            Along::Y => 0.0 - across,
        };
        let (outside, inward) = Self::outside(part.name);
        let y = outside + inward * POCKET.0;
        let x = WIDTH - RIGHT + 14.0;
        let words = format!("{letter} {}", self.figure(across));
        self.pen.text("strong", Anchor::Start, (x + 6.0, y), &words);
        let words = format!("{} pocket centres", part.name);
        let at = (x + 6.0, y + 16.0);
        self.pen.text("soft", Anchor::Start, at, &words);
        let (_, up) = part_words(self.view, part);
        let at = (
            x + 6.0,
            y + inward.max(0.0) * 36.0 - (-inward).max(0.0) * 20.0,
        );
        self.pen.text("soft", Anchor::Start, at, &up);
    }

    fn zero(&mut self) {
        let [letter, _] = self.view.fixture.letters();
        let at = (self.scale.at(0.0), f64::midpoint(LID.1, BOX.0));
        self.pen.circle("paper", at, 8.0);
        self.pen.circle("mark", at, 3.0);
        let words = format!("{letter}0");
        let beside = (at.0 + 12.0, at.1 + 5.0);
        self.pen.text("strong halo", Anchor::Start, beside, &words);
    }
}
