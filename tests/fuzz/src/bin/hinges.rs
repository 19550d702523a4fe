//! Any drawer, with the shipped job and machine.
#![no_main]

use libfuzzer_sys::fuzz_target;
use stepwell::input::{self, Overrides};
use stepwell_fuzz::{BITS, DRAWN, MACHINE};

fuzz_target!(|data: &[u8]| {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let Ok(drawer) = input::hinges("hinges", text) else {
        return;
    };
    let machine = input::machine("machine", MACHINE).expect("the shipped machine reads");
    let rack = input::bits("bits", BITS).expect("the shipped rack reads");
    let job = input::job("job", DRAWN).expect("the shipped job reads");
    let _ = job
        .with_hinges(drawer)
        .resolve(machine, rack, &Overrides::default());
});
