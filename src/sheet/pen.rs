//! Drawing by hand: lines, hatches, dimensions and labels on one sheet of SVG.
//!
//! Coordinates here are the drawing's own units, x to the right, y down.

use svg::node::Node;
use svg::node::Text;
use svg::node::element::Element;

use crate::units::digits::push_decimal;

/// The look of the drawings; the page includes it once, a file of its own
/// carries it along.
pub(super) const STYLE: &str = include_str!("drawing.css");

/// Paper for a drawing of true size lies down.
const LYING: &str = "@page { size: landscape; margin: 8mm; }\n";

/// Mean width of a letter of a drawing's text.
pub(super) const LETTER: f64 = 8.3;

/// How wood, fixture and clamps are told apart without colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Hatch {
    /// Wood of the box.
    Box,
    /// Wood of the lid.
    Lid,
    /// Divider, fence and stop.
    Fixture,
    /// A clamp.
    Clamp,
}

impl Hatch {
    const fn name(self) -> &'static str {
        match self {
            Self::Box => "box",
            Self::Lid => "lid",
            Self::Fixture => "fixture",
            Self::Clamp => "clamp",
        }
    }

    /// Tile size and the strokes in it.
    const fn tile(self) -> (&'static str, &'static str) {
        match self {
            Self::Box => ("10", "M-2 2 2 -2M0 10 10 0M8 12 12 8"),
            Self::Lid => ("9", "M0 2H9M0 6.5H9"),
            Self::Fixture => ("6", "M0 0 6 6M0 6 6 0"),
            Self::Clamp => ("7", "M2 2h1.5v1.5h-1.5zM5.5 5.5h1.5v1.5h-1.5z"),
        }
    }
}

/// Where a label hangs on its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// A finished drawing.
#[derive(Clone, Debug)]
pub(super) struct Drawing {
    root: Element,
    size: (f64, f64),
}

impl Drawing {
    /// In its own units.
    pub(super) fn width(&self) -> f64 {
        self.size.0
    }

    /// As part of the page.
    pub(super) fn inline(&self) -> String {
        self.root.to_string()
    }

    /// As a file of its own; `size` gives width and height where the drawing
    /// has a true size.
    pub(super) fn standalone(&self, size: Option<(f64, f64)>) -> String {
        let mut root = self.root.clone();
        root.assign("xmlns", "http://www.w3.org/2000/svg");
        if let Some((width, height)) = size {
            root.assign("width", format!("{}mm", short(width)));
            root.assign("height", format!("{}mm", short(height)));
        }
        let mut style = Element::new("style");
        let true_size = if size.is_some() { LYING } else { "" };
        style.append(Text::new(format!("{true_size}{STYLE}")));
        root.get_children_mut().insert(2, Box::new(style));
        format!("{root}\n")
    }
}

/// A drawing under way.
pub(super) struct Pen {
    root: Element,
    size: (f64, f64),
    id: String,
}

impl Pen {
    /// A sheet `width` × `height`; `id` is unique within the page, `title` and
    /// `description` are what a person hears who cannot see it.
    pub(super) fn new(
        id: &str,
        (width, height): (f64, f64),
        title: &str,
        description: &str,
    ) -> Self {
        let mut root = Element::new("svg");
        root.assign("viewBox", format!("0 0 {} {}", short(width), short(height)));
        root.assign("class", "drawing");
        // The page keeps the text readable where the window is narrow.
        root.assign("style", format!("--wide:{}", short(width)));
        root.assign("role", "img");
        root.assign("aria-labelledby", format!("{id}-title {id}-desc"));
        for (name, words) in [("title", title), ("desc", description)] {
            let mut element = Element::new(name);
            element.assign("id", format!("{id}-{name}"));
            element.append(Text::new(words));
            root.append(element);
        }
        Self {
            root,
            size: (width, height),
            id: id.to_owned(),
        }
    }

    /// Makes these available to [`Pen::hatched`].
    pub(super) fn define_hatches(&mut self, hatches: &[Hatch]) {
        let mut definitions = Element::new("defs");
        for hatch in hatches {
            let (size, strokes) = hatch.tile();
            let mut pattern = Element::new("pattern");
            pattern.assign("id", format!("{}-{}", self.id, hatch.name()));
            pattern.assign("width", size);
            pattern.assign("height", size);
            pattern.assign("patternUnits", "userSpaceOnUse");
            let mut path = Element::new("path");
            path.assign("class", format!("hatch hatch-{}", hatch.name()));
            path.assign("d", strokes);
            pattern.append(path);
            definitions.append(pattern);
        }
        self.root.append(definitions);
    }

    pub(super) fn path(&mut self, class: &str, d: impl Into<String>) {
        let mut path = Element::new("path");
        path.assign("class", class);
        path.assign("d", d.into());
        self.root.append(path);
    }

    pub(super) fn line(&mut self, class: &str, from: (f64, f64), to: (f64, f64)) {
        self.path(class, polyline(&[from, to]));
    }

    /// A closed outline filled with `class`, then hatched over.
    pub(super) fn hatched(&mut self, class: &str, hatch: Hatch, d: &str) {
        self.path(class, d);
        let mut path = Element::new("path");
        path.assign("style", format!("fill:url(#{}-{})", self.id, hatch.name()));
        path.assign("d", d);
        self.root.append(path);
    }

    pub(super) fn circle(&mut self, class: &str, center: (f64, f64), radius: f64) {
        let mut circle = Element::new("circle");
        circle.assign("class", class);
        circle.assign("cx", short(center.0));
        circle.assign("cy", short(center.1));
        circle.assign("r", short(radius));
        self.root.append(circle);
    }

    pub(super) fn text(&mut self, class: &str, anchor: Anchor, at: (f64, f64), words: &str) {
        let element = label(class, anchor, at, words);
        self.root.append(element);
    }

    /// Text that reads from bottom to top.
    pub(super) fn text_upward(&mut self, class: &str, anchor: Anchor, at: (f64, f64), words: &str) {
        let mut element = label(class, anchor, at, words);
        let (x, y) = (short(at.0), short(at.1));
        element.assign("transform", format!("rotate(-90 {x} {y})"));
        self.root.append(element);
    }

    /// A dimension between two x at height `y`, its label on the line where
    /// there is room and beside it where there is not.
    pub(super) fn dimension_across(&mut self, (from, to): (f64, f64), y: f64, words: &str) {
        let (from, to) = (from.min(to), from.max(to));
        let room = to - from;
        let inside = room > 14.0;
        let label = LETTER * words.chars().count() as f64 + 8.0;
        let middle = f64::midpoint(from, to);
        if room > label + 8.0 {
            let gap = (middle - label / 2.0, middle + label / 2.0);
            self.path("dim", arrows_across((from, to), y, inside, Some(gap)));
            let at = (middle, y + 5.0);
            self.text("dim-text halo", Anchor::Middle, at, words);
        } else {
            self.path("dim", arrows_across((from, to), y, inside, None));
            let at = (to + if inside { 5.0 } else { 13.0 }, y + 5.0);
            self.text("dim-text halo", Anchor::Start, at, words);
        }
    }

    /// A dimension between two y at `x`, its label to the right of the line.
    pub(super) fn dimension_down(&mut self, x: f64, (from, to): (f64, f64), words: &str) {
        let (from, to) = (from.min(to), from.max(to));
        self.path("dim", arrows_down(x, from, to, to - from > 14.0));
        let at = (x + 6.0, (from + to) / 2.0 + 5.0);
        self.text("dim-text halo", Anchor::Start, at, words);
    }

    /// An area that a pointer or the arrow keys take hold of.
    #[cfg(feature = "page")]
    pub(super) fn grip(&mut self, number: usize, words: &str, d: &str) {
        // What is inside a picture is hidden from who hears it.
        self.root.assign("role", "group");
        let mut path = Element::new("path");
        path.assign("class", "grip");
        path.assign("data-clamp", number.to_string());
        path.assign("tabindex", "0");
        path.assign("role", "button");
        path.assign("aria-label", words);
        path.assign("d", d);
        self.root.append(path);
    }

    pub(super) fn finish(self) -> Drawing {
        Drawing {
            root: self.root,
            size: self.size,
        }
    }
}

fn label(class: &str, anchor: Anchor, at: (f64, f64), words: &str) -> Element {
    let mut element = Element::new("text");
    element.assign("class", class);
    element.assign("x", short(at.0));
    element.assign("y", short(at.1));
    match anchor {
        Anchor::Start => {}
        Anchor::Middle => element.assign("text-anchor", "middle"),
        Anchor::End => element.assign("text-anchor", "end"),
    }
    element.append(Text::new(words));
    element
}

fn arrows_across((from, to): (f64, f64), y: f64, inside: bool, gap: Option<(f64, f64)>) -> String {
    let reach = if inside { 0.0 } else { 10.0 };
    let tip = if inside { 6.0 } else { -6.0 };
    let mut d = match gap {
        Some((left, right)) => {
            polyline(&[(from, y), (left, y)]) + &polyline(&[(right, y), (to, y)])
        }
        None => polyline(&[(from - reach, y), (to + reach, y)]),
    };
    for (x, along) in [(from, tip), (to, -tip)] {
        d += &polyline(&[(x + along, y - 2.5), (x, y), (x + along, y + 2.5)]);
        d += &polyline(&[(x, y - 5.0), (x, y + 5.0)]);
    }
    d
}

fn arrows_down(x: f64, from: f64, to: f64, inside: bool) -> String {
    let reach = if inside { 0.0 } else { 10.0 };
    let tip = if inside { 6.0 } else { -6.0 };
    let mut d = polyline(&[(x, from - reach), (x, to + reach)]);
    for (y, along) in [(from, tip), (to, -tip)] {
        d += &polyline(&[(x - 2.5, y + along), (x, y), (x + 2.5, y + along)]);
        d += &polyline(&[(x - 5.0, y), (x + 5.0, y)]);
    }
    d
}

/// An open path through the points.
pub(super) fn polyline(points: &[(f64, f64)]) -> String {
    let mut d = String::new();
    for (index, (x, y)) in points.iter().enumerate() {
        push_point(&mut d, if index == 0 { 'M' } else { 'L' }, (*x, *y));
    }
    d
}

/// A command of a path and the point it goes to.
pub(super) fn push_point(d: &mut String, command: char, (x, y): (f64, f64)) {
    d.push(command);
    push_short(d, x);
    d.push(' ');
    push_short(d, y);
}

/// A command of a path and how far it goes.
pub(super) fn push_length(d: &mut String, command: char, length: f64) {
    d.push(command);
    push_short(d, length);
}

/// A closed path through the points.
pub(super) fn polygon(points: &[(f64, f64)]) -> String {
    polyline(points) + "Z"
}

/// A rectangle between two corners.
pub(super) fn rectangle(one: (f64, f64), other: (f64, f64)) -> String {
    let (left, right) = (one.0.min(other.0), one.0.max(other.0));
    let (top, bottom) = (one.1.min(other.1), one.1.max(other.1));
    let mut d = String::new();
    push_point(&mut d, 'M', (left, top));
    for (side, end) in [('H', right), ('V', bottom), ('H', left)] {
        push_length(&mut d, side, end);
    }
    d.push('Z');
    d
}

/// A rectangle with round corners about `center`.
pub(super) fn rounded(center: (f64, f64), half: (f64, f64), corner: f64) -> String {
    let corner = corner.min(half.0).min(half.1).max(0.0);
    let (left, right) = (center.0 - half.0, center.0 + half.0);
    let (top, bottom) = (center.1 - half.1, center.1 + half.1);
    let radius = short(corner);
    let mut d = String::new();
    push_point(&mut d, 'M', (left + corner, top));
    for (side, end, arc) in [
        ('H', right - corner, (right, top + corner)),
        ('V', bottom - corner, (right - corner, bottom)),
        ('H', left + corner, (left, bottom - corner)),
        ('V', top + corner, (left + corner, top)),
    ] {
        push_length(&mut d, side, end);
        d.push('A');
        for word in [&radius, " ", &radius, " 0 0 1"] {
            d.push_str(word);
        }
        push_point(&mut d, ' ', arc);
    }
    d.push('Z');
    d
}

/// Two decimals at most, no trailing zeros.
pub(super) fn short(value: f64) -> String {
    let mut text = String::new();
    push_short(&mut text, value);
    text
}

fn push_short(text: &mut String, value: f64) {
    push_decimal(text, (value * 100.0).round() as i64, 2);
    text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
}

/// Label positions as near to `wanted` (in order) as `apart` allows.
pub(super) fn spread(wanted: &[f64], apart: f64) -> Vec<f64> {
    // Clusters that overlap are merged about their common mean.
    let mut clusters: Vec<(f64, usize)> = Vec::new();
    for &at in wanted {
        let mut cluster = (at, 1usize);
        while let Some(&(mean, count)) = clusters.last() {
            let reach = (count + cluster.1) as f64 * apart / 2.0;
            if cluster.0 - mean >= reach {
                break;
            }
            clusters.pop();
            let total = count + cluster.1;
            let sum = mean * count as f64 + cluster.0 * cluster.1 as f64;
            cluster = (sum / total as f64, total);
        }
        clusters.push(cluster);
    }
    let mut places = Vec::with_capacity(wanted.len());
    for (mean, count) in clusters {
        let first = mean - (count - 1) as f64 * apart / 2.0;
        places.extend((0..count).map(|index| first + index as f64 * apart));
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_are_spread_without_changing_order() {
        let places = spread(&[0.0, 1.0, 50.0], 10.0);
        assert_eq!(places, vec![-4.5, 5.5, 50.0]);
    }

    #[test]
    fn a_label_with_room_stays_where_it_is() {
        assert_eq!(spread(&[5.0, 30.0], 10.0), vec![5.0, 30.0]);
    }

    #[test]
    fn numbers_are_as_short_as_they_go() {
        for (value, text) in [
            (0.0, "0"),
            (-0.001, "0"),
            (12.0, "12"),
            (0.5, "0.5"),
            (-3.456, "-3.46"),
            (0.07, "0.07"),
        ] {
            assert_eq!(short(value), text);
        }
    }

    #[test]
    fn words_are_escaped_in_a_drawing() {
        let mut pen = Pen::new("t", (10.0, 10.0), "a < b", "desc");
        pen.text("", Anchor::Start, (0.0, 0.0), "<script>");
        let text = pen.finish().inline();
        assert!(text.contains("a &lt; b"));
        assert!(!text.contains("<script>"));
    }

    #[test]
    fn a_file_of_its_own_carries_namespace_and_true_size() {
        let pen = Pen::new("t", (100.0, 50.0), "t", "d");
        let text = pen.finish().standalone(Some((100.0, 50.0)));
        assert!(text.contains("xmlns=\"http://www.w3.org/2000/svg\""));
        assert!(text.contains("width=\"100mm\"") && text.contains("height=\"50mm\""));
        assert!(text.contains("<style>"));
        // A width in a style would win over the true one.
        assert!(!STYLE.contains("width: 100%"));
    }
}
