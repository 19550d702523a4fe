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
use stepwell_fuzz::{Log, MACHINE, dialect, program};

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
