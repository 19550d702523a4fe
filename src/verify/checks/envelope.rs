//! `envelope`: whether the machine can go where the program goes.

use crate::job::PartName;
use crate::report::CheckId;
use crate::verify::checks::check::{Check, End, Now, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::rounding::ROUNDED_HEIGHT;
use crate::verify::scene::proposal;

const AXES: [&str; 3] = ["X", "Y", "Z"];

#[derive(Debug, Default)]
pub(crate) struct Envelope;

impl Check for Envelope {
    const ID: CheckId = CheckId::Envelope;
    const WITHOUT_JOB: bool = true;

    fn end(&mut self, _end: End, now: Now<'_>, found: &mut Found<'_>) {
        Reach { now }.check(found);
    }

    fn answer(&mut self, whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        let Some(shop) = whole.shop else {
            return Answer::passes("within the machine's travel");
        };
        let fixture = &shop.job.fixture;
        let position = match fixture.machine_zero {
            Some(_) => "sizes and positions",
            None => "sizes (positions unknown without `fixture.machine_zero`)",
        };
        let daylight = match (whole.machine.daylight, fixture.bed(&shop.job.parts)) {
            (Some(_), Some(_)) => "daylight kept",
            (Some(_), None) => "daylight unknown without `fixture.box_base` or `lid_base`",
            (None, _) => "daylight unknown without the machine's `daylight`",
        };
        Answer::Passes(format!(
            "{position} within the machine's travel; {daylight}"
        ))
    }
}

/// How far the program that ends now has gone, and all programs in X and Y.
struct Reach<'a> {
    now: Now<'a>,
}

impl Reach<'_> {
    fn check(&self, found: &mut Found<'_>) {
        let extent = self.now.run.reach;
        let lows = [self.now.span[0].0, self.now.span[1].0, extent.min[2]];
        let highs = [self.now.span[0].1, self.now.span[1].1, extent.max[2]];
        let ruler = self.now.ruler;
        for axis in 0..3 {
            let (size, travel) = (
                highs[axis] - lows[axis],
                self.now.machine.travel[axis].as_mm(),
            );
            if size > travel + ROUNDED_HEIGHT {
                let name = AXES[axis];
                let cure = match axis {
                    2 => self.lower(),
                    _ => self.nearer(axis),
                };
                found.fail_at(0, || {
                    format!(
                        "{name} goes from {}, {}, the travel is {}; {cure}",
                        ruler.span(lows[axis], highs[axis]),
                        ruler.one(size, 2),
                        ruler.one(travel, 2)
                    )
                });
            }
        }
        self.check_positions(found);
        self.check_daylight(found);
        self.check_bottom(found);
        self.check_headroom(found);
    }

    /// With Z at the bottom the tip must reach the deepest cut.
    fn check_bottom(&self, found: &mut Found<'_>) {
        let Some((daylight, bed, stickout)) = self.over_the_bed() else {
            return;
        };
        let lowest = bed + daylight - self.now.machine.travel[2].as_mm() - stickout;
        let wanted = self.now.run.reach.min[2];
        if wanted < lowest - ROUNDED_HEIGHT {
            let ruler = self.now.ruler;
            found.fail_at(0, || {
                format!(
                    "the tip goes down to {}, and with Z at the bottom it stands at {}, {} too \
                     high; raise the work or chuck the bit longer",
                    ruler.z(wanted),
                    ruler.z(lowest),
                    ruler.one(lowest - wanted, 2)
                )
            });
        }
    }

    /// The tip may not be asked higher than the job says it can rise.
    fn check_headroom(&self, found: &mut Found<'_>) {
        let (Some(shop), Some(tool)) = (self.now.shop, &self.now.run.tool) else {
            return;
        };
        let fixture = &shop.job.fixture;
        // Where the machine's zero is known the positions tell already.
        let Some(headroom) = fixture.headroom.filter(|_| fixture.machine_zero.is_none()) else {
            return;
        };
        let more = shop.job.bit.stickout.as_mm() - tool.bit.stickout.as_mm();
        let most = headroom.as_mm() + more;
        let highest = self.now.run.reach.max[2];
        if highest > most + ROUNDED_HEIGHT {
            let ruler = self.now.ruler;
            let cure = self.shorten();
            found.fail_at(0, || {
                format!(
                    "the tip goes up to {}, the headroom ends at {}; {cure}",
                    ruler.z(highest),
                    ruler.z(most)
                )
            });
        }
    }

    /// Positions in machine coordinates, within the machine's limits.
    fn check_positions(&self, found: &mut Found<'_>) {
        let Some((zero, machine_zero)) = self.now.shop.and_then(|shop| {
            let machine_zero = shop.job.fixture.machine_zero?;
            Some((shop.scene.zero, machine_zero))
        }) else {
            return;
        };
        let extent = self.now.run.reach;
        for axis in 0..3 {
            let offset = machine_zero[axis].as_mm() - zero[axis];
            let (low, high) = (extent.min[axis] + offset, extent.max[axis] + offset);
            let (least, most) = self.now.machine.limits[axis];
            let (least, most) = (least.as_mm(), most.as_mm());
            if low < least - ROUNDED_HEIGHT || high > most + ROUNDED_HEIGHT {
                let name = AXES[axis];
                let ruler = self.now.ruler;
                let cure = match self.raised_by() {
                    Some(raised) if axis == 2 && high > most + ROUNDED_HEIGHT => {
                        format!("{raised}, or set the work lower and correct `machine_zero`")
                    }
                    _ => self
                        .proposal(axis)
                        .unwrap_or_else(|| "move the fixture and `machine_zero`".to_owned()),
                };
                found.fail_at(0, || {
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
    fn check_daylight(&self, found: &mut Found<'_>) {
        let Some((daylight, bed, stickout)) = self.over_the_bed() else {
            return;
        };
        let nut = self.now.run.reach.max[2] + stickout - bed;
        if nut > daylight + ROUNDED_HEIGHT {
            let ruler = self.now.ruler;
            let cure = self.shorten();
            found.fail_at(0, || {
                format!(
                    "the nut goes {} above the bed, the daylight is {}; {cure}",
                    ruler.one(nut, 2),
                    ruler.one(daylight, 2)
                )
            });
        }
    }

    /// The daylight, Z of the bed and the stick-out, where all are known. Millimetres.
    fn over_the_bed(&self) -> Option<(f64, f64, f64)> {
        let daylight = self.now.machine.daylight?.as_mm();
        let job = self.now.shop?.job;
        let bed = job.fixture.bed(&job.parts)?.as_mm();
        let stickout = self.now.run.tool.as_ref()?.bit.stickout.as_mm();
        Some((daylight, bed, stickout))
    }

    /// What to do where bit and nut stand too high.
    fn shorten(&self) -> String {
        let raised = self.raised_by().map(|raised| format!("{raised}, "));
        let raised = raised.unwrap_or_default();
        format!("{raised}lower the work or chuck the bit shorter")
    }

    /// What to do where X or Y goes too far.
    fn nearer(&self, axis: usize) -> String {
        if let Some(plate) = self.smaller_plate(axis) {
            return plate;
        }
        if let Some(proposal) = self.proposal(axis) {
            return proposal;
        }
        let shop = self.now.shop;
        let is_along = |letter: char| AXES[axis].starts_with(letter);
        let shop = shop.filter(|shop| is_along(shop.job.fixture.letters()[0]));
        match shop.and_then(|shop| shop.position) {
            Some(position) => format!(
                "change the `mark` or the `far_stop` of position {}, or cut fewer hinges in it; \
                 the face that is touched for zero counts too",
                position.number
            ),
            None => "lay the parts closer or cut them one by one; the face that is touched \
                     for zero counts too"
                .to_owned(),
        }
    }

    /// How large a template's plate may be where it goes too far.
    fn smaller_plate(&self, axis: usize) -> Option<String> {
        let job = self.now.shop?.job;
        let template = job.plate.as_ref()?.of.template.as_ref()?;
        let part = job.part(PartName::Plate)?;
        let (own, with_strip, is) = match axis {
            0 => (template.plate_length, part.length, "long"),
            _ => (template.plate_width, part.across, "wide"),
        };
        let (own, with_strip) = (own.as_mm(), with_strip.as_mm());
        let taken = self.now.span[axis].1 - self.now.span[axis].0 - own;
        let most = (self.now.machine.travel[axis].as_mm() - taken).floor();
        let ruler = self.now.ruler;
        let has_strip = with_strip > own + ROUNDED_HEIGHT;
        let strip = if has_strip {
            "the strip with the inserts and "
        } else {
            ""
        };
        // Beyond the plate's end the strip is as long as its pieces, whatever the plate is.
        if most <= 0.0 || (axis == 0 && has_strip) {
            return Some(format!(
                "{strip}the lines over the edges take {} besides the plate, whatever its size; \
                 `deep = \"opening\"` needs no strip",
                ruler.one(taken, 2)
            ));
        }
        Some(format!(
            "the plate may be {} {is} here at most, since {strip}the lines over its edges take {}",
            ruler.one(most, 2),
            ruler.one(taken, 2)
        ))
    }

    /// Positions to cut the job in, where it is too long along its hinged edges.
    fn proposal(&self, axis: usize) -> Option<String> {
        let job = self.now.shop?.job;
        if job.plate.is_some() {
            return None;
        }
        let [along, _] = job.fixture.letters();
        if AXES[axis] != along.to_string() {
            return None;
        }
        let positions = proposal::positions(job)?;
        Some(format!(
            "cut it in positions, the parts shifted between them; for `[fixture]`: {positions}"
        ))
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
        let scene = &self.now.shop?.scene;
        let boards = scene.boards.iter().map(|board| board.top);
        let boards = boards.fold(0.0, f64::max);
        let solid = scene
            .solids
            .iter()
            .find(|solid| solid.top >= scene.highest && solid.top > boards + ROUNDED_HEIGHT)?;
        Some(format!(
            "the {} stands {} above the wood and raises every travel to {}: use a lower one",
            solid.name,
            self.now.ruler.one(solid.top - boards, 2),
            self.now.ruler.z(scene.travel_height)
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{Clamp, Job, sample};
    use crate::replay::segment::Extent;
    use crate::settings;
    use crate::units::Length;
    use crate::verify::job_context::JobContext;
    use crate::verify::verifier::Verifier;

    fn mm(value: f64) -> Length {
        Length::from_mm(value)
    }

    /// What `envelope` refuses of a program that goes from `min` to `max`.
    fn refused(job: &Job, min: [f64; 3], max: [f64; 3]) -> Vec<String> {
        let settings = settings::for_job(job);
        let mut verifier = Verifier::new(&job.machine, Some(JobContext::new(job, &settings)));
        verifier.begin("a.nc", None);
        verifier.run.reach = Extent { min, max };
        verifier.widen_span();
        let (checks, now, tally) = verifier.told();
        let end = End {
            lines: 0,
            percents: 0,
        };
        checks.end(end, now, tally);
        let check = verifier.tally.into_checks(&[CheckId::Envelope]).remove(0);
        let messages = check.findings.into_iter().map(|found| found.message);
        messages.collect()
    }

    fn clamp(height: f64) -> Clamp {
        Clamp {
            name: "tall clamp".to_owned(),
            min: crate::geometry::Point::from_mm(300.0, 100.0),
            max: crate::geometry::Point::from_mm(320.0, 120.0),
            height: mm(height),
        }
    }

    /// Travels of 400, 500 and 90 mm; five thousandths are rounding.
    #[test]
    fn a_program_may_be_as_large_as_the_travel() {
        let job = sample::job();
        let size = |x, y, z| refused(&job, [3.0, -100.0, -12.0], [x, y, z]);
        assert_eq!(size(403.004, 400.004, 78.004), [""; 0]);
        for (x, y, z, words) in [
            (
                403.006,
                0.0,
                0.0,
                "X goes from 3.00 to 403.01 mm, 400.01 mm",
            ),
            (20.0, 400.006, 0.0, "Y goes from -100.00 to 400.01 mm"),
            (20.0, 0.0, 78.006, "Z goes from -12.00 to 78.01 mm"),
        ] {
            let found = size(x, y, z);
            assert!(found.len() == 1 && found[0].starts_with(words), "{found:?}");
        }
    }

    /// With the machine's zero at the work's own: X and Y from 0 to 400 and
    /// 500, Z from -90 to 0, and five thousandths of rounding at each end.
    #[test]
    fn positions_lie_within_the_travel() {
        let mut job = sample::job();
        job.fixture.machine_zero = Some([0.0; 3].map(mm));
        let refused = |min, max| refused(&job, min, max).len();
        let inside = |at: [f64; 3]| refused(at, at);
        assert_eq!(inside([-0.005, -0.005, -90.004]), 0);
        assert_eq!(inside([400.004, 500.004, 0.005]), 0);
        for at in [
            [-0.006, 100.0, -9.0],
            [100.0, -0.006, -9.0],
            [100.0, 100.0, -90.006],
            [400.006, 100.0, -9.0],
            [100.0, 500.006, -9.0],
            [100.0, 100.0, 0.006],
        ] {
            assert_eq!(inside(at), 1, "{at:?}");
        }
        // Told once where both ends are outside.
        assert_eq!(refused([-1.0, 1.0, -9.0], [399.0, 2.0, -9.0]), 1);
        assert_eq!(refused([2.0, 1.0, -9.0], [403.0, 2.0, -9.0]), 2);
    }

    #[test]
    fn only_where_z_goes_too_high_a_lower_clamp_helps() {
        let mut job = sample::job();
        job.fixture.machine_zero = Some([0.0; 3].map(mm));
        let cure = |job: &Job, at: [f64; 3]| {
            let found = refused(job, at, at).remove(0);
            found.split("; ").last().unwrap().to_owned()
        };
        let move_it = "move the fixture and `machine_zero`";
        let [high, low, aside] = [[9.0, 9.0, 1.0], [9.0, 9.0, -91.0], [-9.0, 9.0, -9.0]];
        assert_eq!(cure(&job, high), move_it);
        job.fixture.clamps = vec![clamp(60.0)];
        assert_eq!(
            cure(&job, high),
            "the tall clamp stands 60.00 mm above the wood and raises every travel to Z65.000: \
             use a lower one, or set the work lower and correct `machine_zero`"
        );
        assert_eq!(cure(&job, low), move_it);
        assert_eq!(cure(&job, aside), move_it);
        // Too low, and up to where rounding ends.
        for top in [-0.004, 0.004] {
            let found = refused(&job, [9.0, 9.0, -91.0], [9.0, 9.0, top]);
            assert!(found.last().unwrap().ends_with(move_it), "{found:?}");
        }
    }

    /// 30 mm of stick-out over a bed 30 mm below the box: 65 to the nut at Z 5.
    #[test]
    fn the_nut_goes_as_high_as_the_daylight() {
        let mut job = sample::job();
        job.fixture.box_base = Some(mm(-60.0));
        job.machine.daylight = Some(mm(65.0));
        let up = |job: &Job, z: f64| refused(job, [0.0, 0.0, z], [0.0, 0.0, z]);
        assert_eq!(up(&job, 5.004), [""; 0]);
        assert_eq!(
            up(&job, 5.01),
            [
                "the nut goes 65.01 mm above the bed, the daylight is 65.00 mm; \
              lower the work or chuck the bit shorter"
            ]
        );
        job.fixture.clamps = vec![clamp(6.0)];
        let found = up(&job, 11.0);
        assert!(found[0].contains("65.00 mm; the tall clamp stands 6.00 mm above the wood"));
    }

    /// A hinge far from the stop: zero is found at the stop, with a bit of 6 mm.
    #[test]
    fn the_face_touched_for_zero_counts_too() {
        let job = sample::job();
        let far = |x: f64| refused(&job, [x, 0.0, -12.0], [x + 56.0, 0.0, 5.0]).len();
        // 3 to 403 is the whole travel of 400.
        assert_eq!([far(347.0), far(347.01)], [0, 1]);
        let left = |x: f64| refused(&job, [x - 56.0, 0.0, -12.0], [x, 0.0, 5.0]).len();
        assert_eq!([left(-347.0), left(-347.01)], [0, 1]);
    }

    /// 90 mm of travel and 140 of daylight: the nut comes down to 50 above the
    /// bed, the tip of a bit 30 mm out to 20. The bed is 30 below the box.
    #[test]
    fn the_tip_reaches_the_deepest_cut_with_z_at_the_bottom() {
        let mut job = sample::job();
        job.fixture.box_base = Some(mm(-60.0));
        job.machine.daylight = Some(mm(140.0));
        let down = |z: f64| refused(&job, [9.0, 9.0, z], [9.0, 9.0, 5.0]);
        assert_eq!(down(-10.004), [""; 0]);
        assert_eq!(
            down(-12.4),
            [
                "the tip goes down to Z-12.400, and with Z at the bottom it stands at Z-10.000, \
              2.40 mm too high; raise the work or chuck the bit longer"
            ]
        );
    }

    #[test]
    fn the_tip_goes_no_higher_than_the_headroom() {
        let mut job = sample::job();
        job.fixture.headroom = Some(mm(40.0));
        let up = |z: f64| refused(&job, [9.0, 9.0, 0.0], [9.0, 9.0, z]);
        assert_eq!(up(40.004), [""; 0]);
        assert!(
            up(40.01)[0].starts_with("the tip goes up to Z40.010, the headroom ends at Z40.000")
        );
    }

    /// A controller whose X and Y run from minus the travel to 0.
    #[test]
    fn positions_lie_within_the_limits_of_the_machine() {
        let mut job = sample::job();
        job.machine.limits[0] = (mm(-400.0), mm(0.0));
        job.fixture.machine_zero = Some([-300.0, 0.0, 0.0].map(mm));
        let at = |x: f64| refused(&job, [x, 9.0, -9.0], [x, 9.0, -9.0]).len();
        assert_eq!(
            [at(-100.0), at(-100.01), at(300.0), at(300.01)],
            [0, 1, 0, 1]
        );
    }

    #[test]
    fn what_stands_as_high_as_the_boards_raises_nothing() {
        let raised_by = |height: f64, lid_rise: f64| {
            let mut job = sample::job();
            job.fixture.lid_rise = mm(lid_rise);
            job.fixture.clamps = vec![clamp(height)];
            let found = refused(&job, [0.0, 0.0, 0.0], [0.0, 0.0, 95.0]);
            found[0].contains("tall clamp")
        };
        assert!(!raised_by(0.004, 0.0));
        assert!(raised_by(0.006, 0.0));
        assert!(!raised_by(2.004, 2.0));
        assert!(raised_by(2.006, 2.0));
    }
}
