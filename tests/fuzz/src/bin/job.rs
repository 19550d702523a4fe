//! Any job file, against the shipped machine and rack.
#![no_main]

use libfuzzer_sys::fuzz_target;
use stepwell::spec::{self, Overrides};
use stepwell_fuzz::{BITS, MACHINE};

fuzz_target!(|data: &[u8]| {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let Ok(job) = spec::job("job", text) else {
        return;
    };
    let machine = spec::machine("machine", MACHINE).expect("the shipped machine reads");
    let rack = spec::bits("bits", BITS).expect("the shipped rack reads");
    let _ = job.resolve(machine, rack, &Overrides::default());
});
