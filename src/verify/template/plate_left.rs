//! `plate-left`: the plate around its openings, and what carries the router.

use crate::job::{Closing, Part, PartName};
use crate::report::{CheckId, SupportBlock};
use crate::units::Length;
use crate::units::ruler::Ruler;
use crate::verify::findings::{At, Tally};
use crate::verify::template::moves::Window;
use crate::verify::template::pose::Pose;
use crate::verify::template::traced::Traced;

/// Plate left around an opening, in millimetres (contract).
const RIM: f64 = 15.0;

/// What carries the base beyond half of it, in millimetres (contract).
const BEYOND_BASE: f64 = 20.0;

/// Of decimals and of what a program's last digit is good to, in millimetres.
const ROUNDED: f64 = 0.05;

/// Less wood missing below the base is no matter, in millimetres.
const SLIVER: f64 = 1.0;

/// Adds what there is to find, and says what must carry the router.
pub(crate) fn check(tally: &mut Tally, traced: &Traced<'_>, ruler: Ruler) -> Vec<SupportBlock> {
    let mut judgement = Judgement {
        tally,
        ruler,
        traced,
    };
    judgement.check_rims();
    judgement.check_base();
    judgement.check_batten();
    judgement.check_walls();
    let blocks = judgement.blocks();
    judgement.say(&blocks);
    blocks
}

struct Judgement<'t, 'a> {
    tally: &'t mut Tally,
    ruler: Ruler,
    traced: &'t Traced<'a>,
}

impl Judgement<'_, '_> {
    fn fail(&mut self, message: impl FnOnce() -> String) {
        self.tally.fail(CheckId::PlateLeft, At::JOB, message);
    }

    /// The plate itself, without what is sawn off beside it.
    fn plate(&self) -> Window {
        let template = self.traced.template;
        Window {
            min: [0.0; 2],
            max: [template.plate_length.as_mm(), template.plate_width.as_mm()],
        }
    }

    /// The openings as replayed, each with its step.
    fn openings(&self) -> Vec<(usize, Window)> {
        let openings = self.traced.plate.features.openings.iter();
        openings
            .zip(&self.traced.holes)
            .filter_map(|(opening, hole)| Some((opening.step, hole.as_ref()?.extent())))
            .collect()
    }

    /// Where the router's middle goes.
    fn router_goes(&self) -> Window {
        let collar = self.traced.template.collar.as_mm() / 2.0;
        let openings = self.openings().into_iter();
        Window::about(openings.map(|(_, extent)| middle_of_run(extent, collar)))
    }

    /// From where the router's middle goes to where something must still carry it.
    fn carried(&self) -> f64 {
        self.traced.template.base.as_mm() / 2.0 + BEYOND_BASE
    }

    fn check_rims(&mut self) {
        let (ruler, plate, openings) = (self.ruler, self.plate(), self.openings());
        for (step, extent) in &openings {
            let left = (0..2).map(|axis| {
                let before = extent.min[axis] - plate.min[axis];
                before.min(plate.max[axis] - extent.max[axis])
            });
            let left = left.fold(f64::INFINITY, f64::min);
            if left < RIM - ROUNDED {
                let least = [0, 1].map(|axis| extent.size(axis) + 2.0 * RIM);
                self.fail(|| {
                    format!(
                        "{} of plate left beside the opening of step {step}, at least {}; the \
                         plate must be {} by {} or more about it",
                        ruler.both(left, 1),
                        ruler.limit(RIM),
                        ruler.one(least[0], 1),
                        ruler.one(least[1], 1)
                    )
                });
            }
        }
        for (index, (step, one)) in openings.iter().enumerate() {
            for (next, other) in &openings[index + 1..] {
                let apart = (0..2).map(|axis| {
                    (one.min[axis] - other.max[axis]).max(other.min[axis] - one.max[axis])
                });
                let apart = apart.fold(f64::NEG_INFINITY, f64::max);
                if apart < RIM - ROUNDED {
                    self.fail(|| {
                        format!(
                            "{} of plate left between the openings of steps {step} and {next}, \
                             at least {}",
                            ruler.both(apart, 1),
                            ruler.limit(RIM)
                        )
                    });
                }
            }
        }
    }

    fn check_base(&mut self) {
        let (ruler, plate, goes) = (self.ruler, self.plate(), self.router_goes());
        if !goes.is_something() {
            return;
        }
        let needed = goes.grown(self.carried());
        if plate.grown(ROUNDED).holds(needed) {
            return;
        }
        let least = [0, 1].map(|axis| needed.size(axis));
        let is_large_enough = (0..2).all(|axis| least[axis] <= plate.size(axis) + ROUNDED);
        let base = self.traced.template.base.as_mm();
        self.fail(|| {
            let where_to = if is_large_enough {
                "; lay the opening nearer to the plate's middle"
            } else {
                ""
            };
            format!(
                "the plate of {} by {} does not carry a base of {} and {} more on every side; it \
                 must be {} by {} or more{where_to}",
                ruler.one(plate.size(0), 1),
                ruler.one(plate.size(1), 1),
                ruler.one(base, 1),
                ruler.limit(BEYOND_BASE),
                ruler.both(least[0], 1),
                ruler.both(least[1], 1)
            )
        });
    }

    /// Batten in the plate, on both sides of the opening, and standing out of its groove.
    fn check_batten(&mut self) {
        let (ruler, plate, template) = (self.ruler, self.plate(), self.traced.template);
        let batten = template.batten;
        if batten.height <= batten.groove {
            self.fail(|| {
                "the batten does not stand out of its groove; take a higher one".to_owned()
            });
        }
        for part in self.traced.parts() {
            let name = part.name;
            let features = &self.traced.plate.features;
            let grooves = features.grooves.iter().zip(&self.traced.grooves);
            let own: Vec<Window> = grooves
                .filter(|(groove, _)| groove.is_for_box == (name != PartName::Lid))
                .filter_map(|(_, found)| *found)
                .collect();
            let outside = own
                .iter()
                .any(|groove| !plate.grown(ROUNDED).holds(*groove));
            if outside {
                let width = ruler.one(batten.width.as_mm(), 1);
                self.fail(|| {
                    format!(
                        "the groove for the {name}'s batten of {width} runs out of the plate; \
                         take a wider plate or a narrower batten"
                    )
                });
            }
        }
    }

    /// What the job's numbers show of a router between walls. Only where its height is stated.
    fn check_walls(&mut self) {
        let (ruler, template, of) = (self.ruler, self.traced.template, self.traced.of);
        let (Some(height), Closing::Inset) = (template.router_height, of.closing) else {
            return;
        };
        let (Some(on_box), Some(lid)) = (of.part(PartName::Box), of.part(PartName::Lid)) else {
            return;
        };
        // The lid closes between the hinged wall and the one opposite.
        let (between, needed) = (lid.below, height + template.plate_thickness);
        if needed > between {
            self.fail(|| {
                format!(
                    "router and plate are {} high and the lid that closes between the walls is \
                     {} wide: the router does not fit; cut the hinged wall before the box is \
                     glued up, and leave out `template.router`'s height",
                    ruler.both(needed.as_mm(), 1),
                    ruler.one(between.as_mm(), 1)
                )
            });
        }
        let half = template.base.as_mm() / 2.0;
        let wall = on_box.below.as_mm();
        let length = on_box.length.as_mm();
        let near = self
            .footprints(on_box)
            .into_iter()
            .find(|(_, goes)| goes.min[0] - half < wall || goes.max[0] + half > length - wall);
        if let Some((hinge, goes)) = near {
            let left = goes.min[0].min(length - goes.max[0]) - wall;
            self.fail(|| {
                format!(
                    "at hinge {hinge} the router's middle comes within {} of an end wall and its \
                     base takes {}; cut the hinged wall before the box is glued up, and leave \
                     out `template.router`'s height",
                    ruler.both(left, 1),
                    ruler.one(half, 1)
                )
            });
        }
    }

    /// Where the router's middle goes at each hinge in each opening, along u and v of
    /// the part.
    fn footprints(&self, part: &Part) -> Vec<(usize, Window)> {
        let traced = self.traced;
        let Some(edge) = traced.edges_of(part.name).first().copied() else {
            return Vec::new();
        };
        let collar = traced.template.collar.as_mm() / 2.0;
        let holes = traced.holes.iter().enumerate();
        let runs = holes.filter_map(|(opening, hole)| {
            let goes = middle_of_run(hole.as_ref()?.extent(), collar);
            let line = traced.line_of(opening)?;
            let pose = Pose::new(traced.template, part.name, line, edge);
            let [one, other] = [goes.min, goes.max].map(|corner| pose.to_part(corner));
            Some(Window {
                min: [0, 1].map(|axis| one[axis].min(other[axis])),
                max: [0, 1].map(|axis| one[axis].max(other[axis])),
            })
        });
        let runs: Vec<Window> = runs.collect();
        let pockets = part.pockets.iter();
        let each = pockets.flat_map(|pocket| {
            let at = |corner: [f64; 2]| [corner[0] + pocket.center.x, corner[1]];
            let moved = runs.iter().map(move |run| Window {
                min: at(run.min),
                max: at(run.max),
            });
            moved.map(|footprint| (pocket.hinge, footprint))
        });
        each.collect()
    }

    /// The support blocks that each part needs beside it.
    fn blocks(&self) -> Vec<SupportBlock> {
        let mut blocks = Vec::new();
        for part in self.traced.parts() {
            let wood = Window {
                min: [0.0; 2],
                max: [part.length.as_mm(), part.across.as_mm()],
            };
            let needed: Vec<Window> = self
                .footprints(part)
                .into_iter()
                .map(|(_, goes)| goes.grown(self.carried()))
                .collect();
            let widest = |size: fn(&Window, &Window) -> f64| {
                let sizes = needed.iter().map(|window| size(window, &wood));
                sizes.fold(0.0, f64::max)
            };
            let openings = self.openings().into_iter();
            let longest = openings
                .map(|(_, extent)| extent.size(0))
                .fold(0.0, f64::max);
            let along = longest + 2.0 * self.carried();
            let batten = self.traced.template.batten.width.as_mm();
            let across = widest(|window, _| window.size(1));
            for (beyond, long, place) in [
                (
                    widest(|window, wood| wood.min[1] - window.min[1]) - batten,
                    along,
                    "outside, past the batten",
                ),
                (
                    widest(|window, wood| window.max[1] - wood.max[1]),
                    along,
                    "on the inner side",
                ),
                (
                    widest(|window, wood| wood.min[0] - window.min[0]),
                    across,
                    "past the stop end",
                ),
                (
                    widest(|window, wood| window.max[0] - wood.max[0]),
                    across,
                    "past the other end",
                ),
            ] {
                if beyond > SLIVER {
                    blocks.push(SupportBlock {
                        part: part.name,
                        place,
                        width: Length::from_mm(beyond),
                        length: Length::from_mm(long),
                    });
                }
            }
        }
        blocks
    }

    fn say(self, blocks: &[SupportBlock]) {
        let (plate, openings) = (self.plate(), self.openings());
        let rims = openings.iter().flat_map(|(_, extent)| {
            [0, 1].map(|axis| {
                let before = extent.min[axis] - plate.min[axis];
                before.min(plate.max[axis] - extent.max[axis])
            })
        });
        let least = rims.fold(f64::INFINITY, f64::min);
        let least = if least.is_finite() { least } else { 0.0 };
        let blocks = if blocks.is_empty() {
            "the wood carries the router everywhere".to_owned()
        } else {
            let ruler = self.ruler;
            let blocks = blocks.iter().map(|block| {
                format!(
                    "{} {} {} by {}",
                    block.part,
                    block.place,
                    ruler.one(block.width.as_mm(), 0),
                    ruler.one(block.length.as_mm(), 0)
                )
            });
            let blocks: Vec<String> = blocks.collect();
            format!("support blocks flush with the face: {}", blocks.join(", "))
        };
        let message = format!(
            "{} of plate around the openings, at least {}; {blocks}",
            self.ruler.one(least, 1),
            self.ruler.limit(RIM)
        );
        self.tally.say(CheckId::PlateLeft, message);
    }
}

/// What is left of an opening for the collar's middle.
fn middle_of_run(extent: Window, collar: f64) -> Window {
    let shrunk = extent.grown(-collar);
    // A collar too wide for its opening stands in its middle.
    Window {
        min: [0, 1].map(|axis| shrunk.min[axis].min(extent.middle(axis))),
        max: [0, 1].map(|axis| shrunk.max[axis].max(extent.middle(axis))),
    }
}
