//! Scoring laps and the least time a program could take.

use crate::geometry::Point;
use crate::rs274::event::Move;
use crate::verify::material::engagement::Stroke;
use crate::verify::program_state::Lap;
use crate::verify::scene::Depth;
use crate::verify::verifier::Verifier;

/// A scoring lap is no deeper than this, nor than a quarter of the stepdown, in millimetres.
const SCORING_DEPTH: f64 = 0.5;

/// Distance from the final contour that still counts as on it, in millimetres.
const ON_CONTOUR: f64 = 0.02;

/// Share of the contour that makes a lap.
const WHOLE_LAP: f64 = 0.9;

/// A pocket this much wider than the bit is a slot (contract), in millimetres.
const SLOT: f64 = 0.02;

impl Verifier<'_> {
    /// Adds a feed move to the lap it belongs to, if it is one.
    pub(crate) fn follow_lap(&mut self, motion: &Move, stroke: &Stroke) {
        let segment = &stroke.segment;
        let site = stroke.site;
        let Some(number) = site.filter(|&number| self.is_scoring(stroke, number)) else {
            self.close_lap();
            return;
        };
        if self.run.lap.site != Some(number) {
            self.close_lap();
            self.run.lap.site = Some(number);
        }
        let length = segment.length();
        let feed = motion.feed.as_mm_per_minute();
        if feed > 0.0 {
            self.run.lap.seconds += length / feed * 60.0;
        }
        self.run.lap.length += segment.level_length();
    }

    /// Whether a move goes along the rim's final contour, shallow, before any deeper cut.
    fn is_scoring(&self, stroke: &Stroke, number: usize) -> bool {
        let (Some(shop), Some(tool)) = (&self.shop, &self.run.tool) else {
            return false;
        };
        let site = &shop.scene.sites[number];
        let (Some(rim), 0) = (site.allowed_steps().first(), site.already) else {
            return false;
        };
        let stepdown = tool.limits[site.board].stepdown.as_mm();
        let deepest = SCORING_DEPTH.min(stepdown / 4.0) + 0.01;
        stroke.deepest <= deepest
            && [0.0, 0.5, 1.0].iter().all(|&t| {
                let [x, y, _] = stroke.segment.at(t);
                let beyond = rim.outline.signed_distance_mm(Point::from_mm(x, y));
                (beyond + stroke.tip.radius).abs() <= ON_CONTOUR
            })
    }

    /// Ends the lap; a whole one is scoring, less is ordinary cutting.
    pub(crate) fn close_lap(&mut self) {
        let Lap {
            site,
            seconds,
            length,
        } = std::mem::take(&mut self.run.lap);
        let (Some(number), Some(shop)) = (site, &self.shop) else {
            return;
        };
        let Some(rim) = shop.scene.sites[number].steps.first() else {
            return;
        };
        if length >= WHOLE_LAP * contour(rim, self.run.radius()) {
            self.run.scoring_seconds += seconds;
        }
    }

    /// The contract's bound: for each step the greater of its own volume over
    /// diameter and stepdown and of its own depth over the ramp limit, and the
    /// finishing contour or one traverse of a slot, all at the chosen feed and with the
    /// bit that cut there, whichever has come after it.
    pub(crate) fn bound_seconds(&self) -> f64 {
        let Some(shop) = &self.shop else {
            return 0.0;
        };
        let stepdown = shop.settings.limits.stepdown.as_mm();
        let slope = shop.settings.limits.ramp.as_radians().tan();
        let feed = shop.settings.feed.as_mm_per_minute();
        if feed <= 0.0 || stepdown <= 0.0 || slope <= 0.0 {
            return 0.0;
        }
        let mut path = 0.0;
        for (&number, radius) in &self.run.cut_in {
            let diameter = 2.0 * radius;
            let site = &shop.scene.sites[number];
            let steps = site.steps.iter().enumerate().take(site.allowed);
            for (index, step) in steps.skip(site.already) {
                let floor_above = index
                    .checked_sub(1)
                    .map_or(0.0, |above| site.steps[above].depth);
                let own_depth = step.depth - floor_above;
                let own_volume = step.outline.area_mm2() * own_depth;
                path += (own_volume / (diameter * stepdown)).max(own_depth / slope);
                path += contour(step, diameter / 2.0);
            }
            if let Some(kerf) = site.required_kerf() {
                let way = kerf.way_round(diameter / 2.0);
                let own_volume = way * diameter * kerf.depth;
                path += (own_volume / (diameter * stepdown)).max(kerf.depth / slope) + way;
            }
        }
        path / feed * 60.0
    }
}

/// Path of the bit's centre along a step's finishing contour; in a slot one traverse.
fn contour(step: &Depth, radius: f64) -> f64 {
    let outline = &step.outline;
    let (half_x, half_y) = (outline.half_x - radius, outline.half_y - radius);
    if 2.0 * half_x.min(half_y) <= SLOT {
        return 2.0 * half_x.max(half_y).max(0.0);
    }
    let corner = (outline.corner - radius).max(0.0);
    4.0 * (half_x + half_y) - (8.0 - 2.0 * std::f64::consts::PI) * corner
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::RoundedRectangle;

    fn step(half_x: f64, half_y: f64, corner: f64) -> Depth {
        Depth {
            outline: RoundedRectangle {
                center: Point::from_mm(0.0, 0.0),
                half_x,
                half_y,
                corner,
            },
            depth: 4.0,
        }
    }

    /// An obround of 44 × 10 and a bit of 6: two straights of 34 and a circle of radius 2.
    #[test]
    fn a_contour_is_straights_and_rounds_and_a_slot_one_traverse() {
        let around = contour(&step(22.0, 5.0, 5.0), 3.0);
        assert!((around - (68.0 + 4.0 * std::f64::consts::PI)).abs() < 1e-9);
        assert_eq!(contour(&step(22.0, 3.005, 3.0), 3.0), 38.0);
        // A rectangle of 20 × 12 with corners as sharp as the bit: 14 and 6 twice.
        assert_eq!(contour(&step(10.0, 6.0, 3.0), 3.0), 40.0);
    }
}
