//! Arcs on the printed grid.

use std::f64::consts::PI;

use super::number::Grid;

/// How far the centre may be moved, in last digits, to make the radii agree;
/// the least first.
const SEARCHED: [i64; 7] = [0, -1, 1, -2, 2, -3, 3];
/// An arc of fewer last digits radius is not worth printing as one.
const LEAST_RADIUS: f64 = 10.0;
/// Greatest change of the turn by rounding, in radians.
const TURN: f64 = 0.1;

/// An arc as wanted: start and end on the grid, centre in last digits, through
/// `sweep` radians, counter-clockwise positive.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted {
    pub(super) from: [i64; 2],
    pub(super) to: [i64; 2],
    pub(super) center: [f64; 2],
    pub(super) sweep: f64,
}

/// Centre offsets I and J for which the printed arc keeps the standard's
/// radius tolerance; none where the arc had better be chords.
pub(super) fn offsets(wanted: &Wanted, grid: Grid) -> Option<[i64; 2]> {
    let ideal = [0, 1].map(|axis| wanted.center[axis] - wanted.from[axis] as f64);
    if ideal[0].hypot(ideal[1]) < LEAST_RADIUS {
        return None;
    }
    let mut best: Option<(f64, [i64; 2])> = None;
    for di in SEARCHED {
        for dj in SEARCHED {
            let offset = [ideal[0].round() as i64 + di, ideal[1].round() as i64 + dj];
            let shift = (offset[0] as f64 - ideal[0]).hypot(offset[1] as f64 - ideal[1]);
            // The mismatch comes on top.
            if best.is_some_and(|(least, _)| shift >= least) {
                continue;
            }
            let Some(mismatch) = mismatch(wanted, offset, grid) else {
                continue;
            };
            if best.is_none_or(|(least, _)| shift + mismatch < least) {
                best = Some((shift + mismatch, offset));
            }
        }
    }
    best.map(|(_, offset)| offset)
}

/// By how much the printed radii differ, in last digits; nothing where it is too
/// much, or the arc another one.
fn mismatch(wanted: &Wanted, offset: [i64; 2], grid: Grid) -> Option<f64> {
    let start = offset.map(|value| -(value as f64));
    let end = [0, 1].map(|axis| (wanted.to[axis] - wanted.from[axis] - offset[axis]) as f64);
    let mismatch = (start[0].hypot(start[1]) - end[0].hypot(end[1])).abs();
    if mismatch * grid.step() > grid.radius_tolerance() {
        return None;
    }
    let sign = wanted.sweep.signum();
    let turned = end[1].atan2(end[0]) - start[1].atan2(start[0]);
    let turn = (sign * turned).rem_euclid(2.0 * PI);
    if (turn - wanted.sweep.abs()).abs() > TURN {
        return None;
    }
    Some(mismatch)
}

/// How many chords keep within `sagitta` of an arc.
pub(super) fn chords(radius: f64, sweep: f64, sagitta: f64) -> u32 {
    if radius <= sagitta {
        return (sweep / (PI / 2.0)).ceil().max(1.0) as u32;
    }
    let turn = 2.0 * (1.0 - sagitta / radius).acos();
    (sweep / turn).ceil().max(1.0) as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::units::Units;

    /// The standard's limits on the difference of the radii, NISTIR 6556 3.5.3:
    /// 0.002 mm and 0.0002 in.
    #[test]
    fn printed_arcs_keep_the_standards_radius_tolerance() {
        for (units, decimals, limit) in [
            (Units::Millimetre, 3, 0.002),
            (Units::Inch, 4, 0.0002 * 25.4),
        ] {
            let mut dialect = sample::machine().dialect;
            dialect.units = units;
            dialect.decimals = decimals;
            let grid = Grid::of(&dialect);
            let mut printed = 0;
            for case in 0..2000 {
                let case = f64::from(case);
                let radius = 0.3 + case * 0.0137;
                let start = case * 0.7;
                let sweep = 0.1 + (case * 0.31) % (PI - 0.1);
                let center = [20.0 + case * 0.0173, -8.0 - case * 0.0071];
                let at = |angle: f64| {
                    [
                        grid.round(center[0] + radius * angle.cos()),
                        grid.round(center[1] + radius * angle.sin()),
                    ]
                };
                let wanted = Wanted {
                    from: at(start),
                    to: at(start + sweep),
                    center: center.map(|value| value / grid.step()),
                    sweep,
                };
                let Some([i, j]) = offsets(&wanted, grid) else {
                    continue;
                };
                printed += 1;
                let first = (i as f64).hypot(j as f64);
                let last = ((wanted.to[0] - wanted.from[0] - i) as f64)
                    .hypot((wanted.to[1] - wanted.from[1] - j) as f64);
                assert!((first - last).abs() * grid.step() < limit);
                assert!((first * grid.step() - radius).abs() < 0.011);
            }
            assert!(printed > 1990, "{printed} of 2000");
        }
    }

    #[test]
    fn chords_stay_within_the_sagitta() {
        let count = chords(3.0, PI, 0.005);
        let half = PI / f64::from(count) / 2.0;
        assert!(3.0 * (1.0 - half.cos()) <= 0.005);
    }
}
