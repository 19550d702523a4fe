//! Depth seen from above: the wanted pocket beside what the replayed text leaves.

use crate::geometry::{Point, RoundedRectangle};
use crate::job::{Fixture, Part, PartName, Pocket};
use crate::units::{Length, Units};
use crate::verify::DepthMap;

use super::frame::{place, signs};
use super::measure::{figure, one};
use super::pen::{Anchor, Drawing, Pen, rectangle, rounded, short};

const WIDTH: f64 = 640.0;
const GUTTER: f64 = 28.0;
const TOP: f64 = 26.0;
/// Shades between untouched wood and the deepest floor.
const SHADES: usize = 8;
/// Samples drawn along X and along Y at most.
const FINEST: (usize, usize) = (150, 60);
/// What the judge lets pass, and so what is not marked.
const TOLERANCE: f64 = 0.02;

/// A wanted outline and its depth, in shared coordinates.
struct Wanted {
    outline: RoundedRectangle,
    depth: f64,
    /// The least depth that will do: a drill's point leaves a cone.
    enough: f64,
}

/// Draws both; without a map only the wanted pocket is there to show.
pub(super) fn draw(
    fixture: &Fixture,
    part: &Part,
    pocket: &Pocket,
    map: Option<&DepthMap>,
    units: Units,
) -> Drawing {
    let wanted = wanted(fixture, part.name, pocket);
    let frame = Frame::new(&wanted, map);
    let deepest = wanted.iter().map(|step| step.depth).fold(0.1, f64::max);
    let id = format!("depth-{}-{}", part.name, pocket.hinge);
    let title = format!(
        "Depth of pocket {} of the {}, wanted and as the program leaves it",
        pocket.hinge, part.name
    );
    let description = description(&wanted, map, units);
    let mut pen = Pen::new(&id, (WIDTH, frame.height), &title, &description);
    pen.text("strong", Anchor::Start, (frame.left(0), 16.0), "wanted");
    pen.text(
        "strong",
        Anchor::Start,
        (frame.left(1), 16.0),
        "as the program leaves it",
    );
    for side in 0..2 {
        pen.path("shade-0", frame.whole(side));
    }
    for step in &wanted {
        let class = format!("shade-{}", shade(step.depth, deepest));
        pen.path(&class, frame.outline(0, &step.outline));
    }
    match map {
        Some(map) => replayed(&mut pen, &frame, map, &wanted, deepest),
        None => {
            let at = (frame.left(1) + 10.0, frame.height / 2.0);
            pen.text("", Anchor::Start, at, "not cut by these programs");
        }
    }
    for step in &wanted {
        for side in 0..2 {
            pen.path("thin", frame.outline(side, &step.outline));
        }
    }
    legend(&mut pen, &frame, deepest, units);
    pen.finish()
}

fn wanted(fixture: &Fixture, part: PartName, pocket: &Pocket) -> Vec<Wanted> {
    let (along, _) = signs(fixture, part);
    let center = place(fixture, part, pocket.center);
    let steps = pocket.steps.iter().map(|step| {
        let at = Point::from_mm(center.x + along * step.shift.as_mm(), center.y);
        Wanted {
            outline: RoundedRectangle::new(at, step.length, step.width, step.corner),
            depth: step.depth.as_mm(),
            enough: step.depth.as_mm(),
        }
    });
    let holes = pocket.holes.iter().map(|hole| {
        let at = place(fixture, part, hole.center);
        Wanted {
            outline: RoundedRectangle::new(at, hole.diameter, hole.diameter, hole.diameter),
            depth: hole.tip.as_mm(),
            enough: (hole.tip - hole.point_height).as_mm(),
        }
    });
    steps.chain(holes).collect()
}

fn description(wanted: &[Wanted], map: Option<&DepthMap>, units: Units) -> String {
    let deepest = wanted.iter().map(|step| step.depth).fold(0.0, f64::max);
    let reached = map.map_or(0.0, |map| {
        map.depth.iter().copied().fold(0.0_f32, f32::max).into()
    });
    format!(
        "Deepest wanted {}, deepest replayed {}. Darker is deeper; crosses mark wood cut that \
         should stay, rings mark wood that should be gone.",
        one(Length::from_mm(deepest), units),
        one(Length::from_mm(reached), units)
    )
}

fn shade(depth: f64, deepest: f64) -> usize {
    if depth < TOLERANCE {
        return 0;
    }
    let share = (depth / deepest * SHADES as f64).ceil();
    (share.max(1.0) as usize).min(SHADES)
}

/// The two pictures' place on the drawing.
struct Frame {
    min: Point,
    max: Point,
    scale: f64,
    height: f64,
}

impl Frame {
    fn new(wanted: &[Wanted], map: Option<&DepthMap>) -> Self {
        let mut min = Point::from_mm(f64::INFINITY, f64::INFINITY);
        let mut max = Point::from_mm(f64::NEG_INFINITY, f64::NEG_INFINITY);
        for Wanted { outline, .. } in wanted {
            min = Point::from_mm(
                min.x.min(outline.center.x - outline.half_x - 2.0),
                min.y.min(outline.center.y - outline.half_y - 2.0),
            );
            max = Point::from_mm(
                max.x.max(outline.center.x + outline.half_x + 2.0),
                max.y.max(outline.center.y + outline.half_y + 2.0),
            );
        }
        if let Some(map) = map {
            let cell = map.cell.as_mm();
            let far = |count: usize| count.saturating_sub(1) as f64 * cell;
            min = Point::from_mm(min.x.min(map.origin.x), min.y.min(map.origin.y));
            max = Point::from_mm(
                max.x.max(map.origin.x + far(map.columns)),
                max.y.max(map.origin.y + far(map.rows)),
            );
        }
        let wide = ((WIDTH - GUTTER) / 2.0).max(1.0);
        let scale = (wide / (max.x - min.x).max(1.0)).min(180.0 / (max.y - min.y).max(1.0));
        Self {
            min,
            max,
            scale,
            height: TOP + (max.y - min.y) * scale + 34.0,
        }
    }

    fn left(&self, side: usize) -> f64 {
        side as f64 * (WIDTH + GUTTER) / 2.0
    }

    fn x(&self, side: usize, x: f64) -> f64 {
        self.left(side) + (x - self.min.x) * self.scale
    }

    fn y(&self, y: f64) -> f64 {
        TOP + (self.max.y - y) * self.scale
    }

    fn whole(&self, side: usize) -> String {
        rectangle(
            (self.x(side, self.min.x), self.y(self.max.y)),
            (self.x(side, self.max.x), self.y(self.min.y)),
        )
    }

    fn outline(&self, side: usize, outline: &RoundedRectangle) -> String {
        rounded(
            (self.x(side, outline.center.x), self.y(outline.center.y)),
            (outline.half_x * self.scale, outline.half_y * self.scale),
            outline.corner * self.scale,
        )
    }
}

/// The map, thinned to what the eye can tell, runs of one shade in one piece.
fn replayed(pen: &mut Pen, frame: &Frame, map: &DepthMap, wanted: &[Wanted], deepest: f64) {
    let stride = map
        .columns
        .div_ceil(FINEST.0)
        .max(map.rows.div_ceil(FINEST.1))
        .max(1);
    let step = map.cell.as_mm() * stride as f64;
    let mut runs = vec![String::new(); SHADES + 1];
    let mut marks = Marks::default();
    for row in (0..map.rows).step_by(stride) {
        let y = map.origin.y + row as f64 * map.cell.as_mm();
        let mut run: Option<(usize, f64, f64)> = None;
        for column in (0..map.columns).step_by(stride) {
            let x = map.origin.x + column as f64 * map.cell.as_mm();
            let Some(depth) = map.depth.get(row * map.columns + column) else {
                continue;
            };
            let depth = f64::from(*depth);
            let shade = shade(depth, deepest);
            marks.look(Point::from_mm(x, y), depth, wanted, step);
            match &mut run {
                Some((held, _, end)) if *held == shade => *end = x,
                _ => {
                    push_run(&mut runs, frame, run, y, step);
                    run = Some((shade, x, x));
                }
            }
        }
        push_run(&mut runs, frame, run, y, step);
    }
    for (index, d) in runs.into_iter().enumerate().skip(1) {
        if !d.is_empty() {
            pen.path(&format!("shade-{index}"), d);
        }
    }
    marks.draw(pen, frame);
}

fn push_run(runs: &mut [String], frame: &Frame, run: Option<(usize, f64, f64)>, y: f64, step: f64) {
    let Some((shade, from, to)) = run else { return };
    if shade == 0 {
        return;
    }
    let half = step / 2.0;
    let (left, right) = (frame.x(1, from - half), frame.x(1, to + half));
    runs[shade] += &format!(
        "M{} {}h{}v{}h{}z",
        short(left),
        short(frame.y(y + half)),
        short(right - left),
        short(step * frame.scale + 0.3),
        short(left - right)
    );
}

/// Samples that differ from the wanted pocket by more than the judge lets pass.
#[derive(Default)]
struct Marks {
    too_deep: Vec<Point>,
    left: Vec<Point>,
}

impl Marks {
    /// Most marks drawn of a kind; more would only be a blot.
    const MOST: usize = 200;

    fn look(&mut self, at: Point, depth: f64, wanted: &[Wanted], cell: f64) {
        let (mut deepest, mut least) = (0.0_f64, 0.0_f64);
        for step in wanted {
            let distance = step.outline.signed_distance_mm(at);
            if distance < cell {
                deepest = deepest.max(step.depth);
            }
            if distance < -cell {
                least = least.max(step.enough);
            }
        }
        if depth > deepest + TOLERANCE && self.too_deep.len() < Self::MOST {
            self.too_deep.push(at);
        }
        if depth < least - TOLERANCE && self.left.len() < Self::MOST {
            self.left.push(at);
        }
    }

    fn draw(&self, pen: &mut Pen, frame: &Frame) {
        for point in &self.too_deep {
            let (x, y) = (frame.x(1, point.x), frame.y(point.y));
            let cross = super::pen::polyline(&[(x - 3.0, y - 3.0), (x + 3.0, y + 3.0)])
                + &super::pen::polyline(&[(x - 3.0, y + 3.0), (x + 3.0, y - 3.0)]);
            pen.path("fault", cross);
        }
        for point in &self.left {
            pen.circle("fault", (frame.x(1, point.x), frame.y(point.y)), 3.0);
        }
    }
}

fn legend(pen: &mut Pen, frame: &Frame, deepest: f64, units: Units) {
    let y = frame.height - 22.0;
    let mut x = 0.0;
    pen.text("soft", Anchor::Start, (x, y + 13.0), "depth");
    x += 46.0;
    for index in 0..=SHADES {
        let class = format!("shade-{index}");
        let box_ = rectangle((x, y), (x + 26.0, y + 16.0));
        pen.path(&class, box_.clone());
        pen.path("thin", box_);
        x += 26.0;
    }
    let words = format!("0 … {} {units}", figure(Length::from_mm(deepest), units));
    pen.text("soft", Anchor::Start, (x + 8.0, y + 13.0), &words);
    pen.text(
        "soft",
        Anchor::End,
        (WIDTH, y + 13.0),
        "× cut too far   ○ wood left",
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    /// A map of pocket 1 of the box with one extra hole beside it.
    fn map(hole: Option<usize>) -> DepthMap {
        let job = sample::job();
        let wanted = wanted(&job.fixture, PartName::Box, &job.parts[0].pockets[0]);
        let (columns, rows, cell) = (97, 29, 0.5);
        let origin = Point::from_mm(21.0, -21.5);
        let mut depth = Vec::new();
        for row in 0..rows {
            for column in 0..columns {
                let at = Point::from_mm(
                    origin.x + column as f64 * cell,
                    origin.y + row as f64 * cell,
                );
                let deepest = wanted
                    .iter()
                    .filter(|step| step.outline.signed_distance_mm(at) < 0.0)
                    .map(|step| step.depth as f32)
                    .fold(0.0, f32::max);
                depth.push(deepest);
            }
        }
        if let Some(index) = hole {
            depth[index] = 3.0;
        }
        DepthMap {
            part: PartName::Box,
            hinge: 1,
            origin,
            cell: Length::from_mm(cell),
            columns,
            rows,
            depth,
        }
    }

    fn picture(map: Option<&DepthMap>) -> String {
        let job = sample::job();
        let part = &job.parts[0];
        draw(&job.fixture, part, &part.pockets[0], map, Units::Millimetre).inline()
    }

    #[test]
    fn a_true_pocket_has_no_marks() {
        let good = map(None);
        assert!(!picture(Some(&good)).contains("fault"));
    }

    #[test]
    fn one_sample_cut_too_far_gets_one_cross() {
        let bad = map(Some(0));
        assert_eq!(picture(Some(&bad)).matches("class=\"fault\"").count(), 1);
    }

    #[test]
    fn a_pocket_without_a_map_says_so() {
        assert!(picture(None).contains("not cut by these programs"));
    }
}
