//! Depth seen from above: the wanted pocket beside what the replayed text leaves.

use crate::geometry::{Point, RoundedRectangle};
use crate::job::{Job, Part, PartName, Pocket};
use crate::units::{Length, Units};
use crate::verify::DepthMap;

use super::frame::{at_hinge, outline, place};
use super::measure::{figure, one};
use super::pen::{Anchor, Drawing, Pen, polyline, push_length, push_point, rectangle, rounded};
use super::pocket::counted;

const WIDTH: f64 = 660.0;
const GUTTER: f64 = 24.0;
/// Words above each picture.
const HEAD: f64 = 26.0;
/// Pictures beside each other at most.
const COLUMNS: usize = 4;
/// Shades between untouched wood and the deepest floor.
const SHADES: usize = 8;
/// Samples drawn along X and along Y at most.
const FINEST: (usize, usize) = (150, 60);
/// What the judge lets pass, and so what is not marked.
const TOLERANCE: f64 = 0.02;

/// A wanted outline and its depth, about the pocket's centre.
struct Wanted {
    outline: RoundedRectangle,
    depth: f64,
    /// The least depth that will do: a drill's point leaves a cone.
    enough: f64,
}

/// A pocket with what the replayed text leaves of it, where it was replayed.
#[derive(Clone, Copy)]
pub(super) struct Cut<'a> {
    pub(super) pocket: &'a Pocket,
    pub(super) map: Option<&'a DepthMap>,
}

/// Draws the wanted pocket, which is the same for all of `cuts`, and beside
/// it what the text leaves of each; without a map only the wanted pocket is
/// there to show.
pub(super) fn draw(job: &Job, part: &Part, cuts: &[Cut<'_>], units: Units) -> Drawing {
    let Some(first) = cuts.first() else {
        return Pen::new("depth", (WIDTH, 1.0), "No pocket", "Nothing is drawn.").finish();
    };
    let wanted = wanted(job, part.name, first.pocket);
    let centers: Vec<_> = cuts
        .iter()
        .map(|cut| {
            place(
                &at_hinge(job, cut.pocket.hinge),
                part.name,
                cut.pocket.center,
            )
        })
        .collect();
    let frame = Frame::new(&wanted, cuts, &centers);
    let deepest = wanted.iter().map(|step| step.depth).fold(0.1, f64::max);
    let id = format!("depth-{}-{}", part.name, first.pocket.hinge);
    let numbers: Vec<_> = cuts.iter().map(|cut| cut.pocket.hinge).collect();
    let title = format!(
        "Depth, {} of the {}: wanted, and as the program leaves it",
        counted("pocket", &numbers),
        part.name
    );
    let description = description(&wanted, cuts, units);
    let mut pen = Pen::new(&id, (WIDTH, frame.height), &title, &description);
    let drawn = std::iter::once(None).chain(cuts.iter().zip(&centers).map(Some));
    for (slot, cut) in drawn.enumerate() {
        let (left, top) = frame.corner(slot);
        let words = match cut {
            None => "wanted".to_owned(),
            Some(_) if cuts.len() == 1 => "as the program leaves it".to_owned(),
            Some((cut, _)) => format!("{} as cut", cut.pocket.hinge),
        };
        pen.text("strong", Anchor::Start, (left, top - 9.0), &words);
        pen.path("shade-0", frame.whole(slot));
        match cut {
            None => {
                for step in &wanted {
                    let class = format!("shade-{}", shade(step.depth, deepest));
                    pen.path(&class, frame.outline(slot, &step.outline));
                }
            }
            Some((Cut { map: Some(map), .. }, center)) => {
                let picture = Picture {
                    frame: &frame,
                    slot,
                    map,
                    origin: Point::from_mm(map.origin.x - center.x, map.origin.y - center.y),
                };
                picture.draw(&mut pen, &wanted, deepest);
            }
            Some((Cut { map: None, .. }, _)) => {
                pen.text("", Anchor::Start, (left + 8.0, top + 20.0), "not cut here");
            }
        }
        for step in &wanted {
            pen.path("thin", frame.outline(slot, &step.outline));
        }
    }
    legend(&mut pen, &frame, deepest, units);
    pen.finish()
}

/// What is to be gone after this run: of one step alone, it and those above it.
fn wanted(job: &Job, part: PartName, pocket: &Pocket) -> Vec<Wanted> {
    let selected = job.selection.step;
    let steps = selected.unwrap_or(pocket.steps.len());
    let holes = if selected.is_none() {
        pocket.holes.as_slice()
    } else {
        &[]
    };
    let center = place(job, part, pocket.center);
    let about = |at: Point| Point::from_mm(at.x - center.x, at.y - center.y);
    let steps = pocket.steps.iter().take(steps).map(|step| {
        let outline = outline(job, part, pocket, step);
        Wanted {
            outline: RoundedRectangle {
                center: about(outline.center),
                ..outline
            },
            depth: step.depth.as_mm(),
            enough: step.depth.as_mm(),
        }
    });
    let holes = holes.iter().map(|hole| {
        let at = about(place(job, part, hole.center));
        Wanted {
            outline: RoundedRectangle::new(at, hole.diameter, hole.diameter, hole.diameter),
            depth: hole.tip.as_mm(),
            enough: (hole.tip - hole.point_height).as_mm(),
        }
    });
    steps.chain(holes).collect()
}

fn description(wanted: &[Wanted], cuts: &[Cut<'_>], units: Units) -> String {
    let deepest = wanted.iter().map(|step| step.depth).fold(0.0, f64::max);
    let maps = cuts.iter().filter_map(|cut| cut.map);
    let reached = maps.flat_map(|map| &map.depth).copied();
    let reached = f64::from(reached.fold(0.0_f32, f32::max));
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

/// The pictures' places on the drawing, row by row, all of one scale.
struct Frame {
    min: Point,
    max: Point,
    columns: usize,
    scale: f64,
    height: f64,
}

impl Frame {
    fn new(wanted: &[Wanted], cuts: &[Cut<'_>], centers: &[Point]) -> Self {
        let mut min = Point::from_mm(f64::INFINITY, f64::INFINITY);
        let mut max = Point::from_mm(f64::NEG_INFINITY, f64::NEG_INFINITY);
        let mut hold = |least: Point, most: Point| {
            min = Point::from_mm(min.x.min(least.x), min.y.min(least.y));
            max = Point::from_mm(max.x.max(most.x), max.y.max(most.y));
        };
        for Wanted { outline, .. } in wanted {
            let Point { x, y } = outline.center;
            let (wide, high) = (outline.half_x + 2.0, outline.half_y + 2.0);
            hold(
                Point::from_mm(x - wide, y - high),
                Point::from_mm(x + wide, y + high),
            );
        }
        for (cut, center) in cuts.iter().zip(centers) {
            let Some(map) = cut.map else { continue };
            let far = |count: usize| count.saturating_sub(1) as f64 * map.cell.as_mm();
            let (x, y) = (map.origin.x - center.x, map.origin.y - center.y);
            hold(
                Point::from_mm(x, y),
                Point::from_mm(x + far(map.columns), y + far(map.rows)),
            );
        }
        let pictures = cuts.len() + 1;
        let columns = pictures.min(COLUMNS);
        let wide = (WIDTH + GUTTER) / columns as f64 - GUTTER;
        let scale = (wide / (max.x - min.x).max(1.0)).min(180.0 / (max.y - min.y).max(1.0));
        let rows = pictures.div_ceil(columns) as f64;
        Self {
            min,
            max,
            columns,
            scale,
            height: rows * (HEAD + (max.y - min.y) * scale) + 34.0,
        }
    }

    /// Upper left corner of a picture.
    fn corner(&self, slot: usize) -> (f64, f64) {
        let (row, column) = ((slot / self.columns) as f64, (slot % self.columns) as f64);
        let wide = (WIDTH + GUTTER) / self.columns as f64;
        let high = HEAD + (self.max.y - self.min.y) * self.scale;
        (column * wide, row * high + HEAD)
    }

    fn x(&self, slot: usize, x: f64) -> f64 {
        self.corner(slot).0 + (x - self.min.x) * self.scale
    }

    fn y(&self, slot: usize, y: f64) -> f64 {
        self.corner(slot).1 + (self.max.y - y) * self.scale
    }

    fn whole(&self, slot: usize) -> String {
        rectangle(
            (self.x(slot, self.min.x), self.y(slot, self.max.y)),
            (self.x(slot, self.max.x), self.y(slot, self.min.y)),
        )
    }

    fn outline(&self, slot: usize, outline: &RoundedRectangle) -> String {
        rounded(
            (
                self.x(slot, outline.center.x),
                self.y(slot, outline.center.y),
            ),
            (outline.half_x * self.scale, outline.half_y * self.scale),
            outline.corner * self.scale,
        )
    }
}

/// What the replayed text leaves of one pocket.
struct Picture<'a> {
    frame: &'a Frame,
    slot: usize,
    map: &'a DepthMap,
    /// The map's first sample, about the pocket's centre.
    origin: Point,
}

impl Picture<'_> {
    /// The map, thinned to what the eye can tell, runs of one shade in one piece.
    fn draw(&self, pen: &mut Pen, wanted: &[Wanted], deepest: f64) {
        let map = self.map;
        let stride = map
            .columns
            .div_ceil(FINEST.0)
            .max(map.rows.div_ceil(FINEST.1))
            .max(1);
        let cell = map.cell.as_mm();
        let step = cell * stride as f64;
        let mut runs = vec![String::new(); SHADES + 1];
        let mut marks = Marks::default();
        for row in (0..map.rows).step_by(stride) {
            let y = self.origin.y + row as f64 * cell;
            let spans: Vec<Span> = wanted
                .iter()
                .filter_map(|outline| Span::of(outline, y, step))
                .collect();
            let mut run: Option<(usize, f64, f64)> = None;
            let mut last = (0.0, 0);
            for column in (0..map.columns).step_by(stride) {
                let x = self.origin.x + column as f64 * cell;
                let Some(&depth) = map.depth.get(row * map.columns + column) else {
                    continue;
                };
                let depth = f64::from(depth);
                // Floors are even: mostly it is the depth of the one before.
                if depth != last.0 {
                    last = (depth, shade(depth, deepest));
                }
                let shade = last.1;
                marks.look(Point::from_mm(x, y), depth, &spans);
                match &mut run {
                    Some((held, _, end)) if *held == shade => *end = x,
                    _ => {
                        self.push(&mut runs, run, y, step);
                        run = Some((shade, x, x));
                    }
                }
            }
            self.push(&mut runs, run, y, step);
        }
        for (index, d) in runs.into_iter().enumerate().skip(1) {
            if !d.is_empty() {
                pen.path(&format!("shade-{index}"), d);
            }
        }
        marks.draw(pen, self.frame, self.slot);
    }

    fn push(&self, runs: &mut [String], run: Option<(usize, f64, f64)>, y: f64, step: f64) {
        let Some((shade, from, to)) = run else { return };
        if shade == 0 {
            return;
        }
        let half = step / 2.0;
        let x = |x| self.frame.x(self.slot, x);
        let (left, right) = (x(from - half), x(to + half));
        let d = &mut runs[shade];
        push_point(d, 'M', (left, self.frame.y(self.slot, y + half)));
        push_length(d, 'h', right - left);
        push_length(d, 'v', step * self.frame.scale + 0.3);
        push_length(d, 'h', left - right);
        d.push('z');
    }
}

/// What a row of samples crosses of a wanted outline.
struct Span {
    depth: f64,
    enough: f64,
    /// From and to, along X: with the samples beside it, and without those at
    /// its wall.
    near: (f64, f64),
    within: Option<(f64, f64)>,
}

impl Span {
    /// The row at `y`, of samples `apart`.
    fn of(wanted: &Wanted, y: f64, apart: f64) -> Option<Self> {
        let crossed = |by: f64| wanted.outline.grown(by)?.span(y);
        Some(Self {
            depth: wanted.depth,
            enough: wanted.enough,
            near: crossed(apart)?,
            within: crossed(-apart),
        })
    }
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

    fn look(&mut self, at: Point, depth: f64, spans: &[Span]) {
        let (mut deepest, mut least) = (0.0_f64, 0.0_f64);
        for span in spans {
            let holds = |(from, to): (f64, f64)| from < at.x && at.x < to;
            if holds(span.near) {
                deepest = deepest.max(span.depth);
            }
            if span.within.is_some_and(holds) {
                least = least.max(span.enough);
            }
        }
        if depth > deepest + TOLERANCE && self.too_deep.len() < Self::MOST {
            self.too_deep.push(at);
        }
        if depth < least - TOLERANCE && self.left.len() < Self::MOST {
            self.left.push(at);
        }
    }

    fn draw(&self, pen: &mut Pen, frame: &Frame, slot: usize) {
        for point in &self.too_deep {
            let (x, y) = (frame.x(slot, point.x), frame.y(slot, point.y));
            let cross = polyline(&[(x - 3.0, y - 3.0), (x + 3.0, y + 3.0)])
                + &polyline(&[(x - 3.0, y + 3.0), (x + 3.0, y - 3.0)]);
            pen.path("fault", cross);
        }
        for point in &self.left {
            let at = (frame.x(slot, point.x), frame.y(slot, point.y));
            pen.circle("fault", at, 3.0);
        }
    }
}

fn legend(pen: &mut Pen, frame: &Frame, deepest: f64, units: Units) {
    let y = frame.height - 22.0;
    let mut x = 0.0;
    pen.text("soft", Anchor::Start, (x, y + 13.0), "depth");
    x += 52.0;
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
        let wanted = wanted(&job, PartName::Box, &job.parts[0].pockets[0]);
        let (columns, rows, cell) = (97, 29, 0.5);
        let origin = Point::from_mm(21.0, -21.5);
        let mut depth = Vec::new();
        for row in 0..rows {
            for column in 0..columns {
                let at = Point::from_mm(
                    origin.x + column as f64 * cell,
                    origin.y + row as f64 * cell,
                );
                let about = Point::from_mm(at.x - 45.0, at.y + 14.5);
                let deepest = wanted
                    .iter()
                    .filter(|step| step.outline.signed_distance_mm(about) < 0.0)
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
        let cut = Cut {
            pocket: &part.pockets[0],
            map,
        };
        draw(&job, part, &[cut], Units::Millimetre).inline()
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
        assert!(picture(None).contains("not cut here"));
    }

    #[test]
    fn each_pocket_of_a_kind_stands_beside_the_wanted_one() {
        let job = sample::job();
        let part = &job.parts[0];
        let (good, mut second) = (map(None), map(Some(0)));
        // Pocket 2 lies 170 mm further along.
        second.origin.x += 170.0;
        let cuts = [
            Cut {
                pocket: &part.pockets[0],
                map: Some(&good),
            },
            Cut {
                pocket: &part.pockets[1],
                map: Some(&second),
            },
        ];
        let svg = draw(&job, part, &cuts, Units::Millimetre).inline();
        assert!(svg.contains(">1 as cut</text>") && svg.contains(">2 as cut</text>"));
        assert_eq!(svg.matches("class=\"fault\"").count(), 1);
    }

    #[test]
    fn of_one_step_alone_nothing_deeper_is_missed() {
        let mut job = sample::job();
        let part = job.parts[0].clone();
        let mut shallow = map(None);
        for depth in &mut shallow.depth {
            *depth = depth.min(4.7);
        }
        let cut = Cut {
            pocket: &part.pockets[0],
            map: Some(&shallow),
        };
        let svg = |job: &Job| draw(job, &part, &[cut], Units::Millimetre).inline();
        assert!(svg(&job).contains("fault"));
        job.selection.step = Some(1);
        assert!(!svg(&job).contains("fault"));
    }
}
