//! A plot of a few lines over one quantity.

use crate::units::text::trimmed;

use super::pen::{Anchor, Pen, polygon, polyline, spread};

const WIDTH: f64 = 560.0;
const HEIGHT: f64 = 276.0;
const LEFT: f64 = 70.0;
const RIGHT: f64 = 150.0;
const TOP: f64 = 56.0;
const BOTTOM: f64 = 52.0;
/// Lines across at most.
const MARKS: f64 = 5.0;
const ROW: f64 = 18.0;

/// One line of a plot.
pub(crate) struct Curve<'a> {
    /// Its name, written at its end.
    pub(crate) name: &'a str,
    /// From left to right; never two at one place.
    pub(crate) points: &'a [[f64; 2]],
    /// Whether it bounds the others.
    pub(crate) is_limit: bool,
}

/// What is plotted.
pub(crate) struct Plot<'a> {
    /// Unique within the page.
    pub(crate) id: &'a str,
    pub(crate) title: &'a str,
    /// What the figures on the left are of.
    pub(crate) unit: &'a str,
    /// What runs along the bottom, from 0 to 1.
    pub(crate) along: &'a str,
    /// A place along the bottom, and its name.
    pub(crate) mark: (f64, &'a str),
    pub(crate) curves: &'a [Curve<'a>],
    /// The same in words.
    pub(crate) words: &'a str,
}

impl Plot<'_> {
    /// As part of a page.
    pub(crate) fn inline(&self) -> String {
        let mut pen = Pen::new(self.id, (WIDTH, HEIGHT), self.title, self.words);
        let top = self.top();
        let at = |[along, value]: [f64; 2]| {
            let x = LEFT + along * (WIDTH - LEFT - RIGHT);
            (x, HEIGHT - BOTTOM - value / top * (HEIGHT - TOP - BOTTOM))
        };
        let title = format!("{}, {}", self.title, self.unit);
        pen.text("strong", Anchor::Start, (8.0, 20.0), &title);
        self.window(&mut pen, &at);
        let step = step(top / MARKS);
        for index in 0..=(top / step + 1e-9).floor() as u32 {
            let value = f64::from(index) * step;
            let (x, y) = at([0.0, value]);
            pen.line("thin", (x, y), at([1.0, value]));
            let place = (x - 8.0, y + 5.0);
            pen.text("dim-text", Anchor::End, place, &trimmed(value));
        }
        for along in [0.0, 0.25, 0.5, 0.75, 1.0] {
            let (x, y) = at([along, 0.0]);
            pen.line("edge", (x, y), (x, y + 5.0));
            let place = (x, y + 21.0);
            pen.text("dim-text", Anchor::Middle, place, &trimmed(along));
        }
        let (x, y) = at([0.5, 0.0]);
        pen.text("soft", Anchor::Middle, (x, y + 42.0), self.along);
        let (x, low) = at([self.mark.0, 0.0]);
        pen.line("hidden", (x, TOP - 8.0), (x, low));
        pen.text("halo", Anchor::Middle, (x, TOP - 12.0), self.mark.1);
        let mut ends = Vec::new();
        for curve in self.curves {
            let points: Vec<(f64, f64)> = curve.points.iter().copied().map(at).collect();
            let class = if curve.is_limit {
                "plot-limit"
            } else {
                "plot-line"
            };
            pen.path(class, polyline(&points));
            ends.extend(points.last().map(|end| (end.1, curve.name)));
        }
        ends.sort_by(|one, other| one.0.total_cmp(&other.0));
        let wanted: Vec<f64> = ends.iter().map(|(y, _)| *y).collect();
        for ((_, name), y) in ends.iter().zip(spread(&wanted, ROW)) {
            let place = (WIDTH - RIGHT + 8.0, y + 5.0);
            pen.text("halo", Anchor::Start, place, name);
        }
        pen.finish().inline()
    }

    /// What the left side goes up to.
    fn top(&self) -> f64 {
        let values = self.curves.iter().flat_map(|curve| curve.points);
        let most = values.map(|[_, value]| *value).fold(0.0, f64::max);
        let step = step(most.max(1e-6) / MARKS);
        (most / step).ceil().max(1.0) * step
    }

    /// Between two limits.
    fn window(&self, pen: &mut Pen, at: &dyn Fn([f64; 2]) -> (f64, f64)) {
        let limits: Vec<_> = self.curves.iter().filter(|one| one.is_limit).collect();
        let [one, other] = limits.as_slice() else {
            return;
        };
        let back = other.points.iter().rev();
        let all: Vec<_> = one.points.iter().chain(back).copied().map(at).collect();
        pen.path("plot-window", polygon(&all));
    }
}

/// 1, 2 or 5 times a power of ten, no less than `least`.
fn step(least: f64) -> f64 {
    let power = 10f64.powf(least.log10().floor());
    let times = [1.0, 2.0, 5.0, 10.0];
    let fits = times
        .into_iter()
        .find(|times| times * power >= least * (1.0 - 1e-9));
    fits.unwrap_or(10.0) * power
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round() {
        for (least, wanted) in [(0.013, 0.02), (0.2, 0.2), (3300.0, 5000.0), (7.0, 10.0)] {
            assert!((step(least) / wanted - 1.0).abs() < 1e-9, "{least}");
        }
    }

    // 0 to 8 in steps of 2: 8 - 40 / 52 stands at the top, its half in the middle.
    #[test]
    fn a_value_stands_at_its_height() {
        let curve = Curve {
            name: "one",
            points: &[[0.0, 8.0], [1.0, 4.0]],
            is_limit: false,
        };
        let plot = Plot {
            id: "p",
            title: "Speed",
            unit: "rpm",
            along: "wear",
            mark: (0.5, "now"),
            curves: &[curve],
            words: "words",
        };
        let text = plot.inline();
        assert!(text.contains("d=\"M70 56L410 140\""), "{text}");
        assert!(text.contains("Speed, rpm") && text.contains("<desc id=\"p-desc\">"));
    }
}
