//! `nut-clearance` and `clamp-clearance`: what bit, shank, nut and nose may not touch.

use crate::geometry::norm;
use crate::replay::segment::Segment;
use crate::shop::bit::Bit;
use crate::shop::machine::Machine;
use crate::verify::scene::fixture::Solid;

/// Deeper contact than this is a touch, in millimetres: two faces that are
/// meant to meet differ by the rounding of coordinates.
pub(crate) const TOUCH: f64 = 0.005;

/// What the nut is called.
pub(crate) const NUT: &str = "nut";

/// One upright cylinder of what turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Turned {
    pub(crate) name: &'static str,
    pub(crate) radius: f64,
    /// Its lower face above the tip.
    pub(crate) above_tip: f64,
}

/// Bit, shank, nut and nose, from below.
pub(crate) fn turned(bit: &Bit, machine: &Machine) -> Vec<Turned> {
    let part = |name, diameter: f64, above_tip| Turned {
        name,
        radius: diameter / 2.0,
        above_tip,
    };
    let stickout = bit.stickout.as_mm();
    let mut parts = vec![
        part("bit", bit.cutting_diameter().as_mm(), 0.0),
        part("shank", bit.shank.as_mm(), bit.cutting_length.as_mm()),
        part(NUT, machine.nut.diameter.as_mm(), stickout),
    ];
    if let Some(nose) = machine.nose_diameter {
        let above = stickout + machine.nut.length.as_mm();
        parts.push(part("spindle nose", nose.as_mm(), above));
    }
    parts
}

/// How far a cylinder comes into a solid: sideways or down, whichever is less.
/// A rapid is taken with its whole bounding box.
pub(crate) fn overlap(segment: &Segment, is_rapid: bool, part: &Turned, solid: &Solid) -> f64 {
    let sunk = solid.top - (segment.lowest() + part.above_tip);
    if sunk <= TOUCH {
        return 0.0;
    }
    let extent = segment.extent();
    let (min, max) = (
        [extent.min[0], extent.min[1]],
        [extent.max[0], extent.max[1]],
    );
    let over_box = part.radius - box_distance(min, max, solid);
    if over_box <= TOUCH {
        return 0.0;
    }
    if is_rapid || (min == max) {
        return over_box.min(sunk);
    }
    let below = segment.between_heights(f64::NEG_INFINITY, solid.top - part.above_tip - TOUCH);
    below.map_or(0.0, |(first, last)| {
        let nearest = segment
            .part(first, last)
            .chords(TOUCH / 2.0)
            .map(|chord| line_distance(&chord, solid))
            .fold(f64::INFINITY, f64::min);
        (part.radius - nearest).max(0.0).min(sunk)
    })
}

fn box_distance(min: [f64; 2], max: [f64; 2], solid: &Solid) -> f64 {
    let apart = |axis: usize| {
        (solid.min[axis] - max[axis])
            .max(min[axis] - solid.max[axis])
            .max(0.0)
    };
    norm([apart(0), apart(1)])
}

/// The least distance of a straight move from a solid, seen from above. The
/// distance to a convex shape is convex along a line, so thirds close in on it.
fn line_distance(segment: &Segment, solid: &Solid) -> f64 {
    let at = |t: f64| {
        let point = segment.at(t);
        let plan = [point[0], point[1]];
        box_distance(plan, plan, solid)
    };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let third = (high - low) / 3.0;
        if at(low + third) <= at(high - third) {
            high -= third;
        } else {
            low += third;
        }
    }
    at(f64::midpoint(low, high)).min(at(0.0)).min(at(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::shop::bit::BitKind;
    use crate::verify::scene::SolidKind;

    fn clamp() -> Solid {
        Solid {
            name: "left clamp".to_owned(),
            kind: SolidKind::Clamp,
            min: [0.0, 0.0],
            max: [20.0, 40.0],
            top: 25.0,
        }
    }

    const NUT: Turned = Turned {
        name: "nut",
        radius: 10.0,
        above_tip: 30.0,
    };

    #[test]
    fn parts_stand_on_each_other_from_the_tip_up() {
        let bit = sample::bit(BitKind::UpSpiral, 6.0);
        let parts = turned(&bit, &sample::machine());
        let found: Vec<(&str, f64, f64)> = parts
            .iter()
            .map(|part| (part.name, part.radius, part.above_tip))
            .collect();
        assert_eq!(
            found,
            [
                ("bit", 3.0, 0.0),
                ("shank", 3.0, 22.0),
                ("nut", 10.0, 30.0),
                ("spindle nose", 32.5, 60.0)
            ]
        );
    }

    #[test]
    fn a_nut_beside_or_above_a_clamp_is_free() {
        let beside = Segment::line([31.0, 0.0, -10.0], [31.0, 40.0, -10.0]);
        assert_eq!(overlap(&beside, false, &NUT, &clamp()), 0.0);
        let above = Segment::line([10.0, 0.0, -4.9], [10.0, 40.0, -4.9]);
        assert_eq!(overlap(&above, false, &NUT, &clamp()), 0.0);
    }

    #[test]
    fn overlap_is_the_lesser_of_sideways_and_down() {
        let beside = Segment::line([29.0, -60.0, -10.0], [29.0, 60.0, -10.0]);
        assert!((overlap(&beside, false, &NUT, &clamp()) - 1.0).abs() < 1e-6);
        let sunk = Segment::line([10.0, -60.0, -5.5], [10.0, 60.0, -5.5]);
        assert!((overlap(&sunk, false, &NUT, &clamp()) - 0.5).abs() < 1e-6);
    }

    #[test]
    fn a_slanting_move_counts_only_while_it_is_low() {
        // Above the clamp it is still high; it is low only beyond x = 31.
        let segment = Segment::line([0.0, 20.0, 20.0], [62.0, 20.0, -30.0]);
        assert_eq!(overlap(&segment, false, &NUT, &clamp()), 0.0);
        // The same as a rapid may go down first.
        assert!(overlap(&segment, true, &NUT, &clamp()) > 9.0);
    }

    #[test]
    fn a_diagonal_past_a_corner_keeps_its_distance() {
        // The line x + y = 75 passes the corner (20, 40) at 15 / √2 = 10.6.
        let segment = Segment::line([75.0, 0.0, -10.0], [0.0, 75.0, -10.0]);
        assert_eq!(overlap(&segment, false, &NUT, &clamp()), 0.0);
        // x + y = 73 at 13 / √2 = 9.19.
        let segment = Segment::line([73.0, 0.0, -10.0], [0.0, 73.0, -10.0]);
        let expected = 10.0 - 13.0 / 2.0_f64.sqrt();
        assert!((overlap(&segment, false, &NUT, &clamp()) - expected).abs() < 1e-6);
    }

    /// A full circle of 20 mm about (45, 20) comes to X 25, 5 mm from the
    /// clamp, wherever on it the move begins: to half of what is a touch.
    #[test]
    fn an_arc_comes_as_near_as_its_crest() {
        for step in 0..101 {
            let start = f64::from(step) / 101.0 * std::f64::consts::TAU;
            let end = [45.0 + 20.0 * start.cos(), 20.0 + 20.0 * start.sin(), -10.0];
            let segment = Segment::arc(end, end, [45.0, 20.0], std::f64::consts::TAU);
            let found = overlap(&segment, false, &NUT, &clamp());
            assert!((found - 5.0).abs() < TOUCH / 2.0 + 1e-9, "{start}: {found}");
        }
    }

    /// The nut's lower face 5 thousandths into the top, or its side into a side.
    #[test]
    fn less_than_a_touch_is_nothing() {
        let at = |x: f64, z: f64| {
            overlap(
                &Segment::line([x, 0.0, z], [x, 40.0, z]),
                false,
                &NUT,
                &clamp(),
            )
        };
        assert_eq!(at(10.0, -5.004), 0.0);
        assert!((at(10.0, -5.006) - 0.006).abs() < 1e-9);
        assert_eq!(at(29.996, -10.0), 0.0);
        assert!((at(29.994, -10.0) - 0.006).abs() < 1e-9);
        // Straight down beside it.
        let down = |x: f64| {
            overlap(
                &Segment::line([x, 20.0, 9.0], [x, 20.0, -9.0]),
                false,
                &NUT,
                &clamp(),
            )
        };
        assert_eq!(down(29.5), 0.5);
        assert_eq!(down(29.996), 0.0);
    }

    /// Away from the clamp and down 1 in 5: it is a touch deep at Z -5.005, X 25.025.
    #[test]
    fn a_slanting_move_is_nearest_where_it_comes_a_touch_below_the_top() {
        let segment = Segment::line([20.0, 20.0, -4.0], [60.0, 20.0, -12.0]);
        let found = overlap(&segment, false, &NUT, &clamp());
        assert!((found - 4.975).abs() < 1e-6, "{found}");
    }
}
