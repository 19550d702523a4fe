//! How a bit goes down while it runs to and fro.
//!
//! At the end of a run the bit passes once in each round trip, so the whole
//! drop of a round trip is one bite there. A run may also stay at one end and
//! go down there by a short way forth and back.

use super::cutter::Cutter;

/// Which end of the run, and how far below the start the bit then is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Visit {
    pub(super) far: bool,
    pub(super) depth: f64,
}

/// Where to be, one after the other, to sink by `depth` along a line of
/// `length`, starting at the near end: at the end both ends and all between
/// are at the full depth.
pub(super) fn schedule(length: f64, depth: f64, cutter: &Cutter) -> Vec<Visit> {
    let candidates = [
        ramp(length, depth, cutter),
        zigzag(length, depth, cutter, true),
        zigzag(length, depth, cutter, false),
        level(depth, cutter),
    ];
    let mut best: Option<(f64, Vec<Visit>)> = None;
    for visits in candidates.into_iter().flatten() {
        let way = way(&visits, length, cutter);
        if best.as_ref().is_none_or(|(least, _)| way < least - 1e-9) {
            best = Some((way, visits));
        }
    }
    best.map_or_else(Vec::new, |(_, visits)| visits)
}

/// Path length of a schedule.
fn way(visits: &[Visit], length: f64, cutter: &Cutter) -> f64 {
    let mut at = Visit {
        far: false,
        depth: 0.0,
    };
    let mut way = 0.0;
    for visit in visits {
        way += if visit.far == at.far {
            (visit.depth - at.depth) / cutter.slope
        } else {
            length
        };
        at = *visit;
    }
    way
}

/// As steep as the bit may, all the way; then once along the floor.
fn ramp(length: f64, depth: f64, cutter: &Cutter) -> Option<Vec<Visit>> {
    let drop = (cutter.slope * length).min(cutter.bite / 2.0);
    let runs = (depth / drop - 1e-9).ceil().max(1.0) as u32;
    let mut visits: Vec<_> = (1..=runs)
        .map(|run| Visit {
            far: run % 2 == 1,
            depth: depth * f64::from(run) / f64::from(runs),
        })
        .collect();
    visits.push(Visit {
        far: runs.is_multiple_of(2),
        depth,
    });
    Some(visits)
}

/// A full bite at each end in every round trip. What is left over is taken by
/// one trip more (`whole`), or at the ends before the first trip.
fn zigzag(length: f64, depth: f64, cutter: &Cutter, whole: bool) -> Option<Vec<Visit>> {
    let trips = depth / cutter.bite;
    let trips = if whole {
        (trips - 1e-6).ceil()
    } else {
        trips.floor()
    };
    if trips < 1.0 {
        return None;
    }
    let bite = (depth / trips).min(cutter.bite);
    let extra = depth - bite * trips;
    let lead = (bite - cutter.slope * length).max(0.0);
    if lead + extra > cutter.bite || lead > cutter.slope * length {
        return None;
    }
    let mut visits = Vec::new();
    let mut visit = |far, depth: f64| visits.push(Visit { far, depth });
    if lead + extra > 1e-9 {
        visit(false, lead + extra);
    }
    for trip in 1..=trips as u32 {
        let down = bite * f64::from(trip);
        if trip == 1 && extra > 1e-9 {
            visit(true, bite);
        }
        visit(true, (down + extra).min(depth));
        visit(false, (down + extra + lead).min(depth));
    }
    Some(visits)
}

/// Down at one end by a full bite, level to the other, and so on.
fn level(depth: f64, cutter: &Cutter) -> Option<Vec<Visit>> {
    let levels = (depth / cutter.bite - 1e-6).ceil().max(1.0) as u32;
    let mut visits = Vec::new();
    for level in 1..=levels {
        let depth = depth * f64::from(level) / f64::from(levels);
        let far = level % 2 == 0;
        visits.push(Visit { far, depth });
        visits.push(Visit { far: !far, depth });
    }
    Some(visits)
}
