//! Words of the language in any order, so that most lines pass the grammar:
//! the interpreter and the clock on whatever they say.
#![no_main]

use libfuzzer_sys::fuzz_target;
use stepwell::shop::machine::{CommentStyle, Machine};
use stepwell::replay::clock::Clock;
use stepwell::rs274::event::{Event, Frames, Refusal, Visitor};
use stepwell::rs274::read;
use stepwell::input;
use stepwell::units::Units;
use stepwell_fuzz::{Log, MACHINE, dialect};

const LETTERS: &[u8] = b"GGGGXYZXYZIJIJFSTHPMN\n\n\n(;%/RKQ";
const CODES: [&str; 24] = [
    "0", "1", "2", "3", "4", "17", "20", "21", "40", "43", "49", "53", "54", "55", "59", "80",
    "90", "94", "91", "5", "6", "8", "9", "30",
];

/// Two bytes a word.
fn program(data: &[u8]) -> String {
    let mut text = String::from("G21 G17 G90 G94 G54 F100\nG0 X0 Y0 Z0\n");
    for pair in data.chunks_exact(2) {
        let letter = LETTERS[usize::from(pair[0]) % LETTERS.len()];
        text.push(char::from(letter));
        match letter {
            b'\n' => {}
            b'G' | b'M' => text += CODES[usize::from(pair[1]) % CODES.len()],
            _ => text += &(f64::from(pair[1] as i8) / 8.0).to_string(),
        }
    }
    text + "\nM2\n"
}

struct Both<'a> {
    clock: Clock,
    log: &'a mut Log,
}

impl Visitor for Both<'_> {
    fn event(&mut self, line: u64, event: &Event) {
        self.clock.event(line, event);
        self.log.event(line, event);
    }

    fn refusal(&mut self, refusal: &Refusal) {
        self.log.refusal(refusal);
    }
}

fn machine() -> Machine {
    input::machine("machine", MACHINE).expect("the shipped machine reads")
}

fuzz_target!(|data: &[u8]| {
    let text = program(data);
    let mut log = Log::default();
    let machine = machine();
    let mut both = Both {
        clock: Clock::new(&machine),
        log: &mut log,
    };
    let dialect = dialect(CommentStyle::Parentheses, Units::Inch);
    read(text.as_bytes(), &dialect, Frames::default(), &mut both);
    let times = both.clock.finish();
    assert!(times.total.is_finite() && times.total >= times.moving);
    assert!(times.moving.as_seconds() + 1e-9 >= (times.cutting + times.rapid).as_seconds());
});
