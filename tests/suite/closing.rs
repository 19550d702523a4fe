//! Closing faults: a pair that is wrong on purpose is folded from its programs'
//! text, the fault is found, and what `explain closing` says against it mends it.

use crate::harness::{Workshop, flowed};

const JOB: &str = "examples/tea-box.toml";
const CHEST: &str = "examples/sewing-chest.toml";

/// How the bench differs from the job: what the pockets of the lid came out off
/// by, and what the gap and the second hinge did. Millimetres.
#[derive(Clone, Copy, Default)]
struct Bench {
    inward: f64,
    along: f64,
    /// More gap than the depths ask for.
    gap: f64,
    /// Shallower at the second hinge of the lid.
    shallow: f64,
}

/// A pocket as its moves cut it: middle along and across from its part's own
/// corner, width, depth.
#[derive(Clone, Copy, Debug)]
struct Pocket {
    along: f64,
    across: f64,
    width: f64,
    depth: f64,
}

/// How the parts meet when they are folded closed.
#[derive(Debug)]
struct Closed {
    /// The lid's outside face past the box's.
    proud: f64,
    /// The lid's stop end from the box's.
    end: f64,
    gaps: [f64; 2],
    /// Wood outside and to the stop end at the lid's first pocket, as calipers read.
    outside: f64,
    to_end: f64,
}

/// Where the parts lie: the divider, and what X and Y of a part mean.
struct Layout {
    divider: f64,
    is_book: bool,
    bit: f64,
    closed_gap: f64,
    /// Depth of a pocket whose leaf lies flush.
    flush: f64,
    /// Along, to tell the first hinge from the second.
    middle: f64,
}

const BOOK: Layout = Layout {
    divider: 12.0,
    is_book: true,
    bit: 6.0,
    closed_gap: 0.8,
    flush: 12.2,
    middle: 130.0,
};

const END_TO_END: Layout = Layout {
    divider: 10.0,
    is_book: false,
    bit: 5.0,
    closed_gap: 0.6,
    flush: 9.2,
    middle: 90.0,
};

impl Layout {
    /// Box or lid (0, 1), along, across.
    fn part(&self, x: f64, y: f64) -> (usize, f64, f64) {
        let half = self.divider / 2.0;
        if self.is_book {
            (usize::from(y > 0.0), x, y.abs() - half)
        } else {
            (usize::from(x > 0.0), x.abs() - half, y)
        }
    }

    /// The pockets by part and hinge, from the ends of the moves below the face.
    fn pockets(&self, program: &str) -> [[Option<Pocket>; 2]; 2] {
        let mut extents = [[[f64::MAX, f64::MIN, f64::MAX, f64::MIN, 0.0]; 2]; 2];
        let (mut x, mut y, mut z) = (0.0, 0.0, 1.0);
        for line in program.lines().filter(|line| !line.starts_with('(')) {
            for word in line.split_whitespace() {
                let number = || word[1..].parse::<f64>().unwrap();
                match &word[..1] {
                    "X" => x = number(),
                    "Y" => y = number(),
                    "Z" => z = number(),
                    _ => {}
                }
            }
            if z < -0.05 {
                let (part, along, across) = self.part(x, y);
                let extent = &mut extents[part][usize::from(along > self.middle)];
                *extent = [
                    extent[0].min(along),
                    extent[1].max(along),
                    extent[2].min(across),
                    extent[3].max(across),
                    extent[4].max(-z),
                ];
            }
        }
        extents.map(|part| {
            part.map(|extent| {
                (extent[4] > 0.0).then(|| Pocket {
                    along: f64::midpoint(extent[0], extent[1]),
                    across: f64::midpoint(extent[2], extent[3]),
                    width: extent[3] - extent[2] + self.bit,
                    depth: extent[4],
                })
            })
        })
    }

    /// Folds the pockets that the programs cut on that bench, one after the
    /// other in the same wood.
    fn fold(&self, programs: &[(&str, Bench)]) -> Closed {
        let mut wood: [[Option<Pocket>; 2]; 2] = Default::default();
        let mut gap = 0.0;
        for (program, bench) in programs {
            gap = bench.gap;
            let mut cut = self.pockets(program);
            for lid in cut[1].iter_mut().flatten() {
                lid.across += bench.inward;
                lid.along += bench.along;
            }
            if let Some(second) = &mut cut[1][1] {
                second.depth -= bench.shallow;
            }
            for (old, new) in wood.iter_mut().flatten().zip(cut.iter().flatten()) {
                let depth = old.map_or(0.0, |old| old.depth);
                *old = new
                    .map(|new| Pocket {
                        depth: new.depth.max(depth),
                        ..new
                    })
                    .or(*old);
            }
        }
        let [of_box, of_lid] = wood.map(|part| part.map(Option::unwrap));
        let recess = |pocket: Pocket| pocket.depth - self.flush;
        let gaps = [0, 1]
            .map(|hinge| self.closed_gap + gap - recess(of_box[hinge]) - recess(of_lid[hinge]));
        Closed {
            proud: of_box[0].across - of_lid[0].across,
            end: of_box[0].along - of_lid[0].along,
            gaps,
            outside: of_lid[0].across - of_lid[0].width / 2.0,
            to_end: of_lid[0].along,
        }
    }
}

fn is(found: f64, wanted: f64) -> bool {
    (found - wanted).abs() < 0.006
}

/// The names of the faults that a closed pair has; `end` and `gap` are wanted.
fn faults(closed: &Closed, end: f64, gap: f64) -> Vec<&'static str> {
    let [first, second] = closed.gaps;
    let all = [
        ("Stands proud across", !is(closed.proud, 0.0)),
        ("Stands proud along", !is(closed.end, end)),
        ("Gap wedges", !is(first, second)),
        ("Springs open", is(first, second) && first < 0.0),
        (
            "Gap is even",
            is(first, second) && first >= 0.0 && !is(first, gap),
        ),
    ];
    let found = all.into_iter().filter(|(_, is_so)| *is_so);
    found.map(|(name, _)| name).collect()
}

/// What the topic says of a fault, on one line.
fn advice(workshop: &Workshop, fault: &str) -> String {
    let topic = workshop.run(&["explain", "closing"]).expect(0).stdout;
    let mut paragraphs = topic.split("\n\n");
    let found = paragraphs.find(|paragraph| paragraph.starts_with(fault));
    let found = found.unwrap_or_else(|| panic!("nothing is said of `{fault}`: {topic}"));
    flowed(found)
}

fn program(workshop: &Workshop, job: &str, more: &[&str], file: &str) -> String {
    workshop
        .run(&[&["generate", job, "-o", "out"], more].concat())
        .expect(0);
    workshop.read(file)
}

/// Cuts the tea box on a bench that is off, finds the fault, follows the topic's
/// advice with the reading that a caliper would give, and folds the next box.
#[track_caller]
fn mended(fault: &str, bench: Bench, option: &str, reading: fn(&Closed) -> f64, rounds: usize) {
    const CUT: &str = "out/tea-box.nc";
    let workshop = Workshop::new();
    let says = advice(&workshop, fault);
    assert!(says.contains(option), "{fault}: {says}");
    let mut cut = program(&workshop, JOB, &[], CUT);
    let mut closed = BOOK.fold(&[(&cut, bench)]);
    assert_eq!(faults(&closed, 0.0, 0.4), [fault], "{closed:?}");
    for _ in 0..rounds {
        let read = format!("{:.3}", reading(&closed).max(0.01));
        workshop
            .run(&["fit", JOB, "--cut", CUT, option, &read])
            .expect(0);
        cut = program(&workshop, JOB, &[], CUT);
        closed = BOOK.fold(&[(&cut, bench)]);
    }
    assert!(faults(&closed, 0.0, 0.4).is_empty(), "{fault}: {closed:?}");
}

#[test]
fn a_pair_that_is_as_it_should_has_no_fault() {
    let workshop = Workshop::new();
    let cut = program(&workshop, JOB, &[], "out/tea-box.nc");
    let closed = BOOK.fold(&[(&cut, Bench::default())]);
    assert!(faults(&closed, 0.0, 0.4).is_empty(), "{closed:?}");
    // Setback 3.5 less half the clearance of 0.1.
    assert!(is(closed.outside, 3.45), "{closed:?}");
}

#[test]
fn faces_that_are_not_flush_are_mended_by_the_wood_outside() {
    let bench = Bench {
        inward: 0.3,
        ..Bench::default()
    };
    mended(
        "Stands proud across",
        bench,
        "--outside-lid",
        |closed| closed.outside,
        1,
    );
}

#[test]
fn ends_that_are_not_flush_are_mended_by_the_wood_to_the_end() {
    let bench = Bench {
        along: -0.4,
        ..Bench::default()
    };
    // The leaf is 44.1 long.
    mended(
        "Stands proud along",
        bench,
        "--end-lid",
        |closed| closed.to_end - 22.05,
        1,
    );
}

#[test]
fn an_even_gap_is_mended_by_reading_it() {
    for gap in [0.3, -0.3] {
        let bench = Bench {
            gap,
            ..Bench::default()
        };
        mended("Gap is even", bench, "--gap", |closed| closed.gaps[0], 1);
    }
}

/// Wood meets wood 0.2 too early: nobody can read less than next to nothing, so it takes two.
#[test]
fn a_lid_that_springs_open_is_mended_by_the_least_gap_and_then_by_what_is_left() {
    let bench = Bench {
        gap: -0.6,
        ..Bench::default()
    };
    mended("Springs open", bench, "--gap", |closed| closed.gaps[0], 2);
    let workshop = Workshop::new();
    let says = advice(&workshop, "Springs open");
    assert!(
        says.contains("--gap 0.01mm") && says.contains("will not close flat"),
        "{says}"
    );
}

#[test]
fn a_wedge_is_mended_by_cutting_the_shallow_hinge_again() {
    let workshop = Workshop::new();
    let says = advice(&workshop, "Gap wedges");
    assert!(says.contains("generate --hinge N"), "{says}");
    let uneven = Bench {
        shallow: 0.35,
        ..Bench::default()
    };
    let cut = program(&workshop, JOB, &[], "out/tea-box.nc");
    let closed = BOOK.fold(&[(&cut, uneven)]);
    assert_eq!(faults(&closed, 0.0, 0.4), ["Gap wedges"], "{closed:?}");
    let again = program(&workshop, JOB, &["--hinge", "2"], "out/tea-box-h2.nc");
    let closed = BOOK.fold(&[(&cut, uneven), (&again, Bench::default())]);
    assert!(faults(&closed, 0.0, 0.4).is_empty(), "{closed:?}");
}

/// Between walls of 16 an inset lid of 167 has 0.5 at each end of 200.
#[test]
fn an_inset_lid_that_rubs_at_an_end_is_mended_by_the_wood_to_the_end() {
    const CUT: &str = "out/sewing-chest.nc";
    let workshop = Workshop::new();
    let says = advice(&workshop, "Lid rubs at an end");
    assert!(says.contains("--end-lid"), "{says}");
    let rubs = |closed: &Closed| closed.end < 16.0 || closed.end + 167.0 > 184.0;
    let bench = Bench {
        along: 0.7,
        ..Bench::default()
    };
    let cut = program(&workshop, CHEST, &[], CUT);
    assert!(!rubs(&END_TO_END.fold(&[(&cut, Bench::default())])));
    let closed = END_TO_END.fold(&[(&cut, bench)]);
    assert!(rubs(&closed), "{closed:?}");
    // The leaf is 32.12 long.
    let read = format!("{:.3}", closed.to_end - 16.06);
    workshop
        .run(&["fit", CHEST, "--cut", CUT, "--end-lid", &read])
        .expect(0);
    let cut = program(&workshop, CHEST, &[], CUT);
    let closed = END_TO_END.fold(&[(&cut, bench)]);
    assert!(is(closed.end, 16.5), "{closed:?}");
}

/// Twice a setback of 5 is more than the 7.5 that the hinge opens flat with.
#[test]
fn a_lid_that_rubs_as_it_opens_wants_less_setback() {
    let workshop = Workshop::new();
    let says = advice(&workshop, "Lid rubs at the back");
    assert!(
        says.contains("`hinge.setback`") && says.contains("explain opening"),
        "{says}"
    );
    workshop.run(&["explain", "opening"]).expect(0);
    let opening = |setback: &str| {
        workshop.vary(JOB, "examples/set.toml", &[("setback    = 3.5", setback)]);
        workshop
            .run(&[
                "generate",
                "examples/set.toml",
                "-o",
                "out",
                "--format",
                "json",
            ])
            .expect(0)
            .verdict("opening")
    };
    assert_eq!(opening("setback = 5"), "warn");
    assert_eq!(opening("setback = 3.7"), "pass");
}
