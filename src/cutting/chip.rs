//! Kinematics and chip geometry.

use std::f64::consts::PI;

use crate::units::{Angle, Feed, Length, SpindleSpeed};

/// Angle of the turn over which a tooth is in the wood, `share` of the
/// diameter wide: cos = 1 − 2 share. A full slot is half a turn.
pub fn engagement(share: f64) -> Angle {
    Angle::from_radians((1.0 - 2.0 * share.clamp(0.0, 1.0)).acos())
}

/// Mean chip thickness over that angle. In a slot 2/pi of the chip load.
pub fn mean_chip(chip_load: Length, share: f64) -> Length {
    let share = share.clamp(0.0, 1.0);
    if share <= 0.0 {
        return Length::ZERO;
    }
    chip_load * (2.0 * share / engagement(share).as_radians())
}

/// Greatest chip thickness over that angle; from half the diameter up it is the chip load itself.
pub fn greatest_chip(chip_load: Length, share: f64) -> Length {
    let share = share.clamp(0.0, 1.0);
    if share >= 0.5 {
        return chip_load;
    }
    chip_load * (2.0 * (share * (1.0 - share)).sqrt())
}

/// Feed per tooth.
pub fn chip_load(feed: Feed, speed: SpindleSpeed, flutes: u32) -> Length {
    let teeth = speed.as_rpm() * f64::from(flutes.max(1));
    if teeth <= 0.0 {
        return Length::ZERO;
    }
    Length::from_mm(feed.as_mm_per_minute() / teeth)
}

/// Feed that gives a chip load.
pub fn feed(chip_load: Length, speed: SpindleSpeed, flutes: u32) -> Feed {
    Feed::from_mm_per_minute(chip_load.as_mm() * speed.as_rpm() * f64::from(flutes.max(1)))
}

/// Speed of the edge in metres a second.
pub fn surface_speed(diameter: Length, speed: SpindleSpeed) -> f64 {
    PI * diameter.as_mm() * speed.as_rpm() / 60_000.0
}

/// Spindle speed at which the edge runs at `metres_a_second`.
pub fn speed_at(metres_a_second: f64, diameter: Length) -> SpindleSpeed {
    SpindleSpeed::from_rpm(60_000.0 * metres_a_second / (PI * diameter.as_mm()))
}

/// Wood removed, in cubic millimetres a minute.
pub fn removal_rate(width: Length, bite: Length, feed: Feed) -> f64 {
    width.as_mm() * bite.as_mm() * feed.as_mm_per_minute()
}

/// Power in watts at a specific cutting force in newtons per square
/// millimetre: force × volume.
pub fn power(specific_force: f64, removal_rate: f64) -> f64 {
    specific_force * removal_rate / 60_000.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slot_is_not_thinned() {
        let chip = Length::from_mm(0.1);
        assert!((engagement(1.0).as_degrees() - 180.0).abs() < 1e-9);
        assert_eq!(greatest_chip(chip, 1.0), chip);
        assert!((mean_chip(chip, 1.0).as_mm() - 0.2 / PI).abs() < 1e-12);
        // A half and a whole slot have the same mean chip.
        assert!((mean_chip(chip, 0.5).as_mm() - 0.2 / PI).abs() < 1e-12);
    }

    #[test]
    fn chip_load_and_feed_are_each_others_inverse() {
        let speed = SpindleSpeed::from_rpm(18_000.0);
        let chip = Length::from_mm(0.07);
        let back = chip_load(feed(chip, speed, 2), speed, 2);
        assert!((back.as_mm() - 0.07).abs() < 1e-12);
        assert_eq!(
            chip_load(Feed::from_mm_per_minute(1000.0), SpindleSpeed::ZERO, 2),
            Length::ZERO
        );
    }
}
