//! A part that lies alone on the machine.

use crate::job::{Along, Fixture, Job, Layout, StopEnd, ZeroPoint};
use crate::shop::machine::SafeZ;
use crate::units::Length;

impl Fixture {
    /// One piece of wood on the bed: the job's fence and clamps are not there.
    pub(crate) fn of_one_alone(job: &Job) -> Self {
        let by_machine = job.machine.dialect.safe_z == SafeZ::Machine;
        Self {
            layout: Layout::Scrap,
            stop_end: StopEnd::Left,
            along: Along::X,
            divider: Length::ZERO,
            lid_rise: Length::ZERO,
            divider_height: Length::ZERO,
            fence_height: Length::ZERO,
            box_base: None,
            lid_base: None,
            zero: ZeroPoint::Shared,
            machine_zero: job.fixture.machine_zero.filter(|_| by_machine),
            headroom: None,
            park: None,
            clamps: Vec::new(),
            positions: Vec::new(),
            block_length: Length::ZERO,
            block_height: Length::ZERO,
        }
    }
}
