//! One pocket in plan and in section, with the wood left on each side.

use crate::geometry::Point;
use crate::job::faces::Faces;
use crate::job::{Job, Part, PartName, Pocket, Step, StopEnd};
use crate::units::{Length, Units};

use super::frame::outside_is_on_top;
use super::measure::figure;
use super::pen::{Anchor, Drawing, Hatch, LETTER, Pen, polygon, polyline, rectangle, rounded};

const WIDTH: f64 = 660.0;
const LEFT: f64 = 14.0;
/// Between the lengthwise and the crosswise section: a depth figure stands
/// here for each step.
const MIDDLE: f64 = 36.0;
const DEPTH: f64 = 52.0;
const RIGHT: f64 = 116.0;
/// The name of the outside face stands upright beside the section.
const UPRIGHT: f64 = 90.0;
/// Wood drawn past the pocket before it is broken off, in millimetres.
const BEYOND: f64 = 9.0;

/// Wood left around a pocket, in the part's own frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Around {
    /// To the face against the fence.
    pub(super) outside: Length,
    /// To the one opposite.
    pub(super) inside: Length,
    /// Under the deepest step.
    pub(super) below: Length,
    /// To the nearer end.
    pub(super) end: Length,
}

/// Wood left around `pocket` of `part`.
pub(super) fn around(part: &Part, pocket: &Pocket) -> Around {
    let mut around = Around {
        outside: part.across,
        inside: part.across,
        below: part.below,
        end: part.length,
    };
    for step in &pocket.steps {
        let (center, half) = (pocket.center, step.width / 2.0);
        let (start, end) = ends(pocket, step);
        around.outside = around.outside.min(center.y() - half);
        around.inside = around.inside.min(part.across - center.y() - half);
        around.below = around.below.min(part.below - step.depth);
        around.end = around.end.min(start).min(part.length - end);
    }
    around
}

/// Both ends of a step along u.
fn ends(pocket: &Pocket, step: &Step) -> (Length, Length) {
    let middle = pocket.center.x() + step.shift;
    (middle - step.length / 2.0, middle + step.length / 2.0)
}

/// Whether one drawing does for both pockets of a part: only their place along
/// the edge differs.
pub(super) fn are_alike(one: &Pocket, other: &Pocket) -> bool {
    let moved = other.center.x - one.center.x;
    let near = |mine: Point, theirs: Point| {
        Point::from_mm(mine.x + moved, mine.y).distance(theirs) < Length::SAME
    };
    let mut holes = one.holes.iter().zip(&other.holes);
    let mut screws = one.screws.iter().zip(&other.screws);
    one.steps == other.steps
        && near(one.center, other.center)
        && one.holes.len() == other.holes.len()
        && one.screws.len() == other.screws.len()
        && holes.all(|(mine, theirs)| {
            near(mine.center, theirs.center)
                && mine.diameter == theirs.diameter
                && mine.tip == theirs.tip
        })
        && screws.all(|(mine, theirs)| near(mine.center, theirs.center) && mine.tip == theirs.tip)
}

/// Draws pockets that [`are_alike`], the first of them to scale.
pub(super) fn draw(job: &Job, part: &Part, pockets: &[&Pocket], units: Units) -> Drawing {
    let Some(&pocket) = pockets.first() else {
        return Pen::new("pocket", (WIDTH, 1.0), "No pocket", "Nothing is drawn.").finish();
    };
    let faces = job.closing.faces(part.name);
    let view = View::new(job.fixture.stop_end, part, pockets, pocket);
    let id = format!("pocket-{}-{}", part.name, pocket.hinge);
    let numbers: Vec<_> = pockets.iter().map(|pocket| pocket.hinge).collect();
    let title = format!(
        "{} of the {}, plan and sections",
        counted("Pocket", &numbers),
        part.name
    );
    let mut pen = Pen::new(
        &id,
        (WIDTH, view.height),
        &title,
        &description(faces, part, pockets, units),
    );
    pen.define_hatches(&[hatch(part)]);
    let mut scene = SideView {
        pen: &mut pen,
        view: &view,
        faces,
        part,
        pocket,
        pockets,
        units,
    };
    scene.plan();
    scene.lengthwise();
    scene.crosswise();
    let name = format!("{} {}", part.name, listed(&numbers));
    let at = (WIDTH - 8.0, 24.0);
    pen.text("name halo", Anchor::End, at, &name.to_uppercase());
    pen.finish()
}

/// `Pocket 1`, `Pockets 1 and 2`, `Pockets 1, 2 and 3`.
pub(super) fn counted(noun: &str, numbers: &[usize]) -> String {
    let plural = if numbers.len() == 1 { "" } else { "s" };
    format!("{noun}{plural} {}", listed(numbers))
}

fn listed(numbers: &[usize]) -> String {
    let words: Vec<_> = numbers.iter().map(usize::to_string).collect();
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => words.concat(),
    }
}

fn hatch(part: &Part) -> Hatch {
    if part.name == PartName::Lid {
        Hatch::Lid
    } else {
        Hatch::Box
    }
}

fn description(faces: Faces, part: &Part, pockets: &[&Pocket], units: Units) -> String {
    let one = |length| super::measure::one(length, units);
    let mut words = String::new();
    for pocket in pockets {
        words += &format!(
            "Centre of pocket {} {} from the {}. ",
            pocket.hinge,
            one(pocket.center.x()),
            end_name(part)
        );
    }
    let Some(pocket) = pockets.first() else {
        return words;
    };
    let left = around(part, pocket);
    for (index, step) in pocket.steps.iter().enumerate() {
        words += &format!(
            "Step {}: {} long, {} wide, {} deep. ",
            index + 1,
            one(step.length),
            one(step.width),
            one(step.depth)
        );
    }
    words
        + &format!(
            "Wood left: {} to the {}, {} to the {}, {} below.",
            one(left.outside),
            faces.fence,
            one(left.inside),
            faces.far,
            one(left.below)
        )
}

fn end_name(part: &Part) -> &'static str {
    match part.name {
        PartName::Scrap | PartName::Plate => "left end",
        PartName::Box | PartName::Lid => "stop end",
    }
}

/// What is drawn, in the part's frame, and where.
struct View {
    scale: f64,
    /// Drawn range along u.
    u: (f64, f64),
    /// Whether the part goes on past the start and the end of that range.
    goes_on: (bool, bool),
    /// Drawn range along v, from the outside face.
    v: f64,
    outside_on_top: bool,
    /// Drawn range along w, from the mating face.
    w: f64,
    plan_top: f64,
    section_top: f64,
    cross_left: f64,
    height: f64,
}

impl View {
    fn new(stop_end: StopEnd, part: &Part, pockets: &[&Pocket], pocket: &Pocket) -> Self {
        let mut u = (f64::INFINITY, f64::NEG_INFINITY);
        let (mut v, mut w) = (0.0_f64, 0.0_f64);
        for step in &pocket.steps {
            let (start, end) = ends(pocket, step);
            u = (u.0.min(start.as_mm()), u.1.max(end.as_mm()));
            v = v.max(pocket.center.y + step.width.as_mm() / 2.0);
            w = w.max(step.depth.as_mm());
        }
        for tip in tips(pocket) {
            w = w.max(tip);
        }
        // An end of the part is drawn where every pocket lies beside it.
        let along = part.length.as_mm();
        let reach = |other: &Pocket| {
            let moved = other.center.x - pocket.center.x;
            (u.0 + moved - BEYOND, along - u.1 - moved - BEYOND)
        };
        let goes_on = (
            pockets.iter().any(|other| reach(other).0 > 1e-9),
            pockets.iter().any(|other| reach(other).1 > 1e-9),
        );
        let u = (
            if goes_on.0 { u.0 - BEYOND } else { 0.0 },
            if goes_on.1 { u.1 + BEYOND } else { along },
        );
        let v = limited(v, part.across.as_mm());
        let w = limited(w, part.below.as_mm());
        let middle = MIDDLE + DEPTH * pocket.steps.len() as f64;
        let room = WIDTH - LEFT - middle - RIGHT;
        let scale = (room / (u.1 - u.0 + v).max(1.0))
            .min(9.0)
            .min(210.0 / w.max(1.0));
        let plan_top = 18.0 + 24.0 * pocket.steps.len() as f64;
        let section_top = plan_top + v * scale + 40.0;
        Self {
            scale,
            u,
            goes_on,
            v,
            outside_on_top: outside_is_on_top(stop_end, part.name),
            w,
            plan_top,
            section_top,
            cross_left: LEFT + (u.1 - u.0) * scale + middle,
            height: section_top + (w * scale).max(UPRIGHT) + 32.0,
        }
    }

    fn x(&self, u: f64) -> f64 {
        LEFT + (u - self.u.0) * self.scale
    }

    fn plan_y(&self, v: f64) -> f64 {
        let from_top = if self.outside_on_top { v } else { self.v - v };
        self.plan_top + from_top * self.scale
    }

    fn depth_y(&self, w: f64) -> f64 {
        self.section_top + w * self.scale
    }

    fn cross_x(&self, v: f64) -> f64 {
        self.cross_left + v * self.scale
    }
}

/// A little past `needed`, but the whole where not much more is left.
fn limited(needed: f64, whole: f64) -> f64 {
    if whole <= needed + 2.0 * BEYOND {
        whole.max(needed)
    } else {
        needed + BEYOND
    }
}

fn tips(pocket: &Pocket) -> impl Iterator<Item = f64> {
    let holes = pocket.holes.iter().map(|hole| hole.tip.as_mm());
    holes.chain(pocket.screws.iter().map(|screw| screw.tip.as_mm()))
}

struct SideView<'a> {
    pen: &'a mut Pen,
    view: &'a View,
    faces: Faces,
    part: &'a Part,
    pocket: &'a Pocket,
    pockets: &'a [&'a Pocket],
    units: Units,
}

impl SideView<'_> {
    fn figure(&self, length: Length) -> String {
        figure(length, self.units)
    }

    fn shade(index: usize) -> &'static str {
        if index == 0 { "cut-1" } else { "cut-2" }
    }

    fn plan(&mut self) {
        let view = self.view;
        let (left, right) = (view.x(view.u.0), view.x(view.u.1));
        let (top, bottom) = (view.plan_top, view.plan_top + view.v * view.scale);
        let inner = view.v < self.part.across.as_mm() - 1e-9;
        let broken = Broken {
            top: inner && !view.outside_on_top,
            right: view.goes_on.1,
            bottom: inner && view.outside_on_top,
            left: view.goes_on.0,
        };
        let outline = broken_box((left, top), (right, bottom), broken);
        self.pen.hatched("wood", hatch(self.part), &outline);
        let face = view.plan_y(0.0);
        self.pen.line("outside", (left, face), (right, face));
        if !broken.left {
            self.pen.line("stop-end", (left, top), (left, bottom));
        }
        for (index, step) in self.pocket.steps.iter().enumerate() {
            let center = (
                view.x(self.pocket.center.x + step.shift.as_mm()),
                view.plan_y(self.pocket.center.y),
            );
            let half = (
                step.length.as_mm() / 2.0 * view.scale,
                step.width.as_mm() / 2.0 * view.scale,
            );
            let corner = step.corner.as_mm() * view.scale;
            self.pen
                .path(Self::shade(index), rounded(center, half, corner));
        }
        self.plan_holes();
        self.plan_axes(left, right);
        self.plan_dimensions(top);
    }

    fn plan_holes(&mut self) {
        let at = |view: &View, point: Point| (view.x(point.x), view.plan_y(point.y));
        for hole in &self.pocket.holes {
            let radius = hole.diameter.as_mm() / 2.0 * self.view.scale;
            self.pen.circle("void", at(self.view, hole.center), radius);
        }
    }

    fn plan_axes(&mut self, left: f64, right: f64) {
        let (x, y) = (
            self.view.x(self.pocket.center.x),
            self.view.plan_y(self.pocket.center.y),
        );
        let top = self.view.plan_top;
        let bottom = top + self.view.v * self.view.scale;
        self.pen.line("axis", (left, y), (right, y));
        self.pen.line("axis", (x, top), (x, bottom + 8.0));
        let words = self.center_words();
        let half = LETTER * words.chars().count() as f64 / 2.0;
        let at = (x.max(left + half), bottom + 22.0);
        self.pen.text("dim-text halo", Anchor::Middle, at, &words);
    }

    fn center_words(&self) -> String {
        let end = end_name(self.part);
        let at = |pocket: &&Pocket| self.figure(pocket.center.x());
        match self.pockets {
            [one] => format!("centre {} from the {end}", at(one)),
            some if some.len() <= 3 => {
                let each = some
                    .iter()
                    .map(|pocket| format!("{}: {}", pocket.hinge, at(pocket)));
                let each: Vec<_> = each.collect();
                format!("centre {} from the {end}", each.join(", "))
            }
            _ => format!("centres from the {end}: see the table"),
        }
    }

    fn plan_dimensions(&mut self, top: f64) {
        let words = &self.faces.fence.to_uppercase();
        let face = self.view.plan_y(0.0);
        let at = (self.view.x(self.view.u.1) + 8.0, face + 5.0);
        self.pen.text("mark halo", Anchor::Start, at, words);
        for (index, step) in self.pocket.steps.iter().enumerate() {
            let (start, end) = ends(self.pocket, step);
            let y = top - 16.0 - 24.0 * (self.pocket.steps.len() - 1 - index) as f64;
            let y = y - if index == 0 { 2.0 } else { 0.0 };
            let (from, to) = (self.view.x(start.as_mm()), self.view.x(end.as_mm()));
            let middle = self.view.plan_y(self.pocket.center.y);
            let extension = polyline(&[(from, middle), (from, y - 5.0)])
                + &polyline(&[(to, middle), (to, y - 5.0)]);
            self.pen.path("thin", extension);
            self.pen
                .dimension_across((from, to), y, &self.figure(step.length));
        }
    }

    fn lengthwise(&mut self) {
        let view = self.view;
        let (left, right) = (view.x(view.u.0), view.x(view.u.1));
        let (top, bottom) = (view.depth_y(0.0), view.depth_y(view.w));
        let broken = Broken {
            top: false,
            right: view.goes_on.1,
            bottom: view.w < self.part.below.as_mm() - 1e-9,
            left: view.goes_on.0,
        };
        let outline = broken_box((left, top), (right, bottom), broken);
        self.pen.hatched("wood", hatch(self.part), &outline);
        let spans: Vec<_> = self
            .pocket
            .steps
            .iter()
            .map(|step| {
                let (start, end) = ends(self.pocket, step);
                (start.as_mm(), end.as_mm(), step.depth.as_mm())
            })
            .collect();
        for (start, end, depth) in spans {
            self.cut((view.x(start), view.x(end)), depth);
        }
        self.tips_below(|point| view.x(point.x));
        let x = right + 14.0;
        for (index, step) in self.pocket.steps.iter().enumerate() {
            let at = x + DEPTH * index as f64;
            let (_, end) = ends(self.pocket, step);
            let floor = view.depth_y(step.depth.as_mm());
            let d = polyline(&[(view.x(end.as_mm()), floor), (at + 5.0, floor)]);
            self.pen.path("thin", d);
            let words = self.figure(step.depth);
            self.pen.dimension_down(at, (top, floor), &words);
        }
        let words = "along the hinged edge";
        self.pen
            .text("soft", Anchor::Start, (left + 4.0, bottom + 22.0), words);
    }

    fn crosswise(&mut self) {
        let view = self.view;
        let (left, right) = (view.cross_x(0.0), view.cross_x(view.v));
        let (top, bottom) = (view.depth_y(0.0), view.depth_y(view.w));
        let broken = Broken {
            top: false,
            right: view.v < self.part.across.as_mm() - 1e-9,
            bottom: view.w < self.part.below.as_mm() - 1e-9,
            left: false,
        };
        let outline = broken_box((left, top), (right, bottom), broken);
        self.pen.hatched("wood", hatch(self.part), &outline);
        let spans: Vec<_> = self
            .pocket
            .steps
            .iter()
            .map(|step| (step.width.as_mm() / 2.0, step.depth.as_mm()))
            .collect();
        let center = self.pocket.center.y;
        for &(half, depth) in &spans {
            self.cut(
                (view.cross_x(center - half), view.cross_x(center + half)),
                depth,
            );
        }
        self.tips_below(|point| view.cross_x(point.y));
        self.pen.line("outside", (left, top), (left, bottom));
        let words = &self.faces.fence.to_uppercase();
        self.pen
            .text_upward("mark halo", Anchor::End, (left - 7.0, top + 2.0), words);
        self.cross_dimensions();
        self.pen
            .text("soft", Anchor::Start, (left, bottom + 22.0), "across");
    }

    fn cross_dimensions(&mut self) {
        let view = self.view;
        let left = around(self.part, self.pocket);
        let (top, bottom) = (view.depth_y(0.0), view.depth_y(view.w));
        let near = view.cross_x(left.outside.as_mm());
        let far = view.cross_x((self.part.across - left.inside).as_mm());
        let (edge, right) = (view.cross_x(0.0), view.cross_x(view.v));
        let rows = [top - 68.0, top - 44.0, top - 20.0];
        let width = self.pocket.steps.iter().map(|step| step.width);
        let width = width.fold(Length::ZERO, Length::max);
        let extension = polyline(&[(edge, top), (edge, rows[0] - 5.0)])
            + &polyline(&[(near, top), (near, rows[0] - 5.0)])
            + &polyline(&[(far, top), (far, rows[1] - 5.0)])
            + &polyline(&[(right, top), (right, rows[2] - 5.0)]);
        self.pen.path("thin", extension);
        let words = format!("{} wood", self.figure(left.outside));
        self.pen.dimension_across((edge, near), rows[0], &words);
        let words = format!("{} wide", self.figure(width));
        self.pen.dimension_across((near, far), rows[1], &words);
        let words = format!("{} wood", self.figure(left.inside));
        self.pen.dimension_across((far, right), rows[2], &words);
        let floor = view.depth_y((self.part.below - left.below).as_mm());
        let x = right + 12.0;
        self.pen.line("thin", (far, floor), (x + 5.0, floor));
        let words = format!("{} left", self.figure(left.below));
        self.pen.dimension_down(x, (floor, bottom), &words);
        self.pen.text(
            "soft",
            Anchor::Start,
            (x + 6.0, (floor + bottom) / 2.0 + 21.0),
            "below",
        );
    }

    /// A step cut from the mating face.
    fn cut(&mut self, (from, to): (f64, f64), depth: f64) {
        let top = self.view.depth_y(0.0);
        let floor = self.view.depth_y(depth);
        self.pen
            .path("open", rectangle((from, top - 1.0), (to, floor)));
        self.pen.path(
            "edge",
            polyline(&[(from, top), (from, floor), (to, floor), (to, top)]),
        );
    }

    fn tips_below(&mut self, x: impl Fn(Point) -> f64) {
        for hole in &self.pocket.holes {
            let half = hole.diameter.as_mm() / 2.0 * self.view.scale;
            let (top, full, tip) = (
                self.view.depth_y(hole.from.as_mm()),
                self.view.depth_y((hole.tip - hole.point_height).as_mm()),
                self.view.depth_y(hole.tip.as_mm()),
            );
            let x = x(hole.center);
            let d = [
                (x - half, top),
                (x - half, full),
                (x, tip),
                (x + half, full),
                (x + half, top),
            ];
            self.pen.path("void", polygon(&d));
        }
        for screw in &self.pocket.screws {
            let x = x(screw.center);
            let (top, tip) = (
                self.view.depth_y(screw.from.as_mm()),
                self.view.depth_y(screw.tip.as_mm()),
            );
            self.pen.line("hidden", (x, top), (x, tip));
        }
    }
}

/// Edges past which the wood goes on.
#[derive(Clone, Copy)]
struct Broken {
    top: bool,
    right: bool,
    bottom: bool,
    left: bool,
}

/// A rectangle, jagged where it is broken off.
fn broken_box((left, top): (f64, f64), (right, bottom): (f64, f64), broken: Broken) -> String {
    let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
    let edges = [broken.top, broken.right, broken.bottom, broken.left];
    let mut points = Vec::new();
    for (index, jagged) in edges.into_iter().enumerate() {
        let (from, to) = (corners[index], corners[(index + 1) % 4]);
        points.push(from);
        if jagged {
            points.extend(jags(from, to));
        }
    }
    polygon(&points)
}

fn jags(from: (f64, f64), to: (f64, f64)) -> Vec<(f64, f64)> {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let length = dx.hypot(dy).max(1.0);
    let count = (length / 14.0).floor().max(2.0);
    let normal = (-dy / length * 3.0, dx / length * 3.0);
    let mut points = Vec::new();
    let mut index = 1.0;
    let mut side = 1.0;
    while index < count {
        let share = index / count;
        points.push((
            from.0 + dx * share + normal.0 * side,
            from.1 + dy * share + normal.1 * side,
        ));
        side = -side;
        index += 1.0;
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    fn mm(value: f64) -> Length {
        Length::from_mm(value)
    }

    #[test]
    fn wood_left_is_counted_from_the_cut_edges() {
        // By hand: outside 8.5 − 10.1/2 = 3.45; inside 18 − 8.5 − 5.05 = 4.45;
        // below 90 − 12.4 = 77.6; end 45 − 44.1/2 = 22.95.
        let job = sample::job();
        let left = around(&job.parts[0], &job.parts[0].pockets[0]);
        for (length, expected) in [
            (left.outside, 3.45),
            (left.inside, 4.45),
            (left.below, 77.6),
            (left.end, 22.95),
        ] {
            assert!(
                (length.as_mm() - expected).abs() < 1e-9,
                "{length:?} {expected}"
            );
        }
    }

    #[test]
    fn the_drawing_names_its_figures() {
        let job = sample::job();
        let lid = &job.parts[1];
        let svg = draw(&job, lid, &[&lid.pockets[1]], Units::Millimetre).inline();
        assert!(svg.contains("3.45 wood<"));
        assert!(svg.contains("5.60 left"));
        assert!(svg.contains("centre 215.00 from the stop end"));
    }

    #[test]
    fn pockets_that_differ_in_place_alone_share_a_drawing() {
        let job = sample::job();
        let mut lid = job.parts[1].clone();
        assert!(are_alike(&lid.pockets[0], &lid.pockets[1]));
        let both = [&lid.pockets[0], &lid.pockets[1]];
        let svg = draw(&job, &lid, &both, Units::Millimetre).inline();
        assert!(svg.contains("centre 1: 45.00, 2: 215.00 from the stop end"));
        assert!(svg.contains("Pockets 1 and 2 of the lid"));
        lid.pockets[1].steps[1].depth += mm(0.1);
        assert!(!are_alike(&lid.pockets[0], &lid.pockets[1]));
    }

    #[test]
    fn an_end_of_the_part_is_drawn_where_every_pocket_lies_beside_it() {
        let job = sample::job();
        let mut lid = job.parts[1].clone();
        // 24 - 44.1 / 2 is 1.95 mm to the stop end; 215 is far from it.
        lid.pockets[0].center.x = 24.0;
        let stop_end = "class=\"stop-end\"";
        let svg = |pockets: &[&Pocket]| draw(&job, &lid, pockets, Units::Millimetre).inline();
        assert!(svg(&[&lid.pockets[0]]).contains(stop_end));
        assert!(!svg(&[&lid.pockets[0], &lid.pockets[1]]).contains(stop_end));
    }
}
