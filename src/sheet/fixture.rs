//! The fixture from above, to scale: which way round everything lies.

use crate::geometry::Point;
use crate::job::{
    Along, Clamp, Closing, Fixture, Job, Layout, Part, PartName, Pocket, StopEnd, ZeroPoint,
};
use crate::units::{Length, Units};

use super::frame::{Area, against, lie, place, seen, signs, viewpoint};
use super::loose_piece;
use super::measure::{figure, one};
use super::pen::{
    Anchor, Drawing, Hatch, LETTER, Pen, polygon, polyline, rectangle, rounded, spread,
};

const LEFT: f64 = 124.0;
const RIGHT: f64 = 236.0;
/// What a stop of a book layout, its name and the zero at it take up beside the parts.
const STOP: f64 = 80.0;
/// Width of the picture, no more than its words ask for: on paper it stands
/// beside others, and its words are still large.
const NARROWEST: f64 = 520.0;
const WIDEST: f64 = 590.0;
/// Of parts that lie end to end, and of a scrap with many pockets.
const LONGEST: f64 = 690.0;
const TALLEST: f64 = 230.0;
/// Between two labels of the right side, each of two lines.
const ROW: f64 = 38.0;
/// Half of what a clamp's label takes up, down and sideways.
const LABELLED: f64 = 14.0;
const BROAD: f64 = 130.0;
/// Thickness of a stop or fence on paper.
const BAR: f64 = 20.0;

/// Draws it.
pub(super) fn draw(job: &Job, units: Units) -> Drawing {
    drawn(job, units).finish()
}

/// Everything drawn, and the pen still in the hand.
pub(super) fn drawn(job: &Job, units: Units) -> Pen {
    let view = View::new(job);
    let title = format!("Fixture from above, {}", layout_words(&job.fixture));
    let mut pen = Pen::new(
        "fixture",
        (view.width, view.height),
        &title,
        &description(job, units),
    );
    pen.define_hatches(&[Hatch::Box, Hatch::Lid, Hatch::Fixture, Hatch::Clamp]);
    let mut scene = PlanView {
        pen: &mut pen,
        view: &view,
        job,
        units,
    };
    scene.stops();
    for part in &job.parts {
        scene.part(part);
    }
    scene.columns();
    scene.clamps();
    for part in &job.parts {
        scene.part_name(part);
        scene.faces(part);
        scene.pockets(part);
    }
    scene.rows();
    scene.zeros();
    scene.unit_note();
    pen
}

/// The layout in trade words.
pub(super) const fn layout_words(fixture: &Fixture) -> &'static str {
    match (fixture.layout, fixture.along) {
        (Layout::Book, Along::X) => "opened like a book about the divider",
        (Layout::Book, Along::Y) => "opened like a book about the divider, along Y",
        (Layout::EndToEnd, Along::X) => "end to end along one fence",
        (Layout::EndToEnd, Along::Y) => "end to end along one fence, along Y",
        (Layout::Scrap, _) => "one scrap, its corner at zero",
    }
}

/// What the lines mean, told without their colour.
pub(super) fn key(fixture: &Fixture) -> &'static str {
    match fixture.layout {
        Layout::Book if !fixture.positions.is_empty() => {
            "Thick lines: faces against the divider, and stop ends. Dot: zero."
        }
        Layout::Book => "Thick lines: faces against divider and stop. Quartered disc: zero.",
        Layout::EndToEnd => {
            "Thick lines: faces against fence and centre stop. Quartered disc: zero."
        }
        Layout::Scrap => "Quartered disc: zero.",
    }
}

fn description(job: &Job, units: Units) -> String {
    let fixture = &job.fixture;
    let way_round = match (fixture.layout, fixture.stop_end) {
        (Layout::Book, _) => &format!(
            "Lid at the back, box at the front, the divider between them, {}.",
            against(fixture)
        ),
        (Layout::EndToEnd, StopEnd::Left) => {
            "Box on the left, lid on the right, stop ends against the centre stop, \
             the fence at the front."
        }
        (Layout::EndToEnd, StopEnd::Right) => {
            "Lid on the left, box on the right, stop ends against the centre stop, \
             the fence at the front."
        }
        (Layout::Scrap, _) => "It lies with one corner at zero.",
    };
    let from = viewpoint(fixture).map_or_else(String::new, |from| format!("{from} "));
    let mut words = format!("{from}{way_round} Pocket centres:");
    for part in &job.parts {
        for pocket in part.pockets.iter().take(8) {
            let at = place(job, part.name, pocket.center);
            words += &format!(
                " {} {} at X {} Y {};",
                part.name,
                pocket.hinge,
                one(at.x(), units),
                one(at.y(), units)
            );
        }
    }
    words
}

/// From millimetres on the machine, as [`lie`] and [`seen`] turn them, to the drawing's units.
pub(super) struct View {
    area: Area,
    /// Units of the drawing for a millimetre.
    pub(super) scale: f64,
    width: f64,
    top: f64,
    height: f64,
}

impl View {
    pub(super) fn new(job: &Job) -> Self {
        let fixture = &job.fixture;
        let mut all = Area::of(Point::from_mm(0.0, 0.0), Point::from_mm(0.0, 0.0));
        for part in &job.parts {
            let corner = |u, v| lie(job, part.name, Point::from_mm(u, v));
            let far = corner(part.length.as_mm(), drawn_depth(job, part));
            all = all.union(Area::of(corner(0.0, 0.0), far));
        }
        for clamp in &fixture.clamps {
            all = all.union(seen(fixture, clamp.min, clamp.max));
        }
        let (wide, high) = (all.max.x - all.min.x, all.max.y - all.min.y);
        let widest = match fixture.layout {
            Layout::EndToEnd | Layout::Scrap => LONGEST,
            Layout::Book => WIDEST,
        };
        let most = (widest - LEFT - RIGHT) / wide.max(1.0);
        let scale = most.min(TALLEST / high.max(1.0));
        let right = if has_stop_on_the_right(fixture) {
            RIGHT + STOP
        } else {
            RIGHT
        };
        let width = (LEFT + wide * scale + right).max(NARROWEST);
        let top = match (fixture.layout, fixture.along) {
            (Layout::Book, _) => 74.0,
            (Layout::EndToEnd, Along::X) => 86.0,
            // Where the picture is seen from is told in a line over the stop's name.
            (Layout::EndToEnd, Along::Y) => 108.0,
            (Layout::Scrap, _) => 92.0,
        };
        let bottom = if fixture.layout == Layout::EndToEnd {
            94.0
        } else {
            44.0
        };
        Self {
            area: all,
            scale,
            width,
            top,
            height: (top + high * scale + bottom).max(210.0),
        }
    }

    fn x(&self, x: f64) -> f64 {
        LEFT + (x - self.area.min.x) * self.scale
    }

    fn y(&self, y: f64) -> f64 {
        self.top + (self.area.max.y - y) * self.scale
    }

    pub(super) fn at(&self, point: Point) -> (f64, f64) {
        (self.x(point.x), self.y(point.y))
    }

    fn right(&self) -> f64 {
        self.x(self.area.max.x)
    }

    fn bottom(&self) -> f64 {
        self.y(self.area.min.y)
    }
}

/// Whether a book's stop stands where the Y figures are written.
fn has_stop_on_the_right(fixture: &Fixture) -> bool {
    fixture.layout == Layout::Book && fixture.stop_end == StopEnd::Right
}

/// How much of a part is drawn, from the outside face inward: boards much
/// deeper than their pockets are broken off, unless a clamp lies further in.
pub(super) fn drawn_depth(job: &Job, part: &Part) -> f64 {
    let whole = part
        .depth_for_drawing
        .unwrap_or(part.across)
        .max(part.across);
    let whole = whole.as_mm();
    let mut wanted = (0.3 * part.length.as_mm()).max(60.0);
    if job.fixture.layout != Layout::Scrap {
        for clamp in &job.fixture.clamps {
            wanted = wanted.max(reach(job, part, clamp) + 12.0);
        }
    }
    if whole > wanted * 1.25 && job.fixture.layout != Layout::Scrap {
        wanted
    } else {
        whole
    }
}

/// How far a clamp reaches into a part from its outside face.
fn reach(job: &Job, part: &Part, clamp: &Clamp) -> f64 {
    let half = job.fixture.divider.as_mm() / 2.0;
    let Area { min, max } = seen(&job.fixture, clamp.min, clamp.max);
    match (job.fixture.layout, part.name) {
        (Layout::Book, PartName::Box) => -min.y - half,
        (Layout::Book, _) => max.y - half,
        (Layout::EndToEnd | Layout::Scrap, _) => max.y,
    }
}

/// A place along the hinged edges worth a label, and how far across its line starts.
struct Column {
    x: f64,
    from: f64,
    words: String,
    class: &'static str,
}

struct PlanView<'a> {
    pen: &'a mut Pen,
    view: &'a View,
    job: &'a Job,
    units: Units,
}

impl PlanView<'_> {
    fn fixture(&self) -> &Fixture {
        &self.job.fixture
    }

    fn figure(&self, length: f64) -> String {
        figure(Length::from_mm(length), self.units)
    }

    fn stops(&mut self) {
        match self.fixture().layout {
            Layout::Book => self.book_stops(),
            Layout::EndToEnd => self.line_stops(),
            Layout::Scrap => {}
        }
    }

    fn book_stops(&mut self) {
        let half = self.fixture().divider.as_mm() / 2.0;
        let x0 = self.view.x(0.0);
        // From the stop's face outward, and to the far ends of the parts.
        let (out, far, named) = match self.fixture().stop_end {
            StopEnd::Left => (-1.0, self.view.right(), [12.0, 32.0]),
            // Letters that stand upright reach to the left of their line.
            StopEnd::Right => (1.0, self.view.x(self.view.area.min.x), [28.0, 48.0]),
        };
        let (above, below) = (self.view.y(half), self.view.y(-half));
        let (top, bottom) = (self.view.y(self.view.area.max.y), self.view.bottom());
        let stop = rectangle((x0 + out * (BAR + 3.0), top), (x0 + out * 3.0, bottom));
        self.pen.hatched("solid", Hatch::Fixture, &stop);
        self.pen.text_upward(
            "name halo",
            Anchor::Middle,
            (x0 + out * (BAR + named[0]), (top + above) / 2.0),
            "STOP",
        );
        const WORDS: &str = "both stop ends";
        if above - top > LETTER * WORDS.len() as f64 + 12.0 {
            let at = (x0 + out * (BAR + named[1]), (top + above) / 2.0 - 6.0);
            self.pen.text_upward("soft", Anchor::Middle, at, WORDS);
        }
        if half > 0.0 {
            let divider = rectangle((x0 + out * 3.0, above), (far - out * 12.0, below));
            self.pen.hatched("solid", Hatch::Fixture, &divider);
        }
    }

    fn line_stops(&mut self) {
        let half = self.fixture().divider.as_mm() / 2.0;
        let (left, right) = (self.view.x(self.view.area.min.x), self.view.right());
        let fence = self.view.y(0.0);
        let bar = rectangle((left - 8.0, fence + 3.0), (right + 8.0, fence + 3.0 + BAR));
        self.pen.hatched("solid", Hatch::Fixture, &bar);
        let at = (left + 4.0, fence + BAR - 2.0);
        self.pen.text("name halo", Anchor::Start, at, "FENCE");
        if half > 0.0 {
            let top = self.view.y(self.view.area.max.y);
            let stop = rectangle((self.view.x(-half), top), (self.view.x(half), fence + 3.0));
            self.pen.hatched("solid", Hatch::Fixture, &stop);
        }
        let at = (self.view.x(0.0), self.view.y(self.view.area.max.y) - 60.0);
        self.pen.text("name", Anchor::Middle, at, "STOP");
        let width = one(self.fixture().divider, self.units);
        self.pen
            .text("dim-text", Anchor::Middle, (at.0, at.1 + 17.0), &width);
        let top = self.view.y(self.view.area.max.y);
        self.pen.line("thin", (at.0, at.1 + 23.0), (at.0, top));
    }

    fn part(&mut self, part: &Part) {
        let drawn = drawn_depth(self.job, part);
        let whole = part
            .depth_for_drawing
            .unwrap_or(part.across)
            .max(part.across);
        let hatch = if part.name == PartName::Lid {
            Hatch::Lid
        } else {
            Hatch::Box
        };
        let solid = part.across.as_mm().min(drawn);
        let outline = self.part_outline(part, solid, drawn < part.across.as_mm());
        self.pen.hatched("wood", hatch, &outline);
        if drawn > part.across.as_mm() {
            self.hollow(part, drawn, drawn < whole.as_mm());
        }
    }

    /// The part down to `depth`, its inner edge broken off where it goes on.
    fn part_outline(&self, part: &Part, depth: f64, broken: bool) -> String {
        let corner = |u, v| self.view.at(lie(self.job, part.name, Point::from_mm(u, v)));
        let length = part.length.as_mm();
        let mut points = vec![corner(0.0, 0.0), corner(length, 0.0), corner(length, depth)];
        if broken {
            let waves = 12;
            points.extend((1..waves).map(|index| {
                let along = length * (1.0 - f64::from(index) / f64::from(waves));
                let side = if index % 2 == 0 { 3.0 } else { -3.0 };
                corner(along, depth + side / self.view.scale)
            }));
        }
        points.push(corner(0.0, depth));
        polygon(&points)
    }

    /// The rest of a box that is glued up already, behind its hinged wall.
    fn hollow(&mut self, part: &Part, drawn: f64, broken: bool) {
        let wall = part.across.as_mm();
        let length = part.length.as_mm();
        let corner = |u, v| self.view.at(lie(self.job, part.name, Point::from_mm(u, v)));
        let mut d = polyline(&[corner(0.0, wall), corner(0.0, drawn)]);
        d += &polyline(&[corner(length, wall), corner(length, drawn)]);
        if !broken {
            d += &polyline(&[corner(0.0, drawn), corner(length, drawn)]);
        }
        self.pen.path("hidden", d);
    }

    fn part_name(&mut self, part: &Part) {
        let drawn = drawn_depth(self.job, part);
        let (name, words) = part_words(self.job, part);
        let middle = part.length.as_mm() / 2.0;
        let inner = lie(self.job, part.name, Point::from_mm(middle, drawn));
        let (x, edge) = self.view.at(inner);
        let pocket_depth = part
            .pockets
            .iter()
            .map(|pocket| pocket.center.y + pocket_half_width(pocket))
            .fold(0.0, f64::max);
        let down = signs(self.job, part.name).1 < 0.0;
        let (room, edge) = {
            let whole = (drawn - pocket_depth) * self.view.scale;
            // A clamp's own label wants the far part of it.
            let taken = self.clamp_labels(x).map(|y| (y - edge).abs() + LABELLED);
            let taken = taken.filter(|taken| *taken < whole).fold(0.0, f64::max);
            let clear = if down { edge - taken } else { edge + taken };
            (whole - taken, clear)
        };
        let inside = room > 58.0 && self.fixture().layout != Layout::EndToEnd;
        let y = match (inside, down) {
            (true, true) => edge - room / 2.0 + 12.0,
            (true, false) => edge + room / 2.0 + 4.0,
            (false, true) => edge + 18.0,
            (false, false) => edge - 26.0,
        };
        self.pen.text("name halo", Anchor::Middle, (x, y), name);
        self.pen.text("halo", Anchor::Middle, (x, y + 18.0), &words);
    }

    /// Heights in the picture of the labels of clamps that stand about `x`.
    fn clamp_labels(&self, x: f64) -> impl Iterator<Item = f64> {
        let clamps = self.job.fixture.clamps.iter();
        clamps.filter_map(move |clamp| {
            let Area { min, max } = seen(self.fixture(), clamp.min, clamp.max);
            let middle = (min.x + max.x, min.y + max.y);
            let at = self.view.at(Point::from_mm(middle.0 / 2.0, middle.1 / 2.0));
            ((at.0 - x).abs() < BROAD).then_some(at.1)
        })
    }

    fn clamps(&mut self) {
        for clamp in &self.job.fixture.clamps {
            let Area { min, max } = seen(&self.job.fixture, clamp.min, clamp.max);
            let outline = rectangle(self.view.at(min), self.view.at(max));
            self.pen.hatched("solid", Hatch::Clamp, &outline);
            let middle = Point::from_mm((min.x + max.x) / 2.0, (min.y + max.y) / 2.0);
            let (x, y) = self.view.at(middle);
            self.pen
                .text("strong halo", Anchor::Middle, (x, y), &clamp.name);
            let height = format!("{} high", one(clamp.height, self.units));
            self.pen
                .text("halo", Anchor::Middle, (x, y + 17.0), &height);
        }
    }

    /// The two edges that decide which way round: the one against the fence and the stop end.
    fn faces(&mut self, part: &Part) {
        if part.name.lies_alone() {
            return;
        }
        let corner = |u, v| self.view.at(lie(self.job, part.name, Point::from_mm(u, v)));
        let (start, end) = (corner(0.0, 0.0), corner(part.length.as_mm(), 0.0));
        let inner = corner(0.0, drawn_depth(self.job, part));
        self.pen.line("stop-end", start, inner);
        self.pen.line("outside", start, end);
    }

    fn pockets(&mut self, part: &Part) {
        let (along, _) = signs(self.job, part.name);
        self.ticks(part);
        self.pieces(part);
        for pocket in &part.pockets {
            let center = lie(self.job, part.name, pocket.center);
            for (index, step) in pocket.steps.iter().enumerate() {
                let shifted = Point::from_mm(center.x + along * step.shift.as_mm(), center.y);
                let d = rounded(
                    self.view.at(shifted),
                    (
                        step.length.as_mm() / 2.0 * self.view.scale,
                        step.width.as_mm() / 2.0 * self.view.scale,
                    ),
                    step.corner.as_mm() * self.view.scale,
                );
                self.pen.path(if index == 0 { "cut-1" } else { "cut-2" }, d);
            }
            if part.pockets.len() <= 12 {
                self.pocket_number(pocket, center, along);
            }
        }
    }

    fn ticks(&mut self, part: &Part) {
        for tick in &part.ticks {
            let ends = [tick.from, tick.to].map(|end| self.view.at(lie(self.job, part.name, end)));
            self.pen.line("tick", ends[0], ends[1]);
        }
    }

    fn pieces(&mut self, part: &Part) {
        for piece in &part.contours {
            let at = |point| self.view.at(lie(self.job, part.name, point));
            let (outline, middle) = (
                loose_piece::outline(&piece.outline, at),
                at(loose_piece::middle(&piece.outline)),
            );
            self.pen.path("edge", outline);
            let number = piece.number.to_string();
            self.pen.text(
                "strong halo",
                Anchor::Middle,
                (middle.0, middle.1 + 5.0),
                &number,
            );
        }
    }

    /// Beside the pocket, away from the stop; on a scrap the ticks stand there,
    /// so that the number goes into the pocket.
    fn pocket_number(&mut self, pocket: &Pocket, center: Point, along: f64) {
        let half = pocket
            .steps
            .iter()
            .map(|step| step.shift.as_mm().abs() + step.length.as_mm() / 2.0)
            .fold(0.0, f64::max);
        let (x, y) = self.view.at(center);
        let x = match self.fixture().layout {
            Layout::Scrap => x,
            Layout::Book | Layout::EndToEnd => x + along * (half * self.view.scale + 14.0),
        };
        self.pen.circle("paper", (x, y), 10.0);
        let number = pocket.hinge.to_string();
        self.pen
            .text("strong", Anchor::Middle, (x, y + 5.0), &number);
    }

    /// Where ends and pocket centres lie along the hinged edges: the lid's along the top in a book layout,
    /// all others along the bottom.
    fn columns(&mut self) {
        let book = self.fixture().layout == Layout::Book;
        let mut below = Vec::new();
        let mut above = Vec::new();
        for part in &self.job.parts {
            let list = if book && part.name == PartName::Lid {
                &mut above
            } else {
                &mut below
            };
            list.extend(self.part_columns(part));
        }
        let mut bottom = self.view.bottom() + 10.0;
        if self.fixture().layout == Layout::EndToEnd {
            bottom += BAR + 4.0;
            if self.fixture().zero == ZeroPoint::Shared {
                below.push(Column {
                    x: 0.0,
                    from: 0.0,
                    words: "X0 Y0".to_owned(),
                    class: "name",
                });
            }
        }
        self.column_labels(below, bottom, 1.0);
        let top = self.view.y(self.view.area.max.y) - 10.0;
        self.column_labels(above, top, -1.0);
    }

    fn part_columns(&self, part: &Part) -> Vec<Column> {
        let at = |u, v| lie(self.job, part.name, Point::from_mm(u, v));
        let [along, _] = self.fixture().letters();
        let column = |point: Point| Column {
            x: point.x,
            from: point.y,
            words: format!("{along} {}", self.figure(point.x)),
            class: "dim-text",
        };
        let inner = drawn_depth(self.job, part);
        let mut columns = vec![
            column(at(0.0, inner)),
            column(at(part.length.as_mm(), inner)),
        ];
        if part.pockets.len() <= 12 {
            let centers = part.pockets.iter().map(|pocket| pocket.center);
            columns.extend(centers.map(|center| column(at(center.x, center.y))));
        }
        columns
    }

    fn column_labels(&mut self, mut columns: Vec<Column>, y: f64, away: f64) {
        columns.sort_by(|one, other| one.x.total_cmp(&other.x));
        let scale = self.view.scale;
        columns.dedup_by(|later, kept| (later.x - kept.x).abs() * scale < 3.0);
        let longest = columns.iter().map(|column| column.words.chars().count());
        let apart = LETTER * longest.max().unwrap_or(0) as f64 + 10.0;
        // Too many for one row stand in two, every other one further out.
        let staggered = apart * columns.len() as f64 > self.view.width;
        let apart = if staggered { apart / 2.0 } else { apart };
        let wanted: Vec<f64> = columns.iter().map(|column| self.view.x(column.x)).collect();
        let mut labels = spread(&wanted, apart);
        // None leaves the picture on the left; those pushed aside push the next.
        let mut least = if staggered { apart } else { apart / 2.0 };
        for label in &mut labels {
            *label = label.max(least);
            least = *label + apart;
        }
        for (index, (label, column)) in labels.into_iter().zip(&columns).enumerate() {
            let exact = self.view.x(column.x);
            let outer = if staggered && index % 2 == 1 {
                ROW / 2.0
            } else {
                0.0
            };
            let d = polyline(&[
                (exact, self.view.y(column.from)),
                (exact, y),
                (label, y + away * (14.0 + outer)),
            ]);
            self.pen.path("thin", d);
            let baseline = y + if away > 0.0 {
                28.0 + outer
            } else {
                -18.0 - outer
            };
            let at = (label, baseline);
            self.pen
                .text(column.class, Anchor::Middle, at, &column.words);
        }
    }

    /// Where faces and pocket centres lie across them, down the right side.
    fn rows(&mut self) {
        let mut rows = Vec::new();
        for part in &self.job.parts {
            rows.extend(self.part_rows(part));
        }
        if self.fixture().layout == Layout::Book && self.fixture().zero == ZeroPoint::Shared {
            let divider = figure(self.fixture().divider, self.units);
            let words = if self.fixture().divider > Length::ZERO {
                format!("DIVIDER, {divider} thick")
            } else {
                "the parts butt".to_owned()
            };
            rows.push((0.0, words));
        }
        rows.sort_by(|one, other| other.0.total_cmp(&one.0));
        let scrap = self.fixture().layout == Layout::Scrap;
        rows.dedup_by(|one, other| (one.0 - other.0).abs() < 1e-6 && (scrap || one.1 == other.1));
        let wanted: Vec<f64> = rows.iter().map(|row| self.view.y(row.0)).collect();
        let mut labels = spread(&wanted, ROW);
        // Labels that reach above or below the parts stand beside those of X there.
        let high = self.view.bottom() - self.view.y(self.view.area.max.y);
        let beside = ROW * rows.len() as f64 > high;
        let (stop, past) = if has_stop_on_the_right(self.fixture()) {
            (BAR + 3.0, STOP)
        } else {
            (0.0, 0.0)
        };
        let x = self.view.right() + past + if beside { 40.0 } else { 14.0 };
        // Below the fence or the near edge stand the X labels.
        let lowest = match self.fixture().layout {
            Layout::Book => self.view.bottom() - 8.0,
            Layout::EndToEnd | Layout::Scrap => self.view.y(0.0),
        };
        let over = labels.last().map_or(0.0, |last| last - lowest);
        labels.iter_mut().for_each(|label| *label -= over.max(0.0));
        for (label, (y, words)) in labels.into_iter().zip(&rows) {
            let exact = self.view.y(*y);
            let d = polyline(&[
                (self.view.right() + stop + 1.0, exact),
                (x, exact),
                (x + 12.0, label),
            ]);
            self.pen.path("thin", d);
            let [_, across] = self.fixture().letters();
            let at = match self.fixture().along {
                Along::X => *y,
                Along::Y => 0.0 - y,
            };
            let figure = format!("{across} {}", self.figure(at));
            self.pen
                .text("strong", Anchor::Start, (x + 17.0, label - 1.0), &figure);
            let class = if words.contains("outside") {
                "mark"
            } else if words.starts_with("DIVIDER") {
                "strong"
            } else {
                "soft"
            };
            self.pen
                .text(class, Anchor::Start, (x + 17.0, label + 15.0), words);
        }
    }

    fn part_rows(&self, part: &Part) -> Vec<(f64, String)> {
        let y = |v| lie(self.job, part.name, Point::from_mm(0.0, v)).y;
        let across = part.across.as_mm();
        let (name, shared) = match (self.fixture().layout, part.name) {
            (Layout::EndToEnd, _) => ("", true),
            (_, PartName::Box) => ("box ", false),
            (_, PartName::Lid) => ("lid ", false),
            (_, PartName::Scrap | PartName::Plate) => ("", false),
        };
        let mut rows = Vec::new();
        match (part.name, shared) {
            (PartName::Scrap | PartName::Plate, _) => rows.push((y(0.0), "near edge".to_owned())),
            (_, true) => {
                let [boxed, lid] =
                    [PartName::Box, PartName::Lid].map(|name| self.job.closing.faces(name));
                rows.push((y(0.0), format!("fence: {}, {}", boxed.fence, lid.fence)));
            }
            (_, false) => rows.push((
                y(0.0),
                format!("{name}{}", self.job.closing.faces(part.name).fence),
            )),
        }
        if let Some(pocket) = part.pockets.first() {
            let words = if part.name.lies_alone() {
                format!("{} 1", pocket.kind)
            } else if shared && self.same_centers() {
                "pocket centres".to_owned()
            } else {
                format!("{} pocket centres", part.name)
            };
            rows.push((y(pocket.center.y), words));
        }
        if across <= drawn_depth(self.job, part) + 1e-9 {
            let words = if part.name.lies_alone() {
                "far edge"
            } else {
                "inside face"
            };
            rows.push((y(across), format!("{} {words}", part.name)));
        }
        rows
    }

    fn same_centers(&self) -> bool {
        let mut centers = self
            .job
            .parts
            .iter()
            .filter_map(|part| part.pockets.first())
            .map(|pocket| pocket.center.y);
        let first = centers.next().unwrap_or(0.0);
        centers.all(|center| (center - first).abs() < 1e-6)
    }

    fn zeros(&mut self) {
        let origin = Point::from_mm(0.0, 0.0);
        match self.fixture().zero {
            ZeroPoint::Shared => self.zero(origin, "X0 Y0", (1.0, 1.0)),
            ZeroPoint::Each => {
                for (part, words) in [(PartName::Box, "G54"), (PartName::Lid, "G55")] {
                    let at = lie(self.job, part, origin);
                    let signs = signs(self.job, part);
                    self.zero(at, words, signs);
                }
            }
        }
    }

    /// Unit of the figures, and which way X and Y run.
    fn unit_note(&mut self) {
        let from = match self.fixture().along {
            Along::X => "",
            Along::Y => ", seen from the machine's right",
        };
        let words = format!("figures in {}{from}", self.units.name());
        let at = (46.0, 18.0);
        self.pen.text("soft", Anchor::Start, at, &words);
        // The second axis points up, or where the layout is turned towards the reader.
        let (x, y, long): (f64, f64, f64) = (16.0, 54.0, 26.0);
        let [along, across] = self.fixture().letters().map(String::from);
        let (from, tip) = match self.fixture().along {
            Along::X => (y, y - long),
            Along::Y => (y - long, y),
        };
        let head = (from - tip).signum() * 7.0;
        let arrows = polyline(&[(x, tip), (x, from), (x + long, from)])
            + &polyline(&[(x - 4.0, tip + head), (x, tip), (x + 4.0, tip + head)])
            + &polyline(&[
                (x + long - 7.0, from - 4.0),
                (x + long, from),
                (x + long - 7.0, from + 4.0),
            ]);
        self.pen.path("edge", arrows);
        let beside = (x + long + 5.0, from + 5.0);
        self.pen.text("strong", Anchor::Start, beside, &along);
        let beyond = match self.fixture().along {
            Along::X => tip - 6.0,
            Along::Y => tip + 18.0,
        };
        self.pen
            .text("strong", Anchor::Middle, (x, beyond), &across);
    }

    /// The zero mark: a target, two quarters filled, and arrows along X and Y.
    fn zero(&mut self, point: Point, words: &str, lean: (f64, f64)) {
        let (x, y) = self.view.at(point);
        let radius = 11.0;
        for (class, d) in zero_mark(x, y, radius) {
            self.pen.path(class, d);
        }
        let each = self.fixture().zero == ZeroPoint::Each;
        if self.fixture().layout != Layout::EndToEnd {
            let slant = if each { lean.1 * 12.0 } else { 0.0 };
            let (anchor, out, beside) = if has_stop_on_the_right(self.fixture()) {
                (Anchor::Start, 1.0, BAR + 10.0)
            } else {
                (Anchor::End, -1.0, BAR + 36.0)
            };
            let place = (x + out * beside, y - slant + 5.0);
            self.pen.text("name halo", anchor, place, words);
            let d = polyline(&[(place.0 - out * 4.0, place.1 - 5.0), (x + out * radius, y)]);
            self.pen.path("edge", d);
        } else if each {
            let place = (x + lean.0 * 34.0, y + BAR - 2.0);
            self.pen.text("name halo", Anchor::Middle, place, words);
        }
    }
}

/// The target's outline and its two filled quarters.
fn zero_mark(x: f64, y: f64, radius: f64) -> Vec<(&'static str, String)> {
    let quarter = |from: (f64, f64), to: (f64, f64)| {
        format!(
            "{}A{radius} {radius} 0 0 1 {} {}Z",
            polyline(&[(x, y), (x + from.0, y + from.1)]),
            x + to.0,
            y + to.1
        )
    };
    let reach = radius + 7.0;
    vec![
        ("paper", rounded((x, y), (radius, radius), radius)),
        ("ink", quarter((0.0, -radius), (radius, 0.0))),
        ("ink", quarter((0.0, radius), (-radius, 0.0))),
        (
            "edge",
            polyline(&[(x - reach, y), (x + reach, y)])
                + &polyline(&[(x, y - reach), (x, y + reach)]),
        ),
    ]
}

fn pocket_half_width(pocket: &Pocket) -> f64 {
    pocket
        .steps
        .iter()
        .map(|step| step.width.as_mm() / 2.0)
        .fold(0.0, f64::max)
}

/// Name of a part and how it lies.
pub(super) fn part_words(job: &Job, part: &Part) -> (&'static str, String) {
    match (part.name, job.closing) {
        (PartName::Box, Closing::Overlay) => ("BOX", "rim of the hinged wall up".to_owned()),
        (PartName::Box, Closing::Inset) => ("BOX", "loose hinged wall, inside face up".to_owned()),
        (PartName::Lid, Closing::Overlay) => ("LID", "inside face up".to_owned()),
        (PartName::Lid, Closing::Inset) => ("LID", "on edge, back edge up".to_owned()),
        (PartName::Scrap, _) => ("SCRAP", "of the same wood".to_owned()),
        (PartName::Plate, _) => ("PLATE", "underside up".to_owned()),
    }
}
