//! G and M codes: those of the subset, and the names of those left out.

use super::event::Turning;
use super::problem::{Name, Problem};
use super::word::Number;
use crate::units::Units;

/// A code of the subset.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Code {
    Motion(Motion),
    MotionOff,
    Dwell,
    MachineFrame,
    PlaneXy,
    Units(Units),
    CompensationOff,
    LengthOffset,
    LengthOffsetOff,
    /// G54 … G59 as 54 … 59.
    WorkOffset(u8),
    AbsoluteDistance,
    UnitsPerMinute,
    ToolChange,
    Spindle(Turning),
    Dust(bool),
    Pause,
    End,
}

/// A motion code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Motion {
    Rapid,
    Line,
    ArcClockwise,
    ArcCounterClockwise,
}

/// Codes of which one line holds at most one, in the standard's order of
/// execution (3.4, 3.8).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Group {
    FeedMode,
    ToolChange,
    Spindle,
    Dust,
    NonModal,
    Plane,
    Units,
    Compensation,
    LengthOffset,
    WorkOffset,
    Distance,
    Motion,
    Stop,
}

impl Group {
    /// How many there are.
    pub(super) const COUNT: usize = Group::Stop as usize + 1;

    /// As people call it.
    pub(super) fn name(self) -> &'static str {
        match self {
            Group::FeedMode => "feed mode",
            Group::ToolChange => "tool change",
            Group::Spindle => "spindle",
            Group::Dust => "coolant",
            Group::NonModal => "one-line (G4, G53)",
            Group::Plane => "plane",
            Group::Units => "units",
            Group::Compensation => "cutter compensation",
            Group::LengthOffset => "length offset",
            Group::WorkOffset => "work offset",
            Group::Distance => "distance mode",
            Group::Motion => "motion",
            Group::Stop => "stop",
        }
    }
}

impl Code {
    /// The modal group it belongs to.
    pub(super) fn group(self) -> Group {
        match self {
            Code::Motion(_) | Code::MotionOff => Group::Motion,
            Code::Dwell | Code::MachineFrame => Group::NonModal,
            Code::PlaneXy => Group::Plane,
            Code::Units(_) => Group::Units,
            Code::CompensationOff => Group::Compensation,
            Code::LengthOffset | Code::LengthOffsetOff => Group::LengthOffset,
            Code::WorkOffset(_) => Group::WorkOffset,
            Code::AbsoluteDistance => Group::Distance,
            Code::UnitsPerMinute => Group::FeedMode,
            Code::ToolChange => Group::ToolChange,
            Code::Spindle(_) => Group::Spindle,
            Code::Dust(_) => Group::Dust,
            Code::Pause | Code::End => Group::Stop,
        }
    }
}

/// How near a code's number lies to an integer (3.3.2.1).
pub(super) const NEAR: f64 = 1e-4;

/// The code of a G word.
pub(super) fn general(number: Number) -> Result<(Code, Name), Problem> {
    let name = name(b'G', number.value * 10.0, 1, number.value)?;
    let code = match name.tenths {
        0 => Code::Motion(Motion::Rapid),
        10 => Code::Motion(Motion::Line),
        20 => Code::Motion(Motion::ArcClockwise),
        30 => Code::Motion(Motion::ArcCounterClockwise),
        40 => Code::Dwell,
        170 => Code::PlaneXy,
        200 => Code::Units(Units::Inch),
        210 => Code::Units(Units::Millimetre),
        400 => Code::CompensationOff,
        430 => Code::LengthOffset,
        490 => Code::LengthOffsetOff,
        530 => Code::MachineFrame,
        540 => Code::WorkOffset(54),
        550 => Code::WorkOffset(55),
        560 => Code::WorkOffset(56),
        570 => Code::WorkOffset(57),
        580 => Code::WorkOffset(58),
        590 => Code::WorkOffset(59),
        800 => Code::MotionOff,
        900 => Code::AbsoluteDistance,
        940 => Code::UnitsPerMinute,
        _ => return Err(left_out(name)),
    };
    Ok((code, name))
}

/// The code of an M word.
pub(super) fn miscellaneous(number: Number) -> Result<(Code, Name), Problem> {
    let name = name(b'M', number.value, 10, number.value)?;
    let code = match name.tenths {
        0 => Code::Pause,
        20 | 300 => Code::End,
        30 => Code::Spindle(Turning::Clockwise),
        50 => Code::Spindle(Turning::Stopped),
        60 => Code::ToolChange,
        70 | 80 => Code::Dust(true),
        90 => Code::Dust(false),
        _ => return Err(left_out(name)),
    };
    Ok((code, name))
}

#[inline]
fn name(letter: u8, scaled: f64, tenths: u32, written: f64) -> Result<Name, Problem> {
    if scaled < -NEAR {
        return Err(Problem::Negative(letter, written));
    }
    // Codes are small and no longer negative, so this rounds to the nearest.
    let nearest = (scaled + 0.5) as u32;
    if (scaled - f64::from(nearest)).abs() > NEAR {
        return Err(Problem::CodeFraction(letter, written));
    }
    Ok(Name {
        letter,
        tenths: nearest * tenths,
    })
}

#[cold]
fn left_out(name: Name) -> Problem {
    match outside(name) {
        Some(_) => Problem::CodeOutside(name),
        None => Problem::CodeUnknown(name),
    }
}

/// What the standard calls a code that the subset leaves out.
pub(super) fn outside(name: Name) -> Option<&'static str> {
    match name.letter {
        b'M' => miscellaneous_outside(name.tenths),
        _ => general_outside(name.tenths),
    }
}

/// What the standard calls a letter that the subset leaves out.
pub(super) fn letter_outside(letter: u8) -> Option<&'static str> {
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
