//! Reading speed: a program of a million lines, against two general G-code
//! crates that only parse it. `cargo bench --bench replay`.

use std::fmt::Write as _;
use std::sync::LazyLock;

use divan::counter::BytesCount;
use divan::{Bencher, black_box};
use gcode::core::{
    BlockVisitor, CommandVisitor, ControlFlow, Diagnostics, HasDiagnostics, Noop, Number,
    ProgramVisitor, Span, Value,
};
use stepwell::rs274;
use stepwell::rs274::event::{Event, Frames, Path, Refusal, Visitor};
use stepwell::shop::machine::{ArcSupport, Dialect};

const LINES: usize = 1_000_000;

fn main() {
    divan::main();
}

static PROGRAM: LazyLock<String> = LazyLock::new(program);

/// Ramps to and fro, round ends and lifts, as in a row of pockets.
fn program() -> String {
    let mut text = String::from("G21 G17 G90 G94 G54\nG40 G49 G80\nG0 Z15.000\nM3 S16000\nF1200\n");
    let mut lines = 5;
    let mut pocket = 0_u32;
    while lines < LINES - 8 {
        let x = f64::from(pocket % 40) * 55.125;
        let y = f64::from(pocket / 40 % 10) * 17.375;
        let z = -f64::from(pocket % 97) / 16.0;
        let _ = write!(
            text,
            "G0 X{:.3} Y{y:.3}\nG1 X{:.3} Y{:.3} Z{z:.3} F1200\nX{:.3} Z{:.3}\n\
             G2 X{:.3} Y{:.3} I0.000 J-5.125\nG1 X{:.3} Y{:.3} Z{:.3}\nX{:.3} Y{:.3} Z{:.3} F900\n\
             G3 X{:.3} Y{:.3} I-5.125 J0.000\nG0 Z15.000\n",
            x,
            x + 44.5,
            y + 0.125,
            x + 0.25,
            z - 0.375,
            x + 0.25,
            y - 10.125,
            x + 40.0,
            y - 10.125,
            z - 0.75,
            x + 3.062,
            y - 2.931,
            z - 1.187,
            x - 2.063,
            y + 2.194,
        );
        lines += 8;
        pocket += 1;
    }
    text.push_str("M5\nM30\n");
    text
}

fn dialect() -> Dialect {
    Dialect {
        arcs: ArcSupport::Helix,
        ..Dialect::default()
    }
}

/// Bounds of the tip, arcs included.
struct Bounds {
    low: [f64; 3],
    high: [f64; 3],
    moves: u64,
}

impl Bounds {
    fn new() -> Self {
        Self {
            low: [f64::INFINITY; 3],
            high: [f64::NEG_INFINITY; 3],
            moves: 0,
        }
    }

    fn reach(&mut self, axis: usize, value: f64) {
        if value < self.low[axis] {
            self.low[axis] = value;
        }
        if value > self.high[axis] {
            self.high[axis] = value;
        }
    }
}

impl Visitor for Bounds {
    fn event(&mut self, _: u64, event: &Event) {
        let Event::Move(motion) = event else {
            return;
        };
        self.moves += 1;
        let to = motion.to();
        for (axis, value) in to.iter().enumerate() {
            if let Some(value) = value {
                self.reach(axis, value.as_mm());
            }
        }
        if let (Path::Arc { center, sweep }, [Some(x), Some(y), _]) = (motion.path(), motion.from())
        {
            let spoke = [x.as_mm() - center[0], y.as_mm() - center[1]];
            let radius = spoke[0].hypot(spoke[1]);
            let start = spoke[1].atan2(spoke[0]);
            let quarter = std::f64::consts::FRAC_PI_2;
            let (first, last) = (start.min(start + sweep), start.max(start + sweep));
            let mut corner = (first / quarter).ceil();
            while corner * quarter <= last {
                match (corner as i64).rem_euclid(4) {
                    0 => self.reach(0, center[0] + radius),
                    1 => self.reach(1, center[1] + radius),
                    2 => self.reach(0, center[0] - radius),
                    _ => self.reach(1, center[1] - radius),
                }
                corner += 1.0;
            }
        }
    }

    fn refusal(&mut self, refusal: &Refusal) {
        unreachable!("{refusal:?}");
    }
}

#[divan::bench]
fn read_interpret_and_bound(bencher: Bencher<'_, '_>) {
    let program = PROGRAM.as_bytes();
    let dialect = dialect();
    bencher.counter(BytesCount::of_slice(program)).bench(|| {
        let mut bounds = Bounds::new();
        rs274::read(black_box(program), &dialect, Frames::default(), &mut bounds);
        bounds.moves
    });
}

/// The least that shows `gcode` has read every value.
#[derive(Default)]
struct Sum {
    total: f64,
    noop: Noop,
}

struct Part<'a>(&'a mut Sum);

impl Part<'_> {
    fn add(&mut self, value: Value<'_>) {
        if let Value::Literal(value) = value {
            self.0.total += f64::from(value);
        }
    }
}

impl HasDiagnostics for Sum {
    fn diagnostics(&mut self) -> &mut dyn Diagnostics {
        &mut self.noop
    }
}

impl HasDiagnostics for Part<'_> {
    fn diagnostics(&mut self) -> &mut dyn Diagnostics {
        &mut self.0.noop
    }
}

impl ProgramVisitor for Sum {
    fn start_block(&mut self) -> ControlFlow<impl BlockVisitor + '_> {
        ControlFlow::Continue(Part(self))
    }
}

impl BlockVisitor for Part<'_> {
    fn word_address(&mut self, _: char, value: Value<'_>, _: Span) {
        self.add(value);
    }

    fn start_general_code(&mut self, _: Number) -> ControlFlow<impl CommandVisitor + '_> {
        ControlFlow::Continue(Part(self.0))
    }

    fn start_miscellaneous_code(&mut self, _: Number) -> ControlFlow<impl CommandVisitor + '_> {
        ControlFlow::Continue(Part(self.0))
    }

    fn start_tool_change_code(&mut self, _: Number) -> ControlFlow<impl CommandVisitor + '_> {
        ControlFlow::Continue(Part(self.0))
    }
}

impl CommandVisitor for Part<'_> {
    fn argument(&mut self, _: char, value: Value<'_>, _: Span) {
        self.add(value);
    }
}

#[divan::bench(sample_count = 3, sample_size = 1)]
fn only_parse_by_gcode(bencher: Bencher<'_, '_>) {
    let program = PROGRAM.as_str();
    bencher
        .counter(BytesCount::of_slice(program.as_bytes()))
        .bench(|| gcode::parse(black_box(program)).map(|program| program.blocks.len()));
}

/// Its parts that build nothing, for comparison.
#[divan::bench(sample_count = 3, sample_size = 1)]
fn only_visit_by_gcode(bencher: Bencher<'_, '_>) {
    let program = PROGRAM.as_str();
    bencher
        .counter(BytesCount::of_slice(program.as_bytes()))
        .bench(|| {
            let mut sum = Sum::default();
            gcode::core::parse(black_box(program), &mut sum);
            sum.total
        });
}

#[divan::bench(sample_count = 1, sample_size = 1)]
fn only_parse_by_g_code(bencher: Bencher<'_, '_>) {
    let program = PROGRAM.as_str();
    bencher
        .counter(BytesCount::of_slice(program.as_bytes()))
        .bench(|| g_code::parse::file_parser(black_box(program)).map(|file| file.iter().count()));
}
