//! `stepwell coupon`: the job's pocket again and again in a scrap.

use std::fmt::Write as _;

use crate::cli::arguments::{Coupon, Format, SeriesOptions};
use crate::cli::failure::Failure;
use crate::cli::{Ending, lengths, load, produce, terminal};
use crate::coupon::{self, Scrap, Series};
use crate::diagnostic::Diagnostic;
use crate::job::Job;
use crate::settings;
use crate::spec::Overrides;
use crate::units::{Units, text};

pub(super) fn run(options: &Coupon) -> Result<Ending, Failure> {
    let overrides = Overrides {
        bit: options.bit.clone(),
        wear: options.wear,
        ..Overrides::default()
    };
    let job = load::job(&options.job, &overrides)?;
    let read = |name, written: &str| lengths::read(name, written, job.units);
    let scrap = Scrap {
        length: read("length", &options.length)?,
        width: read("width", &options.width)?,
        thickness: read("thickness", &options.thickness)?,
    };
    let depth_step = lengths::optional("depth-step", options.depth_step.as_ref(), job.units)?;
    let series = Series {
        depth_step,
        ..series(&options.series, job.units)?
    };
    let piece = coupon::job(&job, scrap, series).map_err(|diagnostics| Failure {
        diagnostics,
        ..Failure::default()
    })?;
    let target = produce::Target {
        folder: &options.output,
        stem: format!("{}-coupon", load::stem(&options.job)),
        record: None,
        drawings: options.svg,
    };
    // The job's own feeds and passes, for both its woods: they decide the fit.
    let settings = settings::for_job(&job);
    let ending = produce::run(&piece, &settings, &target, false, options.reporting)?;
    if options.reporting.format == Format::Human {
        terminal::result(&key(&job, series)?);
    }
    Ok(ending)
}

/// The series as asked for, without a depth row.
pub(super) fn series(options: &SeriesOptions, units: Units) -> Result<Series, Diagnostic> {
    let default = Series::default();
    let step = lengths::optional("step", options.step.as_ref(), units)?;
    Ok(Series {
        pockets: options.pockets.unwrap_or(default.pockets),
        step: step.unwrap_or(default.step),
        depth_step: None,
    })
}

/// Which pocket has which clearance.
fn key(job: &Job, series: Series) -> Result<String, Diagnostic> {
    let mut text = String::new();
    for (index, clearance) in coupon::clearances(job, series)?.iter().enumerate() {
        let own = if (*clearance - job.fit.clearance).abs().as_mm() < 1e-6 {
            ", the job's own"
        } else {
            ""
        };
        let clearance = text::decimal_with_unit(*clearance, job.units);
        let ticks = index + 1;
        let _ = writeln!(text, "{ticks} ticks: clearance {clearance}{own}");
    }
    Ok(text.replacen("1 ticks", "1 tick", 1))
}
