//! A test piece as it is asked for, by options or in fields, and what is
//! said of it.

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::job::Job;
use crate::produce::lengths;
use crate::test_piece::{self, Scrap, Series};
use crate::units::{Length, Units, text};

/// What is typed: lengths in the job's unit or with one of their own.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct PieceWish {
    pub(crate) length: String,
    pub(crate) width: String,
    pub(crate) thickness: String,
    pub(crate) pockets: Option<usize>,
    pub(crate) step: Option<String>,
    pub(crate) depth_step: Option<String>,
}

impl PieceWish {
    /// The scrap and the series that are meant.
    ///
    /// # Errors
    /// What is no length, under the name of its option.
    pub(crate) fn said(&self, units: Units) -> Result<(Scrap, Series), Diagnostic> {
        let default = Series::default();
        let scrap = Scrap {
            length: lengths::read("length", &self.length, units)?,
            width: lengths::read("width", &self.width, units)?,
            thickness: lengths::read("thickness", &self.thickness, units)?,
        };
        let step = lengths::optional("step", self.step.as_ref(), units)?;
        let series = Series {
            pockets: self.pockets.unwrap_or(default.pockets),
            step: step.unwrap_or(default.step),
            depth_step: lengths::optional("depth-step", self.depth_step.as_ref(), units)?,
        };
        Ok((scrap, series))
    }

    /// The test piece as a job of its own, and which pocket of it is which.
    /// `people` is the job in the units that people read.
    ///
    /// # Errors
    /// What is no length, and a piece that cannot be.
    pub(crate) fn piece(
        &self,
        people: &Job,
        units: Units,
    ) -> Result<(Job, Vec<String>), Diagnostics> {
        let (scrap, series) = self.said(units)?;
        let piece = test_piece::job(people, scrap, series)?;
        Ok((piece, key(people, series)?))
    }
}

/// Which pocket has which clearance, and which depth in the second row.
fn key(job: &Job, series: Series) -> Result<Vec<String>, Diagnostic> {
    let show = |length| text::decimal_with_unit(length, job.units);
    let mut said = Vec::new();
    for (index, clearance) in test_piece::clearances(job, series)?.into_iter().enumerate() {
        let own = clearance.is_near(job.fit.clearance, Length::SAME);
        let own = if own { ", the job's own" } else { "" };
        said.push(format!(
            "{}: clearance {}{own}",
            ticks(index),
            show(clearance)
        ));
    }
    let leaf = test_piece::leaf_depth(job);
    for (index, depth) in test_piece::depths(job, series)?.into_iter().enumerate() {
        let own = depth.is_near(leaf, Length::SAME);
        said.push(format!(
            "{} in the second row: leaf {} deep{}",
            ticks(index),
            show(depth),
            if own { own_depth(job) } else { String::new() }
        ));
    }
    Ok(said)
}

/// What the job's own depth is meant to do.
fn own_depth(job: &Job) -> String {
    let recess = (job.hinge.closed_gap - job.fit.gap) * job.fit.box_share;
    if recess.is_near(Length::ZERO, Length::SAME) {
        return ", the job's own: it should lie flush".to_owned();
    }
    format!(
        ", the job's own: it should lie {} below the face",
        text::decimal_with_unit(recess, job.units)
    )
}

fn ticks(index: usize) -> String {
    match index {
        0 => "1 tick".to_owned(),
        more => format!("{} ticks", more + 1),
    }
}
