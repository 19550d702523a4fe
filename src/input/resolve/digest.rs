//! What a program was made from, in one number.

use data_encoding::HEXLOWER;
use sha2::{Digest, Sha256};

use crate::input::hinge::HingeSpec;
use crate::shop::bit::Bit;
use crate::shop::machine::Machine;
use crate::units::Length;

/// SHA-256, hexadecimal, of the job's text, the values of machine and rack, and
/// what is taken from the drawer: the hinge, its clearance, its depth.
/// Wear and metres cut are left out: a bit that has aged since then makes no
/// other program.
pub(super) fn of(
    job: &str,
    machine: &Machine,
    rack: &[Bit],
    drawn: Option<(&HingeSpec, Length, Length)>,
) -> String {
    let mut hash = Sha256::new();
    hash.update(job.as_bytes());
    hash.update(format!("\u{0}{machine:?}").as_bytes());
    for bit in rack {
        let fresh = Bit {
            wear: 0.0,
            record: None,
            ..bit.clone()
        };
        hash.update(format!("\u{0}{fresh:?}").as_bytes());
    }
    if let Some(drawn) = drawn {
        hash.update(format!("\u{0}{drawn:?}").as_bytes());
    }
    HEXLOWER.encode(&hash.finalize())
}
