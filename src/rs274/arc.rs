//! Arcs in centre format (3.5.3.2).

use std::f64::consts::TAU;

use super::problem::Problem;
use super::tolerance::allowed_radius_error;
use crate::units::Units;

/// Points nearer than this are one point; far below any printed digit.
const SAME_POINT: f64 = 1e-9;

/// Centre and signed sweep, counter-clockwise positive, of an arc in the XY
/// plane. An end at the start is a full circle.
pub(super) fn through(
    start: [f64; 2],
    end: [f64; 2],
    offset: [f64; 2],
    clockwise: bool,
    units: Units,
) -> Result<([f64; 2], f64), Problem> {
    let center = [start[0] + offset[0], start[1] + offset[1]];
    let spoke = [end[0] - center[0], end[1] - center[1]];
    let radius = norm(offset);
    if radius < SAME_POINT {
        return Err(Problem::ArcRadiusZero);
    }
    check_radius(radius, norm(spoke), units)?;
    let same_point = norm([end[0] - start[0], end[1] - start[1]]) < SAME_POINT;
    // From the spoke at the start, the offset turned round, to that at the end.
    let across = offset[1] * spoke[0] - offset[0] * spoke[1];
    let along = -offset[0] * spoke[0] - offset[1] * spoke[1];
    let turn = if clockwise { -across } else { across }.atan2(along);
    let sweep = match turn {
        _ if same_point => TAU,
        turn if turn > 0.0 => turn,
        turn => turn + TAU,
    };
    Ok((center, if clockwise { -sweep } else { sweep }))
}

fn check_radius(start: f64, end: f64, units: Units) -> Result<(), Problem> {
    let scale = units.one().as_mm();
    if (start - end).abs() <= allowed_radius_error(units) * scale + SAME_POINT {
        return Ok(());
    }
    Err(Problem::ArcRadius {
        start: start / scale,
        end: end / scale,
        units,
    })
}

/// Coordinates have limits, so their squares neither overflow nor vanish.
fn norm([x, y]: [f64; 2]) -> f64 {
    (x * x + y * y).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM: Units = Units::Millimetre;

    // Hand-computed: quarter circles about the origin, radius 5.
    #[test]
    fn a_quarter_turn_is_short_one_way_and_long_the_other() {
        let (start, end, offset) = ([5.0, 0.0], [0.0, 5.0], [-5.0, 0.0]);
        let (center, sweep) = through(start, end, offset, false, MM).unwrap();
        assert_eq!(center, [0.0, 0.0]);
        assert!((sweep - TAU / 4.0).abs() < 1e-12);
        let (_, sweep) = through(start, end, offset, true, MM).unwrap();
        assert!((sweep + TAU * 0.75).abs() < 1e-12);
    }

    // NISTIR 6556, 3.5.3.2, its example; the sweep is worked out by hand.
    #[test]
    fn a_slanting_arc_has_its_centre_and_sweep() {
        let (center, sweep) = through([7.0, 7.0], [10.0, 16.0], [3.0, 4.0], true, MM).unwrap();
        assert_eq!(center, [10.0, 11.0]);
        assert!((sweep.to_degrees() + 143.130).abs() < 5e-4);
    }

    #[test]
    fn half_circles_about_the_origin_are_half_turns() {
        for (start, end) in [([5.0, 0.0], [-5.0, 0.0]), ([0.0, 5.0], [0.0, -5.0])] {
            let offset = [-start[0], -start[1]];
            let (_, sweep) = through(start, end, offset, false, MM).unwrap();
            assert!((sweep - TAU / 2.0).abs() < 1e-12);
        }
    }

    // NISTIR 6556, 3.5.3.2: an end at the start is a full circle.
    #[test]
    fn an_end_at_the_start_is_one_whole_turn() {
        let around = |clockwise| through([1.0, 2.0], [1.0, 2.0], [3.0, 0.0], clockwise, MM);
        assert_eq!(around(false), Ok(([4.0, 2.0], TAU)));
        assert_eq!(around(true), Ok(([4.0, 2.0], -TAU)));
    }

    // The centre of neither lies on a double, so that the spoke at the end
    // differs from that at the start by some rounding, one way and the other.
    #[test]
    fn rounding_does_not_make_a_whole_turn_vanish() {
        for (start, offset) in [([-26.2, 4.4], [-2.3, 1.9]), ([12.6, -43.4], [-8.8, 6.1])] {
            for clockwise in [false, true] {
                let (_, sweep) = through(start, start, offset, clockwise, MM).unwrap();
                assert_eq!(sweep.abs(), TAU, "{start:?} {clockwise}");
            }
        }
    }

    #[test]
    fn points_as_far_apart_as_the_limit_are_two() {
        let offset = [SAME_POINT, 0.0];
        assert!(through([1.0, 1.0], [1.0, 1.0], offset, true, MM).is_ok());
        let (_, sweep) = through([0.0, 0.0], [0.0, SAME_POINT], [5.0, 0.0], true, MM).unwrap();
        assert!(sweep.abs() < 1e-9);
    }

    #[test]
    fn an_end_just_behind_the_start_is_nearly_a_whole_turn() {
        let behind = [5.0 * (-0.001f64).cos(), 5.0 * (-0.001f64).sin()];
        let (_, sweep) = through([5.0, 0.0], behind, [-5.0, 0.0], false, MM).unwrap();
        assert!((sweep - (TAU - 0.001)).abs() < 1e-9);
        let (_, sweep) = through([5.0, 0.0], behind, [-5.0, 0.0], true, MM).unwrap();
        assert!((sweep + 0.001).abs() < 1e-9);
    }

    // NISTIR 6556, 3.5.3: 0.002 mm, 0.0002 in.
    #[test]
    fn radii_may_differ_by_the_standards_limit_and_no_more() {
        let to = |x, units| through([0.0, 0.0], [x, 0.0], [5.0, 0.0], true, units).map(|_| ());
        assert_eq!(to(10.002, MM), Ok(()));
        assert_eq!(to(9.998, MM), Ok(()));
        assert!(to(10.0021, MM).is_err());
        assert!(to(9.9979, MM).is_err());
        assert_eq!(to(10.0 + 0.0002 * 25.4, Units::Inch), Ok(()));
        let Err(Problem::ArcRadius { start, end, units }) = to(10.0 + 0.0003 * 25.4, Units::Inch)
        else {
            panic!("0.0003 in is past the limit");
        };
        assert!((start - 5.0 / 25.4).abs() < 1e-12);
        assert!((end - start - 0.0003).abs() < 1e-9);
        assert_eq!(units, Units::Inch);
    }

    // NISTIR 6556, 3.5.3: an end that differs from the start in radius alone is
    // a whole turn too, as controllers take it (common practice, no source).
    #[test]
    fn an_end_on_the_same_spoke_is_one_whole_turn() {
        let (_, sweep) = through([0.0, 0.0], [0.001, 0.0], [5.0, 0.0], false, MM).unwrap();
        assert_eq!(sweep, TAU);
    }

    #[test]
    fn a_centre_at_the_start_is_refused() {
        let arc = through([1.0, 1.0], [1.0, 1.0], [0.0, 0.0], true, MM);
        assert_eq!(arc, Err(Problem::ArcRadiusZero));
        assert!(through([0.0, 0.0], [0.002, 0.0], [0.001, 0.0], true, MM).is_ok());
    }
}
