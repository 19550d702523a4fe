//! The plate as a job of its own.

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::job::{Fit, Fixture, Job, Part, PartName, Plate, Selection, Step};
use crate::units::Length;

use super::cutter;
use super::plate::{self, INTO_BOARD};

/// What a template's stem gets behind that of its job.
pub const SUFFIX: &str = "-template";

/// Warn under this much wood beside what is cut into the plate: the batten's
/// grooves stop three millimetres short of an opening.
const MIN_LEFT: Length = Length::from_mm(3.0);

/// The plate of the job's template: one part, underside up, its near left corner
/// at zero, with openings, grooves, sight holes, lines, and the inserts in a strip
/// beyond its far edge. The job's bit cuts it.
///
/// # Errors
/// A job without a template; halves whose outlines differ, which one opening
/// cannot guide; a bit wider than what it is to cut.
pub fn job(job: &Job) -> Result<Job, Diagnostics> {
    let Some(template) = &job.template else {
        let message = format!("`{}` has no `[template]`", job.title);
        let help = "add the table: collar, bit, plate and batten; `stepwell explain template` says how each is measured";
        return Err(Diagnostic::new("no-template", message).help(help).into());
    };
    let steps = steps(job)?;
    let plan = plate::arrange(job, template, steps);
    cutter::fits(job, &plan.features, &plan.contours)?;
    let part = Part {
        name: PartName::Plate,
        length: plan.length,
        across: plan.width,
        below: template.plate_thickness,
        wood: template.plate_wood.clone(),
        pockets: plan.pockets,
        ticks: plan.ticks,
        contours: plan.contours,
        board_below: Some(Length::from_mm(INTO_BOARD)),
        correction_u: Length::ZERO,
        correction_v: Length::ZERO,
        depth_for_drawing: None,
    };
    Ok(Job {
        title: format!("{}, template", job.title),
        stem: format!("{}{SUFFIX}", job.stem),
        pilot: None,
        parts: vec![part],
        fit: Fit {
            min_left: MIN_LEFT.min(job.fit.min_left),
            ..job.fit.clone()
        },
        fixture: Fixture::of_one_alone(job),
        selection: Selection::default(),
        plate: Some(Plate {
            of: Box::new(job.clone()),
            features: plan.features,
        }),
        ..job.clone()
    })
}

/// The steps of a pocket, in both parts the same but for their depths.
fn steps(job: &Job) -> Result<&[Step], Diagnostics> {
    let of = |name| {
        let part = job.part(name)?;
        Some(&part.pockets.first()?.steps)
    };
    let (Some(boxed), Some(lid)) = (of(PartName::Box), of(PartName::Lid)) else {
        let message = format!("`{}` has no pocket to make a template for", job.title);
        return Err(Diagnostic::new("nothing-to-cut", message).into());
    };
    let outline = |step: &Step| [step.length, step.width, step.corner, step.shift];
    let differ = |(one, other): (&Step, &Step)| {
        let pairs = outline(one).into_iter().zip(outline(other));
        pairs
            .into_iter()
            .any(|(one, other)| !one.is_near(other, Length::SAME))
    };
    if boxed.len() != lid.len() || boxed.iter().zip(lid).any(differ) {
        let message = "`hinge.lid_steps` and `hinge.steps` have different outlines, and one template guides both parts";
        let help = "make a job with `lid_steps` left out for the box's template, and one with the lid's steps as `steps` for the lid's";
        return Err(Diagnostic::new("halves-differ", message).help(help).into());
    }
    Ok(boxed)
}
