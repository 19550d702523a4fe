//! What the standard has and the subset leaves out.

use super::name::Name;

/// What the standard calls a code that the subset leaves out.
pub(super) fn code(name: Name) -> Option<&'static str> {
    match name.letter {
        b'M' => miscellaneous_outside(name.tenths),
        _ => general_outside(name.tenths),
    }
}

/// What the standard calls a letter that the subset leaves out.
pub(super) fn letter(letter: u8) -> Option<&'static str> {
    Some(match letter {
        b'A' | b'B' | b'C' => "rotary axis",
        b'D' => "cutter compensation number",
        b'K' => "arc centre offset along Z",
        b'L' => "repeat count",
        b'Q' => "peck of a canned cycle",
        b'R' => "arc radius, or height of a canned cycle,",
        _ => return None,
    })
}

fn general_outside(tenths: u32) -> Option<&'static str> {
    Some(match tenths {
        100 => "origin setting",
        180 | 190 => "plane",
        280 | 300 => "return to home",
        382 => "straight probe",
        410 | 420 => "cutter compensation",
        591..=593 => "work offset",
        610 | 611 | 640 => "path control",
        810 | 820 | 830 | 840 | 850 | 860 | 870 | 880 | 890 => "canned cycle",
        910 => "incremental distance",
        920..=923 => "axis offset",
        930 => "inverse time",
        980 | 990 => "canned cycle return level",
        _ => return None,
    })
}

fn miscellaneous_outside(tenths: u32) -> Option<&'static str> {
    Some(match tenths {
        10 => "optional stop",
        40 => "counter-clockwise spindle",
        480 | 490 => "override switch",
        600 => "pallet change",
        _ => return None,
    })
}
