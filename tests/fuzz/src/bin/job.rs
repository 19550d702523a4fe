//! Any job file, against the shipped machine and rack.
#![no_main]

use libfuzzer_sys::fuzz_target;
use stepwell::input::{self, Overrides};
use stepwell_fuzz::{BITS, MACHINE};

fuzz_target!(|data: &[u8]| {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let Ok(job) = input::job("job", text) else {
        return;
    };
    let machine = input::machine("machine", MACHINE).expect("the shipped machine reads");
    let rack = input::bits("bits", BITS).expect("the shipped rack reads");
    let _ = job.resolve(machine, rack, &Overrides::default());
});
