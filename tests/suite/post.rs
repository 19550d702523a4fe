//! Programs as other people's software sees them: general readers see our
//! words, a general geometry crate our area.

use geo::{Area, ConvexHull, MultiPoint, Point, Polygon, unary_union};
use stepwell::rs274::event::{Move, Path};

use crate::independent::assert_words_agree;
use crate::program::{self, Log, millimetres};
use crate::sketch::Sketch;

/// Corners of a bit's outline.
const CORNERS: u32 = 256;

#[test]
fn general_readers_see_the_words_we_wrote() {
    for dialect in [
        "units = \"mm\"\ndecimals = 3\narcs = \"flat\"",
        "units = \"mm\"\ndecimals = 4\narcs = \"helix\"\nline_numbers = true",
        "units = \"in\"\ndecimals = 4\narcs = \"none\"\nend = \"M2\"",
    ] {
        for care in [
            "",
            "finish_direction = \"conventional\"\nspring_pass = true",
        ] {
            let sketch = Sketch {
                dialect: dialect.to_owned(),
                bit: care.to_owned(),
                ..Sketch::default()
            };
            let job = sketch.job();
            for program in sketch.assert_passes().programs {
                assert_words_agree(&program.text, &job.machine.dialect);
            }
        }
    }
}

/// The area of an obround 44 × 10: a rectangle of 34 × 10 and a circle of radius 5.
#[test]
fn the_area_a_program_sweeps_on_the_floor_is_the_pockets() {
    let wanted = 34.0 * 10.0 + std::f64::consts::PI * 25.0;
    for kind in ["single-flute", "up-spiral"] {
        let sketch = Sketch {
            kind,
            steps: vec![[44.0, 10.0, 5.0]],
            ..Sketch::default()
        };
        let program = sketch.judged().programs.remove(0);
        let log = program::read(&program.text);
        let swept = swept_on_floor(&log, -5.0, 3.0);
        let error = (swept - wanted).abs();
        assert!(error < 0.002 * wanted, "{kind}: {swept} for {wanted}");
    }
}

/// Area under the bit of all level moves at `z` of the box (below Y 0).
fn swept_on_floor(log: &Log, z: f64, radius: f64) -> f64 {
    let bits: Vec<Polygon> = log
        .moves()
        .flat_map(|(_, motion)| stretches(motion))
        .filter(|[from, to]| {
            let level = (from[2] - z).abs() < 1e-6 && (to[2] - z).abs() < 1e-6;
            level && from[1] < 0.0
        })
        .map(|ends| capsule(ends, radius))
        .collect();
    assert!(!bits.is_empty());
    unary_union(&bits).unsigned_area()
}

/// A move as straight stretches; a level arc in small ones.
fn stretches(motion: &Move) -> Vec<[[f64; 3]; 2]> {
    let (from, to) = (millimetres(motion.from()), millimetres(motion.to()));
    let Path::Arc { center, sweep } = motion.path() else {
        return vec![[from, to]];
    };
    let [x, y, z] = from;
    let radius = (x - center[0]).hypot(y - center[1]);
    let start = (y - center[1]).atan2(x - center[0]);
    let at = |step: u32| {
        let angle = start + sweep * f64::from(step) / 24.0;
        let (sin, cos) = angle.sin_cos();
        [center[0] + radius * cos, center[1] + radius * sin, z]
    };
    (0..24).map(|step| [at(step), at(step + 1)]).collect()
}

/// What a round bit sweeps between two points.
fn capsule(ends: [[f64; 3]; 2], radius: f64) -> Polygon {
    let circle = |[x, y, _]: [f64; 3]| {
        (0..CORNERS).map(move |corner| {
            let angle = std::f64::consts::TAU * f64::from(corner) / f64::from(CORNERS);
            Point::new(x + radius * angle.cos(), y + radius * angle.sin())
        })
    };
    let points: Vec<Point> = ends.into_iter().flat_map(circle).collect();
    MultiPoint::new(points).convex_hull()
}
