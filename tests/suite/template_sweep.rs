//! Plates over the whole range of what a job may ask for: all are proved.

use std::fmt::Write as _;

use stepwell::{Job, Verdict, generate, template};

use crate::harness::Workshop;

const CHEST: &str = "examples/blanket-chest.toml";

/// What is asked for otherwise than in the example.
#[derive(Clone, Copy, Debug)]
struct Wish {
    play: f64,
    width: f64,
    collar: f64,
    shift: f64,
    bit: f64,
}

const EXAMPLE: Wish = Wish {
    play: 0.1,
    width: 9.9,
    collar: 24.0,
    shift: 2.5,
    bit: 8.0,
};

/// One thing varied at a time, then some together.
fn wishes() -> Vec<Wish> {
    let mut wishes = Vec::new();
    let plays = [0.0, 0.01, 0.05, 0.2, 0.3, 25.4 / 64.0, 0.5, 0.6];
    wishes.extend(plays.map(|play| Wish { play, ..EXAMPLE }));
    let widths = [8.0, 12.0, 15.9, 16.0, 18.0, 19.5, 20.0, 22.0, 24.0];
    wishes.extend(widths.map(|width| Wish { width, ..EXAMPLE }));
    let collars = [20.0, 22.0, 26.0, 28.0, 30.0, 33.0, 36.0, 40.0];
    wishes.extend(collars.map(|collar| Wish { collar, ..EXAMPLE }));
    let shifts = [-6.0, -5.0, -4.0, 0.0, 4.0, 5.0, 6.0];
    wishes.extend(shifts.map(|shift| Wish { shift, ..EXAMPLE }));
    for (bit, collar, width, shift, play) in [
        (6.0, 20.0, 8.0, 2.5, 0.1),
        (6.0, 24.0, 9.9, -4.0, 0.0),
        (6.0, 30.0, 18.0, 2.5, 0.4),
        (8.0, 30.0, 20.0, 4.0, 0.0),
        (8.0, 40.0, 24.0, -5.0, 0.6),
        (10.0, 24.0, 9.9, 2.5, 0.1),
        (10.0, 30.0, 16.0, 4.0, 0.3),
        (10.0, 40.0, 22.0, 0.0, 0.1),
    ] {
        wishes.push(Wish {
            play,
            width,
            collar,
            shift,
            bit,
        });
    }
    wishes
}

#[test]
fn plates_over_the_whole_range_are_proved() {
    let workshop = Workshop::new();
    let mut rack = workshop.read("machines/template-bits.toml");
    for bit in [6, 10] {
        let _ = write!(
            rack,
            "\n[[bit]]\nname = \"{bit} mm straight, hand\"\nkind = \"double-flute\"\n\
             diameter = {bit}\nflutes = 2\ncutting_length = 25\nstickout = 48\n\
             shank = {bit}\ntool = {bit}\n"
        );
    }
    workshop.write("machines/hand-bits.toml", &rack);
    let machine = workshop.read("machines/benchtop-mm.toml");
    let machine = machine.replace("[400, 300, 90]", "[600, 500, 90]");
    workshop.write("machines/large.toml", &machine);
    let mut failed = String::new();
    for (number, wish) in wishes().into_iter().enumerate() {
        let name = format!("varied/{number}.toml");
        let changes = [
            ("benchtop-mm.toml", "large.toml".to_owned()),
            ("template-bits.toml", "hand-bits.toml".to_owned()),
            ("width      = 9.9", format!("width = {}", wish.width)),
            ("shift = 2.5", format!("shift = {}", wish.shift)),
            (
                "collar       = 24",
                format!("play = {}\ncollar = {}", wish.play, wish.collar),
            ),
            (
                "collar_bore  = 21",
                format!("collar_bore = {}", wish.collar - 3.0),
            ),
            ("8 mm straight", format!("{} mm straight", wish.bit)),
            (
                "length = 300, width = 220",
                "length = 400, width = 280".to_owned(),
            ),
        ];
        let changes = changes.each_ref().map(|(from, to)| (*from, to.as_str()));
        workshop.vary(CHEST, &name, &changes);
        let job = Job::read(workshop.path(&name)).unwrap();
        let plate = template::job(&job).unwrap();
        let proof = generate(&plate).unwrap();
        let checks = proof.checks().iter();
        for check in checks.filter(|check| check.verdict == Verdict::Fail) {
            let _ = writeln!(failed, "{wish:?}: {}: {}", check.id(), check.message());
        }
    }
    assert!(failed.is_empty(), "{failed}");
}
