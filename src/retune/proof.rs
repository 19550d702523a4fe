//! What a program does but for feeds and speeds, so that two can be compared.

use sha2::{Digest, Sha256};

use crate::job::Job;
use crate::report::CheckId;
use crate::retune::Objection;
use crate::retune::survey::Survey;
use crate::rs274;
use crate::rs274::event::{Event, Frames, Move, Path, Refusal, Turning, Visitor};
use crate::settings;
use crate::shop::bit::BitKind;
use crate::shop::machine::Dialect;
use crate::verify::Judge;

/// How many refusals are kept.
const REFUSALS: usize = 10;

/// A program's events without feeds and speeds, as a digest.
pub(super) struct Trace {
    digest: Sha256,
    pub(super) moves: u64,
    lines: u64,
    pub(super) refusals: Vec<Objection>,
}

pub(super) fn trace(program: &[u8], dialect: &Dialect, frames: &Frames) -> Trace {
    let mut trace = Trace {
        digest: Sha256::new(),
        moves: 0,
        lines: 0,
        refusals: Vec::new(),
    };
    trace.lines = rs274::read(program, dialect, *frames, &mut trace);
    trace
}

/// Proves that both do the same.
///
/// # Errors
/// An objection that names our own mistake; it has no other cause.
pub(super) fn same(before: &Trace, after: &Trace) -> Result<(), Vec<Objection>> {
    let digest = |trace: &Trace| trace.digest.clone().finalize();
    let alike = before.lines == after.lines
        && before.moves == after.moves
        && after.refusals.is_empty()
        && digest(before) == digest(after);
    if alike {
        return Ok(());
    }
    Err(vec![Objection {
        check: CheckId::Syntax,
        line: 0,
        message: "the retuned program does not move as the old one did, so it is not written; \
                  this is a bug of ours"
            .to_owned(),
    }])
}

/// Lets the judge replay the retuned program with the worn bit, as it judges
/// any program: what gouged before is not written as the same as before.
///
/// # Errors
/// Everything that fails.
pub(super) fn judged(
    program: &[u8],
    job: &Job,
    position: Option<usize>,
    survey: &Survey,
) -> Result<(), Vec<Objection>> {
    let mut job = job.clone();
    if job.bit.name == survey.bit.name {
        job.bit = survey.bit.clone();
    }
    let settings = settings::for_job(&job);
    let mut judge = if survey.bit.kind == BitKind::Drill && !survey.changes_bits {
        Judge::after_pockets(&job, &settings)
    } else {
        Judge::new(&job, &settings)
    };
    if let Some(position) = position {
        judge.lay(position);
    }
    judge.begin("", (!survey.changes_bits).then_some(&survey.bit));
    judge.push(program);
    judge.end();
    let report = judge.finish().report;
    let objections: Vec<Objection> = report
        .failed()
        .flat_map(|check| {
            check.findings.iter().map(|finding| Objection {
                check: check.id,
                line: finding.line,
                message: finding.message.clone(),
            })
        })
        .collect();
    if objections.is_empty() {
        Ok(())
    } else {
        Err(objections)
    }
}

/// What an event does, but for feeds and speeds; each in words of its own.
fn told(event: &Event) -> Option<String> {
    let number = |number: Option<u32>| number.map_or_else(|| "-".to_owned(), |n| n.to_string());
    Some(match event {
        Event::Feed(_) | Event::Speed(_) => return None,
        Event::Units(units) => format!("units {}", units.symbol()),
        Event::PlaneXy => "plane xy".to_owned(),
        Event::AbsoluteDistance => "absolute".to_owned(),
        Event::UnitsPerMinute => "a minute".to_owned(),
        Event::CompensationOff => "no compensation".to_owned(),
        Event::MotionOff => "no motion".to_owned(),
        Event::LengthOffset(offset) => format!("length {}", number(*offset)),
        Event::WorkOffset(offset) => format!("offset {offset}"),
        Event::SelectTool(tool) => format!("select {tool}"),
        Event::ToolChange(tool) => format!("change {}", number(*tool)),
        Event::Spindle(Turning::Clockwise) => "turn".to_owned(),
        Event::Spindle(Turning::Stopped) => "stand".to_owned(),
        Event::Dust(on) => format!("dust {on}"),
        Event::Dwell(time) => format!("dwell {}", time.as_seconds()),
        Event::Move(motion) => moved(motion),
        Event::Pause => "pause".to_owned(),
        Event::End => "end".to_owned(),
        Event::AfterEnd => "after the end".to_owned(),
    })
}

fn moved(motion: &Move) -> String {
    let Move {
        from,
        to,
        named,
        path,
        feed: _,
        machine_frame,
        resolution,
    } = motion;
    let place = |axes: &[Option<f64>; 3]| {
        let axes = axes.map(|axis| axis.map_or_else(|| "-".to_owned(), |at| at.to_string()));
        axes.join(" ")
    };
    let path = match path {
        Path::Rapid => "rapid".to_owned(),
        Path::Line => "line".to_owned(),
        Path::Arc { center, sweep } => format!("arc {} {} {sweep}", center[0], center[1]),
    };
    let named = named.map(|named| if named { "x" } else { "-" }).concat();
    format!(
        "{path} {} {} {named} {machine_frame} {resolution}",
        place(from),
        place(to)
    )
}

impl Visitor for Trace {
    fn event(&mut self, line: u64, event: &Event) {
        if matches!(event, Event::Move(_)) {
            self.moves += 1;
        }
        if let Some(words) = told(event) {
            self.digest.update(format!("{line} {words}\n"));
        }
    }

    fn refusal(&mut self, refusal: &Refusal) {
        if self.refusals.len() < REFUSALS {
            self.refusals.push(Objection {
                check: CheckId::Syntax,
                line: refusal.line,
                message: format!("column {}: {}", refusal.column, refusal.message),
            });
        }
    }
}
