//! How a part's own (u, v) lies in shared program coordinates, and where the
//! machine counts from.

use crate::job::position::{Located, Position};
use crate::job::{Along, Fixture, Layout, Part, PartName, StopEnd, ZeroPoint};
use crate::rs274::event::Frames;

/// How a part's (u, v) lies in X and Y.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct PartFrame {
    /// Where u = v = 0 lies along the row of hinges and across it, before the
    /// layout's quarter turn.
    origin: [f64; 2],
    /// Whether u counts down along the row, and v across it.
    turned: [bool; 2],
    /// Whether the row lies along Y: a quarter turn counter-clockwise.
    quarter: bool,
}

impl PartFrame {
    /// The contract's table: book (opened flat about the divider, stop ends
    /// on the same side) and end to end (outside faces on one fence, stop
    /// ends at the centre stop). A stop at the right-hand end is its mirror
    /// image: every X changes its sign.
    pub(crate) fn new(fixture: &Fixture, part: PartName) -> Self {
        let half = fixture.divider.as_mm() / 2.0;
        let (mut origin, mut turned) = match (fixture.layout, part) {
            (Layout::Book, PartName::Box) => ([0.0, -half], [false, true]),
            (Layout::Book, _) => ([0.0, half], [false, false]),
            (Layout::EndToEnd, PartName::Box) => ([-half, 0.0], [true, false]),
            (Layout::EndToEnd, _) => ([half, 0.0], [false, false]),
            (Layout::Scrap, _) => ([0.0, 0.0], [false, false]),
        };
        if fixture.stop_end == StopEnd::Right && fixture.layout != Layout::Scrap {
            origin[0] = 0.0 - origin[0];
            turned[0] = !turned[0];
        }
        Self {
            origin,
            turned,
            quarter: fixture.along == Along::Y,
        }
    }

    /// The same part in a position: what lies at zero along the row is there
    /// no longer its stop end. Further up u every point lies as far from it as before.
    pub(crate) fn of(fixture: &Fixture, part: &Part, position: Option<&Position>) -> Self {
        let mut frame = Self::new(fixture, part.name);
        let at_zero = match position.map(|position| position.located) {
            None | Some(Located::Stop) => return frame,
            Some(Located::Mark(mark)) => mark.as_mm(),
            // The far end is at the face, so the stop end is a length before it.
            Some(Located::FarStop(face)) => part.length.as_mm() - face.as_mm(),
        };
        frame.origin[0] -= frame.turn(0, at_zero);
        frame
    }

    /// The axis of the machine that the row of hinges lies along: 0 for X, 1 for Y.
    pub(crate) fn row(self) -> usize {
        usize::from(self.quarter)
    }

    /// What lies so far along the row and across it, as extents along X and Y,
    /// and the other way round.
    pub(crate) fn swap<T>(self, [along, across]: [T; 2]) -> [T; 2] {
        if self.quarter {
            [across, along]
        } else {
            [along, across]
        }
    }

    fn turn(self, axis: usize, value: f64) -> f64 {
        if self.turned[axis] { -value } else { value }
    }

    /// X and Y of a point of the part.
    pub(crate) fn to_program(self, u: f64, v: f64) -> [f64; 2] {
        let along = self.origin[0] + self.turn(0, u);
        let across = self.origin[1] + self.turn(1, v);
        if self.quarter {
            [0.0 - across, along]
        } else {
            [along, across]
        }
    }

    /// u and v of a point of the program.
    pub(crate) fn to_part(self, x: f64, y: f64) -> [f64; 2] {
        let [along, across] = if self.quarter { [y, -x] } else { [x, y] };
        [
            self.turn(0, along - self.origin[0]),
            self.turn(1, across - self.origin[1]),
        ]
    }
}

/// Origins of the work offsets, the origin of G54, and the offsets in use.
pub(crate) fn frames(fixture: &Fixture) -> (Frames, [f64; 3], &'static [u8]) {
    let origin = |part, z| {
        let [x, y] = PartFrame::new(fixture, part).to_program(0.0, 0.0);
        [x, y, z]
    };
    let mut work = [[0.0; 3]; 6];
    let offsets: &[u8] = match fixture.zero {
        ZeroPoint::Shared => &[54],
        ZeroPoint::Each => {
            work[0] = origin(PartName::Box, 0.0);
            work[1] = origin(PartName::Lid, fixture.lid_rise.as_mm());
            &[54, 55]
        }
    };
    let machine = fixture
        .machine_zero
        .map(|zero| [0, 1, 2].map(|axis| work[0][axis] - zero[axis].as_mm()));
    (Frames { work, machine }, work[0], offsets)
}
