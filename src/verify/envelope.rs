//! `envelope`: whether the machine can go where the program goes.

use crate::job::Job;
use crate::report::CheckId;
use crate::verify::court::Court;

/// Past a limit by less than this is the rounding of coordinates, in millimetres.
const ROUNDED: f64 = 0.005;

const AXES: [&str; 3] = ["X", "Y", "Z"];

impl Court<'_> {
    /// Judges the program that ends now, and X and Y over all programs.
    pub(crate) fn check_envelope(&mut self) {
        let extent = self.run.extent;
        if extent.is_nothing() {
            return;
        }
        self.run.line = 0;
        for axis in 0..2 {
            let span = &mut self.span[axis];
            *span = (span.0.min(extent.min[axis]), span.1.max(extent.max[axis]));
        }
        let lows = [self.span[0].0, self.span[1].0, extent.min[2]];
        let highs = [self.span[0].1, self.span[1].1, extent.max[2]];
        let ruler = self.ruler;
        for axis in 0..3 {
            let (size, travel) = (highs[axis] - lows[axis], self.machine.travel[axis].as_mm());
            if size > travel + ROUNDED {
                let name = AXES[axis];
                let cure = match axis {
                    2 => self.lower(),
                    _ => "lay the parts closer or cut them one by one".to_owned(),
                };
                self.fail(CheckId::Envelope, || {
                    format!(
                        "{name} goes from {}, {}, the travel is {}; {cure}",
                        ruler.span(lows[axis], highs[axis]),
                        ruler.one(size, 2),
                        ruler.one(travel, 2)
                    )
                });
            }
        }
        self.check_positions();
        self.check_daylight();
    }

    /// Positions in machine coordinates: X and Y 0 … travel, Z -travel … 0.
    fn check_positions(&mut self) {
        let Some((zero, machine_zero)) = self.shop.as_ref().and_then(|shop| {
            let machine_zero = shop.job.fixture.machine_zero?;
            Some((shop.scene.zero, machine_zero))
        }) else {
            return;
        };
        let extent = self.run.extent;
        for axis in 0..3 {
            let offset = machine_zero[axis].as_mm() - zero[axis];
            let (low, high) = (extent.min[axis] + offset, extent.max[axis] + offset);
            let travel = self.machine.travel[axis].as_mm();
            let (least, most) = if axis == 2 {
                (-travel, 0.0)
            } else {
                (0.0, travel)
            };
            if low < least - ROUNDED || high > most + ROUNDED {
                let name = AXES[axis];
                let ruler = self.ruler;
                let cure = match self.raised_by() {
                    Some(raised) if axis == 2 && high > most + ROUNDED => {
                        format!("{raised}, or set the work lower and correct `machine_zero`")
                    }
                    _ => "move the fixture and `machine_zero`".to_owned(),
                };
                self.fail(CheckId::Envelope, || {
                    format!(
                        "{name} goes from {} in machine coordinates, it can from {}; {cure}",
                        ruler.span(low, high),
                        ruler.span(least, most)
                    )
                });
            }
        }
    }

    /// The nut may not be asked higher above the bed than it can go.
    fn check_daylight(&mut self) {
        let (Some(daylight), Some(bed), Some(tool)) = (
            self.machine.daylight,
            self.shop.as_ref().and_then(|shop| bed_height(shop.job)),
            &self.run.tool,
        ) else {
            return;
        };
        let nut = self.run.extent.max[2] + tool.bit.stickout.as_mm() - bed;
        let daylight = daylight.as_mm();
        if nut > daylight + ROUNDED {
            let ruler = self.ruler;
            let raised = self
                .raised_by()
                .map_or_else(String::new, |raised| format!("{raised}, "));
            self.fail(CheckId::Envelope, || {
                format!(
                    "the nut goes {} above the bed, the daylight is {}; \
                     {raised}lower the work or chuck the bit shorter",
                    ruler.one(nut, 2),
                    ruler.one(daylight, 2)
                )
            });
        }
    }

    /// What to lower where Z goes too far up.
    fn lower(&self) -> String {
        self.raised_by().unwrap_or_else(|| {
            "lower `clearance` of the machine, or cut the parts one by one".to_owned()
        })
    }

    /// What of the fixture stands higher than the boards and so raises the
    /// travel height, with what to do; nothing where the boards are the highest.
    fn raised_by(&self) -> Option<String> {
        let scene = &self.shop.as_ref()?.scene;
        let boards = scene.boards.iter().map(|board| board.top);
        let boards = boards.fold(0.0, f64::max);
        let solid = scene
            .solids
            .iter()
            .find(|solid| solid.top >= scene.highest && solid.top > boards + ROUNDED)?;
        Some(format!(
            "the {} stands {} above the wood and raises every travel to {}: use a lower one",
            solid.name,
            self.ruler.one(solid.top - boards, 2),
            self.ruler.z(scene.travel_height)
        ))
    }
}

/// Z of the machine's bed, where the job says how the parts stand above it.
pub(crate) fn bed_height(job: &Job) -> Option<f64> {
    let fixture = &job.fixture;
    let of = |part: usize, base: Option<crate::units::Length>, top: f64| {
        let below = job.parts.get(part)?.below.as_mm();
        Some(top - below - base?.as_mm())
    };
    of(0, fixture.box_base, 0.0).or_else(|| of(1, fixture.lid_base, fixture.lid_rise.as_mm()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::units::Length;

    /// A box 90 mm high whose underside hangs 60 mm below the bed, and a lid
    /// of 18 mm lying 12 mm above it: the bed is at -30 from both.
    #[test]
    fn the_bed_lies_below_the_wood_and_its_base() {
        let mut job = sample::job();
        assert_eq!(bed_height(&job), None);
        job.fixture.lid_base = Some(Length::from_mm(12.0));
        assert_eq!(bed_height(&job), Some(-30.0));
        job.fixture.box_base = Some(Length::from_mm(-60.0));
        assert_eq!(bed_height(&job), Some(-30.0));
    }
}
