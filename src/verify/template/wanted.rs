//! The wanted outline of a step as points, each with the way out of the pocket.

use crate::job::Step;

/// Greatest spacing along a side, in millimetres: a collar of 10 mm radius sinks by
/// 0.05 mm into a dent of 2 mm, and not at all into a narrow one.
const PITCH: f64 = 1.0;

/// Directions looked at in each corner.
const DIRECTIONS: u32 = 16;

/// A point of a step's outline from the pocket's centre, along u and v.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sample {
    pub(crate) at: [f64; 2],
    pub(crate) outward: [f64; 2],
    pub(crate) is_corner: bool,
}

/// Which side of a pocket.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    SmallerU,
    GreaterU,
    Outside,
    Inside,
}

impl Side {
    pub(crate) fn opposite(self) -> Self {
        match self {
            Self::SmallerU => Self::GreaterU,
            Self::GreaterU => Self::SmallerU,
            Self::Outside => Self::Inside,
            Self::Inside => Self::Outside,
        }
    }

    /// Of a pocket too large or too small there.
    pub(crate) fn words(self, is_larger: bool) -> &'static str {
        match (self, is_larger) {
            (Self::SmallerU, true) => "too long at the end with the smaller u",
            (Self::SmallerU, false) => "too short at the end with the smaller u",
            (Self::GreaterU, true) => "too long at the end with the greater u",
            (Self::GreaterU, false) => "too short at the end with the greater u",
            (Self::Outside, true) => "too wide on the side of the outside face",
            (Self::Outside, false) => "too narrow on the side of the outside face",
            (Self::Inside, true) => "too wide on the side away from the outside face",
            (Self::Inside, false) => "too narrow on the side away from the outside face",
        }
    }
}

impl Sample {
    /// Whether it looks straight along u or v.
    pub(crate) fn is_square(&self) -> bool {
        self.outward.iter().any(|along| along.abs() > 1.0 - 1e-9)
    }

    pub(crate) fn side(&self) -> Side {
        let [u, v] = self.outward;
        match (u.abs() >= v.abs(), u < 0.0, v < 0.0) {
            (true, true, _) => Side::SmallerU,
            (true, false, _) => Side::GreaterU,
            (false, _, true) => Side::Outside,
            (false, _, false) => Side::Inside,
        }
    }
}

/// All round a step, its shift included.
pub(crate) fn samples(step: &Step) -> Vec<Sample> {
    let half = [step.length.as_mm() / 2.0, step.width.as_mm() / 2.0];
    let corner = step.corner.as_mm().clamp(0.0, half[0].min(half[1]));
    let shift = step.shift.as_mm();
    let inner = half.map(|half| half - corner);
    let mut samples = Vec::new();
    let mut add = |u: f64, v: f64, outward: [f64; 2], is_corner| {
        samples.push(Sample {
            at: [shift + u, v],
            outward,
            is_corner,
        });
    };
    for sign in [-1.0, 1.0] {
        for share in shares(inner[1]) {
            add(sign * half[0], share * inner[1], [sign, 0.0], false);
        }
        for share in shares(inner[0]) {
            add(share * inner[0], sign * half[1], [0.0, sign], false);
        }
    }
    for [u, v] in [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]] {
        for index in 0..=DIRECTIONS {
            let angle = std::f64::consts::FRAC_PI_2 * f64::from(index) / f64::from(DIRECTIONS);
            let outward = [u * angle.cos(), v * angle.sin()];
            add(
                u * inner[0] + corner * outward[0],
                v * inner[1] + corner * outward[1],
                outward,
                true,
            );
        }
    }
    samples
}

/// Shares of -1 … 1 of a half side.
fn shares(half: f64) -> impl Iterator<Item = f64> {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let pieces = (2.0 * half / PITCH).clamp(1.0, 1e4).ceil() as u32;
    (0..=pieces).map(move |index| 2.0 * f64::from(index) / f64::from(pieces) - 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Point, RoundedRectangle};
    use crate::units::Length;

    #[test]
    fn samples_lie_on_the_outline_and_point_out_of_it() {
        let mm = Length::from_mm;
        for corner in [5.0, 2.0] {
            let step = Step {
                length: mm(44.0),
                width: mm(10.0),
                corner: mm(corner),
                shift: mm(1.5),
                depth: mm(4.0),
            };
            let center = Point::from_mm(1.5, 0.0);
            let outline = RoundedRectangle::new(center, step.length, step.width, step.corner);
            let samples = samples(&step);
            for sample in &samples {
                let at = |by: f64| {
                    let [u, v] = [0, 1].map(|axis| sample.at[axis] + by * sample.outward[axis]);
                    outline.signed_distance_mm(Point::from_mm(u, v))
                };
                assert!(at(0.0).abs() < 1e-9 && (at(0.7) - 0.7).abs() < 1e-9);
            }
            for side in [Side::SmallerU, Side::GreaterU, Side::Outside, Side::Inside] {
                assert!(samples.iter().any(|sample| sample.side() == side));
            }
        }
    }
}
