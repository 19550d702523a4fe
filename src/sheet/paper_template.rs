//! The full-size paper template: pocket outlines to lay on the part.
//!
//! Pages are 250 × 185 mm, which both A4 and Letter hold lying down, printed
//! at 100 %.

use crate::job::faces::Faces;
use crate::job::{Job, Part, Pocket, StopEnd};
use crate::units::{Length, Units};

use super::frame::outside_is_on_top;
use super::measure::{Both, both};
use super::pen::{Anchor, Drawing, Pen, polyline, rounded};

/// Width of a page in millimetres.
pub(super) const PAGE: (f64, f64) = (250.0, 185.0);
const LEFT: f64 = 8.0;
/// The longest piece of a part drawn in one strip.
const LONGEST: f64 = 230.0;
/// From the top of a strip to the face against the fence: two lines of words.
const HEAD: f64 = 12.2;
/// Under a strip: a line for each pocket, and some air.
const LINE: f64 = 4.4;
const FOOT: f64 = 4.0;
/// Height of the title and the ruler.
const TOP: f64 = 26.0;

/// A stretch of a part along u with the pockets in it.
struct Strip<'a> {
    faces: Faces,
    stop_end: StopEnd,
    part: &'a Part,
    from: f64,
    to: f64,
    pockets: Vec<&'a Pocket>,
}

impl Strip<'_> {
    fn depth(&self) -> f64 {
        let inner = self.pockets.iter().flat_map(|pocket| {
            pocket
                .steps
                .iter()
                .map(|step| pocket.center.y + step.width.as_mm() / 2.0)
        });
        inner.fold(10.0, f64::max) + 4.0
    }

    /// Where `v` lies in a strip that begins at `top`.
    fn y(&self, top: f64, v: f64) -> f64 {
        if outside_is_on_top(self.stop_end, self.part.name) {
            top + v
        } else {
            top + self.depth() - v
        }
    }

    fn height(&self) -> f64 {
        HEAD + self.depth() + LINE * self.pockets.len() as f64 + FOOT
    }
}

/// The pages, in order.
pub(super) fn draw(job: &Job, units: Units) -> Vec<Drawing> {
    let strips: Vec<_> = job
        .parts
        .iter()
        .flat_map(|part| strips(job, part))
        .collect();
    let mut pages: Vec<Vec<Strip<'_>>> = vec![Vec::new()];
    let mut used = TOP;
    for strip in strips {
        let page_is_begun = pages.last().is_some_and(|page| !page.is_empty());
        if used + strip.height() > PAGE.1 && page_is_begun {
            pages.push(Vec::new());
            used = TOP;
        }
        used += strip.height();
        if let Some(page) = pages.last_mut() {
            page.push(strip);
        }
    }
    let count = pages.len();
    pages
        .iter()
        .enumerate()
        .map(|(index, strips)| page(job, strips, (index + 1, count), units))
        .collect()
}

/// One strip for a short part, else one for each pocket.
fn strips<'a>(job: &Job, part: &'a Part) -> Vec<Strip<'a>> {
    let (faces, stop_end) = (job.closing.faces(part.name), job.fixture.stop_end);
    let length = part.length.as_mm();
    if length <= LONGEST {
        return vec![Strip {
            faces,
            stop_end,
            part,
            from: 0.0,
            to: length,
            pockets: part.pockets.iter().collect(),
        }];
    }
    part.pockets
        .iter()
        .map(|pocket| {
            let half = pocket
                .steps
                .iter()
                .map(|step| step.shift.as_mm().abs() + step.length.as_mm() / 2.0);
            let half = (half.fold(0.0, f64::max) + 25.0).min(LONGEST / 2.0);
            Strip {
                faces,
                stop_end,
                part,
                from: (pocket.center.x - half).max(0.0),
                to: (pocket.center.x + half).min(length),
                pockets: vec![pocket],
            }
        })
        .collect()
}

fn page(job: &Job, strips: &[Strip<'_>], number: (usize, usize), units: Units) -> Drawing {
    let height = strips.iter().map(Strip::height).sum::<f64>() + TOP;
    let mut pen = Pen::new(
        &format!("template-{}", number.0),
        (PAGE.0, PAGE.1.max(height)),
        &format!(
            "Paper template of {}, page {} of {}",
            job.title, number.0, number.1
        ),
        "Full size when printed at 100 percent: pocket outlines with centre lines, \
         and a 50 mm ruler to check the printer.",
    );
    let title = format!("{} · page {} of {}", job.title, number.0, number.1);
    pen.text("tp-strong", Anchor::Start, (LEFT, 7.0), &title);
    ruler(&mut pen);
    let mut y = TOP;
    for strip in strips {
        draw_strip(&mut pen, strip, y + HEAD, units);
        y += strip.height();
    }
    pen.finish()
}

/// 50 mm in millimetres and 2 inches in 1/16.
pub(super) fn ruler(pen: &mut Pen) {
    let (left, y) = (LEFT, 17.0);
    let mut ticks = polyline(&[(left, y), (left + 50.8, y)]);
    for index in 0..=50 {
        let length = match index % 10 {
            0 => 5.0,
            5 => 3.6,
            _ => 2.2,
        };
        let x = left + f64::from(index);
        ticks += &polyline(&[(x, y), (x, y - length)]);
    }
    for index in 0..=32 {
        let length = match index % 16 {
            0 => 5.0,
            8 => 3.6,
            _ => 2.2,
        };
        let x = left + f64::from(index) * 25.4 / 16.0;
        ticks += &polyline(&[(x, y), (x, y + length)]);
    }
    pen.path("tp-line", ticks);
    for (x, words) in [(0.0, "0"), (50.0, "50 mm")] {
        pen.text("tp", Anchor::Start, (left + x + 1.2, y - 3.2), words);
    }
    pen.text("tp", Anchor::Start, (left + 52.2, y + 4.6), "2 in");
    let words = "Print at 100 %, no fit to page. The ruler must measure 50.0 mm; if it does not, \
         do not use this page.";
    pen.text("tp", Anchor::Start, (left + 68.0, y + 1.0), words);
}

fn draw_strip(pen: &mut Pen, strip: &Strip<'_>, top: f64, units: Units) {
    let x = |u: f64| LEFT + u - strip.from;
    let length = strip.part.length.as_mm();
    let bottom = top + strip.depth();
    let (start, end) = (strip.from < 1e-9, strip.to > length - 1e-9);
    let face = strip.y(top, 0.0);
    pen.line("tp-face", (x(strip.from), face), (x(strip.to), face));
    for (is_end, u) in [(start, strip.from), (end, strip.to)] {
        let class = if is_end { "tp-line" } else { "tp-break" };
        pen.line(class, (x(u), top), (x(u), bottom));
    }
    let words = [heading(strip), how_to_lay(strip, units)];
    for (words, above) in words.iter().zip([9.0, 4.6]) {
        let class = if above > LINE * 2.0 {
            "tp-strong"
        } else {
            "tp"
        };
        pen.text(class, Anchor::Start, (LEFT, top - above), words);
    }
    for (index, pocket) in strip.pockets.iter().enumerate() {
        pocket_outline(pen, strip, pocket, (x(0.0), top));
        let words = format!(
            "{}: centre {} from the {}, {} from the thick line",
            pocket.hinge,
            measured(pocket.center.x(), units),
            end_words(strip.part),
            measured(pocket.center.y(), units)
        );
        let at = (LEFT, bottom + LINE * (index + 1) as f64);
        pen.text("tp", Anchor::Start, at, &words);
    }
}

fn end_words(part: &Part) -> &'static str {
    if part.name.lies_alone() {
        "left end"
    } else {
        "stop end"
    }
}

/// In both units, with the fraction that a rule shows.
fn measured(length: Length, units: Units) -> String {
    let Both { first, second } = both(length, units);
    format!("{first} ({second})")
}

fn heading(strip: &Strip<'_>) -> String {
    let name = strip.part.name.to_string().to_uppercase();
    format!(
        "{name}, seen from above, looking down on its {}",
        strip.faces.up
    )
}

fn how_to_lay(strip: &Strip<'_>, units: Units) -> String {
    let end = end_words(strip.part);
    let left = if strip.from < 1e-9 {
        format!("the left line on the {end}")
    } else {
        let from = measured(Length::from_mm(strip.from), units);
        format!("the left line {from} from the {end}")
    };
    format!(
        "Lay it printed side up: the thick line on the {}, {left}.",
        strip.faces.fence
    )
}

fn pocket_outline(pen: &mut Pen, strip: &Strip<'_>, pocket: &Pocket, (left, top): (f64, f64)) {
    let center = (left + pocket.center.x, strip.y(top, pocket.center.y));
    for step in &pocket.steps {
        let at = (center.0 + step.shift.as_mm(), center.1);
        let half = (step.length.as_mm() / 2.0, step.width.as_mm() / 2.0);
        pen.path("tp-line", rounded(at, half, step.corner.as_mm()));
    }
    for hole in &pocket.holes {
        let at = (left + hole.center.x, strip.y(top, hole.center.y));
        pen.circle("tp-line", at, hole.diameter.as_mm() / 2.0);
    }
    let reach = pocket
        .steps
        .iter()
        .map(|step| step.length.as_mm() / 2.0)
        .fold(0.0, f64::max)
        + 4.0;
    pen.line(
        "tp-axis",
        (center.0 - reach, center.1),
        (center.0 + reach, center.1),
    );
    let bottom = top + strip.depth();
    pen.line("tp-axis", (center.0, top - 3.0), (center.0, bottom));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    #[test]
    fn the_drawing_is_full_size() {
        // The page is 250 mm wide and its view box counts 250 units: one unit is one millimetre.
        let pages = draw(&sample::job(), Units::Millimetre);
        let text = pages[0].standalone(Some(PAGE));
        assert!(text.contains("viewBox=\"0 0 250 185\""));
        assert!(text.contains("width=\"250mm\"") && text.contains("height=\"185mm\""));
    }

    #[test]
    fn a_long_part_is_cut_into_a_strip_for_each_pocket() {
        let job = sample::job();
        let strips = strips(&job, &job.parts[0]);
        assert_eq!(strips.len(), 2);
        assert!(strips.iter().all(|strip| strip.to - strip.from <= LONGEST));
        assert_eq!(strips[1].pockets[0].hinge, 2);
    }

    /// Seen from above with u to the right: v runs down the page for the box of
    /// a stop on the left, and up for that of a stop on the right.
    #[test]
    fn a_stop_at_the_other_end_mirrors_the_page() {
        let mut job = sample::job();
        let runs_down = |job: &Job| {
            let strips = job.parts.iter().map(|part| strips(job, part).remove(0));
            let runs = strips.map(|strip| strip.y(0.0, 8.0) > strip.y(0.0, 0.0));
            runs.collect::<Vec<_>>()
        };
        assert_eq!(runs_down(&job), [true, false]);
        job.fixture.stop_end = StopEnd::Right;
        assert_eq!(runs_down(&job), [false, true]);
    }

    #[test]
    fn every_line_of_words_stays_on_the_page() {
        // A letter of 3.1 units is half as wide on the whole, a bold one of 3.8 a little
        // more: measured on a rendered page.
        let mut job = sample::job();
        job.fixture.stop_end = StopEnd::Right;
        for units in [Units::Millimetre, Units::Inch] {
            for page in draw(&job, units) {
                let svg = page.inline();
                for text in svg.split("<text").skip(1) {
                    let (_, words) = text.split_once('>').unwrap();
                    let (words, _) = words.split_once('<').unwrap();
                    let at = text.split_once("x=\"").unwrap().1;
                    let at: f64 = at.split_once('"').unwrap().0.parse().unwrap();
                    let one = if text.contains("tp-strong") {
                        2.15
                    } else {
                        1.55
                    };
                    let wide = words.chars().count() as f64 * one;
                    assert!(at + wide < PAGE.0, "{at} + {wide}: {words}");
                }
            }
        }
    }

    #[test]
    fn every_figure_is_in_the_readers_unit() {
        // Pocket 2 at 215 mm: the strip begins at 215 - 44.1 / 2 - 25 = 167.95 mm, 6.612 in.
        let svg = draw(&sample::job(), Units::Inch)[0].inline();
        assert!(svg.contains(
            "the left line 6.6122 in (167.95 mm, 6 39/64 in + 0.0028 in) from the stop end"
        ));
        // 45 mm is 1.7717 in, 1 49/64 = 1.7656 in and 0.0060 in (hand computed).
        assert!(
            svg.contains(
                "1: centre 1.7717 in (45.00 mm, 1 49/64 in + 0.0060 in) from the stop end"
            )
        );
        assert!(!svg.contains(" mm from"));
    }
}
