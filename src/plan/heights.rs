//! From where to where down a step is cut.

/// Top and floor of the wood to take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Heights {
    pub(super) top: f64,
    pub(super) floor: f64,
}

impl Heights {
    pub(super) fn depth(self) -> f64 {
        self.top - self.floor
    }

    /// In slices no higher than the cutting edge is long.
    pub(super) fn slices(self, edge: f64) -> impl Iterator<Item = Self> {
        let count = (self.depth() / edge - 1e-9).ceil().max(1.0);
        (0..count as u32).map(move |slice| {
            let at = |slice: f64| self.top - self.depth() * slice / count;
            let floor = if f64::from(slice) + 1.0 < count {
                at(f64::from(slice) + 1.0)
            } else {
                self.floor
            };
            Self {
                top: at(f64::from(slice)),
                floor,
            }
        })
    }
}
