//! The moves that cut a plate, kept because its openings are judged as a whole.

use crate::replay::segment::Segment;
use crate::replay::tip::Tip;

/// Depths are good to this, in millimetres: what programs are printed to.
const PRINTED: f64 = 0.011;

/// What the programs of a plate have cut so far.
#[derive(Clone, Debug, Default)]
pub(crate) struct PlateMoves {
    moves: Vec<Swept>,
}

/// A path seen from above and how far the bit reaches beside it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Swept {
    pub(crate) segment: Segment,
    pub(crate) radius: f64,
    /// Height of a drill's point: above it the bit is as wide as it gets.
    point: f64,
}

/// A rectangle seen from above.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Window {
    pub(crate) min: [f64; 2],
    pub(crate) max: [f64; 2],
}

impl PlateMoves {
    /// Keeps a move that goes below the plate's face.
    pub(crate) fn add(&mut self, segment: &Segment, tip: Tip) {
        let ends = segment.from.into_iter().chain(segment.to);
        if segment.lowest() < 0.0 && ends.into_iter().all(f64::is_finite) {
            self.moves.push(Swept {
                segment: *segment,
                radius: tip.radius,
                point: tip.point,
            });
        }
    }

    /// The parts of all moves that cut to `depth` and whose sweep touches `window`.
    pub(crate) fn as_deep_as(&self, depth: f64, window: Window) -> Vec<Swept> {
        let deep = self.moves.iter().filter_map(|swept| {
            let floor = -depth - swept.point + PRINTED;
            let (first, last) = swept.segment.between_heights(f64::NEG_INFINITY, floor)?;
            Some(Swept {
                segment: swept.segment.part(first, last),
                ..*swept
            })
        });
        deep.filter(|swept| window.overlaps(swept.extent()))
            .collect()
    }
}

impl Swept {
    /// The least rectangle about what it sweeps.
    pub(crate) fn extent(&self) -> Window {
        let extent = self.segment.extent();
        let reach = self.radius;
        Window {
            min: [extent.min[0] - reach, extent.min[1] - reach],
            max: [extent.max[0] + reach, extent.max[1] + reach],
        }
    }

    /// How far inside what it sweeps a point lies; negative outside.
    pub(crate) fn depth_at(&self, point: [f64; 2]) -> f64 {
        self.radius - self.segment.distance(point)
    }
}

impl Window {
    /// About nothing.
    pub(crate) const NOTHING: Self = Self {
        min: [f64::INFINITY; 2],
        max: [f64::NEG_INFINITY; 2],
    };

    /// The least one about all of `others`.
    pub(crate) fn about(others: impl IntoIterator<Item = Self>) -> Self {
        others.into_iter().fold(Self::NOTHING, |all, other| Self {
            min: [0, 1].map(|axis| all.min[axis].min(other.min[axis])),
            max: [0, 1].map(|axis| all.max[axis].max(other.max[axis])),
        })
    }

    /// Whether anything lies in it.
    pub(crate) fn is_something(self) -> bool {
        self.min[0] <= self.max[0] && self.min[1] <= self.max[1]
    }

    /// The same, `by` more on every side.
    pub(crate) fn grown(self, by: f64) -> Self {
        Self {
            min: self.min.map(|value| value - by),
            max: self.max.map(|value| value + by),
        }
    }

    pub(crate) fn overlaps(self, other: Self) -> bool {
        (0..2).all(|axis| self.min[axis] <= other.max[axis] && self.max[axis] >= other.min[axis])
    }

    /// Whether all of `other` lies in it.
    pub(crate) fn holds(self, other: Self) -> bool {
        (0..2).all(|axis| self.min[axis] <= other.min[axis] && self.max[axis] >= other.max[axis])
    }

    pub(crate) fn holds_point(self, point: [f64; 2]) -> bool {
        self.holds(Self {
            min: point,
            max: point,
        })
    }

    /// Extent along an axis.
    pub(crate) fn size(self, axis: usize) -> f64 {
        self.max[axis] - self.min[axis]
    }

    /// Middle along an axis.
    pub(crate) fn middle(self, axis: usize) -> f64 {
        f64::midpoint(self.min[axis], self.max[axis])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FLAT: Tip = Tip {
        radius: 3.0,
        point: 0.0,
    };

    /// A ramp from 0 to 8 mm deep over 80 mm: deeper than 6 from 60 mm on.
    #[test]
    fn only_what_is_as_deep_counts() {
        let mut moves = PlateMoves::default();
        moves.add(&Segment::line([0.0, 0.0, 0.0], [80.0, 0.0, -8.0]), FLAT);
        moves.add(&Segment::line([0.0, 9.0, 5.0], [80.0, 9.0, 5.0]), FLAT);
        moves.add(&Segment::line([0.0, 90.0, -9.0], [80.0, 90.0, -9.0]), FLAT);
        let window = Window {
            min: [0.0, -20.0],
            max: [100.0, 20.0],
        };
        let deep = moves.as_deep_as(6.0, window);
        assert_eq!(deep.len(), 1);
        let extent = deep[0].extent();
        assert!((extent.min[0] - 57.0).abs() < 0.12, "{extent:?}");
        assert_eq!([extent.max[0], extent.max[1]], [83.0, 3.0]);
        assert_eq!(deep[0].depth_at([70.0, 1.0]), 2.0);
    }
}
