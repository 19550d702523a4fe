//! Where zero is, and how to get there: touch-off with the numbers to type.

use serde::Serialize;

use crate::job::{Job, Layout, PartName, ZeroPoint};
use crate::units::{Length, Units};

use super::measure::{Both, both, typed};

/// One touch.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Touch {
    /// `X`, `Y` or `Z`, with the offset where there are two.
    axis: String,
    /// What to touch and from which side.
    action: String,
    /// What to type while the bit stands there.
    typed: Option<Typed>,
    /// A figure to check it by.
    check: Option<String>,
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
    let touches = match (job.fixture.layout, job.fixture.zero) {
        (Layout::Book, ZeroPoint::Shared) => hand.book(),
        (Layout::Book, ZeroPoint::Each) => hand.book_each(),
        (Layout::EndToEnd, ZeroPoint::Shared) => hand.line(),
        (Layout::EndToEnd, ZeroPoint::Each) => hand.line_each(),
        (Layout::Scrap, _) => hand.scrap(),
    };
    TouchOff {
        radius: both(hand.radius, units),
        touches,
        warning: hand.warning(),
        machine: hand.machine(),
    }
}

struct Hand<'a> {
    job: &'a Job,
    units: Units,
    radius: Length,
    half: Length,
}

impl Hand<'_> {
    fn touch(&self, axis: &str, action: impl Into<String>, at: Length) -> Touch {
        let controller = self.job.machine.dialect.units;
        let (other, other_unit) = match controller {
            Units::Millimetre => (Units::Inch, "in"),
            Units::Inch => (Units::Millimetre, "mm"),
        };
        let letter = axis.chars().next_back().unwrap_or('Z');
        Touch {
            axis: axis.to_owned(),
            action: action.into(),
            typed: Some(Typed {
                word: format!("{letter}{}", typed(at, controller)),
                unit: controller.symbol(),
                other: format!("{} {other_unit}", typed(at, other)),
            }),
            check: None,
        }
    }

    fn one(&self, length: Length) -> String {
        let Both { first, second } = both(length, self.units);
        format!("{first} ({second})")
    }

    fn between(&self, letter: char, what: &str) -> String {
        format!(
            "The two readings should differ by the {what} and one bit diameter, {}. More than \
             {} off: clean both faces, measure the {what} and the bit, and touch again. \
             {letter}0 lies halfway between the readings whatever the bit measures.",
            self.one(self.half * 2.0 + self.radius * 2.0),
            self.one(Length::from_mm(0.05))
        )
    }

    fn book(&self) -> Vec<Touch> {
        let mut touches = vec![self.stop_from_the_right("X")];
        if self.half > Length::ZERO {
            touches.push(Touch {
                axis: "Y".to_owned(),
                action: "Before the parts go in, or where the divider stands past them: touch its \
                     face on the box's side and write the Y reading down."
                    .to_owned(),
                typed: None,
                check: None,
            });
            let mut far = self.touch(
                "Y",
                "Touch its face on the lid's side with the same bit. Half the difference of the \
                 two readings is what to type there; the bit's diameter cancels. It should be",
                self.half + self.radius,
            );
            far.check = Some(self.between('Y', "divider"));
            touches.push(far);
        } else {
            touches.push(self.touch(
                "Y",
                "The parts butt, so there is no divider to touch: with the lid taken away, touch \
                 the box's outside face from the lid's side",
                self.radius,
            ));
        }
        touches.push(self.top("Z", "box's mating face"));
        touches.extend(self.rise());
        touches
    }

    fn book_each(&self) -> Vec<Touch> {
        let mut touches = vec![
            self.stop_from_the_right("G54 X"),
            self.touch(
                "G54 Y",
                "Box: touch the face its outside face lies against, from the box's side (box not in)",
                -self.radius,
            ),
            self.top("G54 Z", "box's mating face"),
            self.stop_from_the_right("G55 X"),
            self.touch(
                "G55 Y",
                "Lid: touch the face its outside face lies against, from the lid's side (lid not in)",
                self.radius,
            ),
            self.top("G55 Z", "lid's mating face"),
        ];
        touches.extend(self.rise());
        touches
    }

    fn line(&self) -> Vec<Touch> {
        let mut touches = Vec::new();
        if self.half > Length::ZERO {
            touches.push(Touch {
                axis: "X".to_owned(),
                action: "Before the parts go in: touch the centre stop's face on the box's side \
                     and write the X reading down."
                    .to_owned(),
                typed: None,
                check: None,
            });
            let mut far = self.touch(
                "X",
                "Touch its face on the lid's side with the same bit. Half the difference of the \
                 two readings is what to type there; the bit's diameter cancels. It should be",
                self.half + self.radius,
            );
            far.check = Some(self.between('X', "stop"));
            touches.push(far);
        } else {
            touches.push(self.touch(
                "X",
                "The parts butt, so there is no stop to touch: with the lid taken away, touch the \
                 box's stop end from the lid's side",
                self.radius,
            ));
        }
        touches.push(self.fence("Y"));
        touches.push(self.top("Z", "box's mating face"));
        touches.extend(self.rise());
        touches
    }

    fn line_each(&self) -> Vec<Touch> {
        let mut touches = vec![
            self.touch(
                "G54 X",
                "Box: touch the centre stop's face on the box's side (box not in)",
                -self.radius,
            ),
            self.fence("G54 Y"),
            self.top("G54 Z", "box's mating face"),
            self.touch(
                "G55 X",
                "Lid: touch the centre stop's face on the lid's side (lid not in)",
                self.radius,
            ),
            self.fence("G55 Y"),
            self.top("G55 Z", "lid's mating face"),
        ];
        touches.extend(self.rise());
        touches
    }

    fn scrap(&self) -> Vec<Touch> {
        vec![
            self.touch("X", "Touch the scrap's left end from outside", -self.radius),
            self.touch(
                "Y",
                "Touch the scrap's near edge from outside",
                -self.radius,
            ),
            self.top("Z", "scrap's top"),
        ]
    }

    fn stop_from_the_right(&self, axis: &str) -> Touch {
        let mut touch = self.touch(
            axis,
            "Touch the stop's face, where the stop ends will lie, from the right (parts not in)",
            self.radius,
        );
        let letter = typed(-self.radius, self.job.machine.dialect.units);
        touch.check = Some(format!(
            "With no stop: touch a part's stop end from the left and type X{letter} instead."
        ));
        touch
    }

    fn fence(&self, axis: &str) -> Touch {
        self.touch(
            axis,
            "Touch the fence's face, where the outside faces will lie, from the wood's side \
             (parts not in)",
            self.radius,
        )
    }

    fn top(&self, axis: &str, face: &str) -> Touch {
        self.touch(
            axis,
            format!("Let the tip of the bit just touch the {face}"),
            Length::ZERO,
        )
    }

    fn rise(&self) -> Option<Touch> {
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
        Some(Touch {
            axis: "Z".to_owned(),
            action: self.support(),
            typed: None,
            check: Some(check),
        })
    }

    /// How high each part must be held for its mating face to lie where it belongs.
    fn support(&self) -> String {
        let below = |name| self.job.part(name).map_or(Length::ZERO, |part| part.below);
        let fixture = &self.job.fixture;
        if let (Some(body), Some(lid)) = (fixture.box_base, fixture.lid_base) {
            return format!(
                "Hold the box with its underside {} and the lid {}.",
                self.over_bed(body),
                self.over_bed(lid)
            );
        }
        let lid_higher = fixture.lid_rise + below(PartName::Box) - below(PartName::Lid);
        let (higher, lower) = if lid_higher < Length::ZERO {
            ("box", "lid")
        } else {
            ("lid", "box")
        };
        if lid_higher.is_near(Length::ZERO, Length::SAME) {
            return "Both undersides lie at the same height.".to_owned();
        }
        format!(
            "Support the {higher}: its underside stands {} above the {lower}'s. Raise the {higher} by \
             that, or hang the {lower} below the bed by as much.",
            self.one(lid_higher.abs())
        )
    }

    fn over_bed(&self, base: Length) -> String {
        let side = if base < Length::ZERO {
            "below"
        } else {
            "above"
        };
        format!("{} {side} the bed", self.one(base.abs()))
    }

    fn warning(&self) -> String {
        match self.job.fixture.layout {
            Layout::Book => {
                "An error in Y counts twice: it brings one pocket nearer to its outside \
                 face and takes the other away from it, so the closed faces are out by double. An \
                 error in X moves both pockets the same way and does not show in the joint."
                    .to_owned()
            }
            Layout::EndToEnd => "An error in X counts twice: it brings one pocket nearer to its \
                 stop end and takes the other away from it, so the closed ends are out by double. \
                 An error in Y moves both pockets the same way and does not show in the joint."
                .to_owned(),
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
                ("G54 Z", "Z0.000"),
                ("G55 X", "X3.000"),
                ("G55 Y", "Y3.000"),
                ("G55 Z", "Z0.000"),
            ],
        );
        job.fixture.layout = Layout::EndToEnd;
        expect(
            &job,
            &[
                ("G54 X", "X-3.000"),
                ("G54 Y", "Y3.000"),
                ("G54 Z", "Z0.000"),
                ("G55 X", "X3.000"),
                ("G55 Y", "Y3.000"),
                ("G55 Z", "Z0.000"),
            ],
        );
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
            touches.into_iter().map(|touch| touch.action).next_back()
        };
        let mut job = sample::job();
        let level = action(&job).unwrap_or_default();
        assert!(
            level.contains("Support the lid") && level.contains("72.00 mm"),
            "{level}"
        );
        job.fixture.box_base = Some(Length::from_mm(-20.0));
        job.fixture.lid_base = Some(Length::from_mm(52.0));
        let held = action(&job).unwrap_or_default();
        assert!(
            held.contains("20.00 mm") && held.contains("below the bed"),
            "{held}"
        );
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
