//! Where zero is, and how to get there: touch-off with the numbers to type.

use serde::Serialize;

use crate::job::position::Located;
use crate::job::{Along, Job, Layout, PartName, StopEnd, ZeroPoint};
use crate::units::{Length, Units};

use super::frame::located;
use super::measure::{Both, both, typed};

/// One touch.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Touch {
    /// `X`, `Y` or `Z`, with the offset where there are two; `Lay in` where the
    /// parts go in.
    axis: String,
    /// What to touch and from which side.
    action: String,
    /// What to type while the bit stands there.
    typed: Option<Typed>,
    /// What to do where there is no stop.
    without_stop: Option<WithoutStop>,
    /// A figure to check it by.
    check: Option<String>,
}

/// A part's stop end touched itself.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct WithoutStop {
    /// The side that the bit comes from.
    from: &'static str,
    /// What to type.
    word: String,
}

/// What to type.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Typed {
    word: String,
    unit: &'static str,
    other: String,
}

/// The whole touch-off for one job.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct TouchOff {
    pub(super) radius: Both,
    pub(super) touches: Vec<Touch>,
    pub(super) warning: String,
    pub(super) machine: Option<String>,
}

/// The touch-off for this layout and zero.
pub(super) fn steps(job: &Job, units: Units) -> TouchOff {
    let hand = Hand {
        job,
        units,
        radius: job.bit.cutting_diameter() / 2.0,
        half: job.fixture.divider / 2.0,
    };
    TouchOff {
        radius: both(hand.radius, units),
        touches: hand.touches(),
        warning: hand.warning(),
        machine: hand.machine(),
    }
}

/// What is touched along the hinged edges, the parts not in.
pub(super) fn along(job: &Job, units: Units) -> Vec<Touch> {
    let mut touches = steps(job, units).touches;
    let [letter, _] = job.fixture.letters();
    touches.retain(|touch| touch.typed.is_some() && touch.axis.ends_with(letter));
    touches
}

/// How true a line is laid by eye (common practice, no source).
const BY_EYE: Length = Length::from_mm(0.3);

/// What a set of touches finds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Zero {
    /// The one zero of both parts.
    Shared,
    /// The zero of one part alone.
    Own(PartName),
}

impl Zero {
    /// The work offset's name, where there is more than one.
    const fn prefix(self) -> &'static str {
        match self {
            Self::Own(PartName::Box) => "G54 ",
            Self::Own(PartName::Lid) => "G55 ",
            Self::Shared | Self::Own(PartName::Scrap | PartName::Plate) => "",
        }
    }

    fn axis(self, letter: char) -> String {
        format!("{}{letter}", self.prefix())
    }
}

struct Hand<'a> {
    job: &'a Job,
    units: Units,
    radius: Length,
    half: Length,
}

impl Hand<'_> {
    /// X and Y of every zero while the parts are out, then what height the
    /// parts lie at, then Z of every zero.
    fn touches(&self) -> Vec<Touch> {
        let zeros: &[Zero] = match (self.job.fixture.layout, self.job.fixture.zero) {
            (Layout::Scrap, _) => match self.job.part(PartName::Plate) {
                Some(_) => &[Zero::Own(PartName::Plate)],
                None => &[Zero::Own(PartName::Scrap)],
            },
            (_, ZeroPoint::Shared) => &[Zero::Shared],
            (_, ZeroPoint::Each) => &[Zero::Own(PartName::Box), Zero::Own(PartName::Lid)],
        };
        let mut touches = Vec::new();
        for &zero in zeros {
            touches.extend(match self.job.fixture.layout {
                Layout::Book => [vec![self.stop(zero)], self.middle(zero)],
                Layout::EndToEnd => [self.middle(zero), vec![self.fence(zero)]],
                Layout::Scrap => [
                    vec![self.scrap('X', "left end")],
                    vec![self.scrap('Y', "near edge")],
                ],
            });
        }
        let mut touches: Vec<Touch> = touches.into_iter().flatten().collect();
        if self.job.fixture.layout != Layout::Scrap {
            touches.push(self.rise());
        }
        touches.extend(zeros.iter().map(|&zero| self.top(zero)));
        touches
    }

    fn touch(&self, axis: String, action: impl Into<String>, at: Length) -> Touch {
        let controller = self.job.machine.dialect.units;
        let second = controller.other();
        let letter = axis.chars().next_back().unwrap_or('Z');
        Touch {
            axis,
            action: action.into(),
            typed: Some(Typed {
                word: format!("{letter}{}", typed(at, controller)),
                unit: controller.symbol(),
                other: format!("{} {second}", typed(at, second)),
            }),
            without_stop: None,
            check: None,
        }
    }

    fn one(&self, length: Length) -> String {
        both(length, self.units).first
    }

    /// The stop of a book layout.
    fn stop(&self, zero: Zero) -> Touch {
        let fixture = &self.job.fixture;
        let (wood, outside) = match (fixture.along, fixture.stop_end) {
            (Along::X, StopEnd::Left) => ("right", "left"),
            (Along::X, StopEnd::Right) => ("left", "right"),
            (Along::Y, StopEnd::Left) => ("side of larger Y", "side of smaller Y"),
            (Along::Y, StopEnd::Right) => ("side of smaller Y", "side of larger Y"),
        };
        let [letter, _] = fixture.letters();
        if let Located::FarStop(face) = located(fixture) {
            let action = format!(
                "Touch the far stop's face, where the far ends will lie, from the {outside} \
                 (parts not in)"
            );
            return self.touch(zero.axis(letter), action, self.away(face - self.radius));
        }
        let at = self.away(self.radius);
        if let Located::Mark(_) = located(fixture) {
            let action = format!(
                "Touch the stop bar's face, where the blocks will lie, from the {wood} \
                 (parts not in)"
            );
            let mut touch = self.touch(zero.axis(letter), action, at);
            touch.check = Some(format!(
                "With no blocks: a squared line on each part, laid to the bar's face by eye, is \
                 good to about {} (common practice, no source).",
                self.one(BY_EYE)
            ));
            return touch;
        }
        let action = format!(
            "Touch the stop's face, where the stop ends will lie, from the {wood} (parts not in)"
        );
        let mut touch = self.touch(zero.axis(letter), action, at);
        let number = typed(-at, self.job.machine.dialect.units);
        touch.without_stop = Some(WithoutStop {
            from: outside,
            word: format!("{letter}{number}"),
        });
        touch
    }

    /// So far from the stop along the hinged edges, on the side of a book's parts
    /// and of the lid of parts end to end.
    fn away(&self, distance: Length) -> Length {
        match self.job.fixture.stop_end {
            StopEnd::Left => distance,
            StopEnd::Right => -distance,
        }
    }

    /// So far across them, from the fence to the parts or from the box to the lid.
    fn across(&self, distance: Length) -> Length {
        match self.job.fixture.along {
            Along::X => distance,
            Along::Y => -distance,
        }
    }

    /// The fence of an end-to-end layout.
    fn fence(&self, zero: Zero) -> Touch {
        let [_, letter] = self.job.fixture.letters();
        self.touch(
            zero.axis(letter),
            "Touch the fence's face, where the parts will lie, from the wood's side (parts not in)",
            self.across(self.radius),
        )
    }

    /// What stands between the parts: the divider of a book layout, the centre
    /// stop of an end-to-end one.
    fn middle(&self, zero: Zero) -> Vec<Touch> {
        let letter = self.job.fixture.doubled_axis();
        let edge = |part| match self.job.fixture.layout {
            Layout::Book => self.job.closing.faces(part).fence,
            Layout::EndToEnd | Layout::Scrap => self.job.closing.faces(part).stop,
        };
        let thing = match self.job.fixture.layout {
            Layout::Book => "divider",
            Layout::EndToEnd | Layout::Scrap => "centre stop",
        };
        // Where the bit stands, so far on the lid's side of what divides the parts.
        let lid_side = |distance| match self.job.fixture.layout {
            Layout::EndToEnd => self.away(distance),
            Layout::Book | Layout::Scrap => self.across(distance),
        };
        let axis = zero.axis(letter);
        if let Zero::Own(part) = zero {
            let at = match part {
                PartName::Box => -lid_side(self.radius),
                PartName::Lid | PartName::Scrap | PartName::Plate => lid_side(self.radius),
            };
            let action = format!(
                "Touch the face that the {part}'s {} will lie against, from the {part}'s side \
                 ({part} not in)",
                edge(part)
            );
            return vec![self.touch(axis, action, at)];
        }
        if self.half == Length::ZERO {
            let action = format!(
                "The parts butt, so there is no {thing} to touch: with the lid taken away, touch \
                 the box's {} from the lid's side",
                edge(PartName::Box)
            );
            return vec![self.touch(axis, action, lid_side(self.radius))];
        }
        let near = Touch {
            axis: axis.clone(),
            action: format!(
                "Before the parts go in, or where the {thing} stands past them: touch its face on \
                 the box's side and write the {letter} reading down."
            ),
            typed: None,
            without_stop: None,
            check: None,
        };
        let mut far = self.touch(
            axis,
            "Touch its face on the lid's side with the same bit. Half the difference of the two \
             readings is what to type there; the bit's diameter cancels. It should be",
            lid_side(self.half + self.radius),
        );
        far.check = Some(format!(
            "The two readings should differ by the {thing} and one bit diameter, {}. More than {} \
             off: clean both faces, measure the {thing} and the bit, and touch again. {letter}0 \
             lies halfway between the readings whatever the bit measures.",
            self.one(self.half * 2.0 + self.radius * 2.0),
            self.one(Length::from_mm(0.05))
        ));
        vec![near, far]
    }

    fn scrap(&self, letter: char, edge: &str) -> Touch {
        self.touch(
            letter.to_string(),
            format!("Touch the {}'s {edge} from outside", self.alone()),
            -self.radius,
        )
    }

    /// What lies alone on the machine.
    fn alone(&self) -> PartName {
        let part = self.job.parts.first();
        part.map_or(PartName::Scrap, |part| part.name)
    }

    fn top(&self, zero: Zero) -> Touch {
        let face = match zero {
            Zero::Shared | Zero::Own(PartName::Box) => "box's mating face",
            Zero::Own(PartName::Lid) => "lid's mating face",
            Zero::Own(PartName::Scrap) => "scrap's top",
            Zero::Own(PartName::Plate) => "plate's underside, which lies up",
        };
        self.touch(
            zero.axis('Z'),
            format!("Let the tip of the bit just touch the {face}"),
            Length::ZERO,
        )
    }

    /// The parts go in: how high each is held, and how to check it.
    fn rise(&self) -> Touch {
        let rise = self.job.fixture.lid_rise;
        let check = if rise == Length::ZERO {
            "Lay a straight edge over both parts: the lid's mating face must be level with the \
             box's."
                .to_owned()
        } else {
            let side = if rise > Length::ZERO {
                "above"
            } else {
                "below"
            };
            format!(
                "The lid's mating face must lie {} {side} the box's.",
                self.one(rise.abs())
            )
        };
        Touch {
            axis: "Lay in".to_owned(),
            action: self.support(),
            typed: None,
            without_stop: None,
            check: Some(check),
        }
    }

    /// How high each part must be held for its mating face to lie where it belongs.
    fn support(&self) -> String {
        let below = |name| self.job.part(name).map_or(Length::ZERO, |part| part.below);
        let bed = |name| self.job.closing.faces(name).bed;
        let fixture = &self.job.fixture;
        if let (Some(body), Some(lid)) = (fixture.box_base, fixture.lid_base) {
            return format!(
                "The parts go in: the box with its {} {}, the lid with its {} {}.",
                bed(PartName::Box),
                self.over_bed(body),
                bed(PartName::Lid),
                self.over_bed(lid)
            );
        }
        let lid_higher = fixture.lid_rise + below(PartName::Box) - below(PartName::Lid);
        let (higher, lower) = if lid_higher < Length::ZERO {
            (PartName::Box, PartName::Lid)
        } else {
            (PartName::Lid, PartName::Box)
        };
        if lid_higher.is_near(Length::ZERO, Length::SAME) {
            return format!(
                "The parts go in, the box's {} and the lid's {} at the same height.",
                bed(PartName::Box),
                bed(PartName::Lid)
            );
        }
        format!(
            "The parts go in. Support the {higher}: its {} stands {} above the {lower}'s {}. Raise the {higher} by \
             that, or hang the {lower} below the bed by as much.",
            bed(higher),
            self.one(lid_higher.abs()),
            bed(lower)
        )
    }

    fn over_bed(&self, base: Length) -> String {
        if base.is_near(Length::ZERO, Length::SAME) {
            return "on the bed".to_owned();
        }
        let side = if base < Length::ZERO {
            "below"
        } else {
            "above"
        };
        format!("{} {side} the bed", self.one(base.abs()))
    }

    fn warning(&self) -> String {
        let doubled = self.job.fixture.doubled_axis();
        let other = if doubled == 'X' { 'Y' } else { 'X' };
        match self.job.fixture.layout {
            Layout::Book => format!(
                "An error in {doubled} counts twice: one pocket comes nearer to its fence face, the \
                 other goes away from it, and the closed faces are out by double. An error in {other} \
                 moves both alike and does not show in the joint."
            ),
            Layout::EndToEnd => format!(
                "An error in {doubled} counts twice: one pocket comes nearer to its stop end, the \
                 other goes away from it, and the closed ends are out by double. An error in {other} \
                 moves both alike and does not show in the joint."
            ),
            Layout::Scrap if self.job.plate.is_some() => {
                "Openings and grooves come from the one zero, so an error in X or Y moves them alike \
                 and only the plate's edges differ. An error in Z leaves openings uncut or cuts the bed."
                    .to_owned()
            }
            Layout::Scrap => "Nothing has to meet on a test piece: half a millimetre either way \
                 in X and Y does no harm. Z must be as true as in the real job."
                .to_owned(),
        }
    }

    fn machine(&self) -> Option<String> {
        let zero = self.job.fixture.machine_zero?;
        let units = self.job.machine.dialect.units;
        let [x, y, z] = zero.map(|length| typed(length, units));
        Some(format!(
            "The job expects G54 at machine X{x} Y{y} Z{z} {units}; Z differs with the bit's \
             stick-out."
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::position::Position;
    use crate::job::sample;

    fn words(job: &Job) -> Vec<(String, String)> {
        steps(job, Units::Millimetre)
            .touches
            .into_iter()
            .filter_map(|touch| touch.typed.map(|typed| (touch.axis, typed.word)))
            .collect()
    }

    fn expect(job: &Job, expected: &[(&str, &str)]) {
        let expected: Vec<_> = expected
            .iter()
            .map(|(axis, word)| ((*axis).to_owned(), (*word).to_owned()))
            .collect();
        assert_eq!(words(job), expected);
    }

    // Bit 6 mm, divider 12 mm: the radius is 3, half the divider 6.
    #[test]
    fn book_types_half_the_divider_and_the_radius() {
        expect(
            &sample::job(),
            &[("X", "X3.000"), ("Y", "Y9.000"), ("Z", "Z0.000")],
        );
    }

    #[test]
    fn end_to_end_halves_the_centre_stop() {
        let mut job = sample::job();
        job.fixture.layout = Layout::EndToEnd;
        expect(&job, &[("X", "X9.000"), ("Y", "Y3.000"), ("Z", "Z0.000")]);
    }

    #[test]
    fn each_part_has_its_own_zero_with_the_wood_on_the_far_side_of_the_bit() {
        let mut job = sample::job();
        job.fixture.zero = ZeroPoint::Each;
        expect(
            &job,
            &[
                ("G54 X", "X3.000"),
                ("G54 Y", "Y-3.000"),
                ("G55 X", "X3.000"),
                ("G55 Y", "Y3.000"),
                ("G54 Z", "Z0.000"),
                ("G55 Z", "Z0.000"),
            ],
        );
        job.fixture.layout = Layout::EndToEnd;
        expect(
            &job,
            &[
                ("G54 X", "X-3.000"),
                ("G54 Y", "Y3.000"),
                ("G55 X", "X3.000"),
                ("G55 Y", "Y3.000"),
                ("G54 Z", "Z0.000"),
                ("G55 Z", "Z0.000"),
            ],
        );
    }

    // The same figures on the other side of every face that X is found at.
    #[test]
    fn with_the_stop_on_the_right_x_is_found_from_the_left() {
        let mut job = sample::job();
        job.fixture.stop_end = StopEnd::Right;
        expect(&job, &[("X", "X-3.000"), ("Y", "Y9.000"), ("Z", "Z0.000")]);
        let touch = steps(&job, Units::Millimetre).touches.remove(0);
        assert!(touch.action.contains("from the left"), "{}", touch.action);
        let without = touch.without_stop.unwrap();
        assert_eq!((without.from, without.word.as_str()), ("right", "X3.000"));
        job.fixture.layout = Layout::EndToEnd;
        expect(&job, &[("X", "X-9.000"), ("Y", "Y3.000"), ("Z", "Z0.000")]);
        job.fixture.divider = Length::ZERO;
        expect(&job, &[("X", "X-3.000"), ("Y", "Y3.000"), ("Z", "Z0.000")]);
        job.fixture.zero = ZeroPoint::Each;
        expect(
            &job,
            &[
                ("G54 X", "X3.000"),
                ("G54 Y", "Y3.000"),
                ("G55 X", "X-3.000"),
                ("G55 Y", "Y3.000"),
                ("G54 Z", "Z0.000"),
                ("G55 Z", "Z0.000"),
            ],
        );
        job.fixture.layout = Layout::Book;
        expect(
            &job,
            &[
                ("G54 X", "X-3.000"),
                ("G54 Y", "Y-3.000"),
                ("G55 X", "X-3.000"),
                ("G55 Y", "Y3.000"),
                ("G54 Z", "Z0.000"),
                ("G55 Z", "Z0.000"),
            ],
        );
    }

    // A book's stop ends lie at Y0, the box at larger X: its side is 9 on from
    // the middle of the divider, the lid's 9 back. End to end the parts lie at
    // smaller X than their fence.
    #[test]
    fn along_y_every_face_is_found_by_the_other_axis() {
        let mut job = sample::job();
        job.fixture.along = Along::Y;
        expect(&job, &[("Y", "Y3.000"), ("X", "X-9.000"), ("Z", "Z0.000")]);
        let off = steps(&job, Units::Millimetre);
        assert!(off.warning.contains("error in X counts twice"));
        assert!(off.touches[0].action.contains("from the side of larger Y"));
        let without = off.touches[0].without_stop.as_ref().unwrap();
        assert_eq!(without.word, "Y-3.000");
        job.fixture.stop_end = StopEnd::Right;
        expect(&job, &[("Y", "Y-3.000"), ("X", "X-9.000"), ("Z", "Z0.000")]);
        job.fixture.stop_end = StopEnd::Left;
        job.fixture.zero = ZeroPoint::Each;
        expect(
            &job,
            &[
                ("G54 Y", "Y3.000"),
                ("G54 X", "X3.000"),
                ("G55 Y", "Y3.000"),
                ("G55 X", "X-3.000"),
                ("G54 Z", "Z0.000"),
                ("G55 Z", "Z0.000"),
            ],
        );
        job.fixture.zero = ZeroPoint::Shared;
        job.fixture.layout = Layout::EndToEnd;
        expect(&job, &[("Y", "Y9.000"), ("X", "X-3.000"), ("Z", "Z0.000")]);
        let warning = steps(&job, Units::Millimetre).warning;
        assert!(warning.contains("error in Y counts twice"));
    }

    // By hand, a bit of 6: the bar as a stop, the far stop at 90 from its other side.
    #[test]
    fn a_position_is_touched_at_what_its_parts_lie_against() {
        let mut job = sample::job();
        let mut touched = |located, stop_end| {
            job.fixture.stop_end = stop_end;
            job.fixture.positions = vec![Position {
                number: 1,
                hinges: vec![1, 2],
                located,
                box_u: Length::ZERO,
                lid_u: Length::ZERO,
            }];
            let mut touches = along(&job, Units::Millimetre);
            assert_eq!(touches.len(), 1);
            let touch = touches.remove(0);
            (touch.typed.unwrap().word, touch.action)
        };
        let mark = Located::Mark(Length::from_mm(30.0));
        let far = Located::FarStop(Length::from_mm(90.0));
        let (typed, action) = touched(mark, StopEnd::Left);
        assert!(action.contains("stop bar's face") && action.contains("from the right"));
        assert_eq!(typed, "X3.000");
        let (typed, action) = touched(far, StopEnd::Left);
        assert!(action.contains("far stop's face") && action.contains("from the left"));
        assert_eq!(typed, "X87.000");
        assert_eq!(touched(mark, StopEnd::Right).0, "X-3.000");
        assert_eq!(touched(far, StopEnd::Right).0, "X-87.000");
    }

    #[test]
    fn a_scrap_is_touched_from_outside() {
        let mut job = sample::job();
        job.fixture.layout = Layout::Scrap;
        expect(&job, &[("X", "X-3.000"), ("Y", "Y-3.000"), ("Z", "Z0.000")]);
    }

    #[test]
    fn an_inch_controller_is_told_inches() {
        let mut job = sample::job();
        job.machine.dialect.units = Units::Inch;
        // 9 mm / 25.4 = 0.35433 in.
        assert_eq!(words(&job)[1].1, "Y0.3543");
    }

    // Box 90 mm high, lid 18 mm thick, mating faces level: 90 - 18 = 72.
    #[test]
    fn the_lid_is_raised_by_what_the_box_is_taller() {
        let action = |job: &Job| {
            let touches = steps(job, Units::Millimetre).touches;
            let mut laid = touches.into_iter().filter(|touch| touch.axis == "Lay in");
            laid.next().map_or_else(String::new, |touch| touch.action)
        };
        let mut job = sample::job();
        let level = action(&job);
        assert!(
            level.contains("Support the lid") && level.contains("72.00 mm"),
            "{level}"
        );
        job.fixture.box_base = Some(Length::from_mm(-20.0));
        job.fixture.lid_base = Some(Length::from_mm(52.0));
        let held = action(&job);
        assert!(
            held.contains("20.00 mm") && held.contains("below the bed"),
            "{held}"
        );
        job.fixture.box_base = Some(Length::ZERO);
        assert!(action(&job).contains("its bottom on the bed"));
    }

    /// Where the parts lie while a stop, fence or divider is touched is the
    /// difference between a whole bit and a broken one.
    #[test]
    fn faces_of_the_fixture_are_touched_before_the_parts_go_in() {
        for layout in [Layout::Book, Layout::EndToEnd] {
            for zero in [ZeroPoint::Shared, ZeroPoint::Each] {
                let mut job = sample::job();
                job.fixture.layout = layout;
                job.fixture.zero = zero;
                let axes: Vec<_> = steps(&job, Units::Millimetre)
                    .touches
                    .into_iter()
                    .map(|touch| touch.axis)
                    .collect();
                let laid = axes.iter().position(|axis| axis == "Lay in").unwrap();
                assert!(axes[..laid].iter().all(|axis| !axis.ends_with('Z')));
                assert!(axes[laid + 1..].iter().all(|axis| axis.ends_with('Z')));
            }
        }
    }

    #[test]
    fn the_warning_names_the_axis_that_doubles() {
        let mut job = sample::job();
        assert!(
            steps(&job, Units::Inch)
                .warning
                .contains("error in Y counts twice")
        );
        job.fixture.layout = Layout::EndToEnd;
        assert!(
            steps(&job, Units::Inch)
                .warning
                .contains("error in X counts twice")
        );
    }
}
