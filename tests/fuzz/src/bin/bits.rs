//! Any rack, with the shipped job and machine.
#![no_main]

use libfuzzer_sys::fuzz_target;
use stepwell::spec::{self, Overrides};
use stepwell_fuzz::{JOB, MACHINE};

fuzz_target!(|data: &[u8]| {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let Ok(rack) = spec::bits("bits", text) else {
        return;
    };
    let machine = spec::machine("machine", MACHINE).expect("the shipped machine reads");
    let job = spec::job("job", JOB).expect("the shipped job reads");
    let _ = job.resolve(machine, rack, &Overrides::default());
});
