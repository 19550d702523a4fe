//! G and M codes: those of the subset, and the names of those left out.

use super::event::Turning;
use super::name::{Group, Name};
use super::outside;
use super::problem::Problem;
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
    match outside::code(name) {
        Some(_) => Problem::CodeOutside(name),
        None => Problem::CodeUnknown(name),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(value: f64) -> Number {
        Number { value, decimals: 0 }
    }

    // NISTIR 6556, Table 4: the groups and their members.
    #[test]
    fn every_code_of_the_subset_has_its_meaning_and_group() {
        let general = [
            (0.0, Code::Motion(Motion::Rapid), Group::Motion),
            (1.0, Code::Motion(Motion::Line), Group::Motion),
            (2.0, Code::Motion(Motion::ArcClockwise), Group::Motion),
            (
                3.0,
                Code::Motion(Motion::ArcCounterClockwise),
                Group::Motion,
            ),
            (4.0, Code::Dwell, Group::NonModal),
            (17.0, Code::PlaneXy, Group::Plane),
            (20.0, Code::Units(Units::Inch), Group::Units),
            (21.0, Code::Units(Units::Millimetre), Group::Units),
            (40.0, Code::CompensationOff, Group::Compensation),
            (43.0, Code::LengthOffset, Group::LengthOffset),
            (49.0, Code::LengthOffsetOff, Group::LengthOffset),
            (53.0, Code::MachineFrame, Group::NonModal),
            (54.0, Code::WorkOffset(54), Group::WorkOffset),
            (55.0, Code::WorkOffset(55), Group::WorkOffset),
            (56.0, Code::WorkOffset(56), Group::WorkOffset),
            (57.0, Code::WorkOffset(57), Group::WorkOffset),
            (58.0, Code::WorkOffset(58), Group::WorkOffset),
            (59.0, Code::WorkOffset(59), Group::WorkOffset),
            (80.0, Code::MotionOff, Group::Motion),
            (90.0, Code::AbsoluteDistance, Group::Distance),
            (94.0, Code::UnitsPerMinute, Group::FeedMode),
        ];
        for (value, code, group) in general {
            let (found, name) = super::general(number(value)).unwrap();
            assert_eq!((found, found.group()), (code, group), "G{value}");
            assert_eq!(name.to_string(), format!("G{value}"));
        }
        let miscellaneous = [
            (0.0, Code::Pause, Group::Stop),
            (2.0, Code::End, Group::Stop),
            (3.0, Code::Spindle(Turning::Clockwise), Group::Spindle),
            (5.0, Code::Spindle(Turning::Stopped), Group::Spindle),
            (6.0, Code::ToolChange, Group::ToolChange),
            (7.0, Code::Dust(true), Group::Dust),
            (8.0, Code::Dust(true), Group::Dust),
            (9.0, Code::Dust(false), Group::Dust),
            (30.0, Code::End, Group::Stop),
        ];
        for (value, code, group) in miscellaneous {
            let (found, name) = super::miscellaneous(number(value)).unwrap();
            assert_eq!((found, found.group()), (code, group), "M{value}");
            assert_eq!(name.to_string(), format!("M{value}"));
        }
    }

    #[test]
    fn codes_left_out_are_known_by_name_and_others_are_not() {
        let named = |letter, tenths| outside::code(Name { letter, tenths });
        for (tenths, what) in [
            (100, "origin setting"),
            (180, "plane"),
            (190, "plane"),
            (280, "return to home"),
            (300, "return to home"),
            (382, "straight probe"),
            (410, "cutter compensation"),
            (420, "cutter compensation"),
            (591, "work offset"),
            (593, "work offset"),
            (610, "path control"),
            (611, "path control"),
            (640, "path control"),
            (910, "incremental distance"),
            (920, "axis offset"),
            (923, "axis offset"),
            (930, "inverse time"),
            (980, "canned cycle return level"),
            (990, "canned cycle return level"),
        ] {
            assert_eq!(named(b'G', tenths), Some(what), "{tenths}");
            let problem = general(number(f64::from(tenths) / 10.0)).unwrap_err();
            assert!(matches!(problem, Problem::CodeOutside(_)), "{problem:?}");
        }
        for cycle in 81..=89 {
            assert_eq!(named(b'G', cycle * 10), Some("canned cycle"));
        }
        for (tenths, what) in [
            (10, "optional stop"),
            (40, "counter-clockwise spindle"),
            (480, "override switch"),
            (490, "override switch"),
            (600, "pallet change"),
        ] {
            assert_eq!(named(b'M', tenths), Some(what), "{tenths}");
        }
        assert_eq!(named(b'G', 50), None);
        assert_eq!(named(b'M', 990), None);
        assert!(matches!(
            general(number(594e-1)),
            Err(Problem::CodeUnknown(_))
        ));
        assert!(matches!(
            miscellaneous(number(99.0)),
            Err(Problem::CodeUnknown(_))
        ));
    }

    #[test]
    fn letters_left_out_are_known_by_name() {
        for (letters, what) in [
            ("ABC", "rotary axis"),
            ("D", "cutter compensation number"),
            ("K", "arc centre offset along Z"),
            ("L", "repeat count"),
            ("Q", "peck of a canned cycle"),
            ("R", "arc radius, or height of a canned cycle,"),
        ] {
            for letter in letters.bytes() {
                assert_eq!(outside::letter(letter), Some(what));
            }
        }
        for letter in *b"EOUVW" {
            assert_eq!(outside::letter(letter), None);
        }
    }

    // NISTIR 6556, 3.3.2.1: ten times a G number, and an M number, lie within
    // 0.0001 of an integer.
    #[test]
    fn code_numbers_lie_near_integers() {
        assert!(general(number(1.000_009)).is_ok());
        assert!(general(number(0.999_991)).is_ok());
        assert!(general(number(-0.000_001)).is_ok());
        for value in [1.000_011, 0.999_989, 1.05] {
            let problem = Problem::CodeFraction(b'G', value);
            assert_eq!(general(number(value)), Err(problem));
        }
        assert!(miscellaneous(number(3.000_09)).is_ok());
        let problem = Problem::CodeFraction(b'M', 3.000_11);
        assert_eq!(miscellaneous(number(3.000_11)), Err(problem));
        assert!(miscellaneous(number(-0.0001)).is_ok());
        assert_eq!(general(number(-1.0)), Err(Problem::Negative(b'G', -1.0)));
        assert_eq!(
            miscellaneous(number(-3.0)),
            Err(Problem::Negative(b'M', -3.0))
        );
    }

    #[test]
    fn groups_stand_in_the_order_of_execution() {
        let order = [
            (Group::FeedMode, "feed mode"),
            (Group::ToolChange, "tool change"),
            (Group::Spindle, "spindle"),
            (Group::Dust, "coolant"),
            (Group::NonModal, "one-line (G4, G53)"),
            (Group::Plane, "plane"),
            (Group::Units, "units"),
            (Group::Compensation, "cutter compensation"),
            (Group::LengthOffset, "length offset"),
            (Group::WorkOffset, "work offset"),
            (Group::Distance, "distance mode"),
            (Group::Motion, "motion"),
            (Group::Stop, "stop"),
        ];
        assert_eq!(order.len(), Group::COUNT);
        for (index, (group, name)) in order.into_iter().enumerate() {
            assert_eq!((group as usize, group.name()), (index, name));
        }
    }
}
