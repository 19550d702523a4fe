//! `template-match`: what the collar, rolled in the replayed openings, lets the bit cut.

use crate::job::{Part, PartName, Pocket};
use crate::report::CheckId;
use crate::units::ruler::Ruler;
use crate::verify::findings::{At, Tally};
use crate::verify::template::pose::Pose;
use crate::verify::template::rolled::{MATCH, ROUNDED, Rolled};
use crate::verify::template::rolling::FAR;
use crate::verify::template::traced::Traced;

/// A piece found so much wider than its opening is as wide: each of its edges is found
/// to 0.003 mm, and each of four is printed to a last digit. Millimetres.
const WIDER: f64 = 0.01;

/// Adds what there is to find.
pub(crate) fn check(tally: &mut Tally, traced: &Traced<'_>, ruler: Ruler) {
    let mut judgement = Judgement {
        tally,
        ruler,
        worst: 0.0,
        steps: 0,
    };
    judgement.check_cut(traced);
    judgement.check_lines(traced);
    let rolled: Vec<Vec<Rolled>> = traced
        .parts()
        .map(|part| judgement.roll(traced, part))
        .collect();
    if let [on_box, on_lid] = &rolled[..] {
        judgement.fold(on_box, on_lid);
    }
    judgement.say();
}

struct Judgement<'t> {
    tally: &'t mut Tally,
    ruler: Ruler,
    /// How far the worst edge lies past what was told.
    worst: f64,
    steps: usize,
}

impl Judgement<'_> {
    fn fail(&mut self, message: impl FnOnce() -> String) {
        self.tally.fail(CheckId::TemplateMatch, At::JOB, message);
    }

    fn say(self) {
        let Self {
            steps,
            worst,
            ruler,
            tally,
        } = self;
        let message = format!(
            "{steps} step{} rolled on box and lid, the worst edge {} from its place besides what \
             was told, at most {}",
            if steps == 1 { "" } else { "s" },
            ruler.one(worst, 3),
            ruler.limit(MATCH)
        );
        tally.say(CheckId::TemplateMatch, message);
    }

    /// Refuses what is missing, and a piece that does not go in.
    fn check_cut(&mut self, traced: &Traced<'_>) {
        let features = &traced.plate.features;
        for (opening, hole) in features.openings.iter().zip(&traced.holes) {
            if hole.is_none() {
                self.fail(|| {
                    let step = opening.step;
                    format!("nothing is cut through where the opening of step {step} belongs")
                });
            }
        }
        let first = traced.opening_of(1).map(|(opening, _)| opening);
        let hole = first.and_then(|first| traced.holes[first].as_ref());
        for (insert, pieces) in features.inserts.iter().zip(&traced.inserts) {
            for (index, piece) in pieces.iter().enumerate() {
                let name = format!("piece {} of the insert of step {}", index + 1, insert.step);
                let Some(piece) = piece else {
                    self.fail(|| format!("{name} is not cut free all round"));
                    continue;
                };
                let over = hole.map_or(0.0, |hole| piece.extent.size(1) - hole.extent().size(1));
                if over > WIDER {
                    let over = self.ruler.both(over, 2);
                    self.fail(|| format!("{name} is {over} wider than its opening"));
                }
            }
        }
        for (groove, found) in features.grooves.iter().zip(&traced.grooves) {
            if found.is_none() {
                let part = if groove.is_for_box { "box" } else { "lid" };
                self.fail(|| {
                    format!("a groove for the {part}'s batten is not cut where it belongs")
                });
            }
        }
    }

    /// Refuses marks of one line that are not on one line, and grooves of one batten likewise.
    fn check_lines(&mut self, traced: &Traced<'_>) {
        let openings = &traced.plate.features.openings;
        for (opening, marks) in openings.iter().zip(&traced.lines) {
            if let Some(apart) = spread(marks) {
                let apart = self.ruler.both(apart, 2);
                let step = opening.step;
                self.fail(|| format!("the marks on the centre line of step {step} lie {apart} from each other across it"));
            }
        }
        for part in traced.parts() {
            if let Some(apart) = spread(&traced.edges_of(part.name)) {
                let apart = self.ruler.both(apart, 2);
                let name = part.name;
                self.fail(|| {
                    format!(
                        "the grooves for the {name}'s batten are {apart} out of line; cut them to \
                         one line"
                    )
                });
            }
        }
    }

    /// Every step of a part's pockets as it comes out.
    fn roll(&mut self, traced: &Traced<'_>, part: &Part) -> Vec<Rolled> {
        let name = part.name;
        let edges = traced.edges_of(name);
        if edges.is_empty() {
            self.fail(|| format!("the plate has no groove for the {name}'s batten"));
            return Vec::new();
        }
        #[allow(clippy::cast_precision_loss)]
        let edge = edges.iter().sum::<f64>() / edges.len() as f64;
        let mut rolled = Vec::new();
        for pocket in kinds(part) {
            for index in 0..pocket.steps.len() {
                let Some((opening, insert)) = traced.opening_of(index + 1) else {
                    let step = index + 1;
                    self.fail(|| format!("the plate has no opening for step {step} of the {name}"));
                    continue;
                };
                let hole = traced.holes[opening].as_ref();
                let middle = hole.map(|hole| hole.extent().middle(1));
                if middle.is_some_and(|middle| (middle < edge) != (name == PartName::Lid)) {
                    self.fail(|| {
                        format!("the groove for the {name} lies on the wrong side of the opening")
                    });
                    return rolled;
                }
                let runs = traced.runs(opening, insert);
                let Some(line) = traced.line_of(opening).filter(|_| !runs.is_empty()) else {
                    continue;
                };
                let pose = Pose::new(traced.template, name, line, edge);
                let step = Rolled::of(traced.template, (pocket, index), pose, &runs);
                if let Some(step) = step {
                    self.judge(name, &step);
                    rolled.push(step);
                }
            }
        }
        rolled
    }

    fn judge(&mut self, part: PartName, rolled: &Rolled) {
        let ruler = self.ruler;
        let step = rolled.step;
        self.steps += 1;
        if let Some(miss) = rolled.fault() {
            let limit = ruler.one(miss.limit, 3);
            let off = ruler.both(miss.by.abs(), 2);
            let or_more = if miss.by.abs() < FAR { "" } else { " or more" };
            let (is, cure) = if miss.is_aside {
                ("lies", "the opening, the groove or the centre line")
            } else {
                ("is", "the opening or what is laid in it")
            };
            self.fail(|| {
                format!(
                    "{part}, step {step}: the rolled pocket {is} {off}{or_more} {}, at most \
                     {limit}; correct {cure}",
                    miss.words()
                )
            });
        } else if let Some([x, y]) = rolled.stopped {
            self.fail(|| {
                format!(
                    "{part}, step {step}: wood stops the collar at X{x:.1} Y{y:.1} of the plate; \
                     clear the opening"
                )
            });
        }
        let worst = rolled.worst().map_or(0.0, |miss| miss.beyond_told());
        self.worst = self.worst.max(worst);
    }

    fn fold(&mut self, on_box: &[Rolled], on_lid: &[Rolled]) {
        let ruler = self.ruler;
        for one in on_box {
            let is_partner = |other: &&Rolled| (other.hinge, other.step) == (one.hinge, one.step);
            let Some(other) = on_lid.iter().find(is_partner) else {
                continue;
            };
            let miss = one.against(other).filter(|_| is_alike(one, other));
            if let Some(miss) = miss {
                self.fail(|| {
                    format!(
                        "step {}: folded together the box's pocket is {} {} against the lid's, \
                         at most {}",
                        one.step,
                        ruler.both(miss.by.abs(), 2),
                        miss.words(),
                        ruler.one(miss.limit, 3)
                    )
                });
            }
        }
    }
}

fn is_alike(one: &Rolled, other: &Rolled) -> bool {
    let outline = |rolled: &Rolled| {
        let step = rolled.wanted;
        (step.length, step.width, step.corner, step.shift)
    };
    outline(one) == outline(other)
}

/// The pockets of a part, of those cut alike only the first.
fn kinds(part: &Part) -> Vec<&Pocket> {
    let mut kinds: Vec<&Pocket> = Vec::new();
    for pocket in &part.pockets {
        let is_known = kinds
            .iter()
            .any(|known| known.steps == pocket.steps && known.center.y == pocket.center.y);
        if !is_known {
            kinds.push(pocket);
        }
    }
    kinds
}

/// How far values lie apart, where that is too much.
fn spread(values: &[f64]) -> Option<f64> {
    let least = values.iter().copied().reduce(f64::min)?;
    let most = values.iter().copied().reduce(f64::max)?;
    Some(most - least).filter(|apart| *apart > MATCH + ROUNDED)
}
