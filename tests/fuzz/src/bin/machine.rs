//! Any machine file, with the shipped job and rack.
#![no_main]

use libfuzzer_sys::fuzz_target;
use stepwell::input::{self, Overrides};
use stepwell_fuzz::{BITS, JOB};

fuzz_target!(|data: &[u8]| {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let Ok(machine) = input::machine("machine", text) else {
        return;
    };
    let rack = input::bits("bits", BITS).expect("the shipped rack reads");
    let job = input::job("job", JOB).expect("the shipped job reads");
    let _ = job.resolve(machine, rack, &Overrides::default());
});
