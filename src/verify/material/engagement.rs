//! What a move meets and takes in one board. It depends on nothing but the
//! moves before it in the same pocket.

use crate::replay::segment::Segment;
use crate::replay::tip::Tip;
use crate::verify::material::bite::Bite;
use crate::verify::material::probe::{BESIDE, Probe, Probed};
use crate::verify::scene::solid::{NUT, TOUCH};
use crate::verify::scene::{Board, Scene, Site};
use crate::verify::tool::Tool;

/// A move below a board's face.
#[derive(Debug)]
pub(crate) struct Stroke {
    /// Which board, and which of the scene's sites it lies in.
    pub(crate) board: usize,
    pub(crate) site: Option<usize>,
    pub(crate) segment: Segment,
    pub(crate) tip: Tip,
    pub(crate) probes: Vec<Probe>,
    /// What it takes of the site's wood.
    pub(crate) bite: Bite,
    /// How deep the site is cut at most with it, in millimetres.
    pub(crate) deepest: f64,
    /// From the nut's lower face down to the board's mating face, in millimetres;
    /// none where the nut is not over wood that stands as high as that.
    pub(crate) air_under_nut: Option<f64>,
}

impl Stroke {
    /// What `segment` does in a board; nothing above or beside it.
    pub(crate) fn of(
        scene: &Scene,
        board: usize,
        segment: &Segment,
        is_rapid: bool,
        tool: &Tool,
    ) -> Option<Self> {
        let tip = tool.tip;
        let place = &scene.boards[board];
        let depth = place.top - segment.lowest();
        if depth <= 1e-9 || !is_over(segment, tip.radius, place) {
            return None;
        }
        let number = scene.site_of(place, segment);
        let site = number.map(|number| &scene.sites[number]);
        let probe = |what, reach, depth| Probe {
            what,
            reach,
            depth,
            is_inside: site.is_some_and(|site| site.holds(segment, reach)),
            standing: depth,
        };
        let mut probes = Vec::new();
        let reach = tip.radius - BESIDE;
        if is_rapid && is_over(segment, reach, place) {
            probes.push(probe(Probed::Rapid, reach, depth));
        }
        let mut air_under_nut = None;
        for (number, part) in tool.turned.iter().enumerate().skip(1) {
            let (reach, depth) = (part.radius - BESIDE, depth - part.above_tip);
            if part.name == NUT && is_over(segment, reach, place) {
                // A nut that fits into the pocket is over its floor.
                let fits = site.is_some_and(|site| site.holds(segment, reach));
                air_under_nut = (!fits).then_some(-depth);
            }
            if depth > TOUCH && is_over(segment, reach, place) {
                probes.push(probe(Probed::Part(number), reach, depth));
            }
        }
        Some(Self {
            board,
            site: number,
            segment: *segment,
            tip,
            probes,
            bite: Bite::default(),
            deepest: 0.0,
            air_under_nut,
        })
    }
}

/// Whether a disc of `radius` comes over the board at all.
fn is_over(segment: &Segment, radius: f64, board: &Board) -> bool {
    let extent = segment.extent();
    (0..2).all(|axis| {
        extent.max[axis] + radius > board.min[axis] && extent.min[axis] - radius < board.max[axis]
    })
}

impl Site {
    /// Whether the bounding box of the path, grown by `reach`, lies in the site's own.
    fn holds(&self, segment: &Segment, reach: f64) -> bool {
        let extent = segment.extent();
        (0..2).all(|axis| {
            extent.min[axis] - reach >= self.min[axis] - 1e-9
                && extent.max[axis] + reach <= self.max[axis] + 1e-9
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    /// The lid of the sample: pockets of 44.1 × 10.1 mm about (45, 14.5) and (215, 14.5).
    fn scene() -> Scene {
        Scene::new(&sample::job())
    }

    #[test]
    fn a_site_holds_what_lies_in_its_rectangle() {
        let scene = scene();
        let site = &scene.sites[2];
        let holds = |min: [f64; 2], max: [f64; 2]| {
            let segment = Segment::line([min[0], max[1], 0.0], [max[0], min[1], 0.0]);
            site.holds(&segment, 3.0)
        };
        // 22.95 … 67.05 and 9.45 … 19.55.
        assert!(holds([25.95, 12.45], [64.05, 16.55]));
        assert!(!holds([25.94, 12.45], [64.05, 16.55]));
        assert!(!holds([25.95, 12.44], [64.05, 16.55]));
        assert!(!holds([25.95, 12.45], [64.06, 16.55]));
        assert!(!holds([25.95, 12.45], [64.05, 16.56]));
    }

    #[test]
    fn a_bit_is_over_a_board_once_its_side_is() {
        let scene = scene();
        let lid = &scene.boards[1];
        // The lid lies from X 0 to 260 and Y 6 to 186.
        let over = |x: f64, y: f64| is_over(&Segment::line([x, y, 0.0], [x, y, -1.0]), 3.0, lid);
        assert!(over(-2.9, 50.0) && !over(-3.1, 50.0));
        assert!(over(262.9, 50.0) && !over(263.1, 50.0));
        assert!(over(50.0, 3.1) && !over(50.0, 2.9));
        assert!(over(50.0, 188.9) && !over(50.0, 189.1));
        for (x, y) in [(-3.0, 50.0), (263.0, 50.0), (50.0, 3.0), (50.0, 189.0)] {
            assert!(!over(x, y), "{x} {y}");
        }
    }
}
