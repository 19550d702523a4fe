//! What a program does but for feeds and speeds, so that two can be compared.

use sha2::{Digest, Sha256};

use crate::job::Job;
use crate::report::CheckId;
use crate::retune::Objection;
use crate::retune::survey::Survey;
use crate::rs274;
use crate::rs274::event::{Event, Frames, Move, Refusal, Visitor};
use crate::settings;
use crate::shop::bit::BitKind;
use crate::shop::machine::Dialect;
use crate::units::Feed;
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
pub(super) fn judged(program: &[u8], job: &Job, survey: &Survey) -> Result<(), Vec<Objection>> {
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

impl Visitor for Trace {
    fn event(&mut self, line: u64, event: &Event) {
        let plain = match event {
            Event::Feed(_) | Event::Speed(_) => return,
            Event::Move(motion) => {
                self.moves += 1;
                Event::Move(Move {
                    feed: Feed::ZERO,
                    ..*motion
                })
            }
            other => other.clone(),
        };
        self.digest.update(format!("{line} {plain:?}\n"));
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
