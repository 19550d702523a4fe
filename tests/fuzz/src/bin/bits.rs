//! Any rack, with the shipped job and machine.
#![no_main]

use libfuzzer_sys::fuzz_target;
use stepwell::input::{self, Overrides};
use stepwell_fuzz::{JOB, MACHINE};

fuzz_target!(|data: &[u8]| {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let Ok(rack) = input::bits("bits", text) else {
        return;
    };
    let machine = input::machine("machine", MACHINE).expect("the shipped machine reads");
    let job = input::job("job", JOB).expect("the shipped job reads");
    let _ = job.resolve(machine, rack, &Overrides::default());
});
