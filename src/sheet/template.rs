//! A template's own leaf: what is what on the plate, and the work of the
//! hand-held router on it, pose by pose and pass by pass.

use serde::Serialize;

use crate::cutting;
use crate::job::template::{Features, Insert, InsertPiece, Opening, Template};
use crate::job::{Closing, Job, Part, PartName, Plate};
use crate::report::{Report, SupportBlock};
use crate::units::{Length, Units};

use super::measure::{Both, both, one};
use super::plate_picture;

/// Layers of masking tape to 1/64 inch: common practice, no source.
const LAYERS_TO_64TH: f64 = 4.0;
/// A greater difference of stops is no matter of tape.
const BY_TAPE: Length = Length::from_mm(1.5);
/// A hand-held router takes at most half its bit's width a pass: common practice, no source.
const PASS_SHARE: f64 = 0.5;

/// The leaf.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Leaf {
    underside: String,
    top: String,
    features: Vec<Feature>,
    bench: Vec<String>,
    poses: Vec<Pose>,
    depths: Vec<Stop>,
    depth_words: Vec<String>,
    run: Vec<String>,
    trial: Vec<String>,
    commands: Vec<String>,
    cautions: [&'static str; 7],
}

/// One thing on the plate.
#[derive(Clone, Debug, Serialize)]
struct Feature {
    what: String,
    x: String,
    y: String,
    size: String,
}

/// How the plate lies on a part.
#[derive(Clone, Debug, Serialize)]
struct Pose {
    name: String,
    drawing: String,
    lines: Vec<String>,
    marks: Vec<Mark>,
}

/// Where the plate's centre line lies on the part.
#[derive(Clone, Debug, Serialize)]
struct Mark {
    hinge: usize,
    from_stop_end: Both,
}

/// A depth stop of the router.
#[derive(Clone, Debug, Serialize)]
struct Stop {
    part: String,
    step: usize,
    guide: String,
    depth: Both,
    passes: String,
    deeper: String,
}

/// Cautions of hand routing.
const CAUTIONS: [&str; 7] = [
    "Unplug the router before you touch bit or collar.",
    "Both hands on the router, feet apart, cord behind you.",
    "Collar tight and centred, clear of the collet nut; turn the spindle by hand once.",
    "Clamp plate and part; no clamp in the way of the base.",
    "No loose piece held by tape alone without a pull at it first.",
    "Never lift the router while the bit turns.",
    "The router's manual and local rules stand above this sheet.",
];

/// The leaf of a plate's sheet.
pub(super) fn leaf(job: &Job, report: &Report, units: Units) -> Option<Leaf> {
    let Plate { of, features } = job.plate.as_ref()?;
    let template = of.template.as_ref()?;
    let blocks = &report.template.as_ref()?.blocks;
    let plate = job.part(PartName::Plate)?;
    let parts = of.parts.iter().filter(|part| !part.pockets.is_empty());
    Some(Leaf {
        underside: plate_picture::underside(plate, features, template, units).inline(),
        top: plate_picture::top(features, template).inline(),
        features: on_the_plate(features, units),
        bench: bench(features, template, job, units),
        poses: parts
            .clone()
            .filter_map(|part| pose(of, part, features, blocks, units))
            .collect(),
        depths: parts
            .clone()
            .flat_map(|part| stops(part, features, template, units))
            .collect(),
        depth_words: depth_words(of, template, units),
        run: run(template, features),
        trial: trial(of, features, template, units),
        commands: ["--turned A B", "--turned-end A B"]
            .map(|reading| format!("stepwell fit JOB.toml --cut PROGRAM.nc --template {reading}"))
            .to_vec(),
        cautions: CAUTIONS,
    })
}

/// The plate as the machine cuts it, then as it lies on each part.
#[cfg(feature = "page")]
pub(super) fn drawings(job: &Job, units: Units) -> Vec<String> {
    let Some((Plate { of, features }, plate)) = job.plate.as_ref().zip(job.part(PartName::Plate))
    else {
        return Vec::new();
    };
    let Some(template) = &of.template else {
        return Vec::new();
    };
    let poses = of.parts.iter().filter(|part| !part.pockets.is_empty());
    let poses = poses.filter_map(|part| plate_picture::pose(part, features, template, units));
    let underside = plate_picture::underside(plate, features, template, units);
    let all = std::iter::once(underside).chain(poses);
    all.map(|drawing| drawing.inline()).collect()
}

/// What trial cuts on a plate read where all is true: outside, then towards the stop end.
/// Each with the router's marked side towards the batten, and turned half round.
#[cfg(feature = "page")]
pub(super) fn to_read(plate: &Job, units: Units) -> Option<[[String; 2]; 2]> {
    let Plate { of, features } = plate.plate.as_ref()?;
    let readings = true_readings(of, features, of.template.as_ref()?)?;
    Some(readings.map(|pair| pair.map(|length| one(length, units))))
}

fn true_readings(job: &Job, features: &Features, template: &Template) -> Option<[[Length; 2]; 2]> {
    let pocket = job.parts.first()?.pockets.first()?;
    let (opening, step) = (features.openings.first()?, pocket.steps.first()?);
    let outside = pocket.center.y() - (opening.width / 2.0 - template.offset());
    let end = pocket.center.x() + step.shift - step.length / 2.0;
    let [inward, right] = template.off_centre;
    Some([[outside, outside - inward * 2.0], [end, end + right * 2.0]])
}

fn on_the_plate(features: &Features, units: Units) -> Vec<Feature> {
    let show = |length| one(length, units);
    let mut rows: Vec<Feature> = features
        .openings
        .iter()
        .map(|opening| Feature {
            what: format!("opening for step {}", opening.step),
            x: show(opening.center.x()),
            y: show(opening.center.y()),
            size: format!("{} × {}", show(opening.length), show(opening.width)),
        })
        .collect();
    rows.extend(features.grooves.iter().map(|groove| {
        let part = if groove.is_for_box { "box" } else { "lid" };
        Feature {
            what: format!("groove of the {part}'s batten, {} deep", show(groove.depth)),
            x: format!("{} to {}", show(groove.min.x()), show(groove.max.x())),
            y: format!("{} to {}", show(groove.min.y()), show(groove.max.y())),
            size: format!(
                "{} × {}",
                show(groove.max.x() - groove.min.x()),
                show(groove.max.y() - groove.min.y())
            ),
        }
    }));
    for insert in &features.inserts {
        let count = insert.pieces.len();
        rows.extend(insert.pieces.iter().enumerate().map(|(index, piece)| {
            let which = match (count, index) {
                (1, _) => "ring",
                (_, 0) => "piece for the STOP END",
                _ => "piece for the other end",
            };
            Feature {
                what: format!("insert for step {}: {which}", insert.step),
                x: format!("{} to {}", show(piece.min.x()), show(piece.max.x())),
                y: format!("{} to {}", show(piece.min.y()), show(piece.max.y())),
                size: format!(
                    "{} × {}",
                    show(piece.max.x() - piece.min.x()),
                    show(piece.max.y() - piece.min.y())
                ),
            }
        }));
    }
    rows
}

/// From the machine to a template that can be used.
fn bench(features: &Features, template: &Template, job: &Job, units: Units) -> Vec<String> {
    let show = |length| one(length, units);
    let mut lines = Vec::new();
    lines.push(
        "While it lies as it was cut, write STOP END on the plate along the edge that lay to your left, \
         at X0; then on every insert piece, before it is broken out, the number of its step, and STOP END \
         on the end that lies to your left."
            .to_owned(),
    );
    if !features.inserts.is_empty() {
        lines.push(format!(
            "Saw the strip off at Y {}, break the insert pieces out of their skin and pare it flush. \
             A piece must press into its opening by hand, without force; ease its straight sides, \
             never its round end or its hollow. Sand its top thinner by the tape that will hold it: \
             it must not stand above the plate.",
            show(template.plate_width)
        ));
    }
    lines.push(
        "Turn the plate over, left for right. On the top write STOP END along the same edge again, now on \
         your right; BOX SIDE along the edge that is towards you, LID SIDE along the far one. Draw the \
         centre lines through the middle of the sight holes, from edge to edge."
            .to_owned(),
    );
    let radius = job.bit.cutting_diameter() / 2.0;
    let lengths = features.grooves.iter().map(|groove| {
        let part = if groove.is_for_box { "box" } else { "lid" };
        format!(
            "{part} {}",
            show(groove.max.x() - groove.min.x() - radius * 2.0)
        )
    });
    let lengths: Vec<String> = lengths.collect();
    lines.push(format!(
        "Plane the batten, {} × {}, until it presses into the grooves; saw it to lengths of {} (the \
         grooves' ends are round). Only one part's battens are in at a time, pressed against the \
         groove's wall towards the opening: that is the wall that lies against the outside face.",
        show(template.batten.width),
        show(template.batten.height),
        lengths.join(", ")
    ));
    lines
}

fn pose(
    job: &Job,
    part: &Part,
    features: &Features,
    blocks: &[SupportBlock],
    units: Units,
) -> Option<Pose> {
    let template = job.template.as_ref()?;
    let drawing = plate_picture::pose(part, features, template, units)?;
    let (side, end) = match part.name {
        PartName::Box => ("BOX SIDE", "right"),
        _ => ("LID SIDE", "left"),
    };
    let faces = job.closing.faces(part.name);
    let mut lines = vec![format!(
        "Stand at the {name}'s {face}, looking inward: its {stop} is on the {end}. Plate top up, {side} \
         towards you, the batten tight against the {face}, the centre line on the hinge's mark.",
        name = part.name,
        face = faces.fence,
        stop = faces.stop,
    )];
    lines.extend(
        features
            .inserts
            .iter()
            .map(|insert| lay(insert, end, units)),
    );
    lines.extend(loose_wall(job, part));
    lines.extend(free_batten(part, template, units));
    lines.extend(shifted(template, units));
    lines.extend(supported(part, blocks, units));
    lines.extend(stop_block(job, part, (template, features), units));
    let marks = part.pockets.iter().map(|pocket| Mark {
        hinge: pocket.hinge,
        from_stop_end: both(pocket.center.x(), units),
    });
    Some(Pose {
        name: part.name.to_string(),
        drawing: drawing.inline(),
        lines,
        marks: marks.collect(),
    })
}

/// What is routed before it is glued.
fn loose_wall(job: &Job, part: &Part) -> Option<String> {
    let is_in_the_way = part.name == PartName::Box && job.closing == Closing::Inset;
    let line = "The hinged wall is routed as a loose board, before glue-up, its inside face up: glued, the \
                opposite wall is in the router's way.";
    is_in_the_way.then(|| line.to_owned())
}

/// How the batten keeps clear of the bench.
fn free_batten(part: &Part, template: &Template, units: Units) -> Option<String> {
    let below = template.batten.height - template.batten.groove;
    (below > part.below).then(|| {
        format!(
            "The batten stands {} below the plate and the {} is {} thick: lay it on blocks, or let its \
             edge hang over the bench, so that the batten is free.",
            one(below, units),
            part.name,
            one(part.below, units)
        )
    })
}

/// Where the plate lies by its mark under a bit that stands off the collar's middle.
fn shifted(template: &Template, units: Units) -> Option<String> {
    let [_, right] = template.off_centre;
    let way = if right > Length::ZERO {
        "left"
    } else {
        "right"
    };
    (right != Length::ZERO).then(|| {
        format!(
            "The bit stands off the collar's middle: where the plate is laid by its mark, shift it {} to the {way} of it.",
            one(right.abs(), units)
        )
    })
}

/// What carries the router's base beside a narrow face.
fn supported(part: &Part, blocks: &[SupportBlock], units: Units) -> Option<String> {
    let own = blocks.iter().filter(|block| block.part == part.name);
    let own: Vec<String> = own
        .map(|block| {
            format!(
                "{}, {} wide and {} long",
                block.place,
                one(block.width, units),
                one(block.length, units)
            )
        })
        .collect();
    (!own.is_empty()).then(|| {
        format!(
            "Clamp support blocks flush with this face, at least: {}. Without them the router's base tips \
             at the end of a stroke.",
            own.join("; ")
        )
    })
}

/// Which piece of an insert lies where.
fn lay(insert: &Insert, end: &str, units: Units) -> String {
    let over_all = |piece: &InsertPiece| one(piece.max.x() - piece.min.x(), units);
    match insert.pieces.as_slice() {
        [near, far] => format!(
            "For step {}: the piece {} long over all lies at the stop end, on the {end}, the one of {} at \
             the other, hollows towards each other.",
            insert.step,
            over_all(near),
            over_all(far)
        ),
        _ => format!(
            "For step {}: the ring, its end marked STOP END on the {end}.",
            insert.step
        ),
    }
}

/// Where a hinge sits so near an end that a stop on the plate reaches it.
fn stop_block(
    job: &Job,
    part: &Part,
    (template, features): (&Template, &Features),
    units: Units,
) -> Option<String> {
    // With an opening of its own for a step a stop would have two places.
    if features.openings.len() > 1 {
        return None;
    }
    let reach = template.plate_length / 2.0 - Length::from_mm(10.0);
    let first = part.pockets.first()?;
    let last = part.pockets.last()?;
    // A bit that stands off to the right comes nearer to an end on the right.
    let right = match part.name {
        PartName::Box => template.off_centre[1],
        _ => -template.off_centre[1],
    };
    let to_stop = first.center.x() + template.stop_off + right;
    let to_far = part.length - last.center.x() + template.stop_off - right;
    let within = |distance: Length| distance > Length::ZERO && distance <= reach;
    let faces = job.closing.faces(part.name);
    let (right, left) = match part.name {
        PartName::Box => ("right", "left"),
        _ => ("left", "right"),
    };
    let mut words = Vec::new();
    if within(to_stop) {
        words.push(format!(
            "for hinge {} {} to the {right} of it, against the {}",
            first.hinge,
            one(to_stop, units),
            faces.stop
        ));
    }
    if within(to_far) {
        words.push(format!(
            "for hinge {} {} to the {left} of it, against the other end",
            last.hinge,
            one(to_far, units)
        ));
    }
    (!words.is_empty()).then(|| {
        format!(
            "A stop screwed to the underside saves the mark: its face, square to the centre line, lies {}. \
             For the other part it is set anew.",
            words.join("; ")
        )
    })
}

fn stops(part: &Part, features: &Features, template: &Template, units: Units) -> Vec<Stop> {
    let Some(pocket) = part.pockets.first() else {
        return Vec::new();
    };
    let deepest = cutting::limits(&template.bit, &part.wood)
        .stepdown
        .min(template.bit.cutting_diameter() * PASS_SHARE);
    let mut above = Length::ZERO;
    let mut rows = Vec::new();
    for (index, step) in pocket.steps.iter().enumerate() {
        let count = ((step.depth - above).as_mm() / deepest.as_mm() - 1e-6)
            .ceil()
            .max(1.0);
        let passes = (1..=count as u32).map(|pass| {
            one(
                above + (step.depth - above) * (f64::from(pass) / count),
                units,
            )
        });
        let passes: Vec<String> = passes.collect();
        let deeper = if index == 0 {
            String::new()
        } else {
            let difference = step.depth - above;
            let layers = difference.as_inch() * 64.0 * LAYERS_TO_64TH;
            let tape = if difference <= BY_TAPE {
                format!(", {layers:.0} layers of tape")
            } else {
                String::new()
            };
            format!("{} below the stop before{tape}", one(difference, units))
        };
        rows.push(Stop {
            part: part.name.to_string(),
            step: index + 1,
            guide: guide(features, index + 1),
            depth: both(step.depth, units),
            passes: passes.join(", "),
            deeper,
        });
        above = step.depth;
    }
    rows
}

fn guide(features: &Features, step: usize) -> String {
    let is = |opening: &&Opening| opening.step == step;
    if let Some(insert) = features.inserts.iter().find(|insert| insert.step == step) {
        return match insert.pieces.len() {
            1 => format!("the ring of step {step} in opening 1"),
            _ => format!("the end pieces of step {step} in opening 1"),
        };
    }
    match features.openings.iter().find(is) {
        Some(_) if step == 1 => "opening 1, empty".to_owned(),
        Some(_) => format!("the opening of step {step}, its own centre line on the mark"),
        None => String::new(),
    }
}

fn depth_words(job: &Job, template: &Template, units: Units) -> Vec<String> {
    let steps = job.parts.iter().flat_map(|part| &part.pockets);
    let steps = steps.flat_map(|pocket| &pocket.steps);
    let deepest = steps.map(|step| step.depth).fold(Length::ZERO, Length::max);
    vec![
        format!(
            "At the deepest stop the bit stands {} out of the base: plate and pocket. As much of its shank \
             as the router's manual asks stays in the collet.",
            one(template.plate_thickness + deepest, units)
        ),
        format!(
            "Zero the plunge with the router unplugged: base flat on the plate, bit lowered through the \
             opening until it touches the wood. The plate, {} thick, is then no part of any depth.",
            one(template.plate_thickness, units)
        ),
        "Set the turret's first stop to the first depth, the next to the one after it, and the last bit of \
         a difference with layers of masking tape: four are about 1/64 in, 0.4 mm (common practice, no source)."
            .to_owned(),
    ]
}

fn run(template: &Template, features: &Features) -> Vec<String> {
    let mut lines = vec![
        "Collar in the opening, base flat, bit up; only then switch on.".to_owned(),
        "Move as you plunge: a bit that spins in one place burns. Clear the middle, then go clockwise \
         round the opening, the collar against its wall, once more at the last depth."
            .to_owned(),
        "Bit up, switch off, wait for standstill, then lift the router.".to_owned(),
        "Vacuum the opening between passes: chips under the collar leave the pocket short.".to_owned(),
        "Keep the same side of the router towards the batten from first to last: mark it with tape."
            .to_owned(),
    ];
    if !features.inserts.is_empty() {
        lines.push(
            "Rout the first step of a hinge with the opening empty; then take out whatever lies in it, lay \
             the inserts of the next step in as they lie on the drawing, the side that lay up on the machine \
             down, outer ends tight in the opening's ends, on double-sided tape, pull at each, and rout it."
                .to_owned(),
        );
    }
    if template.collar_bore.is_none() {
        lines.push(
            "Chips leave through the collar's bore: stop and clear it when it fills.".to_owned(),
        );
    }
    lines
}

fn trial(job: &Job, features: &Features, template: &Template, units: Units) -> Vec<String> {
    let mut lines = vec![
        "Before the real part: in a scrap with a straight edge, rout the first step in the box's pose; \
         then turn the router half round, so that its other side is towards the batten, and rout it again, \
         the plate moved along the edge."
            .to_owned(),
    ];
    if let Some([[outside, turned], [end, turned_end]]) = true_readings(job, features, template) {
        lines.push(format!(
            "Read the wood outside both pockets: A the right way round, B turned. Where all is true A reads \
             {} and B {}. Half of A less B is the bit off the collar's middle; what the middle of both is \
             off besides is the batten's.",
            one(outside, units),
            one(turned, units)
        ));
        lines.push(format!(
            "With a stop: rout once more each way, each in a scrap of its own with its end against the \
             stop, and read from that end to the pocket: A {} and B {}.",
            one(end, units),
            one(turned_end, units)
        ));
    }
    if template.off_centre[0] != Length::ZERO || template.batten_off != Length::ZERO {
        lines.push("The grooves of this plate have the last trial in them.".to_owned());
    }
    lines
}
