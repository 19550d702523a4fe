//! How the plate lies on a part when the router follows it.
//!
//! On the machine the plate lies with its underside up: X to the right, Y away,
//! Z up, out of the underside. In use it lies with the underside down on the
//! part: Z then points down into the wood, as the part's w does.
//!
//! Stand at the part's outside face and look inward; v runs away from you. The
//! stop end is on the right for the box, so u runs to the left, and (u, v, w) is
//! right-handed: left × away = down. For the lid the stop end is on the left, u
//! runs to the right, and (u, v, w) is left-handed: (u, -v, w) is the right-handed one.
//! A plate can be turned, not mirrored, so X, Y, Z goes over into a right-handed
//! frame with w third and X along the hinged edge: u, v, w for the box (X to the
//! left, Y away) and u, -v, w for the lid (X to the right, Y towards you). As
//! you stand there the one is half a turn of the other, the same face up, and a step
//! that is off the middle towards greater X is off towards greater u in both.
//!
//! Hence for a line at X₀ laid on the pocket's centre line and a face at Y₁:
//! u = uc + (x - X₀) for both, v = y - Y₁ for the box, v = Y₁ - y for the lid.

use crate::job::PartName;
use crate::job::template::Template;

/// How the plate lies on one part. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pose {
    part: PartName,
    /// X of the line that is laid on the pocket's centre line.
    line: f64,
    /// Y of the part's outside face.
    face: f64,
}

impl Pose {
    /// `edge` is Y of the groove's edge towards the opening, where the batten lies
    /// against the outside face.
    pub(crate) fn new(template: &Template, part: PartName, line: f64, edge: f64) -> Self {
        let off = template.batten_off.as_mm();
        Self {
            part,
            line,
            face: edge + across(part) * off,
        }
    }

    /// X and Y of a point that lies so far from the pocket's centre line along
    /// u and from the outside face along v.
    pub(crate) fn to_plate(self, along: f64, v: f64) -> [f64; 2] {
        [self.line + along, self.face + across(self.part) * v]
    }

    /// How far a point of the plate lies from the pocket's centre line along u,
    /// and from the outside face along v.
    pub(crate) fn to_part(self, [x, y]: [f64; 2]) -> [f64; 2] {
        [x - self.line, across(self.part) * (y - self.face)]
    }

    /// A direction of the part's (u, v) on the plate.
    pub(crate) fn turn(self, [u, v]: [f64; 2]) -> [f64; 2] {
        [u, across(self.part) * v]
    }

    /// How far the bit's middle lies from the collar's, on the plate. The router keeps
    /// the same side to the batten, so it is turned with the plate: inward stays inward.
    /// Along the edge, to the right of who looks inward, is the box's smaller u and
    /// the lid's greater: no opening makes up for that, and whoever routs is told to shift
    /// the plate at each mark by as much instead.
    pub(crate) fn bit_off(self, template: &Template) -> [f64; 2] {
        let [inward, _] = template.off_centre.map(|off| off.as_mm());
        [0.0, across(self.part) * inward]
    }
}

/// Whether v runs with Y.
fn across(part: PartName) -> f64 {
    if part == PartName::Lid { -1.0 } else { 1.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;
    use crate::verify::template::sample;

    /// Derived: with the opening's middle at (150, 100) and a pocket 8.26 mm from
    /// the face, the box's groove ends at 91.74 and the lid's begins at 108.26. A
    /// point 3 mm to the right of the middle and 2 mm further away than it lies at
    /// greater u in both, further in on the box and further out on the lid.
    #[test]
    fn half_a_turn_lays_the_plate_on_the_lid() {
        let template = sample::template();
        let at = [153.0, 102.0];
        for (part, edge, v) in [(PartName::Box, 91.74, 10.26), (PartName::Lid, 108.26, 6.26)] {
            let pose = Pose::new(&template, part, 150.0, edge);
            let found = pose.to_part(at);
            assert!((found[0] - 3.0).abs() < 1e-9 && (found[1] - v).abs() < 1e-9);
            let back = pose.to_plate(found[0], found[1]);
            assert!((0..2).all(|axis| (back[axis] - at[axis]).abs() < 1e-9));
        }
        let pose = |part| Pose::new(&template, part, 0.0, 0.0);
        assert_eq!(pose(PartName::Box).turn([0.6, 0.8]), [0.6, 0.8]);
        assert_eq!(pose(PartName::Lid).turn([0.6, 0.8]), [0.6, -0.8]);
    }

    /// Derived: across, the bit is further in on both parts; along, the plate is shifted.
    #[test]
    fn a_bit_off_its_collar_is_off_inward_on_both_parts() {
        let mut template = sample::template();
        template.off_centre = [0.3, 0.2].map(Length::from_mm);
        let off = |part| {
            let pose = Pose::new(&template, part, 0.0, 0.0);
            pose.turn(pose.bit_off(&template))
        };
        assert_eq!(off(PartName::Box), [0.0, 0.3]);
        assert_eq!(off(PartName::Lid), [0.0, 0.3]);
    }

    /// The batten lies nearer to the opening by what trial cuts found.
    #[test]
    fn what_trial_cuts_found_of_the_batten_moves_the_face() {
        let mut template = sample::template();
        template.batten_off = Length::from_mm(0.1);
        let face = |part| Pose::new(&template, part, 0.0, 50.0).to_plate(0.0, 0.0)[1];
        assert!((face(PartName::Box) - 50.1).abs() < 1e-9);
        assert!((face(PartName::Lid) - 49.9).abs() < 1e-9);
    }
}
