//! Plain points and outlines. No cutting, no text, no opinion.
//!
//! Within the crate coordinates are bare millimetres (`x`, `y`, `z`); across
//! the public boundary they are [`Length`]s.

use crate::units::Length;

/// A point in a plane, in millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    pub(crate) x: f64,
    pub(crate) y: f64,
}

impl Point {
    /// The point at `x`, `y`.
    pub const fn new(x: Length, y: Length) -> Self {
        Self::from_mm(x.as_mm(), y.as_mm())
    }

    pub(crate) const fn from_mm(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Along X (or u).
    pub const fn x(self) -> Length {
        Length::from_mm(self.x)
    }

    /// Along Y (or v).
    pub const fn y(self) -> Length {
        Length::from_mm(self.y)
    }

    /// The straight distance to `other`.
    pub fn distance(self, other: Self) -> Length {
        Length::from_mm(norm([self.x - other.x, self.y - other.y]))
    }
}

/// The length of a vector. `hypot` guards against sizes that no part has, and is
/// many times as slow.
pub(crate) fn norm<const N: usize>(vector: [f64; N]) -> f64 {
    vector.iter().map(|part| part * part).sum::<f64>().sqrt()
}

/// A point in space, in millimetres; Z points up, out of the wood.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Position {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) z: f64,
}

impl Position {
    /// The point at `x`, `y`, `z`.
    pub const fn new(x: Length, y: Length, z: Length) -> Self {
        Self::from_mm(x.as_mm(), y.as_mm(), z.as_mm())
    }

    pub(crate) const fn from_mm(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }

    /// Along X.
    pub const fn x(self) -> Length {
        Length::from_mm(self.x)
    }

    /// Along Y.
    pub const fn y(self) -> Length {
        Length::from_mm(self.y)
    }

    /// Along Z, up positive.
    pub const fn z(self) -> Length {
        Length::from_mm(self.z)
    }

    /// Confidence from above.
    pub const fn plan(self) -> Point {
        Point {
            x: self.x,
            y: self.y,
        }
    }
}

/// A rectangle with rounded corners, its sides along the axes. With the corner
/// radius at half the width it is an obround: a slot with round ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoundedRectangle {
    pub(crate) center: Point,
    /// Half the extent along X, in millimetres.
    pub(crate) half_x: f64,
    /// Half the extent along Y, in millimetres.
    pub(crate) half_y: f64,
    /// Corner radius in millimetres, at most the smaller half extent.
    pub(crate) corner: f64,
}

impl RoundedRectangle {
    /// An outline `length` along X and `width` along Y about `center`. A
    /// corner larger than half the smaller side is taken as that half.
    pub fn new(center: Point, length: Length, width: Length, corner: Length) -> Self {
        let (half_x, half_y) = (length.as_mm() / 2.0, width.as_mm() / 2.0);
        let corner = corner.as_mm().min(half_x).min(half_y).max(0.0);
        Self {
            center,
            half_x,
            half_y,
            corner,
        }
    }

    /// Distance from `point` to the outline, negative inside. Exact.
    pub fn signed_distance(&self, point: Point) -> Length {
        Length::from_mm(self.signed_distance_mm(point))
    }

    pub(crate) fn signed_distance_mm(&self, point: Point) -> f64 {
        let across_x = (point.x - self.center.x).abs() - (self.half_x - self.corner);
        let across_y = (point.y - self.center.y).abs() - (self.half_y - self.corner);
        // Only before a round corner does it take a root; a root is slow.
        let beyond = if across_x > 0.0 && across_y > 0.0 {
            (across_x * across_x + across_y * across_y).sqrt()
        } else {
            across_x.max(across_y)
        };
        beyond - self.corner
    }

    /// The outline everywhere `by` millimetres farther out; nothing where a
    /// negative `by` leaves nothing.
    pub(crate) fn grown(&self, by: f64) -> Option<Self> {
        let (half_x, half_y) = (self.half_x + by, self.half_y + by);
        (half_x >= 0.0 && half_y >= 0.0).then_some(Self {
            center: self.center,
            half_x,
            half_y,
            corner: (self.corner + by).max(0.0),
        })
    }

    /// The stretch of X inside the outline at height `y`, in millimetres.
    pub(crate) fn span(&self, y: f64) -> Option<(f64, f64)> {
        let across = (y - self.center.y).abs();
        if across > self.half_y {
            return None;
        }
        let beyond = (across - (self.half_y - self.corner)).max(0.0);
        let inset = self.corner
            - (self.corner * self.corner - beyond * beyond)
                .max(0.0)
                .sqrt();
        let half = self.half_x - inset;
        Some((self.center.x - half, self.center.x + half))
    }

    /// Plan area in square millimetres.
    pub fn area_mm2(&self) -> f64 {
        4.0 * self.half_x * self.half_y - (4.0 - std::f64::consts::PI) * self.corner * self.corner
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn obround() -> RoundedRectangle {
        let center = Point::from_mm(10.0, 5.0);
        RoundedRectangle::new(
            center,
            Length::from_mm(40.0),
            Length::from_mm(10.0),
            Length::from_mm(5.0),
        )
    }

    #[test]
    fn distance_is_negative_inside_and_zero_on_the_outline() {
        let outline = obround();
        assert_eq!(outline.signed_distance_mm(Point::from_mm(10.0, 5.0)), -5.0);
        assert_eq!(outline.signed_distance_mm(Point::from_mm(30.0, 5.0)), 0.0);
        assert_eq!(outline.signed_distance_mm(Point::from_mm(10.0, 11.5)), 1.5);
    }

    #[test]
    fn a_grown_outline_is_as_far_away_everywhere() {
        for by in [-6.0, -2.0, -0.5, 0.0, 1.5] {
            let Some(grown) = obround().grown(by) else {
                assert_eq!(by, -6.0);
                continue;
            };
            for (x, y) in [(28.0, 8.0), (10.0, 9.5), (31.0, 5.0), (24.9, 11.0)] {
                let at = Point::from_mm(x, y);
                let apart = obround().signed_distance_mm(at) - grown.signed_distance_mm(at);
                assert!((apart - by).abs() < 1e-12, "{by} {x} {y}");
            }
        }
    }

    #[test]
    fn a_span_ends_on_the_outline() {
        for outline in [Some(obround()), obround().grown(-2.0), obround().grown(3.0)] {
            let outline = outline.unwrap();
            for y in [5.0, 3.0, 7.5, 7.99] {
                let (first, last) = outline.span(y).unwrap();
                for x in [first, last] {
                    let apart = outline.signed_distance_mm(Point::from_mm(x, y));
                    assert!(apart.abs() < 1e-9, "{y}: {apart}");
                }
            }
        }
        assert_eq!(obround().span(10.001), None);
    }

    #[test]
    fn area_of_an_obround_is_rectangle_plus_circle() {
        let expected = 30.0 * 10.0 + std::f64::consts::PI * 25.0;
        assert!((obround().area_mm2() - expected).abs() < 1e-9);
    }
}
