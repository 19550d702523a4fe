//! A test piece: the job's pocket again and again in a scrap of the same
//! wood, each with another clearance, marked with countable ticks.

mod layout;
pub(crate) mod room;

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::job::{Fixture, Job, Part, PartName, Selection, Step};
use crate::units::{Length, text};

/// The piece of wood at hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scrap {
    /// Along X.
    pub length: Length,
    /// Along Y.
    pub width: Length,
    /// Along Z.
    pub thickness: Length,
}

/// How the clearance steps from pocket to pocket.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Series {
    /// How many pockets, at least [`FEWEST`].
    pub pockets: usize,
    /// From one pocket to the next.
    pub step: Length,
    /// A second row, whose leaf depth steps by this much.
    pub depth_step: Option<Length>,
}

/// Fewer pockets say too little.
pub const FEWEST: usize = 5;

/// More ticks than these nobody counts.
pub const MOST: usize = 9;

/// What a test piece's stem gets behind that of its job.
pub(crate) const SUFFIX: &str = "-test-piece";

/// Greatest clearance that a job may state.
const MOST_CLEARANCE_MM: f64 = 2.0;

/// A pocket this much narrower than the bit still counts as wide as the bit.
const AS_WIDE_MM: f64 = 0.02;

/// Depth of a tick: seen and felt, sanded away in a moment.
const TICK_DEPTH: Length = Length::from_mm(0.3);

impl Default for Series {
    fn default() -> Self {
        Self {
            pockets: FEWEST,
            step: Length::from_mm(0.05),
            depth_step: None,
        }
    }
}

impl Series {
    fn check(self) -> Result<(), Diagnostic> {
        if !(FEWEST..=MOST).contains(&self.pockets) {
            let found = self.pockets;
            let message =
                format!("a test piece of {found} pockets, allowed is from {FEWEST} to {MOST}");
            return Err(Diagnostic::new("out-of-range", message));
        }
        let holds = |step: Length| step.as_mm() >= 0.01 && step.as_mm() <= 0.5;
        if !holds(self.step) || !self.depth_step.is_none_or(holds) {
            let message = "a test piece's step is from 0.01 to 0.5 mm";
            return Err(Diagnostic::new("out-of-range", message));
        }
        Ok(())
    }
}

/// The clearance of each pocket of the first row: around the job's own, or
/// upward from the least that the bit can cut where that is more.
///
/// # Errors
/// A series out of range, or one that runs past the greatest clearance.
pub fn clearances(job: &Job, series: Series) -> Result<Vec<Length>, Diagnostic> {
    series.check()?;
    let below = (series.pockets - 1) / 2;
    let wanted = job.fit.clearance - series.step * below as f64;
    let first = wanted.max(least_clearance(job)).max(Length::ZERO);
    let all: Vec<Length> = (0..series.pockets)
        .map(|index| first + series.step * index as f64)
        .collect();
    match all.last() {
        Some(last) if last.as_mm() > MOST_CLEARANCE_MM => {
            let message = format!(
                "the test piece's clearances run up to {}, allowed is at most {MOST_CLEARANCE_MM} mm",
                text::short(*last, job.units)
            );
            let diagnostic = Diagnostic::new("out-of-range", message);
            Err(diagnostic.help("choose a smaller step, or fewer pockets"))
        }
        _ => Ok(all),
    }
}

/// Under this clearance some step would be narrower than the bit.
fn least_clearance(job: &Job) -> Length {
    let bit = job.bit.cutting_diameter();
    let narrowest = steps_of(job)
        .iter()
        .map(|step| step.width.min(step.length).min(step.corner * 2.0))
        .reduce(Length::min);
    match narrowest {
        // Already as wide as the bit, or a hair less: no way down from here.
        Some(narrowest) if (narrowest - bit).abs().as_mm() <= AS_WIDE_MM => job.fit.clearance,
        Some(narrowest) => job.fit.clearance - (narrowest - bit),
        None => job.fit.clearance,
    }
}

/// The steps as cut in the part that comes first.
fn steps_of(job: &Job) -> &[Step] {
    job.parts
        .first()
        .and_then(|part| part.pockets.first())
        .map_or(&[], |pocket| &pocket.steps)
}

/// The test piece as a job of its own: one scrap, its corner at zero, a row of
/// full pockets with stepped clearances, each with as many ticks beside it as
/// its number; in the second row, if asked for, the leaf's depth steps around
/// the job's own. Bit, feeds and passes follow from the same job.
///
/// # Errors
/// A scrap or a travel that is too small, with the size that is needed; a
/// series out of range.
pub fn job(job: &Job, scrap: Scrap, series: Series) -> Result<Job, Diagnostics> {
    let clearances = clearances(job, series).map_err(|diagnostic| vec![diagnostic])?;
    let mut rows = vec![clearance_row(job, &clearances)];
    let depths = depths(job, series).map_err(|diagnostic| vec![diagnostic])?;
    if !depths.is_empty() {
        rows.push(depth_row(job, &depths));
    }
    let plan = layout::arrange(job, scrap, &rows)?;
    let first = job.parts.first().ok_or_else(|| {
        vec![Diagnostic::new(
            "no-pockets",
            "the job has no part to take a test piece from",
        )]
    })?;
    let part = Part {
        name: PartName::Scrap,
        length: scrap.length,
        across: scrap.width,
        below: scrap.thickness,
        wood: first.wood.clone(),
        pockets: plan.pockets,
        ticks: plan.ticks,
        contours: Vec::new(),
        board_below: None,
        correction_u: Length::ZERO,
        correction_v: Length::ZERO,
        depth_for_drawing: None,
    };
    Ok(Job {
        title: format!("{}, test piece", job.title),
        stem: format!("{}{SUFFIX}", job.stem),
        pilot: None,
        parts: vec![part],
        fixture: Fixture::of_one_alone(job),
        selection: Selection::default(),
        ..job.clone()
    })
}

fn clearance_row(job: &Job, clearances: &[Length]) -> Vec<Vec<Step>> {
    let grown = |clearance: &Length| {
        let more = *clearance - job.fit.clearance;
        let steps = steps_of(job).iter().map(|step| Step {
            length: step.length + more,
            width: step.width + more,
            corner: step.corner + more / 2.0,
            ..*step
        });
        steps.collect()
    };
    clearances.iter().map(grown).collect()
}

/// Depth of the leaf as the job's own pockets have it, the recess included.
pub fn leaf_depth(job: &Job) -> Length {
    let leaf = steps_of(job).first();
    leaf.map_or(Length::ZERO, |leaf| leaf.depth)
}

/// Depth of the leaf in each pocket of the second row, as cut: around the
/// job's own, never less than half of it. Empty without a second row.
///
/// # Errors
/// A series out of range.
pub fn depths(job: &Job, series: Series) -> Result<Vec<Length>, Diagnostic> {
    series.check()?;
    let (Some(step), Some(leaf)) = (series.depth_step, steps_of(job).first()) else {
        return Ok(Vec::new());
    };
    let below = ((series.pockets - 1) / 2) as f64;
    let first = (leaf.depth - step * below).max(leaf.depth / 2.0);
    let depth = |index| first + step * index as f64;
    Ok((0..series.pockets).map(depth).collect())
}

/// All steps sink together: what is sought is the depth at which the leaf is flush.
fn depth_row(job: &Job, depths: &[Length]) -> Vec<Vec<Step>> {
    let own = leaf_depth(job);
    let sunk = |depth: &Length| {
        let more = *depth - own;
        let steps = steps_of(job).iter().map(|step| Step {
            depth: step.depth + more,
            ..*step
        });
        steps.collect()
    };
    depths.iter().map(sunk).collect()
}

#[cfg(test)]
mod tests;
