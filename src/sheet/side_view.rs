//! The fixture from the side, to scale: what lies how high. A book layout is
//! seen from the right-hand end, whichever end the stop stands at, the box on
//! the left; end to end from the fence.

use crate::geometry::Point;
use crate::job::{Fixture, Job, Layout, Part, PartName};
use crate::units::{Length, Units};

use super::fixture::drawn_depth;
use super::frame::{lie, seen};
use super::measure::figure;
use super::pen::{Anchor, Drawing, Hatch, Pen, polygon, polyline, rectangle, spread};

const LEFT: f64 = 24.0;
const RIGHT: f64 = 334.0;
/// Between two labels of the right side.
const ROW: f64 = 19.0;
/// What lies below the pockets and is only wood is pressed together past this.
const LOWEST: f64 = 56.0;
/// Thickness of the bed on paper.
const BED: f64 = 14.0;
/// Letters in a line of a label.
const LINE: usize = 28;
/// Clamps with a label.
const LISTED: usize = 4;

/// Draws it as wide as the plan above it; a scrap on the bed wants no picture.
pub(super) fn draw(job: &Job, units: Units, width: f64) -> Option<Drawing> {
    if job.fixture.layout == Layout::Scrap {
        return None;
    }
    let view = View::new(job, width);
    let levels = levels(job, &view, units);
    let mut pen = Pen::new(
        "side-view",
        (
            width,
            view.height(levels.iter().map(|level| lines(level).len()).sum()),
        ),
        "Fixture from the side",
        &description(&levels),
    );
    pen.define_hatches(&[Hatch::Box, Hatch::Lid, Hatch::Fixture, Hatch::Clamp]);
    let mut side = SideView {
        pen: &mut pen,
        view: &view,
        job,
    };
    side.bed();
    side.between();
    for part in &job.parts {
        side.part(part);
    }
    side.clamps();
    side.labels(&levels);
    Some(pen.finish())
}

/// A height worth a label.
#[derive(Clone, Debug, PartialEq)]
struct Level {
    z: f64,
    figure: String,
    words: String,
}

fn description(levels: &[Level]) -> String {
    let words: Vec<String> = levels
        .iter()
        .map(|level| format!("Z {}: {}", level.figure, level.words))
        .collect();
    format!("From the top down. {}.", words.join("; "))
}

/// What lies at which height, from the top down; what is level is told together.
fn levels(job: &Job, view: &View, units: Units) -> Vec<Level> {
    let fixture = &job.fixture;
    let mut found: Vec<(f64, String)> = fixture
        .clamps
        .iter()
        .take(LISTED)
        .map(|clamp| (clamp.height.as_mm(), clamp.name.clone()))
        .collect();
    if fixture.divider > Length::ZERO {
        let (name, top) = (between_words(fixture.layout), fixture.divider_height);
        found.push((top.as_mm(), name.to_owned()));
    }
    if fixture.layout == Layout::EndToEnd {
        found.push((fixture.fence_height.as_mm(), "fence".to_owned()));
    }
    for part in &job.parts {
        let faces = job.closing.faces(part.name);
        let top = top(fixture, part);
        found.push((top, faces.up.to_owned()));
        let deepest = part.pockets.iter().flat_map(|pocket| &pocket.steps);
        let deepest = deepest.map(|step| step.depth.as_mm()).fold(0.0, f64::max);
        if deepest > 0.0 {
            found.push((top - deepest, format!("{} pockets", part.name)));
        }
        let bottom = top - part.below.as_mm();
        found.push((bottom, format!("{}: {}", part.name, faces.bed)));
    }
    found.push((view.bed, "bed".to_owned()));
    found.sort_by(|one, other| other.0.total_cmp(&one.0));
    let mut levels: Vec<Level> = Vec::new();
    for (z, words) in found {
        let figure = figure(Length::from_mm(z), units);
        match levels.last_mut() {
            Some(level) if level.figure == figure => level.words += &format!(", {words}"),
            _ => levels.push(Level { z, figure, words }),
        }
    }
    levels
}

/// What stands between box and lid.
const fn between_words(layout: Layout) -> &'static str {
    match layout {
        Layout::Book => "divider",
        Layout::EndToEnd | Layout::Scrap => "stop",
    }
}

/// Z of a part's mating face.
fn top(fixture: &Fixture, part: &Part) -> f64 {
    match part.name {
        PartName::Lid => fixture.lid_rise.as_mm(),
        PartName::Box | PartName::Scrap | PartName::Plate => 0.0,
    }
}

/// Along the picture: across the hinged edges of a book layout, along those of parts end to end.
fn across(job: &Job, part: PartName, u: f64, v: f64) -> f64 {
    let at = lie(job, part, Point::from_mm(u, v));
    match job.fixture.layout {
        Layout::Book => at.y,
        Layout::EndToEnd | Layout::Scrap => at.x,
    }
}

/// From millimetres to the drawing's units.
struct View {
    from: f64,
    to: f64,
    highest: f64,
    /// Above this Z heights are to scale.
    scaled_to: f64,
    lowest: f64,
    bed: f64,
    scale: f64,
    /// Drawing units for a millimetre below `scaled_to`.
    pressed: f64,
}

impl View {
    fn new(job: &Job, width: f64) -> Self {
        let fixture = &job.fixture;
        let (mut from, mut to) = (0.0_f64, 0.0_f64);
        let mut highest = fixture.divider_height.max(fixture.fence_height).as_mm();
        let (mut lowest, mut scaled_to) = (0.0_f64, 0.0_f64);
        for part in &job.parts {
            for (u, v) in [(0.0, 0.0), (part.length.as_mm(), drawn_depth(job, part))] {
                let at = across(job, part.name, u, v);
                (from, to) = (from.min(at), to.max(at));
            }
            let top = top(fixture, part);
            highest = highest.max(top);
            lowest = lowest.min(top - part.below.as_mm());
            for step in part.pockets.iter().flat_map(|pocket| &pocket.steps) {
                scaled_to = scaled_to.min(top - step.depth.as_mm());
            }
        }
        for clamp in &fixture.clamps {
            highest = highest.max(clamp.height.as_mm());
        }
        // Unsaid, the part that reaches lowest stands on the bed.
        let bed = fixture.bed(&job.parts).map_or(lowest, Length::as_mm);
        let lowest = lowest.min(bed);
        let scaled_to = (scaled_to - 6.0).max(lowest);
        let scale = ((width - LEFT - RIGHT) / (to - from).max(1.0)).min(6.0);
        let rest = (scaled_to - lowest).max(1e-9);
        Self {
            from,
            to,
            highest,
            scaled_to,
            lowest,
            bed,
            scale,
            pressed: scale.min(LOWEST / rest),
        }
    }

    fn height(&self, lines: usize) -> f64 {
        (self.y(self.lowest) + BED + 16.0).max(lines as f64 * ROW + 24.0)
    }

    fn x(&self, at: f64) -> f64 {
        LEFT + (at - self.from) * self.scale
    }

    fn y(&self, z: f64) -> f64 {
        let scaled = (self.highest - z.max(self.scaled_to)) * self.scale;
        let pressed = (self.scaled_to - z).max(0.0) * self.pressed;
        20.0 + scaled + pressed
    }

    fn is_pressed(&self) -> bool {
        self.pressed < self.scale
    }
}

struct SideView<'a> {
    pen: &'a mut Pen,
    view: &'a View,
    job: &'a Job,
}

impl SideView<'_> {
    /// The machine's bed; parts that hang below it are drawn over it.
    fn bed(&mut self) {
        let y = self.view.y(self.view.bed);
        let (left, right) = (self.view.x(self.view.from), self.view.x(self.view.to));
        let bar = rectangle((left - 16.0, y), (right + 16.0, y + BED));
        self.pen.hatched("solid", Hatch::Fixture, &bar);
    }

    /// The divider or the centre stop, and the fence behind all.
    fn between(&mut self) {
        let fixture = &self.job.fixture;
        let half = fixture.divider.as_mm() / 2.0;
        let bed = self.view.y(self.view.bed);
        if half > 0.0 {
            let top = self.view.y(fixture.divider_height.as_mm());
            let bar = rectangle((self.view.x(-half), top), (self.view.x(half), bed));
            self.pen.hatched("solid", Hatch::Fixture, &bar);
        }
        if fixture.layout == Layout::EndToEnd {
            let y = self.view.y(fixture.fence_height.as_mm());
            let (left, right) = (self.view.x(self.view.from), self.view.x(self.view.to));
            self.pen.line("hidden", (left - 16.0, y), (right + 16.0, y));
        }
    }

    fn part(&mut self, part: &Part) {
        let fixture = &self.job.fixture;
        let book = fixture.layout == Layout::Book;
        let top = top(fixture, part);
        let bottom = top - part.below.as_mm();
        let drawn = drawn_depth(self.job, part);
        let at = |u, v| self.view.x(across(self.job, part.name, u, v));
        let (hatch, name) = match part.name {
            PartName::Lid => (Hatch::Lid, "LID"),
            PartName::Box | PartName::Scrap | PartName::Plate => (Hatch::Box, "BOX"),
        };
        let solid = part.across.as_mm().min(drawn);
        let (near, far) = (at(0.0, 0.0), at(part.length.as_mm(), solid));
        let (high, low) = (self.view.y(top), self.view.y(bottom));
        let outline = rectangle((near, high), (far, low));
        self.pen.hatched("wood", hatch, &outline);
        if book && drawn > solid {
            let end = at(0.0, drawn);
            let hollow = polyline(&[(far, high), (end, high), (end, low), (far, low)]);
            self.pen.path("hidden", hollow);
        }
        for pocket in &part.pockets {
            for step in &pocket.steps {
                let half = if book { step.width } else { step.length } / 2.0;
                let (u, v) = (pocket.center.x + step.shift.as_mm(), pocket.center.y);
                let ends = [-half.as_mm(), half.as_mm()]
                    .map(|off| if book { at(u, v + off) } else { at(u + off, v) });
                let floor = self.view.y(top - step.depth.as_mm());
                let notch = rectangle((ends[0], high), (ends[1], floor));
                self.pen.path("open", notch.clone());
                self.pen.path("edge", notch);
            }
        }
        if self.view.is_pressed() && bottom < self.view.scaled_to {
            self.broken(near, far);
        }
        let middle = (near + far) / 2.0;
        let end = if book && drawn > solid {
            (far + at(0.0, drawn)) / 2.0
        } else {
            middle
        };
        let baseline = (high + low) / 2.0 + 6.0;
        self.pen
            .text("name halo", Anchor::Middle, (end, baseline), name);
    }

    /// From here down the wood is drawn shorter than it is.
    fn broken(&mut self, near: f64, far: f64) {
        let y = self.view.y(self.view.scaled_to) + 8.0;
        let (left, right) = (near.min(far) - 6.0, near.max(far) + 6.0);
        let teeth = 8;
        let wave: Vec<(f64, f64)> = (0..=teeth)
            .map(|index| {
                let along = f64::from(index) / f64::from(teeth);
                let side = if index % 2 == 0 { 3.0 } else { -3.0 };
                (left + (right - left) * along, y + side)
            })
            .collect();
        let back = wave.iter().rev().map(|(x, y)| (*x, y + 5.0));
        let gap: Vec<(f64, f64)> = wave.iter().copied().chain(back).collect();
        self.pen.path("open", polygon(&gap));
        self.pen.path("thin", polyline(&wave));
        let lower: Vec<(f64, f64)> = wave.iter().map(|(x, y)| (*x, y + 5.0)).collect();
        self.pen.path("thin", polyline(&lower));
    }

    fn clamps(&mut self) {
        let book = self.job.fixture.layout == Layout::Book;
        for clamp in &self.job.fixture.clamps {
            let area = seen(&self.job.fixture, clamp.min, clamp.max);
            let (from, to) = if book {
                (area.min.y, area.max.y)
            } else {
                (area.min.x, area.max.x)
            };
            let (from, to) = (from.max(self.view.from), to.min(self.view.to));
            if from >= to {
                continue;
            }
            let rests = self.job.parts.iter().find(|part| {
                let ends = [
                    (0.0, 0.0),
                    (part.length.as_mm(), drawn_depth(self.job, part)),
                ]
                .map(|(u, v)| across(self.job, part.name, u, v));
                let middle = (from + to) / 2.0;
                middle > ends[0].min(ends[1]) && middle < ends[0].max(ends[1])
            });
            let foot = rests.map_or(0.0, |part| top(&self.job.fixture, part));
            let outline = rectangle(
                (self.view.x(from), self.view.y(clamp.height.as_mm())),
                (self.view.x(to), self.view.y(foot)),
            );
            self.pen.hatched("solid", Hatch::Clamp, &outline);
        }
    }

    fn labels(&mut self, levels: &[Level]) {
        let lines: Vec<(f64, &str, String)> = levels.iter().flat_map(lines).collect();
        let wanted: Vec<f64> = lines.iter().map(|(z, ..)| self.view.y(*z)).collect();
        let mut places = spread(&wanted, ROW);
        let mut least = 14.0;
        for place in &mut places {
            *place = place.max(least);
            least = *place + ROW;
        }
        let right = self.view.x(self.view.to);
        for (((_, figure, words), exact), y) in lines.iter().zip(wanted).zip(places) {
            if !figure.is_empty() {
                let leader = polyline(&[
                    (right + 2.0, exact),
                    (right + 18.0, exact),
                    (right + 32.0, y),
                ]);
                self.pen.path("thin", leader);
                let figure = format!("Z {figure}");
                self.pen
                    .text("strong", Anchor::Start, (right + 36.0, y + 5.0), &figure);
            }
            self.pen
                .text("soft", Anchor::Start, (right + 126.0, y + 5.0), words);
        }
    }
}

/// A level's label in lines that fit beside the picture, the figure in the first.
fn lines(level: &Level) -> Vec<(f64, &str, String)> {
    let mut lines = vec![(level.z, level.figure.as_str(), String::new())];
    for word in level.words.split_inclusive(", ") {
        let full = lines
            .last()
            .is_some_and(|(.., words)| !words.is_empty() && words.len() + word.len() > LINE);
        if full {
            lines.push((level.z, "", String::new()));
        }
        if let Some((.., words)) = lines.last_mut() {
            words.push_str(word);
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    fn heights(job: &Job) -> Vec<(String, String)> {
        let view = View::new(job, 600.0);
        levels(job, &view, Units::Millimetre)
            .into_iter()
            .map(|level| (level.figure, level.words))
            .collect()
    }

    fn at<'h>(heights: &'h [(String, String)], word: &str) -> &'h str {
        let found = heights.iter().find(|(_, words)| words.contains(word));
        &found.expect("a height of that name").0
    }

    // By hand: a box 90 high with its rim at Z0, a lid 18 thick beside it; the
    // box reaches lowest and stands on the bed, unless a base says otherwise.
    #[test]
    fn every_level_is_told_from_the_top_down() {
        let mut job = sample::job();
        let told = heights(&job);
        assert_eq!(at(&told, "box: bottom"), "−90.00");
        assert_eq!(at(&told, "bed"), "−90.00");
        assert_eq!(at(&told, "lid: show face"), "−18.00");
        job.fixture.lid_rise = Length::from_mm(4.0);
        job.fixture.box_base = Some(Length::from_mm(-30.0));
        let told = heights(&job);
        assert_eq!(at(&told, "bed"), "−60.00");
        assert_eq!(at(&told, "lid: show face"), "−14.00");
        assert_eq!(at(&told, "inside face"), "4.00");
        let order: Vec<_> = told.iter().map(|(figure, _)| figure.as_str()).collect();
        assert_eq!(order.first(), Some(&"4.00"));
        assert_eq!(order.last(), Some(&"−90.00"));
    }

    #[test]
    fn what_is_level_shares_a_label_and_long_ones_take_lines() {
        let level = Level {
            z: 0.0,
            figure: "0.00".to_owned(),
            words: "centre stop, fence, inside face, back edge".to_owned(),
        };
        let lines = lines(&level);
        assert_eq!(lines.len(), 2);
        assert_eq!((lines[0].1, lines[1].1), ("0.00", ""));
        assert!(lines.iter().all(|(.., words)| words.len() <= LINE));
    }

    #[test]
    fn a_scrap_has_no_side_view() {
        let mut job = sample::job();
        job.fixture.layout = Layout::Scrap;
        assert!(draw(&job, Units::Millimetre, 600.0).is_none());
    }
}
