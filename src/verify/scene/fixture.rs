//! What stands beside the boards: divider, fence, stops and clamps.

use crate::job::position::{Located, Position};
use crate::job::{Along, Fixture, Layout, StopEnd};

/// Something of the fixture, from below up to `top`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Solid {
    pub(crate) name: String,
    pub(crate) kind: SolidKind,
    pub(crate) min: [f64; 2],
    pub(crate) max: [f64; 2],
    pub(crate) top: f64,
}

/// Which check a solid belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum SolidKind {
    /// Divider, fence, stop.
    Fixture,
    /// A clamp.
    Clamp,
}

pub(crate) fn solids(fixture: &Fixture, position: Option<&Position>) -> Vec<Solid> {
    let half = fixture.divider.as_mm() / 2.0;
    let everywhere = (f64::NEG_INFINITY, f64::INFINITY);
    let mut solids = Vec::new();
    let mut add = |name: &str, kind: SolidKind, x: (f64, f64), y: (f64, f64), top: f64| {
        let (min, max) = match fixture.along {
            Along::X => ([x.0, y.0], [x.1, y.1]),
            Along::Y => ([0.0 - y.1, x.0], [0.0 - y.0, x.1]),
        };
        solids.push(Solid {
            name: name.to_owned(),
            kind,
            min,
            max,
            top,
        });
    };
    let divider_top = fixture.divider_height.as_mm();
    match fixture.layout {
        Layout::Book if half > 0.0 => {
            let across = (-half, half);
            add(
                "divider",
                SolidKind::Fixture,
                everywhere,
                across,
                divider_top,
            );
        }
        Layout::EndToEnd => {
            let fence_top = fixture.fence_height.as_mm();
            let outside = (f64::NEG_INFINITY, 0.0);
            add("fence", SolidKind::Fixture, everywhere, outside, fence_top);
            if half > 0.0 {
                let between = (-half, half);
                add(
                    "centre stop",
                    SolidKind::Fixture,
                    between,
                    everywhere,
                    divider_top,
                );
            }
        }
        Layout::Book | Layout::Scrap => {}
    }
    if let Some(Located::Mark(_)) = position.map(|position| position.located) {
        let (bar, block) = match fixture.stop_end {
            StopEnd::Left => (
                (f64::NEG_INFINITY, 0.0),
                (0.0, fixture.block_length.as_mm()),
            ),
            StopEnd::Right => ((0.0, f64::INFINITY), (-fixture.block_length.as_mm(), 0.0)),
        };
        let top = fixture.block_height.as_mm();
        add("stop bar", SolidKind::Clamp, bar, everywhere, top);
        add(
            "block at the mark",
            SolidKind::Clamp,
            block,
            everywhere,
            top,
        );
    }
    solids.extend(fixture.clamps.iter().map(|clamp| Solid {
        name: clamp.name.clone(),
        kind: SolidKind::Clamp,
        min: [clamp.min.x, clamp.min.y],
        max: [clamp.max.x, clamp.max.y],
        top: clamp.height.as_mm(),
    }));
    solids
}

/// X and Y of the faces that are touched to find zero: along the row the stop
/// or the stop bar, or the far stop where that is what stands; across it the divider or the fence.
pub(crate) fn touched_faces(fixture: &Fixture, position: Option<&Position>) -> [f64; 2] {
    let along = match (position.map(|position| position.located), fixture.stop_end) {
        (Some(Located::FarStop(face)), StopEnd::Left) => face.as_mm(),
        (Some(Located::FarStop(face)), StopEnd::Right) => -face.as_mm(),
        (None | Some(Located::Stop | Located::Mark(_)), _) => 0.0,
    };
    match fixture.along {
        Along::X => [along, 0.0],
        Along::Y => [0.0, along],
    }
}
