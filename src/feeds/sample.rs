//! A rack of all kinds, for tests.

use crate::job::{Job, sample};
use crate::shop::bit::{Bit, BitKind};
use crate::units::{Angle, Length};

pub(crate) fn job() -> Job {
    let mut job = sample::job();
    let mut drill = sample::bit(BitKind::Drill, 2.5);
    drill.point_angle = Some(Angle::from_degrees(118.0));
    job.rack = vec![
        sample::bit(BitKind::UpSpiral, 6.0),
        sample::bit(BitKind::DownSpiral, 6.0),
        sample::bit(BitKind::DoubleFlute, 8.0),
        sample::bit(BitKind::DoubleFlute, 12.7),
        Bit {
            cutting_length: Length::from_mm(8.0),
            name: "short".to_owned(),
            ..sample::bit(BitKind::UpSpiral, 6.0)
        },
        drill,
    ];
    job.rack[1].wear = 0.4;
    job
}
