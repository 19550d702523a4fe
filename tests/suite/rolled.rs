//! A second opinion on a template: its text read by these lines alone, what it cuts
//! put on a raster, a collar's disc moved over that, and the bit's disc after it.
//! Nothing of the judge's geometry is used.

use serde_json::Value;

use crate::harness::Workshop;

/// Distance of samples, in millimetres. An edge on the raster is as exact as this.
const CELL: f64 = 0.1;
/// What a raster of such cells may say wrongly, twice rounded.
const DOUBT: f64 = 0.25;

/// A move: from, to, and the centre of an arc with its way round.
pub(crate) struct Cut {
    from: [f64; 3],
    to: [f64; 3],
    arc: Option<([f64; 2], f64)>,
}

/// Reads G0 to G3 with X Y Z I J in absolute millimetres or inches, which is all that a template has.
pub(crate) fn cuts(text: &str) -> Vec<Cut> {
    let (mut at, mut mode, mut scale) = ([0.0; 3], 0, 1.0);
    let mut cuts = Vec::new();
    for line in text.lines() {
        if line.starts_with('(') {
            continue;
        }
        let (mut to, mut center, mut moves) = (at, [0.0; 2], false);
        for word in line.split(' ') {
            let (letter, number) = word.split_at(1);
            let Ok(number) = number.parse::<f64>() else {
                continue;
            };
            match letter {
                "G" if number == 20.0 => scale = 25.4,
                "G" if number <= 3.0 => mode = number as i32,
                "X" | "Y" | "Z" => {
                    to["XYZ".find(letter).unwrap()] = number * scale;
                    moves = true;
                }
                "I" | "J" => center["IJ".find(letter).unwrap()] = number * scale,
                _ => {}
            }
        }
        if moves {
            let arc = (mode >= 2).then(|| {
                let turn = if mode == 3 { 1.0 } else { -1.0 };
                ([at[0] + center[0], at[1] + center[1]], turn)
            });
            cuts.push(Cut { from: at, to, arc });
            at = to;
        }
    }
    cuts
}

impl Cut {
    /// Places of the bit's middle along it, close together.
    pub(crate) fn places(&self, apart: f64) -> Vec<[f64; 3]> {
        let step = |length: f64| (length / apart).ceil().max(1.0) as usize;
        let share = |index: usize, of: usize| index as f64 / of as f64;
        let level = |at: f64| self.from[2] + (self.to[2] - self.from[2]) * at;
        match self.arc {
            None => {
                let way = [0, 1].map(|axis| self.to[axis] - self.from[axis]);
                let count = step(way[0].hypot(way[1]));
                (0..=count)
                    .map(|index| {
                        let at = share(index, count);
                        [
                            self.from[0] + way[0] * at,
                            self.from[1] + way[1] * at,
                            level(at),
                        ]
                    })
                    .collect()
            }
            Some((center, turn)) => {
                let angle = |point: [f64; 3]| (point[1] - center[1]).atan2(point[0] - center[0]);
                let radius = (self.from[0] - center[0]).hypot(self.from[1] - center[1]);
                let start = angle(self.from);
                let sweep = (turn * (angle(self.to) - start)).rem_euclid(std::f64::consts::TAU);
                let count = step(radius * sweep);
                (0..=count)
                    .map(|index| {
                        let at = share(index, count);
                        let angle = start + turn * sweep * at;
                        [
                            center[0] + radius * angle.cos(),
                            center[1] + radius * angle.sin(),
                            level(at),
                        ]
                    })
                    .collect()
            }
        }
    }
}

/// Samples over a rectangle.
#[derive(Clone)]
struct Raster {
    min: [f64; 2],
    size: [usize; 2],
    set: Vec<bool>,
}

impl Raster {
    fn new(min: [f64; 2], max: [f64; 2]) -> Self {
        let size = [0, 1].map(|axis| ((max[axis] - min[axis]) / CELL).ceil() as usize + 1);
        Self {
            min,
            size,
            set: vec![false; size[0] * size[1]],
        }
    }

    fn at(&self, index: usize) -> [f64; 2] {
        let [column, row] = [index % self.size[0], index / self.size[0]];
        [
            self.min[0] + column as f64 * CELL,
            self.min[1] + row as f64 * CELL,
        ]
    }

    fn index(&self, point: [f64; 2]) -> Option<usize> {
        let cell = [0, 1].map(|axis| ((point[axis] - self.min[axis]) / CELL).round());
        let inside = (0..2).all(|axis| cell[axis] >= 0.0 && cell[axis] < self.size[axis] as f64);
        inside.then(|| cell[1] as usize * self.size[0] + cell[0] as usize)
    }

    /// Squared distance from every sample to the nearest that is `set` as asked: each
    /// column by itself, then each row over the columns' parabolas, all against all
    /// within `reach`.
    fn near(&self, wanted: bool, reach: f64) -> Vec<f64> {
        let [columns, rows] = self.size;
        let far = 1e9;
        let mut down = vec![far; self.set.len()];
        for column in 0..columns {
            for order in [false, true] {
                let mut since = far;
                for step in 0..rows {
                    let row = if order { rows - 1 - step } else { step };
                    let index = row * columns + column;
                    since = if self.set[index] == wanted {
                        0.0
                    } else {
                        since + CELL
                    };
                    down[index] = f64::min(down[index], since);
                }
            }
        }
        let span = (reach / CELL).ceil() as usize + 1;
        let mut squared = vec![far; self.set.len()];
        for row in 0..rows {
            let line = &down[row * columns..(row + 1) * columns];
            for column in 0..columns {
                let (low, high) = (
                    column.saturating_sub(span),
                    (column + span).min(columns - 1),
                );
                let best = (low..=high)
                    .map(|other| {
                        let across = (column as f64 - other as f64) * CELL;
                        across * across + line[other] * line[other]
                    })
                    .fold(far, f64::min);
                squared[row * columns + column] = best;
            }
        }
        squared
    }

    /// Where a disc of that radius stands with nothing unset under it.
    fn shrunk(&self, radius: f64) -> Self {
        let near = self.near(false, radius);
        let set = near
            .iter()
            .map(|squared| *squared >= radius * radius)
            .collect();
        Self {
            set,
            ..self.clone()
        }
    }

    /// What a disc of that radius touches about the set samples.
    fn grown(&self, radius: f64) -> Self {
        let near = self.near(true, radius);
        let set = near
            .iter()
            .map(|squared| *squared <= radius * radius)
            .collect();
        Self {
            set,
            ..self.clone()
        }
    }

    /// Cuts with a bit of that radius, where its tip is at `floor` or below.
    fn cut(&mut self, cuts: &[Cut], radius: f64, floor: f64) {
        let mut path = Self::new(self.min, self.at(self.set.len() - 1));
        for place in cuts.iter().flat_map(|cut| cut.places(CELL)) {
            if place[2] <= floor
                && let Some(index) = path.index([place[0], place[1]])
            {
                path.set[index] = true;
            }
        }
        self.set = path.grown(radius).set;
    }
}

/// Distance to an obround about a centre, negative inside.
fn beyond(point: [f64; 2], center: [f64; 2], length: f64, width: f64) -> f64 {
    let along = ((point[0] - center[0]).abs() - (length - width) / 2.0).max(0.0);
    along.hypot(point[1] - center[1]) - width / 2.0
}

struct Wanted {
    job: &'static str,
    program: &'static str,
    cutter: f64,
    collar: f64,
    bit: f64,
    thickness: f64,
    /// Length, width and how far off the middle, of each step.
    steps: [[f64; 3]; 2],
    /// What the collar's room adds on each side.
    room: f64,
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn point(value: &Value) -> [f64; 2] {
    [number(&value[0]), number(&value[1])]
}

/// The pocket as wanted and the pocket as rolled, sample by sample.
fn compare(
    rolled: &Raster,
    center: [f64; 2],
    [length, width, shift]: [f64; 3],
    room: f64,
    what: &str,
) {
    let center = [center[0] + shift, center[1]];
    let mut seen = 0;
    for (index, cut) in rolled.set.iter().enumerate() {
        let beyond = beyond(rolled.at(index), center, length, width);
        if beyond < -DOUBT {
            assert!(
                cut,
                "{what}: {:?} stays, {beyond:.2} inside",
                rolled.at(index)
            );
            seen += 1;
        } else if beyond > DOUBT + room {
            assert!(
                !cut,
                "{what}: {:?} is cut, {beyond:.2} outside",
                rolled.at(index)
            );
        }
    }
    assert!(seen > 10_000, "{what}: {seen} samples inside");
}

/// By hand: 58 + 0.1 and 34 + 0.1 long, 9.9 + 0.1 wide, the body 2.5 off; in inches
/// 1 3/4 and 1 1/8 long, 3/8 wide.
#[test]
fn a_collar_moved_over_a_raster_of_what_the_text_cuts_gives_the_pockets() {
    let inch = 25.4;
    for wanted in [
        Wanted {
            job: "examples/blanket-chest.toml",
            program: "out/blanket-chest-template.nc",
            cutter: 6.0,
            collar: 24.0,
            bit: 8.0,
            thickness: 12.0,
            steps: [[58.1, 10.0, 0.0], [34.1, 10.0, 2.5]],
            room: 0.0,
        },
        Wanted {
            job: "examples/wall-cabinet.toml",
            program: "out/wall-cabinet-template.nc",
            cutter: inch / 4.0,
            collar: inch,
            bit: 3.0 * inch / 8.0,
            thickness: 0.475 * inch,
            steps: [
                [1.75 * inch, 0.375 * inch, 0.0],
                [1.125 * inch, 0.375 * inch, 0.0],
            ],
            room: 0.05,
        },
    ] {
        let workshop = Workshop::new();
        let run = workshop.run(&["template", wanted.job, "-o", "out", "--format", "json"]);
        assert_eq!(run.code, 0, "{}{}", run.stdout, run.stderr);
        let report = run.json();
        let cuts = cuts(&workshop.read(wanted.program));
        let opening = &report["openings"][0];
        let center = point(&opening["center"]);
        let half = [
            number(&opening["length"]) / 2.0,
            number(&opening["width"]) / 2.0,
        ];
        let corner = |side: f64| [0, 1].map(|axis| center[axis] + side * (half[axis] + 5.0));
        let mut cut = Raster::new(corner(-1.0), corner(1.0));
        cut.cut(&cuts, wanted.cutter / 2.0, -wanted.thickness);
        let roll = |cut: &Raster| {
            cut.shrunk(wanted.collar / 2.0 - CELL)
                .grown(wanted.bit / 2.0)
        };
        compare(
            &roll(&cut),
            center,
            wanted.steps[0],
            wanted.room,
            wanted.job,
        );
        // The end pieces, each as the kerf leaves it, against its end of the opening.
        for (index, piece) in report["inserts"][0]["pieces"]
            .as_array()
            .unwrap()
            .iter()
            .enumerate()
        {
            let (min, max) = (point(&piece["min"]), point(&piece["max"]));
            let mut kerf = Raster::new(min.map(|low| low - 1.0), max.map(|high| high + 1.0));
            kerf.cut(&cuts, wanted.cutter / 2.0, -(wanted.thickness - 0.5) + 0.01);
            let middle = f64::midpoint(min[1], max[1]);
            let end = if index == 0 {
                center[0] - half[0] - min[0]
            } else {
                center[0] + half[0] - max[0]
            };
            for sample in 0..cut.set.len() {
                let at = cut.at(sample);
                let back = [at[0] - end, at[1] - center[1] + middle];
                let beside = (0..2).all(|axis| back[axis] >= min[axis] && back[axis] <= max[axis]);
                if beside && kerf.index(back).is_some_and(|index| !kerf.set[index]) {
                    cut.set[sample] = false;
                }
            }
        }
        let what = format!("{}, step 2", wanted.job);
        compare(&roll(&cut), center, wanted.steps[1], wanted.room, &what);
    }
}
