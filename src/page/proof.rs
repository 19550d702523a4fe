//! What the judge says of the job as it stands now, for the page.

use serde::Serialize;

use super::section::Section;
use crate::explain::explain;
use crate::feeds;
use crate::job::Job;
use crate::produce::Made;
use crate::report::{Check, CheckId, Finding, Verdict};
use crate::sheet::{self, Curve, Plot};

/// The verdict on the whole job.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Proof {
    class: &'static str,
    verdict: String,
    checks: Vec<Row>,
    notes: Vec<String>,
    /// Drawings of the section, as SVG.
    drawings: Vec<String>,
    /// A line on each bit of the rack.
    bits: Vec<String>,
    /// The moves of the programs, for the script that plays them.
    replay: Option<String>,
    pub(super) may_be_written: bool,
}

/// One check.
#[derive(Clone, Debug, Serialize)]
struct Row {
    id: &'static str,
    class: &'static str,
    word: &'static str,
    message: String,
    findings: Vec<String>,
    explanation: String,
}

/// What is asked of a template alone; a template's checks begin with it.
const OF_TEMPLATE: [CheckId; 3] = [
    CheckId::TemplateMatch,
    CheckId::CollarRoom,
    CheckId::PlateLeft,
];

/// Of a job and what was made of it, with what belongs to a section.
pub(super) fn of(section: Section, job: &Job, made: &Made<'_>) -> Proof {
    let report = made.report();
    let failed = report.failed().count();
    let warned = report
        .checks
        .iter()
        .filter(|check| check.verdict == Verdict::Warn)
        .count();
    let (class, verdict) = match (failed, warned) {
        (0, 0) => ("pass", "every check passed".to_owned()),
        (0, warned) => ("warn", format!("every check passed, {warned} to look at")),
        (failed, _) if section != Section::Template && job.template.is_some() => (
            "fail",
            format!(
                "{failed} failed: no program for the parts themselves can be written yet; the template is proved by itself"
            ),
        ),
        (failed, _) => (
            "fail",
            format!("{failed} failed: nothing can be written yet"),
        ),
    };
    let is_proof = section.proves();
    let mut checks: Vec<&Check> = report.checks.iter().collect();
    checks.sort_by_key(|check| section != Section::Template || !OF_TEMPLATE.contains(&check.id));
    Proof {
        class,
        verdict,
        checks: match is_proof {
            true => checks.into_iter().map(row).collect(),
            false => report.failed().map(row).collect(),
        },
        notes: if is_proof {
            report.notes.clone()
        } else {
            Vec::new()
        },
        drawings: drawings(section, made),
        bits: match section {
            Section::Wood => bits(job),
            _ => Vec::new(),
        },
        replay: is_proof
            .then(|| sheet::replay(&made.sheet_input()))
            .flatten(),
        may_be_written: made.may_be_written(),
    }
}

fn row(check: &Check) -> Row {
    let word = match check.verdict {
        Verdict::None => "not judged",
        Verdict::Warn => "look",
        verdict @ (Verdict::Pass | Verdict::Fail) => verdict.name(),
    };
    Row {
        id: check.id.name(),
        class: check.verdict.name(),
        word,
        message: check.message.clone(),
        findings: check.findings.iter().map(Finding::in_its_line).collect(),
        explanation: explain(check.id.name()).unwrap_or_default(),
    }
}

fn drawings(section: Section, made: &Made<'_>) -> Vec<String> {
    let input = made.sheet_input();
    let own = match section {
        Section::Hinge => sheet::leaf_figure(input.job, input.units)
            .into_iter()
            .collect(),
        Section::Fixture => return sheet::fixture_figures(input.job, input.units),
        Section::Wood => return plots(input.job),
        Section::Template => sheet::plate_figures(input.job, input.units),
        _ => Vec::new(),
    };
    let belongs = |suffix: &str| match section {
        Section::Hinge => suffix == "-measure",
        Section::Parts => suffix.starts_with("-pocket"),
        Section::Template => suffix == "-fixture",
        Section::Proof => suffix.starts_with("-depth"),
        _ => false,
    };
    let figures = sheet::figures(&input).into_iter();
    let more = figures.filter(|(suffix, _)| belongs(suffix));
    own.into_iter()
        .chain(more.map(|(_, drawing)| drawing))
        .collect()
}

/// Chip window, speed and time over the wear of the job's bit.
fn plots(job: &Job) -> Vec<String> {
    let mark = (job.bit.wear, "as it is");
    let plots = feeds::over_wear(job).into_iter().enumerate();
    let plots = plots.map(|(index, one)| {
        let curves = one.lines.iter().map(|line| Curve {
            name: line.name,
            points: &line.points,
            is_limit: line.is_limit,
        });
        let curves: Vec<Curve<'_>> = curves.collect();
        let plot = Plot {
            id: &format!("wear-{index}"),
            title: one.title,
            unit: &one.unit,
            along: "wear: 0 fresh, 1 dull",
            mark,
            curves: &curves,
            words: &one.words,
        };
        plot.inline()
    });
    plots.collect()
}

/// The verdict of the feed table, and a line on each other bit.
fn bits(job: &Job) -> Vec<String> {
    let table = feeds::table(job, None);
    let best = match &table.verdict.best {
        Some(best) => format!("Best for these pockets: {best}; {}", table.verdict.why),
        None => table.verdict.why.clone(),
    };
    let others = feeds::others(&table);
    let others = others
        .iter()
        .map(|other| format!("{}: {}", other.bit.bit, other.words));
    [best].into_iter().chain(others).collect()
}
