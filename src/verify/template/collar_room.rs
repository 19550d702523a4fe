//! `collar-room`: the bit in the collar, the collar in the openings and above the wood.

use crate::job::Step;
use crate::report::CheckId;
use crate::units::ruler::Ruler;
use crate::verify::findings::{At, Tally};
use crate::verify::template::traced::Traced;

/// A bore is wider than the bit by so much, in millimetres (common practice, no source).
const IN_BORE: f64 = 3.0;

/// Where the bore is unknown the outside is, in millimetres (contract).
const IN_OUTSIDE: f64 = 6.0;

/// What the collar stays above wood, in millimetres (contract).
const ABOVE: f64 = 1.0;

/// Of decimals and of what a program's last digit is good to, in millimetres.
const ROUNDED: f64 = 0.005;

/// A pocket as wide as the bit within this counts as equally wide, in millimetres (contract).
const EQUAL: f64 = 0.02;

/// Adds what there is to find.
pub(crate) fn check(tally: &mut Tally, traced: &Traced<'_>, ruler: Ruler) {
    let mut judgement = Judgement {
        tally,
        ruler,
        traced,
    };
    judgement.check_bore();
    judgement.check_openings();
    judgement.check_reach();
    judgement.check_steps();
    judgement.check_length();
    judgement.say();
}

struct Judgement<'t, 'a> {
    tally: &'t mut Tally,
    ruler: Ruler,
    traced: &'t Traced<'a>,
}

impl Judgement<'_, '_> {
    fn fail(&mut self, message: impl FnOnce() -> String) {
        self.tally.fail(CheckId::CollarRoom, At::JOB, message);
    }

    fn check_bore(&mut self) {
        let (ruler, template) = (self.ruler, self.traced.template);
        let bit = template.bit.cutting_diameter().as_mm();
        let shank = template.bit.shank.as_mm();
        let (name, wide, over) = match template.collar_bore {
            Some(bore) => ("bore", bore.as_mm(), IN_BORE),
            None => ("outside", template.collar.as_mm(), IN_OUTSIDE),
        };
        if wide < bit + over - ROUNDED {
            self.fail(|| {
                format!(
                    "the collar's {name} of {} is less than {} wider than the bit of {}; chips \
                     and the bit's run-out need the room, take a wider collar or a thinner bit",
                    ruler.both(wide, 2),
                    ruler.limit(over),
                    ruler.one(bit, 2)
                )
            });
        } else if wide <= shank + ROUNDED {
            self.fail(|| {
                format!(
                    "the collar's {name} of {} does not let the shank of {} through",
                    ruler.both(wide, 2),
                    ruler.one(shank, 2)
                )
            });
        }
    }

    /// As replayed, by its least extent; between loose pieces by the collar itself.
    fn check_openings(&mut self) {
        let (ruler, traced) = (self.ruler, self.traced);
        let collar = traced.template.collar.as_mm();
        let features = &traced.plate.features;
        for (opening, hole) in features.openings.iter().zip(&traced.holes) {
            let Some(extent) = hole.as_ref().map(|hole| hole.extent()) else {
                continue;
            };
            let least = extent.size(0).min(extent.size(1));
            if least < collar - ROUNDED {
                self.fail(|| {
                    format!(
                        "the opening of step {} is {} wide, narrower than the collar of {}",
                        opening.step,
                        ruler.both(least, 2),
                        ruler.one(collar, 2)
                    )
                });
            }
        }
        for insert in &features.inserts {
            let Some((opening, Some(number))) = traced.opening_of(insert.step) else {
                continue;
            };
            let runs = traced.runs(opening, Some(number));
            let gap = runs.iter().filter_map(|run| {
                let [low, .., high] = &run.pieces[..] else {
                    return None;
                };
                let (low_end, high_end) = (low.0.extent.max[0], high.0.extent.min[0]);
                Some((high_end + high.1[0]) - (low_end + low.1[0]))
            });
            // Horns reach in beside the collar, so the hollow ends are what it lies in.
            let middle = runs.first().map(|run| {
                let extent = run.hole.extent();
                let shift = features.openings[opening].center.x;
                let of_step = self.middle_of(insert.step).unwrap_or(shift);
                [of_step, extent.middle(1)]
            });
            let fits = middle.is_none_or(|at| runs.iter().all(|run| run.goes(at)));
            if !fits {
                let gap = gap.fold(f64::INFINITY, f64::min);
                let gap = gap.is_finite().then(|| ruler.both(gap, 2));
                let gap = gap.map_or_else(String::new, |gap| format!(", {gap} from tip to tip"));
                self.fail(|| {
                    format!(
                        "the collar of {} does not go in between the pieces of step {}{gap}",
                        ruler.one(collar, 2),
                        insert.step
                    )
                });
            }
        }
    }

    /// X of the middle of a step on the plate.
    fn middle_of(&self, step: usize) -> Option<f64> {
        let (opening, _) = self.traced.opening_of(step)?;
        let line = self.traced.line_of(opening)?;
        let wanted = self.steps().find(|(number, _)| *number == step)?.1;
        Some(line + wanted.shift.as_mm())
    }

    /// All steps of box and lid with their numbers.
    fn steps(&self) -> impl Iterator<Item = (usize, Step)> + use<'_> {
        let pockets = self.traced.parts().flat_map(|part| &part.pockets);
        pockets.flat_map(|pocket| {
            let steps = pocket.steps.iter().enumerate();
            steps.map(|(index, step)| (index + 1, *step))
        })
    }

    fn check_reach(&mut self) {
        let (ruler, template) = (self.ruler, self.traced.template);
        let reach = template.collar_reach.as_mm();
        let thickness = template.plate_thickness.as_mm();
        let over_batten = self.traced.grooves.iter().flatten().any(|groove| {
            let mut holes = self.traced.holes.iter().flatten();
            holes.any(|hole| hole.extent().overlaps(*groove))
        });
        let groove = if over_batten {
            template.batten.groove.as_mm()
        } else {
            0.0
        };
        let most = thickness - groove - ABOVE;
        if most <= 0.0 {
            self.fail(|| {
                let plate = ruler.one(thickness, 2);
                let above = ruler.limit(ABOVE);
                if over_batten {
                    let groove = ruler.one(groove, 2);
                    format!(
                        "the plate of {plate} has no room for a collar above a batten let in by \
                         {groove}, which it stays {above} off; take a thicker plate or a \
                         shallower groove"
                    )
                } else {
                    format!(
                        "the plate of {plate} has no room for a collar, which stays {above} off \
                         the wood below it; take a thicker plate"
                    )
                }
            });
        } else if reach > most + ROUNDED {
            let what = if over_batten {
                "the batten in it, where a groove runs into the opening"
            } else {
                "the wood below it"
            };
            self.fail(|| {
                format!(
                    "the collar reaches {} below the base, at most {}: a plate of {} keeps it {} \
                     off {what}; take a thicker plate or cut the collar off",
                    ruler.both(reach, 2),
                    ruler.one(most, 2),
                    ruler.one(thickness, 2),
                    ruler.limit(ABOVE)
                )
            });
        }
    }

    fn check_steps(&mut self) {
        let ruler = self.ruler;
        let bit = self.traced.template.bit.cutting_diameter().as_mm();
        let narrow = self
            .steps()
            .find(|(_, step)| step.width.min(step.length).as_mm() < bit - EQUAL);
        if let Some((number, step)) = narrow {
            self.fail(|| {
                format!(
                    "step {number} is {} wide and the router's bit cuts {}; take a thinner bit",
                    ruler.both(step.width.min(step.length).as_mm(), 2),
                    ruler.one(bit, 2)
                )
            });
            return;
        }
        let tight = self
            .steps()
            .find(|(_, step)| step.corner.as_mm() < bit / 2.0 - EQUAL / 2.0);
        if let Some((number, step)) = tight {
            let most = 2.0 * step.corner.as_mm();
            self.fail(|| {
                format!(
                    "step {number} has corners of {} radius and the router's bit leaves {}; a bit \
                     of {} does it",
                    ruler.both(step.corner.as_mm(), 2),
                    ruler.one(bit / 2.0, 2),
                    ruler.one(most, 2)
                )
            });
        }
    }

    /// The bit reaches from the base through the plate to the deepest floor.
    fn check_length(&mut self) {
        let (ruler, template) = (self.ruler, self.traced.template);
        let bit = &template.bit;
        let deepest = self.deepest();
        let needed = template.plate_thickness.as_mm() + deepest;
        let most = bit.stickout.as_mm();
        if most < needed - ROUNDED {
            self.fail(|| {
                format!(
                    "the bit must stand {} out of the base, through the plate and {} into the \
                     wood, and stands {} out of the nut; take a longer bit or a thinner plate",
                    ruler.both(needed, 2),
                    ruler.one(deepest, 2),
                    ruler.one(most, 2)
                )
            });
        }
        let (edge, shank) = (bit.cutting_length.as_mm(), bit.shank.as_mm());
        if edge < deepest - ROUNDED && shank >= bit.cutting_diameter().as_mm() {
            self.fail(|| {
                format!(
                    "the deepest step is {} deep, the bit's edge {} long and its shank no \
                     thinner; take a longer bit or one with a thinner shank",
                    ruler.both(deepest, 2),
                    ruler.one(edge, 2)
                )
            });
        }
    }

    fn deepest(&self) -> f64 {
        let depths = self.steps().map(|(_, step)| step.depth.as_mm());
        depths.fold(0.0, f64::max)
    }

    fn say(self) {
        let (ruler, template) = (self.ruler, self.traced.template);
        let bit = template.bit.cutting_diameter().as_mm();
        let needed = template.plate_thickness.as_mm() + self.deepest();
        let message = format!(
            "the collar of {} leads the bit of {} {} inside its edge; the bit stands {} out of \
             the base",
            ruler.one(template.collar.as_mm(), 2),
            ruler.one(bit, 2),
            ruler.one((template.collar.as_mm() - bit) / 2.0, 3),
            ruler.one(needed, 2)
        );
        self.tally.say(CheckId::CollarRoom, message);
    }
}
